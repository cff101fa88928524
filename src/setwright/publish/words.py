"""How a set, an entry and a week are said: the same words on sheets, pages and in the terminal."""

from __future__ import annotations

import re
from collections.abc import Sequence
from dataclasses import replace
from datetime import date
from math import ceil
from typing import Any

from setwright.catalogue.store import Catalogue
from setwright.people.place import Place
from setwright.people.trainee import DAY_NAMES
from setwright.plan.asked_effort import asked_effort
from setwright.plan.block import Alternative, Block, Change, Entry, Filler, Part, PlannedSet, Session, Unmet, Week
from setwright.plan.bout_time import like
from setwright.plan.cautions import SPOTTER
from setwright.plan.formats import SHARED
from setwright.publish.units import Unit, in_unit, mass_text, pieces_in_unit

SET_COST = 8.0  # points of the search for one set missing in one week
ONE_DAY = f"(?:{'|'.join(DAY_NAMES)})"
SHORT_DAY = re.compile(
    rf"(?:(?<=\bo[nr] )|(?<=\band )){ONE_DAY}\b|\b{ONE_DAY}(?= of week| and {ONE_DAY}\b| goes from | fits on )"
)
PART_NAMES = {
    "warm-up": "Warm-up",
    "main": "Main",
    "skill": "Skill",
    "assistance": "Assistance",
    "finisher": "Finisher",
    "loaded-mobility": "Loaded mobility",
    "conditioning": "Conditioning",
}
WEEK_WORDS = {"build": "", "deload": "easier week", "test": "heavy week", "return": "coming back"}
MONTHS = (
    "January",
    "February",
    "March",
    "April",
    "May",
    "June",
    "July",
    "August",
    "September",
    "October",
    "November",
    "December",
)
NO_LIFTS = "no main lifts"


def name_of(slug: str, catalogue: Catalogue) -> str:
    """The name of an exercise; its slug in words where the catalogue no longer knows it."""
    return catalogue.get(slug).name if slug in catalogue else slug.replace("_", " ")


def counted(number: int, noun: str, plural: str = "") -> str:
    """A count with its noun: ``1 week``, ``6 weeks``."""
    return f"{number} {noun}" if number == 1 else f"{number} {plural or noun + 's'}"


def singular(text: str) -> str:
    """A text of counts with its ones in the singular: ``1 set on 1 day``."""
    return re.sub(r"(?<![\w.,])1 (set|day|week|session|repetition)s\b", r"1 \1", text)


def unit_of(places: Sequence[Place], place: str) -> Unit:
    """The unit that the plates of a place say; kg where nothing is known of it."""
    return "lb" if any(one.id == place and one.unit == "lb" for one in places) else "kg"


def block_unit(block: Block) -> Unit:
    """The unit of the place of a block."""
    return unit_of(block.inputs.places, block.place)


def day_unit(block: Block, day: str) -> Unit:
    """The unit of the place of a weekday; of the block's place for all else."""
    for week in block.weeks:
        for session in week.sessions:
            if session.day == day:
                return unit_of(block.inputs.places, session.place)
    return block_unit(block)


def spoken_set(one: PlannedSet, own: Unit, unit: Unit) -> PlannedSet:
    """A set whose pieces are named as in the place and whose note speaks the unit."""
    return replace(
        one,
        pieces=pieces_in_unit(one.pieces, own, unit),
        note=in_unit(one.note, unit),
        inside=tuple(replace(part, pieces=pieces_in_unit(part.pieces, own, unit)) for part in one.inside),
    )


def told_cautions(cautions: Sequence[str], unit: Unit) -> tuple[str, ...]:
    """Cautions in a unit, each said once: what an exercise says of its safety bars stands for what all of them say."""
    own = [one for one in cautions if one != SPOTTER]
    nearer = [one for one in own if "safety bars" in one.lower()]
    if SPOTTER not in cautions or not nearer:
        return tuple(in_unit(one, unit) for one in cautions)
    without = () if any("spotter" in one for one in nearer) else (WITHOUT_BARS,)
    return tuple(in_unit(one, unit) for one in (*own, *without))


def spoken_entry(entry: Entry, own: Unit, unit: Unit) -> Entry:
    """An entry whose sentences all speak one unit."""
    return replace(
        entry,
        sets=tuple(spoken_set(one, own, unit) for one in entry.sets),
        why=in_unit(entry.why, unit),
        cautions=told_cautions(entry.cautions, unit),
        alternatives=tuple(
            Alternative(one.exercise, in_unit(one.kept, unit), in_unit(one.lost, unit), in_unit(one.case, unit))
            for one in entry.alternatives
        ),
    )


def spoken_session(block: Block, session: Session, unit: Unit | None = None) -> tuple[Session, Unit]:
    """A session whose sentences speak one unit, and that unit: the one asked for, else that of its place.

    For one session once: pieces that are named already would be read as kilograms again.
    """
    own = unit_of(block.inputs.places, session.place)
    shown = unit or own
    parts = tuple(
        Part(part.part, tuple(spoken_entry(entry, own, shown) for entry in part.entries)) for part in session.parts
    )
    return replace(session, parts=parts), shown


WITHOUT_BARS = "Without safety bars: a spotter there before the first heavy set."
LONG_REASON = 120  # letters; a longer one is not said twice


def told_once(why: str, number: int, said: dict[str, int]) -> str:
    """A reason, or where a long one was said before, the number of that change; ``said`` is added to."""
    if len(why) > LONG_REASON and why in said:
        return f"As for change {said[why]}."
    said.setdefault(why, number)
    return why


def spoken_change(block: Block, one: Change, unit: Unit | None = None) -> Change:
    """A change whose sentences speak one unit: the one asked for, else that of the place of its day."""
    shown = unit or day_unit(block, one.session)
    return replace(
        one,
        from_=in_unit(one.from_, shown),
        to=in_unit(one.to, shown),
        why=in_unit(one.why, shown),
        evidence=in_unit(one.evidence, shown),
    )


def spoken_unmet(block: Block, unit: Unit | None = None) -> tuple[Unmet, ...]:
    """What could not be met, in one unit, its weekdays by name."""
    shown = unit or block_unit(block)
    return tuple(
        Unmet(spoken_days(in_unit(one.wish, shown)), spoken_days(in_unit(one.why, shown)), one.rule)
        for one in block.unmet
    )


def spoken_days(text: str) -> str:
    """A sentence with its weekdays by name.

    >>> spoken_days("deadlift on thu comes after the fly; tue of week 3")
    'deadlift on Thursday comes after the fly; Tuesday of week 3'
    >>> spoken_days("presses on mon and tue, tue and wed; some of fri fits on mon or tue")
    'presses on Monday and Tuesday, Tuesday and Wednesday; some of Friday fits on Monday or Tuesday'
    """
    return SHORT_DAY.sub(lambda found: DAY_NAMES[found[0]], text)


def date_text(day: date) -> str:
    """A date as ``7 September 2026``."""
    return f"{day.day} {MONTHS[day.month - 1]} {day.year}"


def span(low: int, high: int) -> str:
    """A range of repetitions: ``5`` or ``5-6``."""
    return f"{low}" if low == high else f"{low}-{high}"


def inside_text(one: PlannedSet, first: str) -> str:
    """A set with parts inside, from its first part on: ``2 + 2 + 2 with 20 s inside``, ``12, 20 s, about 4-6``.

    Equal parts with equal rests are said in one go; after a drop the loads stand with the loads.
    """
    parts, rests = one.inside, {part.rest_s for part in one.inside}
    if len(rests) == 1 and all(part.reps and not part.left and part.load_share == 1.0 for part in parts):
        (rest,) = rests
        row = " + ".join([first, *(span(*part.reps) for part in parts if part.reps)])
        return f"{row} with {rest_text(rest)} inside" if rest else row
    pieces = [first]
    share = 1.0
    for number, part in enumerate(parts):
        if part.hold_s:
            angle = "" if part.angle_deg is None else f" at {part.angle_deg:g} degrees"
            last = one.reps is not None and number == 0 and part.angle_deg is None and not part.rest_s
            pieces.append(f"the last one held {part.hold_s:g} s" if last else f"then {part.hold_s:g} s hold{angle}")
            continue
        reps = span(*part.reps) if part.reps else ""
        count = (f"about {reps}" if reps else "what is left") if part.left else reps
        if part.load_share < share:
            pieces.append(f"drop the load, {count}")
            share = part.load_share
        else:
            pieces.append(f"{rest_text(part.rest_s)} rest, {count}" if part.rest_s else f"then {count}")
    return ", ".join(pieces)


def work_text(one: PlannedSet) -> str:
    """What one set asks: repetitions, hold, distance or time, each side."""
    if one.kind == "hold-reps-hold" and one.reps:
        text = f"hold {one.hold_s or 0:g} s, {span(*one.reps)} reps, hold {one.hold_after_s or 0:g} s"
    elif one.reps:
        text = f"{span(*one.reps)}"
    elif one.hold_s:
        text = f"{one.hold_s:g} s hold"
    elif one.distance_m:
        text = f"{one.distance_m:g} m"
    elif one.time_s:
        text = f"{one.time_s / 60:g} min" if one.time_s >= 120 else f"{one.time_s:g} s"
    else:
        text = "as many as stay clean" if one.kind in ("work", "lowering") else "as you can"
    if one.inside:
        text = inside_text(one, text)
    return text + (" each side" if one.per_side else "")


def dose_text(working: Sequence[PlannedSet]) -> str:
    """All working sets in one phrase: ``4 x 3-5``, or ``1 x 5, 1 x 3, 2 x 1`` where they differ.

    Back-offs stand apart from their top set: ``1 x 5, then 3 x 5``.
    """
    runs: list[tuple[str, bool, int]] = []
    for one in working:
        text, is_back_off = work_text(one), one.load_share is not None
        if runs and runs[-1][:2] == (text, is_back_off):
            runs[-1] = (text, is_back_off, runs[-1][2] + 1)
        else:
            runs.append((text, is_back_off, 1))
    said = ""
    for text, is_back_off, count in runs:
        said += ", then " if said and is_back_off else ", " if said else ""
        said += f"{count} x ({text})" if is_many_words(text) else f"{count} x {text}"
    return said


def asks_text(entry: Entry) -> str:
    """What an entry asks: its working sets in one phrase, or what a round of its bout asks.

    By ladder ``21, 15, 9``; pieces of their own are counted, one alone is said plainly: ``6 x 500 m``, ``20 min``.
    """
    working = entry.working_sets
    if entry.bout is None or not working:
        text = dose_text(working)
        alone = len(working) == 1 and working[0].reps is None and bool(working[0].time_s or working[0].distance_m)
        return text.removeprefix("1 x ") if alone else text
    if like(entry.bout) in SHARED:
        text = ", ".join(dict.fromkeys(work_text(one) for one in working))
        return re.sub(r"^([\d, -]+?)( each side)?$", r"\1 reps\2", text)
    return ", ".join(text.removeprefix("1 x ") for text in dose_text(working).split(", "))


def is_many_words(text: str) -> bool:
    """True for what one set asks in several parts: it is put in brackets behind the number of sets."""
    return " + " in text or ", " in text


def loads_text(working: Sequence[PlannedSet], unit: Unit = "kg") -> str:
    """The load of the sets, each different one said in turn, drops too; an empty text where there is none."""
    return " then ".join(dict.fromkeys(text for one in working for text in all_loads(one, unit) if text))


def all_loads(one: PlannedSet, unit: Unit) -> list[str]:
    """The loads of one set as they are said: its own, then those of its drops."""
    later = (replace(one, load_kg=part.load_kg, pieces=part.pieces) for part in one.inside if part.load_kg is not None)
    return [load_text(each, unit) for each in (one, *later)]


def take_text(working: Sequence[PlannedSet]) -> str:
    """What to put on or take for each different load of the sets, in turn."""
    taken = [one.pieces for one in working if one.load_kg]
    taken += [part.pieces for one in working for part in one.inside]
    return ", then ".join(dict.fromkeys(one for one in taken if one))


def load_text(one: PlannedSet, unit: Unit = "kg") -> str:
    """The load of a set as it is said, or how it is loaded where it has no kilograms."""
    if one.load_kg is None:
        return {"assistance": "with band", "added": "body weight"}.get(one.load_means, "")
    if one.load_means == "added":
        return "body weight" if one.load_kg == 0 else f"+ {mass_text(one.load_kg, unit)}"
    text = mass_text(one.load_kg, unit)
    if one.load_means != "each hand":
        return text
    return f"{text} each hand" if one.pieces.startswith("2 ") else f"{text} in one hand"


def rest_text(seconds: float) -> str:
    """A rest: ``90 s`` or ``3 min``."""
    if seconds >= 120 and seconds % 30 == 0:
        return f"{seconds / 60:g} min"
    return f"{seconds:g} s"


def effort_text(one: PlannedSet) -> str:
    """Effort in plain words: how many would be left. Holds, metres and minutes count nothing that could be left."""
    if one.rir is None:
        return ""
    if one.kind == "hold":
        return "easy" if one.rir >= 4 else "end it before the position goes"
    if one.distance_m or one.time_s:
        return "easy" if one.rir >= 4 else f"RPE {10 - one.rir:g}"
    if one.rir >= 4:
        return "easy, 4 or more left" if one.rir < 5 else "easy"
    return f"about {one.rir:g} left"


def efforts_text(working: Sequence[PlannedSet]) -> str:
    """Effort of all sets in plain words: that of the first, and that of its back-offs where they leave more."""
    first = effort_text(working[0])
    later = {one.rir for one in working if one.load_share is not None and one.rir is not None} - {working[0].rir}
    if not first.startswith("about") or len(later) != 1:
        return first
    (rir,) = later
    return f"{first}, then {rir:g}" if rir < 5 else f"{first}, then 5 or more"


def chance_text(working: Sequence[PlannedSet]) -> str:
    """The chance of the top of the range at the wanted effort, first set and last; empty where none is stated.

    Of a set in parts it is the chance of all that is said of it, so its repetitions are not named.

    >>> from setwright.plan.block import PlannedSet
    >>> one = PlannedSet("work", reps=(5, 6), rir=2.0, chance=0.55)
    >>> chance_text([one, one])
    '55 % chance of 6 with 2 left'
    """
    first, last = (working[0], working[-1]) if working else (None, None)
    if first is None or last is None or first.chance is None or first.reps is None or first.rir is None:
        return ""
    whole = any(not part.left for part in first.inside)
    what = f"all of it with {first.rir:g} left" if whole else f"{first.reps[1]} with {first.rir:g} left"
    text = f"{100 * first.chance:.0f} % chance of {what}"
    if (
        last.chance is not None
        and (last.reps, last.load_kg) == (first.reps, first.load_kg)
        and round(100 * (first.chance - last.chance)) >= 5
    ):
        text += f", {100 * last.chance:.0f} % in the last set"
    return text


def entry_text(entry: Entry, catalogue: Catalogue, unit: Unit = "kg") -> str:
    """An entry in one line: name, sets, load, effort, rest."""
    working = entry.working_sets
    name = name_of(entry.exercise, catalogue)
    if not working:
        return name
    first = working[0]
    pieces = [asks_text(entry)]
    load = loads_text(working, unit)
    if load:
        pieces.append(load)
    if efforts_text(working):
        pieces.append(efforts_text(working))
    if first.rest_s and rests_alone(entry):
        pieces.append(f"rest {rest_text(first.rest_s)}")
    return f"{name}: {', '.join(pieces)}"


def rests_alone(entry: Entry) -> bool:
    """True where the rest is said at the entry: that of a bout stands in its heading, or is what its clock leaves."""
    bout = entry.bout
    if bout is None:
        return True
    return like(bout) not in SHARED and bout.every_s is None and len(entry.working_sets) > 1


def ramp_text(entry: Entry, unit: Unit = "kg") -> str:
    """The ramp sets in one line, or an empty text."""
    ramps = [one for one in entry.sets if one.kind == "ramp"]
    if not ramps:
        return ""
    return "Ramp: " + ", ".join(
        f"{one.reps[0] if one.reps else ''} at {mass_text(one.load_kg or 0.0, unit)}" for one in ramps
    )


def dial_text(entry: Entry) -> str:
    """The dials of an entry that a person must set, in words."""
    words = []
    limits = entry.dials.get("range_deg")
    if isinstance(limits, (list, tuple)) and len(limits) == 2:
        motion = str(entry.dials.get("range_of", "range")).replace("-", " ")
        is_held = bool(entry.working_sets) and all(one.kind == "hold" for one in entry.working_sets)
        words.append(
            f"held at {limits[1]:g} degrees of {motion} at most"
            if is_held
            else f"{motion} {limits[0]:g} to {limits[1]:g} degrees only"
        )
    for key, label in (
        ("heel_mm", "heels raised {} mm"),
        ("hand_height_cm", "hands on {} cm"),
        ("step_cm", "step of {} cm"),
        ("foot_height_cm", "feet on {} cm"),
        ("held_angle_deg", "hold at {} degrees"),
        ("assistance", "help: {}"),
        ("band", "band: {}"),
        ("support", "support: {}"),
        ("depth", "depth: {}"),
        ("angle", "{}"),
        ("load", "load: {}"),
        ("side", "{} side only"),
    ):
        is_in_the_name = key == "assistance" and f"_{entry.dials.get(key)}" in entry.exercise
        if key in entry.dials and not is_in_the_name:
            value = str(entry.dials[key])
            words.append(value if key == "support" and " on " in value else label.format(value))
    return ", ".join(words)


def filler_text(filler: Filler, catalogue: Catalogue) -> str:
    """The filler of a rest in one line."""
    dose = f"{span(*filler.reps)} slow" if filler.reps else f"{filler.hold_s or 20:g} s"
    side = " each side" if filler.per_side else ""
    side += ", a light load" if catalogue.get(filler.exercise).mode == "carry" else ""
    return f"In the rest: {name_of(filler.exercise, catalogue)}, {dose}{side}."


def week_title(block: Block, week: Week) -> str:
    """``Week 2 of 6``, with its kind where it is not an ordinary one."""
    kind = WEEK_WORDS[week.kind]
    return f"Week {week.number} of {len(block.weeks)}" + (f", {kind}" if kind else "")


def span_text(block: Block) -> str:
    """For whom, how long and from when: ``Ada: 6 weeks from 7 September 2026``."""
    return f"{block.inputs.trainee.name}: {length_text(block)}"


def length_text(block: Block) -> str:
    """How long and from when: ``6 weeks from 7 September 2026``."""
    return f"{counted(len(block.weeks), 'week')} from {date_text(block.inputs.brief.start)}"


def effort_today(session: Session) -> str:
    """The effort of a session as a sentence, nothing where it has no main lifts."""
    said = effort_of_lifts(session)
    return "" if said == NO_LIFTS else f"Effort today, {said}. "


def effort_of_lifts(*sessions: Session) -> str:
    """The effort that the main lifts of some sessions ask, in plain words: that of their first working sets.

    >>> effort_of_lifts()
    'no main lifts'
    """
    main = [entry for one in sessions for part in one.parts if part.part == "main" for entry in part.entries]
    first = [entry.working_sets[0].rir for entry in main if entry.working_sets]
    left = sorted(one for one in first if one is not None)
    if not left:
        return NO_LIFTS
    if left[0] == left[-1]:
        return f"main lifts RPE {10 - left[0]:g}: about {left[0]:g} left"
    return f"main lifts RPE {10 - left[-1]:g} to {10 - left[0]:g}: about {left[0]:g} to {left[-1]:g} left"


LETTERS = "Letters belong together: do them in turn."


def with_letters_hint(entries: Sequence[dict[str, Any]]) -> list[dict[str, Any]]:
    """The data of a part's entries, the first with a letter saying what letters mean (``hint``)."""
    first = next((one for one in entries if one["letter"]), None)
    return [{**one, "hint": LETTERS if one is first else ""} for one in entries]


def week_effort(block: Block, week: Week, empty: str = "no effort asked") -> str:
    """The effort that the lifts of a week ask: ``RPE 7``, ``RPE 6 to 8``; ``empty`` where they ask none."""
    asked = asked_effort(block, week)
    return empty if asked is None else f"RPE {range_text(*asked)}"


def range_text(low: float, high: float) -> str:
    """``7`` or ``6 to 8``."""
    return f"{low:g}" if low == high else f"{low:g} to {high:g}"


def proof_text(block: Block) -> str:
    """How good the block is, plainly."""
    proof = block.proof
    if block.parent is not None and "of the week" in proof.note:
        return proof.note
    if proof.status == "written":
        return "Written by the coach: read, dosed and checked, not searched."
    if proof.status == "optimal":
        return "Best possible within your rules, as far as exercises, sets, days and the minutes reckoned for them go."
    sets = max(1, ceil(proof.gap / SET_COST))
    return f"A good block: the best one within your rules is at most {counted(sets, 'missing set')} better."


def weeks_text(weeks: list[int]) -> str:
    """Week numbers as one says them: ``2``, ``2 to 5``, ``4, 7``; all where a change is of the whole block (0)."""
    numbers = sorted(set(weeks))
    if numbers == [0]:
        return "all"
    if len(numbers) > 2 and numbers == list(range(numbers[0], numbers[-1] + 1)):
        return f"{numbers[0]} to {numbers[-1]}"
    return ", ".join(str(one) for one in numbers)


def grouped_changes(block: Block) -> list[tuple[list[int], Change]]:
    """Changes of one entry for one reason on one weekday, once: the weeks, and the first of them.

    Doses differ from week to week; the first week's stands for them, the sheets hold every one.
    """
    groups = [[block.changes[row - 1] for row in rows] for rows in change_groups(block)]
    return [([one.week for one in group], group[0]) for group in groups]


def change_groups(block: Block) -> list[list[int]]:
    """The rows of the changes, counted from 1, that a coach reads as one change, in the order they are read."""
    grouped: dict[tuple[str, str, str], list[int]] = {}
    of_weeks = {one.why for one in block.changes if one.week and not one.session}
    for row, one in enumerate(block.changes, start=1):
        key = (one.session, one.entry, one.why)
        if one.why in of_weeks:
            key = ("", "", one.why)  # whole weeks change together, with all that stands in them
        elif block.parent is not None and one.from_.split(",")[0] == one.to.split(",")[0]:
            key = (one.session, one.from_ + one.to, one.why)  # a new dose of the same exercise: each is news
        grouped.setdefault(key, []).append(row)
    return list(grouped.values())


def find_session(block: Block, week: int, day: str) -> tuple[Week, Session]:
    """One session; LookupError where the block has none."""
    for one in block.weeks:
        if one.number == week:
            for session in one.sessions:
                if session.day == day:
                    return one, session
    raise LookupError(f"block {block.id} has no session on {day} of week {week}")
