"""What a new job may take over is decided at each field; what is seen on a roof never is."""

import pytest

from dossier import RECORD_VERSION
from dossier.reading.as_on import as_on
from dossier.reading.declared import repeats
from dossier.reading.kinds import Day
from dossier.reading.model import Model, Read, kind_in, model_in
from dossier.reading.nodes import parse_tree
from dossier.record.job import Job
from dossier.record.read import job_in
from dossier.record.repeats import products, repeated, vents
from dossier.record.signed import Signed
from tests.record.strategies import models_below

FIELDS = [(model, name) for model in models_below(Job) for name in model.model_fields]

HABITS = {
    # What the office decides for every house: the permit office it works under, crew, supplier, level, prices.
    "JobHead": {"locality", "crew"},
    "Delivery": {"supplier"},
    "Warranty": {"sheet", "level"},
    "MoneyRecord": {"sheet_price", "board_foot_price"},
    # What it buys, as printed on the product.
    "MaterialLine": {
        *("product", "unit", "role", "maker", "standard", "wind_class"),
        *("covers_sqft", "covers_ft", "carries_lot"),
    },
    # Whose waiver it waits for, and of which kind.
    "Waiver": {"kind", "given_by"},
    "Vent": {"product", "net_free_area_sqin", "low"},
    # How its crews lay.
    "Installation": {
        *("nails_per_shingle", "fastener", "fastener_length_in", "fastener_shank_in"),
        *("fastener_head_in", "underlayment_layers", "underlayment_caps"),
        *("drip_edge_at", "starter_at", "valley_method", "valley_lining_in"),
    },
    # What one day of its crews takes; never the day, nor who looked.
    "WorkDay": {"phases"},
    "Job": {"warranties"},
}
"""Common practice, no published source: what an office does alike. All else is seen, measured or counted there."""

SEEN_ON_EACH_ROOF = {
    *("Slope", "Eave", "Deck", "Repair", "Lot", "OffAndOn", "AfterWork", "Permit"),
    *(
        "Inspection",
        "Owner",
        "Insurance",
        "Attic",
        "LeadDust",
        "Building",
        "ChangeOrder",
        "Invoice",
    ),
    *("Payment", "ScopeLine", "RolePrice", "Paper", "Signed", "Review"),
}


@pytest.mark.parametrize(("model", "name"), FIELDS, ids=lambda part: str(part))
def test_each_field_is_decided(model: type[Model], name: str) -> None:
    assert repeats(model.model_fields[name]) == (name in HABITS.get(model.__name__, ()))


@pytest.mark.parametrize(("model", "name"), FIELDS, ids=lambda part: str(part))
def test_no_day_no_look_and_no_group_seen_on_a_roof_repeats(model: type[Model], name: str) -> None:
    info = model.model_fields[name]
    if not repeats(info):
        return
    assert model.__name__ not in SEEN_ON_EACH_ROOF
    assert kind_in(info) is not kind_in(_Dated.model_fields["day"])
    assert model_in(info.annotation) is not Signed


class _Dated(Model):
    day: Day


def read(text: str) -> Read[Job]:
    """Return a job typed like this, below a head."""
    head = "record: 1\njob:\n  number: 2026-062\n  address: 7 Birch Road\n"
    return job_in(parse_tree((head + text).encode(), "job.yaml"), RECORD_VERSION)


def test_a_marked_value_is_read_as_a_blank_and_one_that_is_needed_counts() -> None:
    job = read(
        "  locality: vintermark-2026, as on 2026-041\n  crew: north, as on 2026-041\n"
        "installation:\n  starter_at: eaves, rakes, as on 2026-041\n  nails_per_shingle: six, as on 2026-041\n"
        "warranties:\n  sheet: a-2026, as on 2026-041\n  level: Full\n"
    )
    made = job.needed
    assert (made.job.locality, made.job.crew) == ("vintermark-2026", ())
    assert made.installation is not None
    assert (made.installation.starter_at, made.installation.nails_per_shingle) == ((), None)
    standing = job.lines.taken_over
    assert [(path, one.value, one.held) for path, one in standing.items()] == [
        ("job.locality", "vintermark-2026", True),
        ("job.crew", "north", False),
        ("installation.starter_at", "eaves, rakes", False),
        ("installation.nails_per_shingle", "six", False),
        ("warranties.0.sheet", "a-2026", True),
    ]
    assert {one.job for one in standing.values()} == {"2026-041"}
    assert not job.lines.has("job.crew")


@pytest.mark.parametrize(
    "line", ["  old_covering: shingles, as on the garage", "notes: brown, as on the plan"]
)
def test_a_field_that_does_not_repeat_keeps_its_own_words(line: str) -> None:
    text = f"  locality: v\n{line}\n"
    job = read(text)
    assert not job.lines.taken_over
    assert "as on the" in str(job.needed)


def test_what_was_taken_over_and_never_confirmed_is_not_taken_on() -> None:
    job = read(
        "  locality: v, as on 2026-041\n  crew: north\nwarranties:\n  - sheet: a\n    level: b, as on 1\n"
    )
    # A warranty without its level would be none that a record can hold.
    assert [(".".join(one.path), one.text) for one in repeated(job)] == [("job.crew", "north")]


@pytest.mark.parametrize(
    ("rows", "taken"),
    [
        ("{sheet: 'a, as on 1', level: b}", []),
        ("[{sheet: a, level: 'b, as on 1'}, {sheet: c, level: d}]", ["c", "d"]),
        ("[{sheet: a, level: b}, {sheet: 'c, as on 1', level: d}]", ["a", "b"]),
    ],
)
def test_a_row_is_taken_on_whole_and_counted_anew(rows: str, taken: list[str]) -> None:
    found = repeated(read(f"  locality: v\nwarranties: {rows}\n"))
    names = ("warranties.0.sheet", "warranties.0.level")
    wanted = dict(zip(names, taken, strict=False))
    assert {".".join(one.path): one.text for one in found if "warranties" in one.path} == wanted


def test_products_come_without_quantity_and_lot() -> None:
    job = read(
        "  locality: v\ndeliveries:\n  lines:\n    - 2 rolls A, lot 7 x 2\n    - 2 rolls A\n"
        "    - 3 rolls B, returned 3\n"
        "    - product: C\n      quantity: 4\n      role: starter\n"
        "building:\n  attics:\n    exhaust:\n      - 36 ft R\n      - 4 Box vent, 50 sq in each\n"
    ).needed
    assert [dict(one.fields) for one in products(job)] == [
        {"product": "A", "unit": "rolls"},
        {"product": "C", "role": "starter"},
    ]
    low, high = vents(job)
    assert not low
    assert [one.fields["product"] for one in high] == ["R", "Box vent"]


def test_a_job_number_with_a_comma_is_read_back() -> None:
    assert (
        read(f"  locality: {as_on('v', '2026, 41')}\n").lines.taken_over["job.locality"].value
        == "v"
    )


@pytest.mark.parametrize(
    ("typed", "taken"),
    [("1-1/4", "1.25 in"), ("0.120", "0.12 in"), ("2", "2 in"), ("1/3 in", "1/3 in")],
)
def test_a_measure_is_taken_over_as_a_person_would_type_it(typed: str, taken: str) -> None:
    job = read(f"  locality: v\ninstallation:\n  fastener_length_in: {typed}\n")
    [text] = [one.text for one in repeated(job) if one.path[-1] == "fastener_length_in"]
    assert text == taken
    again = read(f"  locality: v\ninstallation:\n  fastener_length_in: {taken}\n")
    assert again.needed.installation == job.needed.installation
