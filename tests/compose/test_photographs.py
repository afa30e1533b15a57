"""Photo numbers: the same in every document, in the order in which a roof is built."""

import re
from dataclasses import replace

from dossier.case.readers import for_reader
from dossier.compose.parts.photographs import Album
from dossier.compose.parts.shared import Look
from dossier.words import Edition, Phase
from tests.compose.made import made, pages, printed
from tests.known_good import known_good


def numbers_in(text: str) -> dict[str, int]:
    """Return what an index says of photos: file → number."""
    return {file: int(number) for number, file in re.findall(r"(\d+) \(([\w-]+/[^)]+)\)", text)}


def test_numbers_follow_the_phases() -> None:
    case = known_good().case
    by_number = sorted(case.photos, key=lambda photo: case.photo_numbers[photo.file])
    assert [case.photo_numbers[photo.file] for photo in by_number] == list(
        range(1, len(case.photos) + 1)
    )
    phases = [list(Phase).index(photo.phase) for photo in by_number if photo.phase]
    assert phases == sorted(phases)


def test_a_caption_and_the_index_give_a_photo_one_number() -> None:
    good = made()
    case, facts = good.known.case, good.known.facts
    told = [numbers_in(row.where) for row in good.handover.backed]
    assert any(told)
    shots = {
        photo.file: Album(case, facts).shot(photo, 72).title for photo in case.photos if photo.file
    }
    for row in told:
        for file, number in row.items():
            assert shots[f"photos/{file}"].startswith(f"Photo {number}. ")


def test_an_edition_that_leaves_a_photo_out_keeps_the_numbers_of_the_others() -> None:
    case = known_good().case
    first, *others = case.photos
    private = first.model_copy(update={"file": "photos/before/marit-ekdahl.jpg"})
    numbers = {**case.photo_numbers, private.file: case.photo_numbers[first.file]}
    del numbers[first.file]
    whole = replace(case, photos=(private, *others), photo_numbers=numbers)
    shown = for_reader(whole, Edition.RESALE)
    assert private.file not in shown.photo_numbers
    assert shown.photo_numbers == {photo.file: case.photo_numbers[photo.file] for photo in others}


def test_before_comes_before_after() -> None:
    # Listed by name, back-after.jpg stands before back-before.jpg.
    numbers = known_good().case.photo_numbers
    before, after = (numbers[f"photos/deck-repair/back-{word}.jpg"] for word in ("before", "after"))
    assert before + 1 == after


def test_a_repair_that_names_its_photos_decides_over_their_names() -> None:
    edits: dict[str, object] = {
        "job.repairs.0.photo_before": "photos/deck-repair/back-after.jpg",
        "job.repairs.0.photo_after": "photos/deck-repair/back-before.jpg",
    }
    numbers = known_good(edits).case.photo_numbers
    assert (
        numbers["photos/deck-repair/back-after.jpg"] + 1
        == numbers["photos/deck-repair/back-before.jpg"]
    )


NOTE = "six nails in the shingle, on the nailing line, " * 3


def reviewed(note: str | None) -> dict[str, object]:
    """Return the edits after which every photo was looked at."""
    look = {"by": "Ida Torvik", "on": "2026-09-17", **({"note": note} if note else {})}
    return {
        f"photos.{number}": {"file": photo.file, "reviewed": look}
        for number, photo in enumerate(known_good().case.photos)
    }


def test_a_caption_says_who_looked_when_and_what_was_seen() -> None:
    doc = made(reviewed("six nails, on the line")).handover
    shot = doc.photo_groups[0].shots[0]
    assert shot.noted == "Ida Torvik, 17 September 2026: six nails, on the line"
    assert "six nails, on the line; camera says" in shot.alt
    assert "taken" not in shot.alt
    bare = made(reviewed(None)).handover.photo_groups[0].shots[0]
    assert bare.noted == "Ida Torvik, 17 September 2026"
    assert made().handover.photo_groups[0].shots[0].noted == ""


def test_pages_of_photos_stay_whole_where_every_one_was_looked_at() -> None:
    doc = made(reviewed(NOTE)).handover
    counts = [len(group.shots) for group in doc.photo_groups]
    for paper in ("Letter", "A4"):
        texts = pages(printed(doc, Look("#1F3A4D", "#8A4B2A", paper)).data)
        first = next(n for n, text in enumerate(texts) if "A photo under a phase shows" in text)
        found = [len(re.findall(r"Photo \d+\. ", text)) for text in texts[first:]]
        assert found[: len(counts)] == counts, paper
