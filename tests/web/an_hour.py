"""Eight invented people of one coach who train today in one room with one rack."""

from __future__ import annotations

from typing import Any

from practice import paper_of, written_block

FIRST_NAMES = ("Ode", "Ana", "Bo", "Cem", "Dag", "Eva", "Fay", "Gil")


def eight_people(gym: Any, so_many: int = 8) -> list[Any]:
    """The trainees, the gym's own first, or only so many; each with a block in force and a session today."""
    from setwright.services.desk.blocks import accept, records_of
    from setwright.services.desk.overview import count_anew
    from setwright.services.desk.people import keep_trainee

    rows = [gym.trainee]
    for first in FIRST_NAMES[1:so_many]:
        slug, name = first.lower(), f"{first} Invented"
        row = keep_trainee(gym.coach, paper_of(slug, name).intake)
        block = written_block(slug, name)
        records_of(row, gym.coach.user).keep_block(block, "2026-01-01T00:00:00+00:00")
        accept(row, block.id, None, gym.coach.user)
        count_anew(row)
        rows.append(row)
    return rows
