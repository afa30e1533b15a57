"""The punch list as JSON and as CSV.

In: a punch list. Out: plain data and text. Must not know a page. The JSON's shape is a promise to scripts.
"""

from typing import Any

from dossier.compose.parts.safe_csv import safe_csv
from dossier.punchlist import Holds, Item, PunchList

FORMAT = 1


def punch_list_data(number: str, punch_list: PunchList, readable: bool) -> dict[str, Any]:
    """Return the punch list as the data that `check --json` prints; see docs/punch-list-json.md.

    readable: whether the record could be read at all; where it could not, nothing is ready.
    """
    return {
        "format": FORMAT,
        "job": number,
        "ready": {held.value: readable and punch_list.is_ready(held) for held in Holds},
        "items": [_item(item) for item in punch_list],
    }


def _item(item: Item) -> dict[str, Any]:
    return {
        "rule": item.rule,
        "weight": item.weight.value,
        "verdict": item.verdict.value,
        "says": str(item.says),
        "why": str(item.why),
        "source": item.source,
        "owed_by": item.owed_by.value,
        "remedy": str(item.remedy),
        "holds": [held.value for held in Holds if held in item.holds],
        "due": item.due.isoformat() if item.due else None,
        "where": {"file": item.where.file, "line": item.where.line, "field": item.where.field},
        "rules": list(item.rules),
        "lacks": list(item.lacks),
        "life_safety": item.life_safety,
        "said": item.says.data,
    }


def punch_list_csv(number: str, punch_list: PunchList) -> str:
    """Return the punch list as CSV (RFC 4180), one row an item."""
    rows: list[dict[str, str]] = []
    for item in punch_list:
        data = _item(item)
        where = data.pop("where")
        del data["said"]
        rows.append(
            {
                "job": number,
                **{name: _text(value) for name, value in data.items()},
                **{name: _text(value) for name, value in where.items()},
            }
        )
    columns = [
        *("job", "owed_by", "due", "weight", "verdict", "says", "remedy", "holds"),
        *("why", "source", "rule", "file", "line", "field", "rules", "lacks", "life_safety"),
    ]
    return safe_csv(columns, rows)


def _text(value: object) -> str:
    if isinstance(value, list):
        return ", ".join(str(part) for part in value)
    if isinstance(value, bool):
        return "yes" if value else "no"
    return "" if value is None else str(value)
