"""Every number printed at a statement leads to a row of the index, and every row says where its proof lies."""

from collections.abc import Iterator
from dataclasses import fields, is_dataclass
from typing import Any

from dossier.compose.parts.references import index
from dossier.compose.parts.shared import Ref
from tests.compose.made import Made, made, resale
from tests.known_good import known_good


def refs_in(thing: Any) -> Iterator[Ref]:
    if isinstance(thing, Ref):
        yield thing
    elif isinstance(thing, tuple):
        for part in thing:
            yield from refs_in(part)
    elif is_dataclass(thing):
        for field in fields(thing):
            yield from refs_in(getattr(thing, field.name))


def test_numbers_run_from_one_and_agree_with_the_index() -> None:
    doc = made().handover
    rows = (*doc.backed, *doc.worked_out)
    assert [row.number for row in rows] == [str(n) for n in range(1, len(rows) + 1)]
    at = {row.number: row.backing for row in rows}
    found = list(refs_in(doc))
    assert len(found) > 20
    assert all(at[ref.number] == ref.backing for ref in found)


def test_every_row_of_the_index_is_marked_in_the_document_or_known_not_to_be() -> None:
    """The invoice alone is nowhere printed: it is money, and only its being on file is told."""
    doc = made().handover
    marked = {ref.number for ref in refs_in(doc)}
    left = [row.text for row in (*doc.backed, *doc.worked_out) if row.number not in marked]
    assert left == ["Final invoice"]


def test_a_row_leads_to_a_photo_a_paper_a_line_of_the_record_or_a_rule() -> None:
    doc = made().handover
    for row in doc.backed:
        assert row.where.startswith(("record: ", "photo", "paper")), row
    wheres = [row.where for row in doc.worked_out]
    assert any("√(1 + (pitch/12)²)" in where and "Pythagoras" in where for where in wheres)
    assert any("KM-W-26" in where and "clauses 2.1, 2.2" in where for where in wheres)


def test_a_gap_is_marked_absent_where_it_is_printed() -> None:
    doc = made({"job.after_work.flues": None, "job.permit.number": None}).handover
    [flues] = [pair for pair in doc.after_work if pair.label.startswith("Flues")]
    assert [ref.backing for ref in flues.refs] == ["absent"]
    [permit] = [pair for pair in doc.permit if pair.label == "Permit number"]
    assert [ref.backing for ref in permit.refs] == ["absent"]


def test_a_buyer_has_the_same_numbers_and_is_named_no_withheld_paper() -> None:
    good: Made = made()
    buyer = resale(known_good())
    assert [row.text for row in buyer.backed] == [row.text for row in good.handover.backed]
    completion = next(row for row in buyer.backed if row.text.startswith("Completion"))
    assert completion.where.endswith("; completion, kept at the office")


def test_two_slopes_of_one_name_have_rows_of_their_own() -> None:
    # A place named twice in a PDF is none; the build ended in a traceback.
    known = known_good(_TWO_FRONTS)
    found = index(known.case, known.assessment)
    numbers = [row.number for row in (*found.stated, *found.worked_out)]
    assert len(set(numbers)) == len(numbers)


_TWO_FRONTS = {
    "job.slopes.1": "front, faces N, 6:12, plan 40 ft x 14 ft, eave 40 ft, rakes 31.3 ft, pipes 1"
}
