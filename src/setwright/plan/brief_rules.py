"""Rules of training in a brief file: switched off, weighed, or added by the coach."""

from __future__ import annotations

from dataclasses import replace

from setwright.body.anatomy import muscle_named
from setwright.catalogue.store import Catalogue
from setwright.people.intake import resolve
from setwright.people.toml_file import REQUIRED, Reader
from setwright.people.trainee import DAYS
from setwright.plan.brief import RuleSetting
from setwright.plan.demand import muscle_words
from setwright.plan.own_rules import HARD_DAY_SETS, OWN_KINDS, USUAL_WEIGHT, OwnRule
from setwright.plan.rules import RULES

LONGEST_SENTENCE = 200


def read_rule(reader: Reader) -> RuleSetting | None:
    """A rule of training that the coach switches off, and why; or how dear a breach of it is."""
    ids = sorted(rule.id for rule in RULES)
    rule = reader.text("rule", REQUIRED, ids, "a rule: " + ", ".join(ids))
    weight = reader.number("weight", 0, 10)
    off = reader.flag("off", not reader.has("weight"))
    reason = reader.text("reason", REQUIRED if off else "")
    if off and weight is not None:
        reader.fault("weight", weight, "off = true or a weight, not both")
    return RuleSetting(rule, reason, off, weight) if rule and (reason or not off) else None


def read_rules(reader: Reader) -> tuple[RuleSetting, ...]:
    """All settings of rules, each rule once."""
    found = reader.each("rules", read_rule)
    ids = [one.rule for one in found]
    for twice in sorted({one for one in ids if ids.count(one) > 1}):
        reader.fault("rules", f"{twice} twice", "each rule once")
    return found


def read_own_rules(reader: Reader, catalogue: Catalogue) -> tuple[OwnRule, ...]:
    """The coach's own rules, named own-1, own-2 ... in the order of the file."""
    found = reader.each("own_rules", lambda one: read_own_rule(one, catalogue))
    return tuple(replace(one, id=f"own-{number}") for number, one in enumerate(found, start=1))


def read_own_rule(reader: Reader, catalogue: Catalogue) -> OwnRule | None:
    """One rule that the coach added; which keys it takes hangs on its kind."""
    before = len(reader.faults)
    says = reader.text("says", REQUIRED)
    if len(says) > LONGEST_SENTENCE:
        reader.fault("says", f"{len(says)} letters", f"a sentence of at most {LONGEST_SENTENCE} letters")
    kind = reader.text("kind", REQUIRED, OWN_KINDS, ", ".join(OWN_KINDS))
    weight = reader.number("weight", 0, 10, default=USUAL_WEIGHT)
    if not kind:
        reader.taken |= set(reader.table)  # without a kind nobody can say which keys belong
        return None
    fields: dict[str, object] = {}
    if kind in ("at-most-sets", "at-least-sets"):
        fields["muscle"] = reader.text("muscle", REQUIRED, muscle_words(), "a muscle group", muscle_named)
        fields["sets"] = reader.number("sets", 0 if kind == "at-most-sets" else 0.5, 60, "sets", default=REQUIRED)
        fields["per"] = reader.text("per", "week", ("session", "week"))
    elif kind in ("not-on", "only-on"):
        fields["what"] = read_what(reader, "what", catalogue)
        fields["days"] = reader.words("days", DAYS)
        if not fields["days"] and reader.table.get("days", []) == []:
            reader.fault("days", "nothing" if not reader.has("days") else [], 'weekdays, like ["mon", "fri"]')
    elif kind == "before":
        fields["what"] = read_what(reader, "what", catalogue)
        fields["then"] = read_what(reader, "then", catalogue)
        if fields["what"] and fields["what"] == fields["then"]:
            reader.fault("then", fields["then"], "something else than what")
    elif kind == "days-between":
        fields["muscle"] = reader.text("muscle", REQUIRED, muscle_words(), "a muscle group", muscle_named)
        fields["days_between"] = whole(reader.number("days_between", 1, 6, "days", whole=True, default=REQUIRED))
        fields["sets"] = reader.number("sets", 0.5, 30, "sets", default=HARD_DAY_SETS)
    elif kind == "at-most-entries":
        fields["entries"] = whole(reader.number("entries", 1, 20, "entries", whole=True, default=REQUIRED))
    else:
        fields["rest_s"] = reader.number("rest_s", 10, 900, "s", default=REQUIRED)
        fields["what"] = read_what(reader, "what", catalogue) if reader.has("what") else reader.text("what")
    if len(reader.faults) > before:
        return None
    return OwnRule("own", says, kind, weight=USUAL_WEIGHT if weight is None else weight, **fields)  # type: ignore[arg-type]


def whole(value: float | None) -> int:
    """A number that was read as whole."""
    return int(value or 0)


def read_what(reader: Reader, key: str, catalogue: Catalogue) -> str:
    """An exercise by slug or sure name, or a pattern of the catalogue."""
    name = reader.text(key, REQUIRED)
    patterns = {one.pattern for one in catalogue.values()}
    return name if not name or name in patterns else resolve(reader, key, name, catalogue)
