"""An independent checker of every hard rule, on any plan: it reads the block file and the raw inputs, nothing else.

Hard are restrictions, equipment, loads that can be built, minutes, clearance; and a plan has to be whole: its days,
its weeks, its counted sets, its proof. It shares no code with the planner (a test says so); the stress of joints alone
is handed in, because it is data that the catalogue publishes.
"""

from __future__ import annotations

import json
from collections.abc import Callable, Iterator, Mapping
from dataclasses import dataclass
from datetime import date, timedelta
from itertools import pairwise
from typing import Any

from exercise_facts import Facts, all_facts, counted
from hard_loads import clash, wrong_load
from hard_minutes import session_minutes
from hard_restrictions import (
    can_be_set_up,
    closed_by_person,
    crossed,
    is_cleared_on,
    must_be_easy,
    there,
)

WEEKDAYS = ("mon", "tue", "wed", "thu", "fri", "sat", "sun")
PARTS = ("warm-up", "main", "skill", "assistance", "finisher", "loaded-mobility", "conditioning")
STRENGTH = ("main", "skill", "assistance", "finisher")
ON_THE_ROAD = {"none", "wall", "band", "band_heavy", "loop_band", "towel", "door", "chair_bench", "step"}
MINUTE = 0.06  # the sheet says tenths
Stress = Callable[[str, Mapping[str, Any]], Mapping[str, int]]


@dataclass(frozen=True)
class Breach:
    """One broken rule: which, where on the sheet, and what was found."""

    rule: str
    where: str
    what: str

    def __str__(self) -> str:
        return f"{self.rule} | {self.where} | {self.what}"


@dataclass(frozen=True)
class Given:
    """The raw inputs of a plan, as they were handed to the planner."""

    trainee: Any
    places: tuple[Any, ...]
    brief: Any
    stress: Stress

    def place(self, name: str) -> Any:
        return next((one for one in self.places if one.id == name), None)


def check_block(
    block: Mapping[str, Any], given: Given, before: Mapping[str, Any] | None = None, from_week: int = 1
) -> list[Breach]:
    """Every hard rule that a block breaks; empty for a good one.

    before, from_week : the revision that this one was made from, and the first week that may differ from it
    """
    found: list[Breach] = []
    for week in block["weeks"]:
        if week["number"] < from_week:
            continue
        for session in week["sessions"]:
            where = f"week {week['number']} {session['day']}"
            longest = longest_allowed(session, week, given, before)
            found += check_session(session, where, given, longest, week["number"])
    found += check_effort(block, given, from_week)
    found += check_frame(block, given, is_new=before is None)
    found += check_credits(block)
    found += check_proof(block["proof"])
    if before is not None:
        found += check_kept(block, before, from_week)
    return found


# Sessions: restrictions, equipment, loads, stations, minutes


def check_session(
    session: Mapping[str, Any], where: str, given: Given, longest: float | None, week: int = 1
) -> Iterator[Breach]:
    on = last_of(given, week)
    place = given.place(session["place"])
    if place is None:
        yield Breach("structure", where, f"no place {session['place']!r}")
        return
    minutes = session_minutes(session)  # type: ignore[arg-type]
    if abs(minutes - session["minutes"]) > MINUTE:
        yield Breach("minutes", where, f"says {session['minutes']:g} min, takes {minutes:.2f}")
    if longest is not None and minutes > longest + MINUTE:
        yield Breach("minutes", where, f"takes {minutes:.2f} min of {longest:g}")
    names = [part["part"] for part in session["parts"]]
    if names != [name for name in PARTS if name in names] or len(set(names)) != len(names):
        yield Breach("structure", where, f"parts in the order {names}")
    for part in session["parts"]:
        spot = f"{where} {part['part']}"
        if not part["entries"]:
            yield Breach("structure", spot, "a part without entries")
        for entry in part["entries"]:
            yield from check_entry(entry, part["part"], f"{spot} {entry['exercise']}", given, place, on)
        yield from check_supersets(part["entries"], spot, place)


def last_of(given: Given, week: int) -> date:
    """The last day of a week of the block: until then a clearance has to hold."""
    return given.brief.start + timedelta(days=7 * week - 1)  # type: ignore[no-any-return]


def check_entry(
    entry: Mapping[str, Any], part: str, where: str, given: Given, place: Any, on: date
) -> Iterator[Breach]:
    known = all_facts()
    one = known.get(entry["exercise"])
    if one is None:
        yield Breach("structure", where, "no such exercise")
        return
    dials = entry["dials"]
    yield from closed(one, dials, where, given, on)
    if not can_be_set_up(one, there(place)):
        yield Breach("equipment", where, f"needs one of {[sorted(option) for option in one.options]}")
    if dials.get("heel_mm", one.dials.get("heel_mm")) and not there(place) & {"wedge", "plates", "step"}:
        yield Breach("equipment", where, "raised heels, and nothing to put under them")
    for planned in entry["sets"]:
        wrong = wrong_load(one, planned, place)
        if wrong:
            yield Breach("load", where, wrong.removeprefix("load: "))
        yield from check_inside(entry, planned, one, where, given, place)
    yield from check_sets(entry["sets"], one, where)
    yield from check_easy(entry, part, one, where, given)
    for other in entry["alternatives"]:
        spot = f"{where} alternative {other['exercise']}"
        yield from closed(known[other["exercise"]], {}, spot, given, on)
        tokens = ON_THE_ROAD if other["case"] == "travelling" else there(place)
        if not can_be_set_up(known[other["exercise"]], tokens):
            yield Breach("equipment", spot, f"not there ({other['case']})")
    if entry["filler"] is not None:
        spot = f"{where} filler {entry['filler']['exercise']}"
        yield from closed(known[entry["filler"]["exercise"]], {}, spot, given, on)
        if not can_be_set_up(known[entry["filler"]["exercise"]], there(place)):
            yield Breach("equipment", spot, "not there")


def closed(one: Facts, dials: Mapping[str, Any], where: str, given: Given, on: date) -> Iterator[Breach]:
    """What restrictions and the person's history close."""
    stress = given.stress(one.slug, dials)
    for rule in given.trainee.restrictions:
        for what in crossed(one, rule, dials, stress, on):
            yield Breach("restriction", where, f"{rule.id} ({rule.side} {rule.joint}): {what}")
    for what in closed_by_person(one, given.trainee):
        yield Breach("restriction", where, what)


def check_inside(
    entry: Mapping[str, Any], planned: Mapping[str, Any], one: Facts, where: str, given: Given, place: Any
) -> Iterator[Breach]:
    """Parts inside a set: something to do, loads that are there and never heavier, holds inside the range allowed."""
    last = planned["load_kg"]
    for part in planned.get("inside", []):
        if not part.get("reps") and not part.get("hold_s") and not part.get("left"):
            yield Breach("structure", where, "a part inside a set with nothing to do")
        load = part.get("load_kg")
        if load is not None:
            wrong = wrong_load(one, {**planned, "load_kg": load, "pieces": part.get("pieces", "")}, place)
            if wrong:
                yield Breach("load", where, f"inside: {wrong.removeprefix('load: ')}")
            if last is None or load > last:
                yield Breach("load", where, f"inside: {load:g} kg after {last} kg")
            last = load
        for rule in given.trainee.restrictions:
            easy = must_be_easy(one, rule, entry["dials"])
            if easy and part.get("left"):
                yield Breach(
                    "restriction", where, f"{rule.id}: inside: all that is left, for a {rule.level} {rule.joint}"
                )
            angle = part.get("angle_deg")
            limits = [
                deg for name, deg in rule.max_angles.items() if name in one.angles and one.works(joint_of(name), ())
            ]
            if angle is not None and limits and angle > min(limits):
                yield Breach("restriction", where, f"{rule.id}: inside: held at {angle:g}, allowed {min(limits):g}")


def joint_of(motion: str) -> str:
    return motion.split("-")[0]


def check_easy(entry: Mapping[str, Any], part: str, one: Facts, where: str, given: Given) -> Iterator[Breach]:
    """What still works a joint that may do little is planned with four and more left (decision 0005, point 3)."""
    if part not in STRENGTH:
        return
    for rule in given.trainee.restrictions:
        if not must_be_easy(one, rule, entry["dials"]):
            continue
        for planned in entry["sets"]:
            hard = planned["rir"] is not None and planned["rir"] < 4
            few = planned["kind"] == "work" and planned["reps"] is not None and planned["reps"][0] < 6
            if planned["kind"] != "ramp" and (hard or few):
                what = f"{planned['reps']} with {planned['rir']} left for a {rule.level} {rule.joint}"
                yield Breach("restriction", where, f"{rule.id} ({rule.side} {rule.joint}): easy: {what}")
                return


def check_sets(sets: list[Mapping[str, Any]], one: Facts, where: str) -> Iterator[Breach]:
    """Whole sets: something to do in each, ranges the right way round, efforts that agree."""
    if not any(planned["kind"] != "ramp" for planned in sets):
        yield Breach("structure", where, "no working set")
    for planned in sets:
        if not any(planned[key] for key in ("reps", "hold_s", "distance_m", "time_s")):
            yield Breach("structure", where, "a set with nothing to do")
        if planned["reps"] is not None and not 1 <= planned["reps"][0] <= planned["reps"][1]:
            yield Breach("structure", where, f"repetitions {planned['reps']}")
        if planned["rest_s"] < 0 or any((planned[key] or 0) < 0 for key in ("hold_s", "hold_after_s", "time_s")):
            yield Breach("structure", where, "seconds below 0")
        if planned["chance"] is not None and not 0 <= planned["chance"] <= 1:
            yield Breach("structure", where, f"chance {planned['chance']}")
        both = planned["rir"] is not None and planned["rpe"] is not None
        if both and abs(max(1.0, 10 - planned["rir"]) - planned["rpe"]) > 1e-6:
            yield Breach("structure", where, f"RPE {planned['rpe']} with {planned['rir']} left")
        low_high = planned["load_range_kg"]
        if low_high is not None and low_high[0] > low_high[1]:
            yield Breach("structure", where, f"load range {low_high}")
        means = {one.means, "total"} if one.means == "each hand" else {one.means}
        if planned["load_means"] not in means:
            yield Breach("load", where, f"a load that means {planned['load_means']!r}, the exercise's is {one.means!r}")


def check_supersets(entries: list[Mapping[str, Any]], where: str, place: Any) -> Iterator[Breach]:
    known = all_facts()
    groups: dict[str, list[int]] = {}
    for index, entry in enumerate(entries):
        if entry["superset"]:
            groups.setdefault(entry["superset"], []).append(index)
    for label, spots in groups.items():
        if len(spots) < 2:
            yield Breach("structure", where, f"superset {label} of one")
        if spots != list(range(spots[0], spots[0] + len(spots))):
            yield Breach("structure", where, f"superset {label} is not side by side")
        members = [(known[entries[spot]["exercise"]], list(entries[spot]["sets"])) for spot in spots]
        wrong = clash(members, place)  # type: ignore[arg-type]
        if wrong:
            names = " + ".join(entries[spot]["exercise"] for spot in spots)
            yield Breach("station", f"{where} superset {label} {names}", wrong.removeprefix("station: "))


def cap_of(day: str, given: Given) -> float | None:
    """Minutes there are on a weekday: the person's and the brief's, the smaller."""
    minutes = next((one.minutes for one in given.trainee.days if one.day == day), None)
    return None if minutes is None else min(minutes, given.brief.minutes)


def longest_allowed(
    session: Mapping[str, Any], week: Mapping[str, Any], given: Given, before: Mapping[str, Any] | None
) -> float | None:
    """The most that a session may take: its cap, or what it took before where that was more already."""
    cap = cap_of(session["day"], given)
    if before is None or cap is None:
        return cap
    old = [one for w in before["weeks"] if w["number"] == week["number"] for one in w["sessions"]]
    return max([cap, *(one["minutes"] for one in old if one["day"] == session["day"])])


# Clearance and effort


def why_not_at_all(trainee: Any, top_rpe: float, on: date) -> str:
    """Why nothing may be planned for a person (Riebe 2015 as ``people.screening`` words it), or an empty string."""
    said = trainee.screening
    cleared = is_cleared_on(said.clearance, on)
    if cleared and said.clearance.expires_on is None:
        cleared = on - said.clearance.given_on <= timedelta(days=365)
    if said.red_flags:
        return "red flag"
    if cleared:
        return ""
    if said.signs_or_symptoms:
        return "signs or symptoms"
    if said.pregnant:
        return "pregnancy"
    if said.known_disease and not said.active_now:
        return "known disease, not active"
    if said.known_disease and top_rpe > 6:
        return "known disease, vigorous effort"
    return ""


def highest_effort(trainee: Any, on: date) -> float:
    """The hardest RPE that may stand on any sheet of a person."""
    said = trainee.screening
    scope = said.clearance.scope.lower() if said.clearance is not None else ""
    asked = said.known_disease or said.signs_or_symptoms
    cleared = is_cleared_on(said.clearance, on)
    if said.pregnant or (asked and ("light" in scope or "moderate" in scope)) or (said.known_disease and not cleared):
        return 6.0
    age = on.year - trainee.birth_year
    return 7.0 if age < 16 or (age >= 65 and trainee.training_years < 0.5) else 10.0


def check_effort(block: Mapping[str, Any], given: Given, from_week: int) -> Iterator[Breach]:
    for on in {given.brief.start: 0, **{last_of(given, week["number"]): 0 for week in block["weeks"]}}:
        why = why_not_at_all(given.trainee, max(given.brief.rpe), on)
        if why:
            yield Breach("clearance", "block", f"planned without clearance on {on}: {why}")
    most = highest_effort(given.trainee, given.brief.start)
    for week in block["weeks"]:
        if week["number"] < from_week:
            continue
        if week["rpe"] > most:
            yield Breach("clearance", f"week {week['number']}", f"RPE {week['rpe']:g}, at most {most:g}")
        for where, planned in all_sets(week):
            if planned["rpe"] is not None and planned["kind"] != "ramp" and planned["rpe"] > most:
                yield Breach("clearance", where, f"RPE {planned['rpe']:g}, at most {most:g}")


def all_sets(week: Mapping[str, Any]) -> Iterator[tuple[str, Mapping[str, Any]]]:
    for session in week["sessions"]:
        for part in session["parts"]:
            for entry in part["entries"]:
                for planned in entry["sets"]:
                    yield f"week {week['number']} {session['day']} {part['part']} {entry['exercise']}", planned


# The frame: days, weeks, easier weeks, wishes


def check_frame(block: Mapping[str, Any], given: Given, is_new: bool) -> Iterator[Breach]:
    brief, trainee = given.brief, given.trainee
    numbers = [week["number"] for week in block["weeks"]]
    if numbers != list(range(1, brief.weeks + 1)):
        yield Breach("structure", "block", f"weeks {numbers}, the brief wants {brief.weeks}")
    if block["trainee"] != trainee.id:
        yield Breach("structure", "block", f"for {block['trainee']!r}")
    places = {one.day: one.place for one in trainee.days}
    for week in block["weeks"]:
        days = [session["day"] for session in week["sessions"]]
        where = f"week {week['number']}"
        if days != sorted(set(days), key=WEEKDAYS.index) or not set(days) <= set(places):
            yield Breach("structure", where, f"sessions on {days}, the person trains on {sorted(places)}")
        if len(days) != min(brief.days_a_week, len(places)):
            yield Breach("structure", where, f"{len(days)} sessions of {brief.days_a_week}")
        for session in week["sessions"]:
            if places.get(session["day"], session["place"]) != session["place"]:
                yield Breach("structure", f"{where} {session['day']}", f"at {session['place']}")
            cap = cap_of(session["day"], given)
            if cap is not None and (session["minutes_cap"] is None or abs(session["minutes_cap"] - cap) > 1e-6):
                yield Breach("minutes", f"{where} {session['day']}", f"cap {session['minutes_cap']}, there are {cap:g}")
    yield from check_easy_weeks(block["weeks"], is_new)
    if is_new:
        yield from check_wishes(block, given)


def check_easy_weeks(weeks: list[Mapping[str, Any]], is_new: bool) -> Iterator[Breach]:
    """An easier week is no harder than the week before it, in sets and in effort."""
    for last, week in pairwise(weeks):
        if week["kind"] != "deload" or last["kind"] == "deload":
            continue
        where = f"week {week['number']}"
        if week["rpe"] > last["rpe"]:
            yield Breach("structure", where, f"an easier week at RPE {week['rpe']:g} after {last['rpe']:g}")
        sets = [sum(planned["kind"] != "ramp" for _, planned in all_sets(one)) for one in (last, week)]
        if is_new and last["kind"] != "return" and sets[1] > sets[0]:
            yield Breach("structure", where, f"an easier week with {sets[1]} sets after {sets[0]}")


def check_wishes(block: Mapping[str, Any], given: Given) -> Iterator[Breach]:
    """What the coach left out is nowhere; what the coach asked for is there, or the block says why not."""
    brief = given.brief
    on_sheet = {w.rsplit(" ", 1)[1] for week in block["weeks"] for w, _ in all_sets(week)}
    for slug in sorted(on_sheet & set(brief.exclude)):
        yield Breach("left out", "block", f"{slug} is planned, the brief leaves it out")
    wished = [wish.exercise for wish in brief.lifts] + list(brief.include)
    if set(wished) - on_sheet and not block["unmet"]:
        yield Breach("structure", "block", f"{sorted(set(wished) - on_sheet)} missing without a word")


# Counted sets, proof, what stays


def check_credits(block: Mapping[str, Any]) -> Iterator[Breach]:
    own: dict[tuple[int, str], list[float]] = {}
    for week in block["weeks"]:
        for session in week["sessions"]:
            for part in session["parts"]:
                if part["part"] not in STRENGTH:
                    continue
                for entry in part["entries"]:
                    sets = sum(planned["kind"] != "ramp" for planned in entry["sets"])
                    for muscle, credit in counted(entry["exercise"]).items():
                        row = own.setdefault((week["number"], muscle), [0.0, 0.0])
                        row[0] += sets if credit == 1.0 else 0.0
                        row[1] += sets * credit
    printed = {(row["week"], row["muscle"]): [row["direct"], row["fractional"]] for row in block["set_credits"]}
    for key in sorted(set(own) | set(printed)):
        if own.get(key) != printed.get(key):
            yield Breach("credits", f"week {key[0]}", f"{key[1]}: {printed.get(key)} printed, {own.get(key)} counted")


def check_proof(proof: Mapping[str, Any]) -> Iterator[Breach]:
    """The bound never lies above the value, the gap is their difference, and "optimal" means no gap."""
    objective, bound, gap, status = (proof[key] for key in ("objective", "bound", "gap", "status"))
    if bound > objective + 2e-3:
        yield Breach("proof", "proof", f"bound {bound} above {objective}")
    if abs(max(0.0, objective - bound) - gap) > 2e-3:
        yield Breach("proof", "proof", f"gap {gap}, {objective} - {bound}")
    if status not in ("optimal", "feasible") or (status == "optimal" and gap > 2e-3):
        yield Breach("proof", "proof", f"{status} with a gap of {gap}")


def check_kept(block: Mapping[str, Any], before: Mapping[str, Any], from_week: int) -> Iterator[Breach]:
    """Weeks that are done stay to the letter, and the revision says where it comes from.

    The counted reasons of entries are left out: they belong to the block they were counted for.
    """
    for old, new in zip(before["weeks"], block["weeks"], strict=True):
        if old["number"] < from_week and json.dumps(unreasoned(old)) != json.dumps(unreasoned(new)):
            yield Breach("done weeks", f"week {old['number']}", "changed although it is done")
    if block["parent"] != before["id"] or block["revision"] != before["revision"] + 1:
        yield Breach("structure", "block", f"revision {block['revision']} of {block['parent']}")


def unreasoned(value: Any) -> Any:
    """JSON values without the reasons of entries."""
    if isinstance(value, dict):
        return {key: unreasoned(one) for key, one in value.items() if key != "reasons"}
    return [unreasoned(one) for one in value] if isinstance(value, list) else value
