"""Photos and papers: asked-for views, files that open, times that fit the story."""

from collections.abc import Iterator
from datetime import date, datetime, timedelta
from fractions import Fraction
from itertools import combinations

from dossier.assess.backing import good_papers, good_photos, is_reviewed
from dossier.assess.conditions import slopes_to_show
from dossier.assess.details import feet_from_house
from dossier.assess.has_place import why_no_place
from dossier.assess.results import PHASES_PER_SLOPE, Assessment
from dossier.case.case import Case
from dossier.evidence import Facts, PhotoFact, shows_nothing
from dossier.punchlist import Holds, Manner, Party, Sends, Verdict, Weight, Where
from dossier.record.files import Photo
from dossier.rules.declare import LEFT_TO_OFFICE, Example, Fault, rule
from dossier.values import listed, plural, write_date, write_number
from dossier.words import PaperKind, Phase, Role

LEAST_PX = 480
"""Shorter side below which a photo shows too little to judge a nail or a lap; common practice, no
published source."""

MOST_FT_FROM_HOUSE = 1000
"""Feet from the house within which a photo was taken there. Common practice, no published source: a lot
and the street before it, and some hundred feet that a phone is off before it finds its satellites."""

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

STILL_SEEN = timedelta(hours=3)
"""While shingles go up a slope, the underlayment above them is still seen; a crew covers a slope within
some hours. Common practice, no published source."""

_FEET_PER_MILE = 5280

_ONCE = (
    Phase.BEFORE,
    Phase.TEAR_OFF,
    Phase.DRIP_EDGE,
    Phase.STARTER,
    Phase.FLASHING,
    Phase.VENTILATION,
    Phase.HIP_AND_RIDGE,
    Phase.FINISHED,
)


@rule(
    id="PHO-001",
    says="No photo of {phase} on slope {slope}.",
    why="What is covered cannot be photographed later; these are the views a claim turns on.",
    source="Common practice, no published source; the maker's terms where a clause asks for photos",
    owed_by=Party.CREW,
    remedy="Look on the crew's phones for that day and file the photo under photos/PHASE/, named for its slope.",
    asks="Look on your phones for that day and send us the photo as it was taken.",
    manner=Manner(tells_owner=True, sends=Sends.UP, life_safety=False),
    holds={Holds.REGISTRATION},
    examples=[
        Example(
            {"facts.photos/underlayment/back.jpg": None},
            finds="No photo of underlayment on slope back.",
        ),
        Example({"facts.photos/starter/back.jpg": None}, finds=None),
    ],
    rests_on={
        "job.slopes": "A job without slopes has an item of its own.",
        "photos.*.slope": "A photo that names no slope shows none, so that one is asked for.",
    },
)
def phase_without_photo_on_slope(
    case: Case, facts: Facts, assessment: Assessment
) -> Iterator[Fault]:
    asked = phases_terms_ask(assessment)
    for phase in PHASES_PER_SLOPE:
        # The deck has a rule of its own, since an unseen deck is a different matter.
        if phase is Phase.DECK:
            continue
        held = frozenset({Holds.REGISTRATION}) if phase in asked else frozenset()
        for slope in slopes_to_show(case, assessment.slopes, phase):
            if not good_photos(case, facts, phase, slope):
                yield Fault(
                    Where(f"photos/{phase.slug}"),
                    {"phase": phase.value, "slope": slope},
                    verdict=Verdict.MISSING,
                    holds=held,
                )


@rule(
    id="PHO-002",
    says="No photo shows {phases} anywhere on the roof.",
    why="One view of each detail is what an adjuster asks for first.",
    source="Common practice, no published source",
    owed_by=Party.CREW,
    remedy="Look on the crew's phones; what can still be seen from the ground may be photographed now.",
    asks="Look on your phones for that day and send us the photo as it was taken. What can still "
    "be seen from the ground may be photographed now.",
    manner=Manner(tells_owner=True, sends=Sends.UP, life_safety=False),
    holds={Holds.REGISTRATION},
    examples=[
        Example(
            {"facts.photos/hip-and-ridge/front.jpg": None},
            finds="No photo shows hip and ridge anywhere on the roof.",
        ),
        Example({"facts.photos/flashing/back-boot.jpg": None}, finds=None),
    ],
    rests_on={
        "photos.*.phase": "A photo that names no phase shows none, so that one is asked for.",
    },
)
def detail_without_photo(case: Case, facts: Facts, assessment: Assessment) -> Iterator[Fault]:
    asked = phases_terms_ask(assessment)
    usual = [phase for phase in _ONCE if _belongs(phase, case, assessment)]
    once = [phase for phase in Phase if phase not in PHASES_PER_SLOPE]
    wanted = [phase for phase in once if phase in usual or phase in asked]
    blank = [phase for phase in wanted if not good_photos(case, facts, phase)]
    for held, phases in (
        (frozenset({Holds.REGISTRATION}), [phase for phase in blank if phase in asked]),
        (frozenset[Holds](), [phase for phase in blank if phase not in asked]),
    ):
        if phases:
            yield Fault(
                Where("photos"),
                {"phases": listed([phase.value for phase in phases])},
                verdict=Verdict.MISSING,
                holds=held,
            )


def phases_terms_ask(assessment: Assessment) -> frozenset[Phase]:
    """Return the phases of which a clause that is not met yet wants a photo.

    A clause that falls away on this roof, and a member of a group of which enough is met, want none.
    """
    return frozenset(
        phase
        for result in assessment.asked
        for leaf in result.level.open_leaves
        for phase in leaf.condition.photos_of
    )


def _belongs(phase: Phase, case: Case, assessment: Assessment) -> bool:
    if phase is Phase.TEAR_OFF:
        return not case.is_recover
    if phase is Phase.HIP_AND_RIDGE:
        return bool(assessment.totals.ridge_ft or assessment.totals.hip_ft)
    if phase is Phase.VENTILATION:
        return bool(case.materials_of(Role.EXHAUST_VENT) or case.materials_of(Role.INTAKE_VENT))
    if phase is Phase.FLASHING:
        said = case.reason_not("installation.flashing")
        places = (Role.FLASHING, Role.PIPE_BOOT)
        return not said and not all(why_no_place(case, role) for role in places)
    return True


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
    id="PHO-004",
    says="{file} is filed under {phase}, and its camera says {taken}; that phase was on {days}.",
    why="A photo from another day than its phase is the first thing an opposing engineer looks for.",
    source="CIPA DC-008 (Exif 2.32), tag DateTimeOriginal, against the work log",
    owed_by=Party.OFFICE,
    remedy="File it under the right phase, correct the work log, or note at the photo that the camera's "
    "clock was wrong; until then it stays on file.",
    asks=LEFT_TO_OFFICE,
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
            days = listed(
                [
                    write_date(w.first)
                    if w.first == w.last
                    else f"{write_date(w.first)} to {write_date(w.last)}"
                    for w in work
                ]
            )
        if wrong:
            yield Fault(
                case.photo_where(photo.file),
                {
                    "file": photo.file,
                    "phase": photo.phase.value,
                    "taken": write_date(taken),
                    "days": days,
                },
            )


def _around(phase: Phase, began: date | None, ended: date | None, taken: date) -> tuple[str, bool]:
    """Return the span in words and whether the day lies outside it."""
    if phase is Phase.BEFORE:
        return (f"or before {write_date(began)}", taken > began) if began else ("", False)
    start = began if phase is Phase.CLEAN_UP else ended
    return (f"or after {write_date(start)}", taken < start) if start else ("", False)


@rule(
    id="PHO-005",
    says="No camera time in {count} of {all}.",
    why="Texted pictures lose it and stamping programs save every file again; it is no suspicion, only "
    "weaker evidence of the day.",
    source="CIPA DC-008 (Exif 2.32): re-saving often drops the camera's data",
    owed_by=Party.CREW,
    remedy="Ask for the originals; else note at the photo from whom and when it came.",
    asks="Send us the originals, not copies from messages; they keep the day.",
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
        and not _is_received(photo)
    ]
    if blank:
        yield Fault(
            Where("photos"),
            {"count": str(len(blank)), "all": plural(len(case.photos), "photo")},
            verdict=Verdict.MISSING,
        )


def _is_received(photo: Photo) -> bool:
    """Return whether somebody noted from whom and when the photo came: the second-best evidence of its day."""
    return photo.received_from is not None and photo.received_on is not None


@rule(
    id="PHO-006",
    says="{files} are one and the same picture, filed under {phases}.",
    why="One picture cannot show two phases; whoever finds it doubts the rest.",
    source="sha256 of the files (FIPS 180-4)",
    owed_by=Party.OFFICE,
    remedy="Keep it where it belongs and take it out of the other folder.",
    asks=LEFT_TO_OFFICE,
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
                case.photo_where(files[0]), {"files": listed(files), "phases": listed(phases)}
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
                {"file": photo.file, "size": f"{width} x {height}", "least": str(LEAST_PX)},
            )


@rule(
    id="PHO-008",
    says="Not filed: {files}. Neither a listing nor the folder says what is shown.",
    why="A file that is not filed is left out of every document.",
    source="Our habit: photos/PHASE/SLOPE-name.jpg and papers/KIND-name.pdf",
    owed_by=Party.OFFICE,
    remedy="Move it into the folder of its phase, or list it in photos.yaml or under papers.",
    asks=LEFT_TO_OFFICE,
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
        shown = list(facts.strays[:5])
        more = len(facts.strays) - len(shown)
        files = listed([*shown, f"{more} more"] if more else shown)
        yield Fault(Where(facts.strays[0]), {"files": files})


@rule(
    id="PHO-009",
    says="{file} is filed for slope “{slope}”, and the record has no slope of that name.",
    why="A photo of a slope nobody knows backs nothing.",
    source="Our habit; no published source",
    owed_by=Party.OFFICE,
    remedy="Correct the slope in photos.yaml, or add the slope to the record.",
    asks=LEFT_TO_OFFICE,
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
    id="PHO-010",
    says="{file} {fault}",
    why="A paper that does not open cannot be sent, printed or read in ten years.",
    source="The file itself; ISO 32000-1 for PDF",
    owed_by=Party.OFFICE,
    remedy="Ask whoever sent it for a copy without a password, or scan the paper again.",
    asks=LEFT_TO_OFFICE,
    manner=Manner(tells_owner=False, sends=Sends.NOWHERE, life_safety=False),
    examples=[
        Example(
            {"facts.papers/completion.pdf.fault": "is damaged. Ask for a good copy."},
            finds="papers/completion.pdf is damaged. Ask for a good copy.",
        ),
        Example({"facts.papers/completion.pdf.page_count": 3}, finds=None),
    ],
    rests_on={
        "job.papers.*.file": "A paper is its file; without one there is no paper.",
    },
)
def paper_does_not_open(case: Case, facts: Facts) -> Iterator[Fault]:
    for paper in case.papers:
        fact = facts.papers.get(paper.file)
        if fact is None:
            continue
        if fact.fault is not None:
            yield Fault(
                case.paper_where(paper.file),
                {"file": paper.file, "fault": fact.fault},
                verdict=Verdict.WRONG if fact.exists else Verdict.MISSING,
            )


def _papers_terms_ask(assessment: Assessment) -> frozenset[PaperKind]:
    """Return the kinds of paper that a clause that is not met yet wants on file."""
    return frozenset(
        kind
        for result in assessment.asked
        for leaf in result.level.open_leaves
        for kind in leaf.condition.papers
    )


@rule(
    id="PHO-011",
    says="{file} holds {active}, which a paper to be kept for thirty years must not.",
    why="What runs when a paper is opened can be changed, and a maker's clerk will refuse to open it.",
    source="ISO 19005-3:2012 (PDF/A-3), section 6.6: no actions that run (section from memory)",
    owed_by=Party.OFFICE,
    remedy="Print it to a new PDF and file that one. Meanwhile the packet carries a copy of what "
    "its pages show, where one can be made.",
    asks=LEFT_TO_OFFICE,
    manner=Manner(tells_owner=False, sends=Sends.NOWHERE, life_safety=False),
    lighter=Weight.NOTE,
    examples=[
        Example(
            {"facts.papers/completion.pdf.active_content": ("JavaScript",)},
            finds="papers/completion.pdf holds JavaScript, which a paper to be kept for thirty years "
            "must not.",
        ),
        Example({"facts.papers/completion.pdf.active_content": ()}, finds=None),
    ],
    rests_on={
        "job.papers.*.file": "A paper is its file; without one there is no paper.",
    },
)
def paper_does_things(case: Case, facts: Facts) -> Iterator[Fault]:
    for paper in case.papers:
        fact = facts.papers.get(paper.file)
        if fact is not None and fact.active_content:
            yield Fault(
                case.paper_where(paper.file),
                {"file": paper.file, "active": listed(fact.active_content)},
            )


@rule(
    id="PHO-012",
    says="Not on file in papers/: {kinds}.",
    why="These are the papers an owner, a buyer or the maker asks for within the first year.",
    source="Common practice, no published source",
    owed_by=Party.OFFICE,
    remedy="Chase and file them; the file's name begins with the kind of paper.",
    asks=LEFT_TO_OFFICE,
    manner=Manner(tells_owner=False, sends=Sends.NOWHERE, life_safety=False),
    examples=[
        Example(
            {"facts.papers/colour-choice.pdf": None},
            finds="Not on file in papers/: colour choice.",
        ),
        Example({"facts.papers/waiver-crew.pdf": None}, finds=None),
    ],
    rests_on={
        "locality.permit_needed": "A sheet that does not say is read as asking for a permit.",
        "job.papers.*.kind": "A paper without a kind is not filed, which has an item of its own.",
    },
)
def usual_papers_missing(case: Case, facts: Facts, assessment: Assessment) -> Iterator[Fault]:
    # What a clause asks for has its own item under registration.
    asked = _papers_terms_ask(assessment)
    usual = [PaperKind.COLOUR_CHOICE, PaperKind.COMPLETION]
    if case.locality.permit_needed:
        usual.append(PaperKind.PERMIT)
    blank = [
        kind.value for kind in usual if kind not in asked and not good_papers(case, facts, kind)
    ]
    if blank:
        yield Fault(Where("papers"), {"kinds": listed(blank)}, verdict=Verdict.MISSING)


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
    asks=LEFT_TO_OFFICE,
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
        photo.file: known[photo.file] for photo, _ in _opening(case, facts) if photo.file in known
    }
    far = {
        photo.file: away[photo.file]
        for photo in case.photos
        if away.get(photo.file, 0) > MOST_FT_FROM_HOUSE and not is_reviewed(photo)
    }
    most = {"most": f"{MOST_FT_FROM_HOUSE:,} ft"}
    if len(far) > 3 and 2 * len(far) > len(away):
        # Where most of them are far, it is the house's own place that somebody mistyped.
        photos = f"{len(far)} of {plural(len(away), 'photo')} were"
        yield Fault(
            case.where("job.place"),
            {"photos": photos, "far": f"{_way(min(far.values()))} or more", **most},
            remedy="Correct job.place if the house lies elsewhere; else file the photos with their job.",
        )
        return
    for file, feet in far.items():
        yield Fault(case.photo_where(file), {"photos": f"{file} was", "far": _way(feet), **most})


def _way(feet: Fraction) -> str:
    if feet < _FEET_PER_MILE:
        return f"{write_number(feet, 0)} ft"
    return f"{write_number(feet / _FEET_PER_MILE, 1)} miles"


def _opening(case: Case, facts: Facts) -> Iterator[tuple[Photo, PhotoFact]]:
    """Yield each photo that opens, with its fact."""
    for photo in case.photos:
        fact = facts.photos.get(photo.file)
        if fact is not None and fact.exists and fact.fault is None:
            yield photo, fact


@rule(
    id="PHO-014",
    says="Saved by a program, with no camera named: {count} of {all}.",
    why="Programs that stamp a date, and messages, save every picture again and drop the camera's name; it "
    "is no suspicion, only one thing less that can be shown.",
    source="CIPA DC-008 (Exif 2.32), tags Software, Make and Model",
    owed_by=Party.CREW,
    remedy="Ask for the originals and keep both; else note at the photo from whom and when it came.",
    asks="Send us the originals, as the phone took them.",
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
        for photo, fact in _opening(case, facts)
        if fact.software and fact.camera is None and not _is_received(photo)
    ]
    if saved:
        yield Fault(
            Where("photos"),
            {"count": str(len(saved)), "all": plural(len(case.photos), "photo")},
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
    for photo, fact in _opening(case, facts):
        fault = shows_nothing(fact)
        if fault is not None and not is_reviewed(photo):
            yield Fault(case.photo_where(photo.file), {"file": photo.file, "fault": fault})


@rule(
    id="PHO-016",
    says="{files} look like copies of one picture, {bits} of 64 bits apart, filed under {phases}.",
    why="One picture cannot show two phases; whoever finds it doubts the rest.",
    source="Difference hash (N. Krawetz, “Kind of Like That”, The Hacker Factor Blog, 2013); the limit is "
    "common practice, no published source",
    owed_by=Party.OFFICE,
    remedy="Look at both. Keep the larger where it belongs; if they are two pictures, let somebody note "
    "what each shows with dossier review.",
    asks=LEFT_TO_OFFICE,
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
        for photo, fact in _opening(case, facts)
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
                "files": listed([file for file, _ in pair]),
                "phases": listed([phase for _, phase in pair]),
                "bits": str(bits),
            },
        )


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
    id="PHO-017",
    says="{file} is filed under underlayment on slope {slope} and was taken {taken}, after the last photo "
    "of the field there, {last}.",
    why="What lies under shingles cannot be photographed after them; one of the two is filed wrongly, or a "
    "camera's clock is.",
    source="CIPA DC-008 (Exif 2.32), tags DateTimeOriginal and OffsetTimeOriginal; hours are common "
    "practice, no published source",
    owed_by=Party.OFFICE,
    remedy="File it under the phase and slope that it shows, or let somebody who was there note what it "
    "shows with dossier review.",
    asks=LEFT_TO_OFFICE,
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
    opening = list(_opening(case, facts))
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


def _after_all(
    fact: PhotoFact, field: list[PhotoFact], logged: list[date]
) -> tuple[str, str] | None:
    """Return when a photo and the last of the field were taken, in words; None unless it came after."""
    taken = fact.taken_at_local
    times = [one.taken_at_local for one in field if one.taken_at_local is not None]
    if taken is None or not times:
        return None
    last = max(times)
    if taken.date() > max([last.date(), *logged]):
        return write_date(taken.date()), write_date(last.date())
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


def _moment(at: datetime) -> str:
    return f"{write_date(at.date())} at {at:%H:%M}"
