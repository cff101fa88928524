"""From "my elbow is sore" to a restriction: what it closes, and what is wanted there instead.

Two ideas: naming a thing bars it ("hangs", "no hangs" and "hangs hurt" are one), unless the words say it is fine;
and what can't be understood whole is refused, never half obeyed. The defaults of each joint and the sayings are
data (``data/restrictions.toml``), common practice, no published source; who coaches or treats the person changes
them.
"""

from __future__ import annotations

import re
import tomllib
from difflib import get_close_matches
from functools import cache
from importlib import resources
from typing import Any

from setwright.faults import Fault, InputFaults
from setwright.people.trainee import Restriction

CLINICIAN = "Ask a licensed clinician when it is sharp, numb, swollen or not better in a week."
ARTICLES = r"\b(?:the|my|a|an|his|her|their|your|our)\b"
NEGATED = r"\b(?:no|not|nothing|never|avoid|without|cannot|cant|dont|\w*n t)\b"
FINE = r"\b(?:fine|ok|okay|allowed|good)\b"
SORE = (
    r"\b(?:sore|hurts?|hurting|pain|pains|painful|ach(?:es?|ing)|strain(?:ed)?|sprain(?:ed)?|injur(?:y|ed)|tender"
    r"|inflamed|irritated|irritation|stiff|tweaked|bad|tennis|golfer|bothers?|bothering|niggles?|niggling|twinges?"
    r"|catches|pinch(?:es|ing)?|discomfort|uncomfortable|dodgy|feels off|complains?)\b"
)
KINDS = {
    "holds": r"\b(?:isometrics?|holds?|static)\b",
    "carries": r"\bcarr(?:y|ies|ying)\b",
    "short-range": r"\b(?:short|partial|mid) ranges?\b|\bpartials\b",
}
UNLOADED = r"\b(?:no|not|never|without|avoid)(?: any| all)? (?:load|loads|loaded|loading|weights?)\b|\bunloaded\b"
# Ways of saying that an angle is the least one: there is no such rule, so they are refused.
LEAST_ANGLE = (
    r"\b(?:at least|minimum|min)\b|\b(?:only|fine|ok|okay|allowed|good) (?:from|over|above|beyond|past|more)\b"
    rf"|{NEGATED}(?: \w+){{0,3}} (?:below|under|less)\b|\d (?:degrees? )?(?:to|-) ?\d|\d-\d"
)
NUMBER = re.compile(r"(?:\b([a-z]+) )?(?<![a-z0-9.])(-?\d+(?:\.\d+)?)(?= ?([a-z]+|%)?)")
# Words before or after a number that make it no angle: a time, or a unit that words can't limit.
TIME_BEFORE = {"since", "grade", "phase", "stage", "pain", "week", "day", "month"}
TIME_AFTER = {"day", "days", "week", "weeks", "month", "months", "year", "years"}
OTHER_BEFORE = {"rpe", "rir"}
OTHER_AFTER = {
    *("kg", "kgs", "kilo", "kilos", "kilograms", "lb", "lbs", "pound", "pounds", "stone", "mm", "cm", "m", "in"),
    *(
        "inch",
        "inches",
        "rep",
        "reps",
        "set",
        "sets",
        "time",
        "times",
        "x",
        "s",
        "sec",
        "secs",
        "second",
        "seconds",
    ),
    *("min", "mins", "minute", "minutes", "h", "hour", "hours", "percent", "%", "rpe", "rir"),
}
SAME_MOTION = {
    "bending": "bend",
    "bent": "bend",
    "bends": "bend",
    "flex": "flexion",
    "flexing": "flexion",
    "flexed": "flexion",
    "extending": "extension",
    "straightening": "extension",
    "raising": "raise",
    "rotating": "rotation",
    "twisting": "rotation",
    "twist": "rotation",
}
MOTION_WORDS = {
    *("flexion", "bend", "extension", "abduction", "adduction", "elevation", "raise", "rotation", "dorsiflexion"),
    *("plantar", "plantarflexion", "inversion", "eversion", "supination", "pronation", "lateral", "horizontal"),
}
# Held positions that need a motion up to an angle: a lower limit closes them.
POSITION_ANGLES: dict[str, tuple[tuple[str, float], ...]] = {
    "knee-flexion": (("deep-squat", 110.0), ("kneeling", 90.0)),
    "shoulder-elevation": (("hands-overhead", 120.0), ("hang", 150.0)),
}


@cache
def defaults() -> dict[str, Any]:
    """What a sore joint closes by default, and what the sayings bar, as packaged."""
    text = resources.files("setwright.people").joinpath("data", "restrictions.toml").read_text(encoding="utf-8")
    return tomllib.loads(text)


@cache
def joint_words() -> dict[str, str]:
    """Every word that names a joint, to the joint."""
    return {word: joint for joint, row in defaults()["joint"].items() for word in (joint, *row["words"])}


def needs_a_clinician(text: str, is_note: bool = False) -> bool:
    """True when words name a red flag or a fresh injury, which no plan answers.

    is_note : a note of a log, where only the plain signs count
    """
    words = defaults()["clinician_first"]["signs" if is_note else "words"]
    return any(re.search(rf"\b(?:{word})\b", text.lower().replace("\u2019", "'")) for word in words)


@cache
def sore_joint(joint: str) -> Restriction:
    """What a sore joint closes by default; plain light work where no default is known."""
    if joint in defaults()["joint"]:
        return parse_restriction(f"{joint} is sore")
    return Restriction(id="sore", joint=joint, level="light")


TURNS_ROUND = (
    (
        r"\b(?:except|unless|apart from|other than|besides)\b",
        "Say only what must not be done, one thing a saying; exceptions can be read both ways.",
    ),
    (
        r"\b(?:until|the first|first|the last|last) \d|\bhurts? up to \d|\bstraighten\w* past\b|"
        r"\bthen (?:it is |its )?(?:fine|ok|okay|good)\b",
        "Say the largest angle that is allowed under load, like: knee to 60 degrees.",
    ),
    (
        r"\b(?:does ?n[o']?t|do ?n[o']?t|no longer|not) (?:hurt|ache|sore|bother)|\b(?:is|are)(?: not|n't) sore|"
        r"\bwas sore\b|\bnot any ?more\b|\b(?:is|are) (?:better|well|fine) (?:again|now)\b",
        "That ends a restriction: use --lift with the joint.",
    ),
)


def refuse_what_turns_round(text: str, file: str) -> None:
    """Refuses sayings that a plan could read the wrong way round: exceptions, painful ranges, joints that are well."""
    plain = " ".join(text.lower().replace("\u2019", "'").split())
    for pattern, hint in TURNS_ROUND:
        if re.search(pattern, plain):
            raise InputFaults([Fault(file, "", repr(text), "what must not be done, plainly", hint)])


def parse_restriction(text: str, file: str = "restriction") -> Restriction:
    """A restriction from a few plain words.

    Understood: a joint, with or without a side (``left elbow``), what it must not do (``elbow pulling``), how far
    it may go (``knee flexion over 60``, ``knee only to 60 degrees``), a kind (``isometric only``), and the sayings
    of the trade (``no overhead``, ``no hangs``, ``no impact``, ``no hard grip``, ``no flexed spine``), several at
    once. Anything else is one fault that says what is allowed: two joints, a load, an angle that no exercise
    states. Raises InputFaults.
    """
    said = clauses(text)
    if not said:
        raise InputFaults([Fault(file, "", "nothing", "a joint, like: elbow, left knee, knee flexion over 60")])
    barred = [one for one in said if not is_fine(one)]
    for phrase, hint in defaults()["refused"].items():
        if any(re.search(rf"\b{phrase}\b", without_sayings(one)) for one in barred):
            raise InputFaults([Fault(file, "", repr(text), "a joint, or a saying that a restriction can keep", hint)])
    if needs_a_clinician(text):
        hint = defaults()["clinician_first"]["hint"]
        raise InputFaults([Fault(file, "", repr(text), "a limit that a licensed clinician gave", hint)])
    refuse_what_turns_round(text, file)
    joint, is_named, sayings, rest = joint_and_sayings(barred, text, file)
    angle = angle_of(barred, text, file)
    angles = {} if angle is None else dict.fromkeys(motions_of(joint, barred, text, file), angle)
    only, kept, closed = kinds_of(said)
    actions = [] if angles else actions_of(joint, rest)
    is_unloaded = any(re.search(UNLOADED, one) for one in rest)
    is_light = any(re.search(r"\blight\b", one) for one in rest)
    is_sore = any(re.search(SORE, one) for one in barred)
    is_bare = not sayings and not angles
    row: dict[str, Any] = {"level": "hard", "wanted": kept}
    reasons = [f"{text.strip().rstrip('.')}."] if actions or only or closed or is_unloaded or is_light else []
    for motion, most in angles.items():
        reasons.append(f"{motion.replace('-', ' ').capitalize()} under load to {most:g} degrees at most.")
    if is_bare or (is_named and (actions or only or closed or is_unloaded or is_light or is_sore)):
        row = {key: value for key, value in defaults()["joint"][joint].items() if key != "words"}
        row["actions"] = actions
        for word, extra in row.pop("more", {}).items():
            if re.search(rf"\b{word}\b", " ".join(rest)):
                add_saying(row, extra)
        row["wanted"] = [kind for kind in dict.fromkeys((*row["wanted"], *kept)) if kind not in closed]
        reasons = reasons or [row["reason"]]
        if only:
            row.update(level="light" if "short-range" in only else "none", wanted=only, actions=[])
        if is_light and row["level"] != "none":
            row["level"] = "light"
        if is_unloaded:
            row.update(level="none", wanted=kept, actions=[])
    row["max_angles"] = {**row.get("max_angles", {}), **angles}
    for motion, most in angles.items():
        shut = [name for name, least in POSITION_ANGLES.get(motion, ()) if least > most]
        row["positions"] = [*row.get("positions", ()), *shut]
    for one in sayings:
        add_saying(row, one)
        reasons.append(one["reason"])
    identity = re.sub(r"[^a-z0-9]+", "-", text.lower()).strip("-")
    return made(identity, joint, side_of(barred), row, " ".join(reasons))


def clauses(text: str) -> list[str]:
    """The words of a saying, clause by clause: lower case, no articles, no marks, degrees written out."""
    plain = text.lower().replace("nothing but", "only")
    plain = re.sub(r"\d+ ?(?:/|out of) ?10\b", " ", plain)  # a pain score is no angle
    plain = re.sub(r"\b(?:but|however)\b", ",", plain.replace("°", " degrees "))
    plain = re.sub(r"(?<!\d)\.|\.(?!\d)|[,;:()!?\n/]", " , ", plain)
    plain = re.sub(r"(?<![\s\d])-|-(?!\d)", " ", plain)
    plain = re.sub(ARTICLES, " ", re.sub(r"[^a-z0-9.,%-]+", " ", plain))
    plain = re.sub(r"\bunder (?:heavy )?load\b|\bback (?:from|of)\b", " ", " ".join(plain.split()))
    return [" ".join(one.split()) for one in plain.split(",") if one.strip()]


def is_fine(clause: str) -> bool:
    """True when a clause says what may be done: it bars nothing. An angle in it is a limit all the same."""
    return bool(re.search(FINE, clause)) and not re.search(rf"{NEGATED}|\d", clause)


@cache
def phrases() -> tuple[tuple[str, str], ...]:
    """Every phrase of the sayings that is heard anywhere, the longest first, with its saying."""
    found = [(phrase, name) for name, row in defaults()["saying"].items() for phrase in row["words"]]
    return tuple(sorted(found, key=lambda one: (-len(one[0]), one)))


def without_sayings(clause: str, heard: list[str] | None = None) -> str:
    """A clause without the phrases of its sayings, which are added to ``heard``; a side may stand inside a phrase."""
    for phrase, name in phrases():
        spaced = phrase.replace(" ", " (?:(?:left|right|both) )?")
        shorter = re.sub(rf"\b{spaced}\b", " ", clause)
        if shorter != clause and heard is not None:
            heard.append(name)
        clause = shorter
    return " ".join(clause.split())


def joints_in(rest: list[str]) -> list[str]:
    """The joints that words name, each once, in order."""
    known = joint_words()
    return list(dict.fromkeys(known[one] for one in " ".join(rest).split() if one in known))


def joint_and_sayings(barred: list[str], text: str, file: str) -> tuple[str, bool, list[dict[str, Any]], list[str]]:
    """The one joint that a restriction is about, whether words name it, every saying heard, the words left over."""
    heard: list[str] = []
    rest = [without_sayings(one, heard) for one in barred]
    for joint in joints_in(rest):
        for name, row in defaults()["saying"].items():
            for phrase in row.get("at", {}).get(joint, ()):
                for number, clause in enumerate(rest):
                    if re.search(rf"\b{phrase}\b", clause) and not re.search(r"\d", clause):
                        heard.append(name)
                        rest[number] = re.sub(rf"\b{phrase}\b", " ", clause)
    rows = [defaults()["saying"][name] for name in dict.fromkeys(heard)]
    named = joints_in(rest)
    if len(named) > 1:
        found = f"{', '.join(named[:-1])} and {named[-1]} in {text!r}"
        raise InputFaults([Fault(file, "", found, "one joint in one restriction", "Write one for each joint.")])
    if named or rows:
        return (named[0] if named else rows[0]["joint"]), bool(named), rows, rest
    things = [row["words"][0] for row in defaults()["saying"].values() if row["words"]]
    known = [*joint_words(), *(phrase for phrase, _ in phrases())]
    tries = [*barred, *(word for one in rest for word in one.split() if len(word) > 2)]
    close = dict.fromkeys(match for one in tries for match in get_close_matches(one, known, 1, 0.78))
    allowed = f"a joint ({', '.join(sorted(defaults()['joint']))}) or a saying about: {', '.join(things)}"
    found = repr(text) if barred else f"nothing barred in {text!r}"
    raise InputFaults([Fault(file, "", found, allowed, f"Nearest: {', '.join(close)}." if close else "")])


def angle_of(barred: list[str], text: str, file: str) -> float | None:
    """The largest angle that words allow, degrees, or None where they name none."""
    allowed = "one largest angle, from 0 to 180 degrees, like: knee flexion over 60"
    angles = []
    for clause in barred:
        ranged = re.sub(r"(?<![\d.])0 ?(?:degrees? )?(?:-|to) ?(?=\d)", "", clause)  # from straight to an angle
        for before, number, unit in NUMBER.findall(ranged):
            if not unit.startswith("deg"):
                if before in TIME_BEFORE or unit in TIME_AFTER:
                    continue
                if before in OTHER_BEFORE or unit in OTHER_AFTER:
                    hint = "Loads, counts, times and efforts can't be said in words."
                    raise InputFaults([Fault(file, "", repr(text), allowed, hint)])
            if re.search(LEAST_ANGLE, ranged):
                raise InputFaults([Fault(file, "", f"a least angle in {text!r}", allowed)])
            if not 0 <= float(number) <= 180:
                raise InputFaults([Fault(file, "", f"{float(number):g} degrees", allowed)])
            angles.append(float(number))
    if len(set(angles)) > 1:
        shown = " and ".join(f"{one:g}" for one in angles)
        raise InputFaults([Fault(file, "", f"the angles {shown} in {text!r}", allowed, "Write one for each angle.")])
    return angles[0] if angles else None


def motions_of(joint: str, barred: list[str], text: str, file: str) -> list[str]:
    """The motions that an angle limits: the named ones, else the usual one of the joint."""
    known = defaults()["motion"].get(joint, {})
    words = " ".join(SAME_MOTION.get(one, one) for one in " ".join(barred).split())
    found: list[str] = []
    for phrase in sorted(known, key=len, reverse=True):
        if re.search(rf"\b{phrase}\b", words):
            found += known[phrase]
            words = re.sub(rf"\b{phrase}\b", " ", words)
    strange = [one for one in words.split() if one in MOTION_WORDS]
    if strange or not known:
        named = ", ".join(one for one in known if one != "usual") or f"no angle at the {joint}"
        raise InputFaults([Fault(file, "", f"an angle in {text!r}", f"a motion that exercises state: {named}")])
    return list(dict.fromkeys(found or known["usual"]))


def kinds_of(said: list[str]) -> tuple[list[str], list[str], list[str]]:
    """The kinds of work that alone are wanted, that are wanted too, and that are not wanted."""
    only: list[str] = []
    kept: list[str] = []
    closed: list[str] = []
    for clause in said:
        kinds = [kind for kind, pattern in KINDS.items() if re.search(pattern, clause)]
        if re.search(NEGATED, clause):
            closed += kinds
        elif re.search(r"\bonly\b|\bisometrics?\b", clause) and not is_fine(clause):
            only += kinds
        else:
            kept += kinds
    return only, kept, closed


def actions_of(joint: str, rest: list[str]) -> list[str]:
    """The actions of a joint that words name, each once."""
    known = defaults()["action"].get(joint, {})
    return list(dict.fromkeys(action for one in " ".join(rest).split() for action in known.get(one, ())))


def side_of(barred: list[str]) -> str:
    """The side that words name; both where they name none, or both."""
    short = {"l": "left", "r": "right"}
    sides = {short.get(one, one) for one in " ".join(barred).split()} & {"left", "right"}
    return sides.pop() if len(sides) == 1 else "both"


def add_saying(row: dict[str, Any], saying: dict[str, Any]) -> None:
    """Closes in a row what a saying bars: the tighter of two limits counts."""
    for key in ("positions", "spine"):
        row[key] = [*row.get(key, ()), *saying.get(key, ())]
    for key in ("grip_max", "impact_max"):
        limits = [one[key] for one in (row, saying) if one.get(key) is not None]
        row[key] = min(limits) if limits else None
    known = row.get("max_angles", {})
    row["max_angles"] = known | {
        motion: min(most, known.get(motion, most)) for motion, most in saying.get("max_angles", {}).items()
    }


def made(identity: str, joint: str, side: str, row: dict[str, Any], reason: str) -> Restriction:
    """The restriction of a table row."""
    return Restriction(
        id=identity,
        joint=joint,
        side=side,  # type: ignore[arg-type]
        actions=tuple(row.get("actions", ())),
        level=row["level"],
        max_angles={key: float(value) for key, value in row["max_angles"].items()},
        positions=tuple(dict.fromkeys(row.get("positions", ()))),
        grip_max=row.get("grip_max"),
        impact_max=row.get("impact_max"),
        spine=tuple(dict.fromkeys(row.get("spine", ()))),
        wanted=tuple(row.get("wanted", ())),
        reason=reason,
        set_by="",
    )
