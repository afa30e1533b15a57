"""What a sale on record has left of each coverage, in a few words for the line of years and the transfer sheet.

In: what was worked out of the sale, and the parts of a coverage. Out: sentences. Must not promise that anything
passes: by the printed terms and this record; the warrantor decides. Nobody is named: the document passes on.
"""

from collections.abc import Mapping, Sequence
from datetime import date

from dossier.assess.claim import CoverageThen
from dossier.assess.passed_on import Holding
from dossier.assess.results import Assessment, CoverageLine
from dossier.assess.sale_notice import nothing_left
from dossier.compose.parts.claims_and_sales import ends_sooner
from dossier.compose.parts.coverage_pages import lines_of
from dossier.terms.coverage import Transfer
from dossier.values import listed, plural, write_date
from dossier.words import StartEvent


def left_by_sale(
    assessment: Assessment, then: Sequence[CoverageThen], closing: date
) -> Mapping[tuple[str, str], str]:
    """Return what a sale left of each coverage, by its title and document.

    then: every coverage with the sale counted. closing: its day.
    """
    found = {}
    for one in then:
        key = (one.title, one.document)
        sold = f"Sold on {write_date(closing)}, by this record."
        found[key] = f"{sold} {_left(one, lines_of(assessment, key))}"
    return found


def left_of_each(assessment: Assessment, then: Sequence[CoverageThen]) -> tuple[str, ...]:
    """Return the same for a first page that names the closing by itself: each coverage, and what is left of it."""
    return tuple(
        f"{one.title} ({one.basis.value}): {_left(one, lines_of(assessment, (one.title, one.document)))}"
        for one in then
    )


def _left(one: CoverageThen, lines: Sequence[CoverageLine]) -> str:
    """Return who has a coverage after a sale, until when, and whether a later sale passes it on."""
    held = {answer.holding for answer in one.answer.parts}
    if nothing_left(one.answer):
        return "Nothing of it is left."
    if Holding.NOT_STARTED in held:
        return f"Its terms had not begun; ask {one.warrantor} whether it passed on."
    said = []
    if one.answer.transfers == 0:
        said.append(
            "By its terms that was no sale: the new owner stands in the first owner’s place."
        )
    for holding in (Holding.HOLDS, Holding.OPEN):
        if holding in held:
            notice = _notice(one) if holding is Holding.OPEN else ""
            said.append(f"The new owner has {_named(one, holding)}{_until(one, lines)}{notice}.")
    if Holding.CANNOT_TELL in held:
        unknown = _named(one, Holding.CANNOT_TELL)
        said.append(f"Whether the new owner has {unknown} cannot be told; ask {one.warrantor}.")
    if held & {Holding.HOLDS, Holding.OPEN}:
        said.append(_later_sale(one, lines))
    return " ".join(text for text in said if text)


def _named(one: CoverageThen, holding: Holding) -> str:
    """Return the parts that stand so, by name; “it” where all do."""
    names = [part.part.part.value for part in one.answer.parts if part.holding is holding]
    return "it" if len(names) == len(one.answer.parts) else listed(names)


def _until(one: CoverageThen, lines: Sequence[CoverageLine]) -> str:
    if one.answer.transfers == 0:
        return ""
    sooner = [line.next_owner_ends for line in lines if ends_sooner(line) and line.next_owner_ends]
    if sooner:
        return f" to {write_date(sooner[0])} at most"
    return " as long as the first owner would"


def _notice(one: CoverageThen) -> str:
    transfer, due = one.coverage.transfer, one.answer.notice_due_on
    from_closing = transfer is not None and transfer.counted_from in (None, StartEvent.CLOSING)
    if transfer is None or due is None or not from_closing:
        return ", if notice comes in time"
    return f", if notice is {transfer.met_by.value} by {write_date(due)}"


def _later_sale(one: CoverageThen, lines: Sequence[CoverageLine]) -> str:
    """Return whether a sale after this one passes the coverage on; empty where that cannot be told."""
    transfer, used = one.coverage.transfer, one.answer.transfers
    if transfer is None or used is None or not transfer.passes:
        return ""
    last = lines[0].last_sale if lines else None
    up_to = f" up to {write_date(last)}" if last else ""
    if transfer.times is None:
        return f"A later sale{up_to} passes it on again."
    left = transfer.times - used
    if left <= 0:
        return "No later sale passes it on."
    return f"A later sale{up_to} passes it on, {plural(left, 'time')} more."


def used_up(transfer: Transfer | None, transfers: int | None) -> str:
    """Return how many of the sales at which a coverage passes are used up; empty where that is not told.

    transfers: the sales that counted, None where that cannot be told.
    """
    if transfer is None or transfer.times is None or not transfers:
        return ""
    if transfer.times == 1:
        return "By this record it is used up."
    verb = "is" if transfers == 1 else "are"
    return f"By this record {transfers} of these {transfer.times} {verb} used up."
