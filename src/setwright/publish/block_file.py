"""The block as a file: JSON in the published format ``setwright/block/1``, and back.

Same block, same bytes: no clock time in it, floats rounded to six places, fields in the order of the format.
"""

from __future__ import annotations

import json
from collections.abc import Mapping
from functools import cache
from json.encoder import encode_basestring
from typing import Any

from setwright.faults import Fault, InputFaults
from setwright.plan.block import Block
from setwright.plan.identity import content_of

FORMAT = "setwright/block/1"
FIRST_KEYS = ("format", "id", "title", "trainee", "place", "revision", "parent", "door", "weeks")


def block_to_dict(block: Block) -> dict[str, Any]:
    """The block as JSON values, keys in the order of the format."""
    raw = content_of(block)
    for change in raw["changes"]:
        change["from"] = change.pop("from_")
    first = {key: raw.pop(key) for key in FIRST_KEYS}
    return {**first, **raw}


def block_to_json(block: Block) -> bytes:
    """The block as UTF-8 JSON, one key a line."""
    return (indented(block_to_dict(block)) + "\n").encode()


def indented(value: object, pad: str = "\n") -> str:
    """JSON text as ``json.dumps`` writes it with an indent of one, three times as fast; numbers are finite."""
    if isinstance(value, str):
        return str(encode_basestring(value))
    if type(value) in (float, int):
        return repr(value)
    if not value or not isinstance(value, (dict, list)):
        return json.dumps(value)
    inner = pad + " "
    between = "," + inner
    if isinstance(value, dict):
        rows = [f"{encode_basestring(key)}: {indented(one, inner)}" for key, one in value.items()]
        return f"{{{inner}{between.join(rows)}{pad}}}"
    return f"[{inner}{between.join([indented(one, inner) for one in value])}{pad}]"


@cache
def _adapter() -> Any:
    from pydantic import TypeAdapter

    return TypeAdapter(Block)


def block_from_json(data: bytes, file: str) -> Block:
    """The block in a JSON file. Raises InputFaults with every fault, each with its path."""
    from pydantic import ValidationError

    try:
        raw = json.loads(data)
    except (json.JSONDecodeError, UnicodeDecodeError) as error:
        raise InputFaults([Fault(file, "", f"no JSON: {error}", "a block.json that setwright wrote")]) from None
    return block_from_dict(raw, file, ValidationError)


def block_from_dict(raw: object, file: str, invalid: type[Exception]) -> Block:
    """The block in JSON values."""
    if not isinstance(raw, dict) or raw.get("format") != FORMAT:
        found = repr(raw.get("format")) if isinstance(raw, dict) else type(raw).__name__
        raise InputFaults([Fault(file, "format", found, f"{FORMAT!r}")])
    known = {*FIRST_KEYS, "set_credits", "unmet", "proof", "inputs", "cautions", "changes", "settled"}
    faults = [Fault(file, key, "an unknown key", ", ".join(sorted(known))) for key in sorted(set(raw) - known)]
    if faults:
        raise InputFaults(faults)
    raw = dict(raw)
    changes = raw.get("changes")
    if isinstance(changes, list):
        raw["changes"] = [
            {("from_" if key == "from" else key): value for key, value in one.items()} if isinstance(one, dict) else one
            for one in changes
        ]
    try:
        block: Block = _adapter().validate_python(raw)
    except invalid as error:
        raise InputFaults(
            [
                Fault(file, path_of(one["loc"]), *found_and_allowed(one))
                for one in error.errors()  # type: ignore[attr-defined]
            ]
        ) from None
    return block


def found_and_allowed(error: Mapping[str, Any]) -> tuple[str, str]:
    """What stood there and what may stand there, in words of the file."""
    if error["type"] == "missing":
        return "nothing", "a value: this key is required"
    allowed = str(error["msg"]).lower().removeprefix("input should be ").replace("valid tuple", "list")
    return short(error.get("input")), allowed.replace("a valid dictionary or object to extract fields from", "a table")


def path_of(loc: tuple[object, ...]) -> str:
    """A path in the file, lists counted from 1."""
    text = ""
    for piece in loc:
        text += f"[{piece + 1}]" if isinstance(piece, int) else f".{piece}" if text else str(piece)
    return text


def short(value: object) -> str:
    """What was found, in a few words."""
    text = repr(value)
    return text if len(text) <= 60 else text[:57] + "..."


def block_schema() -> dict[str, Any]:
    """JSON Schema 2020-12 of a block file."""
    schema: dict[str, Any] = _adapter().json_schema()
    change = schema["$defs"]["Change"]
    change["properties"]["from"] = change["properties"].pop("from_")
    change["required"] = ["from" if name == "from_" else name for name in change["required"]]
    schema["$schema"] = "https://json-schema.org/draft/2020-12/schema"
    schema["title"] = "Setwright block, version 1"
    schema["properties"]["format"]["const"] = FORMAT
    close_objects(schema)
    return schema


def close_objects(schema: Mapping[str, Any]) -> None:
    """No object of ours takes keys that its definition does not name."""
    for one in (schema, *schema.get("$defs", {}).values()):
        if one.get("type") == "object" and "properties" in one and isinstance(one, dict):
            one["additionalProperties"] = False
