"""Photos and papers: asked-for views, files that open, times that fit the story."""

from collections.abc import Iterator
from datetime import date

from dossier.assess.backing import good_papers, good_photos
from dossier.assess.conditions import slopes_to_show
from dossier.assess.results import PHASES_PER_SLOPE, Assessment
from dossier.case.case import Case
from dossier.evidence.facts import Facts
from dossier.punchlist import Holds, Party, Verdict, Weight, Where
from dossier.rules.declare import Example, Fault, rule
from dossier.values import Run, listed, plural, write_date
from dossier.words import PaperKind, Phase, Role

LEAST_PX = 480
"""Shorter side below which a photo shows too little to judge a nail or a lap; common practice, no
published source."""

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
    remedy="Look on the crew's phones for that day. If there is none, say so by leaving it: the handover "
    "prints it as not on file.",
    holds={Holds.REGISTRATION},
    examples=[
        Example(
            {"facts.photos/underlayment/back.jpg": None},
            finds="No photo of underlayment on slope back.",
        ),
        Example({"facts.photos/starter/back.jpg": None}, finds=None),
    ],
)
def phase_without_photo_on_slope(
    case: Case, facts: Facts, assessment: Assessment, run: Run
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
    holds={Holds.REGISTRATION},
    examples=[
        Example(
            {"facts.photos/hip-and-ridge/front.jpg": None},
            finds="No photo shows hip and ridge anywhere on the roof.",
        ),
        Example({"facts.photos/flashing/back-boot.jpg": None}, finds=None),
    ],
)
def detail_without_photo(
    case: Case, facts: Facts, assessment: Assessment, run: Run
) -> Iterator[Fault]:
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
    """Return the phases of which a clause of an asked level wants a photo."""
    return frozenset(
        phase
        for result in assessment.asked
        for condition in result.level.conditions
        for leaf in condition.leaves
        for phase in leaf.condition.photos_of
    )


def _belongs(phase: Phase, case: Case, assessment: Assessment) -> bool:
    if phase is Phase.TEAR_OFF:
        return not case.is_recover
    if phase is Phase.HIP_AND_RIDGE:
        return bool(assessment.totals.ridge_ft or assessment.totals.hip_ft)
    if phase is Phase.VENTILATION:
        return bool(case.materials_of(Role.EXHAUST_VENT) or case.materials_of(Role.INTAKE_VENT))
    return True


@rule(
    id="PHO-003",
    says="{file} {fault}",
    why="A photo that does not open proves nothing, and its original may still be on the phone.",
    source="The file itself",
    owed_by=Party.CREW,
    remedy="Copy it again from the phone it was taken with.",
    examples=[
        Example(
            {"facts.photos/field/front.jpg.fault": "is cut short. Copy it again from the phone."},
            finds="photos/field/front.jpg is cut short. Copy it again from the phone.",
        ),
        Example({"facts.photos/field/front.jpg.software": "another program"}, finds=None),
    ],
)
def photo_does_not_open(
    case: Case, facts: Facts, assessment: Assessment, run: Run
) -> Iterator[Fault]:
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
    "clock was wrong.",
    examples=[
        Example(
            {"facts.photos/field/back.jpg.taken_at_local": "2026-09-13 10:00"},
            finds="photos/field/back.jpg is filed under field, and its camera says 13 September 2026; "
            "that phase was on 15 September 2026.",
        ),
        Example({"facts.photos/field/back.jpg.taken_at_local": "2026-09-15 23:59"}, finds=None),
        Example({"facts.photos/field/back.jpg.taken_at_local": None}, finds=None),
    ],
)
def taken_on_another_day(
    case: Case, facts: Facts, assessment: Assessment, run: Run
) -> Iterator[Fault]:
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
)
def no_camera_time(case: Case, facts: Facts, assessment: Assessment, run: Run) -> Iterator[Fault]:
    blank = [
        photo
        for photo in case.photos
        if (fact := facts.photos.get(photo.file)) is not None
        and fact.fault is None
        and fact.taken_at_local is None
        and photo.received_on is None
    ]
    if blank:
        yield Fault(
            Where("photos"),
            {"count": str(len(blank)), "all": plural(len(case.photos), "photo")},
            verdict=Verdict.MISSING,
        )


@rule(
    id="PHO-006",
    says="{files} are one and the same picture, filed under {phases}.",
    why="One picture cannot show two phases; whoever finds it doubts the rest.",
    source="sha256 of the files (FIPS 180-4)",
    owed_by=Party.OFFICE,
    remedy="Keep it where it belongs and take it out of the other folder.",
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
)
def one_picture_two_phases(
    case: Case, facts: Facts, assessment: Assessment, run: Run
) -> Iterator[Fault]:
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
    examples=[
        Example(
            {"facts.photos/field/front-nails.jpg.size_px": (640, 479)},
            finds="photos/field/front-nails.jpg is 640 x 479 pixels; at least 480 on the shorter side "
            "are needed to show anything.",
        ),
        Example({"facts.photos/field/front-nails.jpg.size_px": (480, 640)}, finds=None),
    ],
)
def photo_too_small(case: Case, facts: Facts, assessment: Assessment, run: Run) -> Iterator[Fault]:
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
    examples=[
        Example(
            {"facts.strays": ("photos/IMG_0001.jpg",)},
            finds="Not filed: photos/IMG_0001.jpg. Neither a listing nor the folder says what is shown.",
        ),
        Example({"facts.strays": ()}, finds=None),
    ],
)
def file_not_filed(case: Case, facts: Facts, assessment: Assessment, run: Run) -> Iterator[Fault]:
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
    examples=[
        Example(
            {"photos.0": {"file": "photos/field/back.jpg", "slope": "bakc"}},
            finds="photos/field/back.jpg is filed for slope “bakc”, and the record has no slope of that "
            "name.",
        ),
        Example({"photos.0": {"file": "photos/field/back.jpg", "slope": "back"}}, finds=None),
    ],
)
def photo_of_unknown_slope(
    case: Case, facts: Facts, assessment: Assessment, run: Run
) -> Iterator[Fault]:
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
    examples=[
        Example(
            {"facts.papers/completion.pdf.fault": "is damaged. Ask for a good copy."},
            finds="papers/completion.pdf is damaged. Ask for a good copy.",
        ),
        Example({"facts.papers/completion.pdf.page_count": 3}, finds=None),
    ],
)
def paper_does_not_open(
    case: Case, facts: Facts, assessment: Assessment, run: Run
) -> Iterator[Fault]:
    for paper in case.papers:
        fact = facts.papers.get(paper.file)
        if fact is None:
            continue
        fault = fact.fault
        if fault is None and fact.encrypted:
            fault = "is locked with a password. Ask for a copy without one."
        if fault is not None:
            yield Fault(
                case.paper_where(paper.file),
                {"file": paper.file, "fault": fault},
                verdict=Verdict.WRONG if fact.exists else Verdict.MISSING,
            )


def _papers_terms_ask(assessment: Assessment) -> frozenset[PaperKind]:
    """Return the kinds of paper that a clause of an asked level wants on file."""
    return frozenset(
        kind
        for result in assessment.asked
        for condition in result.level.conditions
        for leaf in condition.leaves
        for kind in leaf.condition.papers
    )


@rule(
    id="PHO-011",
    says="{file} holds {active}, which a paper to be kept for thirty years must not.",
    why="What runs when a paper is opened can be changed, and a maker's clerk will refuse to open it.",
    source="ISO 19005-3:2012 (PDF/A-3), section 6.6: no actions that run",
    owed_by=Party.OFFICE,
    remedy="Print it to a new PDF and file that one; the packet carries a cleaned copy meanwhile.",
    lighter=Weight.NOTE,
    examples=[
        Example(
            {"facts.papers/completion.pdf.active_content": ("JavaScript",)},
            finds="papers/completion.pdf holds JavaScript, which a paper to be kept for thirty years "
            "must not.",
        ),
        Example({"facts.papers/completion.pdf.active_content": ()}, finds=None),
    ],
)
def paper_does_things(
    case: Case, facts: Facts, assessment: Assessment, run: Run
) -> Iterator[Fault]:
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
    examples=[
        Example(
            {"facts.papers/colour-choice.pdf": None},
            finds="Not on file in papers/: colour choice.",
        ),
        Example({"facts.papers/waiver-crew.pdf": None}, finds=None),
    ],
)
def usual_papers_missing(
    case: Case, facts: Facts, assessment: Assessment, run: Run
) -> Iterator[Fault]:
    # What a clause asks for has its own item under registration.
    asked = _papers_terms_ask(assessment)
    usual = [PaperKind.COLOUR_CHOICE, PaperKind.COMPLETION]
    if case.locality.permit_needed:
        usual.append(PaperKind.PERMIT)
    blank = [
        kind.value for kind in usual if kind not in asked and not good_papers(case, facts, kind)
    ]
    if blank:
        yield Fault(case.where("papers"), {"kinds": listed(blank)}, verdict=Verdict.MISSING)
