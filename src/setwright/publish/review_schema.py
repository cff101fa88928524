"""JSON Schema of ``review --json``."""

from __future__ import annotations

from typing import Any

from setwright.publish.schemas import TEXT, closed, listed, maybe, number
from setwright.review.wellness_scales import scales

VALUE: dict[str, Any] = {"type": "number"}
WHOLE: dict[str, Any] = {"type": "integer", "minimum": 0}
DAY: dict[str, Any] = {"type": "string", "format": "date"}
PAIN = number(0, 10, "0 none to 10", whole=True)
LOAD = {"type": "number", "minimum": 0, "description": "session RPE x minutes"}
SPAN = {"type": "array", "items": WHOLE, "minItems": 2, "maxItems": 2, "description": "lower and upper end"}
SPAN_OF_VALUES = {"type": "array", "items": VALUE, "minItems": 2, "maxItems": 2, "description": "low and high"}
DONE = maybe(closed(done=WHOLE, planned=WHOLE))


def review_schema() -> dict[str, Any]:
    """JSON Schema 2020-12 of ``review --json``."""
    finding = closed(
        kind=TEXT,
        about=TEXT,
        evidence=TEXT,
        probability=maybe(number(0, 1, "where it is one")),
        settles_it={**TEXT, "description": "what would settle it, or what to do"},
    )
    return {
        "$schema": "https://json-schema.org/draft/2020-12/schema",
        "title": "Setwright review, version 1",
        **closed(
            weeks=listed(week()),
            findings={**listed(finding), "description": "most important first"},
            days=listed(closed(date=DAY, load_au=LOAD, unrated_sessions=WHOLE)),
            weighted_load=listed(weighted()),
            conditioning=listed(conditioning()),
            bouts=listed(bout()),
            pieces=listed(pieces()),
            wellness=listed(morning()),
            pain={**listed(region()), "description": "most urgent first"},
            slow_and_fast=maybe(parts()),
            conventions=TEXT,
            conventions_in_full={"type": "object", "description": "what every number means and rests on, by topic"},
        ),
    }


def week() -> dict[str, Any]:
    """One week: load, done against planned, sessions, entries."""
    credits = listed(closed(week=WHOLE, muscle=TEXT, direct=VALUE, fractional=VALUE))
    session = closed(
        day=TEXT,
        date=DAY,
        status={"enum": ["done", "moved", "missed"]},
        done_on=maybe(DAY),
        time=maybe({**TEXT, "description": "hours:minutes it began"}),
        minutes_planned=VALUE,
        minutes_done=maybe(VALUE),
        session_rpe=maybe(number(0, 10, "RPE of the whole session")),
        sets_planned=WHOLE,
        sets_done=WHOLE,
        warm_up=DONE,
        fillers=DONE,
    )
    entry = closed(
        day=TEXT,
        part=TEXT,
        exercise=TEXT,
        sets_planned=WHOLE,
        sets_done=WHOLE,
        reps_planned=maybe(SPAN),
        reps_done=maybe(WHOLE),
        reps_short=WHOLE,
        load_planned_kg=maybe(VALUE),
        load_done_kg=maybe(VALUE),
        rir_planned=maybe(VALUE),
        rir_called=maybe(VALUE),
        worst_pain=maybe(PAIN),
    )
    asked = closed(
        group=TEXT,
        muscles=listed(TEXT),
        least={**VALUE, "description": "counted sets"},
        most={**VALUE, "description": "counted sets"},
        planned={**VALUE, "description": "counted sets of the sessions that were due"},
        done={**VALUE, "description": "counted sets"},
    )
    undefined = {**VALUE, "description": "null where the days are all alike: not defined"}
    return closed(
        week={"type": "integer", "minimum": 1},
        load_au=LOAD,
        monotony=maybe(undefined),
        monotony_sd={"enum": ["n-1"]},
        strain=maybe(undefined),
        monotony_by_n=maybe(undefined),
        strain_by_n=maybe(undefined),
        days_au={"type": "array", "items": LOAD, "minItems": 7, "maxItems": 7},
        unrated_sessions=WHOLE,
        is_over={"type": "boolean"},
        sessions_planned=WHOLE,
        sessions_done=WHOLE,
        missed=listed(TEXT),
        moved=listed(TEXT),
        minutes_planned=VALUE,
        minutes_done=maybe(VALUE),
        sets_planned=WHOLE,
        sets_done=WHOLE,
        sets_not_planned=WHOLE,
        reps_planned=maybe(SPAN),
        reps_done=WHOLE,
        rpe_planned=maybe(VALUE),
        rpe_called=maybe(VALUE),
        warm_up=DONE,
        fillers=DONE,
        conditioning_minutes=VALUE,
        conditioning_kcal=maybe(VALUE),
        conditioning_kj=maybe(VALUE),
        return_share_most=maybe(number(0, 1, "of a usual week, by the published ramp after a break; null without one")),
        return_share_done=maybe(VALUE),
        set_credits=credits,
        set_credits_planned=credits,
        sets_asked={
            **listed(asked),
            "description": "each group against the band asked for this week, by the brief or by what is written",
        },
        sessions=listed(session),
        entries=listed(entry),
    )


def weighted() -> dict[str, Any]:
    """A weighted average of daily load."""
    return closed(
        half_life_days=VALUE,
        smoothing=number(0, 1, "share of a new day"),
        as_of=DAY,
        **{"from": DAY},
        days=WHOLE,
        load_au=LOAD,
        recursive_au=LOAD,
        seed_au=LOAD,
        seed_share=number(0, 1, "how much of recursive_au is still the seed"),
        is_enough={"type": "boolean"},
    )


def conditioning() -> dict[str, Any]:
    """One row of conditioning."""
    return closed(
        date=DAY,
        exercise=TEXT,
        minutes=maybe(VALUE),
        distance_m=maybe(VALUE),
        method={"enum": ["equation", "activity code", "not known"]},
        formula=maybe({**TEXT, "description": "name of the equation, or activity code"}),
        uptake_ml_kg_min=maybe(VALUE),
        met=maybe(VALUE),
        kcal=maybe(VALUE),
        kcal_from_to=maybe(SPAN_OF_VALUES),
        kj=maybe(VALUE),
        heart_rate=maybe({**VALUE, "description": "mean, beats a minute"}),
        rests_on=TEXT,
    )


def bout() -> dict[str, Any]:
    """One planned bout of conditioning in a shared format."""
    return closed(
        week=WHOLE,
        day=TEXT,
        date=DAY,
        bout=maybe({**TEXT, "description": "its letter; null for one movement"}),
        format=TEXT,
        movements=listed(TEXT),
        score=maybe({**TEXT, "description": "as written"}),
        rounds_done=maybe(WHOLE),
        reps_begun=maybe({**WHOLE, "description": "of the round begun, or all where no rounds are told"}),
        time_s=maybe(VALUE),
        is_capped={"type": "boolean"},
        reps={"type": "object", "additionalProperties": WHOLE},
        metres={"type": "object", "additionalProperties": VALUE},
        minutes=maybe(VALUE),
        heart_rate=maybe(VALUE),
        kcal=maybe(VALUE),
        kcal_from_to=maybe(SPAN_OF_VALUES),
        rests_on=TEXT,
    )


def pieces() -> dict[str, Any]:
    """One planned bout that is logged piece by piece: intervals, steady work, carries."""
    target = closed(by=TEXT, **{"from": maybe(VALUE), "to": maybe(VALUE)})
    return closed(
        week=WHOLE,
        day=TEXT,
        date=DAY,
        exercise=TEXT,
        format=TEXT,
        pieces_planned=WHOLE,
        pieces_done=WHOLE,
        pace_s=maybe({**VALUE, "description": "over all pieces with metres and a time, for each pace_per_m metres"}),
        pace_per_m=VALUE,
        power_w=maybe({**VALUE, "description": "mean of the pieces that tell it"}),
        heart_rate=maybe({**VALUE, "description": "mean of the pieces that tell it, beats a minute"}),
        target=maybe(target),
        against=maybe({**TEXT, "description": "how the mean stands to the target: as asked, faster than asked"}),
    )


def morning() -> dict[str, Any]:
    """One morning's questionnaire."""
    return closed(
        date=DAY,
        scale={"enum": list(scales())},
        score=VALUE,
        score_from=VALUE,
        score_to=VALUE,
        good_is_high={"type": "boolean"},
        earlier_days=WHOLE,
        usual=maybe(VALUE),
        spread=maybe(VALUE),
        worse_by_spreads=maybe({**VALUE, "description": "above 0 is worse, whichever way the scale runs"}),
        against_usual={"enum": ["not yet", "as usual", "clearly worse", "clearly better"]},
        worst_answers=listed(TEXT),
    )


def region() -> dict[str, Any]:
    """Pain at one region."""
    return closed(
        where=TEXT,
        joint=maybe(TEXT),
        days=listed(closed(date=DAY, in_set=maybe(PAIN), next_morning=maybe(PAIN))),
        exercises=listed(TEXT),
        worst=PAIN,
        worst_morning=maybe(PAIN),
        rise=maybe(TEXT),
        allowed_in_set=PAIN,
        allowed_next_morning=PAIN,
        less_from=PAIN,
        stop_from=PAIN,
        limit_from=TEXT,
        verdict={"enum": ["help", "stop", "less", "hold", "go on"]},
        why=TEXT,
        see={**TEXT, "description": "kind of licensed professional"},
    )


def parts() -> dict[str, Any]:
    """The slow and the fast part of a lift, or why they are not shown."""
    time = maybe(closed(best=VALUE, low95=VALUE, high95=VALUE))
    day = listed(closed(date=DAY, p50=VALUE, p10=VALUE, p90=VALUE))
    return closed(
        exercise=TEXT,
        is_shown={"type": "boolean"},
        why_not=maybe(TEXT),
        measures=listed(closed(date=DAY, one_rm_kg=VALUE)),
        slow_days=time,
        fast_days=time,
        slow=day,
        fast=day,
        scatter_percent=maybe(VALUE),
    )
