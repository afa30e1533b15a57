"""Case, facts and day into the one `Assessment` that rules and documents read.

In: a case, facts, the run. Out: an `Assessment`. Must not know a rule or a page.
"""

from dossier.assess import code, supply
from dossier.assess.attics import attic_results
from dossier.assess.calendar import deadline_figure, events
from dossier.assess.coverage import coverage_figures
from dossier.assess.details import detail_figures, details
from dossier.assess.levels import asked_results, coverage_lines
from dossier.assess.results import Assessment
from dossier.assess.roof import measures, roof_figure, slope_results, totals_of
from dossier.assess.statements import statements
from dossier.case.case import Case
from dossier.evidence.facts import Facts
from dossier.trade.roof import roof_kind
from dossier.values import Run


def assess(case: Case, facts: Facts, run: Run) -> Assessment:
    """Return everything that follows from the case and its facts on the run's day."""
    slopes, slope_figures = slope_results(case)
    totals = totals_of(case, slopes)
    kind = roof_kind(measures(case, slopes)) if slopes else "cannot tell"
    roles = supply.role_results(case, slopes, totals, kind) if slopes else ()
    attics, attic_figures = attic_results(case)
    decks, deck_figures = code.deck_results(case)
    wind = code.wind_result(case)
    nailing = code.nailing(case)
    nail_length = code.nail_length(case)
    prices = code.price_result(case)
    known = events(case)
    asked = asked_results(case, facts, slopes, attics, known, run.today)
    lines = coverage_lines(case, asked, known)
    smaller = details(case, known, run.today)
    return Assessment(
        events=known,
        slopes=slopes,
        totals=totals,
        roof_kind=kind,
        roles=roles,
        attics=attics,
        decks=decks,
        wind=wind,
        nailing=nailing,
        nail_length=nail_length,
        prices=prices,
        asked=asked,
        coverages=lines,
        statements=statements(case, facts, slopes),
        details=smaller,
        figures=(
            *slope_figures,
            *roof_figure(case, totals),
            *supply.supply_figures(case, slopes, roles),
            *attic_figures,
            *code.wind_figures(case, wind),
            *deck_figures,
            *code.nail_figures(case, nailing, nail_length),
            *code.price_figures(case, prices),
            *code.release_figures(case),
            *(
                figure
                for result in asked
                if result.level.deadline
                for figure in deadline_figure(result.asked, result.level.deadline)
            ),
            *detail_figures(case, smaller),
            *coverage_figures(case, lines, run.today),
        ),
    )
