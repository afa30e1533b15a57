"""Questions of a job and answers to them, as a front end other than the terminal asks for them."""

from collections.abc import Iterator
from pathlib import Path

import pytest

from dossier.case.case import Case
from dossier.deeds.asking import Answered, Asking, answer, named, questions
from dossier.deeds.starting import start
from dossier.errors import CannotWrite, UnreadableInput, WrongCommand
from dossier.punchlist import Party
from dossier.questions.question import Question
from dossier.steps.asked import Asked
from tests.conftest import bare_job, no_clock
from tests.known_good import TODAY

NOW = "  issued: 2026-09-02\n"
PLATE = "localities/vintermark-2026.yaml"


@pytest.fixture(autouse=True)
def nothing_is_printed(capfd: pytest.CaptureFixture[str]) -> Iterator[None]:
    """Hold every test to a screen that stays empty."""
    yield
    assert capfd.readouterr() == ("", "")


@pytest.fixture
def job(tmp_path: Path) -> Path:
    """Return a job whose permit has no day."""
    job = bare_job(tmp_path / "office")
    edit(job / "job.yaml", NOW, "")
    return job


def edit(file: Path, old: str, new: str) -> None:
    text = file.read_text()
    assert text.count(old) == 1
    file.write_text(text.replace(old, new))


def asked(job: Path) -> Asked:
    return Asked(job, today=TODAY)


def ask(job: Path) -> Asking:
    return questions(asked(job), no_clock)


def say(job: Path, asking: Asking, field: str, text: str) -> Answered:
    return answer(asked(job), no_clock, asking, named(asking, field), text)


def read(done: Answered) -> Case:
    checked = done.asking.checked
    assert checked.readable
    return checked.case


def whole_file(job: Path) -> str:
    return (job / "job.yaml").read_text()


def test_an_answer_is_one_line_and_its_question_is_gone(job: Path) -> None:
    before = whole_file(job)
    asking = ask(job)
    one = named(asking, "permit.issued")
    assert (one.kind, one.known_by, one.name) == (
        "a date",
        Party.OFFICE,
        "the day the permit was issued",
    )
    done = say(job, asking, "permit.issued", "2026-09-02")
    assert whole_file(job) == before.replace(
        "  number: R-2026-1187\n", f"  number: R-2026-1187\n{NOW}"
    )
    assert done.open is None
    assert "permit.issued" not in {one.path for one in done.asking.questions}
    assert len(done.asking.checked.punch_list) == len(asking.checked.punch_list) - 1


def test_the_next_answer_goes_by_what_the_last_one_left(job: Path) -> None:
    edit(job / "job.yaml", "  year_built: 1994\n", "")
    done = say(job, ask(job), "permit.issued", "2026-09-02")
    done = say(job, done.asking, "building.year_built", "1994")
    assert not {"permit.issued", "building.year_built"} & {
        one.path for one in done.asking.questions
    }


def test_a_file_changed_by_somebody_else_meanwhile_is_left_alone(job: Path) -> None:
    asking = ask(job)
    edit(job / "job.yaml", "year_built: 1994", "year_built: 1995")
    before = whole_file(job)
    with pytest.raises(CannotWrite, match=r"job\.yaml was changed since it was shown"):
        say(job, asking, "permit.issued", "2026-09-02")
    assert whole_file(job) == before


@pytest.mark.parametrize(
    ("text", "says"),
    [
        ("soon", "“permit.issued” found “soon”, needed a date"),
        ("2026-02-30", "“permit.issued” found “2026-02-30”, which no calendar has"),
        ("", "Nothing was typed"),
        ("n/a", "is not applicable, without a reason"),
    ],
)
def test_an_answer_that_cannot_be_read_gets_the_readers_own_sentence(
    job: Path, text: str, says: str
) -> None:
    before, asking = whole_file(job), ask(job)
    with pytest.raises((UnreadableInput, WrongCommand), match=says):
        say(job, asking, "permit.issued", text)
    assert whole_file(job) == before


def test_a_sealed_job_is_refused_with_what_to_do_instead(sealed: Path) -> None:
    with pytest.raises(CannotWrite, match=r"This job is sealed.*dossier add correction"):
        ask(sealed)


def test_a_name_that_leads_to_no_sheet_is_taken_back(job: Path) -> None:
    text = whole_file(job)
    (job / "job.yaml").write_text(text[: text.index("warranties:")] + text[text.index("money:") :])
    before, asking = whole_file(job), ask(job)
    one = named(asking, "warranties.0")
    assert "kestrelmoor-2026, Full Assembly" in one.choices
    with pytest.raises(UnreadableInput, match="kestrelmoor-2025"):
        say(job, asking, "warranties.0", "kestrelmoor-2025, Full Assembly")
    assert whole_file(job) == before
    number = str(one.choices.index("kestrelmoor-2026, Full Assembly") + 1)
    done = say(job, asking, "warranties.0", number)
    [warranty] = read(done).job.warranties
    assert (warranty.sheet, warranty.level) == ("kestrelmoor-2026", "Full Assembly")


def test_a_fact_of_a_sheet_goes_into_the_offices_own_sheet(job: Path) -> None:
    sheet = job.parent / PLATE
    [line] = [one for one in sheet.read_text().splitlines() if "design_wind_mph" in one]
    edit(sheet, f"{line}\n", "")
    asking = ask(job)
    [one] = [one for one in asking.questions if one.fields == ("design_wind_mph",)]
    assert one.file == PLATE
    answer(asked(job), no_clock, asking, one, line.partition(": ")[2].partition("#")[0].strip())
    assert f"{line.partition('#')[0].rstrip()}\n" in sheet.read_text()


def test_a_new_job_is_asked_for_what_it_cannot_be_read_without(job: Path) -> None:
    new = job.parent / "2026-061-birch-road"
    start(new)
    asking = ask(new)
    assert [one.path for one in asking.questions] == ["job.address", "job.locality"]
    assert not any(one.may_not_apply for one in asking.questions)
    place = named(asking, "job.locality").choices.index("vintermark-2026") + 1
    done = say(new, asking, "job.address", "12 Birch Road, Halvorsted")
    assert [one.path for one in done.asking.questions] == ["job.locality"]
    with pytest.raises(UnreadableInput, match="vintermark-2025"):
        say(new, done.asking, "job.locality", "vintermark-2025")
    done = say(new, done.asking, "job.locality", str(place))
    assert read(done).job.job.locality == "vintermark-2026"
    assert done.asking.questions[0].path == "after_work.flues"


def test_a_job_of_which_more_is_amiss_is_refused_with_the_first_fault(job: Path) -> None:
    edit(job / "job.yaml", "  scope: full tear-off\n", "  scope: half\n")
    with pytest.raises(UnreadableInput, match="needed full tear-off"):
        ask(job)


def test_what_nobody_asks_for_is_no_question(job: Path) -> None:
    asking = ask(job)
    with pytest.raises(WrongCommand, match=r"Nothing asks for “building\.year_built”"):
        named(asking, "building.year_built")


def test_a_reason_that_is_doubted_is_shown_and_gives_way_to_the_fact(job: Path) -> None:
    edit(
        job / "job.yaml",
        """  inspections:
    - deck and ice barrier, 2026-09-14, passed, R. Lindmark
    - final, 2026-09-21, passed, R. Lindmark
""",
        "  inspections: n/a, none asked   # so they say\n",
    )
    asking = ask(job)
    one = named(asking, "permit.inspections.0")
    assert (one.says_now, one.may_not_apply) == ("n/a, none asked", False)
    text = "deck and ice barrier, 2026-09-14, passed, R. Lindmark\nfinal, 2026-09-21, passed"
    done = say(job, asking, "permit.inspections.0", text)
    permit = read(done).job.permit
    assert permit is not None
    assert [one.kind for one in permit.inspections] == ["deck and ice barrier", "final"]
    assert "# so they say" in whole_file(job)


def test_the_same_for_all_slopes_or_slope_by_slope(job: Path) -> None:
    text = whole_file(job)
    (job / "job.yaml").write_text(text.replace(", 6:12, plan", ", plan"))
    asking = ask(job)
    one = named(asking, "slopes.*.pitch")
    assert one.fields == ("slopes.0.pitch", "slopes.1.pitch")
    assert one.slopes == ("front", "back")
    done = say(job, asking, "slopes.1.pitch", "6:12")
    left = named(done.asking, "slopes.0.pitch")
    assert (left.fields, left.slopes) == (("slopes.0.pitch",), ("front",))
    (job / "job.yaml").write_text(text.replace(", 6:12, plan", ", plan"))
    done = say(job, ask(job), "slopes.*.pitch", "6:12")
    assert {slope.pitch and slope.pitch.rise_in_12 for slope in read(done).job.slopes} == {6}


def test_an_edge_that_two_slopes_share_is_asked_for_slope_by_slope(job: Path) -> None:
    text = whole_file(job)
    (job / "job.yaml").write_text(text.replace(", ridge 40 ft", ""))
    asking = ask(job)
    ridges = [one for one in asking.questions if one.path.endswith("ridge_ft")]
    assert [one.fields for one in ridges] == [("slopes.0.ridge_ft",), ("slopes.1.ridge_ft",)]
    done = say(job, asking, "slopes.0.ridge_ft", "40 ft")
    assert [one.path for one in done.gone] == ["slopes.1.ridge_ft"]


def test_a_person_may_be_named_by_number_and_a_form_may_send_the_parts(job: Path) -> None:
    edit(job / "job.yaml", "  flues: Sverre Holt, 2026-09-16, heating licence H-2041\n", "")
    asking = ask(job)
    one = named(asking, "after_work.flues")
    assert asking.questions[0] == one, "life safety comes first"
    assert [part.field for part in one.parts] == ["by", "on", "note", "licence"]
    number = one.parts[0].choices.index("Jens Aberg") + 1
    done = say(job, asking, "after_work.flues", f"{number}, 2026-09-16")
    assert "  flues: Jens Aberg, 2026-09-16\n" in whole_file(job)
    edit(job / "job.yaml", "  flues: Jens Aberg, 2026-09-16\n", "")
    asking = ask(job)
    typed = {"by": "Ida Torvik", "on": "2026-09-16", "note": " "}
    done = answer(asked(job), no_clock, asking, named(asking, "after_work.flues"), typed)
    after = read(done).job.after_work
    assert after is not None
    assert after.flues is not None
    assert (after.flues.by, str(after.flues.on)) == ("Ida Torvik", "2026-09-16")


def test_the_order_is_life_safety_then_weight_then_day(job: Path) -> None:
    edit(job / "job.yaml", "  flues: Sverre Holt, 2026-09-16, heating licence H-2041\n", "")
    asking = ask(job)
    order = [(not one.life_safety, _weights(one)) for one in asking.questions]
    assert order == sorted(order)
    assert asking.questions[0].path == "after_work.flues"


def _weights(one: Question) -> int:
    return ["holds", "weakens", "note"].index(one.weight.value)


def test_an_inspection_is_begun_with_one_of_those_the_place_asks_for(job: Path) -> None:
    edit(job / "job.yaml", "    - final, 2026-09-21, passed, R. Lindmark\n", "")
    asking = ask(job)
    one = named(asking, "permit.inspections.1")
    assert one.leads == ("deck and ice barrier", "final")
    say(job, asking, "permit.inspections.1", "2, 2026-09-21, passed, R. Lindmark")
    assert "    - final, 2026-09-21, passed, R. Lindmark\n" in whole_file(job)
