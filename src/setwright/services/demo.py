"""The whole job on the invented roster of a mountain-rescue station, into a folder with a page that links it all."""

from __future__ import annotations

import json
import os
import tempfile
from collections.abc import Callable
from concurrent.futures.process import BrokenProcessPool
from dataclasses import asdict, dataclass
from importlib import resources
from pathlib import Path

from setwright.plan.block import Block
from setwright.publish.changes_report import Deciding
from setwright.publish.csv_file import log_csv
from setwright.publish.page import index_page
from setwright.publish.words import block_unit, counted, grouped_changes
from setwright.review.proposals import Proposal
from setwright.services.adapting import proposal_of
from setwright.services.climb_files import climb_files
from setwright.services.climbing import climbs_of
from setwright.services.comparing import comparison_files
from setwright.services.deeds import block_estimates, design, restrict, write
from setwright.services.files import write_all, write_whole
from setwright.services.gather import Person, catalogue, load_block
from setwright.services.log_fit import fit_of_log
from setwright.services.public_edition import load_places, public_files
from setwright.services.publishing import block_files
from setwright.services.review_files import review_files, review_of
from setwright.services.season import load_season, next_brief_text, season_of
from setwright.services.season_files import season_files
from setwright.services.show import person_unit
from setwright.services.simulation import Story, simulate_log
from setwright.services.strength_files import strength_files
from setwright.strength.logged import Log

WEEKS_LOGGED = 4
INVENTED = "Invented scenario: no person, place or number in it is real or measured."


@dataclass(frozen=True)
class Guest:
    """One invented person of the demo, with the seed and story of their simulated log."""

    id: str
    about: str
    seed: int
    story: Story


GUESTS = (
    Guest("marit", "a beginner of 58, two calm days", 11, Story(weekly_gain=0.015)),
    Guest("dunja", "a strong woman on the way to a heavier single", 12, Story(weekly_gain=0.006, missed=((3, "tue"),))),
    Guest("joris", "a man whose knee bends to 60 degrees under load at most", 13, Story(weekly_gain=0.005)),
    Guest("selma", "a member who travels with bands only", 14, Story(weekly_gain=0.004, missed=((2, "fri"),))),
    Guest("tarek", "a climber with a strained finger: no hangs, no hard grip", 15, Story(weekly_gain=0.006)),
)
SORE = ("dunja", "my elbow is sore")
PUBLISHED = ("dunja", ("station", "garage", "hotel"), "A day of a strength block, an invented session")


def unpack(folder: Path) -> Path:
    """The invented files of the demo, written below a folder."""
    source = resources.files("setwright.services").joinpath("demo_data")
    for kind in ("places", "people", "briefs", "blocks", "seasons"):
        for item in source.joinpath(kind).iterdir():
            write_whole(folder / kind / item.name, item.read_bytes())
    return folder


Row = tuple[str, str, str]


@dataclass(frozen=True)
class GuestDone:
    """What one guest left behind: the names of the files written, the rows of the index, the block."""

    names: tuple[str, ...]
    rows: tuple[Row, ...]
    block: Block


def write_below(out: Path, prefix: str, files: dict[str, bytes]) -> tuple[str, ...]:
    """Writes files below a folder of the demo; gives their names as seen from the index."""
    write_all(out / prefix if prefix else out, files)
    return tuple(f"{prefix}/{name}" if prefix else name for name in files)


def make_guest(out: Path, data: Path, guest: Guest) -> GuestDone:
    """One guest from brief to adapted weeks: block, sheets, simulated log, estimates, review, changes."""
    known = catalogue()
    block = design(data / "people" / f"{guest.id}.toml", data / "briefs" / f"{guest.id}.toml")
    names = write_below(out, guest.id, block_files(block))
    log, truth = simulate_log(block, block_estimates(block, Log()), known, WEEKS_LOGGED, guest.seed, guest.story)
    fit = fit_of_log(block, log)
    found = review_of(fit)
    estimates = found.estimates
    proposal = proposal_of(fit)
    after = proposal.block
    names += write_below(
        out,
        guest.id,
        {
            "log.csv": log_csv(log),
            "truth.json": (json.dumps(asdict(truth), indent=1) + "\n").encode(),
            **strength_files(estimates, block.inputs.places, block_unit(block), home="index.html", charts=False),
            **review_files(found, home="index.html", charts=False),
            **season_below(data, guest, block, log),
        },
    )
    climbed: tuple[Row, ...] = ()
    if block.inputs.trainee.steps:
        person = Person(block.inputs.trainee, block.inputs.places)
        way = climb_files(climbs_of(person, log, estimates.today), block.inputs.trainee.name, home="index.html")
        names += write_below(out, guest.id, way)
        climbed = ((f"{guest.id}/climb.html", "The climb", "steps of each progression, how hard, and by when"),)
    if after.id != block.id:
        later = block_files(
            after,
            formats=("json", "html", "pdf"),
            weeks=range(WEEKS_LOGGED + 1, 13),
            before=block,
            deciding=Deciding("adapted/block.json", "block.json"),
        )
        names += write_below(out, f"{guest.id}/adapted", later)
    first = block.weeks[0].sessions[0].day
    rows = (
        (f"{guest.id}/index.html", f"{block.title}: everything", "sheets, pages, notes, calendar, files"),
        (f"{guest.id}/block.html", "The block as a page", "every set with its reason"),
        (f"{guest.id}/block.pdf", "The block on paper", ""),
        (f"{guest.id}/sheets/week-01-{first}.pdf", "The first sheet", "to print"),
        (f"{guest.id}/log.csv", "Four weeks of log", "simulated; the truth behind it is in truth.json"),
        (f"{guest.id}/strength.html", "How strong, how sure", "each lift with its chart and what it rests on"),
        (f"{guest.id}/strength.pdf", "The same to print", ""),
        *climbed,
        (f"{guest.id}/review.html", "Review", "findings with their evidence, and charts"),
        (f"{guest.id}/review.pdf", "The same on one sheet", "to send on"),
        *adapted_rows(guest, proposal, block),
        (f"{guest.id}/season-coach.html", "The season", "goals, dates, blocks to come, with every chance and range"),
        (
            f"{guest.id}/season-trainee.html",
            "The same for the trainee",
            "in words; with dates where the coach wants it",
        ),
        (f"{guest.id}/next-brief.toml", "The next brief", "proposed from what this block showed so far"),
    )
    return GuestDone(names, rows, block)


def season_below(data: Path, guest: Guest, block: Block, log: Log) -> dict[str, bytes]:
    """The season of a guest as files, for coach and trainee, and the next brief; a plain one without a season file."""
    path = data / "seasons" / f"{guest.id}.toml"
    wanted = load_season(path if path.is_file() else None, guest.id)
    person = Person(block.inputs.trainee, block.inputs.places)
    found = season_of(person, wanted, (block,), log)
    files = season_files(found, person_unit(person), home="index.html")
    return {**files, "next-brief.toml": next_brief_text(found).encode()}


def adapted_rows(guest: Guest, proposal: Proposal, block: Block) -> tuple[Row, ...]:
    """The rows of the index on what changes: the changes and the weeks that remain, or why there are none."""
    said = " ".join(proposal.notes)
    if proposal.finding is not None:
        said = f"{proposal.finding.kind}: nothing is adapted by rule. {said}".rstrip()
    if proposal.block.id == block.id:
        return ((f"{guest.id}/review.html", "What to change now", said or "nothing: the log agrees with the plan"),)
    changed = counted(len(grouped_changes(proposal.block)), "change")
    return (
        (f"{guest.id}/adapted/changes.html", "What to change now, and why", f"{changed}. {said}".rstrip(" .")),
        (f"{guest.id}/adapted/index.html", "The weeks that remain, adapted", "sheets, pages, files"),
    )


def make_guests(out: Path, data: Path, say: Callable[[str], None]) -> list[GuestDone]:
    """All guests, two at a time where the machine can; the same files either way."""
    from concurrent.futures import ProcessPoolExecutor
    from multiprocessing import get_context

    workers = min(2, os.cpu_count() or 1)
    if workers > 1:
        try:
            with ProcessPoolExecutor(workers, mp_context=get_context("spawn")) as pool:
                waiting = [pool.submit(make_guest, out, data, guest) for guest in GUESTS]
                done = []
                for guest, one in zip(GUESTS, waiting, strict=True):
                    done.append(one.result())
                    say(f"{guest.id}: block, sheets, log, review")
                return done
        except (OSError, BrokenProcessPool):
            say("one after the other, then")
    done = []
    for guest in GUESTS:
        done.append(make_guest(out, data, guest))
        say(f"{guest.id}: block, sheets, log, review")
    return done


def sore_group(out: Path) -> tuple[tuple[str, ...], tuple[str, list[Row]]]:
    """The sore joint: names of the files, and its group of the index."""
    path = out / SORE[0] / "block.json"
    before, sore = load_block(path), restrict(path, SORE[1], from_week=2, set_by="the trainee")
    deciding = Deciding("sore-elbow/block.json", f"{SORE[0]}/block.json")
    made = block_files(sore, formats=("json", "html", "pdf"), weeks=(2,), before=before, deciding=deciding)
    made |= comparison_files(before, sore, (deciding.before, deciding.block), home="index.html")
    names = write_below(out, "sore-elbow", made)
    first = sore.weeks[1].sessions[0].day
    changed = f"{counted(len(grouped_changes(sore)), 'change')}, nothing else"
    return names, (
        f'"{SORE[1].capitalize()}": one sentence, one changed block',
        [
            ("sore-elbow/changes.html", "What changed, and why", changed),
            ("sore-elbow/compare.html", "Before and after", "entry by entry, counted sets, minutes"),
            (f"sore-elbow/sheets/week-02-{first}.pdf", "The new sheet", ""),
            (f"{SORE[0]}/sheets/week-02-{first}.pdf", "The sheet before", ""),
        ],
    )


def public_group(out: Path, data: Path, block: Block) -> tuple[tuple[str, ...], tuple[str, list[Row]]]:
    """The public edition of one session: names of the files, and its group of the index."""
    _, ids, title = PUBLISHED
    places = load_places([data / "places" / f"{one}.toml" for one in ids])
    first = block.weeks[0]
    made = public_files(block, places, (first.number,), first.sessions[0].day, title)
    names = write_below(out, "public", made)
    return names, (
        "One session for everybody, in three places",
        [
            ("public/public.html", "The public edition", "efforts in the place of loads, and the outline of a talk"),
            ("public/public.pdf", "The same to print", ""),
            ("public/public.txt", "The same as plain text", ""),
        ],
    )


def run_demo(out: Path, say: Callable[[str], None] = lambda text: None) -> list[str]:
    """The whole job: files, five blocks with sheets and pages, a written block, four weeks of simulated logs,
    estimates, reviews, adapted blocks, and the sore elbow. Gives the names of the files written.
    """
    with tempfile.TemporaryDirectory() as scratch:
        data = unpack(Path(scratch))
        sources = {str(one.relative_to(data)): one.read_bytes() for one in sorted(data.rglob("*")) if one.is_file()}
        written = [*write_below(out, "files", sources)]
        guests = make_guests(out, data, say)
        for one in guests:
            written += one.names
        sore_names, sore_rows = sore_group(out)
        written += sore_names
        say("the sore elbow")
        start = guests[[guest.id for guest in GUESTS].index(SORE[0])].block.inputs.brief.start
        by_hand = write(data / "people" / f"{SORE[0]}.toml", data / "blocks" / "station_evening.txt", start)
        written += write_below(out, "written", block_files(by_hand))
        say("the block written by hand")
        shown = guests[[guest.id for guest in GUESTS].index(PUBLISHED[0])].block
        public_names, public_rows = public_group(out, data, shown)
        written += public_names
        say("the public edition")
    groups: list[tuple[str, list[Row]]] = [sore_rows]
    for guest, one in zip(GUESTS, guests, strict=True):
        groups.append((f"{one.block.inputs.trainee.name}, {guest.about}", list(one.rows)))
    warnings = counted(len(by_hand.unmet), "warning")
    groups.append(
        (
            "A block written by hand, read and dosed",
            [
                ("files/blocks/station_evening.txt", "What the coach typed", ""),
                ("written/index.html", "What came of it", warnings),
            ],
        )
    )
    groups.append(public_rows)
    behind = [f"files/{name}" for name in sources if not name.endswith("station_evening.txt")]
    groups.append(("The files behind it", [(name, name.removeprefix("files/"), "") for name in sorted(behind)]))
    written += write_below(out, "", {"index.html": index_page("Karrenkopf rescue station", groups, INVENTED).encode()})
    return written
