"""Every field that a person may type is read by a rule, a figure or a document, or it should not be asked for.

What reads is watched while jobs are worked out and their pages composed: a field counts as read where code of
`assess/`, `rules/` or `compose/` takes it, by itself or by way of a property of the record or of the case's own
filling in. Copying a whole record for a reader reads nothing of it.
"""

import re
import sys
from collections.abc import Iterator
from contextlib import contextmanager
from datetime import date
from pathlib import Path
from types import FrameType
from typing import Any, get_args

import pytest

from dossier.case.case import Case
from dossier.case.readers import for_reader
from dossier.compose.handover.handover import handover
from dossier.compose.office.scope_comparison import scope_comparison
from dossier.compose.packet.dividers import dividers
from dossier.compose.packet.registration import registration
from dossier.compose.punch_list.pages import punch_list_pages
from dossier.reading.model import Model
from dossier.record.entry import Entry
from dossier.record.files import PhotoList
from dossier.record.job import Job
from dossier.words import Edition
from tests.jobs.made_up import NAMES, loaded, made_up
from tests.known_good import Known, known_good

_READS = (
    *("dossier.rules.", "dossier.assess.", "dossier.compose."),
    *("dossier.case.fill", "dossier.record.derived"),
)

NOT_READ = {
    "Job.record": "It says by which form the rest is read, and reading itself takes it.",
    "Job.papers": "Papers are listed together with the files found in the folder, before there is a case.",
    "PhotoList.photos": "Photos are listed together with the files found in the folder, before there is a case.",
    "JobHead.locality": "It names a sheet, and is spent when the sheet is read.",
    "Payment.by": "It tells one payment from another in the office's own copy; no sum depends on it.",
    "Job.notes": "Notes are the office's own words to itself; they ride in its copy of the record.",
}
"""Fields that no rule, figure or document reads, and why they may be typed all the same."""

RICH: dict[str, object] = {
    "job.insurance": {
        "insurer": "Lakeward Mutual",
        "policy": "P-44120",
        "claim": "C-2026-0071",
        "adjuster": "J. Holm",
        "first_payment": "1,000.00",
    },
    "job.money.held_back": "4,500.00",
    "job.money.scope_lines": [{"what": "starter", "quantity": "80 ft", "amount": "1.00"}],
    "job.money.prices": "starter, 210.00",
    "job.building.lead_dust": {"painted_sqft": "45 sq ft", "renovator": "Ida Torvik"},
    "job.building.year_built": "1950",
    "job.slopes.1": {
        "label": "back",
        "pitch": "6:12",
        "plan": "40 ft x 14 ft",
        "eave_ft": "40",
        "rake_ft": "31.3",
        "valley_ft": "18",
        "step_flashing_ft": "12",
        "penetrations": "1",
        "skylights": "1",
        "chimneys": {"width_in": "32"},
        "eaves": {"length_ft": "20", "overhang_in": "12"},
    },
    "job.papers": [{"file": "papers/warranty-terms.pdf", "kind": "insurer scope"}],
    "job.money.change_orders": [
        "1, 250.00",
        {"number": "2", "what": "a skylight", "amount": "5.00"},
    ],
    "job.repairs.0.price": None,
    "job.money.sheet_price": None,
    "job.repairs.0.board_feet": "64",
    "job.money.board_foot_price": "6.00",
    "job.warranties.0.submitted_on": "2026-09-25",
    "job.warranties.0.registered_by": "Ida Torvik",
    "terms.kestrelmoor-2026.levels.2.conditions.1": {"fee": "75.00"},
    "job.off_and_on": "solar panels, off by Jens Aberg, back by Jens Aberg on 2026-09-16",
    "job.permit.extended_on": "2026-09-20",
    "photos.0": {"file": "photos/field/back.jpg", "received_from": "crew phone 2"},
}
"""Groups that the known-good job does not have."""

WINDY: dict[str, object] = {
    "job.building.design_wind_mph": "150",
    "job.installation.flashing": "partly replaced",
    "job.slopes.1": {
        "label": "back",
        "pitch": "24:12",
        "plan": "40 ft x 14 ft",
        "eave_ft": "40",
        "rake_ft": "62.6",
        "step_flashing_ft": "12",
        "eave_meets_wall": "yes",
        "eaves": {"length_ft": "20", "meets_wall": "yes"},
    },
}
"""Another, on which wind, a steep slope and a wall bring in the rules that the rest leaves out."""


def models(root: type[Model]) -> dict[str, type[Model]]:
    """Return the model and every one that its fields hold, by name."""
    found: dict[str, type[Model]] = {}
    todo: list[Any] = [root]
    while todo:
        one = todo.pop()
        if isinstance(one, type) and issubclass(one, Model):
            if one.__name__ not in found:
                found[one.__name__] = one
                todo += [info.annotation for info in one.model_fields.values()]
        else:
            todo += get_args(one)
    return found


def fields(root: type[Model]) -> set[str]:
    """Return every field below a model, as Model.field."""
    return {
        f"{name}.{field}" for name, model in models(root).items() for field in model.model_fields
    }


def _is_the_record_s(frame: FrameType) -> bool:
    return str(frame.f_globals.get("__name__")).startswith(("dossier.record.", "dossier.case.case"))


def _reader(frame: FrameType | None) -> str:
    """Return the module that takes a value, past properties of the record or the case itself.

    A function that walks over every field of a record, whatever they are, reads none of them.
    """
    while frame is not None and (
        isinstance(frame.f_locals.get("self"), (Model, Case))
        or (frame.f_code.co_name.startswith("<") and _is_the_record_s(frame))
    ):
        frame = frame.f_back
    return str(frame.f_globals.get("__name__", "")) if frame else ""


@contextmanager
def watched() -> Iterator[set[str]]:
    """Collect, while the block runs, the fields that code of the reading rooms takes."""
    seen: set[str] = set()
    plain = Model.__getattribute__

    def read(self: Model, name: str) -> Any:
        is_field = not name.startswith("_") and name in type(self).model_fields
        if is_field and _reader(sys._getframe(1)).startswith(_READS):
            seen.add(f"{type(self).__name__}.{name}")
        return plain(self, name)

    Model.__getattribute__ = read  # type: ignore[method-assign]
    try:
        yield seen
    finally:
        del Model.__getattribute__


def _composed(known: Known) -> None:
    """Compose the pages of every document of a job, for each of its readers."""
    items = known.punch_list
    case, facts, assessment, run = known.case, known.facts, known.assessment, known.run
    for edition in (Edition.HOMEOWNER, Edition.RESALE):
        own = for_reader(case, edition)
        handover(own, facts, assessment, items, run, edition=edition, digest="0" * 64)
    registration(for_reader(case, Edition.MAKER), facts, assessment, items, run)
    dividers(list(case.papers), case, facts, run)
    punch_list_pages(case, case.job.job.number, items, run)
    if case.job.money and case.job.money.scope_lines:
        scope_comparison(for_reader(case, Edition.INSURER), facts, assessment, run)


@pytest.fixture(scope="module")
def read() -> set[str]:
    made_up.cache_clear()
    with watched() as seen:
        for known in (known_good(), known_good(RICH), known_good(WINDY)):
            _composed(known)
        for name in NAMES:
            today = date.fromisoformat(loaded(name, "expected.yaml")["days"][-1]["today"])
            _composed(made_up(name, today))
    made_up.cache_clear()
    return seen


def test_every_field_of_a_job_and_its_photos_is_read(read: set[str]) -> None:
    asked = fields(Job) | fields(PhotoList)
    assert sorted(asked - read - set(NOT_READ)) == []


def test_no_field_is_excused_that_is_read(read: set[str]) -> None:
    """An excuse that no longer holds would let the field fall out of use again unseen."""
    assert sorted(set(NOT_READ) & read) == []


def test_the_watch_sees_what_is_read_and_nothing_else() -> None:
    """A watch that saw everything, or nothing, would prove nothing."""
    job = known_good().case.job
    with watched() as seen:
        assert job.notes == ()
    assert seen == set()
    with watched() as seen:
        known_good().punch_list  # noqa: B018 - reading it runs the rules.
    assert "JobHead.contract_on" in seen
    assert "Job.notes" not in seen


_ROOMS = ("assess", "compose", "rules", "index")


def test_every_field_of_a_later_entry_is_named_where_something_may_read_it() -> None:
    """Entries are read by many commands; that a field's name stands nowhere shows that nothing reads it."""
    root = Path(__file__).parent.parent / "dossier"
    files = [file for room in _ROOMS for file in (root / room).rglob("*.py")]
    text = "\n".join(file.read_text("utf-8") for file in (*files, root / "deeds/answering.py"))
    named = set(re.findall(r"(?:\.|[\"'])(\w+)\b", text))
    unread = {one for one in fields(Entry) if one.partition(".")[2] not in named}
    assert sorted(unread) == []
