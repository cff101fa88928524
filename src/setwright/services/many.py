"""The same work for many: one small port, two adapters. Results come in the order of the items, whatever did them."""

from __future__ import annotations

from collections.abc import Callable, Iterator, Mapping, Sequence
from concurrent.futures import CancelledError, Future, ProcessPoolExecutor
from concurrent.futures.process import BrokenProcessPool
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
    """Pieces of ``chunk`` items in ``count`` processes of this machine.

    Where a worker dies, or none can be started, the pieces that are left are done here: it costs time, no result.
    """

    count: int
    chunk: int = 25

    def each(
        self, work: Callable[[Shared, Sequence[Item]], list[Result]], shared: Shared, items: Sequence[Item]
    ) -> Iterator[Result]:
        """The result of every item, in their order; pieces are handed out as processes come free."""
        pieces = chunks_of(items, self.chunk)
        with ProcessPoolExecutor(self.count, mp_context=get_context("spawn")) as pool:
            waiting: list[Future[list[Result]]] = []
            try:
                waiting += (pool.submit(in_worker, work, shared, piece, own_files()) for piece in pieces)
            except (OSError, BrokenProcessPool):
                pool.shutdown(cancel_futures=True)
            try:
                for number, piece in enumerate(pieces):
                    found = result_of(waiting[number]) if number < len(waiting) else None
                    yield from work(shared, piece) if found is None else found
            finally:
                for one in waiting:
                    one.cancel()


def result_of(waiting: Future[list[Result]]) -> list[Result] | None:
    """What a worker made of its piece, or None where it died before."""
    try:
        return waiting.result()
    except (BrokenProcessPool, CancelledError):
        return None


def in_worker(
    work: Callable[[Shared, Sequence[Item]], list[Result]],
    shared: Shared,
    piece: Sequence[Item],
    own: Mapping[str, str],
) -> list[Result]:
    """One piece in a worker, with the coach's own files in force there too."""
    use_carried(own)
    return work(shared, piece)
