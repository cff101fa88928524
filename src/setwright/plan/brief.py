"""The coach's intent for one block."""

from __future__ import annotations

from dataclasses import dataclass, field
from datetime import date
from typing import Literal

from setwright.people.trainee import Day, GoalKind
from setwright.plan.own_rules import USUAL_WEIGHT, OwnRule

Conditioning = Literal["none", "short", "long"]


@dataclass(frozen=True)
class LiftWish:
    """A lift that the block serves first: reps from-to, sets a session, sessions a week, and the scheme of its sets.

    scheme : the name of a set scheme (``plan.schemes``), or empty for straight sets
    """

    exercise: str
    reps: tuple[int, int] = (4, 6)
    sets: int = 3
    times_a_week: int = 1
    aim: Literal["1rm", "strength", "size"] = "strength"
    scheme: str = ""


@dataclass(frozen=True)
class ConditioningWish:
    """A bout of conditioning that the block holds, in the coach's shorthand, and how often or on which days.

    work : ``as many rounds as possible in 12 min: 10 kettlebell swings, 8 push-ups``
    days : the weekdays, or empty: so many a week, as far apart as they go
    """

    work: str
    times_a_week: int = 1
    days: tuple[Day, ...] = ()


@dataclass(frozen=True)
class RuleSetting:
    """How the coach treats one rule of training: switched off or weighed anew, and why.

    weight : how dear a breach is, 0 to 10; 1 is usual, None leaves it there
    """

    rule: str
    reason: str
    off: bool = False
    weight: float | None = None


IMPLIED = "written"  # the id of the brief that a written block implies: it wants nothing but what is written


@dataclass(frozen=True)
class Brief:
    """What one block is for.

    weeks : 4 to 12; days_a_week : 2 to 6; minutes : cap for each session (the trainee's own day cap holds too)
    rpe : (first week, last hard week) of the main lifts; rpe_is_default : the coach set none, so a beginner gets
        less; deload_every : a lighter week after so many (0: none)
    rpe_by_week : effort of each week, empty where ``rpe`` says it; ``rpe`` then holds its first and its highest
    sets_by_week : share of the hardest week's sets, 0 to 1, for each week; empty: they climb from three quarters
    easy_weeks : the easier weeks by number, or None where ``deload_every`` or the curve itself says them
    emphasis : muscle groups or roll-ups wanted first; lifts : lifts that the block serves
    skill : progression slug to climb, or None; include, exclude : exercise slugs
    supersets, same_muscle_superset, hold_reps_hold, filler, loaded_mobility : what the coach wants in it
    conditioning : none, short (about 6 min at the end), long (up to 20 min), on days without work of ``bouts``
    bouts : conditioning in the coach's own shorthand
    hard_half : the half of the body trained hard while the other is kept light: legs, upper, or empty for both alike
    risk : chance wanted that the middle of the rep range keeps the wanted reserve
    rules : rules of training switched off or weighed; own_rules : those the coach added
    priorities : kinds of goals, what counts first first; empty: the goals' own numbers
    """

    id: str
    title: str
    weeks: int
    days_a_week: int
    minutes: float
    start: date
    rpe: tuple[float, float] = (6.5, 8.5)
    rpe_is_default: bool = False
    deload_every: int = 4
    reps_main: tuple[int, int] = (4, 6)
    reps_assistance: tuple[int, int] = (8, 12)
    lifts: tuple[LiftWish, ...] = ()
    skill: str | None = None
    emphasis: tuple[str, ...] = ()
    include: tuple[str, ...] = ()
    exclude: tuple[str, ...] = ()
    supersets: bool = True
    same_muscle_superset: bool = False
    hold_reps_hold: bool = False
    filler: bool = True
    loaded_mobility: bool = True
    conditioning: Conditioning = "short"
    tempo_main: str = "2-0-1-0"
    risk: float = 0.7
    rules: tuple[RuleSetting, ...] = ()
    note: str = ""
    invented: bool = False
    scheme_assistance: str = ""  # a scheme for the sets of assistance work that it suits
    sets_per_muscle: dict[str, float] = field(default_factory=dict)  # roll-up or group: sets a week wanted
    rpe_by_week: tuple[float, ...] = ()
    sets_by_week: tuple[float, ...] = ()
    easy_weeks: tuple[int, ...] | None = None
    own_rules: tuple[OwnRule, ...] = ()
    priorities: tuple[GoalKind, ...] = ()
    bouts: tuple[ConditioningWish, ...] = ()
    hard_half: Literal["legs", "upper", ""] = ""

    @property
    def is_implied(self) -> bool:
        """True where no coach wrote it: a block written by hand implies it."""
        return self.id == IMPLIED

    def weight_of(self, rule: str) -> float:
        """How dear a breach of a rule is to this coach: 0 where it is switched off, 1 where nothing is said."""
        for own in self.own_rules:
            if own.id == rule:
                return own.weight
        for setting in self.rules:
            if setting.rule == rule:
                return 0.0 if setting.off else USUAL_WEIGHT if setting.weight is None else setting.weight
        return USUAL_WEIGHT
