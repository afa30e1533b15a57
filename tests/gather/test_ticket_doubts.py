"""What a ticket says that did not come, came twice, or is no lot: named or in doubt, never written for sure.

Wordings: common practice, no published source.
"""

from collections.abc import Sequence

import pytest

from dossier.gather.ticket_rows import Ticket
from tests.drawn_papers import columns, drawn
from tests.gather.test_printed_tickets import HEAD, TOP, X, read, said


def test_a_second_copy_of_a_page_is_no_second_delivery() -> None:
    page = TOP + columns(X, 120, HEAD, ("FG-1001", "Laminated shingle", "5", "BDL", "0012345"))
    office, driver = ([*page, (40, 700, f"{whose} copy")] for whose in ("Office", "Driver"))
    ticket = read(drawn(office, driver))
    assert said(ticket) == ["5 bundles Fenwright 40 [0012345 x 5]"]
    assert [str(row.doubt) for row in ticket.rows] == [
        "it stands on page 2 too, which may be a copy"
    ]
    assert "one may be a copy" in str(ticket.items[0].says)


def printed(*rows: Sequence[str]) -> Ticket:
    """Return what a ticket with these rows comes to."""
    return read(drawn(TOP + columns(X, 120, HEAD, *rows)))


SHINGLES = ("FG-1001", "Laminated shingle", "5", "BDL", "0012345")
STARTER = ("FG-1040", "Starter", "2", "BDL", "77-099")


@pytest.mark.parametrize("foot", ["Page 1 of 2", "Pallets 1", "Continued", "Freight  $20.00"])
def test_only_a_sum_of_goods_ends_what_did_not_come(foot: str) -> None:
    ticket = printed(SHINGLES, ("Backordered:",), STARTER, (foot,), STARTER)
    assert said(ticket) == ["5 bundles Fenwright 40 [0012345 x 5]"]
    assert len(ticket.items) == 2
    bare = printed(SHINGLES, ("Backordered",), STARTER, (foot,), STARTER)
    assert (said(bare), len(bare.items)) == ([], 3)
    again = printed(("Backordered",), STARTER, ("Subtotal",), SHINGLES)
    assert said(again) == ["5 bundles Fenwright 40 [0012345 x 5]"]


@pytest.mark.parametrize(
    "lot",
    ["none", "unknown", "damaged", "N/A", "TBD1", "0099001 - 0099004", "2026-09-14", "see tag"],
)
def test_what_is_no_mark_is_no_lot(lot: str) -> None:
    ticket = printed((*SHINGLES[:4], lot), STARTER)
    assert said(ticket) == ["2 bundles Firstrow starter [77-099 x 2]"]
    assert len(ticket.items) == 1


@pytest.mark.parametrize(
    "words", ["Short 6 bundles, driver will bring", "refused at site", "Damaged: 2"]
)
def test_goods_beside_words_that_some_did_not_come_are_in_doubt(words: str) -> None:
    ticket = printed(STARTER, SHINGLES, ("", words))
    assert [row.product for row in ticket.rows if row.doubt is None] == ["Firstrow starter"]
    assert words in str(ticket.rows[1].doubt)


@pytest.mark.parametrize("words", ["Not loaded", "out of stock", "short 2", "NOT ON TRUCK"])
def test_goods_whose_own_line_says_that_they_did_not_come_are_named(words: str) -> None:
    ticket = printed(STARTER, (SHINGLES[0], words, *SHINGLES[2:]))
    assert [row.product for row in ticket.rows] == ["Firstrow starter"]
    assert len(ticket.items) == 1


def test_a_heading_that_says_not_loaded_holds_what_is_below_it() -> None:
    ticket = printed(SHINGLES, ("Not loaded:",), STARTER)
    assert said(ticket) == ["5 bundles Fenwright 40 [0012345 x 5]"]
