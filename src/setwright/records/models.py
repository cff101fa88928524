"""What is kept, as tables.

Two ideas carry this module. One: what people write and log is only ever added to (``Document``, ``BlockRevision``,
``InForce``, ``LogRow``, ``Decision``, ``AuditEntry``); the newest row wins, the older ones stay. Two: what can be
counted again from those rows stands in tables of its own (``Overview``), and one command makes them anew.
"""

from __future__ import annotations

import uuid
from typing import ClassVar

from django.conf import settings
from django.db import models

SLUG = 100


class Practice(models.Model):
    """One or several coaches who work under one roof. Nothing of it is seen from another one."""

    id = models.UUIDField(primary_key=True, default=uuid.uuid4, editable=False)
    name = models.CharField(max_length=120)
    word_for_trainee = models.CharField(max_length=30, default="trainee")
    unit = models.CharField(max_length=2, default="kg")
    made_at = models.DateTimeField(auto_now_add=True)


class Coach(models.Model):
    """A person who is responsible for trainees of a practice; its owner also invites other coaches."""

    id = models.UUIDField(primary_key=True, default=uuid.uuid4, editable=False)
    user = models.ForeignKey(settings.AUTH_USER_MODEL, on_delete=models.PROTECT, related_name="coaching")
    practice = models.ForeignKey(Practice, on_delete=models.PROTECT, related_name="coaches")
    name = models.CharField(max_length=120)
    is_owner = models.BooleanField(default=False)
    left_at = models.DateTimeField(null=True, blank=True)

    class Meta:
        constraints: ClassVar = [models.UniqueConstraint(fields=["user", "practice"], name="one coach a practice")]


class Trainee(models.Model):
    """Who trains, and the coach who is responsible. What is known of them stands in documents.

    ``slug``: their id in files. ``erased_at``: a tombstone without a name; nothing else of them is left.
    """

    id = models.UUIDField(primary_key=True, default=uuid.uuid4, editable=False)
    practice = models.ForeignKey(Practice, on_delete=models.PROTECT, related_name="trainees")
    coach = models.ForeignKey(Coach, on_delete=models.PROTECT, related_name="trainees")
    slug = models.CharField(max_length=SLUG)
    name = models.CharField(max_length=120)
    user = models.OneToOneField(
        settings.AUTH_USER_MODEL, null=True, blank=True, on_delete=models.SET_NULL, related_name="trainee"
    )
    is_invented = models.BooleanField(default=False)
    made_at = models.DateTimeField(auto_now_add=True)
    erased_at = models.DateTimeField(null=True, blank=True)

    class Meta:
        constraints: ClassVar = [models.UniqueConstraint(fields=["practice", "slug"], name="one slug a practice")]
        indexes: ClassVar = [models.Index(fields=["coach", "name"])]


class Document(models.Model):
    """One version of a file that a coach keeps: a person's intake, a place, a brief, an own exercise. Never altered.

    ``trainee`` is empty for what belongs to the whole practice. ``text`` is the file as it stands, empty where it was
    taken away.
    """

    practice = models.ForeignKey(Practice, on_delete=models.PROTECT, related_name="documents")
    trainee = models.ForeignKey(Trainee, null=True, blank=True, on_delete=models.CASCADE, related_name="documents")
    kind = models.CharField(max_length=20)
    slug = models.CharField(max_length=SLUG)
    text = models.TextField()
    at = models.DateTimeField()
    by = models.ForeignKey(settings.AUTH_USER_MODEL, null=True, on_delete=models.SET_NULL, related_name="+")

    class Meta:
        indexes: ClassVar = [
            models.Index(fields=["practice", "kind", "slug", "-id"]),
            models.Index(fields=["trainee", "kind", "-id"]),
        ]


class BlockRevision(models.Model):
    """One immutable revision of a block: the published file, packed."""

    trainee = models.ForeignKey(Trainee, on_delete=models.CASCADE, related_name="revisions")
    block = models.CharField(max_length=SLUG)
    number = models.PositiveIntegerField()
    parent = models.CharField(max_length=SLUG, blank=True)
    title = models.CharField(max_length=200)
    first_day = models.DateField()
    last_day = models.DateField()
    packed = models.BinaryField()
    at = models.CharField(max_length=40)

    class Meta:
        constraints: ClassVar = [models.UniqueConstraint(fields=["trainee", "block"], name="one revision once")]


class InForce(models.Model):
    """That a revision came into force, and why; the newest row says which one is in force."""

    trainee = models.ForeignKey(Trainee, on_delete=models.CASCADE, related_name="in_force")
    block = models.CharField(max_length=SLUG)
    reason = models.CharField(max_length=500, blank=True)
    at = models.CharField(max_length=40)


class LogRow(models.Model):
    """One row of the log: a set, or what is said of a session or a day. The key comes from who logged it.

    ``key`` is made by the phone before the row is sent, so the same row can be sent twice and counts once. A correction
    is a new row that names the key of the old one (``corrects``, as in ``data``). ``slot`` names the planned set where
    a phone says so: by it two phones that log the same set are told.
    """

    trainee = models.ForeignKey(Trainee, on_delete=models.CASCADE, related_name="log_rows")
    key = models.CharField(max_length=64)
    day = models.DateField()
    data = models.JSONField()
    slot = models.CharField(max_length=SLUG, blank=True, default="")
    corrects = models.CharField(max_length=64, null=True)
    at = models.CharField(max_length=40)  # when the phone wrote it
    arrived = models.DateTimeField(auto_now_add=True)
    by = models.ForeignKey(settings.AUTH_USER_MODEL, null=True, on_delete=models.SET_NULL, related_name="+")

    class Meta:
        constraints: ClassVar = [models.UniqueConstraint(fields=["trainee", "key"], name="one row once")]
        indexes: ClassVar = [
            models.Index(fields=["trainee", "day"]),
            models.Index(fields=["trainee", "slot"]),
            models.Index(fields=["trainee", "-id"]),  # the newest row of one of thousands
            models.Index(fields=["trainee", "corrects"], condition=~models.Q(corrects=None), name="rows that correct"),
        ]


class Decision(models.Model):
    """What the coach decided about the changes of a revision."""

    trainee = models.ForeignKey(Trainee, on_delete=models.CASCADE, related_name="decisions")
    block = models.CharField(max_length=SLUG)
    verdict = models.CharField(max_length=10)
    changes = models.JSONField()
    reason = models.CharField(max_length=500, blank=True)
    at = models.CharField(max_length=40)


class Note(models.Model):
    """Words between trainee and coach about a day or an entry."""

    id = models.UUIDField(primary_key=True, default=uuid.uuid4)
    trainee = models.ForeignKey(Trainee, on_delete=models.CASCADE, related_name="notes")
    about = models.CharField(max_length=200, blank=True)
    day = models.DateField()
    text = models.TextField(max_length=4000)
    is_from_coach = models.BooleanField()
    needs_coach = models.BooleanField(default=False)
    seen_at = models.DateTimeField(null=True, blank=True)
    at = models.DateTimeField(auto_now_add=True)


class Cue(models.Model):
    """A coach's own cue, photo or clip for an exercise, for one trainee or for all of the practice."""

    practice = models.ForeignKey(Practice, on_delete=models.PROTECT, related_name="cues")
    trainee = models.ForeignKey(Trainee, null=True, blank=True, on_delete=models.CASCADE, related_name="cues")
    exercise = models.CharField(max_length=SLUG)
    text = models.CharField(max_length=500, blank=True)
    file = models.FileField(upload_to="cues/", blank=True)
    file_type = models.CharField(max_length=30, blank=True)
    at = models.DateTimeField(auto_now_add=True)
    taken_away_at = models.DateTimeField(null=True, blank=True)


class Share(models.Model):
    """A link to the notes or the calendar of what is in force, or to a public edition. Only its digest is kept.

    ``name``: whom it was made for; ``starts_at``: when sessions begin in a calendar; ``about``: of a public edition,
    the block, weeks, day, title, places, minutes of the talk, and whether everybody may find it.
    """

    trainee = models.ForeignKey(Trainee, on_delete=models.CASCADE, related_name="shares")
    what = models.CharField(max_length=20)
    name = models.CharField(max_length=120, blank=True, default="")
    starts_at = models.TimeField(null=True, blank=True)
    about = models.JSONField(default=dict, blank=True)
    digest = models.CharField(max_length=64, unique=True)
    made_at = models.DateTimeField(auto_now_add=True)
    expires_at = models.DateTimeField(null=True, blank=True)
    withdrawn_at = models.DateTimeField(null=True, blank=True)
    opened_at = models.DateTimeField(null=True, blank=True)


class FloorHour(models.Model):
    """An hour of several people on one floor: where, since when, the timetable that is followed, and its board.

    ``plan``: the timetable (``setwright/floor/1``) with what a page needs beside it; it names nobody, people are
    ``Person 1``, ``Person 2`` there. ``digest``: of the secret that opens the board; empty for none.
    ``opened_at``: when that link was opened first.
    """

    id = models.UUIDField(primary_key=True, default=uuid.uuid4, editable=False)
    practice = models.ForeignKey(Practice, on_delete=models.PROTECT, related_name="hours")
    coach = models.ForeignKey(Coach, on_delete=models.CASCADE, related_name="hours")
    place = models.CharField(max_length=SLUG)
    on = models.DateField()
    begins_at = models.DateTimeField()
    by_number = models.BooleanField(default=False)
    plan = models.JSONField(default=dict)
    digest = models.CharField(max_length=64, blank=True, default="", db_index=True)
    open_until = models.DateTimeField(null=True, blank=True)
    opened_at = models.DateTimeField(null=True, blank=True)


class HourPerson(models.Model):
    """One who comes to an hour, with their number there."""

    hour = models.ForeignKey(FloorHour, on_delete=models.CASCADE, related_name="people")
    trainee = models.ForeignKey(Trainee, on_delete=models.CASCADE, related_name="hours")
    number = models.PositiveIntegerField()

    class Meta:
        constraints: ClassVar = [models.UniqueConstraint(fields=["hour", "number"], name="one number once an hour")]


class Invitation(models.Model):
    """A link by which one person makes their own log-in, once. Only a digest of its secret is kept."""

    practice = models.ForeignKey(Practice, on_delete=models.PROTECT, related_name="invitations")
    trainee = models.ForeignKey(Trainee, null=True, blank=True, on_delete=models.CASCADE, related_name="invitations")
    name = models.CharField(max_length=120)
    digest = models.CharField(max_length=64, unique=True)
    made_at = models.DateTimeField(auto_now_add=True)
    expires_at = models.DateTimeField()
    used_at = models.DateTimeField(null=True, blank=True)


class Job(models.Model):
    """Long work: what was asked, how far it is, and what came of it."""

    WAITING, RUNNING, DONE, REFUSED, FAILED, CANCELLED = "waiting", "running", "done", "refused", "failed", "cancelled"
    id = models.UUIDField(primary_key=True, default=uuid.uuid4, editable=False)
    practice = models.ForeignKey(Practice, on_delete=models.PROTECT, related_name="jobs")
    trainee = models.ForeignKey(Trainee, null=True, on_delete=models.CASCADE, related_name="jobs")
    deed = models.CharField(max_length=40)
    asked = models.JSONField()
    by = models.ForeignKey(settings.AUTH_USER_MODEL, null=True, on_delete=models.SET_NULL, related_name="+")
    state = models.CharField(max_length=10, default=WAITING)
    doing = models.CharField(max_length=300, blank=True)
    share_done = models.FloatField(default=0.0)
    result = models.JSONField(default=dict)
    wants_cancel = models.BooleanField(default=False)
    made_at = models.DateTimeField(auto_now_add=True)
    began_at = models.DateTimeField(null=True)
    ended_at = models.DateTimeField(null=True)

    @property
    def is_over(self) -> bool:
        """True once nothing more will come of it."""
        return self.state not in (self.WAITING, self.RUNNING)


class Overview(models.Model):
    """What the roster shows of a trainee, counted from all of the above; ``rebuild`` makes it anew.

    ``look_again``: the first day on which a limit is to be looked at again. ``ability``: what they can do, in words;
    ``ability_of``: the log and the intake that it was counted from.
    """

    trainee = models.OneToOneField(Trainee, primary_key=True, on_delete=models.CASCADE, related_name="overview")
    block = models.CharField(max_length=SLUG, blank=True)
    last_logged = models.DateField(null=True)
    waiting = models.PositiveIntegerField(default=0)
    weight = models.FloatField(default=0.0)
    findings = models.JSONField(default=list)
    look_again = models.DateField(null=True)
    ability = models.JSONField(default=dict)
    ability_of = models.CharField(max_length=80, blank=True, default="")
    counted_at = models.DateTimeField(auto_now=True)

    class Meta:
        indexes: ClassVar = [models.Index(fields=["-weight"])]


class Drawn(models.Model):
    """A page that takes long to count and draw, as it was drawn last; it may be deleted at any time.

    ``of``: what it was drawn from, so that one tells whether anything went on since.
    """

    trainee = models.ForeignKey(Trainee, on_delete=models.CASCADE, related_name="drawn")
    kind = models.CharField(max_length=20)
    of = models.CharField(max_length=200)
    values = models.JSONField()
    at = models.DateTimeField(auto_now=True)

    class Meta:
        constraints: ClassVar = [models.UniqueConstraint(fields=["trainee", "kind"], name="one page drawn once")]


class PlannedDay(models.Model):
    """A day of the block in force, so that a roster can ask who trains when; made anew with the overview."""

    trainee = models.ForeignKey(Trainee, on_delete=models.CASCADE, related_name="planned_days")
    date = models.DateField()
    week = models.PositiveIntegerField()
    day = models.CharField(max_length=3)
    title = models.CharField(max_length=200, blank=True)
    minutes = models.PositiveIntegerField()

    class Meta:
        constraints: ClassVar = [models.UniqueConstraint(fields=["trainee", "date"], name="one planned day once")]
        indexes: ClassVar = [models.Index(fields=["date", "trainee"])]


class AuditEntry(models.Model):
    """Who did what to whom, and when. Only added to; it names no health data."""

    practice = models.ForeignKey(Practice, on_delete=models.PROTECT, related_name="audit")
    trainee = models.ForeignKey(Trainee, null=True, on_delete=models.SET_NULL, related_name="+")
    by = models.ForeignKey(settings.AUTH_USER_MODEL, null=True, on_delete=models.SET_NULL, related_name="+")
    deed = models.CharField(max_length=60)
    about = models.CharField(max_length=200, blank=True)
    at = models.DateTimeField(auto_now_add=True)

    class Meta:
        indexes: ClassVar = [models.Index(fields=["practice", "-id"])]
