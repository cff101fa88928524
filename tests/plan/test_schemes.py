"""Set schemes: their files, what they suit, the loads and minutes of their sets, and what they count."""

from __future__ import annotations

from dataclasses import replace
from importlib import resources
from itertools import pairwise

import pytest
from made_block import BRIEF, GYM, PERSON, START, estimates_of

from setwright.catalogue.load import catalogue, catalogue_with
from setwright.dose.implements import loads_in
from setwright.faults import InputFaults
from setwright.people.place import Counted, Stack
from setwright.people.trainee import Restriction, Trainee
from setwright.plan.arrange import scheme_for
from setwright.plan.as_template import scheme_as, scheme_of
from setwright.plan.block import Block, Entry
from setwright.plan.brief import Brief, LiftWish
from setwright.plan.brief_file import read_brief
from setwright.plan.own_rules import OwnRule
from setwright.plan.pairing import scheme_work_s
from setwright.plan.restrict import restrict_block
from setwright.plan.rules.own import broken_own_rules
from setwright.plan.rules.view import View
from setwright.plan.rules.volume import too_many_sets_of_a_lift
from setwright.plan.schemes import counted_sets, packaged_schemes, read_scheme, schemes_of, unsuited
from setwright.plan.session_time import set_time
from setwright.plan.shorthand import read_block_text, write_block_text
from setwright.plan.stretch import Stretch
from setwright.plan.template import BASIC_KINDS, Scheme
from setwright.plan.weeks import WeekShape
from setwright.plan.written import fit_written
from setwright.services.deeds import plain_brief
from setwright.strength.compound import Body, Piece
from setwright.strength.holds import curve_of
from setwright.strength.short_rests import Bout, hardest_moment

PLACE = replace(GYM, stacks=(*GYM.stacks, Stack("machine:leg_extension", 2.5, 2.5, 120)))
TEMPLATE = resources.files("setwright.plan").joinpath("data", "scheme.template.toml").read_text(encoding="utf-8")
SCHEMES = packaged_schemes()


def block_of(*lines: str, person: Trainee = PERSON, place: object = PLACE) -> Block:
    text = "\n".join(["Block: Invented schemes", "4 weeks", "Monday, 90 min", *lines])
    written = read_block_text(text, catalogue())
    brief = plain_brief(written.title, written.weeks, 1, START)
    return fit_written(written, person, (place,), brief, catalogue(), estimates_of(person))  # type: ignore[arg-type]


def entry_of(*lines: str, **more: object) -> Entry:
    block = block_of(*lines, **more)  # type: ignore[arg-type]
    return next(e for p in block.weeks[0].sessions[0].parts for e in p.entries if e.written)


def working(entry: Entry) -> list:  # type: ignore[type-arg]
    return [one for one in entry.sets if one.kind != "ramp"]


# The files


@pytest.mark.parametrize("name", SCHEMES)
def test_each_packaged_scheme_suits_something_and_names_its_sources(name: str) -> None:
    one = SCHEMES[name]
    fitting = [each.slug for each in catalogue().values() if not unsuited(one, each)]

    assert fitting and one.log and one.counts_source and one.fatigue_source and one.rule
    assert one.counts <= one.counts_at_most


def test_all_basic_kinds_have_a_file() -> None:
    assert set(SCHEMES) >= BASIC_KINDS


def test_the_template_is_a_scheme() -> None:
    one = read_scheme("schemes/six-and-hold.toml", TEMPLATE)

    assert (one.name, one.title, len(one.pieces)) == ("six-and-hold", "six and hold", 3)


@pytest.mark.parametrize(
    ("old", "new", "path", "allowed"),
    [
        ("fatigue = 1.3", "fatige = 1.3", "fatige", "Did you mean fatigue?"),
        ("hold_s = 8", "hold_s = 8\nreps = [3, 3]", "piece[2]", "one of reps, hold_s"),
        ("reps = [6, 6]", "as_many_as_are_left = true", "piece[1]", "work at the full load"),
        ("load_share = 1.0", "load_share = 1.4", "piece[3].load_share", "0.3 to 1"),
        ('progress = "reps then load"', 'progress = "vibes"', "progress", "reps then load"),
        ('"hinge"', '"hinges"', "suits.not_patterns[1]", "Nearest: hinge"),
        ('log = ["load_kg"', 'log = ["weight"', "log[1]", "load_kg"),
        ("[[piece]]", "[[pieces]]", "piece", "required"),
    ],
)
def test_a_broken_scheme_file_is_one_clear_fault(old: str, new: str, path: str, allowed: str) -> None:
    with pytest.raises(InputFaults) as caught:
        read_scheme("schemes/own.toml", TEMPLATE.replace(old, new))

    sentence = next(one.sentence() for one in caught.value.faults if one.path == path)
    assert allowed in sentence and sentence.startswith(f"schemes/own.toml: {path}")


@pytest.mark.parametrize(
    ("path", "text", "found"),
    [
        ("schemes/straight.toml", TEMPLATE, "built in"),
        ("schemes/Own One.toml", TEMPLATE, "small letters"),
        ("schemes/own.toml", TEMPLATE.replace('"six-and-hold sets"', '"clusters"'), "a word that"),
    ],
)
def test_an_own_scheme_can_not_take_a_built_in_or_doubled_name(path: str, text: str, found: str) -> None:
    with pytest.raises(InputFaults, match=found):
        schemes_of(catalogue_with(((path, text),)))


def test_an_own_scheme_takes_the_place_of_a_packaged_one() -> None:
    own = TEMPLATE.replace('name = "six and hold"', 'name = "rest-pause of ours"')

    assert schemes_of(catalogue_with((("schemes/rest-pause.toml", own),)))["rest-pause"].title == "rest-pause of ours"
    assert SCHEMES["rest-pause"].title == "rest-pause"


# What suits


@pytest.mark.parametrize(
    ("scheme", "exercise", "reason"),
    [
        ("drop", "deadlift", "skill"),
        ("drop", "trapbar_dl", "risk to the back"),
        ("rest-pause", "pushup", "kilograms"),
        ("rest-pause", "split_squat", "stable"),
        ("drop", "plank", "isometric"),
        ("cluster", "farmer", "counted in metres"),
    ],
)
def test_what_does_not_suit_says_why(scheme: str, exercise: str, reason: str) -> None:
    assert any(reason in one for one in unsuited(SCHEMES[scheme], catalogue().get(exercise)))


@pytest.mark.parametrize(
    ("scheme", "exercise"), [("drop", "leg_ext"), ("rest-pause", "lat_pulldown"), ("cluster", "back_squat")]
)
def test_what_suits_is_not_argued_with(scheme: str, exercise: str) -> None:
    assert unsuited(SCHEMES[scheme], catalogue().get(exercise)) == ()


@pytest.mark.parametrize(
    ("change", "reason"), [({"birth_year": 2012}, "16 and older"), ({"training_years": 0.2}, "6 months")]
)
def test_a_coach_may_write_rest_pause_for_anybody_and_is_warned(change: dict[str, object], reason: str) -> None:
    block = block_of("leg extension 2 x 12, rest-pause", person=replace(PERSON, **change))  # type: ignore[arg-type]
    (warning,) = [one for one in block.unmet if one.wish.startswith("rest-pause")]

    assert reason in warning.why
    assert any(e.scheme == "rest-pause" for p in block.weeks[0].sessions[0].parts for e in p.entries)


@pytest.mark.parametrize("line", ["leg extension 2 x 12, rest-pause", "leg extension 3 x (4+4+4), 20 s inside"])
def test_a_limited_joint_gets_straight_sets(line: str) -> None:
    limited = Restriction("knee", "knee", level="hard", max_angles={"knee-flexion": 60.0})
    block = block_of(line, person=replace(PERSON, restrictions=(limited,)))
    entries = [e for w in block.weeks for p in w.sessions[0].parts for e in p.entries if e.written]

    assert entries and all(e.scheme == "straight" and not any(one.inside for one in e.sets) for e in entries)
    assert any("knee is limited: straight sets" in one.why for one in block.changes)


def test_a_restriction_that_comes_later_ends_rest_pause_there_and_only_there() -> None:
    block = block_of("leg extension 2 x 12, rest-pause", "dumbbell curl 2 x 12, drop set")
    knee = Restriction("knee", "knee", level="hard", max_angles={"knee-flexion": 100.0})
    new = restrict_block(block, knee, catalogue(), estimates_of(PERSON), 1)
    old, left = (
        {e.exercise: e for p in one.weeks[0].sessions[0].parts for e in p.entries if e.written} for one in (block, new)
    )

    assert left["leg_ext"].scheme == "straight" and not any(one.inside for one in left["leg_ext"].sets)
    assert [one.load_kg for one in left["leg_ext"].sets] == [one.load_kg for one in old["leg_ext"].sets]
    assert left["curl_db"].sets == old["curl_db"].sets
    assert any("rest pause where the knee is limited" in one.why for one in new.changes)
    assert new.weeks[0].sessions[0].minutes < block.weeks[0].sessions[0].minutes


def test_parts_done_in_a_row_are_never_heavier() -> None:
    """Six in a row at the reserve of 2 + 2 + 2 take less load; a load that was written is for the first part."""
    cluster = Scheme("cluster", 3, reps=(2, 2), rir=2.0, inside=(Stretch((2, 2), rest_s=20.0),) * 2)

    assert cluster.as_straight().reps == (6, 6)
    assert replace(cluster, pct=0.8).as_straight().reps == (2, 2)
    assert replace(cluster, reps=(12, 12)).as_straight().reps == (16, 16)


def test_easy_weeks_of_a_written_block_have_straight_sets() -> None:
    block = block_of(
        "weeks 1 to 3 RPE 8, week 4 easy", "leg extension 3 x 12, drop set", "bench press 3 x (2+2), 20 s inside"
    )
    kinds = [[e.scheme for p in w.sessions[0].parts for e in p.entries if e.written] for w in block.weeks]
    easy = [e for p in block.weeks[3].sessions[0].parts for e in p.entries if e.written]

    assert kinds == [["cluster", "drop"]] * 3 + [["cluster", "straight"]]
    assert "Drop set" not in easy[1].why and "Cluster sets" in easy[0].why


# Loads


def test_a_cluster_gets_a_load_that_leaves_what_is_wanted() -> None:
    """The account of short rests, asked the other way round; six in one go would be lighter."""
    cluster, plain = entry_of("back squat 4 x (2+2+2) @ RIR 2, 20 s inside"), entry_of("back squat 4 x 6 @ RIR 2")
    one, known = working(cluster)[0], estimates_of(PERSON)
    lift = known.for_exercise("back_squat")
    body = Body(lift.posterior.k().mean, curve_of(catalogue().get("back_squat")), known.endurance)
    two = Piece(reps=2.0)
    bouts = [Bout(two), Bout(two, 20.0), Bout(two, 20.0)]
    share = one.load_kg / lift.posterior.one_rm().mean

    assert one.load_kg > working(plain)[0].load_kg
    assert hardest_moment(bouts, 2.0, share, body) < 1.0 < hardest_moment(bouts, 2.0, 1.15 * share, body)
    assert [part.reps for part in one.inside] == [(2, 2), (2, 2)] and {part.rest_s for part in one.inside} == {20.0}


@pytest.mark.parametrize(
    "line",
    [
        "leg extension 3 x 10-12, drop set",
        "leg extension 3 x 12, then 3 drops of 25 %",
        "bench press top set of 5 @ RPE 8, then 3 x 5 at 10 % less",
        "dumbbell row 3 x 10, drop set",
    ],
)
def test_every_load_inside_a_set_can_be_built(line: str) -> None:
    entry = entry_of(line)
    can = {one.load_kg: one.pieces for one in loads_in(PLACE, catalogue().get(entry.exercise))}
    loads = [(one.load_kg, one.pieces) for one in working(entry)]
    loads += [(part.load_kg, part.pieces) for one in working(entry) for part in one.inside]

    assert len({load for load, _ in loads}) >= 2
    assert all(can[load] == pieces for load, pieces in loads)


def test_drops_are_lighter_each_time_and_by_no_less_than_wanted() -> None:
    one = working(entry_of("leg extension 2 x 12, then 3 drops of 20 %"))[0]
    loads = [one.load_kg, *(part.load_kg for part in one.inside)]

    assert all(after < before for before, after in pairwise(loads))
    assert all(load <= 0.8**n * loads[0] + 1e-9 for n, load in enumerate(loads))
    assert all(part.reps and part.reps[0] <= part.reps[1] for part in one.inside)


def test_a_drop_that_the_place_lacks_is_left_out_and_said() -> None:
    bare = replace(PLACE, dumbbells=(Counted(17.5, 2),))
    entry = entry_of("dumbbell row 3 x 10, drop set", place=bare)

    assert all(not one.inside for one in working(entry)) and "no lighter load" in working(entry)[0].note
    assert counted_sets(entry, catalogue()) == 3.0


def test_rest_pause_says_fewer_each_time() -> None:
    one = working(entry_of("leg extension rest-pause 2 x 12"))[0]
    middles = [sum(part.reps) / 2 for part in (one, *one.inside)]

    assert one.rir == 1.0 and len(one.inside) == 2
    assert middles[0] > 1.5 * middles[1] and middles[1] >= middles[2] >= 2.0


def test_back_offs_leave_more_than_the_top_set() -> None:
    top, *after = working(entry_of("bench press top set of 3 @ RPE 8, then 2 x 6 at 85 % of it"))

    assert (top.reps, top.rir, top.load_share) == ((3, 3), 2.0, None)
    assert [(one.reps, one.load_share) for one in after] == [((6, 6), 0.85)] * 2
    assert all(one.load_kg <= 0.85 * top.load_kg and one.rir >= top.rir for one in after)


def test_double_progression_names_the_next_load_and_keeps_this_one() -> None:
    block = block_of("weeks 1 to 3 RPE 7, week 4 RPE 9", "leg extension 3 x 8-12, add load when all reach 12")
    entries = [e for w in block.weeks for p in w.sessions[0].parts for e in p.entries if e.written]
    first = working(entries[0])[0]
    above = min(x.load_kg for x in loads_in(PLACE, catalogue().get("leg_ext")) if x.load_kg > first.load_kg)

    assert {working(e)[0].load_kg for e in entries} == {first.load_kg} and first.reps == (8, 12)
    assert f"take {above:g} kg next time and begin at 8" in first.note


def test_a_set_dosed_anew_keeps_its_scheme() -> None:
    for line in ("back squat 4 x (2+2+2), 20 s inside", "bench press top set of 5, then 3 x 6 at 10 % less"):
        entry = entry_of(line)
        again = scheme_of(entry)

        assert again is not None and again.kind == entry.scheme and again.sets == len(working(entry))
        assert len(again.inside) == len(working(entry)[0].inside)
        assert (again.back_offs, again.back_reps) == ((None, None) if again.inside else (0.9, (6, 6)))


def test_another_exercise_takes_only_schemes_that_suit_it() -> None:
    drop = scheme_of(entry_of("leg extension 3 x 12, drop set"))
    assert drop is not None

    assert scheme_as(catalogue().get("leg_press"), drop).inside
    assert not scheme_as(catalogue().get("deadlift"), drop).inside
    assert scheme_as(catalogue().get("plank"), drop).kind == "hold"


# Minutes and counted sets


def test_rests_and_parts_inside_take_their_seconds() -> None:
    """Arithmetic: 2 + 2 + 2 at 3 s with 20 s twice is 18 s of work and 40 s of rest, over six in one go's 18 s."""
    squat = catalogue().get("back_squat")
    cluster = working(entry_of("back squat 4 x (2+2+2) @ RIR 2, 20 s inside"))[0]
    six = working(entry_of("back squat 4 x 6 @ RIR 2"))[0]

    assert set_time(cluster, squat).work_s - set_time(six, squat).work_s == pytest.approx(40.0)
    scheme = scheme_of(entry_of("back squat 4 x (2+2+2) @ RIR 2, 20 s inside"))
    assert scheme is not None and scheme_work_s(squat, scheme) == pytest.approx(set_time(cluster, squat).work_s)


@pytest.mark.parametrize(
    ("line", "counts"),
    [
        ("back squat 4 x (2+2+2), 20 s inside", 4.0),  # a cluster set is one set: Davies 2021
        ("leg extension 2 x 12, rest-pause", 4.0),  # 1 + 0.5 + 0.5 each
        ("leg extension 3 x 10-12, drop set", 4.5),  # 1 + 0.5 each
        ("leg extension 1 x 12, then 4 drops of 15 %", 2.0),  # two at most: Fink 2018 would allow three
        ("leg extension 3 x 8, hold the last rep 10 s", 3.0),
        ("bench press top set of 5, then 3 x 5 at 10 % less", 4.0),
    ],
)
def test_what_the_sets_count(line: str, counts: float) -> None:
    block = block_of(line)
    entry = next(e for p in block.weeks[0].sessions[0].parts for e in p.entries if e.written)
    most = max(one.direct for one in block.set_credits if one.week == 1)

    assert counted_sets(entry, catalogue()) == counts == most


def test_the_rules_count_sets_as_the_scheme_does() -> None:
    """By hand: three rest-pause sets of three parts count 2 each, 6; four count 8, past the handbook's six of a lift.

    Clusters count 1 a set, so four of them are four.
    """
    own = OwnRule("own-1", "Five at most.", "at-most-sets", muscle="quadriceps", sets=5.0, per="session")

    def view_of(line: str) -> View:
        block = block_of(line)
        brief = replace(block.inputs.brief, own_rules=(own,))
        return View(replace(block, inputs=replace(block.inputs, brief=brief)), catalogue())

    three = view_of("leg extension 3 x 12, rest-pause")
    four = view_of("leg extension 4 x 12, rest-pause")
    cluster = view_of("back squat 4 x (2+2+2), 20 s inside")

    assert three.total_sets(1) == 6.0 and not list(too_many_sets_of_a_lift(three))
    assert list(too_many_sets_of_a_lift(four)) == ["leg extension machine has 8 counted sets on mon."]
    assert [where for _, where in broken_own_rules(three)] == ["6 on mon in weeks 1 to 4."]
    assert cluster.total_sets(1) == 4.0 and not list(broken_own_rules(cluster))
    for view in (three, four, cluster):  # and as the block's own account has them
        most = {one.muscle: one.fractional for one in view.block.set_credits if one.week == 1}
        assert {muscle: sets for (week, muscle), sets in view.sets_by_week.items() if week == 1} == most


# Written and read back


@pytest.mark.parametrize(
    "line",
    [
        "back squat 4 x (2+2+2) @ 80 %, 20 s inside, rest 3 min",
        "leg extension rest-pause 2 x 10-12, then 3 x what is left after 15 s",
        "leg extension 2 x 12+4+4",
        "leg extension 2 x 12, then 2 drops of 25 %",
        "bench press top set of 3 @ RPE 8, then 2 x 6 at 85 % of it",
        "leg extension 3 x 8-12, double progression",
        "leg extension 3 x 8, hold the last rep 10 s",
        "nordic 3 x 4 lowering 5 s, then hold 10 s",
        "wall sit 3 x 20 s at 60 degrees + 20 s at 90 degrees",
    ],
)
def test_a_line_written_from_its_scheme_reads_back(line: str) -> None:
    first = read_block_text(f"Monday\n{line}", catalogue()).template
    again = read_block_text(write_block_text("Invented", first, catalogue()), catalogue()).template

    assert [e.schemes for e in again.sessions[0].entries] == [e.schemes for e in first.sessions[0].entries]


@pytest.mark.parametrize(
    ("line", "words"),
    [
        ("leg extension 3 x 8+8", "8 each side"),
        ("leg extension 3 x 12 cluster", "its parts"),
        ("bench press 3 x 6, 20 s inside", "a set in parts"),
        ("leg extension 3 x 12, 9 drops", "1 to 4 drops"),
        ("leg extension 3 x 12, drop 90 %", "5 to 60 %"),
        ("back squat 3 x 5 at 10 % less", "top set"),
        ("leg extension 2 x 12 rest-pause, drop set", "one scheme a line"),
        ("back squat 4 x (2+2+2), 5 min inside", "1 to 90 s"),
    ],
)
def test_what_does_not_go_together_is_one_clear_fault(line: str, words: str) -> None:
    with pytest.raises(InputFaults) as caught:
        read_block_text(line, catalogue())

    (fault,) = caught.value.faults
    assert fault.path == "line 1" and words in fault.allowed


@pytest.mark.parametrize(
    ("line", "scheme"), [("leg extension 2 x 10+5+3", "rest-pause"), ("back squat 3 x 3+2+1, 30 s inside", "cluster")]
)
def test_parts_without_a_word_are_understood_and_said(line: str, scheme: str) -> None:
    (entry,) = read_block_text(line, catalogue()).template.sessions[0].entries

    assert entry.schemes[0] is not None and entry.schemes[0].kind == scheme
    assert "Understood so" in entry.why


# A brief may ask for one


def lift_scheme(name: str, rpe: float = 8.0, kind: str = "build", brief: Brief = BRIEF) -> Scheme:
    wish = LiftWish("back_squat", (4, 6), 3, 1, "strength", name)
    shape = WeekShape(1, kind, rpe, 1.0)  # type: ignore[arg-type]
    asked = replace(brief, lifts=(wish,))
    return scheme_for(catalogue().get("back_squat"), 3, (4, 6), 180.0, shape, asked, "main")


def test_a_brief_gets_the_scheme_of_a_lift() -> None:
    top, cluster, plain = (lift_scheme(name) for name in ("top-and-back-offs", "cluster", ""))

    assert (top.kind, top.reps, top.sets, top.back_offs) == ("top-and-back-offs", (4, 6), 3, 0.9)
    assert (cluster.reps, len(cluster.inside), cluster.rir) == ((2, 2), 2, 2.0)
    assert (plain.kind, plain.inside, plain.back_offs) == ("straight", (), None)


def test_easy_weeks_have_no_rest_pause() -> None:
    assert lift_scheme("rest-pause", 6.0, "deload").kind == "straight"
    assert lift_scheme("rest-pause").kind == "rest-pause"


def test_double_progression_never_leaves_less_than_the_brief_allows() -> None:
    gentle = replace(BRIEF, rpe=(6.0, 7.0))

    assert {lift_scheme("double-progression", rpe, brief=gentle).rir for rpe in (6.0, 6.5, 7.0)} == {3.0}
    assert {lift_scheme("double-progression", rpe).rir for rpe in (6.5, 7.5, 8.0)} == {2.0}


def test_an_unknown_scheme_in_a_brief_is_a_fault_with_the_nearest() -> None:
    text = resources.files("setwright.plan").joinpath("data", "brief.template.toml").read_text(encoding="utf-8")
    asked = text.replace('# scheme = "top-and-back-offs"', 'scheme = "top-and-backoffs"')

    with pytest.raises(InputFaults, match=r"lifts\[1\].scheme.*Nearest: top-and-back-offs"):
        read_brief(asked, "brief.toml")
    assert read_brief(asked.replace("backoffs", "back-offs"), "brief.toml").lifts[0].scheme == "top-and-back-offs"


def test_rest_pause_tires_later_sets_more_than_straight_ones() -> None:
    """Same load, same repetitions: what the file says of fatigue shows in the chance of the last set."""
    straight = [one.chance for one in working(entry_of("leg extension 4 x 12 @ 40 kg, RIR 1"))]
    paused = [one.chance for one in working(entry_of("leg extension rest-pause 4 x 12 @ 40 kg, RIR 1"))]

    assert paused[0] == straight[0]
    assert paused[1] < straight[1]
    assert all(a <= b for a, b in zip(paused, straight, strict=True))
