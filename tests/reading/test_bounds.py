"""Figures that would later divide by nought or run off the calendar are refused where they stand.

The bounds are the tool's own; that nothing breaks at them is checked with the known-good job. The fastest
wind ever measured near the ground, 253 mph, is from the World Meteorological Organization's archive of
weather and climate extremes (Barrow Island, 10 April 1996); from memory.
"""

import pytest

from dossier.reading.model import Lines, Model, Read, read_model
from dossier.reading.nodes import parse_tree
from dossier.record.job import Job
from dossier.record.people import Building, Vent
from dossier.terms.coverage import TableStep, Transfer
from dossier.terms.sheet import ClaimNotice, Product, Registration
from tests.known_good import Unreadable, known_good

PRODUCT = "product: a\nrole: fastener\nunit: box\n"
HUGE = "1" + "0" * 30


def _read(text: str, model: type[Model]) -> Read[Model]:
    tree = parse_tree(text.encode(), "x.yaml").tree
    assert tree is not None
    return read_model(tree, "x.yaml", model)


@pytest.mark.parametrize(
    ("model", "text", "taken"),
    [
        (Product, f"{PRODUCT}net_free_area_sqin: ", "1/2 sq in"),
        (Product, f"{PRODUCT}pieces_per_unit: ", "1"),
        (Product, f"{PRODUCT}shingles_per_square: ", "1"),
        (Vent, "product: a\ncount: 1\nnet_free_area_sqin: ", "18"),
        (Building, "design_wind_mph: ", "1"),
        (Building, "dwellings: ", "1"),
    ],
)
def test_a_measure_of_something_that_is_there_is_above_zero(
    model: type[Model], text: str, taken: str
) -> None:
    assert _read(text + taken, model).items == ()
    (item,) = _read(text + "0", model).items
    assert str(item.says).endswith("above zero.")
    assert "found “0”" in str(item.says)


@pytest.mark.parametrize(
    ("model", "text", "most"),
    [
        (Building, "design_wind_mph: ", 400),
        (Building, "flues: ", 1_000_000),
        (Registration, "counted_from: contract\nwithin_days: ", 36_500),
        (ClaimNotice, "within_days: ", 36_500),
        (Transfer, "within_days: ", 36_500),
        (Transfer, "second_owner_years: ", 200),
        (Transfer, "roof_at_most_years: ", 200),
        (TableStep, "share: 60 %\nafter_years: ", 200),
    ],
)
def test_a_count_has_a_bound_that_is_said(model: type[Model], text: str, most: int) -> None:
    assert _read(f"{text}{most}", model).items == ()
    for over in (str(most + 1), HUGE):
        (item,) = _read(text + over, model).items
        assert str(item.says).endswith(f"number of at most {most:,}.")


@pytest.mark.parametrize(
    "edits",
    [
        {"job.building.design_wind_mph": "0"},
        {"locality.design_wind_mph": "0"},
        {"locality.lapses_after_days": HUGE},
        {"terms.kestrelmoor-2026.levels.2.registration.within_days": HUGE},
        {"job.job.layers_found": HUGE},
    ],
)
def test_such_a_figure_is_an_item_and_no_crash(edits: dict[str, object]) -> None:
    with pytest.raises(Unreadable, match=r"of at most|above zero"):
        known_good(edits)


def test_the_last_day_that_is_read_and_the_most_days_still_make_a_date() -> None:
    known = known_good(
        {
            "job.job.completion_signed_on": "2199-12-31",
            "job.permit.issued": "2199-12-31",
            "job.permit.closed_on": None,
            "locality.lapses_after_days": "36500",
            "terms.kestrelmoor-2026.levels.2.registration.within_days": "36500",
            "run.today": "2199-12-31",
        }
    )
    assert len(known.punch_list)


@pytest.mark.parametrize(
    ("text", "line", "name"),
    [
        ("record: 1\n\n'': x\n", 3, ""),
        ("record: 1\n\n'':\n", 3, ""),
        ("record: 1\n\n'': n/a, none\n", 3, ""),
        ("record: 1\njob:\n  number: 1\n  '': x\n", 4, ""),
        ("record: 1\n\n\n'.x': y\n", 4, ".x"),
        ("record: 1\njob:\n  a.b:\n", 3, "a.b"),
    ],
)
def test_an_odd_name_of_a_field_is_found_on_its_own_line(text: str, line: int, name: str) -> None:
    items = [item for item in _read(text, Job).items if "not a known field" in str(item.says)]
    assert [(item.where.line, str(item.says)) for item in items] == [
        (line, f"x.yaml line {line}: “{name}” is not a known field here.")
    ]


def test_an_empty_name_does_not_move_the_line_of_the_record_itself() -> None:
    read = _read("record: 1\n\n'': {job: x}\n", Job)
    (missing,) = [item for item in read.items if "“job” is blank" in str(item.says)]
    assert missing.where.line == 1
    assert isinstance(read.lines, Lines)
    assert not read.lines.has("job")
