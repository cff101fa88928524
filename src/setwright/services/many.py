"""The same work for many: one small port, two adapters. Results come in the order of the items, whatever did them."""

from __future__ import annotations

from collections.abc import Callable, Iterator, Mapping, Sequence
from concurrent.futures import ProcessPoolExecutor
from dataclasses import dataclass
from multiprocessing import get_context
from typing import Protocol, TypeVar

from setwright.services.own import own_files, use_carried

Shared = TypeVar("Shared")
Item = TypeVar("Item")
Result = TypeVar("Result")


class Workers(Protocol):
    """Does a piece of work for every item; ``work`` is a function of a module, pure, given what all items share."""

    def each(
        self, work: Callable[[Shared, Sequence[Item]], list[Result]], shared: Shared, items: Sequence[Item]
    ) -> Iterator[Result]:
        """The result of every item, in their order."""
        ...


def chunks_of(items: Sequence[Item], size: int) -> list[Sequence[Item]]:
    """The items in pieces of ``size``, in their order."""
    return [items[start : start + size] for start in range(0, len(items), size)]


@dataclass(frozen=True)
class InThisProcess:
    """One after the other, here."""

    chunk: int = 50

    def each(
        self, work: Callable[[Shared, Sequence[Item]], list[Result]], shared: Shared, items: Sequence[Item]
    ) -> Iterator[Result]:
        """The result of every item, in their order."""
        for piece in chunks_of(items, self.chunk):
            yield from work(shared, piece)


@dataclass(frozen=True)
class InProcesses:
    """Pieces of ``chunk`` items in ``count`` processes of this machine; a worker that dies ends the work."""

    count: int
    chunk: int = 25

    def each(
        self, work: Callable[[Shared, Sequence[Item]], list[Result]], shared: Shared, items: Sequence[Item]
    ) -> Iterator[Result]:
        """The result of every item, in their order; pieces are handed out as processes come free."""
        pieces = chunks_of(items, self.chunk)
        with ProcessPoolExecutor(self.count, mp_context=get_context("spawn")) as pool:
            waiting = [pool.submit(in_worker, work, shared, piece, own_files()) for piece in pieces]
            try:
                for one in waiting:
                    yield from one.result()
            finally:
                for one in waiting:
                    one.cancel()


def in_worker(
    work: Callable[[Shared, Sequence[Item]], list[Result]],
    shared: Shared,
    piece: Sequence[Item],
    own: Mapping[str, str],
) -> list[Result]:
    """One piece in a worker, with the coach's own files in force there too."""
    use_carried(own)
    return work(shared, piece)
