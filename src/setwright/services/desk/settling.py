"""What a deed of the command line brings with it in a data base, as the same deed on a page does."""

from __future__ import annotations

from setwright.plan.block import Block
from setwright.records.data_base import DataBaseRecords
from setwright.services.desk.blocks import keep_restrictions
from setwright.services.desk.overview import count_anew
from setwright.services.desk.practice import note


def settle_deed(records: DataBaseRecords, trainee: str, deed: str, about: str, accepted: Block | None) -> None:
    """Writes the deed into the audit trail, takes new restrictions into the intake, counts the overview anew.

    accepted : the block that came into force, or None
    """
    row = records.row_of(trainee)
    if accepted is not None:
        keep_restrictions(row, accepted, records.by)
    note(records.practice, records.by, deed, row, about)
    count_anew(row)
