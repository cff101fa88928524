"""A review in its published form: every number with its convention named. ``setwright schema review`` describes it."""

from __future__ import annotations

from collections.abc import Sequence
from typing import TYPE_CHECKING, Any

from setwright.review.bouts import BoutDone
from setwright.review.conditioning import Conditioning, activity_codes
from setwright.review.energy import KCAL_PER_LITRE, KGM_MIN_PER_WATT, KJ_PER_KCAL, RANGES, REST_UPTAKE, STEP_HEIGHTS
from setwright.review.gains import FALLS, GAINING, NO_GAIN, TREND_DAYS
from setwright.review.load_monitoring import ENOUGH_DAYS, HALF_LIVES_DAYS, MONOTONY_SD, WeekLoad, WeightedLoad
from setwright.review.pain import RegionPain, bands
from setwright.review.pieces import PiecesDone
from setwright.review.set_targets import GroupWeek
from setwright.review.slow_and_fast import FAST_DAYS, SLOW_DAYS, Between, PartDay, SlowAndFast
from setwright.review.volume import EntryDone, SessionDone, WeekDone
from setwright.review.wellness import BASELINE_DAYS, CLEARLY, LEAST_DAYS, WellnessDay
from setwright.review.wellness_scales import Scale, scales

if TYPE_CHECKING:
    from setwright.review.findings import Review

Json = dict[str, Any]
SENTENCES = "load_au = session RPE x minutes; rest days count as 0; deviation over 7 days with n-1"


def rounded(value: float | None, places: int = 3) -> float | None:
    """A number rounded, or None."""
    return None if value is None else round(value, places)


def review_json(review: Review) -> Json:
    """The whole review."""
    return {
        "weeks": [week_json(week, load, review) for week, load in zip(review.weeks, review.loads, strict=True)],
        "findings": [one.as_json() for one in review.findings],
        "days": [
            {"date": one.date.isoformat(), "load_au": rounded(one.load_au, 1), "unrated_sessions": one.unrated}
            for one in review.days
        ],
        "weighted_load": [weighted_json(one) for one in review.weighted],
        "conditioning": [conditioning_json(one) for one in review.conditioning],
        "bouts": [bout_json(one) for one in review.bouts],
        "pieces": [pieces_json(one) for one in review.pieces],
        "wellness": [wellness_json(one) for one in review.wellness],
        "pain": [pain_json(one) for one in review.pains],
        "slow_and_fast": None if review.slow_and_fast is None else slow_and_fast_json(review.slow_and_fast),
        "conventions": SENTENCES,
        "conventions_in_full": conventions([one.half_life_days for one in review.weighted] or HALF_LIVES_DAYS),
    }


def week_json(week: WeekDone, load: WeekLoad, review: Review) -> Json:
    """One week: load, then done against planned."""
    mine = [one for one in review.conditioning if belongs(one, week)]
    told = [one.kcal for one in mine if one.kcal is not None]
    bouts = [one for one in review.bouts if one.week == week.number]
    told += [one.kcal[0] for one in bouts if one.kcal is not None]
    told_minutes = [one.minutes or 0.0 for one in mine] + [one.minutes or 0.0 for one in bouts]
    reps, share = week.reps_planned, review.return_shares.get(week.number)
    return {
        "week": week.number,
        "load_au": round(load.load_au, 1),
        "monotony": rounded(load.monotony),
        "monotony_sd": MONOTONY_SD,
        "strain": rounded(load.strain, 1),
        "monotony_by_n": rounded(load.monotony_by_n),
        "strain_by_n": rounded(load.strain_by_n, 1),
        "days_au": [rounded(one.load_au, 1) for one in load.days],
        "unrated_sessions": load.unrated,
        "is_over": week.is_over,
        "sessions_planned": week.sessions_planned,
        "sessions_done": week.sessions_done,
        "missed": list(week.missed),
        "moved": list(week.moved),
        "minutes_planned": rounded(week.minutes_planned, 1),
        "minutes_done": rounded(week.minutes_done, 1),
        "sets_planned": week.sets_planned,
        "sets_done": week.sets_done,
        "sets_not_planned": week.extra_sets,
        "reps_planned": None if reps is None else list(reps),
        "reps_done": week.reps_done,
        "rpe_planned": week.rpe_planned,
        "rpe_called": rounded(week.rpe_called, 2),
        "warm_up": part_json(week.warm_up),
        "fillers": part_json(week.fillers),
        "conditioning_minutes": rounded(sum(told_minutes), 1),
        "conditioning_kcal": rounded(sum(told), 1) if told else None,
        "conditioning_kj": rounded(sum(told) * KJ_PER_KCAL, 1) if told else None,
        "return_share_most": share[0] if share else None,
        "return_share_done": rounded(share[1]) if share else None,
        "set_credits": credits_json(week, week.credits),
        "set_credits_planned": credits_json(week, week.credits_planned),
        "sets_asked": [asked_json(one) for one in review.sets_asked if one.week == week.number],
        "sessions": [session_json(one) for one in week.sessions],
        "entries": [entry_json(one) for one in week.entries],
    }


def belongs(one: Conditioning, week: WeekDone) -> bool:
    """True for conditioning of a week: by its own week number, else by date."""
    return one.week == week.number if one.week is not None else 0 <= (one.date - week.start).days < 7


def part_json(done: tuple[int, int] | None) -> Json | None:
    """Drills or fillers done and planned; null where the log never tells of them."""
    return None if done is None else {"done": done[0], "planned": done[1]}


def credits_json(week: WeekDone, credits: dict[str, tuple[float, float]]) -> list[Json]:
    """Counted sets by muscle."""
    return [
        {"week": week.number, "muscle": muscle, "direct": direct, "fractional": fractional}
        for muscle, (direct, fractional) in sorted(credits.items())
    ]


def asked_json(one: GroupWeek) -> Json:
    """Counted sets of a group beside the band that the brief asks for."""
    return {
        "group": one.group,
        "muscles": list(one.muscles),
        "least": rounded(one.low, 2),
        "most": rounded(one.high, 2),
        "planned": rounded(one.planned, 2),
        "done": rounded(one.done, 2),
    }


def session_json(one: SessionDone) -> Json:
    """One planned session."""
    return {
        "day": one.day,
        "date": one.date.isoformat(),
        "status": one.status,
        "done_on": None if one.done_on is None else one.done_on.isoformat(),
        "time": one.time or None,
        "minutes_planned": rounded(one.minutes_planned, 1),
        "minutes_done": rounded(one.minutes_done, 1),
        "session_rpe": rounded(one.session_rpe, 2),
        "sets_planned": one.sets_planned,
        "sets_done": one.sets_done,
        "warm_up": part_json(None if one.warm_up is None else (one.warm_up, one.warm_up_planned)),
        "fillers": part_json(None if one.fillers is None else (one.fillers, one.fillers_planned)),
    }


def entry_json(one: EntryDone) -> Json:
    """One planned entry."""
    return {
        "day": one.day,
        "part": one.part,
        "exercise": one.exercise,
        "sets_planned": one.sets_planned,
        "sets_done": one.sets_done,
        "reps_planned": None if one.reps_planned is None else list(one.reps_planned),
        "reps_done": one.reps_done,
        "reps_short": one.reps_short,
        "load_planned_kg": rounded(one.load_planned_kg),
        "load_done_kg": rounded(one.load_done_kg),
        "rir_planned": rounded(one.rir_planned, 2),
        "rir_called": rounded(one.rir_called, 2),
        "worst_pain": one.worst_pain,
    }


def weighted_json(one: WeightedLoad) -> Json:
    """One weighted average of load."""
    return {
        "half_life_days": one.half_life_days,
        "smoothing": rounded(one.smoothing, 6),
        "as_of": one.as_of.isoformat(),
        "from": one.first.isoformat(),
        "days": one.days,
        "load_au": rounded(one.load_au, 2),
        "recursive_au": rounded(one.recursive_au, 2),
        "seed_au": rounded(one.seed_au, 2),
        "seed_share": rounded(one.seed_share, 4),
        "is_enough": one.is_enough,
    }


def conditioning_json(one: Conditioning) -> Json:
    """One row of conditioning."""
    return {
        "date": one.date.isoformat(),
        "exercise": one.exercise,
        "minutes": rounded(one.minutes, 2),
        "distance_m": rounded(one.distance_m, 1),
        "method": one.method,
        "formula": one.formula or None,
        "uptake_ml_kg_min": rounded(one.uptake),
        "met": rounded(one.met),
        "kcal": rounded(one.kcal, 2),
        "kcal_from_to": None if one.kcal_span is None else [round(end, 2) for end in one.kcal_span],
        "kj": rounded(one.kj, 2),
        "heart_rate": rounded(one.heart_rate, 1),
        "rests_on": one.rests_on,
    }


def bout_json(one: BoutDone) -> Json:
    """One planned bout of conditioning."""
    score = one.score
    return {
        "week": one.week,
        "day": one.day,
        "date": one.date.isoformat(),
        "bout": one.letter or None,
        "format": one.format,
        "movements": list(one.movements),
        "score": one.written,
        "rounds_done": None if score is None else score.rounds,
        "reps_begun": None if score is None else score.reps,
        "time_s": None if score is None else rounded(score.time_s, 1),
        "is_capped": score is not None and score.is_capped,
        "reps": dict(one.reps),
        "metres": {key: round(value, 1) for key, value in one.metres.items()},
        "minutes": rounded(one.minutes, 2),
        "heart_rate": rounded(one.heart_rate, 1),
        "kcal": None if one.kcal is None else rounded(one.kcal[0], 1),
        "kcal_from_to": None if one.kcal is None else [round(end, 1) for end in one.kcal[1:]],
        "rests_on": one.rests_on,
    }


def pieces_json(one: PiecesDone) -> Json:
    """One planned bout that is logged piece by piece: its means, and how they stand to the target; null: not told."""
    target = one.bout.target
    return {
        "week": one.week,
        "day": one.day,
        "date": one.date.isoformat(),
        "exercise": one.exercise,
        "format": one.bout.format,
        "pieces_planned": one.planned,
        "pieces_done": one.done,
        "pace_s": rounded(one.pace_s, 1),
        "pace_per_m": one.per_m,
        "power_w": rounded(one.power_w, 1),
        "heart_rate": rounded(one.heart_rate, 1),
        "target": None if target is None else {"by": target.by, "from": target.low, "to": target.high},
        "against": one.against or None,
    }


def wellness_json(one: WellnessDay) -> Json:
    """One morning."""
    return {
        "date": one.date.isoformat(),
        "scale": one.scale,
        "score": one.score,
        "score_from": one.lowest,
        "score_to": one.highest,
        "good_is_high": one.good_is_high,
        "earlier_days": one.earlier_days,
        "usual": rounded(one.usual, 2),
        "spread": rounded(one.spread, 2),
        "worse_by_spreads": rounded(one.worse_by, 2),
        "against_usual": one.against,
        "worst_answers": list(one.worst_answers),
    }


def pain_json(one: RegionPain) -> Json:
    """One region."""
    return {
        "where": one.where,
        "joint": one.joint,
        "days": [
            {"date": day.date.isoformat(), "in_set": day.in_set, "next_morning": day.next_morning} for day in one.days
        ],
        "exercises": list(one.exercises),
        "worst": one.worst,
        "worst_morning": one.worst_morning,
        "rise": one.rise or None,
        "allowed_in_set": one.limit.in_set,
        "allowed_next_morning": one.limit.next_morning,
        "less_from": one.limit.watch,
        "stop_from": one.limit.stop,
        "limit_from": one.limit.source,
        "verdict": one.verdict,
        "why": one.why,
        "see": one.see,
    }


def slow_and_fast_json(one: SlowAndFast) -> Json:
    """The two parts, or why they are not shown."""
    return {
        "exercise": one.exercise,
        "is_shown": one.is_shown,
        "why_not": one.why or None,
        "measures": [{"date": row.date.isoformat(), "one_rm_kg": rounded(row.value, 2)} for row in one.measures],
        "slow_days": between_json(one.slow_days),
        "fast_days": between_json(one.fast_days),
        "slow": [part_day_json(row) for row in one.slow],
        "fast": [part_day_json(row) for row in one.fast],
        "scatter_percent": rounded(one.left_percent),
    }


def between_json(one: Between | None) -> Json | None:
    """A value with its interval."""
    return None if one is None else {"best": one.best, "low95": one.low, "high95": one.high}


def part_day_json(one: PartDay) -> Json:
    """One part on one day."""
    return {"date": one.date.isoformat(), "p50": rounded(one.p50), "p10": rounded(one.p10), "p90": rounded(one.p90)}


def direction_words(one: Scale) -> str:
    """Which way a questionnaire runs, its questions and its sums."""
    way = "high is good" if one.good_is_high else "high is bad"
    return f"{', '.join(one.questions)}: each {one.steps_words}; sum {one.lowest_sum:g} to {one.highest_sum:g}, {way}"


def conventions(half_lives: Sequence[float] = HALF_LIVES_DAYS) -> Json:
    """What every number means and where it is from, by topic; ``half_lives`` of the weighted averages, days."""
    house = bands()["house"]
    return {
        "calendar": {
            "day": "a date as it was logged; no clock and no time zone is reckoned; sessions of one date are summed",
            "rest_day": "a date without a rated session, load 0; days to come in a week that is not over count so too",
            "week": "seven dates from Monday to Sunday; week 1 holds the first day of the block",
            "is_over": "the newest row of the log is of the last day of the week or later",
            "morning": "tells of the newest training day before it, up to two days back",
        },
        "scales": {
            "session_rpe": "0 rest to 10 hardest; of the whole session",
            "rir": "repetitions left in the agreed form; 0 is failure, more is easier; RPE of a set = 10 - rir",
            "pain": "0 none to 10 worst",
            "wellness": {name: direction_words(one) for name, one in scales().items()},
        },
        "gains": {
            "probability": "chance that the one-repetition maximum rose over the last weeks, eight at most",
            "gaining": f"{GAINING:g} and more",
            "no_gain": f"{NO_GAIN:g} and less, getting weaker {FALLS:g} and less; sets over {TREND_DAYS} days or more",
        },
        "load": {
            "load_au": "session RPE (0 to 10) x minutes (Foster 2001)",
            "rest_days": "count as 0",
            "unrated_sessions": "sessions without RPE or minutes count as 0 and are numbered",
            "monotony": "mean over standard deviation of the seven days; null where the deviation is 0: not defined",
            "monotony_sd": "n-1; monotony_by_n and strain_by_n use n",
            "strain": "week load x monotony",
            "not_computed": "no injury risk, no acute-to-chronic ratio (Lolli 2019; Impellizzeri 2021)",
        },
        "weighted_load": {
            "half_life_days": list(half_lives),
            "smoothing": "1 - 2^(-1 / half life), the share of a new day; as 2 / (N + 1), N is 2 / smoothing - 1",
            "load_au": "weighted mean of all days since the first rated one, weights sum to 1, no seed",
            "recursive_au": "smoothing x day + (1 - smoothing) x last, seed_au is the load of the first day",
            "seed_share": "(1 - smoothing)^(days - 1): how much of recursive_au is still the seed",
            "enough_days": ENOUGH_DAYS,
        },
        "sets": {
            "set_credits": "direct: sets for a prime mover; fractional: direct + half of the indirect (Pelland 2025)",
            "sets_asked": "of a group as a coach names it, fractional, of the best served of its muscles",
            "sets_asked_most": "what the brief asks of the hardest week x this week's share, or what is written",
            "sets_asked_least": "what keeps the group (rule V02), at most what is asked; planned: of the sessions due",
            "not_counted": "ramp sets, and sets of the parts warm-up, loaded-mobility, conditioning and filler",
            "moved": "done on another day of the same week; missed: its day is past and nothing was logged for it",
            "rpe_called": "10 - repetitions left as called, mean over sets",
            "reps_planned": "lower and upper end, summed over the working sets of entries that count repetitions",
            "return_share_most": "50, 70, 80, 90 % of a usual week after two weeks off or more (CSCCa/NSCA 2019)",
            "usual_week": "working sets of the fullest planned week, or what the last stands for inside the ramp",
            "load_done_kg": "the heaviest set of the entry",
            "time": "hours:minutes as logged, the earliest row of the session",
        },
        "energy": {
            "kcal": f"uptake x mass / 1000 x {KCAL_PER_LITRE:g} kcal per litre x minutes; gross, rest included",
            "uptake_ml_kg_min": {
                "walking": "3.5 + 0.1 S + 1.8 S G",
                "running": "3.5 + 0.2 S + 0.9 S G",
                "leg cycling": "7 + 1.8 W / M",
                "arm cycling": "3.5 + 3 W / M",
                "stepping": "3.5 + 0.2 f + 1.33 x 1.8 H f",
                "letters": "S m/min, G grade as a share, W kgm/min, M body mass kg, f steps/min, H height of a step m",
                "source": "metabolic equations of the American College of Sports Medicine",
            },
            "kj_per_kcal": KJ_PER_KCAL,
            "met": f"uptake over {REST_UPTAKE:g} mL/kg/min",
            "watt": f"{KGM_MIN_PER_WATT:g} kgm/min, as the published forms round it",
            "ranges": {name: span.words for name, span in RANGES.items()} | {"step height": STEP_HEIGHTS.words},
            "outside_a_range": "the activity code of the exercise is used, and the row says so",
            "activity_codes": activity_codes()["source"],
        },
        "wellness": {
            "scales": {one.name: one.source for one in scales().values()},
            "score": "sum of the answers",
            "usual": f"mean of up to {BASELINE_DAYS} earlier days of the same scale; not yet under {LEAST_DAYS}",
            "spread": "standard deviation of these days, n-1; at least half a point when dividing",
            "clearly": f"{CLEARLY:g} spreads on the worse side, whichever way the scale runs",
        },
        "pain": {
            "scale": "0 none to 10, in the set and on the next morning",
            "bands": [
                {key: one[key] for key in ("id", "in_set", "next_morning", "then", "source", "how_known")}
                for one in bands()["band"]
            ],
            "which_holds": "pain_up_to of a clearance in force for that joint, 5 at most, else the strictest band",
            "less_from": house["watch"],
            "stop_from": house["stop"],
            "rise": "overnight, or the worst of seven days over the worst of the seven before, or within a first week",
            "not": "never a diagnosis",
        },
        "slow_and_fast": {
            "model": "base + slow part - fast part; each is what is left of all earlier daily loads",
            "days": "time constants: a part falls to 37 % in one",
            "searched": {"slow_days": list(SLOW_DAYS), "fast_days": list(FAST_DAYS), "source": "Hellard 2006"},
            "intervals": "95 % profile likelihood for the times; 10 to 90 % of draws with a fixed seed for the parts",
            "measure": "best set of the day read as a 1RM: load x exp(0.032 (repetitions + left - 1))",
        },
    }
