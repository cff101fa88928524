"""A practice of thousands with two years of log each: what every page of a coach costs, and the phone's pages.

Every address is taken from the application; those that show a coach a page are asked many times, each time for another
trainee at random, one request at a time, over HTTP, from the server that ``setwright serve`` starts. So no page is in
the memory of a worker when it is asked for. Files to take away (PDF, archives, CSV) stand in a table of their own.
Peer in the same run: ``/token/``, an answer of the same server that only looks who is there.
Made: as many people as asked for, each with two years of three sessions a week, 12 to 14 sets each; two are made by
the application itself, the others are copies of them inside the data base (``invented_hall``).
Ends with 1 where a page answers with an error; nothing here asserts a time.
Run: make bench, or python benchmarks/roster_pages.py [--trainees N] [--requests N] [--only sqlite].
"""

from __future__ import annotations

import argparse
import json
import os
import random
import statistics
import subprocess
import sys
import time
from collections.abc import Iterator, Mapping, Sequence
from datetime import date
from typing import Any

from invented_hall import SEED, Line, cookie_of, data_base, fill, machine, served, share_of, start_here, with_log_ins

WEEKS = 104
TRAINEES, REQUESTS, LOGGED_IN, COLD = 1000, 25, 25, 6
TARGET_MS = 300
PEER = "token/"
# Addresses that show a coach nothing of the roster: log-ins, links of others, what only takes a form, programs.
NOT_A_PAGE = ("in/", "join/", "s/", "start/", "api/", "worker.js", "token/", "jobs/", "cues/")
FILES = (".pdf", ".zip", ".csv", ".json", ".svg")
OF_A_TRAINEE = ("today/", "me/progress/", "me/words/", "me/log.csv", "me/everything.json")
# The same pages as people also open them: further on, narrowed, changed.
ALSO = (
    "roster/?show=today",
    "roster/?show=waiting",
    "roster/?show=first&page=3",
    "roster/?show=all&page=20",
    "roster/?name=0042",
    "t/<uuid:trainee_id>/history/?page=8",
    "exercises/?find=row",
)


def routes() -> Iterator[str]:
    """Every address of the application, as it is written in the code."""
    from django.urls import get_resolver

    def below(patterns: Any, before: str) -> Iterator[str]:
        for one in patterns:
            path = before + str(one.pattern)
            if hasattr(one, "url_patterns"):
                yield from below(one.url_patterns, path)
            else:
                yield path

    return below(get_resolver().url_patterns, "")


def names_for(row: Any, coach: Any, on: date) -> dict[str, Any]:
    """What an address can name, of one trainee."""
    from setwright.records import models

    day = row.planned_days.filter(date__gte=on).order_by("date").first() or row.planned_days.order_by("date").first()
    force = row.in_force.order_by("-id").first()
    return {
        "uuid:trainee_id": row.id,
        "str:block_id": force.block,
        "int:week": day.week,
        "str:weekday": day.day,
        "str:on": day.date,
        "uuid:coach_id": models.Coach.objects.get(id=coach.id).id,
    }


def not_counted_ahead(rows: Sequence[Any]) -> list[str]:
    """For each of some people the address of a session weeks from now, which nobody counted ahead."""
    return [f"/t/{row.id}/day/{row.planned_days.order_by('-date').values_list('date', flat=True)[0]}/" for row in rows]


def address_of(route: str, names: Mapping[str, Any]) -> str | None:
    """The address of a route; None where it names something that this practice has none of."""
    slug = "hall" if route.startswith("places/") else "strength-1" if route.startswith("t/") else "back_squat"
    for name, value in {**names, "str:slug": slug}.items():
        route = route.replace(f"<{name}>", str(value))
    return None if "<" in route else "/" + route


def run(kind: str, trainees: int, requests: int) -> dict[str, Any]:
    """All figures on one data base."""
    on = date.today()
    with data_base(kind) as (folder, address):
        start_here(folder, address)
        from django.db import connections

        from setwright.records import models

        started = time.perf_counter()
        coach = fill(trainees, WEEKS, on)
        made_s = time.perf_counter() - started
        draw = random.Random(SEED)
        rows = list(models.Trainee.objects.order_by("slug"))
        some = draw.sample(rows, min(len(rows), requests))
        names = [names_for(one, coach, on) for one in some]
        logged = dict(zip(some, with_log_ins(some[:LOGGED_IN]), strict=False))
        cookie = cookie_of(coach.user)
        found: dict[str, Any] = {
            "data base": kind,
            "trainees": len(rows),
            "rows": models.LogRow.objects.count(),
            "made_s": made_s,
            "bytes": bytes_of(folder, kind),
            "pages": {},
            "wrong": [],
        }
        asked = [one for one in (*routes(), *ALSO) if not one.startswith((*NOT_A_PAGE, "me/", "today/"))]
        late = not_counted_ahead(some[:COLD])
        connections.close_all()
        with served(folder, address) as port:
            line = Line(port, cookie)
            measure(line, [("/" + PEER)] * requests, PEER, found)
            for route in asked:
                addresses = [address_of(route, one) for one in names]
                measure(line, [one for one in addresses if one is not None], route, found)
            found["not ahead"] = []
            for one in late:
                started = time.perf_counter()
                status, _ = line.ask("GET", one)
                found["not ahead"].append(1000 * (time.perf_counter() - started))
                found["wrong"] += [] if status == 200 else [f"{one}: {status}"]
            for route in OF_A_TRAINEE:
                for _, cookie in list(logged.values())[:4]:  # on connections of their own, so that each worker is warm
                    Line(port, cookie).ask("GET", "/" + route)
                for _, cookie in list(logged.values()):
                    measure(Line(port, cookie), ["/" + route], route, found)
        return found


def bytes_of(folder: Any, kind: str) -> int:
    """The size of the data base."""
    from django.db import connection

    if kind == "sqlite":
        return (folder / "setwright.sqlite3").stat().st_size
    with connection.cursor() as cursor:
        cursor.execute("select pg_database_size(current_database())")
        return int(cursor.fetchone()[0])


def measure(line: Line, addresses: Sequence[str], route: str, found: dict[str, Any]) -> None:
    """Asks for some addresses one after the other and keeps the milliseconds of each; the first two are asked twice."""
    if not addresses:
        return
    if route not in found["pages"] and not route.startswith(OF_A_TRAINEE):
        statuses = {line.ask("GET", one)[0] for one in addresses[:2]}
        if statuses <= {302, 404, 405}:  # takes a form only, leads elsewhere, or shows what is not there
            return
    times = found["pages"].setdefault(route, [])
    for one in addresses:
        started = time.perf_counter()
        status, content = line.ask("GET", one)
        times.append(1000 * (time.perf_counter() - started))
        if status != 200:
            found["wrong"].append(f"{one}: {status} {content[:80]!r}")


def tables(results: Sequence[Mapping[str, Any]]) -> Iterator[str]:
    """The figures as they stand in docs/benchmarks.md."""
    for one in results:
        yield (
            f"{one['data base']}: {one['trainees']} people, {one['rows'] / 1e6:.1f} million rows of log, "
            f"{one['bytes'] / 1e9:.1f} GB, made in {one['made_s']:.0f} s."
        )
    yield ""
    kinds = [one["data base"] for one in results]
    pages = [one for one in results[0]["pages"] if not is_file(one)]
    files = [one for one in results[0]["pages"] if is_file(one)]
    for title, some in (("page", pages), ("file", files)):
        yield "| " + " | ".join([title, *(f"{kind}: p50, p95 ms | times the token" for kind in kinds)]) + " |"
        yield "| " + " | ".join(["---"] * (1 + 2 * len(kinds))) + " |"
        for route in sorted(some, key=lambda route: -max(p95(one["pages"][route]) for one in results)):
            cells = [route_words(route)]
            for one in results:
                times, peer = one["pages"][route], statistics.median(one["pages"][PEER])
                cells += [f"{statistics.median(times):.0f}, {p95(times):.0f}", f"{statistics.median(times) / peer:.1f}"]
            yield "| " + " | ".join(cells) + " |"
        yield ""
    for one in results:
        slow = [route for route in pages if p95(one["pages"][route]) > TARGET_MS]
        said = "none" if not slow else ", ".join(map(route_words, slow))
        late = one["not ahead"]
        yield (
            f"{one['data base']}: a session that was not counted ahead, opened for the first time: "
            f"{statistics.median(late):.0f}, at most {max(late):.0f} ms ({len(late)} people)."
        )
        yield f"{one['data base']}: pages with p95 above {TARGET_MS} ms: {said}."


def is_file(route: str) -> bool:
    """True for what is taken away, not looked at."""
    return route.split("?")[0].endswith(FILES)


def p95(times: Sequence[float]) -> float:
    """The time that 95 in 100 requests stay below."""
    return share_of(times, 0.95)


def route_words(route: str) -> str:
    """An address without the kinds of its names."""
    for kind in ("uuid:", "str:", "int:"):
        route = route.replace(f"<{kind}", "<")
    return f"`/{route}`"


def main(arguments: list[str] | None = None) -> int:
    """Prints the tables; each data base in a process of its own."""
    parser = argparse.ArgumentParser(description=__doc__.splitlines()[0])  # type: ignore[union-attr]
    parser.add_argument("--trainees", type=int, default=TRAINEES)
    parser.add_argument("--requests", type=int, default=REQUESTS)
    parser.add_argument("--only", choices=("sqlite", "postgresql"))
    parser.add_argument("--as-json", action="store_true")
    asked = parser.parse_args(arguments)
    if asked.as_json:
        print(json.dumps(run(asked.only, asked.trainees, asked.requests)))
        return 0
    print(f"# {machine()}")
    results = []
    for kind in (asked.only,) if asked.only else ("sqlite", "postgresql"):
        command = [sys.executable, __file__, "--as-json", "--only", kind]
        command += ["--trainees", str(asked.trainees), "--requests", str(asked.requests)]
        told = subprocess.run(command, stdout=subprocess.PIPE, text=True, check=True, env=os.environ).stdout
        results.append(json.loads(told.splitlines()[-1]))
        for text in results[-1]["wrong"][:10]:
            print(f"{kind}: {text}", file=sys.stderr)
    print("\n".join(tables(results)))
    return int(any(one["wrong"] for one in results))


if __name__ == "__main__":
    sys.exit(main())
