"""Golden text: what every page of every demo document says, and that the comparing can fail."""

from collections.abc import Callable
from pathlib import Path

import pytest

from tests.conftest import DEMO_DOCUMENTS, DEMO_JOBS, LATER_DOCUMENTS, MADE_FROM, pdf_with_text
from tests.golden_text import (
    GoldenMismatch,
    against,
    compare,
    golden_form,
    page_texts,
    reader_changed,
    stale,
)

GOLDEN = Path(__file__).parent / "golden"
ALL = [f"{job}/{document}" for job, document in (*DEMO_DOCUMENTS, *LATER_DOCUMENTS)]

ONE_PAGE = golden_form(["Roof of 118 Plover Lane\nFenwright 40"])


@pytest.mark.parametrize(("job", "document"), DEMO_DOCUMENTS)
def test_a_document_says_what_it_said(
    job: str, document: str, built: Callable[[str], Path], update_golden: bool
) -> None:
    actual = golden_form(page_texts(built(job) / f"{document}.pdf"))
    if base := MADE_FROM.get(document):
        actual = against(golden_form(page_texts(built(job) / f"{base}.pdf")), actual, base)
    compare(actual, GOLDEN / job / f"{document}.txt", update=update_golden)


def test_no_golden_text_is_left_of_a_document_that_is_gone(update_golden: bool) -> None:
    found = stale(GOLDEN, ALL)
    if update_golden:
        for path in found:
            path.unlink()
            if not any(path.parent.iterdir()):
                path.parent.rmdir()
        found = []
    assert found == [], "these belong to no document; --update-golden takes them away"


def test_the_texts_are_read_by_the_pinned_reader() -> None:
    assert reader_changed() is None


def test_an_equal_text_passes_and_clears_what_an_earlier_failure_kept(tmp_path: Path) -> None:
    golden, kept = tmp_path / "x.txt", tmp_path / "x.txt.actual"
    golden.write_bytes(ONE_PAGE.encode())
    kept.write_text("old")
    compare(ONE_PAGE, golden)
    assert not kept.exists()


def test_a_changed_page_is_noticed_shown_and_kept(tmp_path: Path) -> None:
    golden = tmp_path / "x.txt"
    golden.write_bytes(ONE_PAGE.encode())
    changed = ONE_PAGE.replace("Fenwright 40", "Fenwright 50")
    with pytest.raises(GoldenMismatch) as caught:
        compare(changed, golden)
    assert "\n-Fenwright 40\n+Fenwright 50" in str(caught.value)
    assert golden.read_bytes() == ONE_PAGE.encode(), "a mismatch never writes the golden text"
    assert (tmp_path / "x.txt.actual").read_bytes() == changed.encode()


@pytest.mark.parametrize(
    "changed",
    [
        golden_form(["Roof of 118 Plover Lane\nFenwright 40", ""]),
        golden_form(["Roof of 118 Plover Lane", "Fenwright 40"]),
        golden_form(["Fenwright 40\nRoof of 118 Plover Lane"]),
        golden_form([]),
        ONE_PAGE.replace("\n", "\r\n"),
        ONE_PAGE.rstrip("\n"),
    ],
    ids=["page added", "page parted", "order", "no page", "line ends", "last line end"],
)
def test_every_kind_of_change_is_noticed(tmp_path: Path, changed: str) -> None:
    golden = tmp_path / "x.txt"
    golden.write_bytes(ONE_PAGE.encode())
    with pytest.raises(GoldenMismatch):
        compare(changed, golden)


def test_what_a_document_says_otherwise_is_held_page_by_page() -> None:
    """A golden text against another keeps every line of its own, and tells any two documents apart."""
    base = golden_form(["Roof\nFenwright 40\nLot 1", "Slopes"])
    own = golden_form(["Roof\nFenwright 50\nLot 1", "Slopes\nSold 2031", "Papers"])
    said = against(base, own, "handover")
    assert said.splitlines()[:4] == [
        "3 pages, where they differ from handover",
        *("@@ page 1, line 2", "-Fenwright 40", "+Fenwright 50"),
    ]
    assert {"+Sold 2031", "+Papers"} <= {*said.splitlines()}
    assert "Lot 1" not in said
    assert against(base, base, "handover") == "2 pages, where they differ from handover\n"
    others = (
        ["Roof\nLot 1\nFenwright 50", "Slopes\nSold 2031", "Papers"],
        ["Roof\nFenwright 50\nLot 1\nSlopes", "Sold 2031", "Papers"],
        ["Roof\nFenwright 50\nLot 1", "Slopes\nSold 2031\nPapers"],
        ["Roof\nFenwright 50\nLot 1", "Sold 2031\nSlopes", "Papers"],
    )
    assert all(against(base, golden_form(pages), "handover") != said for pages in others)


def test_a_long_difference_is_cut_and_says_so(tmp_path: Path) -> None:
    golden = tmp_path / "x.txt"
    golden.write_text(golden_form([str(number) for number in range(300)]))
    with pytest.raises(GoldenMismatch, match=r"\.\.\. and \d+ lines more"):
        compare("", golden)


def test_a_missing_golden_text_fails_and_keeps_the_actual(tmp_path: Path) -> None:
    golden = tmp_path / "job" / "x.txt"
    with pytest.raises(GoldenMismatch, match="There is no golden text"):
        compare(ONE_PAGE, golden)
    assert not golden.exists()
    assert (tmp_path / "job" / "x.txt.actual").read_bytes() == ONE_PAGE.encode()


def test_a_golden_text_without_a_document_is_found(tmp_path: Path) -> None:
    for name in ("a/handover", "a/gone", "b/handover"):
        compare(ONE_PAGE, tmp_path / f"{name}.txt", update=True)
    assert stale(tmp_path, ["a/handover"]) == [tmp_path / "a/gone.txt", tmp_path / "b/handover.txt"]
    assert stale(tmp_path, ["a/handover", "a/gone", "b/handover"]) == []


def test_updating_writes_the_text_that_then_passes(tmp_path: Path) -> None:
    golden = tmp_path / "job" / "x.txt"
    with pytest.raises(GoldenMismatch):
        compare(ONE_PAGE, golden)
    compare(ONE_PAGE, golden, update=True)
    assert not golden.with_name("x.txt.actual").exists()
    compare(ONE_PAGE, golden)


def test_a_pdf_that_says_something_else_is_told_from_the_first() -> None:
    assert page_texts(pdf_with_text("Fenwright 40", "42 bundles")) == ["Fenwright 40\n42 bundles"]
    assert page_texts(pdf_with_text("Fenwright 50")) == ["Fenwright 50"]


def test_another_version_of_the_reader_is_told(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr("importlib.metadata.version", lambda _: "99.0")
    with pytest.raises(GoldenMismatch, match=r"pypdfium2 \S+ and 99\.0 is installed"):
        compare(ONE_PAGE, tmp_path / "x.txt")


def test_the_demo_has_every_job_the_golden_texts_were_made_from(update_golden: bool) -> None:
    """A job that vanishes from the demo takes its tests with it; this one stays."""
    if not update_golden:
        assert sorted(path.name for path in GOLDEN.iterdir() if path.is_dir()) == list(DEMO_JOBS)
    assert len(DEMO_JOBS) == 3
