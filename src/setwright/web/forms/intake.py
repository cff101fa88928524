"""The form of an intake. Every key of the trainee file has its field here, or is kept as it is."""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass

from setwright.body.anatomy import joint_actions, joints, muscle_groups
from setwright.body.range_of_motion import range_tests
from setwright.body.segments import MEASURABLE
from setwright.catalogue.names import match_name
from setwright.catalogue.store import Catalogue
from setwright.people.intake import MOTIONS, POSITIONS, RED_FLAGS, RED_FLAGS_IN_PLAIN, TARGET_UNITS
from setwright.people.place import Place
from setwright.people.trainee import DAY_NAMES
from setwright.web.forms.fields import (
    Choice,
    Choices,
    Counts,
    Day,
    Field,
    Flag,
    Measure,
    Name,
    Named,
    Number,
    Rows,
    Sub,
    Ticks,
    Week,
    Words,
    YesNo,
)
from setwright.web.forms.form import Form, Section

DAYS: Choices = tuple(DAY_NAMES.items())
SIDES: Choices = (("left", "left"), ("right", "right"))
LEVELS: Choices = (
    ("none", "none: no moving work there"),
    ("light", "light"),
    ("moderate", "moderate"),
    ("hard", "hard: only range counts"),
)
WANTED: Choices = (("holds", "holds"), ("carries", "carries"), ("short-range", "short range"))
GOALS: Choices = (
    ("strength", "strength of a lift"),
    ("size", "size of a muscle group"),
    ("skill", "a skill"),
    ("range", "a range of motion"),
    ("work-capacity", "work capacity"),
    ("keep", "keep what is there"),
)


def spoken(word: str) -> str:
    """A word of the files as people say it."""
    return word.replace("_", " ").replace("-", " ")


def plain_choices(words: Iterable[str]) -> Choices:
    """Words with the same words, spoken."""
    return tuple((one, spoken(one)) for one in words)


def in_plain(flag: str) -> str:
    """A red flag by the clinic's word, and what it means."""
    means = RED_FLAGS_IN_PLAIN.get(flag)
    return spoken(flag) if means is None else f"{spoken(flag)}: {means}"


@dataclass(frozen=True)
class Names:
    """Exercise names both ways, for fields that hold them."""

    catalogue: Catalogue

    def slug(self, text: str) -> str:
        """The slug of a sure name; the text itself where it is not sure, so that the reader can say so."""
        if text in self.catalogue:
            return text
        patterns = {one.pattern for one in self.catalogue.values()}
        if text.replace(" ", "_") in patterns:
            return text.replace(" ", "_")
        match = match_name(text, self.catalogue)
        return match.slug if match.slug is not None and match.sure else text

    def name(self, slug: str) -> str:
        """The name of a slug; the text itself where it is none."""
        return self.catalogue.get(slug).name if slug in self.catalogue else slug

    def listed(self) -> list[str]:
        """Every name, for completion."""
        return sorted({one.name for one in self.catalogue.values()})

    def field(self, key: str, label: str, help: str = "") -> Named:
        """A field for one exercise."""
        return Named(key, label, help, known=self.slug, shown=self.name, suggests="exercises", catalogue=self.catalogue)

    def fields(self, key: str, label: str, help: str = "") -> Words:
        """A field for several exercises."""
        return Words(key, label, help, wide=True, known=self.slug, shown=self.name, suggests="")


def word_of(known: Mapping[str, str]) -> Named:
    """A field for what a goal is about: the spoken words and the words of the files."""
    back = {said: word for word, said in known.items()}
    return Named(
        "about",
        "About",
        "a lift, a muscle group, a skill, a range test",
        known=lambda text: back.get(text, text),
        shown=lambda word: said if back.get(said := known.get(word, word)) == word else word,
        suggests="goals",
    )


def goal_words(catalogue: Catalogue) -> dict[str, str]:
    """What goals may be about, word of the files to spoken word."""
    groups = muscle_groups()
    rolls = sorted({one.roll_up for one in groups.values()})
    found = {slug: one.label for slug, one in groups.items()}
    found.update({one: one for one in rolls})
    found.update({slug: one.name for slug, one in range_tests().items()})
    found.update({slug: one.title for slug, one in catalogue.progressions.items()})
    found.update({one.slug: one.name for one in catalogue.values()})
    return found


def clearance(label: str, of_joint: bool = False) -> Sub:
    """The fields of a clearance; one of a joint may say how much pain is allowed there."""
    pain = Number("pain_up_to", "Pain allowed there, of 10", "only where the clinician named it; 5 at most counts")
    return Sub(
        "clearance",
        label,
        folds=True,
        fields=(
            Field("who", "Given by", "a licensed clinician, by name"),
            Day("given_on", "On"),
            Field("scope", "What it allows", wide=True),
            Day("expires_on", "Until", "may be left empty"),
            *((pain,) if of_joint else ()),
        ),
    )


def restriction_rows() -> Rows:
    """Rows for what must not be loaded."""
    return Rows(
        "restrictions",
        "Limits",
        one="limit",
        fields=(
            Field("says", "In plain words", "like: left knee flexion over 60; or elbow is sore", wide=True),
            Choice("joint", "Joint", "where the words don't say it", choices=plain_choices(joints())),
            Choice("side", "Side", choices=SIDES, empty="both"),
            Choice("level", "Hardest moving work allowed", choices=LEVELS, empty="as the words say"),
            Ticks("wanted", "Work that is wanted there", choices=WANTED),
            Field("set_by", "Set by", "they alone lift it"),
            Day("since", "Since"),
            Day("review_on", "Look again on"),
        ),
        more=(
            Field("reason", "Reason", wide=True),
            Flag("needs_clearance", "Nothing is loaded there before a clearance is entered"),
            clearance("Clearance", of_joint=True),
            Ticks("actions", "Actions barred; none ticked means all", choices=action_choices()),
            Ticks("positions", "Held positions barred", choices=plain_choices(POSITIONS)),
            Ticks("spine", "Back under load", choices=(("flexed", "not bent"), ("rotating", "not turning"))),
            Choice("grip_max", "Hardest grip", choices=LEVELS_0_TO_3, empty="no limit", number=True),
            Choice("impact_max", "Hardest impact", choices=IMPACTS, empty="no limit", number=True),
            Counts("max_angles", "Largest angle under load, degrees", choices=plain_choices(MOTIONS), unit="degrees"),
        ),
    )


LEVELS_0_TO_3: Choices = (("0", "none"), ("1", "easy"), ("2", "firm"), ("3", "hardest"))
IMPACTS: Choices = (("0", "none"), ("1", "steps"), ("2", "landings"), ("3", "hops and runs"))


def action_choices() -> Choices:
    """Every action of a joint by its short word, each once."""
    words = dict.fromkeys(one.removeprefix(f"{row.joint}-") for one, row in joint_actions().items())
    return plain_choices(words)


def baseline_rows(names: Names, unit: Sequence[str]) -> Rows:
    """Rows for sets done before."""
    return Rows(
        "baselines",
        "Sets they have done",
        one="set",
        fields=(
            names.field("exercise", "Exercise"),
            Measure("load", "Load", "added load for pull-ups and dips", units=tuple(unit)),
            Number("reps", "Repetitions"),
            Number("rir", "Left in reserve", "how many more were possible"),
            Day("date", "When"),
        ),
        more=(
            Number("hold_s", "Held", unit="s"),
            Flag("to_failure", "The last repetition failed"),
            Flag("test", "The best of a test or competition"),
            Number("pain", "Pain", "0 to 10"),
            Number("reached_deg", "A lowering was controlled to", unit="degrees"),
        ),
    )


def measure_names() -> tuple[Named, list[str]]:
    """The field for a range measure, and the names that it suggests."""
    tests = range_tests()
    back = {one.name: slug for slug, one in tests.items()}
    field = Named(
        "measure",
        "Measure",
        known=lambda text: back.get(text, text),
        shown=lambda slug: tests[slug].name if slug in tests else slug,
        suggests="measures",
    )
    return field, sorted(back)


def intake_form(catalogue: Catalogue, places: Sequence[Place], unit: str) -> Form:
    """The form of an intake.

    places : those of the practice; unit : kg or lb, for numbers without one
    """
    names = Names(catalogue)
    about = goal_words(catalogue)
    measure, measures = measure_names()
    units = ("lb", "kg") if unit == "lb" else ("kg", "lb")
    lengths = ("in", "cm", "m") if unit == "lb" else ("cm", "m", "in")
    steps = tuple((slug, one.title) for slug, one in catalogue.progressions.items())
    who = (
        Name("name", "Name"),
        Number("birth_year", "Born in", "the year"),
        Choice(
            "sex", "Sex", "for limb lengths and masses only; may stay empty", choices=plain_choices(("female", "male"))
        ),
        Measure("body_mass", "Body mass", units=units),
        Measure("stature", "Height", units=lengths),
        Number("training_years", "Years of training", "regular, with weights"),
        Number("weeks_off", "Weeks off", "without training just before"),
    )
    screening = Sub(
        "screening",
        "Ask each of them",
        always=True,
        fields=(
            YesNo(
                "active_now",
                "Active for the last three months?",
                "30 minutes of moderate activity on 3 days a week. If not, the first weeks stay light to moderate.",
            ),
            Flag(
                "known_disease",
                "A known heart, metabolic or kidney disease",
                "Vigorous effort waits for a clearance from the last 12 months.",
            ),
            Flag(
                "signs_or_symptoms",
                "Chest pain, breathlessness, fainting, swollen ankles or palpitations",
                "Then stop: a licensed clinician comes before any training.",
            ),
            Flag("pregnant", "Pregnant", "Ask the midwife or doctor for clearance first."),
            Ticks(
                "red_flags",
                "Any of these?",
                "Then see a licensed clinician now; nothing is planned until they have answered.",
                choices=tuple((one, in_plain(one)) for one in RED_FLAGS),
            ),
            clearance("Clearance, if one was given"),
        ),
    )
    beats = "beats a minute"
    heart = Sub(
        "heart_rate",
        "Measured on this person",
        fields=(
            Number("maximum", "Highest", "seen in an all-out effort", unit=beats),
            Number("threshold", "Threshold", "mean of half an hour as fast as it goes", unit=beats),
            Number("resting", "Resting", "lying, in the morning", unit=beats),
        ),
    )
    place_choices = tuple((one.id, one.name) for one in places)
    week = Week("days", "Days", "Minutes at most; empty where they don't train.", days=DAYS, places=place_choices)
    goals = Rows(
        "goals",
        "Goals",
        one="goal",
        fields=(
            Choice("kind", "Kind", choices=GOALS),
            word_of(about),
            Choice("priority", "Counts", choices=(("1", "first"), ("2", "second"), ("3", "third")), number=True),
            Number("target", "Target"),
            Choice("unit", "Unit", choices=plain_choices(TARGET_UNITS)),
            Day("by", "By"),
        ),
    )
    ranges = Rows(
        "range_measures",
        "Range measures",
        one="measure",
        fields=(
            measure,
            Number("value", "Value"),
            Choice("unit", "Unit", choices=(("deg", "degrees"), ("cm", "cm")), empty="that of the measure"),
            Choice("side", "Side", choices=SIDES, empty="both"),
            Day("date", "When"),
        ),
    )
    reached = Rows(
        "steps",
        "Steps of a progression",
        one="step",
        fields=(
            Choice("progression", "Progression", choices=steps),
            Number("step", "Step reached"),
            Day("date", "When"),
        ),
    )
    return Form(
        (
            Section("who", "Who", who),
            Section(
                "screening",
                "Before anything is planned",
                (screening,),
                "These questions decide nothing about anybody's health. They only say whom to ask first; a yes is "
                "answered with the usual cautions, and with less effort until a clinician has cleared more.",
            ),
            Section("days", "Days and places", (week,)),
            Section(
                "limits",
                "What must not be loaded",
                (restriction_rows(),),
                "A limit is never planned through. Whoever set it lifts it.",
                optional=True,
            ),
            Section("goals", "What is wanted", (goals,), optional=True),
            Section(
                "sets",
                "What they can do already",
                (baseline_rows(names, units),),
                "Loads start from these. Without any, they start light from the body's size and years of training.",
                optional=True,
            ),
            Section("range", "Range of motion", (ranges,), optional=True),
            Section("steps", "Progressions", (reached,), optional=True),
            Section(
                "heart",
                "Heart rates",
                (heart,),
                "Leave out what was not measured: the equation from the age stands in, with its error of 11 beats.",
                optional=True,
            ),
            Section(
                "likes",
                "Likes and dislikes",
                (
                    names.fields("likes", "Likes", "exercises with commas between them"),
                    names.fields("dislikes", "Dislikes", "exercises with commas between them"),
                ),
                optional=True,
            ),
            Section(
                "more",
                "More",
                (
                    Flag("back_trouble", "A history of back trouble: no loaded bending of the back"),
                    Flag("small_steps", "Small load steps reach them without asking you each time"),
                    Flag("invented", "This person is invented"),
                    Field("id", "Id in files", "made from the name where it is empty; it stays"),
                    Counts(
                        "lengths",
                        "Lengths measured, joint to joint, cm",
                        choices=tuple((f"{one}_cm", spoken(one)) for one in MEASURABLE),
                        unit="cm",
                    ),
                ),
                optional=True,
            ),
        ),
        {
            "exercises": names.listed(),
            "goals": sorted(set(about.values())),
            "measures": measures,
        },
    )
