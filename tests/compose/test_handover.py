"""The handover: what it must hold, what it must never say, and what an incomplete job prints."""

import re
from collections.abc import Iterator
from dataclasses import replace
from decimal import Decimal

import pytest

from dossier.compose.handover.handover import Handover
from dossier.compose.parts.places import IN_PART, backing_word
from dossier.compose.parts.shared import plain_item
from dossier.reading.model import Model
from dossier.said import File, say
from dossier.words import Backing
from tests.compose.made import EMPTIED, Made, everything, made, resale, texts
from tests.known_good import known_good


def prices_in(text: str, job: Model) -> list[str]:
    """Return every amount of the job's record that the text prints, and a dollar sign."""
    amounts = set(_amounts(job))
    assert Decimal("14860.00") in amounts
    written = {way.format(amount) for amount in amounts for way in ("{:,.2f}", "{:.2f}")}
    return sorted(mark for mark in (*written, "$") if mark in text)


def _amounts(thing: object) -> Iterator[Decimal]:
    if isinstance(thing, Decimal):
        yield thing
    elif isinstance(thing, tuple):
        for part in thing:
            yield from _amounts(part)
    elif isinstance(thing, Model):
        for name in type(thing).model_fields:
            yield from _amounts(getattr(thing, name))


REGISTERED = {
    "job.warranties.0.submitted_on": "2026-10-01",
    "job.warranties.0.received_on": "2026-10-03",
    "job.warranties.0.accepted_on": "2026-10-10",
    "job.warranties.0.confirmation": "KM-77120",
}


def pair(rows: tuple[object, ...], label: str) -> str:
    """Return the text beside a label; the label must stand exactly once."""
    found = [str(row.text) for row in rows if row.label == label]  # type: ignore[attr-defined]
    assert len(found) == 1, f"{label}: {found}"
    return found[0]


def test_the_first_page_says_who_what_and_when(good: Made) -> None:
    cover = good.handover.cover
    assert cover.address == "118 Plover Lane, Halvorsted"
    assert pair(cover.summary, "Laid by").endswith("; last day of work 16 September 2026")
    assert (
        pair(cover.summary, "Permit") == "R-2026-1187, Vintermark County, closed 21 September 2026"
    )
    assert "Fenwright 40, Slate Grey, by Kestrelmoor" in pair(cover.summary, "Roof")
    assert "must reach Kestrelmoor by 20 November 2026" in pair(cover.summary, "Warranty")
    assert cover.photo is not None
    assert re.match(r"Photo \d+, finished, slope front", cover.photo.alt)


def test_areas_carry_metric_in_brackets(good: Made) -> None:
    # 40 ft by 14 ft at 6:12 is 560 x sqrt(1.25) = 626.1 sq ft, and a square foot is 0.09290304 m²
    # exactly (NIST Special Publication 811, appendix B.8): 58.2 m² a slope, 116.3 m² together.
    areas = [row.area for row in good.handover.slopes]
    assert areas == ["626 sq ft (58.2 m²)", "626 sq ft (58.2 m²)", "1,252 sq ft (116.3 m²)"]
    # 40 ft x 0.3048 = 12.192 m, by the same source.
    assert "eave 40 ft (12.2 m)" in good.handover.slopes[0].edges


def test_layers_go_from_the_deck_up_with_their_lots(good: Made) -> None:
    roles = list(dict.fromkeys(layer.role for layer in good.handover.layers))
    order = ["Deck", "Ice barrier", "Underlayment", "Starter", "Field shingle", "Hip and ridge"]
    assert [role for role in roles if role in order] == order
    lots = {layer.product: layer.lots for layer in good.handover.layers}
    assert lots["Fenwright 40"] == "0012345 × 30; 0012346 × 12"
    assert lots["Icehold ice barrier"] == "1E5 × 3"


def test_a_repair_shows_place_cause_approval_and_both_photos(good: Made) -> None:
    (repair,) = good.handover.repairs
    assert pair(repair.pairs, "Where") == "at the eave, 6 ft from the left rake"
    assert pair(repair.pairs, "Agreed for the owner") == "Marit Ekdahl, 14 September 2026"
    assert repair.before is not None
    assert repair.after is not None
    assert (repair.before.caption, repair.after.caption) == ("Before", "After")


def test_a_repair_without_a_photo_says_so() -> None:
    (repair,) = made({"facts.photos/deck-repair/back-after.jpg": None}).handover.repairs
    assert repair.after is None
    assert repair.no_after == "No photo from after this repair is on file."


def test_each_photo_is_wanted_and_shown_once(good: Made) -> None:
    doc = good.handover
    files = [wanted.file for wanted in doc.pictures if not wanted.from_office]
    assert sorted(files) == sorted(good.known.facts.photos)
    shots = [shot.name for group in doc.photo_groups for shot in group.shots]
    shots += [shot.name for r in doc.repairs for shot in (r.before, r.after) if shot]
    shots += [doc.cover.photo.name] if doc.cover.photo else []
    assert sorted(shots) == sorted(w.name for w in doc.pictures if not w.from_office)


def test_a_photo_that_does_not_open_is_told_and_not_wanted() -> None:
    file = "photos/deck/back.jpg"
    doc = made({f"facts.{file}.fault": "is cut short."}).handover
    assert file not in [wanted.file for wanted in doc.pictures]
    assert "1 listed photo is not there or cannot be opened: photo 5 (deck/back.jpg)." in doc.gaps


def test_an_upright_photo_is_printed_narrower() -> None:
    doc = made({"facts.photos/deck/back.jpg.size_px": (900, 1200)}).handover
    widths = {wanted.file: wanted.width_mm for wanted in doc.pictures}
    lying, upright = widths["photos/deck/front.jpg"], widths["photos/deck/back.jpg"]
    # Both end up equally tall: 72 x 3/4 = 54 mm.
    assert (lying, lying * 3 // 4) == (72, 54)
    assert upright * 1200 / 900 == pytest.approx(54, abs=1.5)


def test_a_level_that_is_not_registered_is_not_promised(good: Made) -> None:
    states = {block.title: (block.holds_now, block.state) for block in good.handover.coverages}
    assert states["Full Assembly level"] == (False, "only once Kestrelmoor confirms it")
    assert states["Shingle level"] == (True, "holds now")
    (level,) = good.handover.levels
    assert level.short == "the Shingle level holds now"
    assert "the warrantor decides" in " ".join(level.sentences)


def test_a_registered_level_holds() -> None:
    doc = made(REGISTERED).handover
    (level,) = doc.levels
    assert level.short == "the Full Assembly level holds now"
    assert level.registration == (
        "Registered: Kestrelmoor accepted it on 10 October 2026, confirmation number KM-77120."
    )
    assert [block.title for block in doc.coverages if block.holds_now] == [
        "Full Assembly level",
        "Ormskar workmanship coverage",
    ]


def test_received_and_never_confirmed_is_said() -> None:
    doc = made({"job.warranties.0.received_on": "2026-10-03"}).handover
    (level,) = doc.levels
    assert "no confirmation" in level.registration
    assert "confirmation is not on record" in level.short


def test_a_level_that_one_product_spoils_is_not_counted_on() -> None:
    edit = {"job.deliveries.0.lines.2": "2 bundles Ridgeback caps, lot R-1 x 2"}
    doc = made(edit).handover
    assert "Full Assembly level" not in [block.title for block in doc.coverages]
    assert "does not count on it" in " ".join(doc.levels[0].sentences)


def test_coverage_rows_say_when_and_how_it_falls(good: Made) -> None:
    (block,) = [b for b in good.handover.coverages if b.title == "Shingle level"]
    rows = {row.part: row for row in block.rows}
    # The invented terms, clause 2.1: ten full years, then by a whole term of 40 years, never below 20 %.
    assert rows["Material"].full_until == "21 September 2036"
    assert rows["Material"].ends.startswith("lifetime")
    # 1 - 240/480 is 50 %, 1 - 360/480 is 25 %; 20 % is reached at 384 months, 32 years. On the day after
    # ten years 121 months have begun: 1 - 121/480 is 74.8 %.
    assert rows["Material"].falls == (
        "Falls to 74.8\u00a0% at once, then month by month: 50\u00a0% after 20 years, 25\u00a0% after "
        "30 years; never under 20\u00a0%, which it reaches after 32 years."
    )
    assert rows["Labour"].falls == "In full until it ends."
    # Clause 2.4: 110 mph, which is 177 km/h (1.609344 km a mile; NIST SP 811).
    assert "110 mph (177 km/h)" in rows["Wind"].pays
    assert rows["Wind"].ends == "21 September 2036"


def test_a_start_that_is_not_on_record_gives_no_day() -> None:
    doc = made({"job.job.completion_signed_on": None}).handover
    for block in doc.coverages:
        assert not re.search(r"\b20\d\d\b", everything(block.rows)), block.title
    assert "not on record" in doc.coverages[0].state


def test_passing_on_gives_the_deadline_in_words(good: Made) -> None:
    (one,) = [p for p in good.handover.passing_on if p.title.startswith("Shingle level")]
    assert pair(one.facts, "Deadline") == (
        "The notice must be received within 60 days of the closing of the sale."
    )
    assert "a copy of the deed" in pair(one.facts, "Notice must hold")
    assert pair(one.facts, "Next owner has") == (
        "20 years, counted from 21 September 2026 and not from the sale."
    )


def test_the_next_owners_years_never_read_as_counted_from_the_sale() -> None:
    blank = made({"job.job.completion_signed_on": None}).handover
    for one in blank.passing_on:
        assert pair(one.facts, "Next owner has").endswith(
            "counted from its start and not from the sale."
        )
    (full,) = [p for p in blank.passing_on if p.title.startswith("Full Assembly level")]
    assert pair(full.facts, "Only while") == (
        "the roof is at most 20 years old, counted from its start."
    )


def test_a_next_owner_without_a_term_of_his_own_steps_into_the_first_owners() -> None:
    edit = {"company.workmanship.coverage.transfer.second_owner_years": None}
    (own,) = [p for p in made(edit).handover.passing_on if "workmanship" in p.title]
    assert pair(own.facts, "Next owner has") == (
        "Workmanship as long as the first owner would, counted from 21 September 2026 and not from the sale."
    )


def test_a_transfer_of_nought_times_is_none() -> None:
    edit = {"company.workmanship.coverage.transfer.times": "0"}
    (own,) = [p for p in made(edit).handover.passing_on if "workmanship" in p.title]
    assert [one.label for one in own.facts] == ["Passes on"]
    assert own.facts[0].text == "No, by its terms."


def test_a_signature_that_is_not_on_record_is_not_told_as_given() -> None:
    lost = {"job.installation.nails_per_shingle": "4", "job.job.completion_signed_on": None}
    doc = made(lost).handover
    says = "the day the owner signs that the work is complete (not on record)"
    assert f"from {says}, what holds is the Shingle level" in everything(doc.cover)
    assert f"From {says}, what holds is" in everything(doc.levels)
    assert "the owner signed that" not in everything((doc.cover, doc.levels, doc.coverages))


@pytest.mark.parametrize(
    ("fee", "shown"), [("no fee", "No fee."), ("$ 50", "The terms name a fee")]
)
def test_a_transfer_fee_is_said_without_its_amount(fee: str, shown: str) -> None:
    edit = {"terms.kestrelmoor-2026.levels.0.coverage.transfer.fee": fee}
    (one,) = [p for p in made(edit).handover.passing_on if p.title.startswith("Shingle level")]
    assert pair(one.facts, "Cost").startswith(shown)


def test_no_price_stands_in_it(good: Made) -> None:
    for document in (good.handover, good.registration, resale(good.known)):
        assert prices_in(everything(document), good.known.case.job) == []


def test_the_search_for_prices_can_find_one() -> None:
    # The office's own list prints amounts, which shows that the search above looks for the right thing.
    office = made({"job.money.invoices": "2026-041, 2026-09-22, 15,100.00"})
    found = prices_in(everything(office.punch_list), office.known.case.job)
    assert found == ["$", "15,052.00", "15,100.00"]


def test_it_counts_no_days(good: Made) -> None:
    for document in (good.handover, resale(good.known)):
        assert not re.search(r"\bdays? (?:left|past)\b", everything(document))


def test_a_resale_copy_names_no_owner(good: Made) -> None:
    text = everything(resale(good.known))
    for private in ("Ekdahl", "555-0141", "m.ekdahl@example.com", "55120"):
        assert private not in text
    assert "not shown in this document" in text
    assert "Ekdahl" in everything(good.handover)


PLANTED: dict[str, object] = {
    "job.slopes.0": "Marit Ekdahl side, faces S, 6:12, plan 40 ft x 14 ft, eave 40 ft, rakes 31.3 ft, "
    "ridge 40 ft, pipes 1",
    "job.slopes.1": "back, faces N, 1.5:12, plan 40 ft x 14 ft, eave 40 ft, rakes 28.2 ft",
    "job.building.attics.0.space": "Marit Ekdahl studio",
    "job.building.attics.0.exhaust": "6 Marit Ekdahl vent",
    "job.repairs.0.slope": "Marit Ekdahl side",
    "job.repairs.0.place": "behind Ekdahl's chimney",
    "job.repairs.0.cause": None,
    "photos.0": {"file": "photos/before/front.jpg", "caption": "Ekdahl's car in front"},
}
"""An owner's name in every field of the record that a person may type one into and a buyer is shown."""


@pytest.mark.parametrize(
    "edits",
    [
        {},
        # A blank makes an item, and an item repeats what the record says around the blank.
        {"job.building.attics.0.floor_area_sqft": None},
        {"job.building.attics.0.exhaust": "1 ft Marit Ekdahl vent, 18 sq in per ft"},
        {"job.building.attics.0.space": "Ekdahl's studio"},
        {"job.building.attics.0": {"space": "Marit Ekdahl studio"}},
        {"job.slopes.0": "Marit Ekdahl side, faces S, 1.5:12, plan 40 ft x 14 ft, eave 40 ft"},
        {"job.slopes.0": "Marit Ekdahl side, faces S", "job.installation": None},
    ],
    ids=range(7),
)
def test_no_string_of_a_resale_copy_names_an_owner(edits: dict[str, object]) -> None:
    known = known_good({**PLANTED, **edits})
    whole = made(known=known)
    assert everything(whole.handover).count("Ekdahl") > 6, "planted where it is printed"
    found = [text for text in texts(resale(known)) if "Ekdahl" in text]
    assert found == []


def test_what_was_worked_out_is_still_found_where_a_label_lost_a_name() -> None:
    """40 ft by 14 ft at 6:12 is 560 x sqrt(1.25) = 626.1 sq ft."""
    slope = PLANTED["job.slopes.0"]
    buyer = resale(known_good({"job.slopes.0": slope}))
    assert [row.label for row in buyer.slopes] == ["the owner side", "back", "Whole roof"]
    assert buyer.slopes[0].area.startswith("626 sq ft")
    assert buyer.slopes[0].worked_out


def test_an_item_before_the_sale_says_the_name_to_its_owner() -> None:
    known = known_good({"job.building.attics.0": {"space": "Marit Ekdahl studio"}})
    said = "Whether attic {} breathes as it should cannot be told: "
    for gaps, name in (
        (made(known=known).handover.gaps, "Marit Ekdahl studio"),
        (resale(known).gaps, "the owner studio"),
    ):
        assert [text for text in gaps if text.startswith(said.format(name))]


def test_a_product_without_a_use_is_told_by_the_attic_record() -> None:
    ticket = "job.deliveries.0.lines.0"
    lines = {ticket: {"product": "Box  Vent", "quantity": "4", "unit": "pieces"}}

    def rows(exhaust: str | None) -> list[tuple[str, str]]:
        edits = {**lines, "job.building.attics.0.exhaust": exhaust}
        doc = made(edits)
        assert [row.role for row in doc.registration.products if row.product == "Box  Vent"] == [
            row.role for row in doc.handover.layers if row.product == "Box  Vent"
        ]
        return [(r.role, r.purpose) for r in doc.handover.layers if r.product == "Box  Vent"]

    assert rows("4 Box vent, 50 sq in each") == [
        ("Exhaust vent by the attic record", "The ticket names no use")
    ]
    assert rows("36 ft Highdraft ridge vent") == [("Use not on record", "")]
    assert rows(None) == [("Use not on record", "")]


def test_papers_kept_back_are_counted_and_not_named(good: Made) -> None:
    text = everything(good.handover)
    for file in ("invoice-2026-041", "ticket-55120", "contract.pdf", "waiver-crew"):
        assert file not in text
    assert "kept at the office" in text
    assert "inspection-card.pdf" in text


def test_the_day_of_the_invoice_is_for_those_who_may_see_the_money(good: Made) -> None:
    assert str(good.known.assessment.statement("invoice").text).endswith("22 September 2026")  # type: ignore[union-attr]
    assert "22 September 2026" not in everything(good.handover)


def test_an_item_never_names_a_paper_that_is_kept_back(good: Made) -> None:
    item = replace(
        good.known.punch_list.items[0],
        says=say("{file} is cut short.", file=File("papers/invoice.pdf")),
    )
    assert str(plain_item(item, ())) == "papers/invoice.pdf is cut short."
    assert "invoice" not in str(plain_item(item, ("papers/invoice.pdf",)))


def test_a_very_long_address_is_clipped_in_the_heading_and_whole_below() -> None:
    address = "118 Plover Lane " * 40
    cover = made({"job.job.address": address}).handover.cover
    assert len(cover.address) < 200
    assert pair(cover.summary, "Address").split() == address.split()


def test_every_statement_has_its_backing_word(good: Made) -> None:
    statements = good.known.assessment.statements
    assert [row.backing for row in good.handover.backed] == [
        backing_word(one.backing, one.by_slope) for one in statements
    ]
    reviewed = {
        "photos.0": {"file": "photos/deck/front.jpg", "reviewed": "Ida Torvik, 2026-09-15"},
        "job.installation.starter_at": None,
        "facts.photos/starter/front.jpg": None,
        "facts.photos/starter/back.jpg": None,
        "facts.papers/completion.pdf": None,
    }
    words = {row.backing for row in made(reviewed).handover.backed}
    assert words == {IN_PART, *(word.value for word in Backing)}


def test_what_is_absent_stands_under_what_is_not_on_file() -> None:
    doc = made({"job.installation.nails_per_shingle": None}).handover
    assert "Nails in each shingle: not on record." in doc.gaps


def test_nothing_missing_is_said_only_where_a_file_stands_behind_every_statement() -> None:
    letter = {"file": "papers/colour-choice.pdf", "kind": "registration confirmation"}
    confirmed = {
        **REGISTERED,
        "job.papers": [letter],
        "job.job.old_covering": "three-tab shingles",
    }
    assert made(confirmed).handover.gaps == ()
    accepted, stated = made({**confirmed, "facts.papers/completion.pdf": None}).handover.gaps
    # The terms ask for the signed completion, so that its condition is open although the maker accepted.
    assert accepted == (
        "The Full Assembly level of Kestrelmoor was accepted by Kestrelmoor, and this record does not show "
        "that every condition of it is met."
    )
    assert stated == "1 statement rests on the record alone, with no photo or paper behind it."


def test_a_registration_not_done_is_missing(good: Made) -> None:
    assert good.handover.gaps == (
        "The Full Assembly level of Kestrelmoor is not registered yet; its last day is 20 November 2026.",
        "Blank on these pages, where they say “not on record”: Old covering; What Kestrelmoor promises: "
        "Registration number.",
    )


def test_open_matters_show_on_the_first_page(good: Made) -> None:
    assert good.handover.cover.state.startswith("Everything")
    doc = made({"job.after_work.flues": None}).handover
    assert doc.cover.state.startswith("This record is not complete: 1 matter still open")


def test_an_emptied_job_says_what_is_not_on_record() -> None:
    job = known_good(EMPTIED)
    bare = made(known=replace(job, case=replace(job.case, photos=(), papers=())))
    for document in (bare.handover, bare.registration, bare.punch_list):
        assert "None" not in everything(document)
    doc: Handover = bare.handover
    assert pair(doc.cover.summary, "Laid by").endswith("; last day of work not on record")
    assert doc.cover.no_photo == "No photo of the finished roof is on file."
    for rows in (doc.photo_groups, doc.slopes, doc.repairs, doc.log):
        assert len(rows) == 0
    assert [layer.product for layer in doc.layers][1:] == ["No product on record"] * 6
    assert "Completion signed: not on record." in doc.gaps


def test_cautions_stand_in_every_handover(good: Made) -> None:
    labels = [row.label for row in good.handover.cautions]
    assert labels[:4] == ["Stay off the roof", "In the attic", "Carbon monoxide", "Snow and ice"]
    assert "Local code" in good.handover.defers


@pytest.mark.parametrize(("year", "warned"), [("1977", True), ("1978", False), (None, True)])
def test_old_paint_by_the_year(year: str | None, warned: bool) -> None:
    """40 CFR 745.103: target housing was built before 1978; an unknown year is taken for old."""
    doc = made({"job.building.year_built": year}).handover
    assert ("Do not sand" in pair(doc.cautions, "Old paint")) is warned


def test_no_string_is_blank_where_a_reader_looks(good: Made) -> None:
    for rows in (good.handover.cover.summary, good.handover.permit, good.handover.after_work):
        assert all(text.strip() for text in texts(rows))
