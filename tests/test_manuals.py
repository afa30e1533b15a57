"""The printed manuals are what the code prints today, and the schema holds what a person may type."""

import json
import re
from pathlib import Path
from typing import Any

import pytest
import yaml
from jsonschema import Draft202012Validator

from dossier.commands.manual import HOW_TO_REWRITE, manuals, write_all
from dossier.commands.record_schema import schema_text
from dossier.errors import ExitCode
from dossier.reading.model import Model
from dossier.reading.shape import SHAPE_FAULTS
from dossier.record.entry import Entry
from dossier.record.files import PhotoList
from dossier.record.job import Job
from dossier.record.write import to_yaml
from dossier.rules.book import rule_book
from dossier.terms.office import Company, Locality
from dossier.terms.own_words import OwnWords
from dossier.terms.sheet import Catalogue, TermsSheet
from dossier.terms.suppliers import Supplier
from tests.record.strategies import models_below

ROOT = Path(__file__).parent.parent
DOCS = ROOT / "docs"
DEMO_JOBS = sorted((ROOT / "demo_jobs").glob("*/job.yaml"))
MANUALS = manuals()
SCHEMA: dict[str, Any] = json.loads(MANUALS["record.schema.json"])
VALIDATOR = Draft202012Validator(SCHEMA)

HEAD: dict[str, Any] = {
    "record": "1",
    "job": {"number": "1", "address": "a", "locality": "b"},
}


def as_typed(text: str) -> Any:
    """Return the data of a YAML text with every scalar as text, as the record's reader sees it."""
    return yaml.load(text, Loader=yaml.BaseLoader)


@pytest.mark.parametrize("name", MANUALS)
def test_the_file_is_what_the_code_prints(name: str) -> None:
    path = DOCS / name
    on_disk = path.read_text(encoding="utf-8") if path.exists() else ""
    assert on_disk == MANUALS[name], f"docs/{name} is out of date; rewrite it: {HOW_TO_REWRITE}"


def test_the_manuals_are_written_as_printed(tmp_path: Path) -> None:
    write_all(tmp_path)
    assert {path.name: path.read_text(encoding="utf-8") for path in tmp_path.iterdir()} == MANUALS


def test_two_printings_are_the_same() -> None:
    assert manuals() == MANUALS


@pytest.mark.parametrize(
    ("name", "files"),
    [
        ("record.md", (Job, PhotoList, Entry)),
        ("sheets.md", (Company, Locality, TermsSheet, Catalogue, Supplier, OwnWords)),
    ],
)
def test_every_field_is_told_once_for_each_file(name: str, files: tuple[type[Model], ...]) -> None:
    text = MANUALS[name]
    groups = {group for file in files for group in models_below(file)}
    rows = [line for line in text.splitlines() if line.startswith("| `")]
    fields = sum(len(group.model_fields) for group in groups)
    kinds = text.partition("## Kinds of value")[2]
    assert len(rows) == fields
    assert kinds.count("\n| ") > 5
    for group in groups:
        for info in group.model_fields.values():
            assert info.description is not None
            assert info.description.replace("|", "\\|") in text
        if group.short_form:
            assert f"On one line: `{group.short_form}`" in text


def test_every_link_leads_to_a_heading() -> None:
    for name in ("record.md", "sheets.md"):
        text = MANUALS[name]
        anchors = {
            line.lstrip("# ").lower().replace(" ", "-")
            for line in text.splitlines()
            if line.startswith("### ")
        }
        linked = {part.partition(")")[0] for part in text.split("](#")[1:]}
        assert linked == anchors


def test_every_rule_and_every_shape_fault_is_told() -> None:
    text = MANUALS["rules.md"]
    rules = list(rule_book())
    assert rules
    for rule in rules:
        title = f"{rule.title[0].upper()}{rule.title[1:]} ({rule.id})"
        page = text.partition(f"### {title}\n")[2].partition("\n#")[0]
        for part in (rule.why, rule.source, rule.remedy, rule.owed_by.value):
            assert " ".join(part.split()) in page
        for example in rule.examples:
            assert example.finds is None or " ".join(example.finds.split()) in page
    for fault in SHAPE_FAULTS:
        assert f"### {fault.title} ({fault.id})\n" in text


def test_every_exit_code_is_told() -> None:
    for code in ExitCode:
        assert f"\n| {code.value} | " in MANUALS["exit-codes.md"]


def test_the_schema_is_a_schema() -> None:
    # The outside judge is the draft's own meta-schema, by way of the library jsonschema.
    Draft202012Validator.check_schema(SCHEMA)
    assert SCHEMA["$schema"] == "https://json-schema.org/draft/2020-12/schema"
    assert SCHEMA["$id"] == "https://example.com/dossier/record-1.json"
    assert schema_text() == MANUALS["record.schema.json"]


@pytest.mark.parametrize("path", DEMO_JOBS, ids=lambda path: path.parent.name)
def test_the_schema_takes_the_demo_jobs(path: Path) -> None:
    text = path.read_text(encoding="utf-8")
    VALIDATOR.validate(as_typed(text))
    # An editor reads numbers as numbers before it looks at the schema; yes and dates stay text.
    VALIDATOR.validate(yaml.load(text, Loader=CoreSchema))


class CoreSchema(yaml.SafeLoader):
    """Resolves plain scalars by the core schema (YAML 1.2.2, section 10.3.2), as editors do."""


CoreSchema.yaml_implicit_resolvers = {}
for tag, pattern, first in (
    ("null", r"^(?:~|null|Null|NULL|)$", ["~", "n", "N", ""]),
    ("bool", r"^(?:true|True|TRUE|false|False|FALSE)$", list("tTfF")),
    ("int", r"^[-+]?[0-9]+$", list("-+0123456789")),
    (
        "float",
        r"^[-+]?(?:\.[0-9]+|[0-9]+(?:\.[0-9]*)?)(?:[eE][-+]?[0-9]+)?$",
        list("-+.0123456789"),
    ),
):
    CoreSchema.add_implicit_resolver(f"tag:yaml.org,2002:{tag}", re.compile(pattern), first)


def test_there_are_demo_jobs_to_take() -> None:
    assert DEMO_JOBS


def test_the_schema_takes_the_long_form() -> None:
    for path in DEMO_JOBS:
        job = Job.model_validate(_without_answers(as_typed(path.read_text(encoding="utf-8"))))
        VALIDATOR.validate(as_typed(to_yaml(job)))


def _without_answers(data: Any) -> Any:
    """Return the data without blank fields and those that do not apply, as the reader leaves them."""
    if isinstance(data, dict):
        return {
            name: _without_answers(value)
            for name, value in data.items()
            if not (isinstance(value, str) and (not value or value.lower().startswith("n/a")))
        }
    return [_without_answers(row) for row in data] if isinstance(data, list) else data


@pytest.mark.parametrize(
    "more",
    [
        {"building": None},
        {"building": "n/a, not seen"},
        {"building": {"year_built": 1994, "exposure": "n/a, not asked", "flues": None}},
        {"slopes": "front, 6:12"},
        {"slopes": {"label": "front", "valley_ft": "n/a, gable roof"}},
        {"installation": {"drip_edge_at": "eaves, rakes", "hand_sealed": True}},
        {"installation": {"drip_edge_at": ["eaves"]}},
        {"installation": {"drip_edge_at": "eaves, as on 2026-041", "starter_at": None}},
        {"installation": {"valley_method": "open metal, as on 2026-041"}},
        {"notes": "one"},
        {"notes": ["one", "two"]},
    ],
)
def test_the_schema_takes(more: dict[str, Any]) -> None:
    VALIDATOR.validate(HEAD | more)


@pytest.mark.parametrize(
    "wrong",
    [
        {"bilding": {}},
        {"building": {"year_bilt": "1994"}},
        {"building": "n/a"},
        {"building": ["n/a, not seen"]},
        {"building": {"exposure": "E"}},
        {"building": {"exposure": "B, as on 2026-041"}},
        {"building": {"year_built": ["1994"]}},
        {"papers": [{"kind": "permit"}]},
        {"record": None},
        {"job": {"number": "1", "address": None, "locality": "b"}},
        {"work": {"days": "2026-09-14", "phases": None}},
        {"owners": [["Marit"]]},
    ],
)
def test_the_schema_refuses(wrong: dict[str, Any]) -> None:
    assert not VALIDATOR.is_valid(HEAD | wrong)


def test_the_schema_needs_a_head() -> None:
    assert VALIDATOR.is_valid(HEAD)
    assert not VALIDATOR.is_valid({"record": "1"})
