"""200 trainees who log at once: what a phone waits for, and whether each set is kept exactly once.

The application is the one that ``setwright serve`` starts (web workers and the worker for jobs), asked over HTTP on
this machine. A phone does what its queue does (``static/setwright/queue.js``): it asks for a fresh token, then sends
what waits; every set is sent alone, one in eight is sent twice as after an answer that was lost, the end of the session
is a row of its own and lets the server count what the log shows. Log-ins are made by the framework, so that
no passwords have to be hashed.

Two runs: all at once without a pause (what the server can do), and each phone a set every ten seconds (a floor, some
ten times as quick as people are). Peers in the same run: the same phones asking the same server for nothing but the
token, and the same rows inserted by the data base driver alone, one commit each.
Ends with 1 where a set is lost, doubled or refused, or an answer is an error.
Run: make bench, or python benchmarks/phones.py [--trainees N]. Nothing here asserts a time.
"""

from __future__ import annotations

import argparse
import json
import random
import statistics
import subprocess
import sys
import threading
import time
import uuid
from collections import Counter
from collections.abc import Callable, Iterator, Sequence
from contextlib import closing
from dataclasses import dataclass, field
from datetime import date
from pathlib import Path
from typing import Any

from invented_hall import SEED, Line, data_base, fill, machine, served, share_of, start_here, with_log_ins

SETS, TWICE = 12, 0.125
PACE_S, PACED_SETS = 10.0, 5
TOKENS = 12
KINDS_HERE, WEEKS_HERE = 2, 3


@dataclass
class Phone:
    """One phone in one run: what it has to send, what it waited for, and what went wrong."""

    port: int
    trainee: str
    cookie: str
    rows: Sequence[dict[str, Any]]
    seed: int
    pace_s: float = 0.0
    waits_s: list[float] = field(default_factory=list)
    wrong: list[str] = field(default_factory=list)
    cut_off: int = 0

    def log(self) -> None:
        """Sends all rows one by one."""
        line, draw = Line(self.port, self.cookie), random.Random(self.seed)
        begin = time.monotonic() + draw.uniform(0.0, self.pace_s)
        for number, row in enumerate(self.rows):
            time.sleep(max(0.0, begin + number * self.pace_s - time.monotonic()))
            for _ in range(2 if draw.random() < TWICE else 1):
                self.send(line, row)
        self.cut_off = line.cut_off

    def send(self, line: Line, row: dict[str, Any]) -> None:
        """One flush of the queue with one row in it."""
        started = time.perf_counter()
        try:
            _, told = line.ask("GET", "/token/")
            token = json.loads(told)["token"]
            status, content = line.ask(
                "POST", f"/t/{self.trainee}/log/", json.dumps({"rows": [row], "notes": []}), token
            )
            answer = json.loads(content) if status == 200 else {}
        except (OSError, ValueError, KeyError) as broken:
            self.wrong.append(f"{type(broken).__name__}: {broken}")
            return
        self.waits_s.append(time.perf_counter() - started)
        if status != 200 or answer["refused"] or row["row"] not in answer["kept"]:
            self.wrong.append(f"status {status}: {content[:200]!r}")

    def only_tokens(self) -> None:
        """Asks for the token and for nothing else: the peer."""
        line = Line(self.port, self.cookie)
        for _ in range(TOKENS):
            started = time.perf_counter()
            status, _ = line.ask("GET", "/token/")
            self.waits_s.append(time.perf_counter() - started)
            if status != 200:
                self.wrong.append(f"status {status}")


def session_rows(draw: random.Random, sets: int, day: str, part: str) -> list[dict[str, Any]]:
    """The rows of one session: sets of four exercises, then the session's own row. ``part``: tells two runs apart."""
    told = {"date": day, "session": part}
    rows: list[dict[str, Any]] = []
    for number in range(sets):
        exercise = ("back_squat", "bench_bb", "row_db", "curl_db")[number * 4 // sets]
        key = str(uuid.UUID(int=draw.getrandbits(128), version=4))
        done = {"exercise": exercise, "set": number + 1, "load_kg": 20.0 + number, "reps": 5, "rir": 2}
        rows.append({"row": key, **told, **done, "slot": f"{day}/{part}/{exercise}/{number + 1}"})
    key = str(uuid.UUID(int=draw.getrandbits(128), version=4))
    return [*rows, {"row": key, **told, "session_rpe": 7, "minutes": 60, "slot": f"{day}/{part}/session"}]


def all_at_once(deeds: Sequence[Callable[[], None]]) -> float:
    """Does some deeds in threads of their own; gives the seconds until all are done."""
    threads = [threading.Thread(target=one) for one in deeds]
    started = time.perf_counter()
    for one in threads:
        one.start()
    for one in threads:
        one.join()
    return time.perf_counter() - started


def insert_rows(folder: Path, address: str, rows: Sequence[tuple[Any, ...]]) -> Iterator[float]:
    """The peer: rows of the log inserted by the driver alone, one commit each; gives the seconds of each."""
    names = "trainee_id, key, day, data, slot, at, arrived, by_id"
    with closing(connect(folder, address)) as connection:
        mark = "%s" if address else "?"
        text = f"insert into records_logrow ({names}) values ({', '.join([mark] * 8)})"
        for row in rows:
            started = time.perf_counter()
            connection.execute(text, row)
            connection.commit()
            yield time.perf_counter() - started


def connect(folder: Path, address: str) -> Any:
    """The data base by its driver, as sure of its disk as the application is."""
    if address:
        import psycopg

        return psycopg.connect(address)
    import sqlite3

    connection = sqlite3.connect(folder / "setwright.sqlite3", timeout=20)
    connection.executescript("pragma journal_mode=wal; pragma synchronous=full; pragma secure_delete=on;")
    return connection


def kept_of(folder: Path, address: str) -> Counter[tuple[str, str]]:
    """Every row of the log past the framework: how often each key of each trainee is there."""
    with closing(connect(folder, address)) as connection:
        rows = connection.execute("select trainee_id, key from records_logrow").fetchall()
    return Counter((str(trainee).replace("-", ""), key) for trainee, key in rows)


def run(kind: str, trainees: int) -> dict[str, Any]:
    """All figures on one data base."""
    with data_base(kind) as (folder, address):
        start_here(folder, address)
        from django.db import connections

        from setwright.records import models

        fill(trainees, WEEKS_HERE, date.today(), KINDS_HERE)
        logged = with_log_ins(list(models.Trainee.objects.order_by("slug")))
        before = kept_of(folder, address)
        connections.close_all()
        draw, day = random.Random("the sets of the phones"), date.today().isoformat()
        with served(folder, address) as port:
            found: dict[str, Any] = {"data base": kind, "trainees": len(logged)}
            sent: list[tuple[str, str]] = []
            wrong: list[str] = []

            def go(name: str, sets: int, pace_s: float) -> None:
                phones = [
                    Phone(port, who, cookie, session_rows(draw, sets, day, name), SEED + at, pace_s)
                    for at, (who, cookie) in enumerate(logged)
                ]
                seconds = all_at_once([one.log for one in phones])
                waits = [one for phone in phones for one in phone.waits_s]
                sent.extend((phone.trainee.replace("-", ""), row["row"]) for phone in phones for row in phone.rows)
                wrong.extend(text for phone in phones for text in phone.wrong)
                found[name] = {
                    "p50_ms": 1000 * statistics.median(waits),
                    "p95_ms": 1000 * share_of(waits, 0.95),
                    "a_second": len(waits) / seconds,
                    "sends": len(waits),
                    "cut_off": sum(phone.cut_off for phone in phones),
                }

            go("at once", SETS, 0.0)
            peers = [Phone(port, who, cookie, (), 0) for who, cookie in logged]
            seconds = all_at_once([one.only_tokens for one in peers])
            wrong += [text for phone in peers for text in phone.wrong]
            waits = [one for phone in peers for one in phone.waits_s]
            found["token"] = {"p50_ms": 1000 * statistics.median(waits), "a_second": len(waits) / seconds}
            go("paced", PACED_SETS, PACE_S)
        after = kept_of(folder, address)
        mine = {key: count for key, count in after.items() if key not in before}
        found["rows"] = len(sent)
        found["lost"] = len(set(sent) - set(mine))
        found["doubled"] = sum(count > 1 for count in mine.values()) + len(set(mine) - set(sent))
        found["errors"] = wrong[:5]
        found["errors_count"] = len(wrong)
        rows = [
            (
                who if address else who.replace("-", ""),
                str(uuid.uuid4()),
                day,
                json.dumps(row),
                row["slot"],
                "",
                day,
                None,
            )
            for who, _ in logged[:20]
            for row in session_rows(draw, SETS, day, "peer")
        ]
        times = list(insert_rows(folder, address, rows))
        found["insert"] = {"p50_ms": 1000 * statistics.median(times), "a_second": len(times) / sum(times)}
        return found


def table(results: Sequence[dict[str, Any]]) -> Iterator[str]:
    """The figures as they stand in docs/benchmarks.md."""
    yield (
        "| data base, 200 phones | a set sent: p50, p95 ms | sets a second | token alone: p50 ms | tokens a second "
        "| rows a second, driver alone | sets over tokens | sets over rows |"
    ).replace("200", str(results[0]["trainees"]))
    yield "| --- | --- | --- | --- | --- | --- | --- | --- |"
    for one in results:
        all_of, token, insert = one["at once"], one["token"], one["insert"]
        yield (
            f"| {one['data base']}, without a pause | {all_of['p50_ms']:.0f}, {all_of['p95_ms']:.0f} "
            f"| {all_of['a_second']:.0f} | {token['p50_ms']:.0f} | {token['a_second']:.0f} | {insert['a_second']:.0f} "
            f"| {all_of['a_second'] / token['a_second']:.2f} | {all_of['a_second'] / insert['a_second']:.2f} |"
        )
        paced = one["paced"]
        yield (
            f"| {one['data base']}, a set every {PACE_S:.0f} s each | {paced['p50_ms']:.0f}, {paced['p95_ms']:.0f} "
            f"| {paced['a_second']:.0f} | | | | | |"
        )
    yield ""
    for one in results:
        sends = one["at once"]["sends"] + one["paced"]["sends"]
        yield (
            f"{one['data base']}: {one['rows']} rows sent {sends} times; lost {one['lost']}, doubled {one['doubled']}, "
            f"errors {one['errors_count']}."
        )


def main(arguments: list[str] | None = None) -> int:
    """Prints the table; each data base in a process of its own."""
    parser = argparse.ArgumentParser(description=__doc__.splitlines()[0])  # type: ignore[union-attr]
    parser.add_argument("--trainees", type=int, default=200)
    parser.add_argument("--only", choices=("sqlite", "postgresql"), help="one data base, as JSON")
    asked = parser.parse_args(arguments)
    if asked.only:
        print(json.dumps(run(asked.only, asked.trainees)))
        return 0
    print(f"# {machine()}")
    results = []
    for kind in ("sqlite", "postgresql"):
        command = [sys.executable, __file__, "--only", kind, "--trainees", str(asked.trainees)]
        told = subprocess.run(command, stdout=subprocess.PIPE, text=True, check=True).stdout
        results.append(json.loads(told.splitlines()[-1]))
        for text in results[-1]["errors"]:
            print(f"{kind}: {text}", file=sys.stderr)
    print("\n".join(table(results)))
    return int(any(one["lost"] or one["doubled"] or one["errors_count"] for one in results))


if __name__ == "__main__":
    sys.exit(main())
