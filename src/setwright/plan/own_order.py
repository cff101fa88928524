"""What a coach's own rules make of a session as it is put together: the order of its entries, the rest of their sets.

A rule that weighs nothing is only checked. What the rules mean is in ``plan.own_wishes``.
"""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import replace

from setwright.catalogue.store import Catalogue
from setwright.plan.arrange import PART_ORDER, in_part_order
from setwright.plan.brief import Brief
from setwright.plan.own_rules import OwnRule
from setwright.plan.own_wishes import own_rest_s, stands_first, stands_later
from setwright.plan.template import TemplateEntry

ORDERED = ("main", "skill", "assistance", "finisher")


def rested(entry: TemplateEntry, brief: Brief, catalogue: Catalogue) -> TemplateEntry:
    """The entry with the rest that the coach's own rules ask, where it is longer."""
    least = own_rest_s(brief.own_rules, catalogue.get(entry.exercise)) if entry.part in ORDERED else 0.0
    if all(one is None or one.rest_s >= least for one in entry.schemes):
        return entry
    schemes = tuple(one and replace(one, rest_s=max(one.rest_s, least)) for one in entry.schemes)
    return replace(entry, schemes=schemes)


def in_own_order(entries: Sequence[TemplateEntry], brief: Brief, catalogue: Catalogue) -> tuple[TemplateEntry, ...]:
    """The entries with what a rule wants first put straight before what it wants later; a superset moves as one.

    What moves into an earlier part keeps its sets and effort. Rules are met in their order, each once, so that two
    that contradict each other end; the last one holds then, and the other is told of as broken.
    """
    done = tuple(entries)
    for rule in brief.own_rules:
        if rule.kind == "before" and rule.weight > 0:
            done = _with_rule(done, rule, catalogue)
    return done


def _with_rule(entries: tuple[TemplateEntry, ...], rule: OwnRule, catalogue: Catalogue) -> tuple[TemplateEntry, ...]:
    def is_first(entry: TemplateEntry) -> bool:
        return entry.part in ORDERED and stands_first(rule, catalogue.get(entry.exercise))

    def is_later(entry: TemplateEntry) -> bool:
        return entry.part in ORDERED and stands_later(rule, catalogue.get(entry.exercise))

    groups = [_turned(group, is_first, is_later) for group in _groups(entries)]
    at = next((index for index, group in enumerate(groups) if any(map(is_later, group))), len(groups))
    part = groups[at][0].part if at < len(groups) else "finisher"
    late = [group for group in groups[at + 1 :] if any(map(is_first, group))]
    moved = [[replace(one, part=min(one.part, part, key=PART_ORDER.index)) for one in group] for group in late]
    rest = [group for group in groups[at:] if group not in late]
    return in_part_order([one for group in (*groups[:at], *moved, *rest) for one in group])


def _turned(
    group: list[TemplateEntry],
    is_first: Callable[[TemplateEntry], bool],
    is_later: Callable[[TemplateEntry], bool],
) -> list[TemplateEntry]:
    """A superset with what is wanted first before what is wanted later."""
    both = any(map(is_first, group)) and any(map(is_later, group))
    return sorted(group, key=lambda one: not is_first(one)) if both else group


def _groups(entries: Sequence[TemplateEntry]) -> list[list[TemplateEntry]]:
    """Entries that stand alone, and those of one superset together, in their order."""
    groups: list[list[TemplateEntry]] = []
    for entry in entries:
        if entry.superset is not None and groups and groups[-1][0].superset == entry.superset:
            groups[-1].append(entry)
        else:
            groups.append([entry])
    return groups
