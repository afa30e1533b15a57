"""The packet's body: ready or not ready by the punch list, days counted on its first page only."""

import re
from dataclasses import fields

import pytest

from dossier.assess.results import Met
from dossier.case.readers import for_reader
from dossier.compose.packet.condition_rows import MET_IN_PART
from dossier.compose.packet.dividers import dividers
from dossier.compose.packet.form import BY_HAND
from dossier.compose.packet.head import NOT_READY, READY, REGISTERED, SENT
from dossier.compose.packet.registration import registration
from dossier.compose.parts.places import IN_PART
from dossier.punchlist import Holds
from dossier.terms.form_words import FORM_FIELDS
from dossier.words import Backing, Edition
from tests.compose.made import Made, everything, made, pages, printed
from tests.known_good import known_good

DAYS = re.compile(r"\bdays? (?:left|before)\b")


@pytest.mark.parametrize(
    "edits",
    [
        {},
        {"job.warranties.0.owner_signed_on": None},
        {"job.installation.nails_per_shingle": "4"},
        {"job.permit.closed_on": None},
        {"job.money.payments": None},
        {"run.today": "2026-11-21"},
        {"job.warranties": None},
    ],
)
def test_ready_follows_the_punch_list(edits: dict[str, object]) -> None:
    job = made(edits)
    expected = READY if job.known.punch_list.is_ready(Holds.REGISTRATION) else NOT_READY
    assert job.registration.ready == expected
    assert all(page.ready == expected for page in job.registration.asked)
    assert len(job.registration.keeps) == len(job.known.punch_list.holding(Holds.REGISTRATION))


def test_ready_and_not_ready_both_happen(good: Made) -> None:
    assert good.registration.ready == READY
    assert made({"job.warranties.0.owner_signed_on": None}).registration.ready == NOT_READY


@pytest.mark.parametrize(
    ("today", "text"),
    [
        # 60 days from 21 September 2026 is 20 November 2026, counted on the calendar.
        ("2026-10-20", "20 November 2026, 31 days left on 20 October 2026"),
        ("2026-11-19", "20 November 2026, 1 day left on 19 November 2026"),
        ("2026-11-20", "20 November 2026, 0 days left on 20 November 2026"),
        ("2026-11-21", "20 November 2026, passed 1 day before 21 November 2026"),
    ],
)
def test_the_first_page_counts_from_the_day_it_was_made(today: str, text: str) -> None:
    (page,) = made({"run.today": today}).registration.asked
    assert {row.label: row.text for row in page.facts}["Last day"] == text


def test_only_the_first_page_counts_days(good: Made) -> None:
    assert DAYS.search(everything(good.registration.asked[0].facts))
    for field in fields(good.registration):
        if field.name not in ("asked", "pictures"):
            assert not DAYS.search(everything(getattr(good.registration, field.name))), field.name


def test_every_condition_has_result_backing_clause_and_proof(good: Made) -> None:
    (asked,) = good.known.assessment.asked
    (page,) = good.registration.asked
    leaves = [leaf for condition in asked.level.conditions for leaf in condition.leaves]
    rows = {row.clause: row for row in page.conditions}
    for leaf in leaves:
        row = rows[leaf.condition.clause]
        assert row.met == (MET_IN_PART if leaf.in_part else leaf.met.value)
        assert row.backing in {IN_PART, *(word.value for word in Backing)}
        assert row.proof
    assert page.checklist == page.conditions


def test_a_condition_that_fails_by_a_blank_has_no_backing() -> None:
    (page,) = made({"job.warranties.0.owner_signed_on": None}).registration.asked
    row = next(row for row in page.conditions if row.clause == "3.14")
    assert (row.met, row.backing) == (Met.NOT_MET.value, Backing.ABSENT.value)


def test_one_unread_photo_of_several_weakens_the_whole_condition(good: Made) -> None:
    review = {
        "photos.0": {"file": "photos/deck/front.jpg", "reviewed": "Ida Torvik, 2026-09-15"},
    }
    (page,) = made(review).registration.asked
    row = next(row for row in page.conditions if row.clause == "3.13")
    assert row.backing == Backing.ON_FILE.value


def test_the_form_keeps_the_maker_s_order(good: Made) -> None:
    (page,) = good.registration.asked
    sheet = good.known.case.asked[0].sheet
    assert [row.label.lower() for row in page.form] == list(sheet.form_order)
    values = {row.label: row.text for row in page.form}
    assert values["Owner phone"] == "555-0141"
    assert values["Installer certification"] == "Assembly Installer, KM-20417"
    assert values["Squares installed"] == "12.52 squares, as measured"
    assert values["Completion date"] == "21 September 2026, completion signed by the owner"


def test_a_form_field_nobody_knows_is_left_to_be_filled_in() -> None:
    edit = {"terms.kestrelmoor-2026.form_order": ["owner name", "shoe size"]}
    (page,) = made(edit).registration.asked
    assert page.form[1].text == BY_HAND


def test_a_form_s_own_words_are_filled_from_the_record() -> None:
    """As an office typed them from a form of its own."""
    order = ["roof address", "Telephone", "completed on", "shingle", "color", "installer number"]
    (page,) = made({"terms.kestrelmoor-2026.form_order": order}).registration.asked
    assert [str(row.text) for row in page.form] == [
        "118 Plover Lane, Halvorsted",
        "555-0141",
        "21 September 2026, completion signed by the owner",
        "Fenwright 40, Slate Grey",
        "Slate Grey",
        "KM-20417",
    ]


def test_every_field_that_fills_itself_in_is_filled(good: Made) -> None:
    edit = {"terms.kestrelmoor-2026.form_order": [*FORM_FIELDS, "roof age by hand"]}
    (page,) = made(edit).registration.asked
    assert [row.label for row in page.form if row.text == BY_HAND] == ["By hand", "Roof age"]


def test_products_show_what_the_roof_needs(good: Made) -> None:
    rows = {row.product: row for row in good.registration.products}
    shingle = rows["Fenwright 40"]
    assert (shingle.needs, shingle.verdict) == ("1,252.2 sq ft", "plausible")
    assert shingle.lots == "0012345 × 30; 0012346 × 12"
    assert rows["Eavewright rake edge"].verdict == "with the line above"


def test_photos_are_those_that_the_conditions_rest_on(good: Made) -> None:
    titles = [group.title for group in good.registration.photo_groups]
    # Six photos fill a page. Tear-off and starter are not asked for as photos: conditions rest on theirs.
    assert titles == [
        "Tear-off, deck and ice barrier",
        "Underlayment, starter and field",
        "Field",
    ]
    assert [len(group.shots) for group in good.registration.photo_groups] == [6, 6, 1]


def test_papers_carry_pages_and_the_start_of_their_digest(good: Made) -> None:
    listed = {row.file: row for row in good.registration.papers}
    assert "papers/invoice-2026-041.pdf" not in listed
    card = listed["papers/inspection-card.pdf"]
    fact = good.known.facts.papers["papers/inspection-card.pdf"]
    assert fact.sha256 is not None
    assert fact.sha256.startswith(card.digest)
    assert len(card.digest) == 12


def test_a_paper_with_a_script_is_listed_and_stays_behind() -> None:
    file = "papers/vent-check.pdf"
    rows = made({f"facts.{file}.active_content": ("JavaScript",)}).registration.papers
    (row,) = [row for row in rows if row.file.startswith(file)]
    assert row.file.endswith("not attached: it holds JavaScript")


def test_a_cleaned_copy_is_called_one() -> None:
    file = "papers/vent-check.pdf"
    job = known_good({f"facts.{file}.active_content": ("JavaScript",)})
    case = for_reader(job.case, Edition.MAKER)
    cleaned = frozenset({file})
    doc = registration(case, job.facts, job.assessment, job.punch_list, job.run, cleaned=cleaned)
    (row,) = [row for row in doc.papers if row.file.startswith(file)]
    assert row.file.endswith("attached as a cleaned copy: the original holds JavaScript")


def test_a_kept_back_paper_s_fault_does_not_give_its_name() -> None:
    edit = {"facts.papers/invoice-2026-041.pdf.fault": "is cut short."}
    job = made(edit)
    assert any("invoice-2026-041.pdf" in str(item.says) for item in job.known.punch_list)
    assert "invoice-2026-041.pdf" not in everything(job.registration)


@pytest.mark.parametrize(
    ("days", "word", "stands"),
    [
        ({}, READY, ""),
        ({"submitted_on": "2026-10-01"}, SENT, "on 1 October 2026, no confirmation on record"),
        (
            {"submitted_on": "2026-10-01", "accepted_on": "2026-10-10", "confirmation": "KM-7"},
            REGISTERED,
            "accepted on 10 October 2026, confirmation KM-7",
        ),
    ],
)
def test_one_word_says_how_far_it_is(days: dict[str, str], word: str, stands: str) -> None:
    doc = made({f"job.warranties.0.{name}": day for name, day in days.items()}).registration
    assert (doc.asked[0].ready, doc.asked[0].stands) == (word, stands)


def test_a_part_of_another_maker_shows_in_the_form() -> None:
    edit = {"job.deliveries.0.lines.2": "2 bundles Ridgeback caps, lot R-1 x 2"}
    values = {row.label: row.text for row in made(edit).registration.asked[0].form}
    assert "hip and ridge: Ridgeback caps (by Tarnholt)" in values["Accessories"]
    assert "starter: Firstrow starter;" in values["Accessories"]


def test_lots_and_the_last_shingle_are_in_the_form() -> None:
    edit = {"terms.kestrelmoor-2026.form_order": ["date of last shingle", "lots"]}
    shingle, lots = made(edit).registration.asked[0].form
    assert shingle.text == "16 September 2026"
    assert "field shingle, Fenwright 40: 0012345 × 30; 0012346 × 12" in lots.text
    assert "ice barrier, Icehold ice barrier: 1E5 × 3" in lots.text


def test_one_unit_covers_in_the_unit_of_the_need(good: Made) -> None:
    rows = {row.product: row for row in good.registration.products}
    barrier = rows["Icehold ice barrier"]
    assert (barrier.covers, barrier.needs) == ("66.7 ft", "160 ft")
    # 14.5 pieces of edge metal are 15: nobody sells half a piece.
    assert rows["Eavewright eave edge"].needs == "15 pieces"


def test_what_rests_on_the_record_alone_agrees_with_the_marks(good: Made) -> None:
    (page,) = good.registration.asked
    stated = [
        row.clause
        for row in page.conditions
        if row.backing == "stated" and row.proof != "see its parts below"
    ]
    assert len(stated) > 1
    (told,) = [text for text in good.registration.cannot_show if "rest on the record" in text]
    assert told.startswith(f"{len(stated)} conditions rest")
    assert all(clause in told for clause in stated)


def test_as_many_photos_are_printed_as_a_condition_says(good: Made) -> None:
    (page,) = good.registration.asked
    row = next(row for row in page.conditions if row.clause == "3.13")
    printed_of: dict[str, list[int]] = {}
    for group in good.registration.photo_groups:
        for shot in group.shots:
            number, what = re.fullmatch(r"Photo (\d+)\. (.+?)(?:, slope .+)?", shot.title).groups()  # type: ignore[union-attr]
            printed_of.setdefault(what.lower(), []).append(int(number))
    asked = ("deck", "ice barrier", "underlayment", "field")
    assert row.because == f"{sum(len(printed_of[phase]) for phase in asked)} photos on file."
    # As an office would write the numbers: two by two, and a run of three from first to last.
    assert {phase: printed_of[phase] for phase in asked} == {
        "deck": [5, 6],
        "ice barrier": [11, 12],
        "underlayment": [13, 14],
        "field": [17, 18, 19],
    }
    assert row.proof == (
        "photos printed below: deck 5 and 6; ice barrier 11 and 12; underlayment 13 and 14; field 17 to 19"
    )


def test_every_photo_a_condition_rests_on_is_printed(good: Made) -> None:
    (asked,) = good.known.assessment.asked
    rested = {
        reference.text
        for condition in asked.level.conditions
        for leaf in condition.leaves
        for reference in leaf.references
        if reference.kind == "photo"
    }
    assert rested
    assert rested <= {wanted.file for wanted in good.registration.pictures}


def test_the_repairs_are_told_with_place_and_sheets_and_no_price(good: Made) -> None:
    (repair,) = good.registration.repairs
    assert repair.place == "at the eave, 6 ft from the left rake"
    assert repair.done == "sheets replaced, 2 sheets of 4 ft by 8 ft"
    assert "192" not in everything(good.registration.repairs)


def test_places_are_fields_and_never_lines_of_the_office_s_file(good: Made) -> None:
    for doc in (good.registration, good.handover):
        assert not re.search(r"job\.yaml(:|, line)", everything(doc))
    (page,) = good.registration.asked
    row = next(row for row in page.conditions if row.clause == "3.14")
    assert row.proof == "record: warranties 1, owner signed"


def test_a_certification_by_another_maker_or_of_other_days_is_left_out(good: Made) -> None:
    assert "Tarnholt" not in everything(good.registration.installer)
    late = made({"company.certifications.0.valid_from": "2026-09-20"}).registration
    assert "no certification by Kestrelmoor" in everything(late.installer)


def test_signature_lines_only_where_something_is_to_be_signed(good: Made) -> None:
    assert good.registration.signatures == ("Sent for the company, Full Assembly level",)
    unsigned = made({"job.warranties.0.owner_signed_on": None}).registration
    assert unsigned.signatures[0] == "Owner, for the Full Assembly level"
    sent = made({"job.warranties.0.submitted_on": "2026-10-01"}).registration
    assert sent.signatures == ()


def test_without_a_warranty_there_is_nothing_to_register() -> None:
    doc = made({"job.warranties": None}).registration
    assert doc.asked == ()
    assert doc.ready == NOT_READY
    chosen = made({"job.warranties": "n/a, the owner chose products without one"}).registration
    assert chosen.ready == "NOTHING TO REGISTER"


def test_a_divider_is_one_page_whatever_the_paper_is_called() -> None:
    job = known_good()
    paper = job.case.papers[0].model_copy(
        update={"file": f"papers/{'x' * 9000}.pdf", "backs": "y " * 5000}
    )
    made_pages = dividers([paper, paper], job.case, job.facts, job.run)
    assert len(pages(printed(made_pages).data)) == 2


def test_what_a_met_condition_leaves_open_stands_beside_it_each_time(good: Made) -> None:
    """A deck of an accepted kind is no sound deck: nobody judged that, and both tables say so."""
    said = "that it is sound is not judged here"
    (page,) = good.registration.asked
    (row,) = [row for row in page.checklist if row.reserve]
    assert (row.met, row.reserve) == (MET_IN_PART, f"{said.capitalize()}.")
    assert said in row.because
    printed_pages = pages(printed(good.registration).data)
    assert sum(said in page.lower() for page in printed_pages) == 2
    assert said in printed_pages[1].lower()
