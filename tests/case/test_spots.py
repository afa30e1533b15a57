"""Places in the record as people read them."""

import pytest

from dossier.case.spots import spot
from dossier.rules.book import punch_list
from tests.known_good import known_good


@pytest.mark.parametrize(
    ("path", "read"),
    [
        ("slopes.1.pitch", "slopes.1.pitch (slope back)"),
        ("deliveries.0.lines.2", "deliveries.0.lines.2 (ticket 55120, Crownline hip and ridge)"),
        (
            "deliveries.0.lines.2.lots.0",
            "deliveries.0.lines.2.lots.0 (ticket 55120, Crownline hip and ridge)",
        ),
        ("repairs.0.price", "repairs.0.price"),
        ("work.1.checked_by", "work.1.checked_by (work, entry 2)"),
        ("building.attics.0.intake", "building.attics.0.intake"),
        ("photos.3.slope", "photos.3.slope (photos, entry 4)"),
        ("slopes.9.pitch", "slopes.9.pitch (slopes, entry 10)"),
        ("permit.number", "permit.number"),
        ("", ""),
    ],
)
def test_numbers_in_a_path_are_told_by_name_or_counted_from_one(path: str, read: str) -> None:
    assert spot(known_good().case.job, path) == read


def test_a_finding_names_the_slope_wherever_it_is_printed() -> None:
    edit = {"job.slopes.1": "back, faces N, plan 40 ft x 14 ft, eave 40 ft, rakes 31.3 ft, pipes 1"}
    known = known_good(edit)
    items = punch_list(known.case, known.facts, known.assessment, known.run)
    (item,) = [one for one in items if "slopes.1.pitch" in one.fields]
    assert "slopes.1.pitch (slope back)" in item.place
    # What programs read stays a path.
    assert item.lacks == ("slopes.1.pitch",)
