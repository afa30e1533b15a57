"""One picture, or one view, filed as two things."""

from collections.abc import Iterator
from fractions import Fraction
from itertools import combinations

from dossier.assess.backing import is_reviewed
from dossier.case.case import Case
from dossier.evidence import Facts, PhotoFact
from dossier.punchlist import Manner, Party, Sends
from dossier.rules.declare import Example, Fault, rule
from dossier.rules.photo_files import opening_photos
from dossier.said import File, Listed

MOST_BITS_APART = 2
"""Bits of 64 in which the difference hashes of a picture and its copy may differ for this rule. Measured
on the drawn demo photos: copies saved smaller are 0 to 9 apart, two in three of them within 2; views from
one spot at two phases are 3 at least. Common practice, no published source."""


LEAST_EDGES = 6
"""Hashes with fewer bits of either kind come of pictures with hardly an edge, which are alike without
being of the same thing. Common practice, no published source."""


MOST_LUMA_APART = 3
"""Steps of mean luma, of 255, between a picture and its copy. Measured on the drawn demo photos saved
again smaller: 0.7 at most."""


def _has_edges(dhash: int) -> bool:
    return LEAST_EDGES <= dhash.bit_count() <= 64 - LEAST_EDGES


def _two_pictures(one: PhotoFact, other: PhotoFact) -> bool:
    """Return whether two photos that look alike are no copies, or the very same file."""
    if one.sha256 == other.sha256:
        return True
    if one.mean_luma is None or other.mean_luma is None:
        return True
    if abs(one.mean_luma - other.mean_luma) > MOST_LUMA_APART:
        return True
    taken, taken_2 = one.taken_at_local, other.taken_at_local
    return taken is not None and taken_2 is not None and taken != taken_2


@rule(
    id="PHO-006",
    says="{files} are one and the same picture, filed under {phases}.",
    why="One picture cannot show two phases; whoever finds it doubts the rest.",
    source="sha256 of the files (FIPS 180-4)",
    owed_by=Party.OFFICE,
    remedy="Keep it where it belongs and take it out of the other folder.",
    manner=Manner(tells_owner=False, sends=Sends.NOWHERE, life_safety=False),
    examples=[
        Example(
            {
                "facts.photos/starter/back.jpg.sha256": "f" * 64,
                "facts.photos/field/back.jpg.sha256": "f" * 64,
            },
            finds="photos/field/back.jpg and photos/starter/back.jpg are one and the same picture, filed "
            "under field and starter.",
        ),
        Example(
            {
                "facts.photos/field/back.jpg.sha256": "f" * 64,
                "facts.photos/field/front.jpg.sha256": "f" * 64,
            },
            finds=None,
        ),
    ],
    rests_on={
        "photos.*.phase": "A photo without a phase has an item of its own.",
    },
)
def one_picture_two_phases(case: Case, facts: Facts) -> Iterator[Fault]:
    same: dict[str, list[tuple[str, str]]] = {}
    for photo in case.photos:
        fact = facts.photos.get(photo.file)
        if fact is not None and fact.sha256 and photo.phase is not None:
            same.setdefault(fact.sha256, []).append((photo.file, photo.phase.value))
    for found in same.values():
        phases = sorted({phase for _, phase in found})
        if len(phases) > 1:
            files = sorted(file for file, _ in found)
            yield Fault(
                case.photo_where(files[0]),
                {"files": Listed(tuple(map(File, files))), "phases": Listed(tuple(phases))},
            )


@rule(
    id="PHO-016",
    says="{files} look like copies of one picture, {bits} of 64 bits apart, filed under {phases}.",
    why="One picture cannot show two phases; whoever finds it doubts the rest.",
    source="Difference hash (N. Krawetz, “Kind of Like That”, The Hacker Factor Blog, 2013); the limit is "
    "common practice, no published source",
    owed_by=Party.OFFICE,
    remedy="Look at both. Keep the larger where it belongs; if they are two pictures, let somebody note "
    "what each shows with dossier review.",
    manner=Manner(tells_owner=False, sends=Sends.NOWHERE, life_safety=False),
    examples=[
        Example(
            {
                "facts.photos/starter/back.jpg.dhash": 0x0F0F_3C3C_55AA_7171,
                "facts.photos/starter/back.jpg.mean_luma": Fraction(120),
                "facts.photos/starter/back.jpg.taken_at_local": None,
                "facts.photos/field/back.jpg.dhash": 0x0F0F_3C3C_55AA_7172,
                "facts.photos/field/back.jpg.mean_luma": Fraction(121),
            },
            finds="photos/field/back.jpg and photos/starter/back.jpg look like copies of one picture, 2 of "
            "64 bits apart, filed under field and starter.",
        ),
        Example(
            {
                "facts.photos/starter/back.jpg.dhash": 0x0F0F_3C3C_55AA_7171,
                "facts.photos/starter/back.jpg.mean_luma": Fraction(120),
                "facts.photos/starter/back.jpg.taken_at_local": None,
                "facts.photos/field/back.jpg.dhash": 0x0F0F_3C3C_55AA_7176,
                "facts.photos/field/back.jpg.mean_luma": Fraction(121),
            },
            finds=None,
        ),
        # A copy keeps its brightness; the same view in another light is another picture.
        Example(
            {
                "facts.photos/starter/back.jpg.dhash": 0x0F0F_3C3C_55AA_7171,
                "facts.photos/starter/back.jpg.mean_luma": Fraction(120),
                "facts.photos/starter/back.jpg.taken_at_local": None,
                "facts.photos/field/back.jpg.dhash": 0x0F0F_3C3C_55AA_7171,
                "facts.photos/field/back.jpg.mean_luma": Fraction(124),
            },
            finds=None,
        ),
        # Pictures with hardly an edge are alike without being of the same thing.
        Example(
            {
                "facts.photos/starter/back.jpg.dhash": 0b11111,
                "facts.photos/starter/back.jpg.mean_luma": Fraction(120),
                "facts.photos/starter/back.jpg.taken_at_local": None,
                "facts.photos/field/back.jpg.dhash": 0b11111,
                "facts.photos/field/back.jpg.mean_luma": Fraction(120),
            },
            finds=None,
        ),
        # Somebody looked at both and says what each shows.
        Example(
            {
                "facts.photos/starter/back.jpg.dhash": 0x0F0F_3C3C_55AA_7171,
                "facts.photos/starter/back.jpg.mean_luma": Fraction(120),
                "facts.photos/starter/back.jpg.taken_at_local": None,
                "facts.photos/field/back.jpg.dhash": 0x0F0F_3C3C_55AA_7171,
                "facts.photos/field/back.jpg.mean_luma": Fraction(120),
                "photos.0": {
                    "file": "photos/field/back.jpg",
                    "reviewed": "Ida Torvik, 2026-09-20",
                },
                "photos.1": {
                    "file": "photos/starter/back.jpg",
                    "reviewed": "Ida Torvik, 2026-09-20",
                },
            },
            finds=None,
        ),
        # Two cameras' times are two pictures, however alike the view is.
        Example(
            {
                "facts.photos/starter/back.jpg.dhash": 0x0F0F_3C3C_55AA_7171,
                "facts.photos/starter/back.jpg.mean_luma": Fraction(120),
                "facts.photos/field/back.jpg.dhash": 0x0F0F_3C3C_55AA_7171,
                "facts.photos/field/back.jpg.mean_luma": Fraction(120),
            },
            finds=None,
        ),
    ],
    rests_on={
        "photos.*.phase": "A photo without a phase has an item of its own.",
        "photos.*.reviewed": "A photo that nobody reviewed is judged by its pixels.",
    },
)
def one_view_two_phases(case: Case, facts: Facts) -> Iterator[Fault]:
    hashed = [
        (photo, fact, fact.dhash)
        for photo, fact in opening_photos(case, facts)
        if photo.phase is not None and fact.dhash is not None and _has_edges(fact.dhash)
    ]
    for (photo, fact, one), (photo_2, fact_2, other) in combinations(hashed, 2):
        bits = (one ^ other).bit_count()
        if bits > MOST_BITS_APART or photo.phase is photo_2.phase:
            continue
        if _two_pictures(fact, fact_2) or (is_reviewed(photo) and is_reviewed(photo_2)):
            continue
        assert photo.phase is not None
        assert photo_2.phase is not None
        pair = sorted([(photo.file, photo.phase.value), (photo_2.file, photo_2.phase.value)])
        yield Fault(
            case.photo_where(pair[0][0]),
            {
                "files": Listed(tuple(map(File, [file for file, _ in pair]))),
                "phases": Listed(tuple(phase for _, phase in pair)),
                "bits": bits,
            },
        )
