"""What a person may type wrong in a record, each with its sentence; and what comes through unchanged."""

from collections.abc import Callable
from fractions import Fraction
from pathlib import Path

import pytest

from dossier import RECORD_VERSION
from dossier.reading.kinds import MOST_CHARACTERS
from dossier.reading.model import Read
from dossier.record.job import Job
from dossier.record.read import read_job, read_photo_list

HEAD = "record: 1\njob:\n  number: 2026-041\n  address: 118 Plover Lane\n  locality: vintermark\n"
HEAD_LINES = HEAD.count("\n")

JobReader = Callable[[str], Read[Job]]


@pytest.fixture
def read(tmp_path: Path) -> JobReader:
    """Return a function that reads one text as `job.yaml`."""

    def read_text(text: str) -> Read[Job]:
        (tmp_path / "job.yaml").write_text(text, encoding="utf-8", newline="")
        return read_job(tmp_path, RECORD_VERSION)

    return read_text


def one(read: JobReader, text: str) -> tuple[str, int, str, str]:
    """Return rule, line, field and sentence of the one item."""
    got = read(text)
    assert got.model is None
    assert len(got.items) == 1, [str(item.says) for item in got.items]
    item = got.items[0]
    assert item.where.file == "job.yaml"
    return item.rule, item.where.line, item.where.field, str(item.says)


WRONG: dict[str, tuple[str, str, int, str, str]] = {
    # name: text behind the head, rule, line behind the head, field, sentence behind the line
    "list for a number": (
        "building:\n  year_built: [1994, 1995]\n",
        "SHP-012",
        2,
        "building.year_built",
        "“building.year_built” found a list of 2, needed one value.",
    ),
    "group for a word": (
        "building:\n  exposure: {a: b}\n",
        "SHP-012",
        2,
        "building.exposure",
        "“building.exposure” found a group of fields, needed a word from the list such as B.",
    ),
    "text for a group": (
        "building: old\n",
        "SHP-012",
        1,
        "building",
        "“building” found “old”, needed named fields below it, such as year_built.",
    ),
    "list for a group": (
        "slopes: [[front]]\n",
        "SHP-012",
        1,
        "slopes.0",
        "“slopes 1” found a list, needed named fields.",
    ),
    "misspelt field": (
        "building:\n  year_bilt: 1994\n",
        "SHP-010",
        2,
        "building.year_bilt",
        "“year_bilt” is not a known field here. The nearest known field is “year_built”.",
    ),
    "misspelt group": (
        "bilding:\n  year_built: 1994\n",
        "SHP-010",
        1,
        "bilding",
        "“bilding” is not a known field here. The nearest known field is “building”.",
    ),
    "field like no other": (
        "qqqq: 1\n",
        "SHP-010",
        1,
        "qqqq",
        "“qqqq” is not a known field here.",
    ),
    "misspelt field that does not apply": (
        "slopes:\n  - label: front\n    vally_ft: n/a, a plain gable roof\n",
        "SHP-010",
        3,
        "slopes.0.vally_ft",
        "“vally_ft” is not a known field here. The nearest known field is “valley_ft”.",
    ),
    "day that no calendar has": (
        "permit:\n  issued: 2026-02-30\n",
        "SHP-012",
        2,
        "permit.issued",
        "“permit.issued” found “2026-02-30”, which no calendar has.",
    ),
    "29 February of a common year": (
        "permit:\n  issued: 2025-02-29\n",
        "SHP-012",
        2,
        "permit.issued",
        "“permit.issued” found “2025-02-29”, which no calendar has.",
    ),
    "day in another order": (
        "permit:\n  issued: 3/4/25\n",
        "SHP-012",
        2,
        "permit.issued",
        "“permit.issued” found “3/4/25”, needed a date written YYYY-MM-DD.",
    ),
    "area below zero": (
        "slopes:\n  - label: front\n    area_sqft: -45 sq ft\n",
        "SHP-012",
        3,
        "slopes.0.area_sqft",
        "“slopes 1, area_sqft” found “-45”, needed a number, not below zero, such as 12 or 5/8.",
    ),
    "unit of another kind": (
        "slopes:\n  - label: front\n    area_sqft: 45 ft\n",
        "SHP-012",
        3,
        "slopes.0.area_sqft",
        "“slopes 1, area_sqft” found the unit “ft” in “45 ft”, needed an area such as "
        "1,240 sq ft, 18 sq or 115 sq m.",
    ),
    "number that never ends": (
        f"building:\n  year_built: {'1' * 5000}\n",
        "SHP-012",
        2,
        "building.year_built",
        f"“building.year_built” found “{'1' * 60}…”, needed a number of at most 60 characters.",
    ),
    "word with a near one": (
        "slopes: front\ninstallation:\n  valley_method: closed cutt\n",
        "SHP-012",
        3,
        "installation.valley_method",
        "“installation.valley_method” found “closed cutt”, needed open metal, closed cut or woven; "
        "the nearest is closed cut.",
    ),
    "needed field not there": (
        "papers:\n  - kind: permit\n",
        "SHP-011",
        2,
        "papers.0.file",
        "“papers 1, file” is blank or not there.",
    ),
    "needed field blank": (
        "papers:\n  - kind: permit\n    file:\n",
        "SHP-011",
        3,
        "papers.0.file",
        "“papers 1, file” is blank or not there.",
    ),
    "one line too long": (
        "owners: Marit Ekdahl, 555-0141, 555-0142\n",
        "SHP-012",
        1,
        "owners.0",
        "“owners 1” found “Marit Ekdahl, 555-0141, 555-0142”, needed a line such as "
        "Marit Ekdahl, 555-0141, m.ekdahl@example.com.",
    ),
    "figure given twice in a deck's line": (
        "decks: plywood 1/2 in, rafters 24 in, rafters 16 in\n",
        "SHP-012",
        1,
        "decks.0",
        "“decks 1” found “rafters 16 in”, needed a line such as "
        "plywood 1/2 in, rafters 24 in, rating 32/16, redecked part, on back.",
    ),
    "colour given twice in a ticket's line": (
        "deliveries:\n  - lines: 2 bundles Fenwright 40, colour Grey, colour Slate\n",
        "SHP-012",
        2,
        "deliveries.0.lines.0",
        "“deliveries 1, lines 1” found “colour Slate” behind the product, needed colour, returned or "
        "lots, each once; anything else belongs in a group of fields.",
    ),
    "vents without a product": (
        "building:\n  attics:\n    - intake: 36 ft\n",
        "SHP-012",
        3,
        "building.attics.0.intake.0",
        "“building.attics 1, intake 1” found “36 ft”, needed a line such as "
        "36 ft Highdraft ridge vent.",
    ),
    "vents that are only a number": (
        "building:\n  attics:\n    - intake: 36\n",
        "SHP-012",
        3,
        "building.attics.0.intake.0",
        "“building.attics 1, intake 1” found “36”, needed a line such as "
        "36 ft Highdraft ridge vent.",
    ),
    "day checked twice": (
        "work: 2026-09-14, deck, checked by Ida, checked by Jens\n",
        "SHP-012",
        1,
        "work.0",
        "“work 1” found “checked by Jens”, needed a line such as "
        "2026-09-14, tear-off + deck + deck repair, checked by Ida Torvik.",
    ),
    "n/a alone": (
        "slopes:\n  - label: front\n    valley_ft: n/a\n",
        "SHP-014",
        3,
        "slopes.0.valley_ft",
        "“valley_ft” is not applicable, without a reason.",
    ),
    "n/a and a comma": (
        "building:\n  flues: N/A,\n",
        "SHP-014",
        2,
        "building.flues",
        "“flues” is not applicable, without a reason.",
    ),
    "n/a where it is needed": (
        "papers:\n  - file: n/a, lost\n",
        "SHP-011",
        2,
        "papers.0.file",
        "“papers 1, file” is needed on every job and cannot be n/a.",
    ),
    "n/a alone where it is needed": (
        "papers:\n  - file: not applicable\n",
        "SHP-014",
        2,
        "papers.0.file",
        "“file” is not applicable, without a reason.",
    ),
    "the words of a path in another field": (
        "permit:\n  issued: the job folder\n",
        "SHP-012",
        2,
        "permit.issued",
        "“permit.issued” found “the job folder”, needed a date written YYYY-MM-DD.",
    ),
}


@pytest.mark.parametrize("ending", ["\n", "\r\n"])
@pytest.mark.parametrize("name", WRONG)
def test_wrong_value_is_one_sentence(name: str, ending: str, read: JobReader) -> None:
    text, rule, line, field, says = WRONG[name]
    at = HEAD_LINES + line
    got = one(read, (HEAD + text).replace("\n", ending))
    assert got == (rule, at, field, f"job.yaml line {at}: {says}")


@pytest.mark.parametrize(
    ("path", "needs"),
    [
        ("../other-job/permit.pdf", "which leads out of the job folder"),
        ("papers/../../permit.pdf", "which leads out of the job folder"),
        ("./permit.pdf", "which leads out of the job folder"),
        ("papers//permit.pdf", "which leads out of the job folder"),
        ("/etc/hostname", "needed a path inside the job folder such as papers/permit.pdf"),
        ("C:/permit.pdf", "needed a path inside the job folder such as papers/permit.pdf"),
        ("papers\\permit.pdf", "needed a path inside the job folder such as papers/permit.pdf"),
        ("\\\\server\\permit.pdf", "needed a path inside the job folder such as papers/permit.pdf"),
    ],
)
def test_a_path_that_leaves_the_job_folder(path: str, needs: str, read: JobReader) -> None:
    rule, line, field, says = one(read, f"{HEAD}papers:\n  - file: {path}\n")
    assert (rule, line, field) == ("SHP-015", HEAD_LINES + 2, "papers.0.file")
    assert says == f"job.yaml line {line}: “papers 1, file” found “{path}”, {needs}."


def test_every_fault_is_named_at_once(read: JobReader) -> None:
    got = read(
        "record: 1\njob:\n  number: 1\n  locality: n/a\n  scope: all of it\n"
        "building:\n  overhang_in: wide\n  stories: 2\n"
    )
    assert sorted((item.rule, item.where.field) for item in got.items) == [
        ("SHP-010", "building.stories"),
        ("SHP-011", "job.address"),
        ("SHP-012", "building.overhang_in"),
        ("SHP-012", "job.scope"),
        ("SHP-014", "job.locality"),
    ]


@pytest.mark.parametrize("version", ["2", "2.0", "1,000", "99999999999999999999"])
def test_a_record_of_a_newer_version(version: str, read: JobReader) -> None:
    rule, line, field, says = one(
        read, HEAD.replace("record: 1", f"record: {version}") + "new: 1\n"
    )
    digits = version.replace(",", "").removesuffix(".0")
    assert (rule, line, field) == ("SHP-013", 1, "record")
    assert says == (
        f"job.yaml line 1: record version {digits} is newer than this tool, "
        f"which reads up to version {RECORD_VERSION}."
    )


@pytest.mark.parametrize("version", ["0", "-1", "one", "²", "1" * 5000, "1.5", "[1]"])
def test_a_record_version_that_is_none(version: str, read: JobReader) -> None:
    rule, line, field, _ = one(read, HEAD.replace("record: 1", f"record: {version}"))
    assert (rule, line, field) == ("SHP-012", 1, "record")


@pytest.mark.parametrize(
    ("text", "says"),
    [
        ("- a\n- b\n", "job.yaml holds a list; named fields are needed."),
        ("a note\n", "job.yaml holds the text “a note”; named fields are needed."),
    ],
)
def test_a_file_without_named_fields(text: str, says: str, read: JobReader) -> None:
    assert one(read, text) == ("SHP-012", 1, "", says)


def test_blank_and_not_applicable_are_different_answers(read: JobReader) -> None:
    got = read(
        f"{HEAD}slopes:\n  - label: front\n    hip_ft:\n    valley_ft: n/a, a plain gable roof\n"
        "    ridge_ft: not applicable - shared with the back\n    rake_ft: 31 ft\n"
        "building: n/a, seen from outside only\n"
    )
    assert got.model is not None
    slope = got.model.slopes[0]
    assert slope.hip_ft is slope.valley_ft is slope.ridge_ft is got.model.building is None
    assert got.lines.not_applicable == {
        "slopes.0.valley_ft": "a plain gable roof",
        "slopes.0.ridge_ft": "shared with the back",
        "building": "seen from outside only",
    }
    assert got.lines.has("slopes.0.rake_ft")
    assert not got.lines.has("slopes.0.hip_ft")
    assert not got.lines.has("slopes.0.valley_ft")
    assert got.lines.where("slopes.0.valley_ft").line == HEAD_LINES + 4
    # A field that was not typed stands where the group around it stands.
    assert got.lines.where("slopes.0.hip_ft").line == HEAD_LINES + 3


@pytest.mark.parametrize("text", ["n/a-12", "Nancy", "n/able", "na, no"])
def test_text_that_only_begins_like_it(text: str, read: JobReader) -> None:
    got = read(f"{HEAD}permit:\n  number: {text}\n")
    if text == "n/a-12":
        # A dash is read as one of the marks before a reason.
        assert got.lines.not_applicable == {"permit.number": "12"}
    else:
        assert got.model is not None
        assert got.model.permit is not None
        assert got.model.permit.number == text


@pytest.mark.parametrize("mark", ["0012345", "1E5", "1_000", "NO", "4:12", "~", "null", "0x1F"])
@pytest.mark.parametrize("form", ["short", "long"])
def test_a_lot_comes_through_as_written(mark: str, form: str, read: JobReader) -> None:
    if form == "short":
        lines = f"  - lines:\n      - 3 bundles Fenwright 40, lots {mark} x 2\n"
    else:
        lines = (
            "  - lines:\n      - product: Fenwright 40\n        lots:\n"
            f"          - mark: {mark}\n            quantity: 2\n"
        )
    got = read(f"{HEAD}deliveries:\n{lines}")
    assert got.model is not None, got.items
    lot = got.model.deliveries[0].lines[0].lots[0]
    assert (lot.mark, lot.quantity) == (mark, 2)


def test_a_pitch_is_no_number_to_the_base_of_sixty(read: JobReader) -> None:
    got = read(f"{HEAD}slopes:\n  - label: NO\n    pitch: 4:12\n")
    assert got.model is not None
    slope = got.model.slopes[0]
    assert slope.label == "NO"
    assert slope.pitch is not None
    assert slope.pitch.rise_in_12 == Fraction(4)


@pytest.mark.parametrize(
    "text",
    [
        "רחוב הברוש",
        "شارع السرو",
        "улица Кедровая",
        "屋根の谷",
        "roof 🏠 in snow ❄️",
        "{{ job.money.contract }}",
        "{% include 'x' %}",
        "<script>alert(1)</script>",
        "a & b < c > d",
        "é",
        "…”quotes“…",
    ],
)
def test_text_of_any_script_comes_through_unchanged(text: str, read: JobReader) -> None:
    quoted = text.replace("'", "''")
    got = read(f"{HEAD}building:\nnotes: '{quoted}'\npermit: {{number: '{quoted}'}}\n")
    assert got.model is not None, got.items
    assert got.model.notes == (text,)
    assert got.model.permit is not None
    assert got.model.permit.number == text


def test_a_long_note_is_kept_and_a_longer_one_refused(read: JobReader) -> None:
    for length in (10_000, MOST_CHARACTERS):
        got = read(f"{HEAD}notes: {'é' * length}\n")
        assert got.model is not None
        assert got.model.notes == ("é" * length,)
    rule, line, field, says = one(read, f"{HEAD}notes: {'é' * (MOST_CHARACTERS + 1)}\n")
    assert (rule, line, field) == ("SHP-012", HEAD_LINES + 1, "notes.0")
    assert says == (
        f"job.yaml line {line}: “notes 1” found 20,001 characters, "
        "needed at most 20,000 in one field."
    )


def test_a_group_alone_stands_for_a_list_of_one(read: JobReader) -> None:
    alone = read(f"{HEAD}owners: Marit Ekdahl\nslopes:\n  label: front\n")
    listed = read(f"{HEAD}owners:\n  - name: Marit Ekdahl\nslopes:\n  - label: front\n")
    assert alone.model == listed.model is not None


def test_words_on_one_line_are_taken_apart(read: JobReader) -> None:
    got = read(f"{HEAD}installation:\n  drip_edge_at: eaves, rakes\n  starter_at: Eaves + rakes\n")
    assert got.model is not None
    assert got.model.installation is not None
    assert [edge.value for edge in got.model.installation.drip_edge_at] == ["eaves", "rakes"]
    assert got.model.installation.drip_edge_at == got.model.installation.starter_at


def test_a_photo_list_is_read_like_a_job(tmp_path: Path) -> None:
    empty = read_photo_list(tmp_path)
    assert empty.model is not None
    assert empty.model.photos == ()
    (tmp_path / "photos.yaml").write_text("photos:\n  - fiel: photos/field/a.jpg\n")
    assert [str(item.says) for item in read_photo_list(tmp_path).items] == [
        "photos.yaml line 2: “photos 1, file” is blank or not there.",
        "photos.yaml line 2: “fiel” is not a known field here. The nearest known field is “file”.",
    ]
    (tmp_path / "photos.yaml").unlink()
    (tmp_path / "photos.yaml").symlink_to(tmp_path / "gone.yaml")
    assert [str(item.says) for item in read_photo_list(tmp_path).items] == [
        "photos.yaml is not there."
    ]
