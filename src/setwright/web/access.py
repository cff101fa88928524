"""Who may open what. Every page and every call of the API asks here, and nowhere else.

Two ideas carry this module. One: a coach sees the trainees they are responsible for, a trainee sees their own, nobody
else sees anything. Two: what one may not see does not exist: the answer is always "not found", never "forbidden".
"""

from __future__ import annotations

from typing import Any
from uuid import UUID

from django.http import Http404, HttpRequest

from setwright.records import models


def coach_of(user: Any) -> models.Coach | None:
    """The coach that a user is, or None; one who left the practice is none."""
    if not user.is_authenticated:
        return None
    return models.Coach.objects.select_related("practice", "user").filter(user=user, left_at=None).first()


def trainee_of(user: Any) -> models.Trainee | None:
    """The trainee that a user is, or None."""
    if not user.is_authenticated:
        return None
    return models.Trainee.objects.select_related("practice").filter(user=user, erased_at=None).first()


def practice_of(user: Any) -> models.Practice | None:
    """The practice that a user works in, or trains in, or None."""
    found = coach_of(user) or trainee_of(user)
    return None if found is None else found.practice


def require_coach(request: HttpRequest) -> models.Coach:
    """The coach who asks. Raises Http404 for anybody else."""
    found = coach_of(request.user)
    if found is None:
        raise Http404
    return found


def require_owner(request: HttpRequest) -> models.Coach:
    """The owner of a practice who asks. Raises Http404 for anybody else."""
    found = require_coach(request)
    if not found.is_owner:
        raise Http404
    return found


def require_trainee(request: HttpRequest) -> models.Trainee:
    """The trainee who asks. Raises Http404 for anybody else."""
    found = trainee_of(request.user)
    if found is None:
        raise Http404
    return found


def trainees_of(coach: models.Coach) -> Any:
    """The trainees a coach is responsible for, without tombstones."""
    return models.Trainee.objects.filter(coach=coach, erased_at=None)


def coached(request: HttpRequest, trainee_id: UUID) -> models.Trainee:
    """A trainee of the coach who asks. Raises Http404 for any other."""
    found = trainees_of(require_coach(request)).select_related("practice", "coach").filter(id=trainee_id).first()
    if found is None:
        raise Http404
    return found


def one_who_logs(request: HttpRequest, trainee_id: UUID) -> models.Trainee:
    """A trainee that the user may log for: their own self, or one they coach. Raises Http404 for any other."""
    own = trainee_of(request.user)
    return own if own is not None and own.id == trainee_id else coached(request, trainee_id)


def own_hour(request: HttpRequest, hour_id: UUID) -> models.FloorHour:
    """An hour on the floor of the coach who asks. Raises Http404 for any other."""
    coach = require_coach(request)
    found = models.FloorHour.objects.select_related("coach", "practice").filter(id=hour_id, coach=coach).first()
    if found is None:
        raise Http404
    return found


def screen_to_end(request: HttpRequest, hour_id: UUID) -> models.FloorHour:
    """An hour whose screen the user may end: their own, or any of the practice that they own. Http404 for any other."""
    coach = require_coach(request)
    hours = coach.practice.hours if coach.is_owner else coach.hours
    found: models.FloorHour | None = hours.select_related("practice").filter(id=hour_id).first()
    if found is None:
        raise Http404
    return found


def own_job(request: HttpRequest, job_id: UUID) -> models.Job:
    """A job of a trainee that the user may see, or one that the coach asked for. Raises Http404 for any other."""
    found = models.Job.objects.select_related("trainee", "practice").filter(id=job_id).first()
    if found is None:
        raise Http404
    if found.trainee is not None:
        one_who_logs(request, found.trainee.id)
    elif require_coach(request).practice_id != found.practice_id or found.by_id != request.user.id:
        raise Http404
    return found


def may_see_cue(request: HttpRequest, cue_id: int) -> models.Cue:
    """A cue that the user may see: their own, of one they coach, of the whole practice. Http404 for any other."""
    found = models.Cue.objects.filter(id=cue_id, taken_away_at=None).first()
    if found is None:
        raise Http404
    if found.trainee_id is not None:
        one_who_logs(request, found.trainee_id)
        return found
    coach, own = coach_of(request.user), trainee_of(request.user)
    if found.practice_id not in [one.practice_id for one in (coach, own) if one is not None]:
        raise Http404
    return found
