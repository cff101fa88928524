"""Several blocks side by side in a coach's words: what each is built on, gives up, does better, and whom it suits.

Every sentence is made from numbers of the blocks; where no number speaks, nothing is said. ``compared`` makes the
rows once; text, page, print and JSON show the same.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import asdict, dataclass
from typing import Any

from setwright.body.anatomy import muscle_groups
from setwright.catalogue.equipment import in_words as token_words
from setwright.catalogue.store import Catalogue
from setwright.people.trainee import DAY_NAMES, DAYS
from setwright.plan.block import Block
from setwright.plan.explain import in_words, join_words
from setwright.plan.side_by_side import JOINTS, Lift, Side, entries_of, hardest_week, in_all, side_of
from setwright.plan.variants import Several, Variant
from setwright.publish import words
from setwright.publish.page import fill, group
from setwright.publish.sheet import FOOT, pdf, section
from setwright.publish.terminal import fill as wrap

WORTH_SAYING = 4  # points of a difference that get a word
MOST_SAID = 4
MINUTES, EXERCISES, SKILL, KINDS, SHARE, SETS, PAIRS = 5.0, 2, 0.3, 2, 0.75, 2, 2  # differences worth a sentence
EACH_SET = "One counted set missing in one week costs 8 points for an ordinary group."


@dataclass(frozen=True)
class Told:
    """One block in words: its file, what it is built on, how it differs, its worth, what it gives up and does better.

    days : (weekday, what it is) for each day of the hardest week
    """

    name: str
    file: str
    built_on: str
    differs: tuple[str, ...]
    worth: str
    proof: str
    gives_up: tuple[str, ...]
    gives_more: tuple[str, ...]
    better: tuple[str, ...]
    suits: tuple[str, ...]
    days: tuple[tuple[str, str], ...]


@dataclass(frozen=True)
class Compared:
    """The whole comparison: title, lead, what is the same, the blocks, tables (title, head, rows), why not more."""

    title: str
    who: str
    lead: str
    same: tuple[str, ...]
    blocks: tuple[Told, ...]
    tables: tuple[tuple[str, tuple[str, ...], tuple[tuple[str, ...], ...]], ...]
    why_fewer: str


def file_of(number: int) -> str:
    """The name of a block's file, by its number from 1."""
    return "block.json" if number == 1 else f"block-{number}.json"


def compared(several: Several, catalogue: Catalogue) -> Compared:
    """Several blocks in words and tables."""
    variants = several.variants
    sides = [side_of(one.block, catalogue) for one in variants]
    found = [facts_of(variants, sides, number) for number in range(len(variants))]
    told = tuple(
        Told(
            name=f"Block {number + 1}",
            file=file_of(number + 1),
            built_on=built_on(sides[number], catalogue),
            differs=tuple(differs_text(several, number, index) for index in range(number)),
            worth=worth_text(several, number),
            proof=proof_text(one, number),
            gives_up=reason_texts(one, 1),
            gives_more=reason_texts(one, -1),
            better=tuple(better for better, _ in found[number]),
            suits=suits_of(found[number], number),
            days=day_texts(one, catalogue),
        )
        for number, one in enumerate(variants)
    )
    first = variants[0].block
    return Compared(
        title=first.title,
        who=words.span_text(first),
        lead=lead_of(several),
        same=same_texts(several, catalogue),
        blocks=told,
        tables=tables_of(variants, sides),
        why_fewer=several.why_fewer,
    )


def lead_of(several: Several) -> str:
    """The sentence above all."""
    count = len(several.variants)
    if count == 1:
        return "One block: no other one is really different and of nearly the same worth."
    how = {"exercises": "on other exercises", "loading": "loaded otherwise", "split": "with the week split otherwise"}
    number = {2: "Two", 3: "Three"}[count]
    return (
        f"{number} blocks of nearly the same worth, {how[several.by]}. Each costs at most {several.limit} points more "
        f"than block 1. {EACH_SET}"
    )


def same_texts(several: Several, catalogue: Catalogue) -> tuple[str, ...]:
    """What all blocks share."""
    blocks = [one.block for one in several.variants]
    first = blocks[0]
    days = join_words([DAY_NAMES[one.day] for one in first.weeks[0].sessions]) if first.weeks else ""
    efforts = ", ".join(f"{week.rpe:g}" for week in first.weeks)
    found = [f"{words.counted(len(first.weeks), 'week')}, {days}; RPE of the main lifts week by week {efforts}."]
    shared = in_all(blocks)
    if len(blocks) > 1 and shared:
        found.append(f"Exercises in each: {join_words([words.name_of(slug, catalogue) for slug in shared])}.")
    return tuple(found)


def built_on(side: Side, catalogue: Catalogue) -> str:
    """The big lifts with their days and sets."""

    def dose(one: Lift) -> str:
        return f"{words.counted(one.sets, 'set')} on {words.counted(one.days, 'day')}"

    lifts = [f"{words.name_of(one.exercise, catalogue)} ({dose(one)})" for one in side.built_on]
    return join_words(lifts) or "no big lift"


def differs_text(several: Several, number: int, index: int) -> str:
    """How a block differs from an earlier one, by what was asked for."""
    one, earlier = several.variants[number], several.variants[index]
    apart = one.apart[index]
    than = f"block {index + 1}"
    if several.by == "loading":
        return f"Mostly with {one.loading}; {than} mostly with {earlier.loading}."
    if several.by == "split":
        moved = f"{100 * apart.moved:.0f} % of the counted sets stand on another day"
        return f"{one.split.capitalize()}; {than}: {earlier.split}. {moved}, however the days are ordered."
    big = f" ({apart.big_others} of {apart.big_of} big lifts)" if apart.big_of else ""
    return f"{apart.others} of its {apart.of} freely chosen exercises{big} are of families that {than} does not hold."


def worth_text(several: Several, number: int) -> str:
    """The worth of a block against the first, in points."""
    one, first = several.variants[number], several.variants[0]
    if number == 0:
        return f"{one.points} points (what your wishes miss; fewer is better)."
    share = f" ({100 * abs(one.more) / first.points:.0f} %)" if 200 * abs(one.more) >= first.points > 0 else ""
    if one.more == 0:
        return f"{one.points} points, as many as block 1."
    return f"{one.points} points, {abs(one.more)} {'more' if one.more > 0 else 'fewer'} than block 1{share}."


def proof_text(one: Variant, number: int) -> str:
    """What is proven of a block among all that differ so."""
    among = "" if number == 0 else " among all blocks that differ so"
    gap = one.block.proof.gap
    if gap <= 0:
        return f"Proven best{among}, for exercises, days, weeks and shared rests together."
    return f"At most {gap:g} points better exists{among}."


def reason_texts(one: Variant, sign: int) -> tuple[str, ...]:
    """What a block gives up (sign 1) or gives more (sign -1) against the first, the dearest first."""
    found = sorted((reason for reason in one.reasons if sign * reason.points > 0), key=lambda each: -abs(each.points))
    said = [reason for reason in found if abs(reason.points) >= WORTH_SAYING]
    shown = said[:MOST_SAID]
    texts = [f"{reason.words} ({reason.points:+d})" for reason in shown]
    rest = sum(reason.points for reason in found) - sum(reason.points for reason in shown)
    if rest and texts:
        texts.append(f"small things ({rest:+d})")
    elif rest:
        texts.append(f"only small things ({rest:+d})")
    return tuple(texts)


Fact = tuple[str, str]


def facts_of(variants: Sequence[Variant], sides: Sequence[Side], number: int) -> list[Fact]:
    """What a block does better, each with whom it suits: block 1 than all others, a further one than block 1."""
    if len(variants) < 2:
        return []
    found: list[Fact] = []
    if number == 0 and all(variants[0].points < one.points for one in variants[1:]):
        points = beside([f"{one.points}" for one in variants], 0)
        found.append((f"meets your wishes best{points}", "whoever has no reason for another"))
    found += amount_facts(variants, number)
    return [*found, *side_facts(sides, number), *split_facts(variants, number)]


def side_facts(sides: Sequence[Side], number: int) -> list[Fact]:
    """What a block does better by its own numbers alone."""
    found: list[Fact] = []
    for what, by, suits, values in (
        ("shorter weeks, {:.0f} min on average", MINUTES, "weeks with little time", [s.week_minutes for s in sides]),
        ("fewer exercises, {:.0f}", EXERCISES, "somebody who does best with few exercises", counts(sides)),
        ("easier to learn, difficulty {:g} of 5", SKILL, "somebody new to the lifts", [s.skill for s in sides]),
        ("needs fewer kinds of equipment, {:.0f}", KINDS, "a busy or small room", [len(s.equipment) for s in sides]),
        (
            "fewer supersets, {:.0f} a week",
            PAIRS,
            "somebody who likes one exercise at a time",
            [s.pairs for s in sides],
        ),
    ):
        if is_less(values, number, by):
            others = beside([f"{round(one, 1):g}" if by == SKILL else f"{one:.0f}" for one in values], number)
            found.append((what.format(values[number]) + others, suits))
    return [*found, *joint_facts(sides, number), *loading_facts(sides, number)]


def counts(sides: Sequence[Side]) -> list[float]:
    """How many exercises each block holds."""
    return [len(one.exercises) for one in sides]


def without(values: Sequence[Any], number: int) -> list[Any]:
    """All values but one."""
    return [one for index, one in enumerate(values) if index != number]


def is_less(values: Sequence[float], number: int, by: float) -> bool:
    """Whether a value is smaller by so much: block 1's than every other, a further one's than block 1's."""
    others = [values[0]] if number else values[1:]
    return bool(values[number] <= min(others) - by + 1e-9)


def beside(values: Sequence[str], number: int) -> str:
    """The values of the other blocks in brackets."""
    others = [f"block {index + 1}: {one}" for index, one in enumerate(values) if index != number]
    return f" ({', '.join(others)})"


def amount_facts(variants: Sequence[Variant], number: int) -> list[Fact]:
    """Groups that a block brings nearer to what is wanted, by a counted set and more, the greatest gains first."""
    found: list[tuple[float, Fact]] = []
    for index, one in enumerate(variants[number].amounts):
        lacks = [max(0.0, each.amounts[index].wanted - each.amounts[index].sets) for each in variants]
        if is_less(lacks, number, 1.0):
            name = in_words(one.name)
            text = f"more for the {name}, {one.sets:g} of {round(one.wanted, 1):g} sets wanted"
            text += beside([f"{each.amounts[index].sets:g}" for each in variants], number)
            gain = lacks[number] - (lacks[0] if number else min(lacks[1:]))
            found.append((gain, (text, f"somebody who puts the {name} first")))
    return [fact for _, fact in sorted(found)[:MOST_SAID]]


def joint_facts(sides: Sequence[Side], number: int) -> list[Fact]:
    """Joints that a block loads clearly less."""
    found = []
    for joint, name in JOINTS.items():
        sets = [one.joints[joint] for one in sides]
        others = [sets[0]] if number else sets[1:]
        if is_less(sets, number, SETS) and sets[number] <= SHARE * min(others):
            text = f"less load on the {name}, {words.counted(sets[number], 'set')} a week with a moderate or high one"
            text += beside([f"{one}" for one in sets], number)
            found.append((text, f"somebody who wants to go easy on the {name}"))
    return found


def loading_facts(sides: Sequence[Side], number: int) -> list[Fact]:
    """The way of loading that a block does half of its sets and more with, where no other does."""
    for name in sides[number].loading:
        shares = [one.loading[name] / max(1, sum(one.loading.values())) for one in sides]
        if shares[number] >= 0.5 and all(share < 0.5 for share in without(shares, number)):
            text = f"{100 * shares[number]:.0f} % of its sets with {name}"
            return [(text + beside([f"{100 * one:.0f} %" for one in shares], number), f"somebody who likes {name}")]
    return []


def split_facts(variants: Sequence[Variant], number: int) -> list[Fact]:
    """What only this block's split does."""
    split = variants[number].split
    if any(one.split == split for one in without(variants, number)):
        return []
    if split == "full body":
        return [
            ("every day holds legs and upper body, so a missed day leaves neither out", "weeks that may lose a day")
        ]
    if split == "mixed days":
        return []
    return [(f"each day has one theme: {split}", "somebody who likes one half of the body at a time")]


def suits_of(facts: Sequence[Fact], number: int) -> tuple[str, ...]:
    """Whom a block suits; where no number speaks, only that it is another one."""
    found = tuple(dict.fromkeys(suits for _, suits in facts if suits))[:MOST_SAID]
    if found or number == 0:
        return found
    return ("somebody who wants a change: no number but its exercises speaks for it",)


def day_texts(one: Variant, catalogue: Catalogue) -> tuple[tuple[str, str], ...]:
    """Each day of the hardest week: its minutes, what it is, its exercises with their sets."""
    week = hardest_week(one.block)
    found = []
    for session, kind in zip(week.sessions, one.day_kinds, strict=True):
        entries = [entry for day, entry in entries_of(week) if day == session.day]
        names = "; ".join(
            f"{len(entry.working_sets)} x {words.name_of(entry.exercise, catalogue)}" for entry in entries
        )
        found.append((session.day, f"{session.minutes:.0f} min, {kind}: {names}"))
    return tuple(found)


def tables_of(
    variants: Sequence[Variant], sides: Sequence[Side]
) -> tuple[tuple[str, tuple[str, ...], tuple[tuple[str, ...], ...]], ...]:
    """Counted sets, minutes, loading and joints, block by block."""
    amounts = tuple(
        (in_words(one.name), f"{round(one.wanted, 1):g}", *(f"{each.amounts[index].sets:g}" for each in variants))
        for index, one in enumerate(variants[0].amounts)
    )
    return ((AMOUNTS, ("", "wanted", *heads_of(sides)), amounts), *side_tables(sides))


AMOUNTS = "Counted sets in the hardest week"
Table = tuple[str, tuple[str, ...], tuple[tuple[str, ...], ...]]


def heads_of(sides: Sequence[Side]) -> tuple[str, ...]:
    """The column heads of the blocks."""
    return tuple(f"block {number + 1}" for number in range(len(sides)))


def side_tables(sides: Sequence[Side]) -> tuple[Table, ...]:
    """Minutes, loading, joints and what it takes, block by block."""
    heads, days = heads_of(sides), sorted({day for one in sides for day in one.minutes}, key=DAYS.index)
    minutes = [(DAY_NAMES[day], *(f"{one.minutes.get(day, 0):.0f}" for one in sides)) for day in days]
    minutes.append(("average week", *(f"{one.week_minutes:.0f}" for one in sides)))
    loading = [(name, *(f"{one.loading[name]}" for one in sides)) for name in sides[0].loading]
    joints = [(name, *(f"{one.joints[joint]}" for one in sides)) for joint, name in JOINTS.items()]
    gear = [
        ("exercises", *(f"{len(one.exercises)}" for one in sides)),
        ("supersets a week", *(f"{one.pairs}" for one in sides)),
        ("difficulty, 1 to 5", *(f"{one.skill:g}" for one in sides)),
        ("kinds of equipment", *(f"{len(one.equipment)}" for one in sides)),
    ]
    return (
        ("Minutes of the longest session", ("", *heads), tuple(minutes)),
        ("Working sets by what they are loaded with", ("", *heads), tuple(loading)),
        ("Working sets with a moderate or high load on a joint", ("", *heads), tuple(joints)),
        ("What it takes", ("", *heads), tuple(gear)),
    )


def compared_json(found: Compared, several: Several, catalogue: Catalogue) -> dict[str, Any]:
    """The comparison as JSON: the words, and the numbers behind them."""
    numbers = [
        {
            "block": one.block.id,
            "file": file_of(number + 1),
            "points": one.points,
            "more": one.more,
            "reasons": [asdict(reason) for reason in one.reasons],
            "free": list(one.free),
            "apart": [asdict(each) for each in one.apart],
            "loading": one.loading,
            "split": one.split,
            "amounts": [asdict(each) for each in one.amounts],
            "side": side_json(side_of(one.block, catalogue)),
            "words": told_json(found.blocks[number]),
        }
        for number, one in enumerate(several.variants)
    ]
    return {
        "by": several.by,
        "limit": several.limit,
        "lead": found.lead,
        "same": list(found.same),
        "why_fewer": found.why_fewer,
        "blocks": numbers,
    }


def side_json(side: Side) -> dict[str, Any]:
    """The numbers of a block as JSON values."""
    data = asdict(side)
    data["equipment"] = [token_words(token) for token in side.equipment]
    return data


def told_json(told: Told) -> dict[str, Any]:
    """The words of a block as JSON values."""
    data = asdict(told)
    data["days"] = [{"day": day, "text": text} for day, text in told.days]
    return data


LABELS = (("gives_up", "Costs more"), ("gives_more", "Costs less"), ("better", "Does better"), ("suits", "Suits"))


def compared_text(found: Compared) -> str:
    """The comparison for a terminal, 80 columns."""
    lines = [wrap(f"{found.title}. {found.who}"), wrap(found.lead)]
    lines += [wrap(found.why_fewer)] if found.why_fewer else []
    lines += [wrap("Same: " + one) for one in found.same]
    for one in found.blocks:
        lines += ["", wrap(f"{one.name} ({one.file}): {one.worth} {one.proof}")]
        lines += [wrap("Differs: " + text, "  ") for text in one.differs]
        lines.append(wrap("Built on: " + one.built_on, "  "))
        lines += [wrap(f"{day.capitalize()}, {text}", "  ", "    ") for day, text in one.days]
        for key, label in LABELS:
            texts = getattr(one, key)
            if texts:
                lines.append(wrap(f"{label}: {'; '.join(texts)}.", "  "))
    return "\n".join([*lines, *table_lines(found.tables)])


def table_lines(tables: Sequence[Table]) -> list[str]:
    """Tables for a terminal."""
    lines: list[str] = []
    for title, head, rows in tables:
        lines += ["", title]
        wide = max(len(row[0]) for row in rows) + 2
        lines += ["  " + cells[0].ljust(wide) + "".join(cell.rjust(9) for cell in cells[1:]) for cells in (head, *rows)]
    return lines


def sides_text(blocks: Sequence[Block], names: Sequence[str], catalogue: Catalogue) -> str:
    """Two or three blocks from their files side by side, for a terminal: only what their own numbers say.

    names : of the files, in the order of the blocks
    """
    sides = [side_of(one, catalogue) for one in blocks]
    lines = []
    for number, (block, name, side) in enumerate(zip(blocks, names, sides, strict=True)):
        lines.append(wrap(f"Block {number + 1} ({name}): {block.title}. {words.span_text(block)}"))
        lines.append(wrap("Built on: " + built_on(side, catalogue), "  "))
        facts = side_facts(sides, number)
        for label, texts in (("Does better", [one for one, _ in facts]), ("Suits", [one for _, one in facts])):
            if texts:
                lines.append(wrap(f"{label}: {'; '.join(dict.fromkeys(texts))}.", "  "))
    shared = in_all(blocks)
    said = join_words([words.name_of(slug, catalogue) for slug in shared]) or "none"
    lines += ["", wrap(f"Exercises in each: {said}.")]
    tables = ((AMOUNTS, ("", *heads_of(sides)), credit_rows(blocks)), *side_tables(sides))
    return "\n".join([*lines, *table_lines(tables)])


def credit_rows(blocks: Sequence[Block]) -> tuple[tuple[str, ...], ...]:
    """Counted sets of each muscle group in the hardest week of each block."""
    held = [
        {one.muscle: one.fractional for one in block.set_credits if one.week == hardest_week(block).number}
        for block in blocks
    ]
    labels = {slug: group.label for slug, group in muscle_groups().items()}
    rows = [slug for slug in labels if any(one.get(slug) for one in held)]
    return tuple((labels[slug], *(f"{one.get(slug, 0.0):g}" for one in held)) for slug in rows)


def block_rows(found: Compared) -> list[list[str]]:
    """One row for each thing said of all blocks, a cell for each block."""
    rows = [
        ["Built on", *(one.built_on for one in found.blocks)],
        ["Worth", *(f"{one.worth} {one.proof}" for one in found.blocks)],
        ["Differs", *(" ".join(one.differs) or "-" for one in found.blocks)],
    ]
    rows += [[label, *("; ".join(getattr(one, key)) or "-" for one in found.blocks)] for key, label in LABELS]
    for index, (day, _) in enumerate(found.blocks[0].days):
        rows.append([DAY_NAMES[day], *(one.days[index][1] for one in found.blocks)])
    return [row for row in rows if any(cell != "-" for cell in row[1:])]


def compared_page(found: Compared, links: Sequence[str]) -> str:
    """The comparison as a page; ``links``: the page of each block's files."""
    made = [(href, f"{one.name}: everything", one.built_on) for href, one in zip(links, found.blocks, strict=True)]
    groups = [
        group("The blocks", " ".join(found.same), links=made),
        group("Side by side", head=["", *(one.name for one in found.blocks)], rows=block_rows(found)),
        *(group(title, head=list(head), rows=[list(row) for row in rows]) for title, head, rows in found.tables),
    ]
    lead = " ".join(one for one in (found.lead, found.why_fewer) if one)
    return fill("tables.html", title=f"{found.title}: blocks compared", sub=found.who, lead=lead, groups=groups)


def compared_pdf(found: Compared, paper: str = "a4") -> bytes:
    """The comparison on paper, for the coach's notes."""
    wide = [1.1] + [3.0] * len(found.blocks)
    heads = ["", *(one.name for one in found.blocks)]
    sections = [section("Side by side", tables=[{"columns": wide, "head": heads, "rows": block_rows(found)}])]
    for title, head, rows in found.tables:
        shape = {"columns": [3] + [1] * (len(head) - 1), "head": list(head), "rows": [list(row) for row in rows]}
        sections.append(section(title, tables=[shape]))
    return pdf(
        {
            "paper": paper,
            "size": 8.2,
            "flipped": True,
            "title": found.title,
            "sub": "Several blocks compared",
            "right": words.counted(len(found.blocks), "block"),
            "right2": "",
            "lead": " ".join(one for one in (found.who + ".", found.lead, *found.same, found.why_fewer) if one),
            "foot": FOOT,
            "sections": sections,
            "cautions": [],
        }
    )
