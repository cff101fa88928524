"""Twenty invented briefs that nothing can meet, each with the smallest conflict and why that is the one."""

from __future__ import annotations

from dataclasses import dataclass, replace

from made_block import BRIEF, GYM, PERSON

from setwright.people.place import Place
from setwright.people.trainee import Goal, Restriction, Trainee, TrainingDay
from setwright.plan.brief import Brief, LiftWish
from setwright.plan.own_rules import OwnRule

PLAIN = replace(BRIEF, skill=None, lifts=(), conditioning="none", loaded_mobility=False)
SOMEBODY = replace(PERSON, goals=(), steps=())
HOME = replace(GYM, id="home", name="Home", bars=(), stacks=(), fixtures={}, plates=())


def days(**minutes: float) -> tuple[TrainingDay, ...]:
    """Training days at the gym; a name that ends with ``_home`` is a day at home."""
    return tuple(
        TrainingDay(name.removesuffix("_home"), cap, "home" if name.endswith("_home") else "gym")  # type: ignore[arg-type]
        for name, cap in minutes.items()
    )


def wish(slug: str, sets: int, times: int = 1, reps: tuple[int, int] = (4, 6)) -> LiftWish:
    return LiftWish(slug, reps, sets, times)


def brief(*lifts: LiftWish, minutes: float = 60, **facts: object) -> Brief:
    return replace(PLAIN, lifts=lifts, minutes=minutes, **facts)  # type: ignore[arg-type]


def someone(*training: TrainingDay, **facts: object) -> Trainee:
    return replace(SOMEBODY, days=training or SOMEBODY.days, **facts)  # type: ignore[arg-type]


def rule(number: int, kind: str, what: str, *on: str) -> OwnRule:
    return OwnRule(f"own-{number}", f"{what} {kind} {' '.join(on)}", kind, what=what, days=on)  # type: ignore[arg-type]


@dataclass(frozen=True)
class Impossible:
    """A brief, and the members of its smallest conflict. ``why`` argues for them; a set and its rest take 3 1/2 min."""

    name: str
    why: str
    members: tuple[str, ...]
    brief: Brief
    trainee: Trainee = SOMEBODY
    places: tuple[Place, ...] = (GYM,)


BOTH = ("minutes mon", "minutes thu")
CASES = (
    Impossible(
        "one lift longer than every day",
        "10 sets take 35 min and more before any warm-up; with either day endless it would stand there",
        ("lift back_squat", *BOTH),
        brief(wish("back_squat", 10), minutes=30),
    ),
    Impossible(
        "one lift twice a week, longer than a day",
        "it must stand on Monday too, so Monday alone is enough to forbid it",
        ("lift back_squat", "minutes mon"),
        brief(wish("back_squat", 10, 2), minutes=30),
    ),
    Impossible(
        "two lifts that share every day",
        "each fits by itself: 6 sets take 22 min of 35; two together do not",
        ("lift back_squat", "lift bench_bb", "minutes mon"),
        brief(wish("back_squat", 6, 2), wish("bench_bb", 6, 2), minutes=35),
    ),
    Impossible(
        "three lifts on two days",
        "two of three share a day, and no two have room together; two days can hold any two of them",
        ("lift back_squat", "lift bench_bb", "lift deadlift", *BOTH),
        brief(wish("back_squat", 6), wish("bench_bb", 6), wish("deadlift", 6), minutes=35),
    ),
    Impossible(
        "four lifts of which one pair is enough",
        "squat and bench stand on both days and have no room together; the others need not be named",
        ("lift back_squat", "lift bench_bb", "minutes mon"),
        brief(wish("back_squat", 6, 2), wish("bench_bb", 6, 2), wish("row_cable", 2), wish("ohp_bb", 2), minutes=35),
    ),
    Impossible(
        "a barbell on one day only",
        "at home is no barbell, so both lifts stand on Monday, which has no room for both",
        ("lift back_squat", "lift deadlift", "minutes mon", "place back_squat", "place deadlift"),
        brief(wish("back_squat", 5), wish("deadlift", 5), minutes=90),
        someone(*days(mon=35, thu_home=90)),
        (GYM, HOME),
    ),
    Impossible(
        "own rules that send two lifts to one day",
        "both rules leave Monday only; with one of them gone that lift goes to Thursday",
        ("lift back_squat", "lift bench_bb", "minutes mon", "rule own-1", "rule own-2"),
        brief(
            wish("back_squat", 6),
            wish("bench_bb", 6),
            minutes=35,
            own_rules=(rule(1, "only-on", "back_squat", "mon"), rule(2, "not-on", "bench_bb", "thu")),
        ),
    ),
    Impossible(
        "an own rule that sends a lift to the short day",
        "Thursday has 60 min; only the rule keeps the lift on Monday",
        ("lift back_squat", "minutes mon", "rule own-1"),
        brief(wish("back_squat", 8), own_rules=(rule(1, "only-on", "back_squat", "mon"),)),
        someone(*days(mon=25, thu=60)),
    ),
    Impossible(
        "a warm-up longer than the session",
        "5 min hold neither a warm-up and two sets of anything, nor a wish",
        ("minutes thu",),
        brief(),
        someone(*days(mon=60, thu=5)),
    ),
    Impossible(
        "two days too short for anything, one named",
        "either is a conflict by itself; the earlier day is named",
        ("minutes mon",),
        brief(),
        someone(*days(mon=5, thu=5)),
    ),
    Impossible(
        "skill work and a lift on the same days",
        "skill work stands on both days (about 10 min), 7 squat sets take 25 min: more than 35 with the warm-up",
        ("lift back_squat", "skill", "minutes mon"),
        brief(wish("back_squat", 7, 2), minutes=35, skill="nordic"),
        replace(SOMEBODY, steps=PERSON.steps),
    ),
    Impossible(
        "conditioning after a lift",
        "without conditioning 7 sets, 28 min, and a warm-up fit into 35 min; the intervals take 7 more",
        ("lift back_squat", "conditioning", "minutes mon"),
        brief(wish("back_squat", 7, 2), minutes=35, conditioning="short"),
    ),
    Impossible(
        "at most one entry a session",
        "two lifts on both days are two entries each; with the rule gone 60 min hold them",
        ("lift back_squat", "lift bench_bb", "rule own-1"),
        brief(
            wish("back_squat", 2, 2),
            wish("bench_bb", 2, 2),
            own_rules=(OwnRule("own-1", "One exercise a day.", "at-most-entries", entries=1),),
        ),
    ),
    Impossible(
        "a goal that is a lift too",
        "the goal is in the brief as a lift; its sets are the coach's",
        ("lift back_squat", *BOTH),
        brief(wish("back_squat", 10), minutes=30),
        someone(goals=(Goal("strength", "back_squat", 1),)),
    ),
    Impossible(
        "an included exercise beside a long lift",
        "7 sets, 28 min, and the warm-up leave no room on a day of 35; the other day has 7 sets of deadlifts",
        ("lift back_squat", "lift deadlift", "include bench_bb", *BOTH),
        brief(wish("back_squat", 7), wish("deadlift", 7), minutes=35, include=("bench_bb",), supersets=False),
    ),
    Impossible(
        "three days, every lift on all of them",
        "any one day shows it; the earliest is named",
        ("lift back_squat", "lift bench_bb", "minutes mon"),
        brief(wish("back_squat", 6, 3), wish("bench_bb", 6, 3), minutes=35, days_a_week=3),
        someone(*days(mon=60, wed=60, fri=60)),
    ),
    Impossible(
        "a long day and a short one",
        "the lift must stand twice, so on the short Thursday too",
        ("lift back_squat", "minutes thu"),
        brief(wish("back_squat", 8, 2)),
        someone(*days(mon=60, thu=25)),
    ),
    Impossible(
        "long and heavy: few repetitions rest as long",
        "10 sets of 3 with 3 min of rest: 27 min of rest alone",
        ("lift deadlift", *BOTH),
        brief(wish("deadlift", 10, 1, (2, 3)), minutes=30),
    ),
    Impossible(
        "work that a restriction wants kept, beside a lift",
        "holds for the knee, two days a week, cannot be left out by the coach; 7 sets of presses fill the rest",
        ("lift bench_bb", "wanted", "minutes mon"),
        brief(wish("bench_bb", 7, 2), minutes=35),
        someone(
            restrictions=(
                Restriction("knee", "knee", level="light", wanted=("holds", "short-range"), set_by="invented physio"),
            )
        ),
    ),
    Impossible(
        "a place closed for the lift on the long day",
        "at home is no barbell; Monday has 25 min for 28 min of squats",
        ("lift back_squat", "minutes mon", "place back_squat"),
        brief(wish("back_squat", 8), minutes=90),
        someone(*days(mon=25, thu_home=90)),
        (GYM, HOME),
    ),
)
