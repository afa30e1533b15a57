"""Every fact a rule reads is declared, and a blank is asked for or harmless for a stated reason.

Two walks, neither of which reads a rule's code. By address: a fact that a rule says it asks for is left blank in
jobs where it is on record, and the rule must ask for that very place. By place: each place of some rich jobs is
left blank in turn, and whatever rule then says something else must have declared it.
"""

import re
from collections.abc import Iterator
from datetime import date
from functools import cache
from pathlib import Path

import pytest

from dossier.commands.blanks_manual import blanks_manual
from dossier.punchlist import Item, Verdict
from dossier.reading.model import Model, is_list, model_in
from dossier.record.files import PhotoList
from dossier.record.job import Job
from dossier.rules.book import rule_book
from dossier.rules.declare import ASKED, GROUND, Rule
from dossier.rules.facts import address_of
from dossier.terms.office import Company, Locality
from dossier.terms.sheet import TermsSheet
from tests import forty_jobs, jobs
from tests.blanks import at, noticed, said_by, without
from tests.jobs.made_up import loaded, made_up
from tests.known_good import Known, known_good

RULES = [pytest.param(rule, id=rule.id) for rule in rule_book()]
_SHEETS = {
    "job": Job,
    "locality": Locality,
    "company": Company,
    "photos": PhotoList,
    "terms": TermsSheet,
}

RICH = (
    "board-deck-of-1948",
    "cape-with-dormers",
    "insurance-job",
    "high-wind-plain-felt",
    "heavy-snow-over-the-table",
    "chimney-below-ridge",
    "cold-and-not-sealed",
    "recover-allowed-and-short-level",
)
"""Jobs that between them have something at nearly every place that any of the made-up jobs has."""


@cache
def job(name: str) -> Known:
    """Return a made-up job of either folder."""
    first, second = Path(jobs.__file__).parent, Path(forty_jobs.__file__).parent
    if (first / name).is_dir():
        return made_up(name, date.fromisoformat(loaded(name, "expected.yaml")["days"][-1]["today"]))
    return made_up(name, date.fromisoformat(loaded(name, "expected.yaml", second)["today"]), second)


def covers(declared: str, address: str) -> bool:
    """Return whether a declared address is this one, or a group around it, or lies within it."""
    return f"{address}.".startswith(f"{declared}.") or declared.startswith(f"{address}.")


# What is declared.


@pytest.mark.parametrize("rule", RULES)
def test_what_a_rule_rests_on_is_a_field_with_asked_or_a_reason(rule: Rule) -> None:
    for address, blank in rule.rests_on.items():
        assert is_field(address), address
        assert blank == ASKED or (blank[0].isupper() and blank.endswith(".")), (address, blank)


def asks_for(rule: Rule, address: str) -> bool:
    """Return whether a rule asks for this fact, or for one within it or around it."""
    return any(
        covers(one, address) and (blank == ASKED or blank.startswith(_ASKED_WHERE))
        for one, blank in rule.rests_on.items()
    )


_ASKED_WHERE = "Asked "
"""How a reason begins that says in which cases a fact is asked for."""


@pytest.mark.parametrize("rule", RULES)
def test_a_rule_that_another_leaves_a_fact_to_asks_for_it(rule: Rule) -> None:
    left = [
        (address, id_)
        for address, blank in {**GROUND, **rule.rests_on}.items()
        for id_ in re.findall(r"\b([A-Z]{3}-\d{3}) asks\b", blank)
    ]
    for address, id_ in left:
        other = rule_book().get(id_)
        assert other is not None, id_
        assert asks_for(other, address), (address, id_)


@pytest.mark.parametrize("address", GROUND)
def test_what_every_rule_may_stand_on_is_asked_for(address: str) -> None:
    known, [id_] = known_good(), re.findall(r"^[A-Z]{3}-\d{3}", GROUND[address])
    rule = rule_book().get(id_)
    assert rule is not None
    assert any(
        item not in said_by(rule, known)
        for path in at(known, address)
        for item in said_by(rule, without(known, path))
    )


def is_field(address: str) -> bool:
    """Return whether an address leads to a field of the record or of a sheet."""
    kind, *parts = address.split(".")
    if kind not in _SHEETS:
        return False
    if kind == "photos":
        parts = ["photos", *parts]
    group: type[Model] | None = _SHEETS[kind]
    many = False
    for part in parts:
        if part == "*":
            if not many:
                return False
            many = False
            continue
        if many or group is None or part not in group.model_fields:
            return False
        annotation = group.model_fields[part].annotation
        many, group = is_list(annotation), model_in(annotation)
    return True


@pytest.mark.parametrize(
    "address", ["job.slopes.pitch", "job.slopes.*.slope", "roof.pitch", "job.job.*"]
)
def test_an_address_that_leads_nowhere_is_seen(address: str) -> None:
    assert not is_field(address)


def test_the_manual_prints_every_fact_and_every_reason() -> None:
    table = blanks_manual()
    for rule in rule_book():
        for address, blank in rule.rests_on.items():
            [row] = [line for line in table.splitlines() if line.startswith(f"| `{address}` |")]
            assert rule.id in row or blank == GROUND.get(address)
            assert blank == ASKED or blank in row


# By address.


def asks(item: Item, path: str) -> bool:
    """Return whether an item asks for this place, or for one within a list or group that is blank."""
    sheet = path.partition(".")[0]
    # An item of a sheet stands at the sheet's own field, with the sheet's file beside it.
    fields = (*item.fields, *(f"{sheet}.{field}" for field in item.fields if sheet in _SHEETS))
    return asks_any(item) and any(f"{field}.".startswith(f"{path}.") for field in fields)


def asks_any(item: Item) -> bool:
    """Return whether an item asks for something."""
    return item.verdict is not Verdict.WRONG


_ASKED = [
    pytest.param(rule, address, id=f"{rule.id}-{address}")
    for rule in rule_book()
    for address, blank in rule.rests_on.items()
    if blank == ASKED or blank.startswith(_ASKED_WHERE)
]


@pytest.mark.parametrize(("rule", "address"), _ASKED)
def test_a_blank_of_a_fact_that_is_asked_for_is_asked_for(rule: Rule, address: str) -> None:
    assert any(asked(rule, address, known) for known in candidates(rule, address))


_HELD_BY_SPANS: dict[str, object] = {
    "locality.deck_spans_hold_permit": "County ordinance 12-4, section 6",
    "locality.roof_load_psf": "30",
}
_MATTERS: dict[tuple[str, str], dict[str, object]] = {
    ("DEC-009", "job.decks.*.new_span_rating"): {
        **_HELD_BY_SPANS,
        "job.decks": {
            "kind": "board",
            "redecked": "whole",
            "new_kind": "plywood",
            "new_thickness_in": "1/2",
            "new_span_rating": "32/16",
            "rafter_spacing_in": "24",
        },
    },
    ("DEC-009", "job.decks.*.edge_clips"): {
        **_HELD_BY_SPANS,
        "job.decks": {
            "kind": "plywood",
            "thickness_in": "3/8",
            "span_rating": "24/0",
            "rafter_spacing_in": "24",
            "edge_clips": "yes",
        },
    },
    ("MAT-007", "job.deliveries.*.lines.*.covers_sqft"): {
        "job.deliveries.0.lines.0": {
            "product": "Unlisted 30",
            "quantity": "42",
            "role": "field shingle",
            "maker": "Kestrelmoor",
            "covers_sqft": "33.3",
        }
    },
    ("MAT-007", "job.deliveries.*.lines.*.covers_ft"): {
        "job.deliveries.0.lines.2": {
            "product": "Unlisted cap",
            "quantity": "2",
            "role": "hip and ridge",
            "maker": "Kestrelmoor",
            "covers_ft": "25",
        }
    },
    ("MAT-010", "job.deliveries.*.lines.*.standard"): {
        "job.deliveries.0.lines.4": {
            "product": "Unlisted barrier",
            "quantity": "3",
            "role": "ice barrier",
            "maker": "Kestrelmoor",
            "standard": "ASTM D1970",
        }
    },
    ("COD-002", "job.installation.ice_barrier_reach_in"): {
        "job.installation.ice_barrier_courses": None
    },
    ("COD-005", "job.building.climate_zone"): {
        "job.building.attics.0.exhaust": "20 ft Highdraft ridge vent",
        "job.building.attics.0.intake": "42 ft Strip soffit vent",
        "job.building.attics.0.vapour_retarder": "none",
        "locality.climate_zone": None,
        "job.building.climate_zone": "4",
    },
    ("COD-005", "job.building.attics.*.upper_drop_ft"): {
        "job.building.attics.0.exhaust": "2 Gable louvre, 150 sq in each",
        "job.building.attics.0.intake": "50 ft Strip soffit vent",
        "job.building.attics.0.upper_drop_ft": "2",
    },
    ("COD-015", "job.installation.fastener_length_in"): {
        "job.installation.fastener_length_in": "1.25",
        "job.deliveries.0.lines.9": {
            "product": "Unlisted nails",
            "quantity": "2",
            "role": "fastener",
            "maker": "Kestrelmoor",
        },
    },
    ("REG-001", "job.money.payments"): {
        "terms.kestrelmoor-2026.levels.2.registration.counted_from": "paid in full"
    },
    ("REG-004", "job.money.payments"): {
        "terms.kestrelmoor-2026.levels.2.conditions.1": {"clause": "3.10", "paid_in_full": "yes"}
    },
}
"""Edits of the known-good job that make a fact matter, where none of a rule's own examples does."""


def candidates(rule: Rule, address: str) -> Iterator[Known]:
    """Yield the jobs in which a rule may notice a blank: its own examples first."""
    if (rule.id, address) in _MATTERS:
        yield known_good(_MATTERS[rule.id, address])
    for example in rule.examples:
        yield known_good(example.edits)
    yield known_good()
    for name in RICH:
        yield job(name)


def asked(rule: Rule, address: str, known: Known) -> bool:
    """Return whether a rule asks for a fact that is blank in this job, or that is left blank."""
    items = said_by(rule, known)
    if any(
        address_of(field) == address for item in items if asks_any(item) for field in item.fields
    ):
        return True
    for path in at(known, address):
        if any(
            asks(item, path) for item in said_by(rule, without(known, path)) if item not in items
        ):
            return True
    return False


# By place.


@pytest.mark.parametrize("name", ["the known-good job", *RICH])
def test_a_rule_reads_no_fact_that_it_does_not_declare(name: str) -> None:
    known = known_good() if name == "the known-good job" else job(name)
    rests_on = {rule.id: tuple(rule.rests_on) for rule in rule_book()}
    undeclared = {
        (id_, address_of(path))
        for path, id_ in noticed(known)
        if address_of(path) not in GROUND
        and not any(covers(one, address_of(path)) for one in rests_on[id_])
    }
    assert sorted(undeclared) == []
