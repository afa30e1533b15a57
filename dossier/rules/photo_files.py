"""Photos as files: whether they open, show something, and are filed where they belong."""

from collections.abc import Iterator
from fractions import Fraction

from dossier.assess.backing import is_reviewed
from dossier.case.case import Case
from dossier.evidence import Facts, PhotoFact, shows_nothing
from dossier.punchlist import Manner, Party, Sends, SettledBy, Verdict, Weight, Where
from dossier.record.files import Photo
from dossier.rules.declare import Example, Fault, rule
from dossier.said import Count, File, Listed, Value, say

LEAST_PX = 480
"""Shorter side below which a photo shows too little to judge a nail or a lap; common practice, no
published source."""


def is_received(photo: Photo) -> bool:
    """Return whether somebody noted from whom and when the photo came: the second-best evidence of its day."""
    return photo.received_from is not None and photo.received_on is not None


def opening_photos(case: Case, facts: Facts) -> Iterator[tuple[Photo, PhotoFact]]:
    """Yield each photo that opens, with its fact."""
    for photo in case.photos:
        fact = facts.photos.get(photo.file)
        if fact is not None and fact.exists and fact.fault is None:
            yield photo, fact


@rule(
    id="PHO-003",
    says="{file} {fault}",
    why="A photo that does not open proves nothing, and its original may still be on the phone.",
    source="The file itself",
    owed_by=Party.CREW,
    remedy="Copy it again from the phone it was taken with.",
    asks="Send us this photo again from the phone it was taken with.",
    manner=Manner(tells_owner=False, sends=Sends.NOWHERE, life_safety=False),
    examples=[
        Example(
            {"facts.photos/field/front.jpg.fault": "is cut short. Copy it again from the phone."},
            finds="photos/field/front.jpg is cut short. Copy it again from the phone.",
        ),
        Example({"facts.photos/field/front.jpg.software": "another program"}, finds=None),
    ],
    rests_on={
        "photos.*.file": "A photo is its file; without one there is no photo.",
    },
)
def photo_does_not_open(case: Case, facts: Facts) -> Iterator[Fault]:
    for photo in case.photos:
        fact = facts.photos.get(photo.file)
        if fact is not None and fact.fault is not None:
            yield Fault(
                case.photo_where(photo.file),
                {"file": photo.file, "fault": fact.fault},
                verdict=Verdict.WRONG if fact.exists else Verdict.MISSING,
            )


@rule(
    id="PHO-007",
    says="{file} is {size} pixels; at least {least} on the shorter side are needed to show anything.",
    why="A thumbnail shows that a roof exists, not how many nails are in it.",
    source="Common practice, no published source",
    owed_by=Party.CREW,
    remedy="Ask for the original; messages and web pages send small copies.",
    asks="Send us the original of this photo; messages send small copies.",
    manner=Manner(tells_owner=False, sends=Sends.NOWHERE, life_safety=False),
    examples=[
        Example(
            {"facts.photos/field/front-nails.jpg.size_px": (640, 479)},
            finds="photos/field/front-nails.jpg is 640 x 479 pixels; at least 480 on the shorter side "
            "are needed to show anything.",
        ),
        Example({"facts.photos/field/front-nails.jpg.size_px": (480, 640)}, finds=None),
    ],
    rests_on={
        "photos.*.file": "A photo whose size cannot be read has an item of its own.",
    },
)
def photo_too_small(case: Case, facts: Facts) -> Iterator[Fault]:
    for photo in case.photos:
        fact = facts.photos.get(photo.file)
        if fact is not None and fact.size_px is not None and min(fact.size_px) < LEAST_PX:
            width, height = fact.size_px
            yield Fault(
                case.photo_where(photo.file),
                {"file": photo.file, "size": f"{width} x {height}", "least": LEAST_PX},
            )


@rule(
    id="PHO-008",
    says="Not filed: {files}. Neither a listing nor the folder says what is shown.",
    why="A file that is not filed is left out of every document.",
    source="Our habit: photos/PHASE/SLOPE-name.jpg and papers/KIND-name.pdf",
    owed_by=Party.OFFICE,
    remedy="Move it into the folder of its phase, or list it in photos.yaml or under papers.",
    manner=Manner(tells_owner=False, sends=Sends.NOWHERE, life_safety=False),
    examples=[
        Example(
            {"facts.strays": ("photos/IMG_0001.jpg",)},
            finds="Not filed: photos/IMG_0001.jpg. Neither a listing nor the folder says what is shown.",
        ),
        Example({"facts.strays": ()}, finds=None),
    ],
    rests_on={
        "photos.*.phase": "One item names the files that lack it.",
        "job.papers.*.kind": "One item names the files that lack it.",
    },
)
def file_not_filed(facts: Facts) -> Iterator[Fault]:
    if facts.strays:
        shown: list[Value] = [File(file) for file in facts.strays[:5]]
        if more := len(facts.strays) - len(shown):
            shown.append(say("{more} more", more=more))
        yield Fault(Where(facts.strays[0]), {"files": Listed(tuple(shown))})


@rule(
    id="PHO-009",
    says="{file} is filed for slope “{slope}”, and the record has no slope of that name.",
    why="A photo of a slope nobody knows backs nothing.",
    source="Our habit; no published source",
    owed_by=Party.OFFICE,
    remedy="Correct the slope in photos.yaml, or add the slope to the record.",
    manner=Manner(tells_owner=False, sends=Sends.NOWHERE, life_safety=False),
    examples=[
        Example(
            {"photos.0": {"file": "photos/field/back.jpg", "slope": "bakc"}},
            finds="photos/field/back.jpg is filed for slope “bakc”, and the record has no slope of that "
            "name.",
        ),
        Example({"photos.0": {"file": "photos/field/back.jpg", "slope": "back"}}, finds=None),
    ],
    rests_on={
        "photos.*.slope": "A photo of the roof as a whole names no slope.",
    },
)
def photo_of_unknown_slope(case: Case) -> Iterator[Fault]:
    for photo in case.photos:
        if photo.slope is not None and case.slope(photo.slope) is None:
            yield Fault(case.photo_where(photo.file), {"file": photo.file, "slope": photo.slope})


@rule(
    id="PHO-014",
    says="Saved by a program, with no camera named: {count} of {all}.",
    why="Programs that stamp a date, and messages, save every picture again and drop the camera's name; it "
    "is no suspicion, only one thing less that can be shown.",
    source="CIPA DC-008 (Exif 2.32), tags Software, Make and Model",
    owed_by=Party.CREW,
    remedy="Ask for the originals and keep both; else note at the photo from whom and when it came.",
    asks="Send us the originals, as the phone took them.",
    settled_by=SettledBy.PHOTO,
    manner=Manner(tells_owner=False, sends=Sends.NOWHERE, life_safety=False),
    lighter=Weight.NOTE,
    examples=[
        Example(
            {
                "facts.photos/field/back.jpg.camera": None,
                "facts.photos/field/back.jpg.software": "a stamping program",
            },
            finds="Saved by a program, with no camera named: 1 of 27 photos.",
        ),
        # What a phone itself writes is a program and a camera, and a message often drops both.
        Example({"facts.photos/field/back.jpg.software": "phone 3.1"}, finds=None),
        Example({"facts.photos/field/back.jpg.camera": None}, finds=None),
    ],
    rests_on={
        "photos.*.received_on": "One item for all photos that lack it names their number.",
    },
)
def photos_saved_by_a_program(case: Case, facts: Facts) -> Iterator[Fault]:
    saved = [
        photo
        for photo, fact in opening_photos(case, facts)
        if fact.software and fact.camera is None and not is_received(photo)
    ]
    if saved:
        yield Fault(
            Where("photos"),
            {"count": len(saved), "all": Count(len(case.photos), "photo")},
            verdict=Verdict.MISSING,
        )


@rule(
    id="PHO-015",
    says="{file} {fault}",
    why="A picture in which nothing can be seen backs nothing, and counts as absent in every document.",
    source="Luma and variance of the Laplacian (Pech-Pacheco and others, 2000), measured on a reduction of "
    "256 pixels; the limits are common practice, no published source",
    owed_by=Party.CREW,
    remedy="Look on the crew's phones for another picture of that hour. If somebody can see in it what it "
    "is filed for, note who and when with dossier review; then it counts again.",
    asks="Send us another photo of the same, if there is one.",
    manner=Manner(tells_owner=False, sends=Sends.NOWHERE, life_safety=False),
    examples=[
        Example(
            {"facts.photos/field/back.jpg.dark_share": Fraction(998, 1000)},
            finds="photos/field/back.jpg is black: 99.8 % of it is darker than 24 on a scale to 255, and "
            "at 99.5 % nothing is left to see.",
        ),
        Example(
            {"facts.photos/field/back.jpg.bright_share": Fraction(1)},
            finds="photos/field/back.jpg is burnt out: 100 % of it is at 250 or above on a scale to 255, "
            "and at 99.5 % nothing is left to see.",
        ),
        Example(
            {"facts.photos/field/back.jpg.sharpness": Fraction(299, 100)},
            finds="photos/field/back.jpg has no edge in it: its sharpness is 2.9, and below 3 it is out of "
            "focus or something was held before the lens.",
        ),
        Example({"facts.photos/field/back.jpg.dark_share": Fraction(994, 1000)}, finds=None),
        Example({"facts.photos/field/back.jpg.bright_share": Fraction(994, 1000)}, finds=None),
        Example({"facts.photos/field/back.jpg.sharpness": Fraction(3)}, finds=None),
        Example(
            {
                "facts.photos/field/back.jpg.dark_share": Fraction(1),
                "photos.0": {
                    "file": "photos/field/back.jpg",
                    "reviewed": "Ida Torvik, 2026-09-20",
                },
            },
            finds=None,
        ),
    ],
    rests_on={
        "photos.*.reviewed": "A photo that nobody reviewed is judged by its pixels.",
    },
)
def photo_shows_nothing(case: Case, facts: Facts) -> Iterator[Fault]:
    for photo, fact in opening_photos(case, facts):
        fault = shows_nothing(fact)
        if fault is not None and not is_reviewed(photo):
            yield Fault(case.photo_where(photo.file), {"file": photo.file, "fault": fault})
