"""Every fact a rule reads is declared, and a blank is asked for or harmless for a stated reason.

Two walks, neither of which reads a rule's code. By address: a fact that a rule says it asks for is left blank in
jobs where it is on record, and the rule must ask for that very place. By place: each place of some rich jobs is
left blank in turn, and whatever rule then says something else must have declared it.
"""

from collections.abc import Iterator
from datetime import date
from functools import cache
from pathlib import Path

import pytest

from dossier.punchlist import Item, Verdict
from dossier.reading.model import Model, is_list, model_in
from dossier.record.files import PhotoList
from dossier.record.job import Job
from dossier.rules.book import rule_book
from dossier.rules.declare import ASKED, Rule
from dossier.rules.facts import FACTS, address_of
from dossier.terms.office import Company, Locality
from tests import jobs, jobs2
from tests.blanks import at, noticed, said_by, without
from tests.jobs.made_up import loaded, made_up
from tests.known_good import Known, known_good

RULES = [pytest.param(rule, id=rule.id) for rule in rule_book()]
_SHEETS = {"job": Job, "locality": Locality, "company": Company, "photos": PhotoList}

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
    first, second = Path(jobs.__file__).parent, Path(jobs2.__file__).parent
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
        assert blank != ASKED or address in FACTS, f"{address} has no name in FACTS"


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


# By address.


def asks(item: Item, path: str) -> bool:
    """Return whether an item asks for this place, or for one within a list or group that is blank."""
    return item.verdict is not Verdict.WRONG and any(
        f"{field}.".startswith(f"{path}.") for field in item.fields
    )


_ASKED = [
    pytest.param(rule, address, id=f"{rule.id}-{address}")
    for rule in rule_book()
    for address, blank in rule.rests_on.items()
    if blank == ASKED
]


@pytest.mark.parametrize(("rule", "address"), _ASKED)
def test_a_blank_of_a_fact_that_is_asked_for_is_asked_for(rule: Rule, address: str) -> None:
    assert any(asked(rule, address, known) for known in candidates(rule))


def candidates(rule: Rule) -> Iterator[Known]:
    """Yield the jobs in which a rule may notice a blank: its own examples first."""
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


def asks_any(item: Item) -> bool:
    """Return whether an item asks for something."""
    return item.verdict is not Verdict.WRONG


# By place.


@pytest.mark.parametrize("name", ["the known-good job", *RICH])
def test_a_rule_reads_no_fact_that_it_does_not_declare(name: str) -> None:
    known = known_good() if name == "the known-good job" else job(name)
    rests_on = {rule.id: tuple(rule.rests_on) for rule in rule_book()}
    undeclared = {
        (id_, address_of(path))
        for path, id_ in noticed(known)
        if not any(covers(one, address_of(path)) for one in rests_on[id_])
    }
    assert sorted(undeclared) == []
