"""The catalogue as a coach looks through it: lists, one entry, progressions."""

from __future__ import annotations

import textwrap
from collections.abc import Collection, Sequence
from typing import Any

from setwright.body.anatomy import muscle_groups
from setwright.catalogue.derive import catalogue_json, set_credits
from setwright.catalogue.equipment import equipment, expand_tokens, in_words
from setwright.catalogue.exercise import ProgressionStep
from setwright.catalogue.names import match_name, nearest
from setwright.catalogue.step_sizes import DemandOf, StepSize, nothing_known, step_sizes
from setwright.faults import Fault, InputFaults
from setwright.plan.alternatives import Candidate, StandIns
from setwright.plan.likeness import in_words as in_words_of_parts
from setwright.services.gather import catalogue


def slug_of(name: str) -> str:
    """The slug of an exercise by slug or sure name; a fault with proposals else."""
    known = catalogue()
    if name in known:
        return known.get(name).slug
    match = match_name(name, known)
    if match.slug is not None and match.sure:
        return match.slug
    hint = f"Nearest: {', '.join(match.proposals)}." if match.proposals else ""
    raise InputFaults([Fault("catalogue", "", repr(name), "an exercise by slug or name", hint)])


def check_tokens(tokens: Sequence[str], option: str) -> None:
    """Refuses equipment words that nobody knows."""
    words = equipment().words
    faults = [
        Fault(option, "", repr(one), "equipment of the catalogue", nearest_hint(one, words))
        for one in tokens
        if one not in words and one not in ("none", "wall")
    ]
    if faults:
        raise InputFaults(faults)


def nearest_hint(word: str, known: Collection[str]) -> str:
    """The nearest known words as a sentence; empty where there are none."""
    close = nearest(word, known)
    return f"Nearest: {', '.join(close)}." if close else ""


def parts() -> list[str]:
    """The parts of a session that some exercise fits."""
    return sorted({name for one in catalogue().values() for name in one.parts})


def check_part(part: str | None) -> None:
    """Refuses a part that no session has."""
    if part is not None and part not in parts():
        raise InputFaults([Fault("--part", "", repr(part), ", ".join(parts()), nearest_hint(part, parts()))])


def show(name: str) -> dict[str, Any]:
    """One exercise in the published form."""
    known = catalogue()
    return dict(catalogue_json(known.get(slug_of(name)), known))


def listing(
    pattern: str | None, muscle: str | None, have: Sequence[str] | None, part: str | None, find: str | None
) -> list[dict[str, Any]]:
    """Exercises that pass every filter, in the published form; unknown filter words are faults."""
    known = catalogue()
    patterns = sorted({one.pattern for one in known.values()})
    rolls = sorted({group.roll_up for group in muscle_groups().values()})
    for option, value, allowed in (
        ("--pattern", pattern, patterns),
        ("--part", part, parts()),
        ("--muscle", muscle, [*muscle_groups(), *rolls]),
    ):
        if value is not None and value not in allowed:
            raise InputFaults([Fault(option, "", repr(value), ", ".join(allowed), nearest_hint(value, allowed))])
    if have is not None:
        check_tokens(have, "--with")
    tokens = None if have is None else expand_tokens(have)
    rows = []
    for one in sorted(known.values(), key=lambda each: (each.pattern, each.slug)):
        if pattern is not None and one.pattern != pattern:
            continue
        if part is not None and part not in one.parts:
            continue
        if tokens is not None and one.equipment and not any(option <= tokens for option in one.equipment):
            continue
        credit = set_credits(one)
        if muscle is not None and muscle not in credit and muscle not in {muscle_groups()[m].roll_up for m in credit}:
            continue
        rows.append(dict(catalogue_json(one, known)))
    if find is None:
        return rows
    return [row for row in rows if is_called(row, find)] or most_like(rows, find)


def is_called(row: dict[str, Any], find: str) -> bool:
    """True when every word searched for stands in a name of the exercise."""
    names = " ".join((row["name"], row["exercise"].replace("_", " "), *row["also_called"])).lower()
    return all(word in names for word in find.lower().split())


LIKE_ENOUGH = 75.0
MOST_LIKE = 5


def most_like(rows: Sequence[dict[str, Any]], find: str) -> list[dict[str, Any]]:
    """The exercises whose names are spelled most like what was searched for, best first; none where nothing is."""
    from rapidfuzz import fuzz

    scored = [
        (max(fuzz.token_sort_ratio(find.lower(), name.lower()) for name in (row["name"], *row["also_called"])), row)
        for row in rows
    ]
    scored = [(max(score, 0.9 * fuzz.partial_ratio(find.lower(), row["name"].lower())), row) for score, row in scored]
    best = sorted(scored, key=lambda one: (-one[0], one[1]["exercise"]))[:MOST_LIKE]
    return [row for score, row in best if score >= LIKE_ENOUGH]


def progressions(demand: DemandOf = nothing_known) -> list[dict[str, Any]]:
    """All progressions with their steps; ``demand``: how hard a variant is, where it can be reckoned."""
    known = catalogue()
    sizes = {
        (one.slug, size.to): size for one in known.progressions.values() for size in reversed(step_sizes(one, demand))
    }
    return [
        {
            "progression": one.slug,
            "title": one.title,
            "pain_limit": one.pain_limit,
            "source": one.source,
            "caution": one.caution or None,
            "closed_with_back_trouble": one.closed_with_back_trouble,
            "branches": list(one.branches),
            "steps": [
                {
                    "step": step.number,
                    "exercise": step.exercise,
                    "name": known.get(step.exercise).name,
                    "dials": dict(step.dials),
                    "entry_test": step.entry_test,
                    "exit_test": step.exit_test,
                    "way_back": step.way_back,
                    "exit_numbers": {
                        "sets": step.exit_sets,
                        "reps": step.exit_reps,
                        "hold_s": step.exit_hold_s,
                        "distance_m": step.exit_distance_m,
                        "load_share": step.exit_load_share,
                        "help_share": step.exit_help_share,
                        "sessions": step.exit_sessions,
                    },
                    "sideways": list(step.sideways),
                    "small_steps": [
                        {
                            "dial": small.dial,
                            "from": small.from_,
                            "to": small.to,
                            "when": small.when,
                            "set": dict(small.sets),
                        }
                        for small in step.inside
                    ],
                    "branch": step.branch or None,
                    **order_of(sizes.get((one.slug, step.number)), step),
                }
                for step in one.steps
            ],
        }
        for one in known.progressions.values()
    ]


def order_of(size: StepSize | None, step: ProgressionStep) -> dict[str, Any]:
    """How a step follows the one before: by demand, with the ratio, or by practice; the first one by neither."""
    if size is None:
        return {"order": None, "times_as_hard": None, "order_why": None}
    ratio = None if size.ratio is None else round(size.ratio, 3)
    return {
        "order": "by practice" if ratio is None else "by demand",
        "times_as_hard": ratio,
        "order_why": step.order_why or None,
    }


def wrapped(text: str, indent: str = "  ") -> str:
    """Text in 80 columns."""
    return textwrap.fill(text, 80, initial_indent=indent, subsequent_indent=indent)


def listing_text(rows: Sequence[dict[str, Any]]) -> str:
    """A list by pattern, one line an exercise."""
    lines: list[str] = []
    last = ""
    for row in rows:
        if row["pattern"] != last:
            last = row["pattern"]
            lines += ["", last.replace("_", " ")]
        lines.append(textwrap.fill(f"  {row['exercise']:<22} {row['name']}", 80, subsequent_indent=" " * 25))
    lines += ["", f"{len(rows)} exercises. Show one with: setwright catalogue SLUG"]
    return "\n".join(lines).lstrip("\n")


def entry_text(row: dict[str, Any]) -> str:
    """One exercise for people."""
    known = catalogue()
    one = known.get(row["exercise"])
    lines = [f"{one.name}  ({one.slug})"]
    if one.also_called:
        lines.append(wrapped("also: " + ", ".join(one.also_called)))
    lines += ["", wrapped(one.purpose), ""]
    lines += [wrapped("- " + cue) for cue in one.cues]
    lines += ["", wrapped("How hard: " + one.effort_cue)]
    for caution in one.cautions:
        lines.append(wrapped("Caution: " + caution))
    counts = [muscle_groups()[m].label for m, credit in row["credits"].items() if credit == 1]
    halves = [muscle_groups()[m].label for m, credit in row["credits"].items() if credit != 1]
    lines.append("")
    lines.append(wrapped("Counts as a set for: " + (", ".join(counts) or "nothing")))
    if halves:
        lines.append(wrapped("Counts half for: " + ", ".join(halves)))
    needs = [" + ".join(in_words(token) for token in sorted(option)) or "nothing" for option in row["equipment"]]
    lines.append(wrapped("Needs: " + (" or ".join(needs) or "nothing")))
    if one.positions:
        lines.append(wrapped("Held positions: " + ", ".join(p.replace("-", " ") for p in one.positions)))
    if one.max_angles:
        reach = ", ".join(f"{motion.replace('-', ' ')} {angle:g}" for motion, angle in one.max_angles.items())
        lines.append(wrapped(f"Goes to (degrees): {reach}"))
    stressed = [f"{joint} {level}" for joint, level in row["joint_stress"].items() if level]
    if stressed:
        lines.append(wrapped("Joint stress, 1 to 3: " + ", ".join(stressed)))
    if row["progression"]:
        lines.append(
            wrapped(f"Step {row['progression']['step']} of the progression {row['progression']['progression']}")
        )
    return "\n".join(lines)


def progressions_text(rows: Sequence[dict[str, Any]]) -> str:
    """Progressions for people."""
    lines: list[str] = []
    for row in rows:
        lines += [f"{row['title']}  ({row['progression']}); back a step when pain passes {row['pain_limit']} of 10"]
        if row["caution"]:
            lines.append(wrapped(row["caution"], "  "))
        for step in row["steps"]:
            branch = f" (branch: {step['branch']})" if step["branch"] else ""
            harder = "" if step["times_as_hard"] is None else f", {step['times_as_hard']:.2f} times the step before"
            lines.append(
                wrapped(f"{step['step']}. {step['name']}{branch}{harder}: moves on when {step['exit_test']}", "  ")
            )
            if step["sideways"]:
                names = ", ".join(catalogue().get(slug).name for slug in step["sideways"])
                lines.append(wrapped(f"sideways: {names}", "     "))
        lines.append("")
    return "\n".join(lines).rstrip()


def alternatives_text(found: StandIns, most: int = 5) -> str:
    """Stand-ins for people: the exercise itself first where it stays, then the good ones, else other ways."""
    known = catalogue()
    name = known.get(found.target).name
    itself = [one for one in found.rows if one.is_itself]
    good = [one for one in found.rows if one.is_good and not one.is_itself]
    lines: list[str] = []
    for one in itself:
        lines += [f"Keep {name}: {one.kept.removeprefix('keep it, ')}.", wrapped(f"lost: {one.lost}", "   ")]
    if found.untouched:
        lines.append(wrapped(" ".join((f"None of these limits closes {name}: it can stay as it is.", *found.care))))
    if good:
        lines.append(f"Instead of {name}:")
        lines += stand_in_lines(good[:most], [one.exercise for one in good])
    elif not itself:
        lines.append(wrapped(nothing_good_text(found)))
        lines += ways_lines(found)
    closed = [one for one in found.rows if one.excluded]
    if closed:
        lines += ["", "Closed:"]
        lines += [wrapped(f"{known.get(one.exercise).name}: {one.why}", "  ") for one in closed[:12]]
        if len(closed) > 12:
            lines.append(f"  and {len(closed) - 12} more")
    return "\n".join(lines)


def stand_in_lines(good: Sequence[Candidate], all_good: Sequence[str]) -> list[str]:
    """Stand-ins with what is kept, lost and how the likeness comes about; settings of one exercise stand together."""
    known = catalogue()
    lines: list[str] = []
    told: set[str] = set()
    number = 0
    for one in good:
        exercise = known.get(one.exercise)
        if exercise.base in told:
            continue
        told.add(exercise.base)
        number += 1
        kin = [known.get(slug).name for slug in all_good if known.get(slug).base == exercise.base]
        lines.append(f"{number}. {exercise.name} ({one.exercise}), likeness {one.likeness:.2f}")
        lines.append(wrapped(f"kept: {one.kept}", "   "))
        lines.append(wrapped(f"lost: {one.lost}", "   "))
        lines.append(wrapped(f"why here: {in_words_of_parts(one.parts)}", "   "))
        if len(kin) > 1:
            lines.append(wrapped("also as: " + ", ".join(other for other in kin if other != exercise.name), "   "))
    return lines


def nothing_good_text(found: StandIns) -> str:
    """The honest answer where nothing is like enough."""
    return f"No good substitute for {catalogue().get(found.target).name} under these limits."


def ways_lines(found: StandIns) -> list[str]:
    """For each main muscle: what still trains it, or why nothing does."""
    known = catalogue()
    lines = ["Its muscles can still be trained another way:"] if any(way.open_ones for way in found.ways) else []
    for way in found.ways:
        if way.open_ones:
            said = "; ".join(f"{known.get(one.exercise).name} ({one.exercise}): {one.kind}" for one in way.open_ones)
        else:
            said = f"no way is open: {way.why_none}"
        lines.append(wrapped(f"{way.label}: {said}", "  "))
    return lines
