"""The insurer's scope beside what this roof carries: one page or two, and its rows for CSV.

In: a case as the insurer's reader may see it, facts, an assessment. Out: pages of plain strings. Must not say
what a policy covers or owes, nor ask for anything: it is addressed to the homeowner, who decides whether an
insurer sees it.
"""

from dataclasses import dataclass

from dossier.assess.backing import good_papers, good_photos
from dossier.assess.results import Assessment
from dossier.assess.scope import ScopeRow, roles_of, scope_rows
from dossier.case.case import Case
from dossier.compose.parts.photo_days import misfits
from dossier.compose.parts.shared import (
    NOT_ON_RECORD,
    Head,
    Pair,
    PictureWanted,
    head_of,
    logo_wanted,
)
from dossier.evidence.facts import Facts
from dossier.values import Run, plural, write_money
from dossier.words import PaperKind, Phase, Role

_RELEASE = (
    (PaperKind.INVOICE, "Final invoice"),
    (PaperKind.COMPLETION, "Completion signed by the owner"),
    (PaperKind.CHANGE_ORDER, "Change orders"),
    (PaperKind.INSURER_SCOPE, "The insurer's scope"),
)


@dataclass(frozen=True)
class ComparisonRow:
    """One role of the roof. on_scope: yes, no, or no scope on record."""

    role: str
    quantity: str
    delivered: str
    on_scope: str
    scope_says: str
    scope_amount: str
    clause: str
    photo: str
    price: str


@dataclass(frozen=True)
class ReleaseRow:
    """One paper that releases held-back money, and whether it is on file."""

    what: str
    state: str


@dataclass(frozen=True)
class ScopeComparison:
    """The scope comparison, page by page."""

    template: str
    title: str
    head: Head
    pictures: tuple[PictureWanted, ...]
    address: str
    claim: tuple[Pair, ...]
    rows: tuple[ComparisonRow, ...]
    other_lines: tuple[Pair, ...]
    release: tuple[ReleaseRow, ...]
    held_back: str


def scope_comparison(case: Case, facts: Facts, assessment: Assessment, run: Run) -> ScopeComparison:
    """Return the scope comparison of one job."""
    insurance = case.job.insurance
    money = case.job.money
    claim = tuple(
        Pair(label, text)
        for label, text in (
            ("Insurer", insurance.insurer if insurance else None),
            ("Policy", insurance.policy if insurance else None),
            ("Claim", insurance.claim if insurance else None),
            ("Adjuster", insurance.adjuster if insurance else None),
        )
        if text
    )
    held = money.held_back if money else None
    rows = scope_rows(case, facts, assessment)
    return ScopeComparison(
        template="scope-comparison.html",
        title=f"Scope comparison, {case.job.job.address}",
        head=head_of(case, "scope comparison", run),
        pictures=logo_wanted(case.company),
        address=case.job.job.address,
        claim=claim,
        rows=tuple(_row(case, row) for row in rows),
        other_lines=_other_lines(case, {row.role for row in rows}),
        release=_release(case, facts),
        held_back=NOT_ON_RECORD if held is None else write_money(held),
    )


def _row(case: Case, row: ScopeRow) -> ComparisonRow:
    prices = case.job.money.prices if case.job.money else ()
    price = next((p.amount for p in prices if p.role is row.role and p.amount is not None), None)
    on_scope = "no scope on record" if row.on_scope is None else "yes" if row.on_scope else "no"
    return ComparisonRow(
        role=row.role.value,
        quantity=str(row.quantity),
        delivered=str(row.delivered),
        on_scope=on_scope,
        scope_says=str(row.scope_says),
        scope_amount="" if row.scope_amount is None else write_money(row.scope_amount),
        clause=str(row.clause),
        photo=(row.photo or "none on file").removeprefix("photos/"),
        price=NOT_ON_RECORD if price is None else write_money(price),
    )


def _other_lines(case: Case, shown: set[Role]) -> tuple[Pair, ...]:
    """Return the scope's lines that fit no part of the table, so that none is lost."""
    lines = case.job.money.scope_lines if case.job.money else ()
    return tuple(
        Pair(
            ", ".join(part for part in (line.what, line.quantity) if part)
            or "a line without words",
            NOT_ON_RECORD if line.amount is None else write_money(line.amount),
        )
        for line in lines
        if not roles_of(line) & shown
    )


def _release(case: Case, facts: Facts) -> tuple[ReleaseRow, ...]:
    rows = [
        ReleaseRow(
            what,
            _state(len(good_papers(case, facts, kind)), len(case.papers_of(kind)), "paper"),
        )
        for kind, what in _RELEASE
    ]
    finished = good_photos(case, facts, Phase.FINISHED)
    filed = case.photos_of(Phase.FINISHED)
    fitting = [photo for photo in finished if not misfits(case, facts, photo)]
    state = _state(len(finished), len(filed), "photo")
    if finished and not fitting:
        state += "; no camera day fits the work log"
    return (*rows, ReleaseRow("Photos of the finished roof", state))


def _state(opening: int, filed: int, noun: str) -> str:
    """Return what lies on file. opening: of those filed, the ones that can be opened and read."""
    if not filed:
        return "not on file"
    broken = filed - opening
    does = "does not open" if broken == 1 else "do not open"
    if not opening:
        return f"on file, but {does}: {plural(broken, noun)}"
    also = f"; {plural(broken, noun)} more {does}" if broken else ""
    return f"on file, {plural(opening, noun)}{also}"


COLUMNS = (
    *("role", "measured_quantity", "delivered_and_kept", "on_scope", "scope_says", "scope_amount"),
    *("clause", "photo", "our_price"),
)


def scope_csv_rows(comparison: ScopeComparison) -> list[dict[str, str]]:
    """Return the rows for CSV, by the names in COLUMNS."""
    return [
        dict(
            zip(
                COLUMNS,
                (
                    *(row.role, row.quantity, row.delivered),
                    *(row.on_scope, row.scope_says, row.scope_amount),
                    *(row.clause, row.photo, row.price),
                ),
                strict=True,
            )
        )
        for row in comparison.rows
    ]
