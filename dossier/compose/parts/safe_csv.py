"""Rows of text as CSV that is safe to open.

In: columns and rows. Out: text. Must not know what the rows say.
"""

import csv
import io
from collections.abc import Mapping, Sequence

_RUNS_IN_A_SPREADSHEET = ("=", "+", "-", "@", "\t", "\r")


def safe_csv(columns: Sequence[str], rows: Sequence[Mapping[str, str]]) -> str:
    """Return CSV in which no cell can run as a formula when a spreadsheet opens it.

    A cell that begins with =, +, -, @, tab or return gets an apostrophe in front (OWASP, CSV injection).
    """
    out = io.StringIO()
    writer = csv.DictWriter(out, columns, lineterminator="\r\n")
    writer.writeheader()
    for row in rows:
        writer.writerow({name: _harmless(row[name]) for name in columns})
    return out.getvalue()


def _harmless(cell: str) -> str:
    """Return the cell with an apostrophe in front where a spreadsheet would run it."""
    return f"'{cell}" if cell.startswith(_RUNS_IN_A_SPREADSHEET) else cell
