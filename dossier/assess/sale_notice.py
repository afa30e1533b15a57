"""Until when notice of a sale must be given: one rule, for the documents of a sale and for a whole office.

In: a coverage's terms, the day they count from, sales. Out: last days. Must not print, nor decide: the warrantor
does. A deadline is asked for only where something is left to pass on, by the terms and this record.
"""

from collections.abc import Iterable, Iterator, Mapping
from dataclasses import replace
from datetime import date

from dossier.assess.calendar import day_that_meets
from dossier.assess.coverage import transfer_rule
from dossier.assess.passed_on import CoverageAnswer, Holding, HouseSale, answer_on_day
from dossier.assess.results import Assessment, LeftBySale
from dossier.terms.coverage import Coverage
from dossier.trade.owners import notice_due
from dossier.words import StartEvent


def nothing_left(answer: CoverageAnswer) -> bool:
    """Return whether nothing of a coverage is left to pass on, by the terms and this record."""
    return all(part.holding is Holding.ENDED for part in answer.parts)


def left_by(answer: CoverageAnswer) -> LeftBySale:
    """Return what the sales counted in an answer left of a coverage."""
    held = {part.holding for part in answer.parts}
    if nothing_left(answer):
        return LeftBySale.NOTHING
    if Holding.CANNOT_TELL in held or Holding.NOT_STARTED in held:
        return LeftBySale.CANNOT_TELL
    return LeftBySale.IF_NOTICE if Holding.OPEN in held else LeftBySale.SOMETHING


def with_what_is_left(
    assessment: Assessment, left: Mapping[tuple[str, str], LeftBySale]
) -> Assessment:
    """Return the assessment whose coverages know what a sale left of them. left: by title and document."""
    lines = tuple(replace(line, left=left.get(line.title_key)) for line in assessment.coverages)
    return replace(assessment, coverages=lines)


def passes_by_notice(coverage: Coverage, answer: CoverageAnswer) -> bool:
    """Return whether notice of a sale is worth giving: the coverage may pass, and something of it is left."""
    transfer = coverage.transfer
    return transfer is not None and transfer.passes and not nothing_left(answer)


def notices_open(
    coverage: Coverage, start: date | None, sales: Iterable[HouseSale]
) -> Iterator[tuple[HouseSale, date]]:
    """Yield each sale of which a notice that meets the terms is not on record, with the last day for it.

    start: None where not on record; the last day counts from the closing all the same. Left out are sales
    that are none by the terms, that come too often or too late for them, and terms whose days count from
    something else than the closing.
    """
    transfer = coverage.transfer
    if transfer is None or transfer.counted_from not in (None, StartEvent.CLOSING):
        return
    chain = sorted(sales, key=lambda sale: sale.closing_on)
    for number, sale in enumerate(chain, start=1):
        answer = answer_on_day(coverage, start, chain[:number], sale.closing_on)
        due = notice_due(sale.closing_on, transfer_rule(coverage))
        if due is None or not passes_by_notice(coverage, answer):
            continue
        if sale.in_family and transfer.family_is_no_sale:
            continue
        if start is not None and answer.notice_due_on is None:
            continue
        met_on = day_that_meets(
            transfer.met_by,
            sale.notice_sent_on,
            sale.notice_received_on,
            sale.notice_accepted_on,
        )
        if met_on is None:
            yield sale, due
