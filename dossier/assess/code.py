"""Wind, deck, nails and repair prices against code, terms and agreements.

In: a case and its asked levels. Out: the trade room's checks and figures. Must not know a rule.
"""

import re
from collections.abc import Iterator
from dataclasses import replace
from decimal import Decimal
from fractions import Fraction

from dossier.assess.calendar import amount_due
from dossier.assess.old_roof import old_roof
from dossier.assess.results import DeckResult, Figure, Input, WindResult
from dossier.assess.roof import edition_year
from dossier.case.case import Case, Material
from dossier.record.derived import price_of
from dossier.said import NOT_ON_RECORD, Inches, Money, Number, Said, Value, say
from dossier.terms.conditions import flat
from dossier.trade import deck, fasteners, wind
from dossier.trade.deadlines import recoverable_depreciation
from dossier.words import DeckKind, Redecked, Role

_STACK_IN = Fraction(35, 100)
"""Thickness of two courses of laminated shingles and underlayment between nail head and deck, where no label says
more; common practice, no published source."""


DECK_IN = "deck thickness"


def wind_result(case: Case) -> WindResult | None:
    """Return the field shingle's class against the site's wind; None without a field shingle.

    Of several field shingles the one that stands the site's wind least.
    """
    building = case.job.building
    conditions = wind.standard_conditions(
        case.exposure.value.value,
        building.mean_roof_height_ft if building else None,
        building.hill_crest if building else None,
    )
    results = [
        WindResult(_wind_check(case, material), conditions, material)
        for material in case.materials_of(Role.FIELD_SHINGLE)
    ]
    worst = ("too low", "outside table", "cannot tell", "enough")
    return min(results, key=lambda result: worst.index(result.check.verdict), default=None)


def _wind_check(case: Case, material: Material) -> wind.WindCheck:
    """Return one shingle's class against the design speed, by the test that its kind asks for."""
    classes = dict(re.findall(r"(D7158|D3161)\s+(?:class\s+)?([A-H])\b", material.wind_class or ""))
    seals = material.product.self_sealing if material.product else None
    speed = case.design_wind_mph.value if case.design_wind_mph else None
    test = "D7158" if "D7158" in classes else None
    if seals is False:
        test = "D3161" if "D3161" in classes else None
    check = wind.check_class(speed, test, classes[test] if test else None)
    if check.verdict == "cannot tell" and test is None:
        asked = wind.D3161_CLASS if seals is False else wind.D7158_CLASS
        speed_too = ("design wind speed",) if speed is None else ()
        return replace(check, needs=(*speed_too, asked))
    return check


def wind_figures(case: Case, result: WindResult | None) -> tuple[Figure, ...]:
    """Return the wind class as a figure."""
    if result is None or result.material is None:
        return ()
    speed = case.design_wind_mph
    inputs: list[Input] = [
        (
            "wind class",
            result.material.wind_class or NOT_ON_RECORD,
            case.where(result.material.path),
        )
    ]
    if speed:
        inputs.append(("design wind speed", Number(speed.value, "mph"), speed.where))
    return (
        Figure(
            "wind.class",
            say("Wind class of the field shingle"),
            say("{verdict}: {because}", verdict=say(result.verdict), because=result.because)
            if result.because
            else say(result.verdict),
            result.check.working,
            tuple(inputs),
        ),
    )


def gap_limit_in(case: Case) -> Fraction | None:
    """Return the narrowest gap limit that an asked level's terms set; None where none says."""
    limits = [
        condition.deck.largest_gap_in
        for asked in case.asked
        if asked.level
        for condition in flat(asked.level.conditions)
        if condition.deck and condition.deck.largest_gap_in is not None
    ]
    return min(limits, default=None)


def deck_results(case: Case) -> tuple[tuple[DeckResult, ...], tuple[Figure, ...]]:
    """Return each deck's checks, of the deck that is there now."""
    results: list[DeckResult] = []
    figures: list[Figure] = []
    for number, one in enumerate(case.job.decks):
        path = f"decks.{number}"
        kind = one.kind_now
        gap = None
        if kind is DeckKind.BOARD or (kind is None and one.largest_gap_in is not None):
            gap = deck.check_gap(one.largest_gap_in, gap_limit_in(case))
            figures.append(
                Figure(
                    f"deck.{number}.gap",
                    say("Largest gap of deck {number}", number=number + 1),
                    say(gap.verdict),
                    gap.working,
                    (("gap", _inches(one.largest_gap_in), case.where(f"{path}.largest_gap_in")),),
                )
            )
        span = None
        rating, thickness = one.span_rating_now, one.thickness_now_in
        if kind in (DeckKind.PLYWOOD, DeckKind.OSB):
            span = deck.check_panel_span(
                rating,
                one.rafter_spacing_in,
                one.edge_clips,
                case.locality.roof_load_psf,
                thickness,
            )
            figures.append(
                Figure(
                    f"deck.{number}.span",
                    say("Panel span of deck {number}", number=number + 1),
                    say(span.verdict),
                    span.working,
                    (
                        ("span rating", rating or NOT_ON_RECORD, case.where(path)),
                        (
                            "rafter spacing",
                            _inches(one.rafter_spacing_in),
                            case.where(f"{path}.rafter_spacing_in"),
                        ),
                    ),
                )
            )
        boards = None
        if kind is DeckKind.BOARD:
            boards = deck.check_board_span(thickness, one.rafter_spacing_in)
            figures.append(
                Figure(
                    f"deck.{number}.boards",
                    say("Board span of deck {number}", number=number + 1),
                    say(boards.verdict),
                    boards.working,
                    (("thickness", _inches(thickness), case.where(path)),),
                )
            )
        results.append(DeckResult(path, gap, span, boards))
    return tuple(results), tuple(figures)


def _inches(value: Fraction | None) -> Value:
    return NOT_ON_RECORD if value is None else Inches(value)


def nailing(case: Case) -> fasteners.NailingCheck:
    """Return whether enough nails went into each shingle, by the strictest asked level."""
    counts = [
        condition.nails_per_shingle
        for asked in case.asked
        if asked.level
        for condition in flat(asked.level.conditions)
        if condition.nails_per_shingle is not None
    ]
    steepest = max((s.pitch.rise_in_12 for s in case.job.slopes if s.pitch), default=Fraction(0))
    asked_nails = fasteners.nailing_asked(
        max(counts, default=None), steepest, edition=edition_year(case)
    )
    installation = case.job.installation
    return fasteners.check_nailing(
        asked_nails, installation.nails_per_shingle if installation else None
    )


def fewer_nails_than_code(nails: int) -> bool:
    """Return whether these are fewer nails than the code asks of every strip shingle."""
    return nails < fasteners.LEAST_PER_STRIP


def nail_length(case: Case) -> fasteners.NailLengthCheck:
    """Return whether the nails were long enough for the thickest deck on record.

    Of a deck whose thickness is not on record the most is asked that any deck can: a nail that is enough for
    that one is enough.
    """
    stack = _STACK_IN + _old_stack_in(case)
    length = nail_in(case)
    thickest = _thickest_in(case)
    asked = fasteners.nail_length_asked(
        fasteners.INTO_DECK_IN if thickest is None else thickest, stack
    )
    check = fasteners.check_nail_length(asked, length)
    if thickest is None and check.verdict != "enough":
        return replace(check, verdict="cannot tell", short_in=None, needs=(*check.needs, DECK_IN))
    return check


def nail_in(case: Case) -> Fraction | None:
    """Return the length of the shortest shingle nail on record, as typed before the catalogue's."""
    installation = case.job.installation
    if installation is not None and installation.fastener_length_in is not None:
        return installation.fastener_length_in
    lengths = [m.product.length_in for m in case.materials_of(Role.FASTENER) if m.product]
    return min((length for length in lengths if length is not None), default=None)


def _thickest_in(case: Case) -> Fraction | None:
    """Return the thickness of the thickest deck that shingles were nailed to; None where one is not known."""
    found: list[Fraction] = []
    for one in case.job.decks:
        old, new = one.thickness_in, one.new_thickness_in
        there = {
            Redecked.WHOLE: (new,),
            Redecked.PART: (old, new or old),
            Redecked.OVERLAID: (None if old is None or new is None else old + new,),
        }.get(one.redecked or Redecked.NO, (old,))
        if None in there:
            return None
        found += [thickness for thickness in there if thickness is not None]
    return max(found, default=None)


def nail_faults(case: Case) -> tuple[Said, ...]:
    """Return what is wrong with the shingle fasteners on record; empty when nothing is, or nothing is known."""
    installation = case.job.installation
    told = (
        (
            installation.fastener_shank_in,
            installation.fastener_head_in,
            installation.fastener or "",
        )
        if installation
        else (None, None, "")
    )
    products = [
        (
            m.product.shank_in if m.product else None,
            m.product.head_in if m.product else None,
            m.name,
        )
        for m in case.materials_of(Role.FASTENER)
    ]
    found = [fault for one in (told, *products) for fault in fasteners.nail_faults(*one)]
    return tuple(dict.fromkeys(found))


def _old_stack_in(case: Case) -> Fraction:
    """Return the thickness of the old layers that a nail must pass as well, as many as two courses each."""
    if not case.is_recover:
        return Fraction(0)
    # A recover leaves one layer at the least, whatever the record counts.
    return _STACK_IN * max(old_roof(case).layers_left or 1, 1)


def nail_figures(
    case: Case, count: fasteners.NailingCheck, length: fasteners.NailLengthCheck
) -> Iterator[Figure]:
    """Yield the nails in each shingle and their length as figures."""
    installation = case.job.installation
    nails = installation.nails_per_shingle if installation else None
    yield Figure(
        "nails.count",
        say("Nails in each shingle"),
        say(count.verdict),
        count.working,
        (
            (
                "nails",
                NOT_ON_RECORD if nails is None else nails,
                case.where("installation.nails_per_shingle"),
            ),
        ),
    )
    nail = nail_in(case)
    yield Figure(
        "nails.length",
        say("Length of the nails"),
        say(length.verdict),
        length.working,
        (
            ("nails", _inches(nail), case.where("installation.fastener_length_in")),
            ("deck, thickest", _inches(_thickest_in(case)), case.where("decks")),
        ),
    )


def price_result(case: Case) -> deck.PriceCheck | None:
    """Return deck repairs at the agreed prices against change orders; None where there are none."""
    money = case.job.money
    if not case.job.repairs or money is None:
        return None
    priced: list[deck.PricedRepair] = []
    for repair in case.job.repairs:
        price = price_of(repair, money)
        if price is None:
            return None
        priced.append(deck.PricedRepair(1, price))
    ordered = [order.amount for order in money.change_orders if order.amount is not None]
    orders = sum(ordered, Decimal(0)) if ordered else None
    return deck.check_prices(priced, orders, None)


def release_figures(case: Case) -> tuple[Figure, ...]:
    """Return the depreciation that may still be released, where the record has its figures.

    Arithmetic only: it says nothing about what a policy owes.
    """
    insurance, cost = case.job.insurance, amount_due(case)
    if insurance is None or cost is None or insurance.replacement_value is None:
        return ()
    if insurance.deductible is None or insurance.first_payment is None:
        return ()
    release = recoverable_depreciation(
        cost, insurance.replacement_value, insurance.deductible, insurance.first_payment
    )
    return (
        Figure(
            "insurance.release",
            say("Depreciation that may still be released"),
            Money(release.amount),
            release.working,
            (
                ("cost", Money(cost), case.where("money.contract")),
                (
                    "replacement value",
                    Money(insurance.replacement_value),
                    case.where("insurance.replacement_value"),
                ),
            ),
        ),
    )


def price_figures(case: Case, check: deck.PriceCheck | None) -> tuple[Figure, ...]:
    """Return the price of the repairs as a figure."""
    if check is None:
        return ()
    return (
        Figure(
            "deck.price",
            say("Price of the deck repairs"),
            Money(check.total),
            check.working,
            (("repairs", len(case.job.repairs), case.where("repairs")),),
        ),
    )
