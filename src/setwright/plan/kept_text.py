"""From a block to a session that is kept: its text in shorthand, loads as effort or share, placeholders where asked.

Easy weeks are not written out: the reader makes them from the week before by its own rule. The warm-up is left out too:
everybody gets their own. Days have numbers: they fall on the training days of whoever it is used for.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace

from setwright.catalogue.store import Catalogue
from setwright.plan.bout import Bout
from setwright.plan.bout_lines import heading_line, shared_bout
from setwright.plan.kept import as_a_note, as_written, name_that_reads
from setwright.plan.master import Master
from setwright.plan.pace import pace_in
from setwright.plan.shorthand import line_of
from setwright.plan.template import Scheme, Template, TemplateEntry, TemplateSession


def template_to_keep(master: Master, weeks: Sequence[int] = (), day: str = "") -> Template:
    """The sessions of a master as a template without warm-up and kilograms, of some of its weeks and days.

    weeks : numbers from 1, all when empty; day : all when empty. Raises LookupError where nothing is left.
    """
    chosen = [number - 1 for number in weeks] or list(range(len(master.week_kinds)))
    sessions = []
    for one in master.sessions:
        if day and one.day != day:
            continue
        entries = tuple(kept for slot in one.slots if slot.part != "warm-up" and (kept := in_weeks(slot, chosen)))
        if entries:
            sessions.append(TemplateSession(one.day, "", None, entries))
    if not sessions:
        raise LookupError(f"nothing to keep on {day or 'any day'} of these weeks")
    kinds = tuple(master.week_kinds[week] for week in chosen)
    return Template(tuple(sessions), kinds, tuple(master.week_rpe[week] for week in chosen))


def in_weeks(slot: TemplateEntry, weeks: Sequence[int]) -> TemplateEntry | None:
    """A slot in some weeks; None where it stands in none of them."""
    schemes = tuple(without_load(slot.schemes[week]) for week in weeks)
    if not any(schemes):
        return None
    return replace(
        slot, schemes=schemes, bouts=tuple(without_own_target(slot.bout(week)) for week in weeks) if slot.bouts else ()
    )


def without_own_target(bout: Bout | None) -> Bout | None:
    """A bout without a pace, watts or beats of somebody's own; a talk test, and shares of a heart rate, stay."""
    if bout is None or bout.target is None or bout.target.by == "talk":
        return bout
    target = bout.target
    stays = None if target.share is None else replace(target, low=None, high=None, note="")
    return replace(bout, target=stays, likely_s=None)


def without_load(scheme: Scheme | None) -> Scheme | None:
    """A scheme whose kilograms are everybody's own."""
    return None if scheme is None else replace(scheme, load_kg=None)


def kept_text(
    title: str,
    template: Template,
    catalogue: Catalogue,
    steps: bool = True,
    here: bool = False,
    cues: bool = False,
) -> str:
    """A template as a text to keep, that reads back to the same sessions.

    steps : steps of a progression become ``{step: ...}``; here : all else ``{here: ...}``
    cues : each main lift gets ``{cue: ...}`` with the catalogue's first cue as its usual words
    """
    count = len(template.week_kinds)
    lines = [f"Block: {title}", f"{count} week{'' if count == 1 else 's'}", week_line(template)]
    for number, session in enumerate(template.sessions, start=1):
        lines += ["", f"Day {number}"]
        part, was_shared = "", False
        for entries in together(session.entries):
            if entries[0].part != part:
                part = entries[0].part
                lines.append(part.replace("-", " ").capitalize())
            is_shared = shared_bout(entries[0]) is not None
            if is_shared:
                lines += bout_lines(entries, template, catalogue, steps, here)
            else:
                lines += ["", *entry_lines(entries[0], template, catalogue, steps, here, cues)][
                    0 if was_shared else 1 :
                ]
            was_shared = is_shared
    return "\n".join(lines) + "\n"


def together(entries: Sequence[TemplateEntry]) -> list[list[TemplateEntry]]:
    """The entries one by one, the movements of a bout that has a heading together."""
    found: list[list[TemplateEntry]] = []
    for entry in entries:
        last = found[-1][-1] if found else None
        is_next = last is not None and (entry.part, entry.superset) == (last.part, last.superset)
        if is_next and entry.superset is not None and last is not None and shared_bout(last) and shared_bout(entry):
            found[-1].append(entry)
        else:
            found.append([entry])
    return found


def bout_lines(
    entries: Sequence[TemplateEntry], template: Template, catalogue: Catalogue, steps: bool, here: bool
) -> list[str]:
    """A bout with a heading: once where all weeks but easy ones ask the same, else for each run of weeks."""
    easy = easy_weeks(template)
    runs: list[tuple[list[int], list[TemplateEntry]]] = []
    for week in range(1, len(template.week_kinds) + 1):
        if week in easy:
            continue
        asked = [of_week(one, week) for one in entries if one.schemes[week - 1] is not None]
        if runs and runs[-1][1] == asked and runs[-1][0][-1] == week - 1:
            runs[-1][0].append(week)
        else:
            runs.append(([week], asked))
    found = []
    for weeks, asked in runs:
        head = next((bout for one in asked if (bout := shared_bout(one)) is not None), None)
        if head is None:
            continue  # a week without it
        found += ["", heading_line(head) if len(runs) == 1 else f"{span_of(weeks)}: {heading_line(head)}"]
        for one in asked:
            found += entry_lines(one, ONE_WEEK, catalogue, steps, here, False)
    return found


ONE_WEEK = Template((), ("build",), (8.0,))


def of_week(entry: TemplateEntry, week: int) -> TemplateEntry:
    """An entry as it is in one week, from 1."""
    return replace(entry, schemes=(entry.schemes[week - 1],), bouts=(entry.bout(week - 1),) if entry.bouts else ())


def span_of(weeks: Sequence[int]) -> str:
    """Some weeks in a row as written."""
    return f"week {weeks[0]}" if len(weeks) == 1 else f"weeks {weeks[0]}-{weeks[-1]}"


def week_line(template: Template) -> str:
    """The effort of the weeks, easy ones by that word where there are others."""
    easy = easy_weeks(template)
    return ", ".join(
        f"week {number} easy" if number in easy else f"week {number} RPE {rpe:g}"
        for number, rpe in enumerate(template.week_rpe, start=1)
    )


def easy_weeks(template: Template) -> frozenset[int]:
    """The weeks that the reader makes easy from the week before; none where there are no others, or it is the first."""
    easy = frozenset(number for number, kind in enumerate(template.week_kinds, start=1) if kind == "deload")
    return frozenset() if 1 in easy else easy


def entry_lines(
    entry: TemplateEntry, template: Template, catalogue: Catalogue, steps: bool, here: bool, cues: bool
) -> list[str]:
    """One entry: a line where all weeks ask the same, else its name and a line for each run of weeks."""
    exercise = catalogue.get(entry.exercise)
    name = as_written(exercise)
    entry = as_the_weeks_go(entry, template)
    first = next(week for week, scheme in enumerate(entry.schemes, start=1) if scheme is not None)
    whole = dosed_line(entry, first, catalogue)
    head, dose = whole[: whole.index(name)], whole[whole.index(name) + len(name) :]
    progression = catalogue.progressions.get(entry.progression or "")
    if steps and progression is not None:
        shown = f"{{step: {progression.title}}}"
    elif here:
        shown = f"{{here: {name}}}"
    else:
        shown = name_that_reads(exercise, head, dose, catalogue)
    cue = f"; {{cue: {as_a_note(exercise.cues[0]).rstrip('.')}}}" if cues and entry.part == "main" else ""
    pace = "" if entry.bouts else pace_in(entry.why)
    cue += f"; {pace}" if pace else ""
    runs = runs_of(entry, easy_weeks(template))
    if is_always_the_same(entry, easy_weeks(template)):
        return [f"{head}{shown}{dose}{cue}"]
    found = [f"{head}{shown}{cue}"]
    for weeks in runs:
        asked = dosed_line(entry, weeks[0], catalogue)[len(head) + len(name) :].strip(" ,")
        found.append(f"- {span_of(weeks)}: {asked}")
    return found


def dosed_line(entry: TemplateEntry, week: int, catalogue: Catalogue) -> str:
    """The line of what an entry asks in a week, from 1."""
    one = of_week(entry, week)
    assert one.schemes[0] is not None
    return line_of(one, one.schemes[0], catalogue)


FOLLOWS = frozenset({"straight", "hold-reps-hold", "lowering"})


def as_the_weeks_go(entry: TemplateEntry, template: Template) -> TemplateEntry:
    """The entry without its effort where that is the effort of its week in all but easy ones: it need not be said.

    Then the text can be used with other efforts by changing one line.
    """
    easy = easy_weeks(template)
    rpe = dict(enumerate(template.week_rpe, start=1))
    hard = [(number, one) for number, one in enumerate(entry.schemes, start=1) if number not in easy]
    told = [(number, one) for number, one in hard if one is not None]
    if entry.bouts or not told or not all(follows(one, 10.0 - rpe[number]) for number, one in told):
        return entry
    return replace(entry, schemes=tuple(None if one is None else replace(one, rir=None) for one in entry.schemes))


def follows(scheme: Scheme, rir: float) -> bool:
    """True where sets of this kind are done at the effort of the week."""
    plain = scheme.kind in FOLLOWS and not scheme.inside and scheme.back_offs is None
    return plain and not scheme.to_top_set and scheme.reps is not None and scheme.rir == rir


def is_always_the_same(entry: TemplateEntry, easy: frozenset[int]) -> bool:
    """True where all weeks but easy ones ask the same."""
    hard = [of_week(entry, week) for week in range(1, len(entry.schemes) + 1) if week not in easy]
    return bool(hard) and all(one == hard[0] and one.schemes[0] is not None for one in hard)


def runs_of(entry: TemplateEntry, easy: frozenset[int]) -> list[list[int]]:
    """Runs of weeks, easy ones left aside, that ask the same."""
    runs: list[list[int]] = []
    for week, scheme in enumerate(entry.schemes, start=1):
        if scheme is None or week in easy:
            continue
        if runs and of_week(entry, runs[-1][-1]) == of_week(entry, week) and runs[-1][-1] == week - 1:
            runs[-1].append(week)
        else:
            runs.append([week])
    return runs
