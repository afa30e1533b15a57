"""Words of closed lists and of one-line forms stand in the manual and in the record to start from."""

from enum import StrEnum

import pytest

from dossier import words
from dossier.commands.manual import _group_section
from dossier.reading.model import Model, model_in
from dossier.record.job import Job
from dossier.record.materials import MaterialLine
from dossier.record.roof import Deck, Slope
from dossier.resources import resource


def short_models() -> list[type[Model]]:
    """Return the groups of a record that may stand on one line."""
    found: list[type[Model]] = []
    todo: list[type[Model]] = [Job]
    while todo:
        for info in todo.pop().model_fields.values():
            inner = model_in(info.annotation)
            if inner is not None and inner not in found:
                found.append(inner)
                todo.append(inner)
    return [model for model in found if model.short_form]


@pytest.mark.parametrize("model", short_models())
def test_the_manual_says_all_that_a_line_takes(model: type[Model]) -> None:
    section = _group_section(model, with_readers=True)
    assert "; whole: `" in section
    for word, field in model.short_words.items():
        row = next(line for line in section.splitlines() if line.startswith(f"| `{field}`"))
        assert f"on one line `{word} …`" in row


@pytest.mark.parametrize("model", [Slope, Deck])
def test_the_words_of_a_line_are_those_it_is_read_by(model: type[Model]) -> None:
    start = "front, 6:12" if model is Slope else "plywood 1/2 in"
    for word, field in model.short_words.items():
        assert model.from_text(f"{start}, {word} 7")[field] == "7"
    assert len(model.short_words) == {Slope: 11, Deck: 5}[model]


@pytest.mark.parametrize(
    "closed",
    [
        *(words.Phase, words.Scope, words.OldCovering, words.VapourRetarder, words.DeckKind),
        *(words.Redecked, words.Source, words.ValleyMethod, words.FlashingState, words.EdgeKind),
        *(words.InspectionResult, words.RepairKind),
    ],
)
def test_the_record_to_start_from_names_every_word_of_a_field_in_it(closed: type[StrEnum]) -> None:
    # Its own lines are broken at a width, so words are looked for with the breaks taken out.
    lines = (
        line.strip().lstrip("#").strip()
        for line in resource("start", "job.yaml").read_text().splitlines()
    )
    text = " ".join(lines).replace("# ", "")
    assert [word.value for word in closed if word.value not in text] == []


def test_the_words_of_a_slope_are_in_the_record_to_start_from() -> None:
    text = resource("start", "job.yaml").read_text()
    assert [word for word in (*Slope.short_words, *Deck.short_words) if word not in text] == []


def test_a_deck_under_some_slopes_is_one_line() -> None:
    fields = Deck.from_text("board 3/4 in, rafters 16 in, on S + N + W, redecked no")
    assert (fields["slopes"], fields["redecked"]) == ("S + N + W", "no")
    with pytest.raises(ValueError, match="on E"):
        Deck.from_text("board 3/4 in, on S, on E")


@pytest.mark.parametrize(
    ("line", "unit", "product"),
    [
        ("48 board feet spruce board", "board feet", "spruce board"),
        ("1 board foot Spruce", "board foot", "Spruce"),
        ("3 sheets board feet", "sheets", "board feet"),
    ],
)
def test_board_feet_are_a_unit_of_two_words(line: str, unit: str, product: str) -> None:
    fields = MaterialLine.from_text(line)
    assert (fields["unit"], fields["product"]) == (unit, product)
