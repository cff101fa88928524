"""JSON Schemas of the other published formats."""

from __future__ import annotations

from typing import Any

from setwright.review.log_file import COLUMNS, ENDED_BY, LOAD_MEANS, PAIN_KINDS, PARTS
from setwright.review.wellness_scales import Scale, scales

TEXT = {"type": "string"}


def number(low: float, high: float, sentence: str, whole: bool = False) -> dict[str, Any]:
    """A number within limits."""
    kind = "integer" if whole else "number"
    return {"type": kind, "minimum": low, "maximum": high, "description": sentence}


def log_schema() -> dict[str, Any]:
    """JSON Schema 2020-12 of a log: a list of rows, or an object with ``rows``."""
    row: dict[str, Any] = {
        "date": {"type": "string", "format": "date"},
        "week": number(1, 60, "week of the block", whole=True),
        "session": {**TEXT, "description": "weekday or name of the session"},
        "exercise": {**TEXT, "description": "slug or name; empty in a session's own row"},
        "set": number(1, 99, "number of the set", whole=True),
        "dials": {"type": "object"},
        "load_kg": number(-300, 1500, "kg, as load_means says; negative is help"),
        "load_lb": number(-660, 3300, "lb, instead of load_kg"),
        "load_means": {"enum": list(LOAD_MEANS)},
        "reps": number(0, 300, "repetitions done", whole=True),
        "rir": number(0, 20, "repetitions left, as called"),
        "hold_s": number(0, 3600, "seconds held"),
        "distance_m": number(0, 50000, "metres"),
        "time_s": number(0, 36000, "seconds"),
        "ended_by": {"enum": list(ENDED_BY), "description": "only muscle is failure"},
        "pain": number(0, 10, "0 none to 10", whole=True),
        "pain_where": {**TEXT, "description": "joint or region of the pain, or of the morning pain"},
        "pain_kind": {"enum": list(PAIN_KINDS)},
        "note": TEXT,
        "session_rpe": number(0, 10, "RPE of the whole session"),
        "minutes": number(0, 600, "minutes of the whole session"),
        "time": {
            **TEXT,
            "pattern": "^([01]?[0-9]|2[0-3]):[0-5][0-9](:00)?$",
            "description": "time of day the set or session began, hours:minutes",
        },
        "part": {"enum": list(PARTS), "description": "part of the session; filler is easy work in a rest"},
        "wellness": {
            "anyOf": [wellness_schema(one) for one in scales().values()] + [TEXT],
            "description": "row without an exercise: scale and an answer to each of its questions; or name=value; ...",
        },
        "morning_pain": number(0, 10, "row without an exercise: 0 none to 10, on getting up that day", whole=True),
        "bout": {**TEXT, "description": "row without an exercise: letter of the bout of conditioning on the sheet"},
        "score": {**TEXT, "description": "of conditioning: 5 rounds + 12 reps, 8:41, 9 of 10, 140 reps; cap, 4 rounds"},
        "heart_rate": number(30, 240, "mean heart rate, beats a minute"),
        "row": {**TEXT, "description": "key of the row; made from its content where missing"},
        "corrects": {**TEXT, "description": "key of the row that this one corrects"},
    }
    assert set(row) == {*COLUMNS, "load_lb"}
    rows = {
        "type": "array",
        "items": {"type": "object", "properties": row, "required": ["date"], "additionalProperties": False},
    }
    return {
        "$schema": "https://json-schema.org/draft/2020-12/schema",
        "title": "Setwright log, version 1",
        "oneOf": [
            rows,
            {"type": "object", "properties": {"rows": rows}, "required": ["rows"], "additionalProperties": False},
        ],
    }


def wellness_schema(scale: Scale) -> dict[str, Any]:
    """One questionnaire: its scale by name, and every question answered."""
    answer = {"type": "number", "minimum": scale.low, "maximum": scale.high, "multipleOf": scale.step}
    return closed(scale={"enum": [scale.name, *scale.also_called]}, **dict.fromkeys(scale.questions, answer))


def spread_schema(sentence: str) -> dict[str, Any]:
    """A number with its range."""
    keys = {"mean": {"type": "number"}, "p10": {"type": "number"}, "p90": {"type": "number"}}
    return {
        "type": "object",
        "properties": keys,
        "required": list(keys),
        "additionalProperties": False,
        "description": sentence,
    }


def maybe(schema: dict[str, Any]) -> dict[str, Any]:
    """A schema, or null."""
    return {"anyOf": [schema, {"type": "null"}]}


def closed(**properties: dict[str, Any]) -> dict[str, Any]:
    """An object with exactly these keys."""
    return {
        "type": "object",
        "properties": properties,
        "required": list(properties),
        "additionalProperties": False,
    }


def listed(item: dict[str, Any]) -> dict[str, Any]:
    """A list of one kind of item."""
    return {"type": "array", "items": item}


def estimate_schema() -> dict[str, Any]:
    """JSON Schema 2020-12 of ``estimate --json`` and strength.json; loads in kg as printed."""
    day = {"type": "string", "format": "date"}
    load, share = {"type": "number"}, number(0, 1, "share, 0 to 1")
    whole = {"type": "integer", "minimum": 0}
    tried = closed(load_kg=load, pieces=TEXT, chance=share)
    lift = closed(
        exercise=TEXT,
        one_rm_kg=spread_schema("one-repetition maximum, 8 times in 10 between p10 and p90"),
        reps_at={
            "type": "object",
            "additionalProperties": spread_schema("repetitions to failure on a day at the load that is the key, kg"),
        },
        trend_per_week=maybe(spread_schema("change of the 1RM, kg a week; null where it can't be told")),
        chance_of_gain=maybe(share),
        sets_used=whole,
        sets_doubtful=whole,
        basis={"enum": ["sets", "relatives", "body mass"]},
        body_part_kg=load,
        k=spread_schema("curve: share of 1RM = exp(-k (repetitions - 1))"),
        rests_on=TEXT,
        doubtful=listed(closed(date=day, set=TEXT)),
        first_session=maybe(closed(reps=whole, rir=load, loads=listed(tried), stop=TEXT)),
        forecast=listed(closed(date=day, one_rm_kg=spread_schema("one-repetition maximum on that day"))),
        to_sharpen=maybe(closed(reps=whole, rir=load, load_kg=load, spread_before=share, spread_after=share)),
        sets_until_sure=maybe(closed(reps=whole, rir=load, spread=share, sets=maybe(whole))),
        next_competition=maybe(closed(date=day, p10=load, p50=load, p90=load, tests=whole)),
        target=maybe(closed(load_kg=load, p10=maybe(day), p50=maybe(day), p90=maybe(day))),
    )
    hold = closed(
        exercise=TEXT,
        sets_used=whole,
        load_kg=maybe(load),
        seconds=maybe(spread_schema("seconds that it can be held")),
        seconds_at={
            "type": "object",
            "additionalProperties": spread_schema("seconds to the end on a day at the load that is the key, kg"),
        },
    )
    whole_schema = closed(
        lifts=listed(lift),
        holds=listed(hold),
        effort_bias_reps=spread_schema("repetitions by which a called reserve of four is too low"),
        as_of=day,
    )
    whole_schema["properties"]["conditioning"] = endurance_schema()  # only where something is known of it
    return {
        "$schema": "https://json-schema.org/draft/2020-12/schema",
        "title": "Setwright estimates, version 1",
        **whole_schema,
    }


def endurance_schema() -> dict[str, Any]:
    """Heart rates to train at, and critical power or speed of each exercise with all-out efforts."""
    day, value = {"type": "string", "format": "date"}, {"type": "number"}
    beats = spread_schema("beats a minute")
    zone = closed(name=TEXT, **{"from": maybe(beats), "to": maybe(beats)}, talk=TEXT)
    rate = spread_schema("W of power, m/s of speed")
    fit = closed(
        parameters={"enum": [2, 3]},
        critical=rate,
        reserve=spread_schema("J of power, m of speed"),
        most=maybe(rate),
        scatter={**value, "description": "residual spread, share of the time"},
        efforts={"type": "integer", "minimum": 3},
    )
    basis = {"enum": ["measured maximum", "heart-rate reserve", "measured threshold", "age equation"]}
    return closed(
        heart_rate=closed(basis=basis, maximum=beats, zones=listed(zone), rests_on=TEXT, caution=TEXT),
        critical=listed(
            closed(
                exercise=TEXT,
                measure={"enum": ["power", "speed"]},
                fits=listed(fit),
                why_not=maybe(TEXT),
                why_not_three=maybe(TEXT),
                other_forms={"type": "object", "additionalProperties": value},
                efforts=listed(closed(date=day, rate=value, time_s=value)),
                notes=listed(TEXT),
                unused=listed(TEXT),
            )
        ),
    )


def levers_schema() -> dict[str, Any]:
    """JSON Schema 2020-12 of ``levers --json``; moments of all limbs of the joint together, N m."""
    value = {"type": "number"}
    share = number(0, 1, "share, 0 to 1")
    moment = maybe(spread_schema("moment, N m; null where no balance exists"))
    can = maybe(spread_schema("greatest moment, N m; null where neither a table nor a graded set gives one"))
    curve = listed(closed(angle_deg=value, moment_nm=moment, capacity_nm=can, possible=share))
    ratio = maybe(spread_schema("moment over capacity at the hardest point; below 1 is within reach"))
    angle = maybe(spread_schema("angle, degrees"))
    limbs = number(1, 2, "limbs that share the moment", whole=True)
    joint = {
        "joint": TEXT,
        "action": TEXT,
        "limbs": limbs,
        "peak_moment_nm": moment,
        "peak_angle_deg": angle,
        "demand_ratio": ratio,
        "curve": curve,
    }
    return {
        "$schema": "https://json-schema.org/draft/2020-12/schema",
        "title": "Setwright levers, version 1",
        **closed(
            exercise=TEXT,
            model=TEXT,
            dials={"type": "object"},
            person={"type": "object"},
            phase={"enum": ["raise", "lower", "hold"]},
            **joint,
            work_j=maybe(spread_schema("work of one repetition, J")),
            capacity_from=maybe({"enum": ["table", "graded set"]}),
            break_angle_deg=angle,
            controlled_chance=maybe(share),
            share_of_body_mass=maybe(spread_schema("force carried over body weight, at its largest")),
            share_of=maybe(TEXT),
            share_curve=listed(closed(angle_deg=value, share=maybe(spread_schema("force carried over body weight")))),
            possible=share,
            stops_at_deg=maybe(value),
            why_not=maybe(TEXT),
            angle_of=TEXT,
            table_difference_nm={"type": "object", "additionalProperties": maybe(value)},
            other_joints=listed(closed(**joint)),
            swing_share=value,
            lifting=maybe(
                closed(
                    load_kg=value,
                    limit_kg=value,
                    index=maybe(value),
                    compression_n=listed(value),
                    compression_limit_n=value,
                )
            ),
            hold_s=maybe(spread_schema("seconds that the hold can be kept; 0 where it can't be held")),
            note=TEXT,
        ),
    }


def range_schema() -> dict[str, Any]:
    """JSON Schema 2020-12 of ``range --json``; readings in the unit of their test, angles in degrees."""
    value, share = {"type": "number"}, number(0, 1, "chance, 0 to 1")
    day = {"type": "string", "format": "date"}
    whole = {"type": "integer", "minimum": 0}
    verdict = {"enum": ["more", "less", "not told apart", "one occasion", "error not known"]}
    occasion = closed(date=day, value=value, readings={"type": "integer", "minimum": 1})
    test = closed(
        test=TEXT,
        name=TEXT,
        unit={"enum": ["deg", "cm"]},
        side={"enum": ["left", "right", "both"]},
        first=occasion,
        last=occasion,
        change=value,
        gain_of_range={**value, "description": "the change counted as range: above 0 is more range"},
        minimal_detectable_change=maybe(value),
        sem=maybe({**value, "description": "standard error of one reading"}),
        own_repeats=whole,
        probability_of_more_range=maybe(share),
        verdict=verdict,
        source=TEXT,
        how_had={"enum": ["seen", "derived", "memory", "none", ""]},
        weak={"type": "boolean"},
    )
    side = closed(
        test=TEXT,
        right_minus_left={**value, "description": "counted as range: above 0 is more range on the right"},
        minimal_detectable_change=maybe(value),
        probability_of_more_on_the_right=maybe(share),
        verdict=verdict,
    )
    reached = closed(
        motion=TEXT, deg=spread_schema("angle reached on the side with less"), test=TEXT, side=TEXT, date=day
    )
    limit = closed(
        exercise=TEXT,
        motion=TEXT,
        asked_deg=value,
        default={"enum": ["fitted", "left out"]},
        dials={"type": "object"},
        why=TEXT,
    )
    return {
        "$schema": "https://json-schema.org/draft/2020-12/schema",
        "title": "Setwright range, version 1",
        **closed(
            trainee=TEXT,
            as_of=maybe(day),
            tests=listed(test),
            sides=listed(side),
            reached=listed(reached),
            limits=listed(limit),
            trained_by={"type": "object", "additionalProperties": listed(TEXT)},
        ),
    }


def climb_schema() -> dict[str, Any]:
    """JSON Schema 2020-12 of ``climb --json``: one object for each progression."""
    share, day = number(0, 1, "chance, 0 to 1"), {"type": "string", "format": "date"}
    value, whole = {"type": "number"}, {"type": "integer", "minimum": 0}
    dial = {"enum": ["support", "depth", "assistance", "angle", "load"]}
    dials = {"type": "object"}
    dates = {"p10": maybe(day), "p50": maybe(day), "p90": maybe(day)}
    step = closed(
        step=whole,
        place={**whole, "description": "which step of this way, from 1"},
        exercise=TEXT,
        name=TEXT,
        dials=dials,
        exit_test=TEXT,
        chance_within_weeks={"type": "object", "additionalProperties": share},
        chance_by=maybe(closed(date=day, chance=share)),
        done_by=closed(**dates),
        order={"enum": ["the step now", "by demand", "by practice"]},
        times_as_hard=maybe({**value, "description": "demand over that of the step before"}),
        in_between=listed(closed(exercise=TEXT, dial=dial, set=dials, words=TEXT)),
        closed=listed(TEXT),
        limited=maybe(TEXT),
        sideways=listed(TEXT),
    )
    dose = closed(
        exercise=TEXT,
        sets={"type": "integer", "minimum": 1},
        measure={"enum": ["reps", "seconds", "metres"]},
        **{"from": value, "to": value},
        rest_s=value,
        load_kg=maybe(value),
        dials=dials,
        words=TEXT,
    )
    verdict = ["step up", "small step", "stay", "step back", "sideways", "top reached", "closed"]
    one = closed(
        progression=TEXT,
        title=TEXT,
        as_of=day,
        way=maybe(TEXT),
        step=whole,
        place=whole,
        of=whole,
        exercise=TEXT,
        known_from=TEXT,
        verdict={"enum": verdict},
        why=TEXT,
        evidence=TEXT,
        asks=TEXT,
        to_step=maybe(whole),
        met_on=listed(day),
        failures_in_a_row=whole,
        small_step=maybe(closed(dial=dial, **{"from": TEXT, "to": TEXT}, when=TEXT, set=dials)),
        closed=listed(TEXT),
        sideways=listed(TEXT),
        amount_now=maybe(closed(middle=value, p10=value, p90=value)),
        rests_on=TEXT,
        sessions_a_week=value,
        next_dose=maybe(dose),
        steps=listed(step),
        top=closed(exercise=TEXT, **dates),
        caution=maybe(TEXT),
    )
    title = "Setwright climb, version 1"
    return {"$schema": "https://json-schema.org/draft/2020-12/schema", "title": title, **listed(one)}


def fit_schema() -> dict[str, Any]:
    """JSON Schema 2020-12 of ``fit --json``; its ``table`` alone is table.json."""
    said = closed(
        kind={**TEXT, "description": "same, day lost, another day, or the kind of difference"}, words=TEXT, why=TEXT
    )
    by_trainee = {"type": "object", "additionalProperties": said, "description": "by the id of the trainee"}
    loads = {
        "type": "object",
        "additionalProperties": closed(exercise=TEXT, weeks=listed({**TEXT, "description": "sets and load of a week"})),
    }
    row = closed(part=TEXT, exercise=TEXT, asks=TEXT, cells=by_trainee)
    session = closed(session=TEXT, days=by_trainee, rows=listed(row), loads=listed(closed(exercise=TEXT, of=loads)))
    table = closed(
        master={**TEXT, "description": "id of the master: the parent of every block"},
        title=TEXT,
        weeks={"type": "integer", "minimum": 1},
        trainees=listed(closed(trainee=TEXT, name=TEXT, block=TEXT)),
        refused=listed(closed(trainee=TEXT, name=TEXT, why=listed(TEXT), repair=TEXT, repairs=listed(repair_schema()))),
        notes=listed(TEXT),
        sessions=listed(session),
    )
    changed = {"type": "object", "description": "as in the block"}
    block = {"type": "object", "description": "a block: setwright schema block"}
    return {
        "$schema": "https://json-schema.org/draft/2020-12/schema",
        "title": "Setwright fit, version 1",
        **closed(table=table, fitted=listed(closed(trainee=TEXT, block=block, changes=listed(changed)))),
    }


def changes_schema() -> dict[str, Any]:
    """JSON Schema 2020-12 of ``restrict --json``, ``reshape --json`` and ``adapt --json``."""
    week = number(0, 60, "week of the block; 0 where a change is of the whole block", whole=True)
    change = closed(
        week=week,
        session={**TEXT, "description": "weekday that the entry stood on before; empty where a whole week changes"},
        entry={**TEXT, "description": "name of the exercise, warm-up, or filler in the rest of an exercise"},
        **{"from": TEXT},
        to={**TEXT, "description": "what stands there now; left out, rests, to Tuesday: ..."},
        why=TEXT,
        evidence=TEXT,
        number=number(1, 10000, "number of the change as a coach reads it: accept and decline take it", whole=True),
        approval={
            "enum": ["less", "small step", "coach"],
            "description": "less, and small steps where the trainee file allows them, may be used at once",
        },
    )
    block = {"type": "object", "description": "the next revision: setwright schema block"}
    return {
        "$schema": "https://json-schema.org/draft/2020-12/schema",
        "title": "Setwright changes, version 1",
        **closed(block=block, changes=listed(change)),
    }


def repair_schema() -> dict[str, Any]:
    """One way out where no plan is possible."""
    return closed(
        what={**TEXT, "description": "one change that was tried and makes a plan possible"},
        costs={**TEXT, "description": "what it costs, in words; empty where nothing is known"},
        minutes=maybe({**number(0, 10080, "minutes a week given more, or of wished work that goes")}),
    )


def no_plan_schema() -> dict[str, Any]:
    """JSON Schema 2020-12 of what every verb prints with ``--json`` where no plan is possible (exit code 3)."""
    return {
        "$schema": "https://json-schema.org/draft/2020-12/schema",
        "title": "Setwright no plan, version 1",
        **closed(conflict=listed(TEXT), repairs=listed(repair_schema())),
    }


def several_schema() -> dict[str, Any]:
    """JSON Schema 2020-12 of ``design --blocks 3 --json``; its ``comparison`` alone is ``comparison.json``."""
    block = {"type": "object", "description": "a block, the best one first: setwright schema block"}
    whole = {"type": "integer"}
    share = number(0, 1, "share of the counted sets that stand on another day")
    apart = closed(
        number=number(1, 3, "the earlier block it is held against", whole=True),
        others={**whole, "description": "freely chosen exercises whose family that block does not hold"},
        of=whole,
        big_others=whole,
        big_of=whole,
        moved=share,
    )
    amount = closed(name=TEXT, wanted={"type": "number"}, sets={"type": "number"})
    reason = closed(points={**whole, "description": "more than block 1; fewer where negative"}, words=TEXT)
    one = closed(
        block={**TEXT, "description": "id of the block"},
        file=TEXT,
        points={**whole, "description": "what the wishes miss, on the yardstick of block 1; fewer is better"},
        more={**whole, "description": "points more than block 1"},
        reasons=listed(reason),
        free=listed({**TEXT, "description": "exercise that the search chose"}),
        apart=listed(apart),
        loading=TEXT,
        split=TEXT,
        amounts=listed(amount),
        side=side_schema(),
        words=told_schema(),
    )
    comparison = closed(
        by={"enum": ["exercises", "loading", "split"]},
        limit={**whole, "description": "points that a further block may cost more"},
        lead=TEXT,
        same=listed(TEXT),
        why_fewer={**TEXT, "description": "why there are fewer than asked for; else empty"},
        blocks={**listed(one), "minItems": 1, "maxItems": 3},
    )
    blocks = {**listed(block), "minItems": 1, "maxItems": 3}
    return {
        "$schema": "https://json-schema.org/draft/2020-12/schema",
        "title": "Setwright several blocks, version 1",
        **closed(blocks=blocks, comparison=comparison),
    }


def side_schema() -> dict[str, Any]:
    """One block in numbers."""
    sets = {"type": "object", "additionalProperties": {"type": "integer", "minimum": 0}}
    lift = closed(exercise=TEXT, days=number(1, 7, "days a week", whole=True), sets=number(0, 99, "sets", whole=True))
    return closed(
        built_on=listed(lift),
        exercises=listed(TEXT),
        minutes={"type": "object", "additionalProperties": {"type": "number", "minimum": 0}},
        week_minutes=number(0, 10080, "minutes of an average week"),
        loading=sets,
        joints=sets,
        equipment=listed(TEXT),
        skill=number(0, 5, "mean difficulty of the exercises"),
        pairs=number(0, 99, "entries that share their rests, in twos, a week", whole=True),
    )


def told_schema() -> dict[str, Any]:
    """One block in words."""
    many = listed(TEXT)
    return closed(
        name=TEXT,
        file=TEXT,
        built_on=TEXT,
        differs=many,
        worth=TEXT,
        proof=TEXT,
        gives_up=many,
        gives_more=many,
        better=many,
        suits=many,
        days=listed(closed(day=TEXT, text=TEXT)),
    )
