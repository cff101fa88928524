"""Private links: they open what is in force and nothing else, end on their day or when withdrawn, and leave a trace.

Referees: RFC 5545 for the calendar, through ``icalendar``; RFC 9110 and the Referrer Policy of the W3C for headers.
"""

from __future__ import annotations

import re
from datetime import UTC, datetime, timedelta
from typing import Any

import pytest
from django.test import Client
from django.utils import timezone

from setwright.plan.block_days import session_date
from setwright.records import models
from setwright.records.erasing import erase_trainee
from setwright.services.desk.practice import digest_of


def make(gym: Any, **said: str) -> str:
    """The path of a fresh link."""
    given = {"what": "notes", "days": "28", "name": "the physiotherapist", **said}
    page = gym.as_coach().post(f"/t/{gym.trainee.id}/links/", given).content.decode()
    found = re.search(r"<code>http://testserver(/s/[^<]+)</code>", page)
    assert found, page
    return found[1]


def deeds(gym: Any) -> list[str]:
    """The audit trail of the practice."""
    return list(
        models.AuditEntry.objects.filter(practice=gym.coach.practice).order_by("id").values_list("deed", flat=True)
    )


def test_whoever_holds_the_link_reads_the_sessions_without_a_log_in(gym: Any) -> None:
    path, nobody = make(gym), Client()

    index = nobody.get(path).content.decode()
    at = re.search(rf'href="({path}\d+/\w+/)"', index)
    assert at and "Ode Invented" in index
    session = nobody.get(f"{path}1/{gym.block.weeks[0].sessions[0].day}/").content.decode()

    assert "Look at:" in session and "Log out" not in session
    assert "/t/" not in index + session  # nothing leads further inside


def test_only_a_digest_is_kept_and_the_secret_is_shown_once(gym: Any) -> None:
    secret = make(gym).split("/")[2]

    share = models.Share.objects.get()
    assert share.digest == digest_of(secret)
    assert secret not in str(models.Share.objects.values().get())
    assert secret not in gym.as_coach().get(f"/t/{gym.trainee.id}/links/").content.decode()
    assert secret not in str(list(models.AuditEntry.objects.values()))


@pytest.mark.parametrize("what", ["notes", "calendar"])
def test_nobody_finds_keeps_or_passes_on_where_it_came_from(gym: Any, what: str) -> None:
    answer = Client().get(make(gym, what=what))

    assert answer.status_code == 200
    assert "noindex" in answer["X-Robots-Tag"] and "nofollow" in answer["X-Robots-Tag"]
    assert answer["Referrer-Policy"] == "no-referrer"
    assert "no-store" in answer["Cache-Control"] and not answer.cookies


@pytest.mark.parametrize("what", ["notes", "calendar"])
def test_a_withdrawn_link_looks_like_one_that_never_was(gym: Any, what: str) -> None:
    path, nobody = make(gym, what=what), Client()
    assert nobody.get(path).status_code == 200

    gym.as_coach().post(f"/t/{gym.trainee.id}/links/{models.Share.objects.get().id}/withdraw/")

    gone, never = nobody.get(path), nobody.get(re.sub(r"/s/[^/.]+", "/s/never-was-a-secret", path))
    assert gone.status_code == never.status_code == 404
    assert gone.content == never.content
    assert "Withdraw it" not in gym.as_coach().get(f"/t/{gym.trainee.id}/links/").content.decode()


def test_a_link_ends_on_its_day(gym: Any) -> None:
    path = make(gym, days="7")
    share = models.Share.objects.get()
    assert timedelta(days=6) < share.expires_at - timezone.now() <= timedelta(days=7)

    models.Share.objects.update(expires_at=timezone.now() - timedelta(seconds=1))

    assert Client().get(path).status_code == 404
    assert "over since" in gym.as_coach().get(f"/t/{gym.trainee.id}/links/").content.decode()


def test_a_link_without_an_end_stays_open(gym: Any) -> None:
    path = make(gym, days="")

    assert models.Share.objects.get().expires_at is None
    assert Client().get(path).status_code == 200


def test_each_kind_of_link_opens_its_own_kind_only(gym: Any) -> None:
    notes, calendar = make(gym), make(gym, what="calendar")

    assert Client().get(notes.rstrip("/") + ".ics").status_code == 404
    assert Client().get(calendar.removesuffix(".ics") + "/").status_code == 404


def test_the_calendar_holds_every_session_of_what_is_in_force_at_its_time(gym: Any) -> None:
    from icalendar import Calendar

    answer = Client().get(make(gym, what="calendar", starts="07:15"))

    assert answer["Content-Type"].startswith("text/calendar")
    events = Calendar.from_ical(answer.content).walk("VEVENT")
    planned = {session_date(gym.block, week.number, one.day) for week in gym.block.weeks for one in week.sessions}
    assert {one.decoded("dtstart").date() for one in events} == planned and planned
    assert {one.decoded("dtstart").strftime("%H:%M") for one in events} == {"07:15"}


def test_a_calendar_is_stamped_when_it_was_last_revised_and_alike_until_then(gym: Any) -> None:
    """DTSTAMP is the time of the last revision where no METHOD is stated. Referee: RFC 5545, 3.8.7.2, from memory."""
    from icalendar import Calendar

    path = make(gym, what="calendar")
    first, again = Client().get(path).content, Client().get(path).content
    gym.trainee.in_force.create(block=gym.block.id, at="2026-11-28T10:20:30+02:00")
    after = Client().get(path).content

    def stamps(data: bytes) -> set[Any]:
        return {one.decoded("dtstamp") for one in Calendar.from_ical(data).walk("VEVENT")}

    (kept,) = gym.trainee.in_force.order_by("id").values_list("at", flat=True)[:1]
    assert first == again and b"METHOD" not in first
    assert stamps(first) == {datetime.fromisoformat(kept).replace(microsecond=0).astimezone(UTC)}
    assert stamps(after) == {datetime(2026, 11, 28, 8, 20, 30, tzinfo=UTC)}


def test_a_calendar_that_is_over_opens_nothing_and_its_page_says_so_plainly(gym: Any) -> None:
    notes, calendar = make(gym, days="7"), make(gym, what="calendar", days="7")
    models.Share.objects.update(expires_at=timezone.now() - timedelta(seconds=1))

    for browser in (Client(), gym.as_trainee()):
        assert browser.get(calendar).status_code == 404 and b"VEVENT" not in browser.get(calendar).content
        page = browser.get(notes)
        assert page.status_code == 404
        says = "<p>It is over, it was withdrawn, or there never was one. Ask whoever gave it to you.</p>"
        assert says in page.content.decode()


def test_every_step_of_a_link_goes_into_the_audit_trail(gym: Any) -> None:
    path = make(gym)
    Client().get(path)
    Client().get(path)
    gym.as_coach().post(f"/t/{gym.trainee.id}/links/{models.Share.objects.get().id}/withdraw/")

    of_links = [one for one in deeds(gym) if "link" in one]
    assert of_links == ["made a private link", "a private link was opened", "withdrew a private link"]


def test_an_erased_persons_links_open_nothing(gym: Any) -> None:
    path = make(gym)

    erase_trainee(gym.trainee)

    assert Client().get(path).status_code == 404


@pytest.mark.parametrize(
    ("said", "says"),
    [
        ({"what": "everything"}, "the sessions with notes or the calendar"),
        ({"what": "notes", "days": "9999"}, "one week, four weeks"),
        ({"what": "calendar", "days": "7", "starts": "noon"}, "a time like 18:00"),
    ],
)
def test_a_link_that_cannot_be_is_refused_and_nothing_is_made(gym: Any, said: dict[str, str], says: str) -> None:
    answer = gym.as_coach().post(f"/t/{gym.trainee.id}/links/", said)

    assert answer.status_code == 400 and says in answer.content.decode()
    assert not models.Share.objects.exists()


def test_no_other_coach_and_no_trainee_makes_sees_or_withdraws_a_link(gym: Any) -> None:
    make(gym)
    share = models.Share.objects.get()

    for browser in (gym.as_stranger(), gym.as_trainee()):
        assert browser.get(f"/t/{gym.trainee.id}/links/").status_code == 404
        assert browser.post(f"/t/{gym.trainee.id}/links/", {"what": "notes"}).status_code == 404
        assert browser.post(f"/t/{gym.trainee.id}/links/{share.id}/withdraw/").status_code == 404
    own = gym.as_stranger().post(f"/t/{gym.strangers_trainee.id}/links/{share.id}/withdraw/")
    assert own.status_code == 404
    share.refresh_from_db()
    assert share.withdrawn_at is None and models.Share.objects.count() == 1
