"""The annex: every figure with its formula, its inputs and where they came from, and its source.

In: an assessment. Out: rows of plain strings. Must not compute or leave out a figure, except those of money,
which only the office's own screen shows.
"""

from dataclasses import dataclass

from dossier.assess.results import Assessment, Figure
from dossier.compose.parts.places import place_words
from dossier.said import write

_MONEY = ("deck.price", "insurance.release")


@dataclass(frozen=True)
class AnnexRow:
    """One figure as a person can follow it with a pencil."""

    title: str
    result: str
    formula: str
    numbers: str
    inputs: tuple[str, ...]
    source: str


def annex_rows(assessment: Assessment) -> tuple[AnnexRow, ...]:
    """Return a row for every figure that is not an amount of money, in the order of the working."""
    return tuple(_row(figure) for figure in assessment.figures if figure.id not in _MONEY)


def _row(figure: Figure) -> AnnexRow:
    return AnnexRow(
        title=str(figure.title),
        result=write(figure.result),
        formula=str(figure.working.formula),
        numbers=str(figure.working.with_numbers),
        inputs=tuple(
            f"{name} {write(value)} ({place_words(where)})" for name, value, where in figure.inputs
        ),
        source=f"{figure.working.source} ({figure.working.confidence})",
    )
