"""The office folder's sheets: what reads, and the sentence for each thing that does not."""

import os
from pathlib import Path

import pytest

from dossier.errors import UnreadableInput
from dossier.punchlist import Where
from dossier.reading.model import Model, Read, read_model
from dossier.reading.nodes import parse_tree
from dossier.terms import read as terms_read
from dossier.terms.conditions import TESTS, Condition, flat
from dossier.terms.coverage import Part
from dossier.terms.office import Colours, Company, Locality
from dossier.terms.read import (
    find_office,
    need_office,
    read_catalogues,
    read_company,
    read_locality,
    read_sheet,
)
from dossier.terms.sheet import TermsSheet
from dossier.words import Role

DEMO = Path(__file__).parents[2] / "demo_jobs"
HERE = Where("job.yaml", 5, "job.locality")


def says(read: Read[Model]) -> list[str]:
    """Return the sentences of a reading."""
    return [str(item.says) for item in read.items]


def reading(text: str, model: type[Model]) -> Read[Model]:
    """Return what a text comes to as a sheet."""
    tree = parse_tree(text.encode(), "sheet.yaml").tree
    assert tree is not None
    return read_model(tree, "sheet.yaml", model)


def test_every_sheet_of_the_demo_reads() -> None:
    assert read_company(DEMO).items == ()
    names = [path.stem for path in sorted((DEMO / "localities").glob("*.yaml"))]
    assert names
    for name in names:
        assert read_locality(DEMO, name, HERE).items == ()
    sheets = [p.stem for p in sorted((DEMO / "terms").glob("*.yaml")) if "catalogue" not in p.name]
    assert sheets
    for name in sheets:
        got = read_sheet(DEMO, name, HERE)
        assert got.items == ()
        assert isinstance(got.model, TermsSheet)
        for level in got.model.levels:
            assert got.model.level(level.level.upper()) is level
    assert [read.items for read in read_catalogues(DEMO)] == [()] * len(read_catalogues(DEMO))


def test_catalogues_come_in_the_order_of_their_names() -> None:
    files = [read.lines.file for read in read_catalogues(DEMO)]
    assert files == sorted(files)
    assert all(file.endswith(".catalogue.yaml") for file in files)
    assert len(files) == len(list((DEMO / "terms").glob("*.catalogue.yaml")))


@pytest.mark.parametrize(
    "name", ["vintermark-2062", "", ".", "../company", "../localities/vintermark-2026", "x/y"]
)
def test_a_sheet_that_is_not_there(name: str) -> None:
    got = read_locality(DEMO, name, HERE)
    assert got.model is None
    (item,) = got.items
    assert (item.rule, item.where) == ("SHP-016", HERE)
    assert str(item.says).startswith(
        f"job.yaml:5 names the locality sheet “{name}”, which the office folder does not have in "
        "localities/. It has "
    )
    assert "vintermark-2026" in str(item.says)


def test_a_catalogue_is_no_terms_sheet() -> None:
    (item,) = read_sheet(DEMO, "kestrelmoor.catalogue", HERE).items
    assert item.rule == "SHP-016"
    assert ".catalogue" not in str(item.says).partition("It has")[2]


def test_an_office_without_sheets(tmp_path: Path) -> None:
    assert read_catalogues(tmp_path) == ()
    assert says(read_sheet(tmp_path, "x", HERE)) == [
        "job.yaml:5 names the terms sheet “x”, which the office folder does not have in terms/."
    ]
    assert says(read_company(tmp_path)) == ["company.yaml is not there."]


@pytest.mark.parametrize(
    ("text", "sentence"),
    [
        (
            "clause: 3.2\n",
            "sheet.yaml line 1: “the file as a whole” found none, needed exactly one test in a condition.",
        ),
        (
            "full_tear_off: yes\nventilation: yes\n",
            "sheet.yaml line 1: “the file as a whole” found full_tear_off and ventilation, needed exactly "
            "one test in a condition.",
        ),
        (
            "all_of:\n  - full_tear_off: yes\n  - clause: 2\n",
            "sheet.yaml line 3: “all_of 2” found none, needed exactly one test in a condition.",
        ),
        (
            "any_of:\n  of:\n    - full_taer_off: yes\n",
            "sheet.yaml line 3: “full_taer_off” is not a known field here. The nearest known field "
            "is “full_tear_off”.",
        ),
        (
            "any_of:\n  of:\n    - full_tear_off: yes\n      unless:\n        papres: contract\n",
            "sheet.yaml line 5: “papres” is not a known field here. The nearest known field is "
            "“papers”.",
        ),
    ],
)
def test_a_condition_that_cannot_be_judged(text: str, sentence: str) -> None:
    assert says(reading(text, Condition)) == [sentence]


def test_a_condition_names_its_test_and_lists_its_members() -> None:
    got = reading(
        "all_of:\n  - same_maker: starter, underlayment\n  - any_of:\n      at_least: 1\n"
        "      of:\n        - nails_per_shingle: 6\n        - fee: 75.00\n",
        Condition,
    ).model
    assert isinstance(got, Condition)
    tests = ["all_of", "same_maker", "any_of", "nails_per_shingle", "fee"]
    assert [condition.test for condition in flat((got,))] == tests
    assert flat((got,))[1].same_maker == (Role.STARTER, Role.UNDERLAYMENT)
    assert set(tests) <= set(TESTS)


@pytest.mark.parametrize(
    ("text", "sentence"),
    [
        ("part: material\n", "found neither term_years nor lifetime, needed one of them."),
        ("part: material\nterm_years: 20\nlifetime: yes\n", "found both term_years and lifetime"),
        ("part: material\nterm_years: 20\nmethod: table\n", "steps belong to the method “table”"),
        ("part: material\nterm_years: 201\n", "found “201”, needed a number of at most 200."),
        ("part: material\nterm_years: 20\nfloor: 120 %\n", "found “120 %”, needed a percentage"),
    ],
)
def test_a_part_of_a_coverage_that_does_not_hold_together(text: str, sentence: str) -> None:
    (got,) = says(reading(text, Part))
    assert sentence in got


def test_a_time_zone_is_one_of_the_known_ones() -> None:
    text = (DEMO / "localities" / "vintermark-2026.yaml").read_text(encoding="utf-8")
    line = next(line for line in text.splitlines() if line.startswith("time_zone:"))
    for wrong in ("Mars/Olympus", "../etc/passwd", "/etc/passwd"):
        (got,) = says(reading(text.replace(line, f"time_zone: {wrong}"), Locality))
        assert got.endswith(f"“time_zone” found “{wrong}”, needed a time zone by its IANA name.")


@pytest.mark.parametrize("colour", ["1F3A4D", "#1F3A4", "#1F3A4DFF", "#GGGGGG", "red", "#1F 3A4"])
def test_a_colour_is_six_digits(colour: str) -> None:
    (got,) = says(reading(f"main: '{colour}'\n", Colours))
    assert got.endswith("needed a colour such as #1F3A4D.")


# --- which office folder a job belongs to -------------------------------------------------------


def test_the_nearest_office_above_the_job(tmp_path: Path) -> None:
    job = tmp_path / "a" / "b" / "job"
    job.mkdir(parents=True)
    (tmp_path / "company.yaml").touch()
    assert find_office(job) == tmp_path.resolve()
    (tmp_path / "a" / "company.yaml").touch()
    assert find_office(job) == (tmp_path / "a").resolve()
    # The job folder itself is no office.
    (job / "company.yaml").touch()
    assert find_office(job) == (tmp_path / "a").resolve()
    # A folder of that name is no company.
    (tmp_path / "a" / "b" / "company.yaml").mkdir()
    assert find_office(job) == (tmp_path / "a").resolve()
    assert need_office(job, None) == (tmp_path / "a").resolve()


@pytest.mark.parametrize("other", ["st_uid", "st_dev"])
def test_a_folder_of_another_owner_or_disk_ends_the_search(
    other: str, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    job = tmp_path / "shared" / "job"
    job.mkdir(parents=True)
    (tmp_path / "company.yaml").touch()
    truth = Path.stat
    shared = (tmp_path / "shared").resolve()

    def stat(path: Path, *, follow_symlinks: bool = True) -> os.stat_result:
        status = truth(path, follow_symlinks=follow_symlinks)
        if path != shared:
            return status
        fields = list(status)
        number = {"st_dev": 2, "st_uid": 4}[other]
        fields[number] += 1
        return os.stat_result(fields)

    assert find_office(job) == tmp_path.resolve()
    monkeypatch.setattr(terms_read.Path, "stat", stat)
    found = find_office(job)
    monkeypatch.undo()
    assert found is None


def test_no_office_stops_the_run_with_a_next_step(tmp_path: Path) -> None:
    job = tmp_path / "job"
    job.mkdir()
    with pytest.raises(UnreadableInput, match=r"holds a company\.yaml") as caught:
        need_office(job, None)
    assert "--office FOLDER" in caught.value.remedy
    with pytest.raises(UnreadableInput, match=r"holds no company\.yaml"):
        need_office(job, tmp_path)
    (tmp_path / "company.yaml").touch()
    assert need_office(job, tmp_path) == tmp_path.resolve()


def test_the_company_of_the_demo_has_what_its_jobs_name() -> None:
    company = read_company(DEMO).model
    assert isinstance(company, Company)
    assert {crew.name for crew in company.crews}


@pytest.mark.parametrize(
    ("old", "new", "sentence"),
    [
        (
            "    unregistered_falls_to: Shingle\n",
            "    unregistered_falls_to: Shingel\n",
            "sheet.yaml line {line}: “levels 2, unregistered_falls_to” found “Shingel”, needed Shingle or "
            "Full Assembly.",
        ),
        (
            "    unregistered_falls_to: Shingle\n",
            "    unregistered_falls_to: Assembly\n",
            "sheet.yaml line {line}: “levels 2, unregistered_falls_to” found “Assembly”, needed Shingle or "
            "Full Assembly.",
        ),
        (
            "  - level: Assembly\n",
            "  - level: shingle\n",
            "sheet.yaml line {line}: “levels 2, level” found “shingle” a second time, needed a name of its "
            "own for each level.",
        ),
    ],
)
def test_a_level_that_does_not_fit_the_others_is_named_by_its_own_line(
    old: str, new: str, sentence: str
) -> None:
    text = (DEMO / "terms" / "kestrelmoor-2026.yaml").read_text()
    assert reading(text, TermsSheet).items == ()
    spoilt = text.replace(old, new, 1)
    assert spoilt != text
    line = spoilt.splitlines().index(new.rstrip("\n")) + 1
    assert says(reading(spoilt, TermsSheet)) == [sentence.format(line=line)]


def test_a_lone_level_falls_to_no_other() -> None:
    text = (
        "maker: A\ntitle: B\nedition: 1\nvalid_from: 2026-01-01\nlevels:\n  - level: One\n"
        "    unregistered_falls_to: Two\n    coverage:\n      promised_by: A\n"
        "      starts: completion signed\n      parts:\n        - part: material\n          lifetime: yes\n"
    )
    (told,) = says(reading(text, TermsSheet))
    assert told == (
        "sheet.yaml line 7: “levels 1, unregistered_falls_to” found “Two”, needed the line left out, since "
        "there is no other level."
    )
