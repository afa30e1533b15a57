"""What stands as proof behind a condition, where something is kept back, went back or does not open."""

from dataclasses import replace

from dossier.case.readers import for_reader
from dossier.compose.packet.condition_rows import condition_rows
from dossier.words import Edition
from tests.compose.made import made
from tests.known_good import known_good


def test_a_kept_back_paper_is_told_by_its_kind() -> None:
    (page,) = made().registration.asked
    (row,) = [row for row in page.conditions if row.clause == "3.15"]
    assert row.proof == "paper: completion.pdf; invoice, kept at the office"


def test_photos_that_this_reader_is_not_shown_leave_no_empty_list() -> None:
    """A photo whose file names an owner is left out for a buyer; its number is not printed either."""
    known = known_good()
    case = for_reader(known.case, Edition.MAKER)
    kept = tuple(photo for photo in case.photos if "tear-off" not in photo.file)
    numbers = {photo.file: case.photo_numbers[photo.file] for photo in kept}
    (asked,) = known.assessment.asked
    bare = replace(case, photos=kept, photo_numbers=numbers)
    rows = condition_rows(bare, known.facts, asked.level.conditions)
    (row,) = [row for row in rows if row.clause == "3.9 b"]
    assert row.proof == "record: job, scope; 2 photos, not shown in this document"
    assert not any("photos ," in row.proof for row in rows)


def test_photos_that_do_not_open_are_named_and_dark_ones_are_not_among_them() -> None:
    edits = {
        "facts.photos/deck/back.jpg.fault": "is cut short.",
        "facts.photos/deck/front.jpg.fault": "is cut short.",
    }
    told = made(edits).registration.cannot_show
    assert (
        "2 listed photos are not there or cannot be opened: photos 5 (deck/back.jpg) and 6 (deck/front.jpg)."
        in told
    )


def test_lots_of_which_some_went_back_are_those_delivered() -> None:
    edit = {
        "terms.kestrelmoor-2026.form_order": ["lots"],
        "job.deliveries.0.lines.0": "42 bundles Fenwright 40, returned 4, lots 0012345 x 30; 0012346 x 12",
        "job.deliveries.0.lines.4": "3 rolls Icehold ice barrier, returned 1, lot 1E5 x 3",
    }
    (lots,) = made(edit).registration.asked[0].form
    assert (
        "field shingle, Fenwright 40: 0012345 × 30; 0012346 × 12 (as delivered; 4 bundles went back)"
        in lots.text
    )
    assert "1E5 × 3 (as delivered; 1 roll went back)" in lots.text
    assert lots.text.count("as delivered") == 2


def test_work_before_the_permit_is_told_as_such_and_not_as_in_time() -> None:
    """IRC R105.1 asks for the permit first; R105.5 only says how long one holds without work."""
    rows = {row.title: row for row in made({"job.permit.issued": "2026-09-15"}).registration.annex}
    row = next(row for title, row in rows.items() if title.startswith("Days from the permit"))
    assert row.result == "work began 1 day before the permit was issued"
    assert "within limit" not in str(row)
    assert "= -1" not in str(row)
