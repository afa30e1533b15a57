"""What a new job takes over from another, marked until somebody says that it holds here; and that said.

In: the folder of the other job, or of the new one. Out: the new record's text, or its file changed. Nothing that
was seen, measured or counted on the other roof is taken: products come as commented lines without a quantity.
"""

import re
from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass, replace
from pathlib import Path

from dossier import RECORD_VERSION
from dossier.archive.corrected import since_sealing
from dossier.deeds.by_hand import change, shown
from dossier.disk.outputs import Holder
from dossier.errors import UnreadableInput, WrongCommand
from dossier.hand.means import Change
from dossier.hand.text import with_changes
from dossier.reading.as_on import TakenOver, as_on
from dossier.reading.model import Model, Read
from dossier.reading.nodes import parse_tree
from dossier.reading.typed import Value, block, scalar
from dossier.record.closing import Waiver
from dossier.record.job import Job
from dossier.record.materials import MaterialLine
from dossier.record.people import Vent
from dossier.record.read import JOB_FILE, job_in, read_job
from dossier.record.repeats import (
    Bought,
    days_of_work,
    products,
    repeated,
    suppliers,
    vents,
    waivers,
)
from dossier.steps.asked import job_folder_of
from dossier.values import clip, listed
from dossier.words import Phase

_LINE = "  #     - 42 bundles PRODUCT, colour COLOUR, returned 2, lots MARK x 30; MARK x 12\n"
_SUPPLIER = "  #   supplier: NAME\n"
_INTAKE = "    #   intake: 76 ft Strip soffit vent\n"
_EXHAUST = "    #   exhaust: 36 ft Highdraft ridge vent\n"
_DAYS = (
    "  # - 2026-09-14, tear-off + deck + deck repair + ice barrier, checked by NAME\n"
    "  # - 2026-09-15 to 2026-09-16, starter + field, checked by NAME\n"
)
_WAIVER = "    # - unconditional final, from NAME, through YYYY-MM-DD\n"
"""Lines of the blank that show how a thing is written; what the office bought before stands in their place."""

_TO_COUNT = re.compile("^(?:QUANTITY|COUNT|LENGTH)")
"""Words to write a number over."""

_ABOVE = (
    "# “{mark}” behind a value: it was so on that job, and nobody has said yet that it holds here. Until\n"
    "# somebody does it counts as blank; locality and level count, and hold the handover and the registration.\n"
    "# Look at each: where it holds, take the words “, {mark}” away; where it does not, write over it.\n"
)
_FIRST = b"record:"


@dataclass(frozen=True)
class Like:
    """A job that another is to be like. number: its own."""

    number: str
    job: Read[Job]


def job_like(folder: Path) -> Like:
    """Return a job as it counts: of a sealed one what was sealed, as later entries leave it.

    Raises UnreadableInput where it cannot be read.
    """
    folder = job_folder_of(folder)
    since = since_sealing(folder)
    place, entries = (since.data, since.entries) if since else (folder, ())
    job = read_job(place, RECORD_VERSION, entries=entries)
    return Like(job.needed.job.number, job)


def taken_over_into(record: bytes, like: Like, said: Sequence[tuple[str, ...]]) -> bytes:
    """Return a new record with what repeats from another job, each value marked. said: paths to leave alone."""
    changes = [
        Change(one.path, as_on(one.text, like.number))
        for one in repeated(like.job)
        if one.path not in said
    ]
    text = with_changes(_with_products(record, like), JOB_FILE, Job, changes)
    above = _ABOVE.replace("{mark}", f"as on {like.number}").encode() if changes else b""
    return text.replace(_FIRST, above + _FIRST, 1)


def _with_products(record: bytes, like: Like) -> bytes:
    """Return the record with what was bought before as comments: quantity and lot are never known before."""
    job, text = like.job.needed, record.decode("utf-8")
    low, high = vents(job)
    for line, lines in (
        (_LINE, _rows("  #     ", map(_product, products(job)))),
        (_SUPPLIER, [f"  #   supplier: {scalar(name)}\n" for name in suppliers(job)[:1]]),
        (_WAIVER, _rows("    # ", map(_waiver, waivers(job)))),
        (_DAYS, _rows("  # ", (_day(*day) for day in days_of_work(job)))),
        (_INTAKE, _vents("intake", low)),
        (_EXHAUST, _vents("exhaust", high)),
    ):
        assert line in text, f"the blank record has no line “{line.strip()}”"
        if lines:
            text = text.replace(line, "".join(lines), 1)
    return text.encode("utf-8")


def _rows(head: str, rows: Iterable[Value]) -> list[str]:
    """Return the rows of a list behind a comment's mark, each as it reads back."""
    return [f"{head}{line}\n" for row in rows for line in block([row])]


def _row(form: type[Model], line: str, fields: Mapping[str, str]) -> Value:
    """Return a row on its one line where that says all these fields, else by field."""
    try:
        said = form.from_text(_TO_COUNT.sub("1", line))
    except ValueError:
        return fields
    asked = {name: _TO_COUNT.sub("1", text) for name, text in fields.items()}
    return line if asked.items() <= said.items() else fields


def _product(bought: Bought) -> Value:
    """Return a product as a row below `lines`, with words to write over."""
    product, blank = bought.fields["product"], {"quantity": "QUANTITY", "unit": "UNITS"}
    fields = {"product": product, **blank, **bought.fields}
    colour = ", colour COLOUR" if bought.had_colour else ""
    lots = ", lots MARK x QUANTITY" if bought.had_lots else ""
    line = f"QUANTITY {fields['unit']} {product}{colour}{lots}"
    return _row(MaterialLine, line, fields)


def _waiver(given: Mapping[str, str]) -> Value:
    fields = {**given, "through": "YYYY-MM-DD"}
    line = f"{fields['kind']}, from {fields['given_by']}, through {fields['through']}"
    return _row(Waiver, line, fields)


def _day(phases: Sequence[Phase], looked: bool) -> str:
    return f"YYYY-MM-DD, {' + '.join(phases)}{', checked by NAME' if looked else ''}"


def _vents(name: str, found: Sequence[Bought]) -> list[str]:
    rows = [_vent(one) for one in found]
    if len(rows) == 1 and isinstance(rows[0], str):
        return [f"    #   {name}: {scalar(rows[0])}\n"]
    return [f"    #   {name}:\n", *_rows("    #     ", rows)] if rows else []


def _vent(one: Bought) -> Value:
    fields = dict(one.fields)
    by_length = fields.pop("unit", None) is not None
    fields |= {"length_ft": "LENGTH ft"} if by_length else {"count": "COUNT"}
    area = fields.get("net_free_area_sqin")
    measure = fields["length_ft" if by_length else "count"]
    return _row(Vent, f"{measure} {fields['product']}{f', {area} each' if area else ''}", fields)


@dataclass(frozen=True)
class Unconfirmed:
    """What stands in a record as on another job. values: by path, in the order of the record.

    digest: of the file as it was read.
    """

    values: Mapping[str, TakenOver]
    digest: str

    def only(self, paths: Sequence[str]) -> "Unconfirmed":
        """Return those at these paths; raises WrongCommand for one at which nothing stands."""
        for path in paths:
            if path not in self.values:
                has = f"Name one of these: {listed(list(self.values))}."
                raise WrongCommand(
                    f"Nothing at “{clip(path)}” was taken over from another job.",
                    has if self.values else "Nothing is left to confirm.",
                )
        return replace(self, values={path: self.values[path] for path in paths})


def unconfirmed(folder: Path) -> Unconfirmed:
    """Return what stands in a job as on another; raises UnreadableInput where the record cannot be read."""
    seen = shown(job_folder_of(folder), JOB_FILE)
    reading = parse_tree(seen.data or b"", JOB_FILE)
    if reading.tree is None:
        raise UnreadableInput(reading.items[0].says, reading.items[0].remedy)
    # A record that still lacks what no record can be without has values to confirm all the same.
    return Unconfirmed(job_in(reading, RECORD_VERSION).lines.taken_over, seen.digest)


def confirm(folder: Path, of: Unconfirmed, holder: Holder | None = None) -> None:
    """Write that these values hold here: each stays and its mark goes. Raises as a change by hand does."""
    changes = [Change(tuple(path.split(".")), one.value) for path, one in of.values.items()]
    change(folder, JOB_FILE, of.digest, changes, holder)
