"""Whether a log belongs to a block: dates inside its weeks, exercises that stand in its sessions."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import timedelta
from pathlib import Path

from setwright.faults import Fault, InputFaults
from setwright.plan.block import Block
from setwright.plan.block_days import week_start
from setwright.services.gather import Say, load_block, load_logs
from setwright.services.keeping import kept_log
from setwright.strength.logged import Log

KNOWN_SHARE = 0.5  # under this share of sets that stand in the block, the log is doubted


@dataclass(frozen=True)
class LogFit:
    """A log split by the dates of a block, and how many of the sets inside stand in the block."""

    block: Block
    before: Log
    inside: Log
    after: Log
    planned: int

    @property
    def known(self) -> Log:
        """What teaches of strength: rows of the block and of the time before it."""
        return Log((*self.before.sets, *self.inside.sets), (*self.before.sessions, *self.inside.sessions))

    def refuse_or_say(self, files: Sequence[Path], say: Say) -> None:
        """Says what does not belong; raises InputFaults where nothing does."""
        name = ", ".join(str(one) for one in files) or "the kept log"
        first, last = week_start(self.block, 1), week_start(self.block, len(self.block.weeks) + 1) - timedelta(days=1)
        who = self.block.trainee
        rows = [
            (one, len(log.sets) + len(log.sessions)) for one, log in (("before", self.before), ("after", self.after))
        ]
        outside = sum(count for _, count in rows)
        if outside and not self.inside.sets and not self.inside.sessions:
            logs = (self.before, self.after)
            dates = sorted(
                [one.date for log in logs for one in log.sets] + [s.date for log in logs for s in log.sessions]
            )
            hint = f"Is it the log of {who}, and of this block?"
            found = f"rows from {dates[0]} to {dates[-1]}"
            raise InputFaults([Fault(name, "date", found, f"dates of the block, {first} to {last}", hint)])
        for when, count in rows:
            if count:
                use = "they count for strength only" if when == "before" else "they are left out"
                say(f"{name}: {count} rows lie {when} the block ({first} to {last}); {use}.")
        count = len(self.inside.sets)
        if count and self.planned < KNOWN_SHARE * count:
            say(
                f"{name}: only {self.planned} of {count} sets are of exercises that stand in this block. "
                f"Is it the log of {who}?"
            )


def block_and_log(block_file: Path, log_files: Sequence[Path], records: Path | None, say: Say) -> LogFit:
    """A block with the log of it, from files and records; raises InputFaults where the log is of something else."""
    block = load_block(block_file)
    fit = fit_of_log(block, load_logs(log_files, kept=kept_log(records, block.trainee), say=say))
    fit.refuse_or_say(log_files, say)
    return fit


def fit_of_log(block: Block, log: Log) -> LogFit:
    """The log split by the dates of the block."""
    first, end = week_start(block, 1), week_start(block, len(block.weeks) + 1)
    parts = {
        when: Log(
            tuple(one for one in log.sets if where(one.date < first, one.date >= end) == when),
            tuple(one for one in log.sessions if where(one.date < first, one.date >= end) == when),
        )
        for when in ("before", "inside", "after")
    }
    exercises = {
        entry.exercise
        for week in block.weeks
        for session in week.sessions
        for part in session.parts
        for entry in part.entries
    }
    planned = sum(1 for one in parts["inside"].sets if one.exercise in exercises)
    return LogFit(block, parts["before"], parts["inside"], parts["after"], planned)


def where(is_before: bool, is_after: bool) -> str:
    """Before, inside or after, in one word."""
    return "before" if is_before else "after" if is_after else "inside"
