"""Tear-off and deck: what came off, what was found, what was replaced, and who saw it."""

from collections.abc import Iterator
from fractions import Fraction

from dossier.assess.backing import good_photos, photo_backing
from dossier.assess.code import gap_limit_in
from dossier.assess.conditions import slopes_to_show
from dossier.assess.results import Assessment
from dossier.case.case import Case
from dossier.evidence.facts import Facts
from dossier.punchlist import Holds, Party, Verdict, Weight
from dossier.rules.declare import Example, Fault, rule
from dossier.values import Run, listed, write_inches, write_money, write_number
from dossier.words import Backing, DeckKind, Phase, Redecked, Role, Scope

_RECOVER = "IRC 2018, 2021 and 2024, section R908.3 (reroofing: replacement and recover)"


@rule(
    id="DEC-001",
    says="The job is a {scope} and no reason is on record.",
    why="A roof that was not stripped hides the deck it is nailed to; most makers' higher levels ask for "
    "a full tear-off, and the code bars laying over two layers.",
    source=_RECOVER,
    owed_by=Party.OFFICE,
    remedy="Write the reason under job.scope_reason, or correct job.scope.",
    holds={Holds.REGISTRATION},
    cannot_tell="whether the old roof came off",
    examples=[
        Example(
            {"job.job.scope": "partial tear-off"},
            finds="The job is a partial tear-off and no reason is on record.",
        ),
        Example(
            {"job.job.scope": None},
            finds="Whether the old roof came off cannot be told: the scope of the job is needed.",
        ),
        Example(
            {"job.job.scope": "recover", "job.job.scope_reason": "one sound layer, dry deck"},
            finds=None,
        ),
    ],
)
def no_reason_for_partial_tear_off(
    case: Case, facts: Facts, assessment: Assessment, run: Run
) -> Iterator[Fault]:
    scope = case.job.job.scope
    if scope is None:
        yield Fault(
            case.where("job.scope"),
            verdict=Verdict.CANNOT_TELL,
            needs="the scope of the job",
            lacks=("job.scope",),
        )
    elif scope is not Scope.FULL_TEAR_OFF and not case.job.job.scope_reason:
        yield Fault(case.where("job.scope"), {"scope": scope.value}, verdict=Verdict.MISSING)


@rule(
    id="DEC-002",
    says="The new roof was laid over {layers} old layers.",
    why="The code bars a recover where two or more applications of any covering are there already.",
    source=_RECOVER,
    owed_by=Party.OFFICE,
    remedy="Correct job.layers_found or job.scope if one is wrong; else talk to the permit office.",
    holds={Holds.PERMIT, Holds.REGISTRATION},
    examples=[
        Example(
            {
                "job.job.scope": "recover",
                "job.job.scope_reason": "owner's wish",
                "job.job.layers_removed": "0",
                "job.job.layers_found": "2",
            },
            finds="The new roof was laid over 2 old layers.",
        ),
        Example(
            {
                "job.job.scope": "recover",
                "job.job.scope_reason": "owner's wish",
                "job.job.layers_removed": "0",
                "job.job.layers_found": "1",
            },
            finds=None,
        ),
    ],
)
def laid_over_two_layers(
    case: Case, facts: Facts, assessment: Assessment, run: Run
) -> Iterator[Fault]:
    head = case.job.job
    if head.scope is not Scope.RECOVER or head.layers_found is None:
        return
    left = head.layers_found - (head.layers_removed or 0)
    if left >= 2:
        yield Fault(case.where("job.layers_found"), {"layers": str(left)})


@rule(
    id="DEC-003",
    says="Deck repair {number} has no {missing} on record.",
    why="A repair without its place, kind and quantity cannot be found again, priced, or defended when "
    "the next leak is beside it.",
    source="Our habit; no published source",
    owed_by=Party.CREW,
    remedy="Ask the crew lead where on the slope it is, measured from an edge, and how much was replaced.",
    holds={Holds.HANDOVER},
    examples=[
        Example({"job.repairs.0.place": None}, finds="Deck repair 1 has no place on record."),
        Example(
            {"job.repairs.0.sheets": None, "job.repairs.0.cause": None},
            finds="Deck repair 1 has no cause and quantity on record.",
        ),
        Example({"job.repairs.0.sheets": None, "job.repairs.0.board_feet": "64"}, finds=None),
    ],
)
def repair_without_place(
    case: Case, facts: Facts, assessment: Assessment, run: Run
) -> Iterator[Fault]:
    for number, repair in enumerate(case.job.repairs):
        blanks = [
            name
            for name in ("slope", "place", "kind", "cause")
            if not getattr(repair, name) and not case.reason_not(f"repairs.{number}.{name}")
        ]
        if repair.sheets is None and repair.board_feet is None:
            blanks.append("quantity")
        if blanks:
            yield Fault(
                case.where(f"repairs.{number}.{blanks[0]}"),
                {"number": str(number + 1), "missing": listed(blanks)},
                verdict=Verdict.MISSING,
            )


@rule(
    id="DEC-004",
    says="Deck repair {number} on slope {slope} has no photo {moment}.",
    why="What was under the old roof is seen once; the two photos are what the owner, the insurer and "
    "the maker pay on.",
    source="Common practice, no published source",
    owed_by=Party.CREW,
    remedy="Look on the crew's phones for that day and file the photo under photos/deck-repair/.",
    holds={Holds.REGISTRATION},
    examples=[
        Example(
            {"facts.photos/deck-repair/back-after.jpg": None},
            finds="Deck repair 1 on slope back has no photo after.",
        ),
        Example({"facts.photos/deck-repair/back-after.jpg.taken_at_local": None}, finds=None),
    ],
)
def repair_without_photo(
    case: Case, facts: Facts, assessment: Assessment, run: Run
) -> Iterator[Fault]:
    good = {
        photo.file for photo in case.photos if photo_backing(photo, facts) is not Backing.ABSENT
    }
    for number, repair in enumerate(case.job.repairs):
        for moment in ("before", "after"):
            field = f"repairs.{number}.photo_{moment}"
            file = getattr(repair, f"photo_{moment}")
            if file not in good and not case.reason_not(field):
                yield Fault(
                    case.where(field),
                    {"number": str(number + 1), "slope": repair.slope or "?", "moment": moment},
                    verdict=Verdict.MISSING,
                )


@rule(
    id="DEC-005",
    says="Deck repair {number}, {price}, was not approved by the owner on record.",
    why="Extra deck that nobody agreed to is the commonest reason a final invoice is not paid.",
    source="Common practice, no published source",
    owed_by=Party.HOMEOWNER,
    remedy="Get the owner's dated approval; a text message is a kind of approval.",
    holds={Holds.PAYMENT},
    examples=[
        Example(
            {"job.repairs.0.approved": None},
            finds="Deck repair 1, $192.00, was not approved by the owner on record.",
        ),
        Example({"job.repairs.0.approved": "Marit Ekdahl, 2026-09-15"}, finds=None),
    ],
)
def repair_not_approved(
    case: Case, facts: Facts, assessment: Assessment, run: Run
) -> Iterator[Fault]:
    for number, repair in enumerate(case.job.repairs):
        field = f"repairs.{number}.approved"
        approved = repair.approved
        if (approved is None or not approved.on) and not case.reason_not(field):
            price = write_money(repair.price) if repair.price is not None else "price not on record"
            yield Fault(
                case.where(field),
                {"number": str(number + 1), "price": price},
                verdict=Verdict.MISSING,
            )


@rule(
    id="DEC-006",
    says="No photo shows the deck of slope {slope} before it was covered.",
    why="Once it is covered nobody can see the deck again without taking the roof off.",
    source="Common practice, no published source",
    owed_by=Party.CREW,
    remedy="Look on the crew's phones for that day, and say in the work log who looked. Only where old "
    "self-adhered membrane stayed on, so that nobody could see the deck, write old_membrane_left: yes.",
    holds={Holds.REGISTRATION},
    examples=[
        Example(
            {"facts.photos/deck/back.jpg": None},
            finds="No photo shows the deck of slope back before it was covered.",
        ),
        Example(
            {
                "facts.photos/deck/back.jpg": None,
                "job.slopes.1": {
                    "label": "back",
                    "pitch": "6:12",
                    "plan": "40 ft x 14 ft",
                    "eave_ft": "40",
                    "old_membrane_left": "yes",
                },
            },
            finds=None,
        ),
    ],
)
def deck_not_photographed(
    case: Case, facts: Facts, assessment: Assessment, run: Run
) -> Iterator[Fault]:
    for slope in slopes_to_show(case, assessment.slopes, Phase.DECK):
        if not good_photos(case, facts, Phase.DECK, slope):
            yield Fault(case.where("slopes"), {"slope": slope}, verdict=Verdict.MISSING)


@rule(
    id="DEC-007",
    says="The board deck has gaps of {gap}, more than the {limit} that {limit_by} allow, and was not "
    "re-decked.",
    why="A nail that falls in a gap between boards holds nothing.",
    source="The maker's terms or instructions; where none says, common practice: gaps of half an inch "
    "and wider mean re-decking. Building-enclosure consultants' series on roof decks (board sheathing)",
    owed_by=Party.OFFICE,
    remedy="Correct the gap if it was measured wrongly, or record the re-decking under decks.",
    holds={Holds.REGISTRATION},
    cannot_tell="whether the board deck holds nails",
    examples=[
        Example(
            {"job.decks": "board 3/4 in, rafters 24 in, gap 3/8 in, redecked no"},
            finds="The board deck has gaps of 3/8 in, more than the 1/4 in that the maker's terms "
            "allow, and was not re-decked.",
        ),
        Example(
            {"job.decks": "board 3/4 in, rafters 24 in, redecked no"},
            finds="Whether the board deck holds nails cannot be told: the largest gap between boards "
            "is needed.",
        ),
        Example({"job.decks": "board 3/4 in, rafters 24 in, gap 1/4 in, redecked no"}, finds=None),
    ],
)
def board_gaps_too_wide(
    case: Case, facts: Facts, assessment: Assessment, run: Run
) -> Iterator[Fault]:
    limit = gap_limit_in(case)
    for result, deck in zip(assessment.decks, case.job.decks, strict=True):
        renewed = deck.redecked in (Redecked.WHOLE, Redecked.OVERLAID)
        if result.gap is None or renewed or deck.kind is not DeckKind.BOARD:
            continue
        where = case.where(f"{result.path}.largest_gap_in")
        if result.gap.verdict == "cannot tell":
            needs = "the largest gap between boards"
            lacks = (f"{result.path}.largest_gap_in",)
            yield Fault(where, verdict=Verdict.CANNOT_TELL, needs=needs, lacks=lacks)
        elif result.gap.verdict != "accept" and deck.largest_gap_in is not None:
            yield Fault(
                where,
                {
                    "gap": write_inches(deck.largest_gap_in),
                    "limit": "less than 1/2 in" if limit is None else write_inches(limit),
                    "limit_by": "common practice" if limit is None else "the maker's terms",
                },
            )


@rule(
    id="DEC-008",
    says="The deck's {blank} is not on record.",
    why="What the roof is nailed to decides which nails, which terms and which repair fit it.",
    source="IRC 2018, 2021 and 2024, section R905.2.1 (shingles on solidly sheathed decks)",
    owed_by=Party.CREW,
    remedy="Ask the crew lead and write it under decks.",
    holds={Holds.REGISTRATION},
    lighter=Weight.WEAKENS,
    examples=[
        Example({"job.decks": None}, finds="The deck's kind is not on record."),
        Example({"job.decks": {"thickness_in": "1/2"}}, finds="The deck's kind is not on record."),
        Example({"job.decks": {"kind": "OSB"}}, finds=None),
    ],
)
def deck_not_described(
    case: Case, facts: Facts, assessment: Assessment, run: Run
) -> Iterator[Fault]:
    if not case.job.decks and not case.reason_not("decks"):
        yield Fault(case.where("decks"), {"blank": "kind"}, verdict=Verdict.MISSING)
    for number, deck in enumerate(case.job.decks):
        renewed = deck.redecked in (Redecked.WHOLE, Redecked.OVERLAID)
        field = "new_kind" if renewed else "kind"
        if getattr(deck, field) is None:
            blank = "new kind" if renewed else "kind"
            where = case.where(f"decks.{number}.{field}")
            yield Fault(where, {"blank": blank}, verdict=Verdict.MISSING)


@rule(
    id="DEC-009",
    says="The panels of deck {number} span {spacing}; their rating {rating} allows {most}.",
    why="A panel that is too thin for its rafters sags under snow, and the shingles with it.",
    source="IRC 2018, 2021 and 2024, Table R503.2.1.1(1), and APA Form E30 (from memory beyond the pairing of "
    "thickness and rating); a licensed engineer decides",
    owed_by=Party.OFFICE,
    remedy="Read the rating off a panel and measure the rafters; edge clips or another panel change the "
    "answer. Above the table ask a licensed engineer.",
    holds={Holds.PERMIT},
    lighter=Weight.NOTE,
    cannot_tell="whether the panels of deck {number} fit their rafters",
    examples=[
        Example(
            {
                "job.decks": {
                    "kind": "plywood",
                    "thickness_in": "3/8",
                    "span_rating": "24/0",
                    "rafter_spacing_in": "24",
                    "edge_clips": "no",
                },
                "locality.roof_load_psf": "30",
            },
            finds="The panels of deck 1 span 24 in; their rating 24/0 allows 20 in.",
        ),
        Example(
            {
                "job.decks": {
                    "kind": "plywood",
                    "thickness_in": "3/8",
                    "span_rating": "24/0",
                    "rafter_spacing_in": "24",
                    "edge_clips": "yes",
                },
                "locality.roof_load_psf": "30",
            },
            finds=None,
        ),
        Example(
            {"locality.deck_spans_hold_permit": "County ordinance 12-4, section 6"},
            finds="Whether the panels of deck 1 fit their rafters cannot be told: roof live load and a "
            "licensed engineer are needed.",
        ),
    ],
)
def panels_over_span(case: Case, facts: Facts, assessment: Assessment, run: Run) -> Iterator[Fault]:
    held = frozenset({Holds.PERMIT}) if case.locality.deck_spans_hold_permit else frozenset()
    for number, (result, deck) in enumerate(zip(assessment.decks, case.job.decks, strict=True)):
        span = result.span
        if span is None or deck.rafter_spacing_in is None:
            continue
        where = case.where(f"{result.path}.rafter_spacing_in")
        renewed = deck.redecked in (Redecked.WHOLE, Redecked.OVERLAID)
        values = {"number": str(number + 1)}
        if span.verdict == "over span" and span.most_in is not None:
            values |= {
                "spacing": write_inches(deck.rafter_spacing_in),
                "rating": (deck.new_span_rating if renewed else deck.span_rating) or "",
                "most": write_inches(span.most_in),
            }
            yield Fault(where, values, holds=held)
        elif span.verdict == "cannot tell" and held:
            needs = listed(span.needs)
            yield Fault(where, values, verdict=Verdict.CANNOT_TELL, needs=needs, holds=held)


@rule(
    id="DEC-010",
    says="Deck {number} read {moisture} % moisture when it was covered, above the {most} % for {kind}.",
    why="A deck that is covered wet stays wet, buckles the shingles and rots.",
    source="USDA Wood Handbook, general (from memory); common practice",
    owed_by=Party.CREW,
    remedy="Look in the attic for wetting after a dry week, by a person trained for it; record the reading.",
    examples=[
        Example(
            {"job.decks": {"kind": "plywood", "moisture_pct": "23"}},
            finds="Deck 1 read 23 % moisture when it was covered, above the 16 % for plywood.",
        ),
        Example({"job.decks": {"kind": "plywood", "moisture_pct": "16"}}, finds=None),
    ],
)
def deck_covered_wet(case: Case, facts: Facts, assessment: Assessment, run: Run) -> Iterator[Fault]:
    for one in assessment.details.moisture:
        if one.check.verdict == "too wet":
            yield Fault(
                case.where(one.path),
                {
                    "number": str(int(one.path.split(".")[1]) + 1),
                    "moisture": write_number(one.reading_pct),
                    "most": str(one.most_pct),
                    "kind": one.kind.value,
                },
            )


@rule(
    id="DEC-011",
    says="Sheets used in deck repairs: {used}. Delivered and kept: {delivered}.",
    why="Sheets that no ticket shows were not bought for this house, or were not laid.",
    source="Arithmetic over the repairs and the deliveries on record",
    owed_by=Party.OFFICE,
    remedy="Find the ticket, add the stock the sheets came from, or correct the repair.",
    examples=[
        Example(
            {"job.repairs.0.sheets": "3"},
            finds="Sheets used in deck repairs: 3. Delivered and kept: 2.",
        ),
        Example({"job.repairs.0.sheets": "1.5"}, finds=None),
    ],
)
def more_sheets_laid_than_delivered(
    case: Case, facts: Facts, assessment: Assessment, run: Run
) -> Iterator[Fault]:
    panels = case.materials_of(Role.DECK_PANEL)
    used = sum((repair.sheets or 0 for repair in case.job.repairs), Fraction(0))
    if not used or any(panel.is_stock or panel.quantity is None for panel in panels):
        return
    delivered = sum((panel.quantity or 0 for panel in panels), Fraction(0))
    if used > delivered:
        yield Fault(
            case.where("repairs"),
            {"used": write_number(used), "delivered": write_number(delivered)},
        )
