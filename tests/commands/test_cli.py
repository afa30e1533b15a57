"""The command line as a script sees it: exit codes, stdout, and no traceback for anybody's mistake."""

import json
import shutil
import subprocess
import sys
from pathlib import Path

import pytest

from dossier.cli import main
from dossier.errors import EXIT_CODE_MEANINGS, ExitCode
from dossier.punchlist import Holds, Party
from tests.conftest import bare_job
from tests.known_good import DEMO, GOOD_JOB, known_good

MESSY = DEMO / "2026-047-cinder-street"
DAY = ["--today", "2026-10-20"]


@pytest.fixture
def office(tmp_path: Path) -> Path:
    """An office folder with the known-good job, without its photos, to be spoilt."""
    return bare_job(tmp_path).parent


def test_a_ready_job_exits_with_0(capsys: pytest.CaptureFixture[str]) -> None:
    assert main(["check", str(GOOD_JOB), *DAY]) == 0
    assert "registration ready" in capsys.readouterr().out


def test_a_job_with_items_exits_with_1(capsys: pytest.CaptureFixture[str]) -> None:
    assert main(["check", str(MESSY), *DAY]) == 1
    assert "MAT-005" in capsys.readouterr().out


def test_json_is_all_there_is_on_stdout(capsys: pytest.CaptureFixture[str]) -> None:
    main(["check", str(MESSY), *DAY, "--json"])
    data = json.loads(capsys.readouterr().out)
    assert list(data) == ["format", "job", "ready", "items"]
    assert (data["format"], data["job"]) == (1, "2026-047")
    assert list(data["ready"]) == [held.value for held in Holds]
    for item in data["items"]:
        assert list(item) == [
            *("rule", "weight", "verdict", "says", "why", "source", "owed_by", "remedy"),
            *("holds", "due", "where", "rules", "lacks", "life_safety", "said"),
        ]
        assert item["verdict"] in ("missing", "wrong", "cannot tell")
        assert list(item["where"]) == ["file", "line", "field"]


def test_the_messy_job_owes_things_to_every_party_it_can(
    capsys: pytest.CaptureFixture[str],
) -> None:
    main(["check", str(MESSY), *DAY, "--json"])
    items = json.loads(capsys.readouterr().out)["items"]
    assert len({(item["rule"], item["where"]["field"]) for item in items}) >= 15
    assert {item["owed_by"] for item in items} == {party.value for party in Party}


def test_the_office_folder_used_is_named(capsys: pytest.CaptureFixture[str]) -> None:
    main(["check", str(GOOD_JOB), *DAY])
    assert f"Office folder: {DEMO}" in capsys.readouterr().err


def test_another_office_folder_may_be_named(
    office: Path, tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    lonely = tmp_path / "elsewhere" / "job"
    shutil.copytree(office / "job", lonely)
    main(["check", str(lonely), *DAY, "--office", str(DEMO)])
    assert f"Office folder: {DEMO}" in capsys.readouterr().err


def test_a_job_outside_any_office_exits_with_3(
    tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    assert main(["check", str(tmp_path), *DAY]) == 3
    assert "--office" in capsys.readouterr().err


@pytest.mark.parametrize(
    ("spoilt", "says"),
    [
        (b"job: [", "does not parse as YAML"),
        (b"", "is empty"),
        (b"record: 2\n", "newer than this tool"),
        (b"record: 1\njob:\n  adress: x\n", "nearest known field is “address”"),
        (b"a: &x 1\nb: *x\n", "uses an anchor"),
        (b"record: 1\nnote: \xe9\n", "which is not UTF-8"),
        (b"record: 1\nrecord: 1\n", "line 1 has it too"),
        (b"record: 1\njob:\n  number: 1\n  contract_on: 2026-02-30\n", "which no calendar has"),
        (b"record: 1\nslopes: front, 6:12, eave -4 ft\n", "needed a"),
        (b"record: 1\njob: \x07\n", "control character [U+0007]"),
    ],
)
def test_a_record_that_cannot_be_read_exits_with_3_and_names_the_line(
    office: Path, capsys: pytest.CaptureFixture[str], spoilt: bytes, says: str
) -> None:
    (office / "job" / "job.yaml").write_bytes(spoilt)
    assert main(["check", str(office / "job"), *DAY, "--json"]) == 3
    out, err = capsys.readouterr()
    data = json.loads(out)
    assert set(data["ready"].values()) == {False}
    assert any(says in item["says"] for item in data["items"])
    assert all(item["where"]["file"] == "job.yaml" for item in data["items"])
    assert "Traceback" not in err


def test_nothing_is_built_from_an_unreadable_record(
    office: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    out = office / "job" / "out"
    out.mkdir()
    (out / "kept.txt").write_text("kept")
    (office / "job" / "job.yaml").write_text("job: [")
    assert main(["build", str(office / "job"), *DAY]) == 3
    assert [path.name for path in out.iterdir()] == ["kept.txt"]
    assert "Nothing was built" in capsys.readouterr().out


def test_build_refuses_a_folder_it_did_not_write(
    office: Path, tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    theirs = tmp_path / "theirs"
    theirs.mkdir()
    (theirs / "thesis.doc").write_text("mine")
    assert main(["build", str(office / "job"), *DAY, "--out", str(theirs)]) == 4
    assert [path.name for path in theirs.iterdir()] == ["thesis.doc"]
    assert "did not write" in capsys.readouterr().err


def test_a_photo_list_that_leads_out_of_the_job_is_an_item(
    office: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    listing = "photos:\n  - file: ../../secret.jpg\n"
    (office / "job" / "photos.yaml").write_text(listing)
    assert main(["check", str(office / "job"), *DAY, "--json"]) == 3
    [item] = json.loads(capsys.readouterr().out)["items"]
    assert item["rule"] == "SHP-015"
    assert item["where"]["line"] == 2


def test_an_unknown_locality_names_those_there_are(
    office: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    path = office / "job" / "job.yaml"
    path.write_text(path.read_text().replace("vintermark-2026", "vintermark-2025"))
    assert main(["check", str(office / "job"), *DAY]) == 3
    assert "port-ismere-2025 and vintermark-2026" in capsys.readouterr().out


def test_an_unknown_level_names_those_there_are(
    office: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    path = office / "job" / "job.yaml"
    path.write_text(path.read_text().replace("Full Assembly", "Golden"))
    assert main(["check", str(office / "job"), *DAY]) == 3
    assert "Shingle, Assembly or Full Assembly" in capsys.readouterr().out


@pytest.mark.parametrize("id_", ["MAT-001", "reg-001", "SHP-007"])
def test_explain_prints_a_declaration(id_: str, capsys: pytest.CaptureFixture[str]) -> None:
    assert main(["explain", id_]) == 0
    assert id_.upper() in capsys.readouterr().out


def test_explain_says_who_is_asked_for_what(capsys: pytest.CaptureFixture[str]) -> None:
    assert main(["explain", "MAT-008"]) == 0
    assert (
        "Asks for      Send us a copy of this delivery ticket, please." in capsys.readouterr().out
    )
    assert main(["explain", "DEC-001"]) == 0
    assert "Asks for      nobody is written to" in capsys.readouterr().out


def test_explain_of_an_unknown_id_exits_with_2(capsys: pytest.CaptureFixture[str]) -> None:
    assert main(["explain", "MAT-999"]) == 2
    assert "Those of MAT run from MAT-001 to MAT-0" in capsys.readouterr().err


def test_schema_prints_a_schema(capsys: pytest.CaptureFixture[str]) -> None:
    assert main(["schema"]) == 0
    schema = json.loads(capsys.readouterr().out)
    assert schema["$schema"] == "https://json-schema.org/draft/2020-12/schema"


@pytest.mark.parametrize("arguments", [[], ["dance"], ["check"], ["check", "x", "--today", "soon"]])
def test_a_wrong_command_exits_with_2(
    arguments: list[str], capsys: pytest.CaptureFixture[str]
) -> None:
    with pytest.raises(SystemExit) as ended:
        main(arguments)
    assert ended.value.code == 2
    assert "usage:" in capsys.readouterr().err


def test_a_fault_of_our_own_keeps_its_traceback_and_exits_with_70(
    monkeypatch: pytest.MonkeyPatch, caplog: pytest.LogCaptureFixture
) -> None:
    def broken(*_: object) -> None:
        raise RuntimeError("ours")

    monkeypatch.setattr("dossier.commands.explain.run", broken)
    assert main(["explain", "MAT-001"]) == 70
    assert "RuntimeError: ours" in caplog.text


def test_an_interrupt_exits_with_130(
    monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]
) -> None:
    def stopped(*_: object) -> None:
        raise KeyboardInterrupt

    monkeypatch.setattr("dossier.commands.explain.run", stopped)
    assert main(["explain", "MAT-001"]) == 130
    assert "nothing is half-written" in capsys.readouterr().err


def test_every_exit_code_has_a_meaning() -> None:
    assert set(EXIT_CODE_MEANINGS) == set(ExitCode)


def test_start_makes_an_office_and_a_job_that_asks_for_what_it_needs(
    tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    job = tmp_path / "office" / "2026-061-birch-road"
    assert main(["start", str(job)]) == 0
    assert (tmp_path / "office" / "company.yaml").is_file()
    assert (tmp_path / "office" / "suppliers" / "blank.yaml.txt").is_file()
    told = capsys.readouterr().out
    order = [
        "  1. company.yaml",
        "  2. localities/",
        "  3. terms/",
        "  4. suppliers/",
        "Then the job",
    ]
    assert [told.index(line) for line in order] == sorted(told.index(line) for line in order)
    assert main(["check", str(job), *DAY, "--json"]) == 3
    items = json.loads(capsys.readouterr().out)["items"]
    assert {item["where"]["field"] for item in items} == {"job.address", "job.locality"}


def test_start_leaves_what_is_there_alone(office: Path, capsys: pytest.CaptureFixture[str]) -> None:
    assert main(["start", str(office / "job")]) == 4
    before = (office / "company.yaml").read_bytes()
    capsys.readouterr()
    assert main(["start", str(office / "new")]) == 0
    assert "once for the office" not in capsys.readouterr().out
    assert (office / "company.yaml").read_bytes() == before


def test_check_loads_no_layout_library() -> None:
    code = (
        "import sys; from dossier.cli import main; "
        f"main(['check', {str(GOOD_JOB)!r}, '--today', '2026-10-20']); "
        "sys.exit('weasyprint' in sys.modules)"
    )
    done = subprocess.run([sys.executable, "-c", code], capture_output=True, check=False)
    assert done.returncode == 0, done.stderr.decode()


def test_the_known_good_record_is_short_enough_to_type() -> None:
    """An ordinary gable house, complete: at most 95 lines of at most 100 characters, block style."""
    lines = (GOOD_JOB / "job.yaml").read_text().splitlines()
    typed = [line for line in lines if line.strip()]
    assert len(typed) <= 95
    assert max(map(len, typed)) <= 100
    assert not any(mark in line for line in typed for mark in "{}[]")
    readme = (DEMO.parent / "README.md").read_text()
    assert f"ready, with two reminders, is {len(typed)} lines of `job.yaml`" in readme
    reminders = known_good().punch_list
    assert len(reminders) == 2
    assert all(reminders.is_ready(what) for what in Holds)
