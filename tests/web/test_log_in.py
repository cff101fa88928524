"""Log-ins: by invitation only, locked after wrong passwords, with a second step, and all ended at once."""

from __future__ import annotations

import base64
import hashlib
import hmac
import os
import re
import subprocess
import sys
import tempfile
import time
from typing import Any

import pytest
from django.core.management import call_command
from django.db import connection
from django.test import Client
from practice import PASSWORD

LOG_IN = "/in/login/"


def log_in(username: str, password: str = PASSWORD) -> Client:
    """A browser in which somebody tried to log in through the page; ``answer`` is what came."""
    browser = Client()
    browser.answer = browser.post(LOG_IN, {"login": username, "password": password})  # type: ignore[attr-defined]
    return browser


def is_in(browser: Any) -> bool:
    """True where the browser is past the log-in."""
    return bool(browser.get("/in/").status_code == 200)


@pytest.fixture
def counted(settings: Any, gym: Any) -> Any:
    """The practice, with the counts of wrong passwords where they lie in the real application."""
    from setwright import settings as real

    settings.CACHES = real.CACHES
    call_command("createcachetable")
    return gym


def forget_counts() -> None:
    """Empties the cache table past the framework."""
    with connection.cursor() as cursor:
        cursor.execute("delete from cache")


def surely(browser: Any) -> Any:
    """The browser after its person gave the password once more."""
    browser.post("/in/reauthenticate/", {"password": PASSWORD})
    return browser


def test_five_wrong_passwords_lock_the_name_for_a_while_and_no_other(counted: Any) -> None:
    assert is_in(log_in("ode"))

    for _ in range(5):
        wrong = log_in("ode", "not that one at all")
    locked = log_in("ode")

    assert "don&#x27;t belong together" in wrong.answer.content.decode() and not is_in(wrong)
    assert "Wait five minutes" in locked.answer.content.decode() and not is_in(locked)
    assert is_in(log_in("berit")), "another name is not locked by it"
    forget_counts()
    assert is_in(log_in("ode")), "the counts lie in the table, so that all workers share them"


def test_a_locked_name_opens_again_after_five_minutes(counted: Any, monkeypatch: pytest.MonkeyPatch) -> None:
    for _ in range(5):
        log_in("ode", "not that one at all")
    assert not is_in(log_in("ode"))
    now = time.time()

    monkeypatch.setattr(time, "time", lambda: now + 301)

    assert is_in(log_in("ode"))


def test_a_wrong_name_and_a_wrong_password_are_told_alike(gym: Any) -> None:
    name, password = log_in("nobody-of-that-name"), log_in("ode", "wrong")

    said = [re.findall(r"<p>[^<]*together[^<]*</p>", one.answer.content.decode()) for one in (name, password)]
    assert said[0] and said[0] == said[1]


def test_nobody_signs_up_by_themselves(client: Any, gym: Any) -> None:
    users = type(gym.coach.user).objects
    before = users.count()

    for address in ("/in/signup/", "/in/password/reset/"):
        page = client.get(address).content.decode()
        assert "by invitation" in page and "<form" not in page
        assert client.post(address, {"username": "new", "password1": PASSWORD}).status_code == 405
    assert users.count() == before


def test_passwords_are_kept_by_argon2(settings: Any, gym: Any) -> None:
    """Referee: the PHC string format, from memory: ``$argon2id$v=19$m=...``."""
    from setwright import settings as real

    settings.PASSWORD_HASHERS = real.PASSWORD_HASHERS
    gym.trainee.user.set_password(PASSWORD)

    assert re.match(r"argon2\$argon2id\$v=19\$m=\d{5,},t=\d+,p=\d+\$", gym.trainee.user.password)
    assert gym.trainee.user.check_password(PASSWORD)


def test_a_new_password_ends_the_log_in_on_other_devices(gym: Any) -> None:
    here, there = log_in("ode"), log_in("ode")

    page = here.get("/in/password/change/")
    given = {"oldpassword": PASSWORD, "password1": "another long word 8", "password2": "another long word 8"}
    answer = here.post("/in/password/change/", given)

    assert page.status_code == 200 and answer.status_code == 302
    assert is_in(here) and not is_in(there)
    assert not is_in(log_in("ode")) and is_in(log_in("ode", "another long word 8"))


def test_a_weak_new_password_is_refused_with_its_reason(gym: Any) -> None:
    browser = log_in("ode")

    answer = browser.post("/in/password/change/", {"oldpassword": PASSWORD, "password1": "short", "password2": "short"})

    assert "at least 10 characters" in answer.content.decode()
    assert is_in(log_in("ode"))


def test_all_log_ins_of_mine_end_at_once_and_nobody_elses(gym: Any) -> None:
    here, there, other = log_in("ode"), log_in("ode"), log_in("berit")
    assert "logged in on 2 devices" in here.get("/in/").content.decode()

    answer = here.post("/in/end-all/", follow=True)

    assert "2 log-ins of yours ended" in answer.content.decode()
    assert (is_in(here), is_in(there), is_in(other)) == (False, False, True)


def one_time_code(secret: str, at: float) -> str:
    """Referee: RFC 6238 with the usual 30 s and six digits, RFC 4226 for the cut; from memory."""
    key = base64.b32decode(secret + "=" * (-len(secret) % 8))
    digest = hmac.new(key, int(at // 30).to_bytes(8, "big"), hashlib.sha1).digest()
    start = digest[-1] & 0xF
    return f"{(int.from_bytes(digest[start : start + 4], 'big') & 0x7FFFFFFF) % 1_000_000:06d}"


def test_the_referee_for_codes_knows_the_published_example() -> None:
    """RFC 6238, appendix B: at 59 s the eight digits are 94287082; seen from memory."""
    assert one_time_code(base64.b32encode(b"12345678901234567890").decode(), 59) == "287082"


def with_codes(username: str) -> tuple[str, list[str]]:
    """Sets up codes from an app through the pages; gives the secret and the recovery codes."""
    browser = surely(log_in(username))
    page = browser.get("/in/2fa/totp/activate/").content.decode()
    secret = re.findall(r"<code>([A-Z2-7]{16,})</code>", page)[0]
    answer = browser.post("/in/2fa/totp/activate/", {"code": one_time_code(secret, time.time())}, follow=True)
    codes = re.findall(r"<code>([0-9a-z-]+)</code>", answer.content.decode())
    assert "<h1>Recovery codes</h1>" in answer.content.decode()
    return secret, codes


def test_with_an_app_for_codes_a_password_alone_opens_nothing(gym: Any) -> None:
    secret, codes = with_codes("ode")

    browser = log_in("ode")
    assert browser.answer["Location"].startswith("/in/2fa/authenticate/") and not is_in(browser)
    wrong = browser.post("/in/2fa/authenticate/", {"code": "000000"})
    assert 'class="said"' in wrong.content.decode() and not is_in(browser)
    later = time.time() + 60  # a code counts once; the next one comes after half a minute
    with pytest.MonkeyPatch.context() as patch:
        patch.setattr(time, "time", lambda: later)
        browser.post("/in/2fa/authenticate/", {"code": one_time_code(secret, later)})
    assert is_in(browser)
    assert len(codes) >= 8


def test_a_recovery_code_opens_once(gym: Any) -> None:
    _, codes = with_codes("ode")
    first, second = log_in("ode"), log_in("ode")

    first.post("/in/2fa/authenticate/", {"code": codes[0]})
    second.post("/in/2fa/authenticate/", {"code": codes[0]})

    assert is_in(first) and not is_in(second)
    assert f"{len(codes) - 1} of {len(codes)} are left" in surely(first).get("/in/2fa/recovery-codes/").content.decode()


def test_the_log_in_is_changed_only_after_the_password_was_given_again(gym: Any) -> None:
    """Who finds an open browser can't lock its owner out."""
    browser = gym.as_trainee()

    answer = browser.get("/in/2fa/totp/activate/")
    again = browser.post(answer["Location"], {"password": "wrong"})

    assert answer["Location"].startswith("/in/reauthenticate/")
    assert 'class="said"' in again.content.decode()
    assert browser.get("/in/2fa/totp/activate/").status_code == 302


def test_every_page_of_a_log_in_is_in_the_look_of_the_application(gym: Any) -> None:
    browser = surely(log_in("ode"))
    pages = ("/in/", "/in/password/change/", "/in/2fa/totp/activate/", "/in/2fa/webauthn/", "/in/2fa/webauthn/add/")

    for address in (*pages, "/in/logout/", "/in/reauthenticate/"):
        answer = browser.get(address)
        page = answer.content.decode()
        assert answer.status_code == 200, address
        assert page.count("<h1>") == 1 and "setwright/app.css" in page, address
        assert " style=" not in page and "<style" not in page and "onclick" not in page, address
        assert "'self'" in answer["Content-Security-Policy"] and "unsafe" not in answer["Content-Security-Policy"]


TLS = """
import django
django.setup()
from django.conf import settings
settings.STORAGES["staticfiles"]["BACKEND"] = "django.contrib.staticfiles.storage.StaticFilesStorage"
settings.DATABASES["default"]
from django.core.management import call_command
call_command("migrate", verbosity=0)
call_command("createcachetable")
from django.test import Client
from setwright.services.desk.practice import found_practice
found_practice("Hall", "Berit", "berit", "a long word for nobody 7")
plain = Client(headers={"host": "gym.example"}).get("/in/login/")
print(plain.status_code, plain["Location"])
browser = Client(headers={"host": "gym.example", "x-forwarded-proto": "https", "referer": "https://gym.example/"})
page = browser.get("/in/login/")
print(page["Strict-Transport-Security"])
answer = browser.post("/in/login/", {"login": "berit", "password": "a long word for nobody 7"})
print(answer.status_code, *sorted(f"{name}:{one['secure']}:{one['httponly']}:{one['samesite']}"
                                  for name, one in browser.cookies.items()))
print(Client(headers={"host": "else.example", "x-forwarded-proto": "https"}).get("/in/login/").status_code)
"""


def test_behind_tls_cookies_are_secure_and_browsers_are_told_to_stay_with_it() -> None:
    """Referee: RFC 6797 (Strict-Transport-Security), RFC 6265 (Secure, HttpOnly), from memory."""
    with tempfile.TemporaryDirectory() as folder:
        given = {"SETWRIGHT_TLS": "1", "SETWRIGHT_HOSTS": "gym.example", "SETWRIGHT_DATA": folder}
        given |= {"SETWRIGHT_DATABASE": ""}
        command = [sys.executable, "-c", TLS]
        told = subprocess.run(command, env={**os.environ, **given}, capture_output=True, text=True, timeout=120)

    redirected, strict, logged_in, strange = told.stdout.splitlines()
    assert redirected == "301 https://gym.example/in/login/"
    assert int(re.findall(r"max-age=(\d+)", strict)[0]) >= 31_536_000 and "includeSubDomains" in strict
    status, *cookies = logged_in.split()
    assert status == "302"
    assert cookies == ["csrftoken:True::Lax", "sessionid:True:True:Lax"]
    assert strange == "400", "a name that is not ours is not answered"
