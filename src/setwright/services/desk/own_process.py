"""The first lines of a job's own process: the framework starts before anything that needs it is read."""

from __future__ import annotations

import os


def in_own_process(job_id: str) -> None:
    """What the process of a job does."""
    os.environ.setdefault("DJANGO_SETTINGS_MODULE", "setwright.settings")
    import django

    django.setup()
    from django.db import connections

    from setwright.services.desk.jobs import run_here

    try:
        run_here(job_id)
    finally:
        connections.close_all()
