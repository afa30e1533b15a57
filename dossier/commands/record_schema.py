"""The JSON Schema of `job.yaml`, printed from the models of the record.

In: the models. Out: JSON, the same text on every run. Must not know any job.
"""

import json
from typing import Any

from dossier import RECORD_VERSION
from dossier.record.job import Job

SCHEMA_DIALECT = "https://json-schema.org/draft/2020-12/schema"
SCHEMA_ID = f"https://example.com/dossier/record-{RECORD_VERSION}.json"

_DOES_NOT_APPLY, _BLANK, _AS_ON = "DoesNotApply", "Blank", "AsOnAnotherJob"
_ANSWERS: dict[str, Any] = {
    _BLANK: {"description": "Nobody answered yet.", "type": "null"},
    _DOES_NOT_APPLY: {
        "description": "The field does not apply, with the reason.",
        "type": "string",
        "pattern": "^([nN]/[aA]|[nN]ot applicable)[\\s,;:.—–-]+\\S",
    },
    _AS_ON: {
        "description": "Taken over from another job, and not confirmed on this roof.",
        "type": "string",
        "pattern": ", as on [^,]+$",
    },
}
_ABOUT = ("description", "examples", "readers", "unit")


def schema_text() -> str:
    """Return the JSON Schema (draft 2020-12) of `job.yaml`, for editors that check while one types.

    It is looser than the reader where the two forms of a field differ: a text is not parsed, so
    a date that no calendar has passes here and is an item there.
    """
    schema = Job.model_json_schema()
    groups = {name: _loosened(body) for name, body in schema.pop("$defs").items()}
    head = {"$schema": SCHEMA_DIALECT, "$id": SCHEMA_ID, "title": "The record of one job"}
    whole = {**head, **_loosened(schema), "$defs": {**groups, **_ANSWERS}}
    return _on_lines(whole) + "\n"


def _on_lines(value: Any, name: str = "", depth: int = 0) -> str:
    """Return JSON with a line for each field of the record, so that a changed field is a changed line."""
    flat = json.dumps(value, ensure_ascii=False)
    if name not in ("properties", "$defs") and '"properties":' not in flat:
        return flat
    inner, outer = "\n" + "  " * (depth + 1), "\n" + "  " * depth
    if isinstance(value, list):
        return f"[{inner}{f',{inner}'.join(_on_lines(one, '', depth + 1) for one in value)}{outer}]"
    parts = (f"{json.dumps(key)}: {_on_lines(part, key, depth + 1)}" for key, part in value.items())
    return f"{{{inner}{f',{inner}'.join(parts)}{outer}}}"


def _loosened(body: dict[str, Any]) -> dict[str, Any]:
    """Return a group's schema in which a field may be blank, not apply, or be a list of one."""
    body = {name: part for name, part in body.items() if name != "title"}
    if "anyOf" in body:
        body["anyOf"] = [_loosened(option) for option in body["anyOf"]]
    if "properties" in body:
        needed = body.get("required", [])
        body["properties"] = {
            name: _loose_field(field, needed=name in needed)
            for name, field in body["properties"].items()
        }
    return body


def _loose_field(field: dict[str, Any], *, needed: bool) -> dict[str, Any]:
    about = {name: field[name] for name in _ABOUT if name in field}
    left_out = (*_ABOUT, "title", "default", "repeats")
    value = {k: v for k, v in field.items() if k not in left_out}
    options: list[dict[str, Any]] = []
    for option in value.get("anyOf", [value]):
        if option == {"type": "null"}:
            continue
        options.append(option)
        if option.get("type") == "array":
            options.append(option["items"])
            if "enum" in option["items"]:
                # Words on one line, parted by commas, are taken apart by the reader.
                options.append({"type": "string"})
    # A kind that takes any text takes an n/a as well, and what is as on another job.
    of_words = not any(
        "string" in option.get("type", ()) and "enum" not in option for option in options
    )
    if of_words and field.get("repeats") and not any("$ref" in option for option in options):
        options.append({"$ref": f"#/$defs/{_AS_ON}"})
    if not needed:
        if of_words:
            options.append({"$ref": f"#/$defs/{_DOES_NOT_APPLY}"})
        options.append({"$ref": f"#/$defs/{_BLANK}"})
    return {**about, **(options[0] if len(options) == 1 else {"anyOf": options})}
