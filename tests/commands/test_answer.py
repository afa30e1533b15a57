"""`dossier answer`: the talk in a terminal, its questions as a table and as data, and answers given at once."""

import json
import re
from collections.abc import Callable, Iterator
from io import StringIO
from pathlib import Path

import pytest

from dossier.cli import main
from dossier.errors import ExitCode
from tests.conftest import bare_job

DUCTS = "  ducts: Ida Torvik, 2026-09-16\n"
FLUES = "  flues: Sverre Holt, 2026-09-16, heating licence H-2041\n"
ISSUED = "  issued: 2026-09-02\n"
DAY = ["--today", "2026-10-20"]


class Terminal(StringIO):
    """A stdin at which somebody sits."""

    def isatty(self) -> bool:
        """Return that it is a terminal."""
        return True


@pytest.fixture
def job(tmp_path: Path) -> Path:
    """Return a job without a look at the flues, a day of the permit and the pitch of either slope."""
    job = bare_job(tmp_path / "office")
    text = (job / "job.yaml").read_text()
    for old, new in ((FLUES, ""), (ISSUED, ""), (", 6:12, plan", ", plan")):
        assert old in text
        text = text.replace(old, new)
    (job / "job.yaml").write_text(text)
    return job


Talk = Callable[..., str]


@pytest.fixture
def talk(job: Path, monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]) -> Talk:
    """Return what types lines at the terminal and returns what it printed; a callable is done in between."""

    def held(*typed: str | Callable[[], None], only: str = "") -> str:
        waiting: Iterator[str | Callable[[], None]] = iter(typed)

        def next_line(prompt: str) -> str:
            for one in waiting:
                if isinstance(one, str):
                    print(f"{prompt}{one}")
                    return one
                one()
            raise EOFError

        monkeypatch.setattr("builtins.input", next_line)
        monkeypatch.setattr("sys.stdin", Terminal())
        more = ["--only", only] if only else []
        assert main(["answer", str(job), *DAY, *more]) == ExitCode.NOTHING_HELD_UP
        return capsys.readouterr().out

    return held


def record(job: Path) -> str:
    return (job / "job.yaml").read_text()


def asked_first(said: str) -> str:
    """Return the name of the first question."""
    return said.split("\n\n")[1].partition("  (")[0]


def test_life_safety_is_asked_first_and_an_answer_is_saved_and_shown_at_once(
    job: Path, talk: Talk
) -> None:
    before = record(job)
    said = talk(FLUES.strip().removeprefix("flues: "))
    assert asked_first(said) == "After work: flues"
    assert "Nobody goes to the roof, a ladder or the attic for an answer" in " ".join(said.split())
    assert f"  +{FLUES}" in said
    assert record(job) == before.replace(DUCTS, f"{DUCTS}{FLUES}")
    assert "The punch list has" in said


def test_enter_passes_a_question_over_and_stop_and_ctrl_d_end(job: Path, talk: Talk) -> None:
    before = record(job)
    said = talk("", "", "stop")
    assert said.count("> ") == 3
    assert talk("").count("> ") == 1
    assert record(job) == before


def test_back_asks_the_one_before_again_and_takes_another_answer(job: Path, talk: Talk) -> None:
    said = talk("back", "Ida Torvik, 2026-09-16", "back", "Jens Aberg, 2026-09-16")
    assert "This is the first one." in said
    assert "The record says “Ida Torvik, 2026-09-16”." in said
    assert "  flues: Jens Aberg, 2026-09-16\n" in record(job)
    assert (
        "Ida Torvik, 2026-09-16\n"
        not in record(job).partition("  ducts")[0].partition("after_work")[2]
    )


def test_a_question_mark_says_why_by_what_source_and_how_and_asks_again(
    job: Path, talk: Talk
) -> None:
    said = talk("?")
    assert "fills the house with carbon monoxide" in said
    assert "Source: IRC 2021" in said
    assert "Goes to job.yaml: after_work.flues" in said
    assert said.count("After work: flues  (") == 2


def test_what_cannot_be_read_is_said_in_the_readers_words_and_asked_again(
    job: Path, talk: Talk
) -> None:
    before = record(job)
    said = talk("Ida Torvik, Jens Aberg, 2026-09-16")
    assert "needed a name and a day" in said
    assert said.count("After work: flues  (") == 2
    assert record(job) == before


def test_a_name_without_its_day_is_asked_again(job: Path, talk: Talk) -> None:
    """A bare number or name says who looked and not when; the owner is none of those who look."""
    before = record(job)
    said = talk("1", "Ida Torvik")
    assert said.count("The day belongs to it too") == 2
    assert "1 Ida Torvik" in said
    assert "Marit Ekdahl" not in said
    assert record(job) == before
    talk("1, 2026-09-16")
    assert "  flues: Ida Torvik, 2026-09-16\n" in record(job)


def test_what_does_not_apply_takes_its_reason_and_back_gives_it_up(job: Path, talk: Talk) -> None:
    edit(job, "  flues: 1\n", "")
    talk("n/a, electric heat only", "back", "Ida Torvik, 2026-09-16")
    assert "electric" not in record(job)
    assert "  flues: Ida Torvik, 2026-09-16\n" in record(job)


def test_an_answer_that_leaves_the_question_open_is_said_and_not_asked_again_at_once(
    job: Path, talk: Talk
) -> None:
    said = talk("n/a, electric heat only")
    assert "Still open: Nobody is on record as having looked at the flues" in said
    assert said.count("After work: flues  (") == 1


def edit(job: Path, old: str, new: str) -> None:
    text = record(job)
    assert text.count(old) == 1
    (job / "job.yaml").write_text(text.replace(old, new))


def test_a_fact_of_both_slopes_is_one_answer_or_one_by_one(job: Path, talk: Talk) -> None:
    said = talk("", "6:12", only="crew")
    assert "Slopes front and back: the pitch" in said
    assert record(job).count("6:12") == 2


def test_each_asks_slope_by_slope(job: Path, talk: Talk) -> None:
    said = talk("", "each", "6:12", "7:12", only="crew")
    assert "Slope front: the pitch" in said
    assert "Slope back: the pitch" in said
    first, second = (line for line in record(job).splitlines() if ":12" in line)
    assert "front" in first
    assert "6:12" in first
    assert "7:12" in second


def test_a_file_changed_by_somebody_else_is_read_again_and_said(job: Path, talk: Talk) -> None:
    said = talk(
        lambda: edit(job, "year_built: 1994", "year_built: 1996"),
        "Ida Torvik, 2026-09-16",
        "Ida Torvik, 2026-09-16",
    )
    assert "job.yaml was changed since it was shown." in said
    assert "It was read again." in said
    assert "year_built: 1996" in record(job)
    assert "  flues: Ida Torvik, 2026-09-16\n" in record(job)


def test_entries_of_a_list_are_asked_for_one_after_the_other(job: Path, talk: Talk) -> None:
    text = record(job)
    (job / "job.yaml").write_text(
        text.replace("owners: Marit Ekdahl, 555-0141, m.ekdahl@example.com\n", "")
    )
    said = talk("Marit Ekdahl, 555-0141", "Ole Ekdahl", "", only="homeowner")
    assert "Owners, one more" in said
    assert "owners:\n  - Marit Ekdahl, 555-0141\n  - Ole Ekdahl\n" in record(job)


def test_a_list_that_does_not_apply_is_done(job: Path, talk: Talk) -> None:
    path = job / "job.yaml"
    path.write_text(re.sub(r"  inspections:\n(    - .*\n)+", "", record(job)))
    said = talk("", "n/a, none asked here", "stop")
    assert "inspections: n/a, none asked here" in record(job)
    assert "one more" not in said


def test_only_those_are_asked_who_know(job: Path, talk: Talk) -> None:
    said = talk(*[""] * 20, only="office")
    assert "(office;" in said
    assert "(crew;" not in said


def test_the_table_and_the_data_hold_the_same_questions(
    job: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    assert main(["answer", str(job), *DAY, "--list"]) == 0
    table = capsys.readouterr().out.splitlines()[2:]
    assert main(["answer", str(job), *DAY, "--json"]) == 0
    data = json.loads(capsys.readouterr().out)
    assert [line.split("  ")[-1] for line in table] == [one["path"] for one in data["questions"]]
    flues = data["questions"][0]
    assert flues["life_safety"] is True
    assert flues["sends"] == "to the roof, a ladder or the attic"
    assert flues["settles"][0]["rules"] == ["SAF-001"]
    [pitch] = [one for one in data["questions"] if one["path"] == "slopes.*.pitch"]
    assert (pitch["fields"], pitch["slopes"]) == (
        ["slopes.0.pitch", "slopes.1.pitch"],
        ["front", "back"],
    )


def test_asked_to_ask_it_takes_answers_through_a_pipe(
    job: Path, monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]
) -> None:
    monkeypatch.setattr("sys.stdin", StringIO("Sverre Holt, 2026-09-16, heating licence H-2041\n"))
    assert main(["answer", str(job), *DAY, "--ask", "--only", "crew"]) == 0
    assert "+  flues: Sverre Holt" in capsys.readouterr().out
    assert FLUES in (job / "job.yaml").read_text()
    assert main(["answer", str(job), *DAY, "--ask", "--list"]) == ExitCode.WRONG_COMMAND


def test_a_repair_that_is_seen_is_asked_for_or_excused_as_a_whole(job: Path) -> None:
    text = re.sub(r"^repairs:\n(  .*\n)*", "repairs:\n", record(job), flags=re.M)
    for said, left in (
        ("n/a, spare boards", "repairs: n/a, spare boards\n"),
        ("back", "slope: back\n"),
    ):
        (job / "job.yaml").write_text(text)
        assert main(["answer", str(job), *DAY, "--field", "repairs.0.slope", said]) == 0
        assert left in record(job)


def test_without_a_terminal_the_questions_are_only_listed(
    job: Path, capsys: pytest.CaptureFixture[str], monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr("sys.stdin", StringIO("Ida Torvik, 2026-09-16\n"))
    before = record(job)
    assert main(["answer", str(job), *DAY]) == 0
    assert "after_work.flues" in capsys.readouterr().out
    assert record(job) == before


def test_answers_given_at_once_are_written_and_shown(
    job: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    fields = ["--field", "slopes.*.pitch", "6:12", "--field", "permit.issued", "2026-09-02"]
    assert main(["answer", str(job), *DAY, *fields]) == 0
    assert "+  issued: 2026-09-02" in capsys.readouterr().out
    assert ISSUED in record(job)
    assert record(job).count("6:12") == 2


def test_what_nobody_asks_for_and_who_is_nobody_is_a_wrong_command(
    job: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    assert main(["answer", str(job), *DAY, "--field", "job.number", "7"]) == ExitCode.WRONG_COMMAND
    assert main(["answer", str(job), *DAY, "--only", "crews"]) == ExitCode.WRONG_COMMAND
    assert "“crews” is nobody who is asked" in capsys.readouterr().err


def test_a_job_in_which_nothing_is_asked_for_says_so(
    tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    job = bare_job(tmp_path / "office")
    assert main(["answer", str(job), *DAY, "--list", "--only", "insurer"]) == 0
    assert capsys.readouterr().out == "Nothing is asked for.\n"


def test_a_ticket_is_asked_for_its_lines_and_the_lines_before_their_lots(
    job: Path, talk: Talk
) -> None:
    text = record(job)
    (job / "job.yaml").write_text(text[: text.index("deliveries:")] + text[text.index("work:") :])
    said = talk(
        *("55120, 2026-09-11", "42 bundles Fenwright 40, colour Slate Grey"),
        *("2 bundles Firstrow starter", "", "0012345 x 42", ""),
        only="office",
    )
    names = [part.partition("  (")[0].strip() for part in said.split("\n\n") if "  (" in part]
    assert names[:4] == [
        "Deliveries",
        "Ticket 55120: lines",
        "Ticket 55120: lines, one more",
        "Ticket 55120: lines, one more",
    ]
    assert "No starter is among the deliveries." in said.partition("> ")[0]
    assert "own stock" not in said.partition("> ")[0]
    assert "      - 42 bundles Fenwright 40, colour Slate Grey\n" in record(job)


def test_back_leads_to_an_answer_in_a_sheet_too(job: Path, talk: Talk) -> None:
    sheet = job.parent / "localities/vintermark-2026.yaml"
    [line] = [one for one in sheet.read_text().splitlines() if "design_wind_mph" in one]
    sheet.write_text(sheet.read_text().replace(f"{line}\n", ""))
    passed = talk(*[""] * 20, only="office").partition("Goes to localities")[0].count("> ")
    said = talk(*[""] * passed, "115", "back", "120", only="office")
    assert "for every job that goes by it" in said
    assert "design_wind_mph: 120" in sheet.read_text()
