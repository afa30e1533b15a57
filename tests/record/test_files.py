"""Photos and papers: what a file's place and name say, and how that meets what somebody listed."""

from pathlib import Path

import pytest

from dossier import RECORD_VERSION
from dossier.record.files import Paper, Photo, longest_start, placed_paper, placed_photo
from dossier.record.read import Listed, merge_files, read_job, read_photo_list
from dossier.words import PaperKind, Phase

HEAD = "record: 1\njob:\n  number: 1\n  address: a\n  locality: b\n"
LABELS = ("main", "main-front", "Porch", "garage S")


@pytest.mark.parametrize(
    ("file", "phase", "slope", "caption"),
    [
        ("photos/field/main-front-nails.jpg", Phase.FIELD, "main-front", "nails"),
        ("photos/field/main.jpg", Phase.FIELD, "main", None),
        ("photos/field/mainly-wet.jpg", Phase.FIELD, None, "mainly wet"),
        ("photos/Deck-Repair/PORCH_before_2.JPG", Phase.DECK_REPAIR, "Porch", "before 2"),
        ("photos/hip-and-ridge/cap.jpg", Phase.HIP_AND_RIDGE, None, "cap"),
        ("photos/deck/garage-s-20260914-101500-0a1b2c3d.jpg", Phase.DECK, "garage S", None),
        ("photos/deck/garage s-nails.jpg", Phase.DECK, "garage S", "nails"),
        ("photos/deck/called-otherwise-undated-0a1b2c3d.jpg", Phase.DECK, None, None),
        (
            "photos/deck-repair/garage-s-20260914-101500-0a1b2c3d-before.jpg",
            Phase.DECK_REPAIR,
            "garage S",
            "before",
        ),
        ("photos/IMG_2207.jpg", None, None, None),
        ("photos/unknown/main-1.jpg", None, None, None),
        ("photos/field/more/main-1.jpg", None, None, None),
    ],
)
def test_where_a_photo_lies(
    file: str, phase: Phase | None, slope: str | None, caption: str | None
) -> None:
    photo = placed_photo(file, LABELS)
    assert (photo.file, photo.phase, photo.slope, photo.caption) == (file, phase, slope, caption)


@pytest.mark.parametrize(
    ("file", "kind"),
    [
        ("papers/contract.pdf", PaperKind.CONTRACT),
        ("papers/change-order-1.pdf", PaperKind.CHANGE_ORDER),
        ("papers/insurance-certificate-2026.pdf", PaperKind.INSURANCE_CERTIFICATE),
        ("papers/Insurer-Scope.PDF", PaperKind.INSURER_SCOPE),
        ("papers/ticket_55120.pdf", PaperKind.TICKET),
        ("papers/contractor.pdf", None),
        ("papers/scan-0001.pdf", None),
    ],
)
def test_what_a_papers_name_says(file: str, kind: PaperKind | None) -> None:
    paper = placed_paper(file)
    assert (paper.file, paper.kind) == (file, kind)


def test_the_name_of_every_kind_is_read_back() -> None:
    for kind in PaperKind:
        assert placed_paper(f"papers/{kind.slug}-2.pdf").kind is kind
    for phase in Phase:
        assert placed_photo(f"photos/{phase.slug}/x.jpg", ()).phase is phase


def test_the_longest_label_wins() -> None:
    assert longest_start("main-front-2", LABELS) == "main-front"
    assert longest_start("main-back", LABELS) == "main"
    assert longest_start("back", LABELS) is None
    assert longest_start("x", ()) is None


def merged(tmp_path: Path, job: str, photos: str) -> Listed:
    """Return the files of a job whose folder holds two photos and two papers besides."""
    (tmp_path / "job.yaml").write_text(HEAD + job, encoding="utf-8")
    (tmp_path / "photos.yaml").write_text(photos, encoding="utf-8")
    return merge_files(
        read_job(tmp_path, RECORD_VERSION),
        read_photo_list(tmp_path),
        ["photos/field/front-nails.jpg", "photos/IMG_1.jpg", "photos/deck/front.jpg"],
        ["papers/scan.pdf", "papers/invoice-7.pdf"],
    )


def test_what_somebody_listed_wins_over_the_place(tmp_path: Path) -> None:
    got = merged(
        tmp_path,
        "slopes:\n  - front\n  - back\npapers:\n  - file: papers/scan.pdf\n    kind: permit\n",
        "photos:\n"
        "  - file: photos/IMG_1.jpg\n    phase: starter\n    slope: back\n"
        "  - file: photos/field/front-nails.jpg\n    slope: back\n",
    )
    assert [(p.file, p.phase, p.slope, p.caption) for p in got.photos] == [
        ("photos/IMG_1.jpg", Phase.STARTER, "back", None),
        ("photos/deck/front.jpg", Phase.DECK, "front", None),
        ("photos/field/front-nails.jpg", Phase.FIELD, "back", "nails"),
    ]
    assert [(p.file, p.kind) for p in got.papers] == [
        ("papers/invoice-7.pdf", PaperKind.INVOICE),
        ("papers/scan.pdf", PaperKind.PERMIT),
    ]
    assert {file: (at.file, at.line) for file, at in got.photo_wheres.items()} == {
        "photos/IMG_1.jpg": ("photos.yaml", 2),
        "photos/field/front-nails.jpg": ("photos.yaml", 5),
    }
    assert got.paper_wheres["papers/scan.pdf"].file == "job.yaml"
    assert files_of(got.photos) == tuple(sorted(files_of(got.photos)))


def test_a_stray_is_in_neither_list(tmp_path: Path) -> None:
    got = merged(tmp_path, "slopes: front\n", "photos: []\n")
    assert files_of(got.photos) == ("photos/deck/front.jpg", "photos/field/front-nails.jpg")
    assert files_of(got.papers) == ("papers/invoice-7.pdf",)


def test_a_listed_file_that_is_not_there_stays_listed(tmp_path: Path) -> None:
    got = merged(tmp_path, "", "photos:\n  - file: photos/gone.jpg\n")
    assert "photos/gone.jpg" in files_of(got.photos)


def files_of(filed: tuple[Photo, ...] | tuple[Paper, ...]) -> tuple[str, ...]:
    """Return the files in order."""
    return tuple(one.file for one in filed)
