"""Repairs of the deck: place, photos, approval, price, sheets."""

from collections.abc import Iterator
from decimal import Decimal
from fractions import Fraction

from dossier.assess.backing import photo_backing
from dossier.assess.repairs import what_was_done
from dossier.assess.results import Assessment
from dossier.case.case import Case
from dossier.evidence.facts import Facts
from dossier.punchlist import Holds, Manner, Party, Sends, SettledBy, Verdict, Weight
from dossier.record.derived import price_of
from dossier.rules.declare import ASKED, Example, Fault, rule
from dossier.rules.held import NOTHING, REGISTRATION, phases_terms_ask
from dossier.said import Count, Listed, Money, Number, Said, Value, say
from dossier.words import Backing, Phase, Redecked, RepairKind, Role


@rule(
    id="DEC-003",
    says="Deck repair {number} has no {missing} on record.",
    why="A repair without its place, kind and quantity cannot be found again, priced, or defended when "
    "the next leak is beside it.",
    source="Our habit; no published source",
    owed_by=Party.CREW,
    remedy="Ask the crew lead where on the slope it is, measured from an edge, and how much was replaced.",
    asks="Tell us where this repair is, measured from an edge, what was done, and why.",
    manner=Manner(tells_owner=True, sends=Sends.UP, life_safety=False),
    holds={Holds.HANDOVER},
    rests_on={
        "job.repairs.*.slope": ASKED,
        "job.repairs.*.place": ASKED,
        "job.repairs.*.kind": ASKED,
        "job.repairs.*.cause": ASKED,
        "job.repairs.*.sheets": ASKED,
        "job.repairs.*.board_feet": "A repair is counted in sheets or in board feet, never in both.",
    },
    examples=[
        Example({"job.repairs.0.place": None}, finds="Deck repair 1 has no place on record."),
        Example(
            {"job.repairs.0.sheets": None, "job.repairs.0.cause": None},
            finds="Deck repair 1 has no cause and quantity on record.",
        ),
        Example({"job.repairs.0.sheets": None, "job.repairs.0.kind": "refastened"}, finds=None),
        Example({"job.repairs.0.sheets": None, "job.repairs.0.board_feet": "64"}, finds=None),
    ],
)
def repair_without_place(case: Case) -> Iterator[Fault]:
    for number, repair in enumerate(case.job.repairs):
        blanks = {
            f"repairs.{number}.{name}": name
            for name in ("slope", "place", "kind", "cause")
            if not getattr(repair, name) and not case.reason_not(f"repairs.{number}.{name}")
        }
        # What was only nailed down again used no sheet and no board.
        counted = repair.sheets is not None or repair.board_feet is not None
        if not counted and repair.kind is not RepairKind.REFASTENED:
            blanks[f"repairs.{number}.sheets"] = "quantity"
        if blanks:
            yield Fault(
                case.where(next(iter(blanks))),
                {"number": number + 1, "missing": Listed(tuple(blanks.values()))},
                verdict=Verdict.MISSING,
                lacks=tuple(blanks),
            )


@rule(
    id="DEC-004",
    says="Deck repair {number} on {slopes} has no photo {moment}.",
    why="What was under the old roof is seen once; the two photos are what the owner, the insurer and "
    "the maker pay on.",
    source="Common practice, no published source; the maker's terms where a clause asks for photos",
    owed_by=Party.CREW,
    remedy="Look on the crew's phones for that day and file the photo under photos/deck-repair/.",
    asks="Look on your phones for that day and send us the photo as it was taken.",
    settled_by=SettledBy.PHOTO,
    manner=Manner(tells_owner=True, sends=Sends.UP, life_safety=False),
    holds={Holds.REGISTRATION},
    rests_on={
        "job.repairs.*.slope": "DEC-003 asks for it; the photo is missing with or without it.",
        "job.repairs.*.photo_before": "Found in photos/deck-repair/ by its name where nobody typed it.",
        "job.repairs.*.photo_after": "Found in photos/deck-repair/ by its name where nobody typed it.",
    },
    examples=[
        Example(
            {"facts.photos/deck-repair/back-after.jpg": None},
            finds="Deck repair 1 on slope back has no photo after.",
        ),
        Example({"facts.photos/deck-repair/back-after.jpg.taken_at_local": None}, finds=None),
    ],
)
def repair_without_photo(case: Case, facts: Facts, assessment: Assessment) -> Iterator[Fault]:
    asked = Phase.DECK_REPAIR in phases_terms_ask(assessment)
    held = REGISTRATION if asked else NOTHING
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
                    {"number": number + 1, "slope": repair.slope or "?", "moment": moment},
                    verdict=Verdict.MISSING,
                    holds=held,
                )


@rule(
    id="DEC-005",
    says="Deck repair {number} on {slopes}, {done}, {price}, was not approved by the owner on record.",
    why="Extra deck that nobody agreed to is the commonest reason a final invoice is not paid.",
    source="Common practice, no published source",
    owed_by=Party.HOMEOWNER,
    remedy="Get the owner's dated approval; a text message is a kind of approval.",
    asks="If you agreed to the extra work named here, confirm it in writing, with the day. A text message will "
    "do. If you did not, tell us.",
    manner=Manner(tells_owner=False, sends=Sends.UP, life_safety=False),
    holds={Holds.PAYMENT},
    rests_on={
        "job.repairs.*.approved": ASKED,
        "job.money.change_orders.*.for_deck_repairs": "Without it the repair's own agreement is asked for.",
        "job.repairs.*.price": "A repair without a price of its own is priced by the sheet or board foot, in the "
        "money family.",
    },
    examples=[
        Example(
            {"job.repairs.0.approved": None},
            finds="Deck repair 1 on slope back, sheets replaced, 2 sheets of 4 ft by 8 ft, $192.00, was not "
            "approved by the owner on record.",
        ),
        Example(
            {"job.repairs.0.approved": "2026-09-14"},
            finds="Deck repair 1 on slope back, sheets replaced, 2 sheets of 4 ft by 8 ft, $192.00, was not "
            "approved by the owner on record.",
        ),
        Example(
            {"job.repairs.0.approved": None, "job.repairs.0.price": None},
            finds="Deck repair 1 on slope back, sheets replaced, 2 sheets of 4 ft by 8 ft, $192.00, was not "
            "approved by the owner on record.",
        ),
        Example({"job.repairs.0.approved": "Marit Ekdahl, 2026-09-15"}, finds=None),
        # Before the tear-off nobody knew what there was to agree to.
        Example(
            {
                "job.repairs.0.approved": None,
                "job.money.change_orders": "1, deck repairs, approved by Marit Ekdahl on 2026-09-13",
            },
            finds="Deck repair 1 on slope back, sheets replaced, 2 sheets of 4 ft by 8 ft, $192.00, was not "
            "approved by the owner on record.",
        ),
        # Whoever agreed to the change order for the deck repairs agreed to them.
        Example(
            {
                "job.repairs.0.approved": None,
                "job.money.change_orders": "1, deck repairs, approved by Marit Ekdahl on 2026-09-14",
            },
            finds=None,
        ),
    ],
)
def repair_not_approved(case: Case) -> Iterator[Fault]:
    for number, repair in enumerate(case.job.repairs):
        field = f"repairs.{number}.approved"
        approved = repair.approved
        if (approved is None or not approved.by or not approved.on) and not case.reason_not(field):
            price: Value = say("price not on record")
            cost = price_of(repair, case.job.money)
            if cost is not None:
                price = Money(cost)
            values: dict[str, Value] = {
                "number": number + 1,
                "price": price,
                "done": what_was_done(repair),
            }
            if repair.slope:
                values["slope"] = repair.slope
            yield Fault(
                case.where(field),
                values,
                verdict=Verdict.MISSING,
                lacks=(field,),
            )


@rule(
    id="DEC-017",
    says="Deck repair {number} is priced at {price}; {many} at the agreed {each} come to {due}.",
    why="The price of extra deck was agreed before the tear-off; an owner who counts will ask.",
    source="The price agreed in the contract, as on record; arithmetic",
    owed_by=Party.OFFICE,
    remedy="Correct the price, the quantity or the agreed price; where another price was agreed for this repair, "
    "say so to the owner in writing.",
    manner=Manner(tells_owner=False, sends=Sends.UP, life_safety=False),
    holds={Holds.PAYMENT},
    rests_on={
        "job.repairs.*.sheets": "DEC-003 asks for the quantity.",
        "job.repairs.*.price": "A repair without a price of its own is priced by the sheet or board foot.",
        "job.money.sheet_price": "Without an agreed price there is nothing to compare with; the owner agreed to "
        "the repair's own.",
        "job.money.board_foot_price": "As for sheets.",
    },
    examples=[
        Example(
            {"job.repairs.0.price": "292.00"},
            finds="Deck repair 1 is priced at $292.00; 2 sheets at the agreed $96.00 come to $192.00.",
        ),
        # It holds nothing up: some sheets are in many a contract's price.
        Example(
            {"job.repairs.0.price": "0.00"},
            finds="Deck repair 1 is priced at $0.00; 2 sheets at the agreed $96.00 come to $192.00.",
        ),
        Example({"job.repairs.0.price": "192.00"}, finds=None),
        Example({"job.repairs.0.price": "292.00", "job.money.sheet_price": None}, finds=None),
        # Old sheets that were nailed down again are no new ones.
        Example({"job.repairs.0.price": "40.00", "job.repairs.0.kind": "refastened"}, finds=None),
    ],
)
def repair_priced_otherwise(case: Case) -> Iterator[Fault]:
    money = case.job.money
    for number, repair in enumerate(case.job.repairs):
        if money is None or repair.price is None or repair.kind is RepairKind.REFASTENED:
            continue
        for many, each, unit in (
            (repair.sheets, money.sheet_price, "sheets"),
            (repair.board_feet, money.board_foot_price, "board feet"),
        ):
            other = repair.board_feet if unit == "sheets" else repair.sheets
            if many is None or each is None or other is not None:
                continue
            due = many * Fraction(each)
            if due != Fraction(repair.price):
                yield Fault(
                    case.where(f"repairs.{number}.price"),
                    {
                        "number": number + 1,
                        "price": Money(repair.price),
                        "many": Number(many, unit),
                        "each": Money(each),
                        "due": Money(Decimal(due.numerator) / Decimal(due.denominator)),
                    },
                    # Some sheets are in many a contract's price.
                    holds=None if repair.price else frozenset(),
                    lighter=None if repair.price else Weight.NOTE,
                )


@rule(
    id="DEC-011",
    says="Sheets used in deck repairs: {used}. Delivered and kept: {delivered}.",
    why="Sheets that no ticket shows were not bought for this house, or were not laid.",
    source="Arithmetic over the repairs and the deliveries on record",
    owed_by=Party.OFFICE,
    remedy="Find the ticket, add the stock the sheets came from, or correct the repair.",
    manner=Manner(tells_owner=False, sends=Sends.UP, life_safety=False),
    rests_on={
        "job.repairs.*.sheets": "DEC-003 asks for the quantity.",
        "job.deliveries.*.lines.*.quantity": "The materials family asks for the quantity of a line.",
    },
    examples=[
        Example(
            {"job.repairs.0.sheets": "3"},
            finds="Sheets used in deck repairs: 3. Delivered and kept: 2.",
        ),
        Example({"job.repairs.0.sheets": "1.5"}, finds=None),
        Example({"job.repairs.0.sheets": "3", "job.repairs.0.kind": "refastened"}, finds=None),
    ],
)
def more_sheets_laid_than_delivered(case: Case) -> Iterator[Fault]:
    panels = case.materials_of(Role.DECK_PANEL)
    used = sum((repair.new_sheets for repair in case.job.repairs), Fraction(0))
    if not used or any(panel.is_stock or panel.quantity is None for panel in panels):
        return
    delivered = sum((panel.quantity or 0 for panel in panels), Fraction(0))
    if used > delivered:
        yield Fault(
            case.where("repairs"),
            {"used": Number(used), "delivered": Number(delivered)},
        )


@rule(
    id="DEC-028",
    says="{seen!c}, and no deck repair is on record.",
    why="A repair that is not on record is neither priced nor found again when the next leak is beside it.",
    source="The work log, the photos and the record against each other; no published source",
    owed_by=Party.OFFICE,
    remedy="Add the repair under repairs, or write n/a and the reason there.",
    manner=Manner(tells_owner=False, sends=Sends.NOWHERE, life_safety=False),
    rests_on={
        "job.repairs": ASKED,
        "job.work": "ORD-003 asks for the days of the work.",
        "job.decks": "A deck that was renewed, whole or in part, is what the repair was.",
    },
    examples=[
        Example(
            {"job.repairs": None},
            finds="The work log has a deck repair and 2 photos are filed as one, and no deck repair is on record.",
        ),
        Example({"job.repairs": "n/a, the deck was sound"}, finds=None),
        Example({}, finds=None),
    ],
)
def repair_seen_and_not_written(case: Case) -> Iterator[Fault]:
    renewed = any(deck.redecked not in (None, Redecked.NO) for deck in case.job.decks)
    if case.job.repairs or renewed or case.reason_not("repairs"):
        return
    photos = sum(photo.phase is Phase.DECK_REPAIR for photo in case.photos)
    seen: list[Said] = []
    if case.work_on(Phase.DECK_REPAIR):
        seen.append(say("the work log has a deck repair"))
    if photos:
        seen.append(say("{photos} {photos:is|are} filed as one", photos=Count(photos, "photo")))
    if seen:
        yield Fault(
            case.where("repairs"),
            {"seen": Listed(tuple(seen))},
            verdict=Verdict.MISSING,
            lacks=("repairs.0.slope",),
        )
