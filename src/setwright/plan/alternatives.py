"""What can stand in for an exercise: gates first, cropping before exchange, then a likeness that can be explained.

``plan.likeness`` reckons how alike two exercises are; here the gates close, restrictions and the trainee take their
part of a likeness away, and what is kept and lost is said. Where nothing is like enough, ``plan.other_ways`` goes on.
"""

from __future__ import annotations

from collections.abc import Collection, Mapping, Sequence
from dataclasses import dataclass, field, replace

from setwright.body.anatomy import muscle_groups
from setwright.catalogue.derive import joint_stress, muscle_vector
from setwright.catalogue.exercise import Exercise
from setwright.catalogue.store import Catalogue
from setwright.people.restriction_text import sore_joint
from setwright.people.trainee import Restriction, Trainee
from setwright.plan.block import Alternative
from setwright.plan.candidates import skill_ceiling, strains_in_pregnancy
from setwright.plan.gates import Verdict, asks_too_much, judge, said_joint, uses_of
from setwright.plan.likeness import (
    Kind,
    Likeness,
    Piece,
    at_most,
    in_words,
    likeness,
    main_muscles,
    reachable,
    share_of_action,
)
from setwright.plan.other_ways import Way, other_ways
from setwright.plan.range_limits import fit_to_range, range_of, shortfalls

LIKE_ENOUGH = 0.4  # what a sheet may offer without a word
EXCLUDED = "The brief excludes it."
FLOOR = 0.2  # under this it is no stand-in at all
LESS_RANGE, ONE_SIDE, LIGHT_ONLY, BEYOND_MEASURED, BEYOND_SKILL = 0.93, 0.93, 0.93, 0.93, 0.85
LEFT_IN_PREGNANCY = 0.85  # ``candidates.strains_in_pregnancy``: for those who ask for it
TRAVEL_TOKENS = frozenset({"none", "wall", "band", "band_heavy", "loop_band", "towel", "door", "chair_bench", "step"})


@dataclass(frozen=True)
class Candidate:
    """One stand-in with its likeness 0 to 1, what is kept and lost; ``why`` where it is excluded.

    dials : what restrictions and the measured range set on it; cautions : what to watch
    parts : the pieces of the likeness (``plan.likeness``); ``likeness`` follows from them alone
    way : what it still trains where it is no stand-in ("the lats, held"), else empty
    is_itself : the exercise itself, within the limits
    """

    exercise: str
    likeness: float
    kept: str
    lost: str
    excluded: bool = False
    why: str = ""
    cropped: bool = False  # a restriction narrows it, or it asks more range than was measured
    parts: tuple[Piece, ...] = ()
    dials: Mapping[str, object] = field(default_factory=dict)
    cautions: tuple[str, ...] = ()
    way: str = ""
    is_itself: bool = False

    @property
    def is_good(self) -> bool:
        """True when a coach would take it as the same work."""
        return not self.excluded and not self.way and self.likeness >= LIKE_ENOUGH

    def as_json(self) -> dict[str, object]:
        """The published form of ``alternatives --json``."""
        row: dict[str, object] = {
            "exercise": self.exercise,
            "likeness": self.likeness,
            "kept": self.kept,
            "lost": self.lost,
            "excluded": self.excluded,
            "good": self.is_good,
            "parts": [one.as_json() for one in self.parts],
            "parts_text": in_words(self.parts),
        }
        more = {"why": self.why, "dials": dict(self.dials), "cautions": list(self.cautions), "way": self.way}
        return {**row, **{key: value for key, value in more.items() if value}}


@dataclass(frozen=True)
class StandIns:
    """The answer to "what instead?": rows best first, then closed ones.

    untouched : True when restrictions were asked about and none of them changes the exercise itself
    care : what to watch in it then
    ways : where no row is good, the ways that still train each main muscle; else empty
    """

    target: str
    rows: tuple[Candidate, ...]
    untouched: bool = False
    ways: tuple[Way, ...] = ()
    care: tuple[str, ...] = ()

    @property
    def nothing_good(self) -> bool:
        """True when no open row is like enough."""
        return not any(one.is_good for one in self.rows)


def what_is_kept(target: Exercise, other: Exercise, tokens: frozenset[str] | None = None) -> tuple[str, str]:
    """Two short phrases: what stays trained, and what goes."""
    given = muscle_vector(other)
    strong = main_muscles(target)
    kept = [muscle_groups()[m].label for m in strong if given.get(m, 0.0) >= 0.5]
    lost = [muscle_groups()[m].label for m in strong if given.get(m, 0.0) < 0.5]
    keeps = ["work for " + ", ".join(kept)] if kept else []
    loses = ["work for " + ", ".join(lost)] if lost else []
    if target.mode == other.mode == "cyclic":
        return f"work for {', '.join(['heart and lungs', *kept])}", "; ".join(loses) or "little"
    primes = [use.slug for use in target.actions if use.role == "prime"]
    loses += [action.replace("-", " ") for action in primes if not share_of_action(other, action)]
    stops_moving = target.is_dynamic and not other.is_dynamic
    if target.pattern == other.pattern and not stops_moving:
        keeps.append("the same movement")
    if target.length_bias != other.length_bias:
        loses.append(f"load in the {target.length_bias} position")
    if reachable(other, tokens) < target.load_capacity:
        loses.append("the heaviest loads")
    if target.laterality == "both" and other.laterality in ("one", "alternating"):
        loses.append("both sides at once")
    elif target.laterality == "one" and other.laterality == "both":
        loses.append("each side on its own")
    if stops_moving:
        loses.append("movement")
    return "; ".join(keeps) or "the place in the session", "; ".join(loses) or "little"


def what_dials_cost(exercise: Exercise, dials: Mapping[str, object]) -> str:
    """What a gate's dials take away, as one says it."""
    limits = dials.get("range_deg")
    if isinstance(limits, (list, tuple)):
        low, high = limits
        missing = [f"the first {low:g} degrees"] if low else []
        if high < exercise.max_angles.get(str(dials.get("range_of")), high + 1):
            missing.append(f"range beyond {high:g} degrees")
        return " and ".join(missing) or "a little range"
    return f"the {'left' if dials.get('side') == 'right' else 'right'} side"


def alternatives(
    slug: str,
    catalogue: Catalogue,
    have: frozenset[str] | None,
    restrictions: Sequence[Restriction],
    trainee: Trainee | None = None,
    n: int = 3,
    include_excluded: bool = False,
    among: Sequence[str] | None = None,
    left_out: Collection[str] = (),
) -> list[Candidate]:
    """What can stand in, best first; an empty list is the honest "no good substitute".

    have : equipment tokens there are (implied ones included), or None for anything
    among : only these exercises; left_out : slugs, or what they are variants of, that the brief excludes
    include_excluded adds those that a gate or the brief closes, with the reason, after the open ones
    """
    target = catalogue.get(slug)
    wanted = wanted_kinds(target, restrictions)
    found: list[tuple[float, str, Verdict, bool]] = []
    closed: list[Candidate] = []
    reach = range_of(trainee) if trainee is not None else {}
    pool = [catalogue.get(one) for one in among] if among is not None else list(catalogue.values())
    for other in pool:
        if other.slug == target.slug:
            continue
        score = plain_score(target, other, catalogue, have, wanted)
        if score < FLOOR and among is None:
            continue
        verdict = judge(other, restrictions, have or frozenset(), trainee, ignore_equipment=have is None)
        barred = bool(left_out) and not {other.slug, other.base}.isdisjoint(left_out)
        if verdict.allowed and not barred:
            beyond = trainee is not None and bool(
                reach and shortfalls(other, reach, trainee.stature_m, {**other.dials, **verdict.dials})
            )
            taken = costs(other, verdict, beyond, trainee)
            whole = eased(score, target, other, catalogue, have, wanted, taken)
            if whole >= FLOOR or among is not None:
                found.append((whole, other.slug, verdict, beyond))
        elif include_excluded:
            kept, lost = what_is_kept(target, other, have)
            why = " ".join((*([EXCLUDED] if barred else []), *verdict.reasons))
            closed.append(Candidate(other.slug, score, kept, lost, True, why))
    found.sort(key=lambda one: (-one[0], one[1]))
    closed.sort(key=lambda one: (-one.likeness, one.exercise))
    best = [
        candidate(target, catalogue.get(name), have, wanted, verdict, beyond, trainee)
        for _, name, verdict, beyond in found[:n]
    ]
    return best + closed


def wanted_kinds(target: Exercise, restrictions: Sequence[Restriction]) -> frozenset[Kind]:
    """The kinds of work, holds or carries, that restrictions want at a joint that ``target`` works."""
    kinds: dict[str, Kind] = {"holds": "still", "carries": "carry"}
    return frozenset(
        kinds[one]
        for rule in restrictions
        if rule.level != "hard" and uses_of(target, rule)
        for one in rule.wanted
        if one in kinds
    )


def plain_score(
    target: Exercise, other: Exercise, catalogue: Catalogue, have: frozenset[str] | None, wanted: frozenset[Kind]
) -> float:
    """The likeness before restrictions and the trainee, reckoned once for each weight the stand-in can reach.

    Where even its upper bound stays below the floor, that bound: it is no stand-in either way.
    """
    key = ("likeness", target.slug, other.slug, reachable(other, have), tuple(sorted(wanted)))
    bound = catalogue.remember(("at most", *sorted((target.slug, other.slug))), lambda: at_most(target, other))
    if bound < FLOOR:
        return bound
    return catalogue.remember(key, lambda: likeness(target, other, have, wanted).score)


def costs(other: Exercise, verdict: Verdict, beyond: bool, trainee: Trainee | None) -> list[tuple[str, float]]:
    """What restrictions and the trainee take away from a likeness: the words and the factor of each piece."""
    found = []
    if "range_deg" in verdict.dials:
        found.append(("shorter range", LESS_RANGE))
    if "side" in verdict.dials:
        found.append(("one side only", ONE_SIDE))
    if verdict.eased == "light" and other.load_capacity > 1:
        found.append(("light only", LIGHT_ONLY))
    if beyond:
        found.append(("asks more range than measured", BEYOND_MEASURED))
    if trainee is not None and trainee.screening.pregnant and strains_in_pregnancy(other):
        found.append(("more than is asked in pregnancy", LEFT_IN_PREGNANCY))
    if trainee is not None and other.skill > skill_ceiling(trainee):
        found.append(("skill beyond this trainee", round(BEYOND_SKILL ** (other.skill - skill_ceiling(trainee)), 3)))
    return found


def eased(
    score: float,
    target: Exercise,
    other: Exercise,
    catalogue: Catalogue,
    have: frozenset[str] | None,
    wanted: frozenset[Kind],
    taken: Sequence[tuple[str, float]],
) -> float:
    """The likeness with all that is taken away, as its pieces give it; reckoned once for each case."""
    if not taken:
        return score
    key = ("eased", target.slug, other.slug, reachable(other, have), tuple(sorted(wanted)), *taken)
    return catalogue.remember(key, lambda: less(likeness(target, other, have, wanted), taken).score)


def less(found: Likeness, taken: Sequence[tuple[str, float]]) -> Likeness:
    """A likeness with the pieces that limits and the trainee take away."""
    for words, factor in taken:
        found = found.times(words, factor)
    return found


def candidate(
    target: Exercise,
    other: Exercise,
    have: frozenset[str] | None,
    wanted: frozenset[Kind],
    verdict: Verdict,
    beyond: bool,
    trainee: Trainee | None,
) -> Candidate:
    """One open stand-in with its pieces and what is kept and lost."""
    found: Likeness = likeness(target, other, have, wanted)
    kept, lost = what_is_kept(target, other, have)
    losses = [] if lost == "little" else [lost]
    if verdict.dials:
        losses.append(what_dials_cost(other, verdict.dials))
    found = less(found, costs(other, verdict, beyond, trainee))
    said = {
        "light only": "all but light work",
        "asks more range than measured": "it asks more range than was measured",
        "more than is asked in pregnancy": "it is harder on the belly or the balance in pregnancy",
        "skill beyond this trainee": "it asks more skill than this trainee has shown",
    }
    losses += [said[one.words] for one in found.pieces if one.words in said and one.weight is None]
    return Candidate(
        other.slug,
        found.score,
        kept,
        "; ".join(losses) or "little",
        cropped="range_deg" in verdict.dials or "side" in verdict.dials or beyond,
        parts=found.pieces,
        dials=verdict.dials,
        cautions=verdict.cautions,
    )


def stand_ins(
    slug: str,
    catalogue: Catalogue,
    have: frozenset[str] | None,
    restrictions: Sequence[Restriction],
    trainee: Trainee | None = None,
    n: int = 12,
    include_excluded: bool = False,
    part: str | None = None,
    left_out: Collection[str] = (),
) -> StandIns:
    """The whole answer: the exercise itself within the limits first, then stand-ins, else other ways to its muscles.

    part : only what fits this part of a session; n : rows that are open, at most
    left_out : what the brief excludes; the exercise asked about is judged all the same
    """
    target = catalogue.get(slug)
    limited = bool(restrictions) or trainee is not None
    itself = kept_within_limits(target, have, restrictions, trainee) if limited else None
    most = n if part is None else len(catalogue.exercises)
    found = alternatives(slug, catalogue, have, restrictions, trainee, most, include_excluded, left_out=left_out)
    if part is not None:
        found = [one for one in found if part in catalogue.get(one.exercise).parts]
    rows = [one for one in found if not one.excluded]
    if itself is not None and (itself.dials or itself.cropped):
        rows.insert(0, itself)
    ways: tuple[Way, ...] = ()
    if not any(one.is_good for one in rows[:n]):
        ways = other_ways(target, catalogue.without(left_out), have, restrictions, trainee)
        rows = as_ways(target, ways, rows, catalogue, have, restrictions, trainee)
    closed = [one for one in found if one.excluded]
    untouched = bool(restrictions) and itself is not None and not itself.dials and not itself.cropped
    return StandIns(target.slug, (*rows[:n], *closed), untouched, ways, itself.cautions if untouched and itself else ())


def kept_within_limits(
    target: Exercise, have: frozenset[str] | None, restrictions: Sequence[Restriction], trainee: Trainee | None
) -> Candidate | None:
    """The exercise itself where the limits leave it open: cropped, on one side, light, or untouched; None where not.

    Cropping comes before exchange, so its likeness is 1: it is the exercise. A measured range that is too short makes
    it shallower, or raises the heels.
    """
    verdict = judge(target, restrictions, have or frozenset(), trainee, ignore_equipment=have is None)
    if not verdict.allowed:
        return None
    dials, lost = dict(verdict.dials), []
    if verdict.dials:
        lost.append(what_dials_cost(target, verdict.dials))
    if trainee is not None:
        reach = range_of(trainee)
        fit = fit_to_range(target, dials, reach, trainee, have or frozenset())
        if fit.closes:
            return None
        if fit.dials:
            dials.update(fit.dials)
            lost.append(fit.why)
    is_light = verdict.eased == "light" and target.load_capacity > 1
    if is_light:
        lost.append("all but light work")
    return Candidate(
        target.slug,
        1.0,
        kept_words(dials, is_light),
        "; ".join(lost) or "nothing",
        cropped=bool(dials) or is_light,
        parts=(Piece("the exercise itself", 1.0, 1.0),),
        dials=dials,
        cautions=verdict.cautions,
        is_itself=True,
    )


def kept_words(dials: Mapping[str, object], is_light: bool) -> str:
    """``keep it, cropped to 0 to 60 degrees of knee flexion``."""
    limits = dials.get("range_deg")
    said = []
    if isinstance(limits, (list, tuple)):
        motion = str(dials.get("range_of", "")).replace("-", " ")
        said.append(f"cropped to {limits[0]:g} to {limits[1]:g} degrees" + (f" of {motion}" if motion else ""))
    if "side" in dials:
        said.append(f"on the {dials['side']} side only")
    if "heel_mm" in dials:
        said.append(f"with the heels raised {dials['heel_mm']} mm")
    if is_light:
        said.append("light")
    return "keep it" + (", " + ", ".join(said) if said else "")


def as_ways(
    target: Exercise,
    ways: Sequence[Way],
    weak: Sequence[Candidate],
    catalogue: Catalogue,
    have: frozenset[str] | None,
    restrictions: Sequence[Restriction],
    trainee: Trainee | None,
) -> list[Candidate]:
    """Weak rows and open ways as one list, best first, each way naming the muscle that it still trains."""
    trains: dict[str, list[str]] = {}
    for way in ways:
        for open_one in way.open_ones:
            trains.setdefault(open_one.exercise, []).append(f"{way.label}: {open_one.kind}")
    rows = {one.exercise: one for one in weak}
    missing = [slug for slug in trains if slug not in rows]
    for one in alternatives(
        target.slug, catalogue, have, restrictions, trainee, len(missing), among=missing or [target.slug]
    ):
        rows[one.exercise] = one
    named = [replace(one, way="; ".join(trains.get(slug, ()))) for slug, one in rows.items()]
    return sorted(named, key=lambda one: (-one.likeness, one.exercise))


def alternatives_for_entry(
    exercise: Exercise,
    catalogue: Catalogue,
    tokens: frozenset[str],
    restrictions: Sequence[Restriction],
    trainee: Trainee | None = None,
    left_out: Collection[str] = (),
) -> tuple[Alternative, ...]:
    """Two or three stand-ins for different cases: equipment taken, travelling, a sore joint.

    A stand-in for one case is not repeated for another. Fewer come back where nothing is like enough.
    Range work and conditioning have only their own kind, and nothing asks for more landing.
    left_out : what the brief excludes
    """

    def near(tokens: frozenset[str], rules: Sequence[Restriction] = restrictions) -> list[Candidate]:
        return alternatives(exercise.slug, catalogue, tokens, rules, trainee, n=12, left_out=left_out)

    found: list[Alternative] = []
    taken = {exercise.slug}
    is_range = "mobility" in exercise.mode or exercise.pattern.startswith("mobility")
    own_kind = "loaded-mobility" if is_range else "conditioning" if exercise.mode == "cyclic" else ""

    def add(case: str, options: Sequence[Candidate], floor: float = LIKE_ENOUGH) -> None:
        for one in options:
            other = catalogue.get(one.exercise)
            if one.exercise in taken or other.base == exercise.base:
                continue
            if (own_kind and own_kind not in other.parts) or other.impact > max(1, exercise.impact):
                continue  # a walk is exchanged for no run
            if asks_too_much(other, exercise, restrictions):
                continue
            if one.likeness < floor or not one.kept.startswith("work for") or one.cropped:
                continue
            if trainee is not None and trainee.training_years < 0.5 and other.skill > max(2, exercise.skill):
                continue
            taken.add(one.exercise)
            found.append(Alternative(one.exercise, one.kept, one.lost, case))
            return

    own = next((option for option in exercise.equipment if option <= tokens), frozenset[str]())
    carriers = own - {"bench", "chair_bench", "wall", "none", "step", "box", "pad"}
    if carriers:
        word = in_words_of(carriers)
        case = f"if the {word} {'are' if word.endswith('s') and not word.endswith('ss') else 'is'} taken"
        add(case, near(tokens - carriers))
    else:
        add("for a change", near(tokens))
    if not own <= TRAVEL_TOKENS:
        add("travelling", near(TRAVEL_TOKENS))
    stress = joint_stress(exercise)
    if stress:
        joint = min(stress, key=lambda name: (-stress[name], name))
        if stress[joint] >= 2:
            sore = sore_joint(joint)
            open_ones = near(tokens, (*restrictions, sore))
            gentler = [one for one in open_ones if spares(catalogue.get(one.exercise), joint, stress[joint])]
            add(f"if the {said_joint(joint)} {'are' if joint.endswith('s') else 'is'} sore", gentler)
    for _ in range(2 - len(found)):
        add("or", near(tokens), FLOOR)
    return tuple(found[:3])


def spares(other: Exercise, joint: str, stress: int) -> bool:
    """True when an exercise asks less of a joint than ``stress`` (0 to 3), and does not work it first of all."""
    led = any(use.joint == joint and use.role == "prime" for use in other.actions)
    return joint_stress(other).get(joint, 0) < stress and not led


def in_words_of(tokens: frozenset[str]) -> str:
    """Equipment as one says it: the piece that is most likely to be taken."""
    order = ("rack", "barbell", "cable", "hexbar", "landmine", "pullup_bar", "dumbbell", "kettlebell")
    best = min(tokens, key=lambda token: (order.index(token) if token in order else -1, token))
    return best.removeprefix("machine:").replace("_", " ").replace("pullup", "pull-up")
