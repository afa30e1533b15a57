"""What a sale left of each coverage: agreed with what is worked out of the sale, and with its times."""

from datetime import date

import pytest

from dossier.assess.claim import coverages_then
from dossier.assess.passed_on import HouseSale
from dossier.assess.sale_notice import left_by, with_what_is_left
from dossier.case.readers import for_reader
from dossier.compose.drawings.time_lines import TimeLine, time_lines
from dossier.compose.handover.calendar import Event, events
from dossier.compose.handover.handover import Handover, handover
from dossier.compose.parts.shared import Label
from dossier.compose.years_after.after_sale import left_by_sale, left_of_each
from dossier.compose.years_after.transfer_notice import Sold, with_sale
from dossier.record.entry import Entry, Sale
from dossier.words import Edition, EntryKind
from tests.compose.made import resale
from tests.compose.test_handover import REGISTERED
from tests.compose.test_time_lines import nothing_lies_on_words
from tests.known_good import Known, known_good

OWN = ("Ormskar workmanship coverage", "Ormskar workmanship coverage")
SOLD = date(2033, 6, 17)
DUE = "16 August 2033"
"""60 days after the closing: 13 of June, 31 of July, 16 of August."""


def left(known: Known, *sales: HouseSale, on: date = SOLD) -> dict[tuple[str, str], str]:
    then = coverages_then(known.case, known.assessment, sales, on)
    return dict(left_by_sale(known.assessment, then, sales[-1].closing_on))


def own(edits: dict[str, object], *sales: HouseSale, on: date = SOLD) -> str:
    prefix = "company.workmanship.coverage.transfer"
    known = known_good({f"{prefix}.{name}": value for name, value in edits.items()})
    return left(known, *sales, on=on)[OWN]


def drawn_after(known: Known, *sales: HouseSale) -> tuple[TimeLine, ...]:
    return time_lines(known.assessment, left(known, *sales))


def test_a_used_up_time_is_said() -> None:
    says = own({}, HouseSale(SOLD))
    assert says == (
        "Sold on 17 June 2033, by this record. The new owner has it as long as the first owner would, if "
        f"notice is received by {DUE}. No later sale passes it on."
    )
    held = own({}, HouseSale(SOLD, notice_received_on=SOLD))
    assert "if notice" not in held
    assert "The new owner has it as long as the first owner would." in held


@pytest.mark.parametrize(
    ("times", "says"),
    [
        ("1", "No later sale passes it on."),
        ("2", "A later sale up to 21 September 2036 passes it on, 1 time more."),
        ("4", "A later sale up to 21 September 2036 passes it on, 3 times more."),
        (None, "A later sale up to 21 September 2036 passes it on again."),
    ],
)
def test_the_times_left_are_those_the_terms_give_less_the_sale(
    times: str | None, says: str
) -> None:
    told = own({"times": times}, HouseSale(SOLD, notice_received_on=SOLD))
    assert told.endswith(says)


def test_a_shorter_term_of_the_new_owner_has_its_last_day() -> None:
    told = own({"second_owner_years": "8"}, HouseSale(SOLD, notice_received_on=SOLD))
    assert "The new owner has it to 21 September 2034 at most." in told


def test_where_nothing_is_left_no_later_sale_is_spoken_of() -> None:
    late = own({}, HouseSale(date(2036, 9, 22)), on=date(2036, 9, 22))
    assert late == "Sold on 22 September 2036, by this record. Nothing of it is left."


def test_what_cannot_be_told_says_whom_to_ask() -> None:
    told = own({}, HouseSale(SOLD), on=date(2034, 1, 1))
    assert "Whether the new owner has it cannot be told; ask Ormskar Roofing." in told
    assert "later sale" not in told
    no_start = known_good({"job.job.completion_signed_on": None})
    assert "cannot be told; ask Ormskar Roofing" in left(no_start, HouseSale(SOLD))[OWN]


def test_a_lifetime_without_a_term_for_the_new_owner_stands_apart() -> None:
    sheet = "terms.kestrelmoor-2026.levels.0.coverage.transfer.second_owner_years"
    known = known_good({sheet: None, "job.installation.nails_per_shingle": "4"})
    (says,) = [
        text
        for (title, _), text in left(
            known,
            HouseSale(date(2029, 6, 17), notice_received_on=date(2029, 6, 18)),
            on=date(2029, 7, 1),
        ).items()
        if title == "Shingle level"
    ]
    assert "The new owner has labour, wind and algae as long as the first owner would." in says
    assert "Whether the new owner has material cannot be told; ask Kestrelmoor." in says


def test_passing_within_the_family_uses_no_time_up() -> None:
    family = HouseSale(SOLD, in_family=True)
    told = own({"family_is_no_sale": "yes"}, family)
    assert "By its terms that was no sale" in told
    assert told.endswith("passes it on, 1 time more.")
    silent = own({"family_is_no_sale": None}, HouseSale(SOLD, SOLD, SOLD, SOLD, in_family=True))
    assert "later sale" not in silent, "whether it counted is not told by the terms"


def test_the_line_of_years_after_a_sale_speaks_of_no_sale_to_come() -> None:
    known = known_good()
    drawn = drawn_after(known, HouseSale(SOLD))
    nothing_lies_on_words(drawn)
    (one,) = drawn
    assert not {"band", "hatch"} & {shape.kind for shape in one.shapes}
    assert "At a sale" not in [line.text for line in one.words]
    assert "a sale then passes it on" not in [line.text for line in one.words]
    assert one.title.count("Sold on 17 June 2033") == 3
    before = time_lines(known.assessment)[0]
    assert {"band", "hatch"} <= {shape.kind for shape in before.shapes}


ENTRY = Entry(
    entry=1, job="2026-041", kind=EntryKind.SOLD, on=SOLD, noted_by="Ida Torvik", noted_on=SOLD
)


def sold_pages(sale: HouseSale, on: date) -> tuple[Handover, list[Event]]:
    """Return the buyer's copy after a sale, and the entries of its calendar."""
    known = known_good()
    then = coverages_then(known.case, known.assessment, [sale], on)
    assessment = with_what_is_left(
        known.assessment, {(one.title, one.document): left_by(one.answer) for one in then}
    )
    case = for_reader(known.case, Edition.RESALE)
    pages = handover(
        case, known.facts, assessment, known.punch_list, known.run, edition=Edition.RESALE
    )
    sold = Sold(ENTRY, Sale(closing_on=sale.closing_on), tuple(then), on, "")
    pages = with_sale(pages, sold, None, (), left_of_each(assessment, then))
    return pages, list(events(case, assessment, known.run, Edition.RESALE))


def test_a_copy_after_a_sale_that_left_nothing_promises_nothing() -> None:
    """A notice that never came: by the demo's clause 5.1 the coverage ends with the day of the sale."""
    pages, dates = sold_pages(HouseSale(date(2036, 9, 22)), date(2037, 1, 2))
    states = {block.title: (block.state, block.sure) for block in pages.coverages}
    assert states[OWN[0]] == ("nothing of it is left after the sale", False)
    labels = [pair.label for pair in (*pages.cover.dates, *pages.cover.summary)]
    assert Label.OWN_RUNS_TO not in labels
    [warranty] = [pair for pair in pages.cover.summary if pair.label is Label.WARRANTY]
    assert "holds now" not in str(warranty.text)
    assert all(not level.sentences for level in pages.levels)
    assert not [one for one in dates if OWN[0] in one.title]


def test_a_buyer_is_never_told_that_nothing_has_to_be_sent() -> None:
    told = resale(known_good(dict(REGISTERED))).cover.next_steps
    assert "nothing more has to be sent" not in " ".join(told)
    assert "only by the notice of the sale" in " ".join(told)


def test_a_level_nobody_confirmed_is_not_sure_after_a_sale_either() -> None:
    """The demo job's registration is not confirmed; the notice of the sale came in time."""
    pages, _ = sold_pages(HouseSale(SOLD, notice_received_on=SOLD), SOLD)
    states = {block.title: (block.state, block.sure) for block in pages.coverages}
    assert states["Full Assembly level"] == (
        "for the new owner, only once Kestrelmoor confirms it",
        False,
    )
    assert states[OWN[0]] == ("for the new owner", True)


@pytest.mark.parametrize(
    ("transfer", "says"),
    [
        (None, "whether a buyer has any of it the terms as typed in do not say"),
        ({"allowed": "no"}, "it does not pass to a buyer, by its terms"),
        ({"times": "1"}, "they name no last day for a notice, so give it at the sale"),
        ({"times": "1", "within_days": "60"}, "only by the notice of the sale that they ask for"),
    ],
)
def test_a_buyer_is_told_what_the_terms_say_of_a_sale(transfer: object, says: str) -> None:
    at = "terms.kestrelmoor-2026.levels.2.coverage.transfer"
    told = resale(known_good({**REGISTERED, at: transfer})).cover.next_steps
    assert says in " ".join(told)
