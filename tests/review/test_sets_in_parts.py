"""Sets in parts in the log: written as done, read back the same, told as strength, counted and moved on."""

from __future__ import annotations

import csv
import io
from dataclasses import replace

import pytest
from made_block import GYM, PERSON, START, estimates_of

from setwright.catalogue.load import catalogue
from setwright.people.place import Stack
from setwright.plan.block import Block, PlannedSet
from setwright.plan.shorthand import read_block_text
from setwright.plan.written import fit_written
from setwright.publish.csv_file import empty_log_csv, log_csv, planned_csv
from setwright.review.adapt import adapt_block
from setwright.review.log_file import read_log
from setwright.review.volume import done_by_week
from setwright.services.deeds import plain_brief
from setwright.strength.gathering import of_set
from setwright.strength.logged import Log, LoggedSet

PLACE = replace(GYM, stacks=(*GYM.stacks, Stack("machine:leg_extension", 2.5, 2.5, 120)))


def block_of(*lines: str) -> Block:
    text = "\n".join(["Block: Invented", "4 weeks", "Monday, 90 min", *lines])
    written = read_block_text(text, catalogue())
    brief = plain_brief(written.title, written.weeks, 1, START)
    return fit_written(written, PERSON, (PLACE,), brief, catalogue(), estimates_of(PERSON))


def first_set(block: Block) -> PlannedSet:
    entries = (e for p in block.weeks[0].sessions[0].parts for e in p.entries)
    return next(e for e in entries if e.written).sets[-1]


def filled(block: Block, **cells: str) -> Log:
    rows = list(csv.DictReader(io.StringIO(empty_log_csv(block, 1, catalogue()).decode())))
    for row in rows:
        if row["exercise"]:
            row.update(cells)
    out = io.StringIO()
    writer = csv.DictWriter(out, rows[0])
    writer.writeheader()
    writer.writerows(rows)
    return read_log(out.getvalue(), "log.csv", catalogue())


def test_a_cluster_as_planned_needs_only_its_sum() -> None:
    block = block_of("back squat 4 x (2+2+2) @ 80 %, 20 s inside")
    first = filled(block, reps="6", rir="2").sets[0]

    assert (first.reps, first.dials) == (6, {"parts": "2+2+2", "inside_s": 20})


def test_parts_and_drops_are_written_as_they_were() -> None:
    block = block_of("leg extension 2 x 10-12, drop set")
    log = filled(block, reps="12+8", rir="1")
    planned = first_set(block)

    one = log.sets[0]
    assert (one.reps, one.load_kg, one.dials["parts"]) == (20, planned.load_kg, "12+8")
    assert one.dials["loads_kg"] == f"{planned.load_kg:g}+{planned.inside[0].load_kg:g}"
    assert read_log(log_csv(log).decode(), "again.csv", catalogue()) == log


def test_pounds_in_parts_become_kilograms() -> None:
    """110 lb is 49.9 kg, 90 lb is 40.8 kg. Referee: international pound of 1959, from memory."""
    text = "date,session,exercise,set,load_lb,reps\n2026-09-07,mon,leg_ext,1,110+90,12+8\n"
    (one,) = read_log(text, "log.csv", catalogue()).sets

    assert one.load_kg == pytest.approx(49.895, abs=1e-3)
    assert one.dials["loads_kg"] == "49.9+40.82"


def logged(reps: int, **dials: object) -> LoggedSet:
    return LoggedSet(START, 1, "mon", "leg_ext", 1, 50.0, "total", reps, 2.0, dials=dials)


def plain(reps: int, **dials: object) -> tuple[float, str]:
    made = of_set(logged(reps, **dials), catalogue().get("leg_ext"), 0.0, 1)
    assert made is not None
    return made.reps, made.kind


def test_a_cluster_is_no_proof_of_as_many_in_a_row() -> None:
    reps, kind = plain(6, parts="2+2+2", inside_s=20)

    assert kind == "called" and 2.0 < reps < 6.0 == plain(6)[0]


def test_rest_pause_tells_more_than_its_first_part() -> None:
    reps, _ = plain(17, parts="10+4+3", inside_s=20)

    assert 8.0 < reps < 14.0


def test_after_a_drop_only_the_first_part_tells() -> None:
    assert plain(20, parts="12+8", loads_kg="50+40", inside_s=5) == (12.0, "lower-bound")


def test_a_sum_without_parts_claims_little() -> None:
    assert plain(18, inside_s=20) == (6.0, "lower-bound")


def test_sets_done_count_as_planned_ones_do() -> None:
    block = block_of("leg extension 2 x 12, rest-pause")
    planned = {one.muscle: one.fractional for one in block.set_credits if one.week == 1}
    whole, short = (
        done_by_week(block, filled(block, reps=reps), catalogue())[0].credits["quads_vasti"][1]
        for reps in ("12+5+4", "12+5")
    )

    assert whole == planned["quads_vasti"] == 4.0
    assert short == 3.0


def test_a_cluster_that_was_cut_short_is_missed_repetitions() -> None:
    block = block_of("back squat 4 x (2+2+2), 20 s inside")
    (week, *_) = done_by_week(block, filled(block, reps="2+2"), catalogue())
    (entry,) = [one for one in week.entries if one.exercise == "back_squat"]

    assert entry.reps_short == 8


RANGE = "leg extension 3 x 8-12, add load when all reach 12"


def next_week(block: Block, log: Log) -> tuple[float | None, str]:
    new = adapt_block(block, log, estimates_of(PERSON, log, START), catalogue())
    (entry,) = [e for p in new.weeks[1].sessions[0].parts for e in p.entries if e.written]
    why = next((one.why for one in new.changes if one.week == 2), "")
    return entry.sets[-1].load_kg, why


def test_all_sets_at_the_top_bring_the_next_load() -> None:
    block = block_of(RANGE)
    old = first_set(block).load_kg
    load, why = next_week(block, filled(block, reps="12", rir="2"))

    assert old is not None and load == old + 2.5
    assert "all sets reached 12" in why


@pytest.mark.parametrize("cells", [{"reps": "11", "rir": "2"}, {"reps": "12", "rir": "1", "ended_by": "form"}])
def test_short_of_the_top_the_load_stays(cells: dict[str, str]) -> None:
    block = block_of(RANGE)
    old = first_set(block).load_kg

    assert next_week(block, filled(block, **cells))[0] == old


def test_the_table_of_planned_sets_tells_what_is_inside() -> None:
    block = block_of("leg extension 2 x 12, rest-pause", "back squat 2 x (2+2), 15 s inside, cluster")
    rows = list(csv.DictReader(io.StringIO(planned_csv(block, catalogue()).decode())))
    told = {row["exercise"]: row["inside"] for row in rows if row["inside"]}

    assert told["back_squat"] == "15 s, 2" and told["leg_ext"].startswith("20 s, about ")
