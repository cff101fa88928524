"""The people: who trains, what they must not do, what they want, and what is known of their strength.

Two ideas carry this module. One: a restriction names a joint and what is barred there, held positions
included, *and* the work that is wanted there instead. Two: every measured thing carries its date.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field
from datetime import date
from typing import Literal

Side = Literal["left", "right", "both"]
Day = Literal["mon", "tue", "wed", "thu", "fri", "sat", "sun"]
Level = Literal["none", "light", "moderate", "hard"]
Wanted = Literal["holds", "carries", "short-range"]
GoalKind = Literal["strength", "size", "skill", "range", "work-capacity", "keep"]
DAY_NAMES: Mapping[str, str] = {
    "mon": "Monday",
    "tue": "Tuesday",
    "wed": "Wednesday",
    "thu": "Thursday",
    "fri": "Friday",
    "sat": "Saturday",
    "sun": "Sunday",
}
DAYS: tuple[Day, ...] = ("mon", "tue", "wed", "thu", "fri", "sat", "sun")


@dataclass(frozen=True)
class Clearance:
    """Who allowed what, when, and until when. Without one, a restriction that asks for it stays shut.

    ``pain_up_to``: the most pain, 0 to 10, that the clinician allows at the joint of a restriction, or None. It is
    never read from ``scope``: words that deny a figure name it too.
    """

    who: str
    given_on: date
    scope: str
    expires_on: date | None = None
    pain_up_to: int | None = None


@dataclass(frozen=True)
class Restriction:
    """What a trainee must not do at a joint, and what is wanted there instead.

    joint : a joint of ``body.anatomy`` (``elbow``, ``knee``, ``fingers``, ``trunk``...)
    actions : barred actions at that joint (``flexion``); empty means every action of the joint
    level : the hardest *dynamic* work still allowed there (``none`` bars all of it, ``light`` leaves
        warm-up drills and very light work, ``hard`` bars nothing by effort: then only range counts)
    max_angles : largest angles allowed under load, degrees, by motion (``knee-flexion``: 60)
    positions : barred held positions (``hang``, ``bar-on-back``, ``front-rack``, ``grip``...)
    grip_max : hardest grip allowed, 0 to 3, or None
    impact_max : hardest impact allowed, 0 to 3, or None
    spine : barred spine postures under load (``flexed``, ``rotating``)
    wanted : the kinds of work that the coach or clinician wants kept at the joint
    needs_clearance : True when nothing at the joint may be loaded before a clearance exists
    """

    id: str
    joint: str
    side: Side = "both"
    actions: tuple[str, ...] = ()
    level: Level = "none"
    max_angles: dict[str, float] = field(default_factory=dict)
    positions: tuple[str, ...] = ()
    grip_max: int | None = None
    impact_max: int | None = None
    spine: tuple[str, ...] = ()
    wanted: tuple[Wanted, ...] = ()
    reason: str = ""
    since: date | None = None
    review_on: date | None = None
    set_by: str = ""
    needs_clearance: bool = False
    clearance: Clearance | None = None


@dataclass(frozen=True)
class Goal:
    """What is wanted. ``about`` is a lift slug, a muscle group, a progression or a joint motion by kind."""

    kind: GoalKind
    about: str
    priority: int = 2  # 1 first, 3 last
    target: float | None = None
    unit: str = ""
    by: date | None = None


@dataclass(frozen=True)
class Baseline:
    """One dated set done before the block: what was lifted, how often, and how many more were there.

    ``rir`` None means not called; ``to_failure`` True means the last repetition attempted failed (with 0 reps: not
    even one); ``is_test`` True means a best of a test or competition. ``reached_deg``: the last angle of a lowering
    that was still controlled. ``dials``: what was set on the exercise's lever model (``hand_height_cm``: 45).
    """

    date: date
    exercise: str
    load_kg: float | None = None
    reps: int | None = None
    rir: float | None = None
    to_failure: bool = False
    hold_s: float | None = None
    pain: int | None = None
    is_test: bool = False
    reached_deg: float | None = None
    dials: dict[str, float | str] = field(default_factory=dict)


@dataclass(frozen=True)
class RangeMeasure:
    """A dated range measure, degrees or centimetres as its name says (``knee-to-wall``)."""

    date: date
    measure: str
    value: float
    unit: Literal["deg", "cm"] = "deg"
    side: Side = "both"


@dataclass(frozen=True)
class StepReached:
    """The step of a progression a trainee stands on."""

    progression: str
    step: int
    date: date


@dataclass(frozen=True)
class TrainingDay:
    """A weekday on which this person can train: minutes at most, and where."""

    day: Day
    minutes: float
    place: str


@dataclass(frozen=True)
class Screening:
    """Answers to the pre-exercise questions (activity, known disease, signs), and any clearance.

    Source of the questions: Riebe et al. 2015 (ACSM), as far as seen; see ``people.screening``.
    ``red_flags`` are answers that stop planning at once (saddle numbness, unexplained weight loss...).
    """

    active_now: bool
    known_disease: bool = False
    signs_or_symptoms: bool = False
    pregnant: bool = False
    red_flags: tuple[str, ...] = ()
    clearance: Clearance | None = None


@dataclass(frozen=True)
class HeartRate:
    """Heart rates measured on a person, beats a minute; None for what was not."""

    maximum: float | None = None  # the highest ever seen in an all-out effort
    threshold: float | None = None  # mean of an effort held for about an hour, or of a half-hour trial
    resting: float | None = None  # lying, in the morning


@dataclass(frozen=True)
class Trainee:
    """One person. ``training_years`` counts regular strength training. Masses kg, lengths m."""

    id: str
    name: str
    birth_year: int
    body_mass_kg: float
    stature_m: float
    training_years: float
    days: tuple[TrainingDay, ...]
    screening: Screening
    sex: Literal["female", "male"] | None = None  # for body tables only; may be left out
    weeks_off: float = 0.0  # weeks without training just before the block
    restrictions: tuple[Restriction, ...] = ()
    goals: tuple[Goal, ...] = ()
    baselines: tuple[Baseline, ...] = ()
    range_measures: tuple[RangeMeasure, ...] = ()
    steps: tuple[StepReached, ...] = ()
    likes: tuple[str, ...] = ()
    dislikes: tuple[str, ...] = ()
    lengths_m: dict[str, float] = field(default_factory=dict)  # measured on the person, else from the body tables
    back_trouble: bool = False  # a history of back trouble closes loaded end-range spinal flexion
    small_steps: bool = False  # the coach lets small load steps reach this person without asking each time
    invented: bool = False
    heart_rate: HeartRate | None = None
