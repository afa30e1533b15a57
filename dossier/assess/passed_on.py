"""What a coverage comes to on a day for whoever owns the house then, after the sales on record.

In: a coverage's terms, its start, sales as entries tell them, a day. Out: `PartAnswer`s. Must not print, nor
decide a claim. Where the record leaves something open that decides, the answer is worked out both ways; only
where both agree is it told, else it is “cannot tell” with what is needed. No notice on record is not the
same as no notice given: a buyer may have written to the maker himself.
"""

from collections.abc import Iterable, Sequence
from dataclasses import dataclass, replace
from datetime import date
from enum import StrEnum
from fractions import Fraction

from dossier.assess.coverage import PartOnDay, coverage_on_day, transfer_rule
from dossier.said import Count, Listed, Said, Value, say
from dossier.terms.coverage import Coverage, Part, Transfer
from dossier.trade.coverage import CoveragePart
from dossier.trade.months import add_months
from dossier.trade.owners import Sale, notice_due
from dossier.trade.working import Working
from dossier.words import MetBy, OwnerKind, StartEvent


class Holding(StrEnum):
    """Whether a part holds on the day asked about."""

    HOLDS = "holds"
    OPEN = "holds if notice comes in time"
    ENDED = "ended"
    NOT_STARTED = "not started"
    CANNOT_TELL = "cannot tell"


@dataclass(frozen=True)
class HouseSale:
    """One change of owner, as the entries tell it.

    in_family: passed to a spouse, an heir or the owner's own trust. buyer_kind: None where not on record.
    """

    closing_on: date
    notice_sent_on: date | None = None
    notice_received_on: date | None = None
    notice_accepted_on: date | None = None
    in_family: bool = False
    buyer_kind: OwnerKind | None = None


@dataclass(frozen=True)
class PartAnswer:
    """One part on one day.

    share: 0 to 1, None where it cannot be told. runs_to: last day; None for a lifetime, where nothing is
    left, or where it cannot be told. working: of the share, None where nothing was worked out.
    """

    part: Part
    holding: Holding
    share: Fraction | None
    stage: str
    runs_to: date | None
    lifetime: bool
    full_pay_to: date | None
    working: Working | None


@dataclass(frozen=True)
class CoverageAnswer:
    """The parts of one coverage on one day.

    transfers: sales that counted, None where that cannot be told. notice_due_on: last day for notice of the
    latest sale, None where none is due. because: sentences on why it stands so; the first says whose terms hold.
    """

    parts: tuple[PartAnswer, ...]
    transfers: int | None
    notice_due_on: date | None
    because: tuple[Said, ...]


def answer_on_day(
    coverage: Coverage,
    start: date | None,
    sales: Iterable[HouseSale],
    day: date,
    warrantor: str = "the warrantor",
) -> CoverageAnswer:
    """Return what every part of a coverage comes to on a day, by its terms and the sales on record.

    start: None where the day from which the terms count is not on record; then nothing can be told.
    warrantor: whom the sentences say to ask.
    """
    if start is None:
        needs = say(
            "The day from which its terms count is not on record, so that nothing can be worked out."
        )
        parts = tuple(
            PartAnswer(part, Holding.CANNOT_TELL, None, "", None, part.lifetime, None, None)
            for part in coverage.parts
        )
        return CoverageAnswer(parts, None, None, (needs,))
    if day < start:
        parts = tuple(
            PartAnswer(part, Holding.NOT_STARTED, Fraction(0), "", None, False, None, None)
            for part in coverage.parts
        )
        says = say("Its terms count from {day}, which is after that day.", day=start)
        return CoverageAnswer(parts, 0, None, (says,))
    told_of = sorted((s for s in sales if s.closing_on <= day), key=lambda s: s.closing_on)
    chain = [_known_on(sale, day) for sale in told_of]
    best_chain = [_as_told(coverage, s, True) for s in chain]
    worst_chain = [_as_told(coverage, s, False) for s in chain]
    best = coverage_on_day(coverage, start, best_chain, day)
    worst = coverage_on_day(coverage, start, worst_chain, day)
    # A sale before the terms began is none of theirs: whether they were ever the new owner's is not told.
    too_early = [one.sold_on for one in worst_chain if one.sold_on < start and not one.exempt]
    parts = tuple(
        _answer(start, one, other, later=bool(one.standing.transfers), cannot_tell=bool(too_early))
        for one, other in zip(best, worst, strict=True)
    )
    told = worst[0].standing
    # Whether a sale within the family counts, and a sale before the start, the terms may leave open.
    counted = not too_early and best[0].standing.transfers == told.transfers
    return CoverageAnswer(
        parts=parts,
        transfers=told.transfers if counted else None,
        notice_due_on=told.notice_due_on,
        because=(_before_the_start(start, too_early, warrantor),)
        if too_early
        else (
            *_because(coverage, start, chain, best[0], parts, day, warrantor),
            *_learnt(told_of, day),
        ),
    )


def _known_on(sale: HouseSale, day: date) -> HouseSale:
    """Return a sale as it stood on a day: a notice or an acceptance of a later day is not yet known."""

    def known(on: date | None) -> date | None:
        return None if on is None or on > day else on

    return replace(
        sale,
        notice_sent_on=known(sale.notice_sent_on),
        notice_received_on=known(sale.notice_received_on),
        notice_accepted_on=known(sale.notice_accepted_on),
    )


def _learnt(sales: Iterable[HouseSale], day: date) -> Iterable[Said]:
    """Yield what the record tells of notices after the day asked about, which is not counted on it."""
    for sale in sales:
        for on, what in (
            (sale.notice_sent_on, say("notice was sent")),
            (sale.notice_received_on, say("notice was received")),
            (sale.notice_accepted_on, say("the transfer was accepted")),
        ):
            if on is not None and on > day:
                yield say(
                    "After that day, on {day}, {what}; it is not counted here. Ask for the answer on "
                    "that later day.",
                    day=on,
                    what=what,
                )


def _before_the_start(start: date, sold_on: Sequence[date], warrantor: str) -> Said:
    return say(
        "The house changed hands on {days}, by this record, before these terms began on {start}. Whether "
        "they hold for the owner after that sale cannot be told; ask {warrantor}.",
        days=Listed(tuple(sold_on)),
        start=start,
        warrantor=warrantor,
    )


def _as_told(coverage: Coverage, sale: HouseSale, at_best: bool) -> Sale:
    """Return one sale as the terms take it, where the record is blank to the owner's good or not."""
    transfer = coverage.transfer
    if transfer is None:
        # Terms that say nothing of a sale may let it pass; only the warrantor can tell.
        return Sale(sale.closing_on, None, exempt=at_best)
    exempt = sale.in_family and (
        at_best if transfer.family_is_no_sale is None else transfer.family_is_no_sale
    )
    return Sale(sale.closing_on, _notice_on(coverage, transfer, sale, at_best), exempt)


def _notice_on(
    coverage: Coverage, transfer: Transfer, sale: HouseSale, at_best: bool
) -> date | None:
    due = notice_due(sale.closing_on, transfer_rule(coverage))
    if sale.notice_accepted_on is not None:
        # What the warrantor has accepted was in time for him.
        return sale.notice_accepted_on if due is None else min(sale.notice_accepted_on, due)
    known = {
        MetBy.SENT: sale.notice_sent_on or sale.notice_received_on,
        MetBy.RECEIVED: sale.notice_received_on,
        MetBy.ACCEPTED: None,
    }[transfer.met_by]
    if known is not None and not (_other_event(transfer) and at_best):
        return known
    if not at_best:
        return None
    earlier = sale.notice_received_on or sale.notice_sent_on
    if earlier is not None and (due is None or earlier <= due):
        return earlier
    # A notice that was sent too late cannot have been received in time.
    sent_late = sale.notice_sent_on is not None and due is not None and sale.notice_sent_on > due
    return sale.notice_sent_on if sent_late and not _other_event(transfer) else due


def _other_event(transfer: Transfer) -> bool:
    """Return whether the days for notice count from something else than the closing."""
    return transfer.counted_from not in (None, StartEvent.CLOSING)


def _answer(
    start: date, best: PartOnDay, worst: PartOnDay, *, later: bool, cannot_tell: bool
) -> PartAnswer:
    part = best.part
    nameless = later and part.lifetime and best.standing.part is not None
    differ = best.share != worst.share or best.standing.part != worst.standing.part
    statuses = {best.standing.status, worst.standing.status}
    if _is_over(best) and _is_over(worst):
        # Whatever the record leaves open, nothing is left: the term has run out, or a sale ended it.
        kept = best.standing.part
        last = None if kept is None else kept.last_day(start)
        working = best.in_force.working if best.in_force else None
        return PartAnswer(part, Holding.ENDED, Fraction(0), "ended", last, False, None, working)
    if cannot_tell or differ or ("ended" in statuses and len(statuses) > 1):
        return PartAnswer(part, Holding.CANNOT_TELL, None, "", None, False, None, None)
    terms = best.standing.part
    assert terms is not None
    assert best.in_force is not None
    if nameless and terms.term_months is None:
        # A lifetime is the first owner's; the terms name no term for the one after him.
        return PartAnswer(part, Holding.CANNOT_TELL, None, "", None, False, None, None)
    holding = Holding.OPEN if "notice still open" in statuses else Holding.HOLDS
    return PartAnswer(
        part=part,
        holding=holding,
        share=best.share,
        stage=best.in_force.stage,
        runs_to=terms.last_day(start),
        lifetime=terms.term_months is None,
        full_pay_to=_full_pay_to(terms, start),
        working=best.in_force.working,
    )


def _is_over(one: PartOnDay) -> bool:
    return one.standing.status == "ended" or (
        one.in_force is not None and one.in_force.stage == "ended"
    )


def _full_pay_to(terms: CoveragePart, start: date) -> date | None:
    return terms.last_full_pay_day(start)


def _because(
    coverage: Coverage,
    start: date,
    chain: Sequence[HouseSale],
    best: PartOnDay,
    parts: tuple[PartAnswer, ...],
    day: date,
    warrantor: str,
) -> tuple[Said, ...]:
    """Return why a coverage stands so after the sales on record, in plain sentences."""
    if not chain:
        return (say("No sale of the house is on record up to that day: the first owner’s terms."),)
    transfer = coverage.transfer
    if transfer is None:
        return (
            say(
                "{sold} The terms as typed in here say nothing of a sale; ask {warrantor}.",
                sold=_sold(chain),
                warrantor=warrantor,
            ),
        )
    clause = say(" (clause {number})", number=transfer.clause) if transfer.clause else say("")
    said = [_sold(chain)]
    said += [_family(transfer, sale, clause, warrantor) for sale in chain if sale.in_family]
    if not transfer.allowed:
        if _counted(coverage, chain):
            said.append(
                say("By its terms it does not pass to another owner{clause}.", clause=clause)
            )
        return tuple(said)
    if best.standing.status == "ended":
        said.append(_ended(coverage, transfer, start, chain, best, clause))
        return tuple(said)
    said += _notices(coverage, transfer, chain, day, clause, warrantor)
    if transfer.second_owner_years is None and any(part.part.lifetime for part in parts):
        said.append(
            say(
                "The terms name no term for the next owner in place of a lifetime{clause}; ask {warrantor}.",
                clause=clause,
                warrantor=warrantor,
            )
        )
    last = chain[-1].buyer_kind
    kinds = coverage.owner_kinds
    if kinds and last is not None and last not in kinds:
        said.append(
            say(
                "The terms write it for owners of the kind {meant}; the new owner is of the kind {kind}. "
                "Ask {warrantor}.",
                meant=Listed(kinds, "or"),
                kind=last,
                warrantor=warrantor,
            )
        )
    return tuple(said)


def _counted(coverage: Coverage, chain: Sequence[HouseSale]) -> list[HouseSale]:
    """Return the sales that count by the terms, the record's blanks read to the owner's good."""
    return [sale for sale in chain if not _as_told(coverage, sale, True).exempt]


def _sold(chain: Sequence[HouseSale]) -> Said:
    days = Listed(tuple(sale.closing_on for sale in chain))
    return say("The house changed hands on {days}, by this record.", days=days)


def _family(transfer: Transfer, sale: HouseSale, clause: Said, warrantor: str) -> Said:
    when = sale.closing_on
    if transfer.family_is_no_sale is None:
        return say(
            "Whether passing to a spouse, an heir or the owner’s own trust on {when} counts as a sale "
            "cannot be told from the terms as typed in here{clause}; ask {warrantor}.",
            when=when,
            clause=clause,
            warrantor=warrantor,
        )
    if transfer.family_is_no_sale:
        text = "Passing within the family on {when} does not count as a sale, by its terms{clause}."
    else:
        text = "Passing within the family on {when} counts as a sale, by its terms{clause}."
    return say(text, when=when, clause=clause)


def _ended(
    coverage: Coverage,
    transfer: Transfer,
    start: date,
    chain: Sequence[HouseSale],
    best: PartOnDay,
    clause: Said,
) -> Said:
    rule, standing = transfer_rule(coverage), best.standing
    # The same sales as those that `standing` counted, or its number would name another one here.
    sale = _counted(coverage, chain)[standing.transfers - 1]
    if rule.max_transfers is not None and standing.transfers > rule.max_transfers:
        return say(
            "By its terms it passes on {times}; this is sale {number}{clause}.",
            times=Count(rule.max_transfers, "time"),
            number=standing.transfers,
            clause=clause,
        )
    months = rule.within_roof_age_months
    if months is not None and sale.closing_on > add_months(start, months):
        return say(
            "By its terms it passes on only at a sale up to {oldest}, by the roof’s age{clause}.",
            oldest=add_months(start, months),
            clause=clause,
        )
    due = standing.notice_due_on
    last: Said | str = say("; the last day was {day}", day=due) if due else ""
    day = _as_told(coverage, sale, True).notice_on
    if day is None:
        text = "No notice of the sale on {day} counts{last}{clause}."
    elif day == sale.notice_received_on:
        text = "Notice of the sale reached the warrantor on {day}{last}{clause}."
    else:
        text = "Notice of the sale was sent on {day}{last}{clause}."
    return say(text, day=day or sale.closing_on, last=last, clause=clause)


def _notices(
    coverage: Coverage,
    transfer: Transfer,
    chain: Sequence[HouseSale],
    day: date,
    clause: Said,
    warrantor: str,
) -> list[Said]:
    said: list[Said] = []
    for sale in chain:
        due = notice_due(sale.closing_on, transfer_rule(coverage))
        if (sale.in_family and transfer.family_is_no_sale) or due is None:
            continue
        on = sale.notice_sent_on
        if _other_event(transfer):
            assert transfer.counted_from is not None
            text = (
                "The days for notice count from the event “{event}” and not from the closing{clause}; ask "
                "{warrantor} for the last day."
            )
        elif sale.notice_accepted_on is not None:
            text, on = "Its transfer was accepted on {on}.", sale.notice_accepted_on
        elif transfer.met_by is not MetBy.ACCEPTED and sale.notice_received_on is not None:
            text, on = "Notice was received on {on}, in time.", sale.notice_received_on
        elif transfer.met_by is MetBy.SENT and on is not None:
            text = "Notice was sent on {on}, in time."
        elif day <= due:
            text = "Notice must be {met_by} by {due}{clause}."
        elif on is not None:
            text = (
                "Notice was sent on {on}; that it was {met_by} by {due} is not on record{clause}. Ask "
                "{warrantor}."
            )
        else:
            text = "No notice that was {met_by} by {due} is on record{clause}. {then}"
        values: dict[str, Value] = {
            "event": transfer.counted_from or "",
            "clause": clause,
            "warrantor": warrantor,
            "on": on or "",
            "met_by": transfer.met_by,
            "due": due,
            "then": _if_late(transfer, warrantor),
        }
        said.append(Said.of(text, values))
    return said


def _if_late(transfer: Transfer, warrantor: str) -> Said:
    """Return what follows where notice did not come in time, only as far as the terms as typed in say it."""
    typed = " ".join(transfer.if_late.split()).rstrip(".")
    if not typed:
        return say(
            "What then follows the terms as typed in here do not say; ask {warrantor}.",
            warrantor=warrantor,
        )
    return say(
        "For a notice not given in time they say: “{typed}”. Ask {warrantor}.",
        typed=typed,
        warrantor=warrantor,
    )
