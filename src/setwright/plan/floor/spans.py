"""Sets of whole seconds as sorted, disjoint spans (first, last), both included: when something may start."""

from __future__ import annotations

from collections.abc import Iterable, Sequence

Spans = list[tuple[int, int]]
NEVER = 10**9


def merged(spans: Iterable[tuple[int, int]]) -> Spans:
    """Spans in order, those that touch made one.

    >>> merged([(5, 9), (0, 2), (3, 4)])
    [(0, 9)]
    """
    found: Spans = []
    for first, last in sorted(spans):
        if found and first <= found[-1][1] + 1:
            if last > found[-1][1]:
                found[-1] = (found[-1][0], last)
        else:
            found.append((first, last))
    return found


def outside(barred: Iterable[tuple[int, int]], from_s: int) -> Spans:
    """What is left from ``from_s`` to NEVER outside some spans.

    >>> outside([(3, 5)], 0)
    [(0, 2), (6, 1000000000)]
    """
    found: Spans = []
    at = from_s
    for first, last in merged(barred):
        if first > at:
            found.append((at, first - 1))
        at = max(at, last + 1)
    found.append((at, NEVER))
    return found


def common(one: Sequence[tuple[int, int]], other: Sequence[tuple[int, int]]) -> Spans:
    """What two sets share.

    >>> common([(0, 4), (8, 9)], [(3, 8)])
    [(3, 4), (8, 8)]
    """
    found: Spans = []
    i = j = 0
    while i < len(one) and j < len(other):
        first, last = max(one[i][0], other[j][0]), min(one[i][1], other[j][1])
        if first <= last:
            found.append((first, last))
        if one[i][1] < other[j][1]:
            i += 1
        else:
            j += 1
    return found


def moved(spans: Sequence[tuple[int, int]], least: int, most: int | None) -> Spans:
    """Everything between ``least`` and ``most`` after a member of a set; no end where ``most`` is None.

    >>> moved([(0, 1), (9, 9)], 2, 4)
    [(2, 5), (11, 13)]
    """
    if not spans:
        return []
    if most is None:
        return [(spans[0][0] + least, NEVER)]
    return merged((first + least, min(NEVER, last + most)) for first, last in spans)


def latest(spans: Sequence[tuple[int, int]], first: int, last: int) -> int:
    """The latest member between two bounds. Raises LookupError where there is none."""
    inside = common(spans, [(first, last)])
    if not inside:
        raise LookupError(f"nothing between {first} and {last}")
    return inside[-1][1]
