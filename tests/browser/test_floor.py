"""The trainee's phone on the gym floor, in Chromium: a set in two taps, no network, two phones, pain, timers.

Referee of what is kept: the rows in the data base, read without the page.
"""

from __future__ import annotations

import os
import shutil
import signal
from contextlib import suppress
from pathlib import Path
from typing import Any

from cookies import log_in_cookie
from line import Line
from practice import PASSWORD
from screens import FLAGS, PHONE
from steps import arrived, log_set, opened_today, sets_of, to_the_work, todays, until

from setwright.people.trainee import DAYS
from setwright.records.data_base import log_of
from setwright.services.gather import catalogue


def test_a_set_is_logged_in_two_taps_as_planned(gym: Any, phone: Any) -> None:
    page = opened_today(phone(gym.trainee.user))
    to_the_work(page)
    first = todays(gym)[0].working_sets[0]

    log_set(page, left=2)

    (row,) = arrived(page, gym, 1)
    assert (row["load_kg"], row["load_means"], row["rir"], row["set"]) == (first.load_kg, first.load_means, 2, 1)
    assert first.reps[0] <= row["reps"] <= first.reps[1]
    assert (row["week"], row["session"], row["date"]) == (1, DAYS[gym.today.weekday()], gym.today.isoformat())
    assert page.locator(".count").inner_text() == "Set 2 of 3"


def test_the_button_that_logs_is_always_under_the_thumb(gym: Any, phone: Any) -> None:
    """With a rest running and the load below it the card is longer than the screen: nobody scrolls for the button."""
    page = phone(gym.trainee.user)
    opened_today(page)
    to_the_work(page)
    log_set(page)
    arrived(page, gym, 1)

    card, button = page.locator(".card.now").bounding_box(), page.locator("[data-id=log]").bounding_box()

    assert card["y"] + card["height"] > page.viewport_size["height"], "a short card would show it anyway"
    assert button["y"] >= 0 and button["y"] + button["height"] <= page.viewport_size["height"]


def test_a_session_without_a_network_arrives_exactly_once(gym: Any, phone: Any, line: Line) -> None:
    page = opened_today(phone(gym.trainee.user))
    to_the_work(page)

    line.cut()
    log_set(page)
    log_set(page)
    page.locator("#kept").get_by_text("2 entries are kept here on this phone").wait_for()
    page.reload()
    page.locator("html[data-ready]").wait_for(state="attached")
    assert page.locator(".count").inner_text() == "Set 3 of 3"
    log_set(page)
    page.locator("#kept").get_by_text("3 entries are kept here").wait_for()
    assert sets_of(gym) == []

    line.mend()
    page.evaluate("dispatchEvent(new Event('online'))")
    page.evaluate("dispatchEvent(new Event('online'))")

    rows = arrived(page, gym, 3)
    assert [one["set"] for one in rows] == [1, 2, 3]
    assert len({one["row"] for one in rows}) == 3
    page.reload()
    page.locator("html[data-ready]").wait_for(state="attached")
    assert len(arrived(page, gym, 3)) == 3


def test_a_row_whose_answer_was_lost_is_sent_again_and_counts_once(gym: Any, phone: Any, line: Line) -> None:
    page = opened_today(phone(gym.trainee.user))
    to_the_work(page)
    page.route("**/log/", lambda route: (setattr(line, "is_deaf", True), route.continue_()))

    log_set(page)
    until(page, lambda: bool(sets_of(gym)))
    assert len(sets_of(gym)) == 1
    line.cut()
    page.locator("#kept").get_by_text("1 entry is kept here").wait_for()
    page.unroute("**/log/")
    line.is_deaf = False
    line.mend()
    page.evaluate("dispatchEvent(new Event('online'))")

    page.locator("#kept").wait_for(state="hidden", timeout=30000)
    assert len(arrived(page, gym, 1)) == 1


def test_two_phones_that_log_the_same_set_count_it_once(gym: Any, phone: Any, line: Line) -> None:
    one = opened_today(phone(gym.trainee.user))
    other = opened_today(phone(gym.coach.user), f"/t/{gym.trainee.id}/day/{gym.today.isoformat()}/")
    for page in (one, other):
        to_the_work(page)

    line.cut()
    log_set(one, left=1)
    log_set(other, left=3)
    other.context.set_offline(True)  # else both may send in one moment, which the data base of a test can't part
    line.mend()
    one.evaluate("dispatchEvent(new Event('online'))")
    arrived(one, gym, 1)
    other.context.set_offline(False)
    other.evaluate("dispatchEvent(new Event('online'))")
    rows = arrived(other, gym, 2)

    assert {row["rir"] for row in rows} == {1, 3}  # which one came first is the network's affair
    assert rows[1]["corrects"] == rows[0]["row"] and "corrects" not in rows[0]
    standing = [row for row in log_of(gym.trainee, catalogue()).sets if row.part != "warm-up"]
    assert [row.rir for row in standing] == [rows[1]["rir"]]
    later = other if rows[1]["rir"] == 3 else one
    later.get_by_text("Done so far: 1 set").click()
    later.get_by_text("Logged on another phone too; this one counts.").wait_for()


def test_a_killed_browser_forgets_nothing(gym: Any, chromium: Any, line: Line, tmp_path: Any) -> None:
    kind = chromium.browser_type
    more = {"executable_path": shutil.which("chromium"), "args": FLAGS, "viewport": PHONE, "base_url": line.url}
    context = kind.launch_persistent_context(str(tmp_path / "profile"), **more)
    context.add_cookies([log_in_cookie(gym.trainee.user, line.url)])
    page = opened_today(context.new_page())
    to_the_work(page)
    line.cut()
    page.locator("[data-id=log]").click()
    page.locator("#kept").get_by_text("1 entry is kept here").wait_for()
    kill_browser_of(tmp_path / "profile")

    line.mend()
    context = kind.launch_persistent_context(str(tmp_path / "profile"), **more)
    context.add_cookies([log_in_cookie(gym.trainee.user, line.url)])  # it forgets the log-in, not the rows
    page = context.new_page()
    page.goto("/today/")

    assert len(arrived(page, gym, 1)) == 1
    context.close()


def kill_browser_of(profile: Any) -> None:
    """Ends the browser of one profile without a word, by the ids of its own processes."""
    for entry in Path("/proc").glob("[0-9]*"):
        with suppress(OSError):
            if f"--user-data-dir={profile}".encode() in (entry / "cmdline").read_bytes().split(b"\0"):
                os.kill(int(entry.name), signal.SIGKILL)


def test_a_log_in_that_ended_keeps_the_rows_and_says_so(gym: Any, phone: Any) -> None:
    page = opened_today(phone(gym.trainee.user))
    to_the_work(page)
    page.context.clear_cookies()

    log_set(page)

    said = page.locator("#kept")
    said.get_by_text("Your log-in has ended. 1 entry is kept here on this phone").wait_for()
    assert sets_of(gym) == []
    said.get_by_role("link", name="Log in").click()
    page.locator("#kept").get_by_text("1 entry is kept here").wait_for()
    page.fill("[name=login]", gym.trainee.user.username)
    page.fill("[name=password]", PASSWORD)
    page.locator("main button").first.click()
    page.locator("html[data-ready]").wait_for(state="attached")
    assert len(arrived(page, gym, 1)) == 1


def test_sharp_pain_ends_the_exercise_and_the_coach_is_told(gym: Any, phone: Any) -> None:
    page = opened_today(phone(gym.trainee.user))
    to_the_work(page)
    name = catalogue().get(todays(gym)[0].exercise).name

    page.locator("[data-id=hurts]").tap()
    page.locator("[data-id=where]").select_option("lower back")
    page.locator("[data-id=pain-4]").tap()
    page.locator("[data-id=kind-sharp]").tap()
    page.locator("[data-id=tell]").tap()

    page.get_by_text("Stop this exercise.").wait_for()
    assert "Sharp pain: this exercise ends today" in page.locator("[data-card]").inner_text()
    page.locator("[data-id=read]").tap()
    (row,) = arrived(page, gym, 1)
    assert (row["pain"], row["pain_kind"], row["pain_where"], row["ended_by"]) == (4, "sharp", "lower back", "pain")
    assert name.lower() not in page.locator("[data-card] h2").first.inner_text().lower()
    (note,) = gym.trainee.notes.all()
    assert note.needs_coach and note.text.startswith("Pain 4 of 10 at the lower back, sharp.")
    assert "Pain 4 of 10 at the lower back" in gym.as_coach().get(f"/t/{gym.trainee.id}/").content.decode()


def test_chest_pain_stops_everything_at_once_without_a_network(gym: Any, phone: Any, line: Line) -> None:
    page = opened_today(phone(gym.trainee.user))
    to_the_work(page)
    line.cut()

    page.locator("[data-id=hurts]").tap()
    page.locator("[data-id=where]").select_option("chest")
    page.locator("[data-id=pain-2]").tap()
    page.locator("[data-id=tell]").tap()

    page.get_by_text("Stop training and get medical help now").wait_for()
    page.locator("[data-id=read]").tap()
    assert page.locator("[data-id=log]").count() == 0
    line.mend()
    page.evaluate("dispatchEvent(new Event('online'))")
    arrived(page, gym, 1)
    (note,) = gym.trainee.notes.all()
    assert note.needs_coach and "A red flag." in note.text and "emergency" in note.text


def test_what_pain_ended_is_ended_on_every_screen(gym: Any, phone: Any) -> None:
    page = opened_today(phone(gym.trainee.user))
    to_the_work(page)
    page.locator("[data-id=hurts]").tap()
    page.locator("[data-id=where]").select_option("lower back")
    page.locator("[data-id=pain-7]").tap()
    page.locator("[data-id=tell]").tap()
    page.locator("[data-id=read]").tap()
    arrived(page, gym, 1)
    first = page.locator("[data-card] h2").first.inner_text()

    other = opened_today(phone(gym.coach.user), f"/t/{gym.trainee.id}/day/{gym.today.isoformat()}/")

    assert other.locator("[data-card] h2").first.inner_text() == first
    other.get_by_text("Another order").tap()
    name = catalogue().get(todays(gym)[0].exercise).name
    assert f"{name}: ended because it hurt." in other.locator("[data-card]").inner_text().lower()


def test_a_slip_is_corrected_and_the_session_goes_on(gym: Any, phone: Any) -> None:
    page = opened_today(phone(gym.trainee.user))
    to_the_work(page)
    page.locator("[data-id=hurts]").tap()
    page.locator("[data-id=where]").select_option("knee")
    page.locator("[data-id=kind-numb]").tap()
    page.locator("[data-id=tell]").tap()
    page.locator("[data-id=read]").tap()
    page.get_by_text("Stop. Get help.").wait_for()

    page.locator("[data-id=slip]").tap()
    page.locator("[data-id=kind-numb]").tap()
    page.locator("[data-id=ended]").select_option("planned")
    page.get_by_role("button", name="Keep the correction").tap()

    page.locator(".count").get_by_text("Set 2").wait_for()
    old, new = arrived(page, gym, 2)
    assert old["pain_kind"] == "numb" and "pain_kind" not in new and new["corrects"] == old["row"]


def test_mild_pain_never_swaps_but_offers_less(gym: Any, phone: Any) -> None:
    page = opened_today(phone(gym.trainee.user))
    to_the_work(page)
    planned = todays(gym)[0].working_sets[0]

    page.locator("[data-id=hurts]").tap()
    page.locator("[data-id=where]").select_option("knee")
    page.locator("[data-id=side-left]").tap()
    page.locator("[data-id=pain-3]").tap()
    page.locator("[data-id=tell]").tap()

    page.locator("[data-id=less-load]").wait_for()
    offered = page.locator("[data-card] .stack button").all_inner_texts()
    assert [one.split(":")[0].split(" only")[0] for one in offered] == ["Less load", "Less range", "End this exercise"]
    page.locator("[data-id=less-load]").tap()
    assert page.locator(".count").inner_text() == "Set 2 of 3"
    page.locator("[data-id=log]").tap()
    rows = arrived(page, gym, 2)
    assert rows[0]["pain_where"] == "left knee"
    assert rows[1]["load_kg"] < planned.load_kg
    until(page, lambda: gym.trainee.notes.count() == 2)
    told = {note.text.split(" in ")[0] for note in gym.trainee.notes.filter(needs_coach=True)}
    assert told == {"Pain 3 of 10 at the left knee. In set 1.", "Goes on with less load"}


def test_a_rest_timer_goes_by_its_end_through_a_locked_screen_and_a_reload(gym: Any, phone: Any) -> None:
    """Referee: the planned rest, and a clock that the test moves."""
    page = phone(gym.trainee.user)
    page.clock.install()
    opened_today(page)
    to_the_work(page)
    seconds = todays(gym)[0].working_sets[0].rest_s

    log_set(page)
    page.locator("[data-id=rest]").wait_for()
    page.clock.fast_forward(60_000)  # as a phone that wakes up: timers due fire once
    left = page.locator("[data-id=rest]").inner_text()
    minutes, rest = left.split(":")
    assert seconds - 75 <= 60 * int(minutes) + int(rest) <= seconds - 60
    page.reload()
    page.locator("[data-id=rest]").wait_for()
    minutes, rest = page.locator("[data-id=rest]").inner_text().split(":")
    assert seconds - 80 <= 60 * int(minutes) + int(rest) <= seconds - 60
    page.clock.fast_forward(int(1000 * seconds))
    assert page.locator("[data-id=rest]").inner_text() == "Go"
