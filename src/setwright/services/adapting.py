"""After a session or a week: the next revision that a log proposes, and what is said beside it."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace
from datetime import date
from pathlib import Path

from setwright.faults import Fault, InputFaults
from setwright.review.believed import believed
from setwright.review.findings import doubtful_sets
from setwright.review.proposals import Proposal, proposed
from setwright.services.deeds import block_estimates, without_declined
from setwright.services.gather import Say, catalogue, last_date, silent
from setwright.services.keeping import declined_changes
from setwright.services.log_fit import LogFit, block_and_log
from setwright.services.step_demand import demand_port


def proposal_of(fit: LogFit, on: date | None = None) -> Proposal:
    """What a log proposes for the weeks of its block that remain: the one way to it, of every face.

    on : the day it is seen from; the last one of the log when None
    """
    trust = believed(fit.block, fit.inside)
    estimates = block_estimates(fit.block, trust.of(fit.known), on)
    return proposed(fit.block, fit.inside, estimates, catalogue(), on, demand_port(fit.block.inputs.trainee))


def adapt(
    block_file: Path,
    log_files: Sequence[Path],
    records: Path | None = None,
    say: Say = silent,
    on: date | None = None,
) -> Proposal:
    """The next revision of the block, the old one unchanged where nothing has to change, and what is said beside it.

    on : the day it is seen from; the last one of the log when None
    Raises InputFaults for a day before the last one of the log.
    """
    fit = block_and_log(block_file, log_files, records, say)
    block, known = fit.block, fit.known
    newest = last_date(known, date.min)
    if on is not None and on < newest:
        raise InputFaults(
            [Fault("--on", "", on.isoformat(), f"{newest.isoformat()} or later: the log goes on to then")]
        )
    estimates = block_estimates(block, known, on)
    for one in doubtful_sets(estimates, catalogue()):
        say(f"{one.kind.capitalize()}: {one.about}, {one.evidence} {one.settles_it}")
    found = proposal_of(fit, on)
    after = without_declined(block, found.block, declined_changes(records, block.trainee), say)
    return replace(found, block=after)
