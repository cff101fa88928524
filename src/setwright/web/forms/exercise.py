"""The form of an own exercise: what the joints do, how it is held, what it needs, how to talk about it."""

from __future__ import annotations

import re
from collections.abc import Mapping
from dataclasses import dataclass
from typing import Any, ClassVar, get_args

from setwright.body.anatomy import joint_actions
from setwright.catalogue import exercise as words
from setwright.catalogue.equipment import equipment
from setwright.catalogue.schema import PATTERNS, motions
from setwright.services.desk.catalogue_pages import pattern_words
from setwright.web.forms.fields import Choice, Choices, Field, Name, Number, Sub, Table, Ticks, Words, number_of
from setwright.web.forms.form import Form, Section
from setwright.web.forms.typed import Typed

LATERALITY: Choices = (
    ("both", "both sides at once"),
    ("one", "one side after the other"),
    ("alternating", "sides in turn, repetitions counted for each"),
    ("one-side-load", "both work, one side is loaded"),
)
SUPPORT: Choices = (
    ("full", "full: lies or sits"),
    ("part", "part: a hand helps"),
    ("two-feet", "two feet"),
    ("one-foot", "one foot"),
    ("hang", "hangs"),
)
SKILL: Choices = (
    ("1", "1: looks right at once"),
    ("2", "2"),
    ("3", "3"),
    ("4", "4"),
    ("5", "5: takes months"),
)
CAPACITY: Choices = (
    ("0", "0: not at all"),
    ("1", "1"),
    ("2", "2"),
    ("3", "3"),
    ("4", "4"),
    ("5", "5: as heavy as anyone needs"),
)
GRIP: Choices = (("0", "none"), ("1", "light"), ("2", "hard"), ("3", "it ends the set"))
BANDS = ("band", "band_heavy", "loop_band")
IMPACT: Choices = (("0", "none"), ("1", "a step"), ("2", "a landing"), ("3", "hops or running"))


def plain(kind: object) -> Choices:
    """The words of a literal type, as they stand."""
    return tuple((one, one.replace("-", " ")) for one in get_args(kind))


def band_of(sets: object) -> str:
    """The one band that every set of equipment names, or an empty text: it has a field of its own then."""
    if not isinstance(sets, list) or not all(isinstance(one, list) for one in sets):
        return ""
    named = [[token for token in one if token in BANDS] for one in sets]
    return named[0][0] if named and named[0] and all(one == named[0][:1] for one in named) else ""


@dataclass(frozen=True)
class Options(Field):
    """Sets of equipment, any one of which is enough: a line for each, its pieces joined by a plus."""

    kind: ClassVar[str] = "long"

    def show(self, table: Mapping[str, Any], typed: Typed, at: str) -> None:
        """The sets without the band that stands in its own field."""
        sets, band = table.get(self.key), band_of(table.get(self.key))
        if isinstance(sets, list) and band:
            rest = [[token for token in one if token != band] for one in sets]
            table = {self.key: rest if any(rest) else []}
        super().show(table, typed, at)

    def text_of(self, value: Any) -> str:
        """A line for each set."""
        if not isinstance(value, list):
            return str(value)
        says = equipment().words
        lines = [" + ".join(says.get(token, str(token)) for token in one) for one in value if isinstance(one, list)]
        return "\n".join(line or "nothing" for line in lines)

    def value_of(self, text: str) -> Any:
        """A list of lists of tokens; a word that is none stays, for the reader to name."""
        tokens = {says.lower(): token for token, says in equipment().words.items()}
        found = []
        for line in filter(None, (one.strip() for one in text.splitlines())):
            pieces = [piece.strip() for piece in re.split(r"[+,]", line) if piece.strip()]
            found.append([tokens.get(piece.lower(), piece) for piece in pieces if piece.lower() != "nothing"])
        return [one for one in found if one] if all(found) else []

    def take(self, typed: Any, at: str, table: Table) -> None:
        """Nothing typed means that nothing is needed."""
        table[self.key] = self.value_of(typed.get(at + self.key))


@dataclass(frozen=True)
class BandNeeded(Choice):
    """The band that is needed beside the other equipment, in each of its sets; it stands below that field."""

    of: str = "equipment"

    def holds(self) -> tuple[str, ...]:
        """None of its own: it is kept with the equipment."""
        return ()

    def show(self, table: Mapping[str, Any], typed: Typed, at: str) -> None:
        """The band that all sets name."""
        if band := band_of(table.get(self.of)):
            typed.put(at + self.key, band)

    def take(self, typed: Typed, at: str, table: Table) -> None:
        """Into each set that names none."""
        if band := typed.get(at + self.key):
            sets = table.get(self.of) or [[]]
            table[self.of] = [one if set(one) & {*BANDS, band} else [*one, band] for one in sets]


@dataclass(frozen=True)
class Angles(Field):
    """The largest angles of motions: a line for each, the motion and its degrees."""

    kind: ClassVar[str] = "long"

    def text_of(self, value: Any) -> str:
        """A line for each motion."""
        if not isinstance(value, Mapping):
            return str(value)
        return "\n".join(f"{motion.replace('-', ' ')} {degrees:g}" for motion, degrees in value.items())

    def value_of(self, text: str) -> Any:
        """Degrees by motion; what is no line of that kind stays, for the reader to name."""
        known = {motion.replace("-", " "): motion for motion in motions()}
        found: dict[str, Any] = {}
        for line in filter(None, (one.strip() for one in text.splitlines())):
            motion, _, degrees = line.rpartition(" ")
            found[known.get(motion.strip().lower().replace("-", " "), motion.strip() or line)] = number_of(degrees)
        return found

    def names(self) -> tuple[str, ...]:
        """Faults name single motions below it."""
        return (self.key,)


@dataclass(frozen=True)
class Lines(Field):
    """Several sentences, a line for each."""

    needed: bool = False
    kind: ClassVar[str] = "long"

    def text_of(self, value: Any) -> str:
        """A line for each."""
        return "\n".join(str(one) for one in value) if isinstance(value, list) else str(value)

    def value_of(self, text: str) -> Any:
        """A list."""
        return [one.strip() for one in text.splitlines() if one.strip()]


def exercise_form() -> Form:
    """The form of an own exercise."""
    actions = tuple((one, one.replace("-", " ")) for one in joint_actions())
    known = {says: one for one, says in actions}

    bands = tuple((token, equipment().words[token]) for token in BANDS)

    def action_words(key: str, label: str, help: str) -> Words:
        return Words(
            key,
            label,
            help,
            wide=True,
            known=lambda text: known.get(text.lower().replace("-", " "), text),
            shown=lambda slug: slug.replace("-", " "),
            suggests="actions",
        )

    return Form(
        (
            Section(
                "name",
                "The exercise",
                (
                    Name("name", "Name", "small letters, plain words"),
                    Words("also_called", "Also called", "with commas"),
                    Choice("pattern", "Pattern", choices=[(one, pattern_words(one)) for one in PATTERNS]),
                ),
            ),
            Section(
                "actions",
                "What the joints do",
                (
                    Sub(
                        "actions",
                        "Joint actions",
                        fields=(
                            action_words("prime", "What it trains", "with commas, like knee extension; counts 1 set"),
                            action_words("secondary", "What helps a lot", "counts half a set"),
                            action_words("held", "What holds still under load", "counts a quarter"),
                        ),
                    ),
                ),
                "Muscles, counted sets, joint stress and warm-up follow from this.",
            ),
            Section("form", "How it is done", (Sub("form", "Form", fields=form_fields()),)),
            Section(
                "load",
                "Load and place",
                (
                    Sub(
                        "load",
                        "Load",
                        fields=(
                            Choice("means", "A printed load is", choices=plain(words.LoadMeans)),
                            Choice("capacity", "How heavy it can be made", choices=CAPACITY, number=True),
                            Choice("measured_in", "Measured in", choices=plain(words.Measure), usual="reps"),
                            Number("body_share", "Share of the body that is moved", "0 to 1, if known"),
                            Options(
                                "equipment",
                                "Equipment",
                                "a line for each set that is enough: dumbbells + bench; nothing where none is",
                                wide=True,
                            ),
                            BandNeeded(
                                "band",
                                "Band",
                                "beside that; where it helps the body, a printed load is assistance",
                                choices=bands,
                                empty="none",
                                wide=True,
                            ),
                        ),
                    ),
                    Sub("use", "Use", fields=(Ticks("parts", "Parts of a session", choices=plain(words.PartName)),)),
                ),
            ),
            Section(
                "talk",
                "How to talk about it",
                (
                    Sub(
                        "talk",
                        "Talk",
                        fields=(
                            Field("purpose", "What it is for", "one short sentence", wide=True),
                            Lines("cues", "Cues", "one to six, a line each", wide=True),
                            Field("effort_cue", "How to judge effort", "two left means ...", wide=True),
                            Lines("cautions", "Cautions", "what can go wrong, a line each", wide=True),
                            Lines("sources", "Where it comes from", "a line each", wide=True),
                        ),
                    ),
                ),
            ),
        ),
        {"actions": [says for _, says in actions]},
    )


def form_fields() -> tuple[Field, ...]:
    """How it is held and moved."""
    return (
        Choice("mode", "Kind of work", choices=plain(words.Mode), usual="dynamic"),
        Choice("laterality", "Sides", choices=LATERALITY, usual="both"),
        Choice("body_position", "Body", choices=plain(words.BodyPosition)),
        Choice("support", "Support", choices=SUPPORT),
        Choice("spine", "The loaded back", choices=plain(words.Spine), empty="neutral"),
        Choice("length_bias", "Hardest where the muscle is", choices=plain(words.LengthBias), empty="in the middle"),
        Choice("skill", "Skill", choices=SKILL, number=True),
        Choice("grip", "Grip", choices=GRIP, number=True, empty="none"),
        Choice("impact", "Impact", choices=IMPACT, number=True, empty="none"),
        Number("rep_s", "One repetition takes", "if not 4 s", unit="s"),
        Ticks("positions", "Held positions that a limit can forbid", choices=plain(words.HeldPosition), wide=True),
        Angles("max_angles", "Largest angles", "a line each, degrees from standing: knee flexion 110", wide=True),
        Words(
            "crop",
            "May be shortened in",
            "motions from above, with commas; the first leads",
            wide=True,
            known=lambda text: text.lower().replace(" ", "-"),
            shown=lambda one: one.replace("-", " "),
        ),
    )
