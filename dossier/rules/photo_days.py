"""When and where a photo was taken, against what it is said to show."""

from collections.abc import Iterator
from datetime import date, datetime, timedelta
from fractions import Fraction

from dossier.assess.backing import is_reviewed
from dossier.assess.details import feet_from_house
from dossier.case.case import Case
from dossier.evidence import Facts, PhotoFact
from dossier.punchlist import Manner, Party, Sends, SettledBy, Verdict, Weight, Where
from dossier.rules.declare import Example, Fault, rule
from dossier.rules.photo_files import is_received, opening_photos
from dossier.said import Count, File, Listed, Number, Said, Value, say
from dossier.words import Phase

MOST_FT_FROM_HOUSE = 1000
"""Feet from the house within which a photo was taken there. Common practice, no published source: a lot
and the street before it, and some hundred feet that a phone is off before it finds its satellites."""


STILL_SEEN = timedelta(hours=3)
"""While shingles go up a slope, the underlayment above them is still seen; a crew covers a slope within
some hours. Common practice, no published source."""


_FEET_PER_MILE = 5280


def _around(
    phase: Phase, began: date | None, ended: date | None, taken: date
) -> tuple[Value, bool]:
    """Return the span in words and whether the day lies outside it."""
    if phase is Phase.BEFORE:
        return (say("or before {day}", day=began), taken > began) if began else ("", False)
    start = began if phase is Phase.CLEAN_UP else ended
    return (say("or after {day}", day=start), taken < start) if start else ("", False)


def _way(feet: Fraction) -> Number:
    if feet < _FEET_PER_MILE:
        return Number(feet, "ft", 0)
    return Number(feet / _FEET_PER_MILE, "miles")


def _after_all(
    fact: PhotoFact, field: list[PhotoFact], logged: list[date]
) -> tuple[Value, Value] | None:
    """Return when a photo and the last of the field were taken, in words; None unless it came after."""
    taken = fact.taken_at_local
    times = [one.taken_at_local for one in field if one.taken_at_local is not None]
    if taken is None or not times:
        return None
    last = max(times)
    if taken.date() > max([last.date(), *logged]):
        return taken.date(), last.date()
    if taken.date() != last.date() or taken - last <= STILL_SEEN:
        return None
    of_that_day = [
        one.taken_offset
        for one in field
        if one.taken_at_local is not None and one.taken_at_local.date() == last.date()
    ]
    if fact.taken_offset is None or any(offset != fact.taken_offset for offset in of_that_day):
        return None
    return _moment(taken), _moment(last)


def _moment(at: datetime) -> Said:
    return say("{day} at {time}", day=at.date(), time=f"{at:%H:%M}")


@rule(
    id="PHO-004",
    says="{file} is filed under {phase}, and its camera says {taken}; that phase was on {days}.",
    why="A photo from another day than its phase is the first thing an opposing engineer looks for.",
    source="CIPA DC-008 (Exif 2.32), tag DateTimeOriginal, against the work log",
    owed_by=Party.OFFICE,
    remedy="File it under the right phase, correct the work log, or note at the photo that the camera's "
    "clock was wrong; until then it stays on file.",
    manner=Manner(tells_owner=False, sends=Sends.NOWHERE, life_safety=False),
    examples=[
        Example(
            {"facts.photos/field/back.jpg.taken_at_local": "2026-09-13 10:00"},
            finds="photos/field/back.jpg is filed under field, and its camera says 13 September 2026; "
            "that phase was on 15 September 2026.",
        ),
        Example({"facts.photos/field/back.jpg.taken_at_local": "2026-09-15 23:59"}, finds=None),
        Example({"facts.photos/field/back.jpg.taken_at_local": None}, finds=None),
    ],
    rests_on={
        "photos.*.phase": "A photo without a phase has an item of its own.",
        "job.work": "A phase without a day in the log has an item of its own.",
    },
)
def taken_on_another_day(case: Case, facts: Facts) -> Iterator[Fault]:
    began, ended = case.first_day_of_work(), case.last_day_of_work()
    for photo in case.photos:
        fact = facts.photos.get(photo.file)
        if fact is None or fact.taken_at_local is None or photo.phase is None:
            continue
        taken = fact.taken_at_local.date()
        if photo.phase in (Phase.BEFORE, Phase.FINISHED, Phase.CLEAN_UP):
            # These are not tied to one day: before is any day up to the start, the rest any day after.
            days, wrong = _around(photo.phase, began, ended, taken)
        else:
            work = case.work_on(photo.phase, photo.slope)
            wrong = bool(work) and not any(w.first <= taken <= w.last for w in work)
            days = Listed(
                tuple(
                    w.first
                    if w.first == w.last
                    else say("{first} to {last}", first=w.first, last=w.last)
                    for w in work
                )
            )
        if wrong:
            yield Fault(
                case.photo_where(photo.file),
                {
                    "file": photo.file,
                    "phase": photo.phase,
                    "taken": taken,
                    "days": days,
                },
            )


@rule(
    id="PHO-005",
    says="No camera time in {count} of {all}.",
    why="Texted pictures lose it and stamping programs save every file again; it is no suspicion, only "
    "weaker evidence of the day.",
    source="CIPA DC-008 (Exif 2.32): re-saving often drops the camera's data",
    owed_by=Party.CREW,
    remedy="Ask for the originals; else note at the photo from whom and when it came.",
    asks="Send us the originals, not copies from messages; they keep the day.",
    settled_by=SettledBy.PHOTO,
    manner=Manner(tells_owner=False, sends=Sends.NOWHERE, life_safety=False),
    lighter=Weight.NOTE,
    examples=[
        Example(
            {"facts.photos/field/back.jpg.taken_at_local": None},
            finds="No camera time in 1 of 27 photos.",
        ),
        Example(
            {
                "facts.photos/field/back.jpg.taken_at_local": None,
                "photos.0": {
                    "file": "photos/field/back.jpg",
                    "received_from": "crew phone 2",
                    "received_on": "2026-09-15",
                },
            },
            finds=None,
        ),
    ],
    rests_on={
        "photos.*.received_from": "A photo without a camera time is named with its sender or without.",
        "photos.*.received_on": "One item for all photos that lack it names their number.",
    },
)
def no_camera_time(case: Case, facts: Facts) -> Iterator[Fault]:
    blank = [
        photo
        for photo in case.photos
        if (fact := facts.photos.get(photo.file)) is not None
        and fact.fault is None
        and fact.taken_at_local is None
        and not is_received(photo)
    ]
    if blank:
        yield Fault(
            Where("photos"),
            {"count": len(blank), "all": Count(len(case.photos), "photo")},
            verdict=Verdict.MISSING,
        )


@rule(
    id="PHO-013",
    says="By the camera's own place, {photos} taken {far} from the house, where {most} is the most that "
    "lies within one lot.",
    why="A picture of another house is the worst thing to find in a claim, and nobody sees it on the page.",
    source="CIPA DC-008 (Exif 2.32), GPS tags, against job.place; the distance is common practice, no "
    "published source",
    owed_by=Party.OFFICE,
    remedy="File it with the job it belongs to. Phones give an old place until they find satellites: if it "
    "is of this house, let somebody who was there note so with dossier review.",
    manner=Manner(tells_owner=False, sends=Sends.NOWHERE, life_safety=False),
    examples=[
        Example(
            # A three-hundredth of a degree of latitude is a little more than 1,200 ft.
            {"facts.photos/field/back.jpg.place": (Fraction("47.7033"), Fraction("-87.1"))},
            finds="By the camera's own place, photos/field/back.jpg was taken 1,204 ft from the house, "
            "where 1,000 ft is the most that lies within one lot.",
        ),
        Example(
            {"job.job.place": "47.8000, -87.1000"},
            finds="By the camera's own place, 27 of 27 photos were taken 6.9 miles or more from the "
            "house, where 1,000 ft is the most that lies within one lot.",
        ),
        Example(
            {"facts.photos/field/back.jpg.place": (Fraction("47.7027"), Fraction("-87.1"))},
            finds=None,
        ),
        Example(
            {
                "job.job.place": None,
                "facts.photos/field/back.jpg.place": (Fraction("47.8"), Fraction("-87.1")),
            },
            finds=None,
        ),
        Example(
            {
                "facts.photos/field/back.jpg.place": (Fraction("47.8"), Fraction("-87.1")),
                "photos.0": {
                    "file": "photos/field/back.jpg",
                    "reviewed": "Ida Torvik, 2026-09-20",
                },
            },
            finds=None,
        ),
    ],
    rests_on={
        "job.job.place": "Not every office types the place of a house, and its address has an item of its own.",
    },
)
def photo_far_from_the_house(case: Case, facts: Facts) -> Iterator[Fault]:
    house = case.job.job.place
    if house is None:
        return
    known = feet_from_house(case, facts)
    away = {
        photo.file: known[photo.file]
        for photo, _ in opening_photos(case, facts)
        if photo.file in known
    }
    far = {
        photo.file: away[photo.file]
        for photo in case.photos
        if away.get(photo.file, 0) > MOST_FT_FROM_HOUSE and not is_reviewed(photo)
    }
    most = {"most": Number(MOST_FT_FROM_HOUSE, "ft")}
    if len(far) > 3 and 2 * len(far) > len(away):
        # Where most of them are far, it is the house's own place that somebody mistyped.
        photos = say("{far} of {photos} were", far=len(far), photos=Count(len(away), "photo"))
        least = say("{way} or more", way=_way(min(far.values())))
        yield Fault(
            case.where("job.place"),
            {"photos": photos, "far": least, **most},
            remedy="Correct job.place if the house lies elsewhere; else file the photos with their job.",
        )
        return
    for file, feet in far.items():
        yield Fault(
            case.photo_where(file),
            {"photos": say("{file} was", file=File(file)), "far": _way(feet), **most},
        )


@rule(
    id="PHO-017",
    says="{file} is filed under underlayment on {slopes} and was taken {taken}, after the last photo "
    "of the field there, {last}.",
    why="What lies under shingles cannot be photographed after them; one of the two is filed wrongly, or a "
    "camera's clock is.",
    source="CIPA DC-008 (Exif 2.32), tags DateTimeOriginal and OffsetTimeOriginal; hours are common "
    "practice, no published source",
    owed_by=Party.OFFICE,
    remedy="File it under the phase and slope that it shows, or let somebody who was there note what it "
    "shows with dossier review.",
    manner=Manner(tells_owner=False, sends=Sends.NOWHERE, life_safety=False),
    examples=[
        Example(
            {"facts.photos/underlayment/back.jpg.taken_at_local": "2026-09-16 08:00"},
            finds="photos/underlayment/back.jpg is filed under underlayment on slope back and was taken 16 "
            "September 2026, after the last photo of the field there, 15 September 2026.",
        ),
        Example(
            {"facts.photos/underlayment/front.jpg.taken_at_local": "2026-09-15 16:26:38"},
            finds="photos/underlayment/front.jpg is filed under underlayment on slope front and was taken "
            "15 September 2026 at 16:26, after the last photo of the field there, 15 September 2026 at "
            "13:26.",
        ),
        # Three hours after the last photo of the field the upper courses may still be open.
        Example(
            {"facts.photos/underlayment/front.jpg.taken_at_local": "2026-09-15 16:26:37"},
            finds=None,
        ),
        # Without an offset two clocks of one day cannot be compared, nor by two offsets.
        Example(
            {
                "facts.photos/underlayment/front.jpg.taken_at_local": "2026-09-15 23:00",
                "facts.photos/underlayment/front.jpg.taken_offset": None,
                "facts.photos/field/front.jpg.taken_offset": None,
                "facts.photos/field/front-nails.jpg.taken_offset": None,
            },
            finds=None,
        ),
        Example(
            {
                "facts.photos/underlayment/front.jpg.taken_at_local": "2026-09-15 23:00",
                "facts.photos/underlayment/front.jpg.taken_offset": timedelta(0),
            },
            finds=None,
        ),
        # While the log still has shingles laid on that slope, some of it is open.
        Example(
            {
                "facts.photos/underlayment/back.jpg.taken_at_local": "2026-09-16 08:00",
                "job.work.2": "2026-09-15 to 2026-09-16, starter + field, checked by Jens Aberg",
            },
            finds=None,
        ),
    ],
    rests_on={
        "photos.*.slope": "A photo that names no slope says nothing of an order on one.",
        "photos.*.reviewed": "A photo that nobody reviewed is judged by its clock.",
    },
)
def underlayment_after_the_field(case: Case, facts: Facts) -> Iterator[Fault]:
    opening = list(opening_photos(case, facts))
    for photo, fact in opening:
        if photo.phase is not Phase.UNDERLAYMENT or photo.slope is None or is_reviewed(photo):
            continue
        field = [
            other
            for shown, other in opening
            if shown.phase is Phase.FIELD and shown.slope == photo.slope
        ]
        logged = [work.last for work in case.work_on(Phase.FIELD, photo.slope)]
        when = _after_all(fact, field, logged)
        if when is not None:
            yield Fault(
                case.photo_where(photo.file),
                {"file": photo.file, "slope": photo.slope, "taken": when[0], "last": when[1]},
            )
