"""The blank sheets that `start` writes can be read with every commented line taken in, and say how."""

import re

import pytest

from dossier.reading.model import Model, Read, read_model
from dossier.reading.nodes import parse_tree
from dossier.record.entry import Entry
from dossier.record.files import PhotoList
from dossier.record.job import Job
from dossier.resources import resource
from dossier.terms.office import Company, Locality
from dossier.terms.placeholders import PLACEHOLDERS, placeholders_in
from dossier.terms.sheet import Catalogue, TermsSheet
from dossier.terms.suppliers import Supplier

BLANKS: dict[str, type[Model]] = {
    "job": Job,
    "photos": PhotoList,
    "company": Company,
    "locality": Locality,
    "terms": TermsSheet,
    "catalogue": Catalogue,
    "supplier": Supplier,
    "claim": Entry,
    "sale": Entry,
}
ASKED_BY_CHECK = {
    "job": {"job.address", "job.locality"},
    "claim": {"job", "on", "noted_by", "noted_on"},
    "sale": {"job", "on", "noted_by", "noted_on"},
}
"""Blanks that nobody can fill in beforehand; the command names them."""

COMMENTED = re.compile(r"^( *)# ( *(?:- )?[a-z_]+:(?: .*)?| *- .*)$")


def blank(name: str) -> str:
    """Return a blank sheet as shipped."""
    return resource("start", f"{name}.yaml").read_text("utf-8")


def uncommented(text: str) -> str:
    """Return a blank with the # taken away before each line to fill in, and days for YYYY-MM-DD.

    The head of the file is prose and stays.
    """
    lines = text.splitlines()
    head = next(number for number, line in enumerate(lines) if not line.startswith("#"))
    taken = [COMMENTED.sub(r"\1\2", line) for line in lines[head:]]
    return "\n".join([*lines[:head], *taken, ""]).replace("YYYY-MM-DD", "2026-01-01")


def read(name: str, text: str) -> Read[Model]:
    """Return what a blank's text comes to."""
    reading = parse_tree(text.replace("{number}", "2026-061").encode(), f"{name}.yaml")
    assert reading.items == ()
    assert reading.tree is not None
    return read_model(reading.tree, f"{name}.yaml", BLANKS[name])


def test_every_blank_is_read_here() -> None:
    shipped = {path.stem for path in resource("start").iterdir()}
    assert shipped == set(BLANKS)


@pytest.mark.parametrize("name", BLANKS)
@pytest.mark.parametrize("taken_in", [False, True])
def test_a_blank_can_be_read(name: str, taken_in: bool) -> None:
    text = uncommented(blank(name)) if taken_in else blank(name)
    items = read(name, text).items
    missing = {item.where.field for item in items if item.rule == "SHP-011"}
    assert [str(item.says) for item in items if item.rule != "SHP-011"] == []
    assert missing == ASKED_BY_CHECK.get(name, set())


def test_taking_the_comments_in_takes_them_in() -> None:
    assert uncommented("# a: head\nx: 1\n  # - y: 2\n  # a sentence\n") == (
        "# a: head\nx: 1\n  - y: 2\n  # a sentence\n"
    )


def test_the_words_of_the_blanks_are_known_as_such() -> None:
    found: set[str] = set()
    for name in ("company", "locality", "terms", "catalogue"):
        sheet = read(name, uncommented(blank(name))).model
        assert sheet is not None
        found |= {one.words.lower() for one in placeholders_in(sheet)}
    assert found == PLACEHOLDERS


@pytest.mark.parametrize(
    "name", ["job", "photos", "company", "locality", "terms", "catalogue", "supplier"]
)
def test_a_blank_names_the_mark_to_take_away(name: str) -> None:
    head = " ".join(line.lstrip("# ") for line in blank(name).splitlines() if line.startswith("#"))
    assert re.search(
        r"[Tt]ake the in front of the lines you fill in away",
        head.replace("#", "").replace("  ", " "),
    )
