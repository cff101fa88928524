"""Two kept revisions of a trainee compared, in a coach's words."""

from __future__ import annotations

from setwright.publish.compare_report import CompareReport, compare_report
from setwright.publish.words import block_unit
from setwright.records import models
from setwright.services.comparing import compare_blocks
from setwright.services.desk.blocks import own_block


def compared(row: models.Trainee, was: str, becomes: str) -> CompareReport:
    """What differs between two revisions. LookupError for one that is not kept of this trainee."""
    first, second = own_block(row, was), own_block(row, becomes)
    names = (first.title, second.title)
    return compare_report(first, second, compare_blocks(first, second), names, block_unit(second))
