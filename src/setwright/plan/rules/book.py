"""The book of rules, and how it is read: which are off, which are bent, in a coach's words.

Ids are those of the project's table of published planning rules; ids that start with X, C or G are the book's own.
``level`` says how strong the backing is, ``seen`` how the project knows the source.
"""

from __future__ import annotations

from collections.abc import Callable, Iterable
from dataclasses import dataclass
from typing import Literal

from setwright.body.anatomy import joint_actions, muscle_groups
from setwright.catalogue.store import Catalogue
from setwright.plan.block import Block, Unmet
from setwright.plan.rules.own import broken_own_rules
from setwright.plan.rules.view import View

Level = Literal["published", "handbook", "practice"]
Seen = Literal["seen", "seen second-hand", "from memory", "ours"]
Check = Callable[[View], Iterable[str]]


@dataclass(frozen=True)
class Rule:
    """One rule: what it says to a coach, where it comes from, and the check that finds it bent.

    level : published (a trial, review or position stand), handbook, or practice (common, without a published source)
    seen : whether the source was read, told by another text, or is from memory; ``ours`` where there is none
    """

    id: str
    says: str
    source: str
    level: Level
    seen: Seen
    check: Check

    @property
    def subject(self) -> str:
        """What the rule is about: the name of the file its check stands in, in words."""
        return self.check.__module__.rpartition(".")[2].replace("_", " ")


RULES: list[Rule] = []


def rule(id: str, says: str, source: str, level: Level, seen: Seen) -> Callable[[Check], Check]:
    """Enters a check into the book."""

    def enter(check: Check) -> Check:
        RULES.append(Rule(id, says, source, level, seen, check))
        return check

    return enter


def check_rules(block: Block, catalogue: Catalogue) -> tuple[Unmet, ...]:
    """Every rule that the block bends, one line each, without those that the brief switches off.

    The dearest to the coach stands first; of equals the coach's own, then the order of the book.
    """
    view = View(block, catalogue)
    brief = block.inputs.brief
    off = {setting.rule for setting in brief.rules if setting.off}
    found = [Unmet(wish=own.says.rstrip("."), why=where, rule=own.id) for own, where in broken_own_rules(view)]
    for one in RULES:
        if one.id not in off:
            found += [Unmet(wish=one.says, why=where, rule=one.id) for where in dict.fromkeys(one.check(view))]
    return tuple(sorted(found, key=lambda unmet: -brief.weight_of(unmet.rule)))


def in_words(names: Iterable[str]) -> str:
    """Names once each, in their order: ``mon, wed and fri``."""
    once = list(dict.fromkeys(names))
    return once[0] if len(once) == 1 else f"{', '.join(once[:-1])} and {once[-1]}"


def label(muscle: str) -> str:
    """A muscle group as a coach reads it."""
    return muscle_groups()[muscle].label


def muscle_is_near(muscle: str, joint: str) -> bool:
    """True when the joint is one that the muscle moves strongly: a restriction there releases its minimum."""
    return any(action.joint == joint and action.movers.get(muscle, 0.0) >= 1 for action in joint_actions().values())


def is_released(view: View, muscle: str) -> bool:
    """True when a restriction of the trainee closes, or leaves only light, a joint that the muscle moves strongly."""
    return any(
        one.level in ("none", "light") and muscle_is_near(muscle, one.joint)
        for one in view.block.inputs.trainee.restrictions
    )


__all__ = ["RULES", "Rule", "check_rules"]
