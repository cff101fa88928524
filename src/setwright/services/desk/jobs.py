"""Long work outside of a request: asked for here, done by a worker, watched and cancelled from a page.

Two ideas carry this module. One: each job runs in a process of its own, so that cancelling it ends it, whatever the
solver is doing. Two: a job that a killed worker left behind is done again from the start; nothing it does is kept
before its end.
"""

from __future__ import annotations

import multiprocessing
from collections.abc import Callable, Mapping
from datetime import date, timedelta
from typing import Any

from django.db import transaction
from django.utils import timezone
from django_tasks import task

from setwright.faults import InputFaults, NoPlan
from setwright.records import models
from setwright.services.clock import today
from setwright.services.desk.own_exercises import practice_exercises
from setwright.services.desk.own_process import in_own_process

LOOK_EVERY_S = 0.2
LONG_LOG = 600  # rows that are counted within a page: under half a second on 2 cores
LONGEST_WAIT = timedelta(minutes=10)  # what waits longer was lost, and nothing gives way to it
NOBODY_WAITS = -10  # a count ends when there is time: what somebody asked for goes before it
WARM = ["setwright.services.desk.warm"]


def ask(
    row: models.Trainee | None, deed: str, asked: Mapping[str, Any], by: Any, practice: models.Practice | None = None
) -> models.Job:
    """Puts a deed in the queue; it starts once what the request wrote is committed."""
    roof = practice or (row.practice if row is not None else None)
    assert roof is not None
    job = models.Job.objects.create(practice=roof, trainee=row, deed=deed, asked=dict(asked), by=by)
    doing = do_job.using(priority=NOBODY_WAITS) if deed == "count" else do_job
    transaction.on_commit(lambda: doing.enqueue(str(job.id)))
    return job


def ask_count_of_long_log(row: models.Trainee, by: Any) -> None:
    """Has a long log counted under the block that came into force, so that its next session is there when asked for.

    A short one is counted within the page.
    """
    if row.log_rows.count() > LONG_LOG:
        ask(row, "count", {}, by)


def cancel(job: models.Job) -> None:
    """Asks for an end: at once where it has not begun, within a second where it runs."""
    begun = not models.Job.objects.filter(id=job.id, state=models.Job.WAITING).update(
        state=models.Job.CANCELLED, ended_at=timezone.now()
    )
    if begun:
        models.Job.objects.filter(id=job.id, state=models.Job.RUNNING).update(wants_cancel=True)


@task()
def do_job(job_id: str) -> None:
    """Runs one job in a process of its own and watches it; a search for a better hour gives way to all else."""
    began = models.Job.objects.filter(id=job_id, state__in=(models.Job.WAITING, models.Job.RUNNING)).update(
        state=models.Job.RUNNING, began_at=timezone.now(), doing="starting"
    )
    if not began:
        return
    context = multiprocessing.get_context("forkserver")
    context.set_forkserver_preload(WARM)
    process = context.Process(target=in_own_process, args=(job_id,), daemon=True)
    process.start()
    while process.is_alive():
        process.join(LOOK_EVERY_S)
        if models.Job.objects.filter(id=job_id, wants_cancel=True).exists():
            process.kill()
            process.join()
            end(job_id, models.Job.CANCELLED, "cancelled; nothing has changed", {})
            return
        if gives_way(job_id):
            process.kill()
            process.join()
            models.Job.objects.filter(id=job_id, state=models.Job.RUNNING).update(state=models.Job.WAITING, doing="")
            do_job.enqueue(job_id)
            return
    if process.exitcode != 0:
        end(job_id, models.Job.FAILED, "our own fault: it ended before its time", {})


def gives_way(job_id: str) -> bool:
    """True where a better hour is looked for while somebody waits for something else: a coach looks at that page."""
    if not models.Job.objects.filter(id=job_id, deed="hour").exists():
        return False
    waiting = models.Job.objects.filter(state=models.Job.WAITING, made_at__gt=timezone.now() - LONGEST_WAIT)
    return waiting.exclude(deed__in=("hour", "count")).exists()


def end(job_id: str, state: str, doing: str, result: Mapping[str, Any]) -> None:
    """Keeps what came of a job, once."""
    models.Job.objects.filter(id=job_id, state=models.Job.RUNNING).update(
        state=state, doing=doing[:300], result=dict(result), share_done=1.0, ended_at=timezone.now()
    )


def run_here(job_id: str) -> None:
    """Does the deed of a job in this process, and keeps what came of it."""
    job = models.Job.objects.select_related("trainee__practice", "practice", "by").get(id=job_id)

    def say(doing: str, share: float) -> None:
        models.Job.objects.filter(id=job_id).update(doing=doing[:300], share_done=share)

    try:
        with practice_exercises(job.practice):
            result = DEEDS[job.deed](job, say)
    except NoPlan as refused:
        lines = [*refused.conflict, *(f"What would help: {one.sentence()}" for one in refused.repairs)]
        end(job_id, models.Job.REFUSED, "no plan is possible", {"lines": lines})
    except InputFaults as wrong:
        end(job_id, models.Job.REFUSED, "that can't be taken", {"lines": [one.sentence() for one in wrong.faults]})
    except LookupError as missing:
        end(job_id, models.Job.REFUSED, "there is nothing of that", {"lines": [str(missing)]})
    except Exception as error:
        end(job_id, models.Job.FAILED, f"our own fault: {type(error).__name__}", {})
        raise
    else:
        end(job_id, models.Job.DONE, "done", result)


Say = Callable[[str, float], None]


def design_deed(job: models.Job, say: Say) -> Mapping[str, Any]:
    """A block from a brief."""
    from setwright.services.desk.blocks import design_for

    say("looking for the best block within your rules", 0.2)
    return new_block(job, design_for(row_of(job), job.asked["brief"], job.by))


def write_deed(job: models.Job, say: Say) -> Mapping[str, Any]:
    """A block from the coach's own text."""
    from setwright.services.desk.blocks import write_for

    say("reading, dosing and checking what you wrote", 0.2)
    start = date.fromisoformat(job.asked["start"])
    return new_block(job, write_for(row_of(job), job.asked["text"], start, job.by))


def fit_deed(job: models.Job, say: Say) -> Mapping[str, Any]:
    """A kept session as somebody can do it."""
    from setwright.services.desk.fit_kept import fit_for

    say("fitting it to their days, places and limits", 0.2)
    start = date.fromisoformat(job.asked["start"])
    return new_block(job, fit_for(row_of(job), job.asked["text"], start, job.by))


def new_block(job: models.Job, block: Any) -> Mapping[str, Any]:
    """A first revision, which waits on the roster from now on."""
    from setwright.services.desk.overview import count_anew

    count_anew(row_of(job), with_findings=False)
    return {"block": block.id}


def sore_deed(job: models.Job, say: Say) -> Mapping[str, Any]:
    """The smallest change for a sore joint."""
    from setwright.services.desk.blocks import accept, limit
    from setwright.services.desk.limits import limit_asked
    from setwright.services.desk.overview import count_anew

    say("holding every entry that remains against it", 0.3)
    row = row_of(job)
    on = date.fromisoformat(job.asked.get("on") or today().isoformat())
    made = limit_asked(row, job.asked, on)
    block = limit(row, made, on, job.by)
    if job.asked.get("send"):
        say("putting it in force", 0.9)
        accept(row, block.id, None, job.by, f"sent at once: {made.reason}"[:500])
    count_anew(row, with_findings=False)
    return {"block": block.id, "changes": len(block.changes), "sent": bool(job.asked.get("send"))}


def anew_deed(job: models.Job, say: Say) -> Mapping[str, Any]:
    """The revision before the one in force, made anew under the limits that hold now."""
    from setwright.services.desk.blocks import undo_under_limits
    from setwright.services.desk.overview import count_anew

    say("holding every entry of the revision before against the limits", 0.3)
    row = row_of(job)
    block = undo_under_limits(row, date.fromisoformat(job.asked["on"]), job.by)
    count_anew(row, with_findings=False)
    return {"block": block.id, "changes": len(block.changes), "sent": True}


def adapt_deed(job: models.Job, say: Say) -> Mapping[str, Any]:
    """What the log proposes."""
    from setwright.services.desk.blocks import adapt_for
    from setwright.services.desk.overview import count_anew

    say("reading the log, looking for what should change", 0.3)
    row = row_of(job)
    found = adapt_for(row, job.by)
    count_anew(row)
    return {"block": found.block.id, "changes": len(found.block.changes), "notes": list(found.notes)}


def count_deed(job: models.Job, say: Say) -> Mapping[str, Any]:
    """What the log shows, counted anew."""
    from setwright.services.desk.ability import count_ability
    from setwright.services.desk.kept_days import count_ahead
    from setwright.services.desk.overview import count_anew

    row = row_of(job)
    say("counting the next session", 0.1)
    count_ahead(row)
    say("reading the log", 0.4)
    count_anew(row)
    say("counting what they can do", 0.7)
    count_ability(row, today())
    return {}


def review_deed(job: models.Job, say: Say) -> Mapping[str, Any]:
    """The review of the block in force, counted and drawn."""
    from setwright.services.desk.reviewing import draw_review

    say("reading the log and drawing the pictures", 0.3)
    draw_review(row_of(job))
    return {}


def by_hand_deed(job: models.Job, say: Say) -> Mapping[str, Any]:
    """One entry changed by its coach, the rest with it where it must."""
    from setwright.services.desk.changing import change_said

    say("changing it, and making room where it needs some", 0.3)
    asked = job.asked
    block = change_said(row_of(job), asked["block"], asked, date.fromisoformat(asked["on"]), job.by)
    return settled(job, block, asked, say, ["It is as you want it already."])


def add_deed(job: models.Job, say: Say) -> Mapping[str, Any]:
    """One exercise more on a day, the rest with it where it must."""
    from setwright.services.desk.adding import add_said

    say("adding it, and making room where it needs some", 0.3)
    asked = job.asked
    block = add_said(row_of(job), asked["block"], asked, date.fromisoformat(asked["on"]), job.by)
    return settled(job, block, asked, say, [])


def between_deed(job: models.Job, say: Say) -> Mapping[str, Any]:
    """What came between, and the weeks planned again around it."""
    from setwright.services.desk.changing import come_between, why_nothing

    say("planning again around it, with the fewest changes", 0.3)
    asked, row = job.asked, row_of(job)
    on = date.fromisoformat(asked["on"])
    block = come_between(row, asked["block"], asked, on, job.by)
    lines = why_nothing(row, asked["block"], asked, on) if block.id == asked["block"] else []
    return settled(job, block, asked, say, lines)


def again_deed(job: models.Job, say: Say) -> Mapping[str, Any]:
    """A revision that waits from a block before, made again on the block in force."""
    from setwright.records.data_base import in_force_id
    from setwright.services.desk.overview import count_anew
    from setwright.services.desk.renewing import make_again

    say("making the same changes on what is in force", 0.3)
    row = row_of(job)
    block = make_again(row, job.asked["again"], date.fromisoformat(job.asked["on"]), job.by)
    count_anew(row, with_findings=False)
    is_new = block.id != in_force_id(row)
    lines = [] if is_new else ["Nothing of it is left to do: what is in force has it already."]
    return {"block": block.id, "changes": len(block.changes) if is_new else 0, "lines": lines}


def hour_deed(job: models.Job, say: Say) -> Mapping[str, Any]:
    """A better timetable for an hour on the floor, and the one exchange that saves most."""
    from setwright.services.desk.better_hour import look_for_better

    say("looking for a better timetable", 0.3)
    return {"came": look_for_better(job.asked["hour"], job.asked["mark"])}


def settled(job: models.Job, block: Any, asked: Mapping[str, Any], say: Say, lines: list[str]) -> Mapping[str, Any]:
    """What came of a change: the revision that waits, put in force where the coach said so; or why nothing changed."""
    from setwright.services.desk.blocks import accept
    from setwright.services.desk.overview import count_anew

    if block.id == asked["block"]:
        return {"block": block.id, "changes": 0, "lines": lines}
    row = row_of(job)
    if asked.get("send"):
        say("putting it in force", 0.9)
        accept(row, block.id, None, job.by, str(asked.get("reason") or "changed by hand")[:500])
    count_anew(row, with_findings=False)
    return {
        "block": block.id,
        "was": asked["block"],
        "changes": len(block.changes),
        "sent": bool(asked.get("send")),
        "is_first": block.parent is None,
    }


def row_of(job: models.Job) -> models.Trainee:
    """The trainee of a job; LookupError where it is of nobody."""
    if job.trainee is None:
        raise LookupError("this job is of no trainee")
    return job.trainee


DEEDS: Mapping[str, Callable[[models.Job, Say], Mapping[str, Any]]] = {
    "design": design_deed,
    "write": write_deed,
    "fit": fit_deed,
    "sore": sore_deed,
    "anew": anew_deed,
    "adapt": adapt_deed,
    "count": count_deed,
    "again": again_deed,
    "by-hand": by_hand_deed,
    "add": add_deed,
    "review": review_deed,
    "between": between_deed,
    "hour": hour_deed,
}
