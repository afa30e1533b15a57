"""What marks propose for a record: the one line they fit, and a doubt where there is one."""

from collections.abc import Mapping, Sequence
from datetime import date
from pathlib import Path

import pytest

from dossier import RECORD_VERSION
from dossier.deeds import reading_papers
from dossier.deeds.marking import found_by_marks, products_by_gtin
from dossier.deeds.papers_at_hand import PapersAsked
from dossier.gather import codes, marks
from dossier.gather.codes import Mark
from dossier.gather.found import Found
from dossier.gather.marks import found_in_marks
from dossier.hand.file import draft, look
from dossier.hand.means import Change
from dossier.record.job import Job
from dossier.record.read import JOB_FILE, read_job
from tests.gather.conftest import put
from tests.gather.symbols import code_128, gs1_128, photo_of

FIELD, STARTER, CAPS, OTHER = "09520000000011", "09520000000028", "09520000000035", "09521234543213"
"""Numbers of the range 952, which GS1 keeps for examples (GS1 General Specifications, 1.4.2, from memory)."""

PRODUCTS = {
    FIELD: ["Fenwright 40"],
    STARTER: ["Firstrow starter"],
    CAPS: ["Crownline hip and ridge"],
    OTHER: ["Longfell 50"],
}

Marks = Mapping[str, Sequence[Mark]]


def found(
    job: Path,
    seen: Marks,
    monkeypatch: pytest.MonkeyPatch,
    products: Mapping[str, Sequence[str]] = PRODUCTS,
) -> tuple[Found, ...]:
    """Return what is proposed where each photo shows these marks."""
    for file in seen:
        put(job / file, file.encode())
    monkeypatch.setattr(marks, "marks_in", lambda data: tuple(seen[data.decode()]))
    return found_in_marks(read_job(job, RECORD_VERSION), job, list(seen), products)


def one(
    job: Path, mark: Mark, monkeypatch: pytest.MonkeyPatch
) -> tuple[str, str | None, int, bool]:
    """Return fact, doubt, number of changes and known of the one proposal for a mark."""
    (only,) = found(job, {"photos/wrapper.jpg": [mark]}, monkeypatch)
    return str(only.what), only.doubt and str(only.doubt), len(only.changes), only.known


def test_wrappers_are_looked_at_before_photos(job: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    put(job / "papers/wrapper-1.jpg", b"wrapper")
    put(job / "photos/field/1.jpg", b"photo")
    looked: list[str] = []

    def nothing(_: object, __: Path, files: Sequence[str], ___: object) -> tuple[Found, ...]:
        looked.extend(files)
        return ()

    monkeypatch.setattr(reading_papers, "found_by_marks", nothing)
    reading_papers.read_papers(PapersAsked(job, photos=True), lambda _: date(2026, 10, 20))
    assert looked == ["papers/wrapper-1.jpg", "photos/field/1.jpg"]


def says(gtin: str | None, lot: str = "", **more: object) -> Mark:
    """Return a mark with its text as a wrapper prints it."""
    text = f"(01){gtin}" + (f"(10){lot}" if lot else "")
    return Mark(text, gtin, lot=lot, **more)  # type: ignore[arg-type]


def without_lots(job: Path, *old_and_new: tuple[str, str]) -> None:
    """Change lines of the record."""
    path = job / JOB_FILE
    text = path.read_text()
    for old, new in old_and_new:
        assert old in text
        text = text.replace(old, new)
    path.write_text(text)


STARTER_LINE = "2 bundles Firstrow starter, lot 77-031 x 2"
BARE_STARTER = (STARTER_LINE, "2 bundles Firstrow starter")


def test_a_lot_is_proposed_for_the_line_that_lacks_it_and_written_there(
    job: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    without_lots(job, BARE_STARTER)
    mark = says(STARTER, "77-031")
    (only,) = found(job, {"photos/field/wrapper.jpg": [mark]}, monkeypatch)
    assert str(only.what) == "lot 77-031 of Firstrow starter on ticket 55120"
    assert (only.file, only.stands) == ("photos/field/wrapper.jpg", f"(01){STARTER}(10)77-031")
    assert (only.doubt, only.known) == (None, False)
    assert written_lots(job, [only], 1) == [("77-031", None)]


def written_lots(job: Path, agreed: Sequence[Found], line: int) -> list[tuple[str, object]]:
    """Return the lots of a line of the first delivery once these are agreed to, as they are read."""
    changes = [change for one in agreed for change in one.changes]
    # Whoever agrees to some of several new entries of a list counts them anew.
    if all(change.path[-1].isdigit() for change in changes):
        known = len(read_job(job, RECORD_VERSION).needed.deliveries[0].lines[line].lots)
        assert len({change.path for change in changes}) == len(changes)
        changes = [
            Change((*change.path[:-1], str(known + number)), change.value)
            for number, change in enumerate(changes)
        ]
    (job / JOB_FILE).write_bytes(draft(look(job, JOB_FILE), Job, changes).after)
    return [
        (lot.mark, lot.quantity)
        for lot in read_job(job, RECORD_VERSION).needed.deliveries[0].lines[line].lots
    ]


def test_two_lots_of_one_line_are_both_written(job: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    without_lots(job, BARE_STARTER)
    seen = {"photos/a.jpg": [says(STARTER, "77-031")], "photos/b.jpg": [says(STARTER, "80-500")]}
    both = found(job, seen, monkeypatch)
    assert [one.doubt for one in both] == [None, None]
    assert written_lots(job, both, 1) == [("77-031", None), ("80-500", None)]


def test_of_two_lots_the_second_alone_can_be_agreed_to(
    job: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    without_lots(job, BARE_STARTER)
    seen = {"photos/a.jpg": [says(STARTER, "77-031")], "photos/b.jpg": [says(STARTER, "80-500")]}
    assert written_lots(job, found(job, seen, monkeypatch)[1:], 1) == [("80-500", None)]


def test_a_further_lot_goes_behind_those_on_record(
    job: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    without_lots(job, ("0012345 x 30; 0012346 x 12", "0012345 x 30"))
    (only,) = found(job, {"photos/a.jpg": [says(FIELD, "0077777")]}, monkeypatch)
    assert only.doubt is None
    assert [lot for lot, _ in written_lots(job, [only], 0)] == ["0012345", "0077777"]


@pytest.mark.parametrize("lot", ["A x 3", "B on front", "C;D", "n/a, none", "1E5", "#7", "yes"])
def test_a_lot_of_odd_signs_is_written_as_just_that(
    lot: str, job: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    without_lots(job, BARE_STARTER)
    (only,) = found(job, {"photos/a.jpg": [says(STARTER, lot)]}, monkeypatch)
    assert written_lots(job, [only], 1) == [(lot, None)]


def test_a_mark_on_many_pictures_is_proposed_once_by_the_first(
    job: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    without_lots(job, BARE_STARTER)
    seen = {f"photos/{name}.jpg": [says(STARTER, "77-031")] for name in "abc"}
    (only,) = found(job, seen, monkeypatch)
    assert only.file == "photos/a.jpg"


def test_what_the_record_says_already_is_known(job: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    expected = ("lot 0012345 of Fenwright 40 on ticket 55120", None, 0, True)
    assert one(job, says(FIELD, "0012345"), monkeypatch) == expected


def test_a_product_alone_is_known_where_a_ticket_has_it(
    job: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    assert one(job, says(FIELD), monkeypatch) == ("Fenwright 40 on ticket 55120", None, 0, True)


def test_date_serial_and_count_are_told_and_nothing_more(
    job: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    without_lots(job, BARE_STARTER)
    mark = says(STARTER, "80-500", made_on=date(2026, 8, 1), serial="A7", count=42)
    (only,) = found(job, {"photos/a.jpg": [mark]}, monkeypatch)
    assert (
        str(only.what)
        == "lot 80-500 of Firstrow starter on ticket 55120 (made 1 August 2026, serial A7, count 42)"
    )
    # A count on a wrapper is of pieces, on a pallet of what was loaded: neither is what was delivered here.
    assert written_lots(job, [only], 1) == [("80-500", None)]


DOUBTED = [
    (
        says(OTHER, "L-1"),
        (),
        "lot L-1 of Longfell 50",
        "No delivery of this job has Longfell 50.",
        0,
    ),
    (says(OTHER), (), "Longfell 50", "No delivery of this job has Longfell 50.", 0),
    (
        says("09521111111114", "L-1"),
        (),
        "lot L-1 of a product with number 09521111111114",
        "No product of a catalogue has this number. Where you know whose it is, add it to that product’s gtins "
        "in its catalogue.",
        0,
    ),
    (
        Mark("(01)09520000000012(10)X", None, "09520000000012", "X"),
        (),
        "lot X of an unknown product",
        "The check digit of 09520000000012 does not fit its other digits: it was read or printed wrongly.",
        0,
    ),
    (
        Mark("(10)0012345", lot="0012345"),
        (),
        "lot 0012345 of an unknown product",
        "The mark names no product.",
        0,
    ),
    (
        Mark("0012345", says_what=False),
        (),
        "a mark that reads “0012345”",
        "It does not say what it is a number of, so nothing is proposed for it.",
        0,
    ),
    (
        says(STARTER, "0012345"),
        (BARE_STARTER,),
        "lot 0012345 of Firstrow starter on ticket 55120",
        "The record has this lot for Fenwright 40 on ticket 55120.",
        1,
    ),
    (
        says(FIELD, "0012354"),
        (("0012345 x 30; 0012346 x 12", "0012345 x 30"),),
        "lot 0012354 of Fenwright 40 on ticket 55120",
        "The record has lot 0012345, nearly the same: look which is right.",
        1,
    ),
    (
        says(STARTER, "80-500"),
        (),
        "lot 80-500 of Firstrow starter on ticket 55120",
        "The lots on record make up all 2 bundles that came.",
        1,
    ),
    (
        says(STARTER, "80-500"),
        ((STARTER_LINE, "2 bundles Firstrow starter, returned 2"),),
        "lot 80-500 of Firstrow starter on ticket 55120",
        "All of it went back.",
        1,
    ),
]


@pytest.mark.parametrize(("mark", "edits", "what", "doubt", "changes"), DOUBTED)
def test_a_mark_that_fits_no_one_line_is_doubted(
    mark: Mark,
    edits: Sequence[tuple[str, str]],
    what: str,
    doubt: str,
    changes: int,
    job: Path,
    monkeypatch: pytest.MonkeyPatch,
) -> None:
    without_lots(job, *edits)
    assert one(job, mark, monkeypatch) == (what, doubt, changes, False)


def test_a_lot_made_after_its_delivery_is_doubted(
    job: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    without_lots(job, BARE_STARTER)
    for day, doubted in ((date(2026, 9, 12), True), (date(2026, 9, 11), False)):
        _, doubt, _, _ = one(job, says(STARTER, "80-500", made_on=day), monkeypatch)
        assert (doubt is not None) is doubted
        if doubted:
            assert (
                doubt
                == "It was made on 12 September 2026, after this delivery came on 11 September 2026."
            )


def test_where_two_lines_fit_each_is_shown_and_doubted(
    job: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    without_lots(
        job,
        BARE_STARTER,
        ("lines: 2 sheets OSB panel 7/16 in", "lines: 1 bundle Firstrow starter"),
    )
    both = found(job, {"photos/a.jpg": [says(STARTER, "80-500")]}, monkeypatch)
    doubt = "Firstrow starter stands on 2 lines; the mark does not say on which."
    assert [(str(one.what), str(one.doubt)) for one in both] == [
        ("lot 80-500 of Firstrow starter on ticket 55120", doubt),
        ("lot 80-500 of Firstrow starter on ticket 55164", doubt),
    ]
    assert [one.changes[0].path[:4] for one in both] == [
        ("deliveries", "0", "lines", "1"),
        ("deliveries", "1", "lines", "0"),
    ]


def test_lots_that_do_not_apply_by_the_record_are_doubted(
    job: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    line = "{product: Firstrow starter, quantity: 2, unit: bundles, lots: 'n/a, wrappers gone'}"
    without_lots(job, (STARTER_LINE, line))
    (only,) = found(job, {"photos/a.jpg": [says(STARTER, "80-500")]}, monkeypatch)
    assert str(only.doubt) == "The record says that lots do not apply here: wrappers gone"
    assert written_lots(job, [only], 1) == [("80-500", None)]


def test_product_and_lot_of_two_codes_of_one_picture_are_joined_and_doubted(
    job: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    without_lots(job, BARE_STARTER)
    seen = {"photos/a.jpg": [says(STARTER), Mark("(10)80-500", lot="80-500")]}
    (only,) = found(job, seen, monkeypatch)
    assert str(only.what) == "lot 80-500 of Firstrow starter on ticket 55120"
    assert str(only.doubt) == (
        "Product and lot stand in two bar codes of this picture: look whether they belong together."
    )


def test_a_number_of_two_products_is_doubted(job: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    both = {FIELD: ["Fenwright 40", "Fenwright 30"]}
    (only,) = found(job, {"photos/a.jpg": [says(FIELD)]}, monkeypatch, both)
    assert str(only.doubt) == "The catalogues give this number to Fenwright 40 and Fenwright 30."


def test_without_the_packages_nothing_is_found_and_nothing_fails(
    job: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr(codes, "find_spec", lambda _: None)
    assert found_in_marks(read_job(job, RECORD_VERSION), job, ["photos/a.jpg"], PRODUCTS) == ()


def test_from_wrapper_photo_to_record_by_the_catalogue_of_the_office(job: Path) -> None:
    (catalogue,) = [
        path
        for path in (job.parent / "terms").glob("*.catalogue.yaml")
        if "Firstrow starter" in path.read_text()
    ]
    old = "  - product: Firstrow starter\n"
    catalogue.write_text(
        catalogue.read_text().replace(old, f"{old}    gtins: 9520000000028, {OTHER}\n")
    )
    assert products_by_gtin(job.parent) == {
        STARTER: ["Firstrow starter"],
        OTHER: ["Firstrow starter"],
    }
    without_lots(job, BARE_STARTER)
    put(job / "photos/field/wrapper.jpg", photo_of(gs1_128(f"01{STARTER}1080-500")))
    put(job / "photos/field/other.jpg", photo_of(code_128("0012345")))
    put(job / "photos/field/broken.jpg", b"nothing")
    files = [
        "photos/field/broken.jpg",
        "photos/field/other.jpg",
        "photos/field/wrapper.jpg",
        "photos/gone.jpg",
    ]
    read = read_job(job, RECORD_VERSION)
    bare, lot = found_by_marks(read, job, files)
    assert str(bare.what) == "a mark that reads “0012345”"
    assert (str(lot.what), lot.doubt) == ("lot 80-500 of Firstrow starter on ticket 55120", None)
    assert written_lots(job, [lot], 1) == [("80-500", None)]
