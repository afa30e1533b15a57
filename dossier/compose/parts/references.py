"""Numbers for what a handover says, so that each statement leads to what backs it.

In: a case filtered for its reader and its assessment. Out: a `Ref` for each statement, figure and coverage, and
the rows of the index that they lead to. Must not judge a backing: the assessment has it.
"""

from collections.abc import Iterable, Iterator, Mapping
from dataclasses import dataclass, replace

from dossier.assess.results import Assessment, Figure, Statement
from dossier.case.case import Case
from dossier.compose.parts.coverage_pages import lines_of_each, sheet_titled
from dossier.compose.parts.gaps import membrane_left, statement_text
from dossier.compose.parts.levels import document_words
from dossier.compose.parts.places import backing_word, record_words, references_text, slopes_words
from dossier.compose.parts.shared import Pair, Ref
from dossier.said import say, write
from dossier.values import listed
from dossier.words import Backing

_FIGURES = ("roof.area",)
_SLOPE_FIGURES = ("area",)
"""Figures that a handover prints, whole or by slope, beside those of each attic; the others are in the office's
working."""


@dataclass(frozen=True)
class Backed:
    """One row of the index. number: as printed at the statement. backing: empty for what was worked out."""

    number: str
    text: str
    backing: str
    where: str


@dataclass(frozen=True)
class Index:
    """Every number with what it leads to. stated: statements; worked_out: figures and coverages."""

    stated: tuple[Backed, ...]
    worked_out: tuple[Backed, ...]
    refs: Mapping[str, Ref]

    def of(self, *names: str) -> tuple[Ref, ...]:
        """Return the numbers of these statements, figures or coverages; one without a number is passed over."""
        return tuple(self.refs[name] for name in names if name in self.refs)

    def marked(self, pairs: Iterable[Pair], at: Mapping[str, tuple[str, ...]]) -> tuple[Pair, ...]:
        """Return the pairs with the numbers of what they state. at: label → names."""
        return tuple(replace(pair, refs=self.of(*at.get(pair.label, ()))) for pair in pairs)


def index(case: Case, assessment: Assessment) -> Index:
    """Return the numbers of one document, from 1, in the order of the index."""
    stated: list[Backed] = []
    worked_out: list[Backed] = []
    refs: dict[str, Ref] = {}
    for statement in assessment.statements:
        # Counted by rows: two slopes of one name share their refs, and every row is a place of its own.
        number = str(len(stated) + 1)
        backing = backing_word(statement.backing, statement.by_slope)
        stated.append(
            Backed(number, str(statement_text(case, statement)), backing, _where(case, statement))
        )
        refs[statement.id] = Ref(number, backing)
    for name, text, where in (*_figures(case, assessment), *_coverages(case, assessment)):
        number = str(len(stated) + len(worked_out) + 1)
        worked_out.append(Backed(number, text, "", where))
        refs[name] = Ref(number, "")
    return Index(tuple(stated), tuple(worked_out), refs)


def _where(case: Case, statement: Statement) -> str:
    """Return where a statement's backing lies; a blank is told apart from a file that lies there."""
    files = references_text(case, statement.references)
    if statement.backing is Backing.ABSENT:
        blank = "not on record"
        if statement.slope is not None:
            blank = "not seen" if membrane_left(case, statement) else "nobody on record saw it"
        return f"{blank}; on file: {files}" if files else "nothing on file"
    slopes = slopes_words(statement.by_slope)
    return f"{files}; {slopes}" if slopes else files or "nothing on file"


def _figures(case: Case, assessment: Assessment) -> Iterator[tuple[str, str, str]]:
    wanted = [
        f"slope.{slope.label}.{name}" for slope in assessment.slopes for name in _SLOPE_FIGURES
    ]
    # The space is named as its reader may see it, which the assessment does not know.
    attics = case.job.building.attics if case.job.building else ()
    titles = {f"attic.{n}": f"Vents of attic {one.space}" for n, one in enumerate(attics)}
    literal = {
        f"attic.{n}": str(
            say("; {words}; {shares!c}", words=check.literal[0], shares=check.literal[1])
        )
        for n, check in enumerate(assessment.attics)
        if check.literal
    }
    for figure in assessment.figures:
        if figure.id in wanted or figure.id in _FIGURES or figure.id in titles:
            title = titles.get(figure.id, figure.title)
            yield (
                figure.id,
                f"{title}: {write(figure.result)}",
                _working(figure) + literal.get(figure.id, ""),
            )


def _working(figure: Figure) -> str:
    """Return a figure's rule: its formula with the numbers put in, and whose rule it is."""
    working = figure.working
    places = record_words(where for *_, where in figure.inputs)
    parts = [f"rule: {working.formula}; {working.with_numbers}", f"source: {working.source}"]
    return "; ".join([*parts, places] if places else parts)


def _coverages(case: Case, assessment: Assessment) -> Iterator[tuple[str, str, str]]:
    for (title, document), lines in lines_of_each(assessment).items():
        clauses = list(dict.fromkeys(line.part.clause for line in lines if line.part.clause))
        sheet = sheet_titled(assessment, document)
        where = "terms as typed in: " + (
            f"{document}, {document_words(sheet)}" if sheet else f"{case.company.name}, {document}"
        )
        if clauses:
            where += f", {'clause' if len(clauses) == 1 else 'clauses'} {listed(clauses)}"
        yield f"coverage.{title}.{document}", f"{title}, {lines[0].promised_by}", where
