"""What a week should hold: sets wanted per muscle group, and movement patterns wanted at least once.

The two ideas: wishes are amounts (soft, with a band), never barriers; and a restriction releases the
minimums of what it touches, so that nothing is trained round it by force.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, field, replace

from setwright.body.anatomy import joint_actions, muscle_groups
from setwright.catalogue.load import catalogue as load_catalogue
from setwright.catalogue.store import Catalogue
from setwright.people.trainee import Restriction, Trainee
from setwright.plan.brief import Brief
from setwright.plan.goal_claims import KEEP_SETS, ORDINARY, WANTED, Claim, claims_of
from setwright.plan.halves import half_of, light_half

# A week that serves everybody: rows are (name for a coach, patterns any of which serves).
# V09 in the rules (Iversen 2021): one leg press pattern, one upper pull, one upper push; the rest is common practice.
WEEK_PATTERNS: tuple[tuple[str, frozenset[str]], ...] = (
    ("a squat or leg press", frozenset({"squat", "split_squat", "sled"})),
    ("a hinge", frozenset({"hinge", "single_leg_hinge", "hip_extension"})),
    ("an upper-body push", frozenset({"push_horizontal", "push_incline", "push_vertical", "dip"})),
    ("a row", frozenset({"pull_horizontal"})),
    ("a vertical pull", frozenset({"pull_vertical"})),
    ("single-leg work", frozenset({"split_squat", "single_leg_hinge"})),
    (
        "trunk work",
        frozenset({"anti_extension", "anti_lateral", "anti_rotation", "trunk_flexion", "trunk_extension", "carry"}),
    ),
)

# What a general week serves: name for a coach, the groups whose largest credit counts, the roll-up, and the share
# of the base target (common practice, no published source). Groups that one exercise rarely serves together stand
# apart, so that a week of presses does not pass for a week of arms.
GENERAL: tuple[tuple[str, tuple[str, ...], str, float], ...] = (
    ("quadriceps", ("quads_vasti",), "quadriceps", 1.0),
    ("hamstrings", ("hamstrings",), "hamstrings", 0.8),
    ("glutes", ("glute_max",), "glutes", 1.0),
    ("chest", ("pec_sternal", "pec_clavicular"), "chest", 0.9),
    ("lats", ("lats",), "back", 1.0),
    ("upper back", ("trap_mid_low",), "back", 0.6),
    ("side shoulders", ("delt_lateral",), "shoulder", 0.5),
    ("rear shoulders", ("delt_posterior",), "shoulder", 0.5),
    ("elbow flexors", ("elbow_flexors",), "arm", 0.6),
    ("triceps", ("triceps",), "arm", 0.6),
    ("front of the trunk", ("abdominals",), "trunk", 0.5),
    ("sides of the trunk", ("obliques_ql",), "trunk", 0.4),
    ("calves", ("gastrocnemius", "soleus"), "calf", 0.4),
)
SMALL = (
    "side shoulders",
    "rear shoulders",
    "elbow flexors",
    "triceps",
    "front of the trunk",
    "sides of the trunk",
    "calves",
)


# Curling up and roll-outs are left to those who ask for them (common practice, no published source); trunk work stays.
LEFT_IN_PREGNANCY = "front of the trunk"
FLOOR_SETS = 4.0  # rule V02: at least 4 a week (Iversen 2021; Pelland 2025 about 4 detectable, tier second-hand)
MOST_SETS = 20.0  # rule V03: beyond 20 hardly more (Baz-Valle 2022: quadriceps p = 0.19, biceps p = 0.59)
# The shortest useful week (rule V09, Iversen 2021) comes before the rest.
SHORTEST_WEEK = ("a squat or leg press", "an upper-body push", "a row")


@dataclass(frozen=True)
class MuscleDemand:
    """Sets a week wanted for a group as a coach names it: ``target``, the health floor ``floor``, the ceiling ``most``.

    ``muscles`` are the groups whose largest credit counts for it. ``released_by`` names the restriction
    that set target and floor to 0, or is empty. ``weight``: what counts first when minutes are short,
    1 ordinary, 2 wanted, 3 first.
    """

    roll_up: str
    muscles: tuple[str, ...]
    target: float
    floor: float
    most: float
    released_by: str = ""
    weight: int = 1


@dataclass(frozen=True)
class WeekDemand:
    """All demands of one week, and the pattern wishes with their names; ``pattern_weights`` as of muscles, by name."""

    muscles: tuple[MuscleDemand, ...]
    patterns: tuple[tuple[str, frozenset[str]], ...]
    pattern_weights: dict[str, int] = field(default_factory=dict)

    def weight_of(self, pattern: str) -> int:
        """What a pattern wish counts, 1 ordinary, 2 wanted, 3 first, by its name."""
        return self.pattern_weights.get(pattern, 1)


def muscle_words() -> list[str]:
    """Every word for a muscle group that a brief may use."""
    words = [
        *muscle_groups(),
        *(group.roll_up for group in muscle_groups().values()),
        *(row[0] for row in GENERAL),
    ]
    return list(dict.fromkeys(words))


def muscles_of(word: str) -> tuple[str, ...]:
    """The muscle groups that a word of a brief names: a group, a roll-up, or a row of the general week."""
    named = [row[1] for row in GENERAL if row[0] == word]
    if named and word not in {group.roll_up for group in muscle_groups().values()}:
        return named[0]
    return tuple(slug for slug, group in muscle_groups().items() if word in (slug, group.roll_up))


def muscles_closed_by(*restrictions: Restriction) -> frozenset[str]:
    """Muscle groups whose every strong joint action (weight 1) restrictions together bar from dynamic work.

    Only a level of ``none`` or ``light`` closes muscles; a range limit does not.
    """
    barred = {
        slug
        for rule in restrictions
        for slug, action in joint_actions().items()
        if rule.level in ("none", "light")
        and action.joint == rule.joint
        and (not rule.actions or action.action in rule.actions)
    }
    closed = set()
    for muscle in muscle_groups():
        strong = {slug for slug, action in joint_actions().items() if action.movers.get(muscle, 0.0) >= 1.0}
        if strong and strong <= barred:
            closed.add(muscle)
    return frozenset(closed)


def closed_muscles(restrictions: Sequence[Restriction]) -> dict[str, str]:
    """The muscle groups that restrictions close, each alone or all together, with the reason to say.

    Hips and knees closed leave nothing for the hamstrings, though neither closes them alone.
    """
    closed = {muscle: rule.reason or rule.joint for rule in restrictions for muscle in muscles_closed_by(rule)}
    reasons = dict.fromkeys(rule.reason or rule.joint for rule in restrictions if rule.level in ("none", "light"))
    together = muscles_closed_by(*(rule for rule in restrictions if rule.side == "both"))
    return {muscle: "; ".join(reasons) for muscle in sorted(together)} | closed


def base_target(trainee: Trainee, brief: Brief) -> float:
    """Fractional sets a week for a group of ordinary importance.

    4 is the floor for health and for the time-poor, about 10 the figure for size (rules V02, V03); between
    them it grows with training age and with the hours there are (common practice, no published source).
    """
    by_age = 5.0 if trainee.training_years < 0.5 else 8.0 if trainee.training_years < 2 else 10.0
    hours = brief.days_a_week * brief.minutes / 60.0
    return min(by_age, 2.0 + 2.2 * hours)


def week_demand(
    trainee: Trainee, brief: Brief, restrictions: Sequence[Restriction], catalogue: Catalogue | None = None
) -> WeekDemand:
    """What the peak week of a block should hold, for all goals at once.

    Each group starts from the general week, never under the floor of four sets (rule V02) for the big ones. Keeping
    lowers it to five, size raises it to ten (eight in the first half year; rule V03), the brief's ``sets_per_muscle``
    overrides both, and a restriction releases what it closes. Where goals meet in a group the largest number and the
    largest weight hold. ``catalogue`` tells which groups a goal lift counts for; the packaged one where None.
    """
    claims = claims_of(trainee, brief, catalogue or load_catalogue())
    grown = [word for claim in claims if claim.sets is not None and claim.is_least for word in claim.words]
    rows = with_claimed_rows(general_rows(base_target(trainee, brief)), [*grown, *brief.sets_per_muscle])
    closed = closed_muscles(restrictions)
    demands = tuple(with_own_number(kept_light(with_claims(row, claims), brief), brief) for row in rows)
    if trainee.screening.pregnant:
        demands = tuple(
            unasked(one) if one.roll_up == LEFT_IN_PREGNANCY and one.weight == 1 else one for one in demands
        )
    return WeekDemand(tuple(without_closed(one, closed) for one in demands), WEEK_PATTERNS, weights_of_patterns(claims))


def unasked(row: MuscleDemand) -> MuscleDemand:
    """A row of which nothing is wanted; what trains it besides is welcome."""
    return replace(row, target=0.0, floor=0.0)


def general_rows(base: float) -> list[MuscleDemand]:
    """The general week for a base target; small groups have no floor, because big lifts train them too."""
    rows = []
    for name, muscles, _, share in GENERAL:
        small = name in SMALL
        target = base * share if small else max(FLOOR_SETS, base * share)
        rows.append(MuscleDemand(name, muscles, target, 0.0 if small else FLOOR_SETS, MOST_SETS))
    return rows


def is_about(row: MuscleDemand, word: str) -> bool:
    """True when a word of a goal or brief means this row: its name, its roll-up or one of its groups."""
    roll_up = next((one[2] for one in GENERAL if one[0] == row.roll_up), "")
    return word in (row.roll_up, roll_up, *row.muscles)


def with_claimed_rows(rows: Sequence[MuscleDemand], words: Sequence[str]) -> list[MuscleDemand]:
    """The rows, with one more for each word that none of them is about (neck, grip, hip flexors ...)."""
    found = list(rows)
    for word in sorted(set(words)):
        if not any(is_about(row, word) for row in found) and muscles_of(word):
            groups = muscle_groups()
            name = groups[word].label if word in groups else word
            found.append(MuscleDemand(name, muscles_of(word), 0.0, 0.0, MOST_SETS))
    return found


def with_claims(row: MuscleDemand, claims: Sequence[Claim]) -> MuscleDemand:
    """A row after all claims: keeping lowers first, size raises after it, the largest weight holds."""
    on_it = [claim for claim in claims if any(is_about(row, word) for word in claim.words)]
    grows = [claim for claim in on_it if claim.kind != "keep"]
    kept = [claim for claim in claims if claim.kind == "keep" and (claim in on_it or claim.everywhere)]
    target, floor = row.target, row.floor
    if kept and not grows:
        target = max(floor, min(target, *(claim.sets or target for claim in kept)))
    for claim in on_it:
        if claim.sets is not None and claim.is_least:
            target = max(target, claim.sets * share_of_claim(row, claim))
        if claim.sets is not None:
            floor = min(FLOOR_SETS, max(target, floor))  # what a goal lists gets the floor too
    weight = max((claim.weight for claim in on_it), default=row.weight)
    return replace(row, target=max(target, floor), floor=floor, weight=weight)


def share_of_claim(row: MuscleDemand, claim: Claim) -> float:
    """How much of a size target a row takes.

    A region named as a whole is one wish: sets for "back" are counted on the lats, and what rows and pulldowns train
    besides takes its share of the general week. Else every pull counts twice over, and half of the sets that size
    wants go to shrugs and holds (common practice, no published source). Small groups that are named take it all.
    """
    share, region = next(((one[3], one[2]) for one in GENERAL if one[0] == row.roll_up), (1.0, row.roll_up))
    most = max((one[3] for one in GENERAL if one[2] == region), default=share)
    named = claim.words & {row.roll_up, *row.muscles}
    return 1.0 if named or region not in claim.words else share / most


def kept_light(row: MuscleDemand, brief: Brief) -> MuscleDemand:
    """A row of the week with no more sets than keeping takes where it is of the light half and nobody wants more."""
    light = light_half(brief)
    if not light or half_of(row.muscles) != light or row.weight > ORDINARY:
        return row
    target = min(row.target, KEEP_SETS)
    return replace(row, target=target, floor=min(row.floor, target))


def with_own_number(row: MuscleDemand, brief: Brief) -> MuscleDemand:
    """A row with the coach's own number of sets, which overrides everything."""
    own = [sets for word, sets in sorted(brief.sets_per_muscle.items()) if is_about(row, word)]
    if not own:
        return row
    return replace(row, target=own[-1], floor=min(FLOOR_SETS, own[-1]), weight=max(row.weight, WANTED))


def without_closed(row: MuscleDemand, closed: Mapping[str, str]) -> MuscleDemand:
    """A row without the groups that a restriction closes; released where none is left."""
    still_open = tuple(muscle for muscle in row.muscles if muscle not in closed)
    if still_open:
        return replace(row, muscles=still_open)
    return replace(row, target=0.0, floor=0.0, released_by=closed[row.muscles[0]])


def weights_of_patterns(claims: Sequence[Claim]) -> dict[str, int]:
    """What each pattern wish counts: the shortest useful week is wanted, a goal may raise any."""
    weights = {}
    for name, patterns in WEEK_PATTERNS:
        least = WANTED if name in SHORTEST_WEEK else ORDINARY
        weights[name] = max((claim.weight for claim in claims if claim.patterns & patterns), default=ORDINARY)
        weights[name] = max(least, weights[name])
    return weights
