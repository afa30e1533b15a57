"""`dossier lots MARK`: every job, slope and quantity that carries a lot, for a maker's recall."""

import argparse
from typing import TYPE_CHECKING

from dossier.commands.given import Here
from dossier.commands.office_answer import add_the_office, code_of, not_read_lines, office_asked
from dossier.commands.show import to_stderr
from dossier.commands.tables import line, table
from dossier.errors import ExitCode
from dossier.values import parse_number, plural, unit_for

if TYPE_CHECKING:
    from dossier.index.lots import LotFound, LotsFound, Untold

SAYS = "list every job, slope and quantity that carries a lot, for a maker's recall"
EXAMPLE = "dossier lots 0012345\n  dossier lots 0012345 --csv > recall.csv"

_HEADINGS = ("mark", "quantity", "slopes", "product", "job", "address", "owner today", "telephone")
COLUMNS = (
    *("match", "mark", "quantity", "unit", "slopes", "product", "role", "maker", "colour"),
    *(
        "delivered",
        "returned",
        "ticket",
        "supplier",
        "delivered_on",
        "job",
        "address",
        "last_shingle_on",
    ),
    *("owner", "phone", "email", "mailing_address", "left_with_owner", "folder", "corrected"),
)


def add_arguments(command: argparse.ArgumentParser) -> None:
    """Add the mark, the form of the answer, and the office."""
    command.add_argument(
        "mark", metavar="MARK", help="the mark as printed on the wrapper; leading zeros count"
    )
    command.add_argument("--csv", action="store_true", help="print CSV on stdout")
    add_the_office(command)


def run(given: argparse.Namespace, here: Here) -> ExitCode:
    """Print every lot of this mark, and return the exit code: 0 also where there is none.

    3 where a folder that could not be read may have changed the answer.
    """
    from dossier.compose.parts.safe_csv import safe_csv
    from dossier.deeds.office_index import lots_marked

    told = lots_marked(office_asked(given), given.mark)
    found, unread = told.answer, not_read_lines(told.unread)
    if given.csv:
        print(safe_csv(COLUMNS, [csv_row(row) for row in found.rows]), end="")
        for sentence in (*_sentences(found, given.mark), *unread):
            to_stderr(sentence)
    else:
        print("\n".join([lots_text(found, given.mark), *unread]))
    return code_of(told.unread)


def lots_text(found: "LotsFound", mark: str) -> str:
    """Return what was found as text."""
    exact = [row for row in found.rows if row.is_exact]
    begun = [row for row in found.rows if not row.is_exact]
    parts = []
    if exact:
        parts.append(f"{table(_HEADINGS, [_row(row) for row in exact])}\n")
    if begun:
        parts.append(
            f"Marks that only begin so:\n{table(_HEADINGS, [_row(row) for row in begun])}\n"
        )
    return "\n".join([*parts, *_sentences(found, mark)])


def _sentences(found: "LotsFound", mark: str) -> list[str]:
    from dossier.index.lots import MOST_BEGINNING

    exact = [row for row in found.rows if row.is_exact]
    shown = line(mark)[:60]
    if not exact:
        said = [f"No job has lot “{shown}” on record."]
        said += _untold(found.untold) if found.untold else []
    else:
        said = [f"Lot “{shown}”: {plural(found.jobs, 'job')}."]
        said += _corrected(exact)
        unknown = sum(not row.slopes for row in exact)
        if unknown:
            said.append(
                f"On {unknown} of {plural(len(exact), 'line')} the record does not say on which slope."
            )
    if found.beginning > MOST_BEGINNING:
        said.append(
            f"{plural(found.beginning, 'mark')} only begin so; the first {MOST_BEGINNING} are shown."
        )
    said += [
        f"The records cannot tell for {plural(count, 'job')} with {line(product)}: for some of its units no "
        "lot is on record."
        for product, count in found.unmarked
    ]
    return said


def _corrected(exact: list["LotFound"]) -> list[str]:
    count = sum(bool(row.corrected) for row in exact)
    if not count:
        return []
    return [
        f"On {plural(count, 'line')} the mark was corrected after close-out. It is found under both; the "
        "entry says why."
    ]


def _untold(untold: "Untold") -> list[str]:
    """Return which jobs may carry a mark that none has on record, in sentences; none where all are told."""
    if not untold.jobs:
        return []
    said = [
        f"The records cannot tell for {untold.jobs:,} of {plural(untold.of, 'job')}: not every unit on them "
        "has a lot on record."
    ]
    if untold.by_role:
        roles = ", ".join(f"{line(role) or 'no role known'} {n:,}" for role, n in untold.by_role)
        said.append(f"Jobs by what the product is for: {roles}.")
    if untold.bare:
        said.append(f"No product at all is on record on {untold.bare:,} of them.")
    return said


def _row(row: "LotFound") -> tuple[str, ...]:
    quantity = (
        f"{row.quantity} {unit_for(parse_number(row.quantity), row.unit)}".strip()
        if row.quantity
        else "not on record"
    )
    return (
        f"{row.mark} ({row.corrected})" if row.corrected else row.mark,
        quantity,
        row.slopes or "not on record",
        row.product,
        row.number,
        row.address,
        "; ".join(owner.name for owner in row.owners if owner.name) or "not on record",
        "; ".join(owner.phone for owner in row.owners if owner.phone) or "not on record",
    )


def csv_row(row: "LotFound") -> dict[str, str]:
    """Return one lot as the columns of the CSV; blank where the record does not say."""
    owners = row.owners
    return {
        "match": "exact" if row.is_exact else "begins so",
        "mark": row.mark,
        "quantity": row.quantity,
        "unit": row.unit,
        "slopes": row.slopes,
        "product": row.product,
        "role": row.role,
        "maker": row.maker,
        "colour": row.colour,
        "delivered": row.delivered,
        "returned": row.returned,
        "ticket": row.ticket,
        "supplier": row.supplier,
        "delivered_on": row.delivered_on,
        "job": row.number,
        "address": row.address,
        "last_shingle_on": row.last_shingle_on,
        "owner": "; ".join(owner.name for owner in owners if owner.name),
        "phone": "; ".join(owner.phone for owner in owners if owner.phone),
        "email": "; ".join(owner.email for owner in owners if owner.email),
        "mailing_address": "; ".join(o.mailing_address for o in owners if o.mailing_address),
        "left_with_owner": row.spare,
        "folder": row.folder,
        "corrected": row.corrected,
    }
