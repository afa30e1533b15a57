"""What the case takes from the company, the locality and the catalogues, and where each value stands."""

from fractions import Fraction
from pathlib import Path

import pytest

from dossier.case.case import Case, Told
from dossier.case.fill import fill
from dossier.punchlist import Item, Where
from dossier.reading.model import Lines, Read, read_model
from dossier.reading.nodes import parse_tree
from dossier.record.files import Photo, PhotoList
from dossier.record.job import Job
from dossier.record.read import Listed
from dossier.terms.read import read_catalogues, read_company, read_locality, read_sheet
from dossier.words import Exposure, Phase, Role, WallDatum

OFFICE = Path(__file__).parents[2] / "demo_jobs"
HEAD = "record: 1\njob:\n  number: 1\n  address: a\n  locality: vintermark-2026\n  crew: north\n"
CATALOGUES = read_catalogues(OFFICE)
COMPANY = read_company(OFFICE)
LOCALITY = read_locality(OFFICE, "vintermark-2026", Where("job.yaml"))


def filled(
    text: str, photos: tuple[Photo, ...] = (), head: str = HEAD
) -> tuple[Case | None, tuple[Item, ...]]:
    """Return the case of a job with the demo's office folder."""
    tree = parse_tree((head + text).encode(), "job.yaml").tree
    assert tree is not None
    job = read_model(tree, "job.yaml", Job)
    assert job.model is not None, job.items
    sheets = {
        warranty.sheet: read_sheet(OFFICE, warranty.sheet, Where("job.yaml"))
        for warranty in job.model.warranties
    }
    photo_list = Read(PhotoList(), (), Lines("photos.yaml"))
    files = Listed(photos, (), {}, {})
    return fill(job, photo_list, files, COMPANY, LOCALITY, sheets, CATALOGUES)


def case_of(text: str, photos: tuple[Photo, ...] = (), head: str = HEAD) -> Case:
    """Return the case of a job that names nothing unknown."""
    case, items = filled(text, photos, head)
    assert items == ()
    assert case is not None
    return case


def test_what_the_job_leaves_blank_comes_from_the_sheets() -> None:
    assert COMPANY.model
    assert LOCALITY.model
    crew = next(crew for crew in COMPANY.model.crews if crew.name == "north")
    case = case_of("")
    assert case.crew_lead == Told(crew.lead, COMPANY.lines.where("crews.0"), True)
    assert case.supervised_by is not None
    assert case.supervised_by.value == crew.supervisor
    assert case.supervised_by.where.file == "company.yaml"
    assert case.exposure == Told(LOCALITY.model.exposure, LOCALITY.lines.where("exposure"), True)
    assert case.wall_datum.where.file == "localities/vintermark-2026.yaml"
    assert case.overrides == ()


def test_of_several_crews_each_is_named_in_the_order_of_the_job() -> None:
    case = case_of("", head=HEAD.replace("north", "lakeside + north"))
    assert case.crew_lead is not None
    assert case.crew_lead.value == "Piet Halden and Jens Aberg"
    assert case.sub_crews == ("Halden Roof Crew",)


def test_what_the_job_says_wins_and_the_difference_is_kept() -> None:
    assert LOCALITY.model
    case = case_of(
        "building:\n  exposure: D\n  design_wind_mph: 130\n  wall_datum: inside face\n",
        head=HEAD + "  crew_lead: Nils Berg\n",
    )
    assert case.exposure == Told(Exposure.D, Where("job.yaml", 9, "building.exposure"), False)
    assert case.wall_datum.value is WallDatum.INSIDE_FACE
    assert case.crew_lead is not None
    assert (case.crew_lead.value, case.crew_lead.filled_in) == ("Nils Berg", False)
    said = {one.field: (one.job_says, one.sheet_says) for one in case.overrides}
    assert said["building.design_wind_mph"] == ("130", str(LOCALITY.model.design_wind_mph))
    assert said["job.crew_lead"] == ("Nils Berg", "Jens Aberg")
    assert {one.sheet.file for one in case.overrides} == {
        "company.yaml",
        "localities/vintermark-2026.yaml",
    }


def test_the_same_value_typed_again_is_no_difference() -> None:
    assert LOCALITY.model
    case = case_of(f"building:\n  exposure: {LOCALITY.model.exposure.value}\n")
    assert not case.exposure.filled_in
    assert case.overrides == ()


def test_an_unknown_crew_fills_nothing_in() -> None:
    case = case_of("", head=HEAD.replace("north", "nroth"))
    assert case.crew_lead is case.supervised_by is None
    assert case.crews == ()


def test_a_product_of_the_catalogue_says_what_it_is_for() -> None:
    case = case_of(
        "deliveries:\n  - ticket: 1\n    lines:\n"
        "      - 42 bundles FENWRIGHT  40, returned 2, lots A x 30; B x 8; C\n"
        "      - 3 rolls Unheard-of felt\n"
        "      - product: Fenwright 40\n        quantity: 1\n        role: starter\n"
        "        covers_sqft: 30 sq ft\n"
    )
    known, unknown, corrected = case.materials
    assert (known.role, known.maker) == (Role.FIELD_SHINGLE, "Kestrelmoor")
    assert known.quantity == Fraction(40)
    assert known.lot_quantity == Fraction(38)
    assert known.product is case.product("fenwright 40")
    assert (unknown.product, unknown.role, unknown.maker) == (None, None, None)
    assert unknown.quantity == Fraction(3)
    assert corrected.role is Role.STARTER
    assert corrected.covers_sqft == Fraction(30)
    fields = {one.field for one in case.overrides}
    assert fields == {"deliveries.0.lines.2.role", "deliveries.0.lines.2.covers_sqft"}
    assert case.materials_of(Role.FIELD_SHINGLE) == (known,)


def test_a_level_that_the_sheet_does_not_have() -> None:
    case, items = filled("warranties:\n  - sheet: kestrelmoor-2026\n    level: Golden\n")
    assert case is None
    (item,) = items
    assert (item.rule, item.where.line, item.where.field) == ("SHP-016", 9, "warranties.0.level")
    assert str(item.says).startswith(
        "job.yaml:9 asks for the level “Golden” of kestrelmoor-2026, which has "
    )


def test_the_work_log_phase_by_phase() -> None:
    case = case_of(
        "slopes:\n  - front\n  - back\nwork:\n"
        "  - 2026-09-14 to 2026-09-15, tear-off + deck, checked by Ida\n"
        "  - 2026-09-16, field, on back\n  - 2026-09-18, finished\n  - 2026-09-01, before\n"
    )
    assert [(w.phase, w.first.day, w.last.day, w.path) for w in case.work] == [
        (Phase.TEAR_OFF, 14, 15, "work.0"),
        (Phase.DECK, 14, 15, "work.0"),
        (Phase.FIELD, 16, 16, "work.1"),
        (Phase.FINISHED, 18, 18, "work.2"),
        (Phase.BEFORE, 1, 1, "work.3"),
    ]
    # The day of the look is the last day of the work unless the log says otherwise.
    assert str(case.work[0].checked_on) == "2026-09-15"
    assert case.work[2].checked_on is None
    assert len(case.work_on(Phase.FIELD, "back")) == 1
    assert case.work_on(Phase.FIELD, "front") == ()
    assert len(case.work_on(Phase.DECK, "front")) == 1
    assert (str(case.first_day_of_work()), str(case.last_day_of_work())) == (
        "2026-09-14",
        "2026-09-16",
    )
    assert case.last_day_of(Phase.STARTER) is None


@pytest.mark.parametrize(
    ("names", "found"),
    [
        (("back-before",), "photos/deck-repair/back-before.jpg"),
        (("back-before", "back-after"), "photos/deck-repair/back-before.jpg"),
        # Of two that fit, neither is taken: a guess would put a picture in somebody's mouth.
        (("back-before-1", "back-before-2"), None),
        (("back-after",), None),
        (("back-beforehand",), None),
    ],
)
def test_a_repair_finds_its_one_photo(names: tuple[str, ...], found: str | None) -> None:
    photos = tuple(
        Photo(file=f"photos/deck-repair/{name}.jpg", phase=Phase.DECK_REPAIR, slope="back")
        for name in names
    )
    case = case_of("slopes: back\nrepairs:\n  - slope: back\n", photos)
    assert case.job.repairs[0].photo_before == found
    named = case_of("slopes: back\nrepairs:\n  - slope: back\n    photo_before: a.jpg\n", photos)
    assert named.job.repairs[0].photo_before == "a.jpg"
