"""The brief file: the coach's intent for one block, as TOML."""

from __future__ import annotations

from typing import get_args

from setwright.body.anatomy import muscle_named
from setwright.catalogue.load import catalogue as load_catalogue
from setwright.catalogue.store import Catalogue
from setwright.faults import Fault, InputFaults
from setwright.people.intake import exercise_list, exercise_slug
from setwright.people.toml_file import REQUIRED, Reader, finish, read_toml
from setwright.people.trainee import DAYS, GoalKind
from setwright.plan.brief import Brief, ConditioningWish, LiftWish
from setwright.plan.brief_curve import read_curve
from setwright.plan.brief_rules import read_own_rules, read_rules
from setwright.plan.demand import muscle_words
from setwright.plan.schemes import schemes_of
from setwright.plan.shorthand import read_block_text

# Schemes that are no way of doing the sets of a lift.
NO_LIFT_SCHEMES = frozenset({"ramp", "drill", "carry", "interval", "hold", "two-angle-hold"})
ASSISTANCE_SCHEMES = ("straight", "double-progression", "held-last-rep")


def read_wish(reader: Reader, catalogue: Catalogue) -> LiftWish | None:
    """A lift that the block serves first."""
    slug = exercise_slug(reader, "exercise", catalogue)
    reps = reader.pair("reps", 1, 30, (4, 6))
    sets = reader.number("sets", 1, 10, whole=True, default=3)
    times = reader.number("times_a_week", 1, 4, whole=True, default=1)
    aim = reader.text("aim", "strength", ("1rm", "strength", "size"))
    schemes = [one for one in schemes_of(catalogue) if one not in NO_LIFT_SCHEMES]
    scheme = reader.text("scheme", "", schemes, "a set scheme: " + ", ".join(schemes))
    if not slug or sets is None or times is None or not aim:
        return None
    whole = (int(reps[0]), int(reps[1]))
    return LiftWish(slug, whole, int(sets), int(times), aim, scheme)  # type: ignore[arg-type]


def read_bout_wish(reader: Reader, catalogue: Catalogue) -> ConditioningWish | None:
    """A bout of conditioning in shorthand; it must read as conditioning, on days or so often a week."""
    work = reader.text("work", REQUIRED)
    times = reader.number("times_a_week", 1, 6, whole=True, default=1)
    days = reader.words("days", DAYS, "weekdays: " + ", ".join(DAYS))
    if not work or times is None:
        return None
    try:
        sessions = read_block_text(work, catalogue).template.sessions
    except InputFaults as error:
        for fault in error.faults:
            hint = fault.hint or "Shorthand for conditioning: docs/conditioning.md."
            reader.faults.append(Fault(reader.file, reader.at("work"), fault.found, fault.allowed, hint))
        return None
    if len(sessions) != 1 or not all(entry.bouts for entry in sessions[0].entries):
        reader.fault("work", work, "bouts of conditioning in shorthand, like 'rower 6 x 500 m, rest 2 min'")
        return None
    return ConditioningWish(work, int(times), days)  # type: ignore[arg-type]


def read_priorities(reader: Reader) -> tuple[GoalKind, ...]:
    """Kinds of goals in the order in which they count, each once."""
    kinds: tuple[GoalKind, ...] = get_args(GoalKind)
    found = reader.words("priorities", kinds)
    for twice in sorted({one for one in found if found.count(one) > 1}):
        reader.fault("priorities", f"{twice} twice", "each kind of goal once")
    return found  # type: ignore[return-value]


def read_brief(text: str, file: str, catalogue: Catalogue | None = None) -> Brief:
    """The brief in a TOML text. Raises InputFaults with every fault of the file."""
    known = catalogue or load_catalogue()
    faults: list[Fault] = []
    reader = Reader(read_toml(text, file), file, "", faults)
    identity = reader.text("id", REQUIRED)
    title = reader.text("title", identity)
    weeks = reader.number("weeks", 4, 12, "weeks", whole=True, default=REQUIRED)
    days = reader.number("days_a_week", 2, 6, "days", whole=True, default=REQUIRED)
    minutes = reader.number("minutes", 10, 240, "min", default=REQUIRED)
    start = reader.day("start", REQUIRED)
    curve = read_curve(reader, None if weeks is None else int(weeks))
    main = reader.pair("reps_main", 1, 30, (4, 6))
    small = reader.pair("reps_assistance", 1, 40, (8, 12))
    wishes = reader.each("lifts", lambda one: read_wish(one, known))
    bouts = reader.each("bouts", lambda one: read_bout_wish(one, known))
    slugs = [wish.exercise for wish in wishes]
    for slug in sorted({one for one in slugs if slugs.count(one) > 1}):
        reader.fault("lifts", f"{slug} twice", "each lift once, with times_a_week")
    skill = reader.text("skill", "", known.progressions, "a progression: " + ", ".join(known.progressions))
    emphasis = reader.words("emphasis", muscle_words(), "a muscle group", muscle_named)
    include = exercise_list(reader, "include", known)
    exclude = exercise_list(reader, "exclude", known)
    wanted = reader.sub("sets_per_muscle")
    sets: dict[str, float] = {}
    if wanted is not None:
        for name in muscle_words():
            value = wanted.number(name, 0, 40, "sets a week")
            if value is not None:
                sets[name] = value
        wanted.close()
    brief_fields = {
        "supersets": reader.flag("supersets", True),
        "same_muscle_superset": reader.flag("same_muscle_superset"),
        "hold_reps_hold": reader.flag("hold_reps_hold"),
        "filler": reader.flag("filler", True),
        "loaded_mobility": reader.flag("loaded_mobility", True),
    }
    conditioning = reader.text("conditioning", "short", ("none", "short", "long"))
    hard_half = reader.text("hard_half", "", ("legs", "upper"))
    tempo = reader.text("tempo_main", "2-0-1-0")
    if tempo and not all(piece.isdigit() or piece == "x" for piece in tempo.split("-")):
        reader.fault("tempo_main", tempo, "four numbers of seconds with hyphens: lower-pause-lift-pause, like 3-1-1-0")
    assistance = reader.text("scheme_assistance", "", ASSISTANCE_SCHEMES)
    risk = reader.number("chance_wanted", 0.5, 0.99, default=0.7)
    rules = read_rules(reader)
    own_rules = read_own_rules(reader, known)
    priorities = read_priorities(reader)
    note = reader.text("note", "")
    invented = reader.flag("invented")
    both = sorted(set(include) & set(exclude))
    for slug in both:
        reader.fault("exclude", slug, "exercises that include does not ask for")
    reader.close()
    finish(faults)
    assert weeks is not None and days is not None and minutes is not None and start is not None
    return Brief(
        id=identity,
        title=title or identity,
        weeks=int(weeks),
        days_a_week=int(days),
        minutes=minutes,
        start=start,
        rpe=curve.rpe,
        rpe_is_default=curve.rpe_is_default,
        deload_every=curve.deload_every,
        reps_main=(int(main[0]), int(main[1])),
        reps_assistance=(int(small[0]), int(small[1])),
        lifts=wishes,
        skill=skill or None,
        emphasis=emphasis,
        include=include,
        exclude=exclude,
        conditioning=conditioning or "short",  # type: ignore[arg-type]
        tempo_main=tempo,
        risk=risk or 0.7,
        rules=rules,
        note=note,
        invented=invented,
        scheme_assistance=assistance,
        sets_per_muscle=sets,
        rpe_by_week=curve.rpe_by_week,
        sets_by_week=curve.sets_by_week,
        easy_weeks=curve.easy_weeks,
        own_rules=own_rules,
        priorities=priorities,
        bouts=bouts,
        hard_half=hard_half,  # type: ignore[arg-type]
        **brief_fields,
    )
