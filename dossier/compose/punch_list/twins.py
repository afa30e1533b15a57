"""The punch list as JSON and as CSV.

In: a punch list. Out: plain data and text. Must not know a page. The JSON's shape is a promise to scripts.
"""

import csv
import io
from collections.abc import Mapping, Sequence
from typing import Any

from dossier.punchlist import Holds, Item, PunchList

FORMAT = 1
_RUNS_IN_A_SPREADSHEET = ("=", "+", "-", "@", "\t", "\r")


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


def safe_csv(columns: Sequence[str], rows: Sequence[Mapping[str, str]]) -> str:
    """Return CSV in which no cell can run as a formula when a spreadsheet opens it.

    A cell that begins with =, +, -, @, tab or return gets an apostrophe in front (OWASP, CSV injection).
    """
    out = io.StringIO()
    writer = csv.DictWriter(out, columns, lineterminator="\r\n")
    writer.writeheader()
    for row in rows:
        writer.writerow({name: harmless(row[name]) for name in columns})
    return out.getvalue()


def harmless(cell: str) -> str:
    """Return the cell with an apostrophe in front where a spreadsheet would run it."""
    return f"'{cell}" if cell.startswith(_RUNS_IN_A_SPREADSHEET) else cell
