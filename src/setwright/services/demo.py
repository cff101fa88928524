"""The whole job on the invented roster of a mountain-rescue station, into a folder with a page that links it all."""

from __future__ import annotations

import json
import tempfile
from collections.abc import Callable
from dataclasses import asdict, dataclass
from importlib import resources
from pathlib import Path

from setwright.plan.block import Block
from setwright.publish.csv_file import log_csv
from setwright.publish.page import estimate_page, index_page, review_page
from setwright.publish.words import counted, grouped_changes
from setwright.review.adapt import adapt_block
from setwright.review.findings import review_block
from setwright.services.deeds import block_estimates, design, restrict, write
from setwright.services.files import write_all, write_whole
from setwright.services.gather import catalogue
from setwright.services.publishing import block_files
from setwright.services.simulation import Story, simulate_log
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


def unpack(folder: Path) -> Path:
    """The invented files of the demo, written below a folder."""
    source = resources.files("setwright.services").joinpath("demo_data")
    for kind in ("places", "people", "briefs", "blocks"):
        for item in source.joinpath(kind).iterdir():
            write_whole(folder / kind / item.name, item.read_bytes())
    return folder


def run_demo(out: Path, say: Callable[[str], None] = lambda text: None) -> list[str]:
    """The whole job: files, five blocks with sheets and pages, a written block, four weeks of simulated logs,
    estimates, reviews, adapted blocks, and the sore elbow. Gives the names of the files written.
    """
    known = catalogue()
    written: list[str] = []
    groups: list[tuple[str, list[tuple[str, str, str]]]] = []

    def keep(prefix: str, files: dict[str, bytes]) -> None:
        write_all(out / prefix if prefix else out, files)
        written.extend(f"{prefix}/{name}" if prefix else name for name in files)

    with tempfile.TemporaryDirectory() as scratch:
        data = unpack(Path(scratch))
        keep(
            "files",
            {str(path.relative_to(data)): path.read_bytes() for path in sorted(data.rglob("*")) if path.is_file()},
        )
        blocks: dict[str, Block] = {}
        for guest in GUESTS:
            say(f"{guest.id}: designing the block")
            block = design(data / "people" / f"{guest.id}.toml", data / "briefs" / f"{guest.id}.toml")
            blocks[guest.id] = block
            keep(guest.id, block_files(block))
            rows = [
                (f"{guest.id}/index.html", f"{block.title}: everything", "sheets, pages, notes, calendar, files"),
                (f"{guest.id}/block.html", "The block as a page", "every set with its reason"),
                (f"{guest.id}/block.pdf", "The block on paper", ""),
                (f"{guest.id}/sheets/week-01-{block.weeks[0].sessions[0].day}.pdf", "The first sheet", "to print"),
            ]
            before = block_estimates(block, Log())
            log, truth = simulate_log(block, before, known, WEEKS_LOGGED, guest.seed, guest.story)
            estimates = block_estimates(block, log)
            review = review_block(block, log, estimates, known)
            after = adapt_block(block, log, estimates, known)
            keep(
                guest.id,
                {
                    "log.csv": log_csv(log),
                    "truth.json": (json.dumps(asdict(truth), indent=1) + "\n").encode(),
                    "estimates.html": estimate_page(estimates, known, block).encode(),
                    "review.html": review_page(review, known, block).encode(),
                },
            )
            keep(f"{guest.id}/adapted", block_files(after, formats=("json", "html", "pdf"), weeks=range(5, 13)))
            rows += [
                (f"{guest.id}/log.csv", "Four weeks of log", "simulated; the truth behind it is in truth.json"),
                (f"{guest.id}/estimates.html", "How strong, how sure", ""),
                (f"{guest.id}/review.html", "Review", "done against planned, and findings"),
                (
                    f"{guest.id}/adapted/index.html",
                    "The weeks that remain, adapted",
                    counted(len(after.changes), "change"),
                ),
            ]
            groups.append((f"{block.inputs.trainee.name}, {guest.about}", rows))
        say("the sore elbow")
        source = out / SORE[0] / "block.json"
        sore = restrict(source, SORE[1], from_week=2, set_by="the trainee")
        keep("sore-elbow", block_files(sore, formats=("json", "html", "pdf"), weeks=(2,)))
        first = sore.weeks[1].sessions[0].day
        groups.insert(
            0,
            (
                f'"{SORE[1].capitalize()}": one sentence, one changed block',
                [
                    (
                        "sore-elbow/changes.html",
                        "What changed, and why",
                        f"{counted(len(grouped_changes(sore)), 'change')}, nothing else",
                    ),
                    (f"sore-elbow/sheets/week-02-{first}.pdf", "The new sheet", ""),
                    (f"{SORE[0]}/sheets/week-02-{first}.pdf", "The sheet before", ""),
                ],
            ),
        )
        say("the block written by hand")
        by_hand = write(
            data / "people" / "dunja.toml",
            data / "blocks" / "station_evening.txt",
            blocks["dunja"].inputs.brief.start,
        )
        keep("written", block_files(by_hand))
        groups.append(
            (
                "A block written by hand, read and dosed",
                [
                    ("files/blocks/station_evening.txt", "What the coach typed", ""),
                    ("written/index.html", "What came of it", counted(len(by_hand.unmet), "warning")),
                ],
            )
        )
    groups.append(
        (
            "The files behind it",
            [
                (name, name.removeprefix("files/"), "")
                for name in sorted(written)
                if name.startswith("files/") and not name.endswith("station_evening.txt")
            ],
        )
    )
    keep("", {"index.html": index_page("Karrenkopf rescue station", groups, INVENTED).encode()})
    return written
