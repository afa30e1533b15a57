"""Photo numbers: the same in every document, in the order in which a roof is built."""

import re
from dataclasses import replace

from dossier.case.readers import for_reader
from dossier.compose.photographs import Album
from dossier.words import Edition, Phase
from tests.compose.made import made
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
