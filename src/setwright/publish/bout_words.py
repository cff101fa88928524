"""How a bout of conditioning is said: its heading, its target, and what to write down."""

from __future__ import annotations

from setwright.catalogue.store import Catalogue
from setwright.plan.block import Session
from setwright.plan.bout import Bout, Target
from setwright.plan.bout_lines import heading_line, spelled, target_words
from setwright.plan.bout_time import like
from setwright.plan.formats import SHARED, Format, formats_of
from setwright.plan.session_time import groups_of
from setwright.publish import words
from setwright.publish.units import Unit
from setwright.publish.words import counted, range_text

MINUTE = 60.0


def clock_text(seconds: float) -> str:
    """A length of time as said: ``40 s``, ``90 s``, ``12 min``, ``2:30 min``.

    >>> clock_text(40), clock_text(90), clock_text(720), clock_text(150)
    ('40 s', '90 s', '12 min', '2:30 min')
    """
    if seconds < 120:
        return f"{seconds:g} s" if seconds != MINUTE else "1 min"
    minutes, rest = divmod(round(seconds), 60)
    return f"{minutes}:{rest:02d} min" if rest else f"{minutes} min"


def pace_clock(seconds: float) -> str:
    """A pace or a score as read on a clock: ``2:05``, ``1:58.5``.

    >>> pace_clock(125), pace_clock(118.5)
    ('2:05', '1:58.5')
    """
    minutes, rest = divmod(round(seconds, 1), 60)
    text = f"{rest:04.1f}".removesuffix(".0")
    return f"{int(minutes)}:{text}"


def format_of(bout: Bout, catalogue: Catalogue) -> Format | None:
    """The format of a bout, or None where the catalogue no longer has it."""
    return formats_of(catalogue).get(bout.format)


def bout_text(bout: Bout, catalogue: Catalogue) -> str:
    """The heading of a bout without its target: ``5 rounds for time, 15 min at most``."""
    if like(bout) in SHARED:
        return shared_text(bout)
    known = format_of(bout, catalogue)
    title = known.title if known is not None else bout.format.replace("-", " ")
    return f"{title}, a start every {clock_text(bout.every_s)}" if bout.every_s is not None else title


def shared_text(bout: Bout) -> str:
    """The heading of a bout that several movements can share."""
    kind = like(bout)
    if kind == "rounds-for-time":
        work = "-".join(str(one) for one in bout.ladder) if bout.ladder else counted(bout.rounds or 1, "round")
        cap = f", {clock_text(bout.time_s)} at most" if bout.time_s is not None else ""
        return f"{work} for time{cap}"
    if kind == "as-many-rounds":
        return f"as many rounds as possible in {clock_text(bout.time_s or 0.0)}"
    if kind == "every-minute":
        every = "every minute on the minute" if bout.every_s == MINUTE else f"every {clock_text(bout.every_s or 0.0)}"
        length = f" for {clock_text(bout.time_s)}" if bout.time_s is not None else ""
        rounds = "" if bout.every_s == MINUTE and length else f", {counted(bout.rounds or 1, 'round')}"
        return f"{every}{length}{rounds}"
    change = f", {clock_text(bout.rest_s)} to change" if bout.rest_s else ""
    return f"circuit by station, {counted(bout.rounds or 1, 'round')}: {clock_text(bout.work_s or 0.0)} work{change}"


def target_text(target: Target | None) -> str:
    """The target in words; empty where there is none."""
    if target is None:
        return ""
    if target.by == "talk":
        return f"so that you can say {target.says}"
    if target.low is None or target.high is None:
        low, high = target.share or (0.0, 0.0)
        of = {"maximum": "your highest heart rate", "reserve": "your heart-rate reserve"}.get(
            target.of, "your threshold"
        )
        return f"at {range_text(100 * low, 100 * high)} % of {of}"
    if target.by == "pace":
        ends = pace_clock(target.low) + (f" to {pace_clock(target.high)}" if target.high != target.low else "")
        return f"at {ends} per {metres_text(target.per_m or 500.0)}"
    if target.by == "watts":
        return f"at {range_text(target.low, target.high)} W"
    return f"at a heart rate of {range_text(target.low, target.high)}"


def metres_text(per_m: float) -> str:
    """The length that a pace is told for: ``500 m``, ``km``."""
    return "km" if per_m == 1000 else "mile" if abs(per_m - 1609.344) < 0.01 else f"{per_m:g} m"


def heading_text(bout: Bout, catalogue: Catalogue) -> str:
    """The whole heading of a bout, capital first: format, target, likely minutes."""
    pieces = [bout_text(bout, catalogue)]
    if target_text(bout.target):
        pieces.append(target_text(bout.target))
    if bout.likely_s is not None:
        low, high = (round(one / MINUTE) for one in bout.likely_s)
        likely = f"{max(1, low)}" if low == high else f"{max(1, low)} to {high}"
        pieces.append(f"likely {likely} min")
    text = ", ".join(pieces)
    note = f". {bout.target.note}" if bout.target is not None and bout.target.note else ""
    return text[:1].upper() + text[1:] + note.removesuffix(".")


def written_bout(bout: Bout) -> str:
    """What a bout asks besides its movements, as a coach writes it: it reads back to the same bout."""
    if like(bout) in SHARED:
        return heading_line(bout).removesuffix(":")
    start = [f"every {spelled(bout.every_s)}"] if bout.every_s is not None else []
    return ", ".join([*start, *([target_words(bout.target)] if bout.target is not None else [])])


def score_text(bout: Bout, catalogue: Catalogue) -> str:
    """What to write down at the end of a bout; empty where each piece is logged by itself."""
    known = format_of(bout, catalogue)
    if known is None or known.score == "none":
        return ""
    return known.score_words


def score_label(bout: Bout, catalogue: Catalogue) -> str:
    """The score to fill in on paper."""
    kind = like(bout)
    if not score_text(bout, catalogue):
        return ""
    if kind == "rounds-for-time":
        return "Score: ____ : ____"
    if kind == "as-many-rounds":
        return "Score: ____ rounds + ____ reps"
    return f"Score: ____ of {bout.rounds or 1}"


def work_lines(session: Session, catalogue: Catalogue, unit: Unit) -> list[str]:
    """The effort of the main lifts, then a line for each entry, warm-up apart; a bout has its heading before them."""
    effort = words.effort_of_lifts(session)
    lines = [effort] if effort != words.NO_LIFTS else []
    for part in session.parts:
        if part.part != "warm-up":
            for group in groups_of(part.entries):
                lines += [heading_text(group[0].bout, catalogue)] if group[0].bout is not None else []
                lines += [words.entry_text(entry, catalogue, unit) for entry in group]
    return lines
