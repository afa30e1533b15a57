"""Tear-off and deck: what came off, what was found, what was replaced, and who saw it."""

from collections.abc import Iterator
from decimal import Decimal
from fractions import Fraction

from dossier.assess.backing import good_photos, photo_backing
from dossier.assess.code import gap_limit_in
from dossier.assess.conditions import slopes_to_show
from dossier.assess.results import Assessment
from dossier.case.case import Case
from dossier.evidence.facts import Facts
from dossier.punchlist import Holds, Manner, Party, Sends, Verdict, Weight
from dossier.rules.declare import ASKED, LEFT_TO_OFFICE, Example, Fault, rule
from dossier.rules.photos import phases_terms_ask
from dossier.rules.registration import terms_ask
from dossier.values import listed, write_inches, write_money, write_number
from dossier.words import (
    Backing,
    DeckKind,
    OldCovering,
    OnTheRoof,
    Phase,
    Redecked,
    RepairKind,
    Role,
    Scope,
)

_RECOVER = "IRC 2018, 2021 and 2024, section R908.3 (reroofing: replacement and recover)"
_REGISTRATION = frozenset({Holds.REGISTRATION})
_NOTHING = frozenset[Holds]()
_OVER = {
    "job.job.scope": "recover",
    "job.job.scope_reason": "owner's wish",
    "job.job.layers_removed": "0",
    "job.job.layers_found": "1",
}
_OVER_OLD = {
    **_OVER,
    "job.job.old_covering_kind": "asphalt shingles",
    "job.job.old_covering_state": "sound",
}


def _if_terms_ask(assessment: Assessment, test: str) -> frozenset[Holds]:
    """Return what a gap holds that only a clause of this kind makes one."""
    return _REGISTRATION if terms_ask(assessment, test) else _NOTHING


@rule(
    id="DEC-001",
    says="The job is a {scope} and no reason is on record.",
    why="A roof that was not stripped hides the deck it is nailed to; most makers' higher levels ask for "
    "a full tear-off, and the code bars laying over two layers.",
    source=_RECOVER,
    owed_by=Party.OFFICE,
    remedy="Write the reason under job.scope_reason, or correct job.scope.",
    asks=LEFT_TO_OFFICE,
    manner=Manner(tells_owner=True, sends=Sends.UP, life_safety=False),
    holds={Holds.REGISTRATION},
    cannot_tell="whether the old roof came off",
    rests_on={"job.job.scope": ASKED, "job.job.scope_reason": ASKED},
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
def no_reason_for_partial_tear_off(case: Case, assessment: Assessment) -> Iterator[Fault]:
    scope = case.job.job.scope
    if scope is None:
        yield Fault(
            case.where("job.scope"),
            verdict=Verdict.CANNOT_TELL,
            needs="the scope of the job",
            holds=_if_terms_ask(assessment, "full_tear_off"),
            lacks=("job.scope",),
        )
    elif scope is not Scope.FULL_TEAR_OFF and not case.job.job.scope_reason:
        yield Fault(
            case.where("job.scope"),
            {"scope": scope.value},
            verdict=Verdict.MISSING,
            holds=_if_terms_ask(assessment, "full_tear_off"),
            lacks=("job.scope_reason",),
        )


@rule(
    id="DEC-002",
    says="The new roof was laid over {layers} old layers.",
    why="The code bars a recover where two or more applications of any covering are there already.",
    source=_RECOVER,
    owed_by=Party.OFFICE,
    remedy="Correct job.layers_found or job.scope if one is wrong; else talk to the permit office.",
    asks=LEFT_TO_OFFICE,
    manner=Manner(tells_owner=True, sends=Sends.UP, life_safety=False),
    holds={Holds.PERMIT, Holds.REGISTRATION},
    cannot_tell="whether more than one old layer lies below the new roof",
    rests_on={
        "job.job.layers_found": ASKED,
        "job.job.layers_removed": "Of a recover none came off where nobody says so; of a partial tear-off it is "
        "asked for.",
        "job.job.scope": "DEC-001 asks for it.",
    },
    examples=[
        Example(
            {**_OVER_OLD, "job.job.layers_found": "2"},
            finds="The new roof was laid over 2 old layers.",
        ),
        Example(
            {**_OVER_OLD, "job.job.layers_found": None},
            finds=(
                "Whether more than one old layer lies below the new roof cannot be told: the "
                "number of layers found is needed."
            ),
        ),
        Example(
            {"job.job.scope": "partial tear-off", "job.job.layers_removed": None},
            finds=(
                "Whether more than one old layer lies below the new roof cannot be told: the "
                "number of layers taken off is needed."
            ),
        ),
        Example(_OVER_OLD, finds=None),
    ],
)
def laid_over_two_layers(case: Case, assessment: Assessment) -> Iterator[Fault]:
    head = case.job.job
    left = assessment.details.old_roof.layers_left
    if head.scope in (None, Scope.FULL_TEAR_OFF):
        return
    holds = _if_terms_ask(assessment, "full_tear_off") | {Holds.PERMIT}
    if left is None:
        blanks = [
            name for name in ("layers_found", "layers_removed") if getattr(head, name) is None
        ]
        lacks = tuple(
            f"job.{name}" for name in blanks if name == "layers_found" or not case.is_recover
        )
        yield Fault(
            case.where(lacks[0]),
            verdict=Verdict.CANNOT_TELL,
            holds=holds,
            lacks=lacks,
        )
    elif left >= 2:
        yield Fault(case.where("job.layers_found"), {"layers": str(left)}, holds=holds)


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
                {"number": str(number + 1), "missing": listed(list(blanks.values()))},
                verdict=Verdict.MISSING,
                lacks=tuple(blanks),
            )


@rule(
    id="DEC-004",
    says="Deck repair {number} on slope {slope} has no photo {moment}.",
    why="What was under the old roof is seen once; the two photos are what the owner, the insurer and "
    "the maker pay on.",
    source="Common practice, no published source; the maker's terms where a clause asks for photos",
    owed_by=Party.CREW,
    remedy="Look on the crew's phones for that day and file the photo under photos/deck-repair/.",
    asks="Look on your phones for that day and send us the photo as it was taken.",
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
    held = _REGISTRATION if asked else _NOTHING
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
                    holds=held,
                )


@rule(
    id="DEC-005",
    says="Deck repair {number}, {price}, was not approved by the owner on record.",
    why="Extra deck that nobody agreed to is the commonest reason a final invoice is not paid.",
    source="Common practice, no published source",
    owed_by=Party.HOMEOWNER,
    remedy="Get the owner's dated approval; a text message is a kind of approval.",
    asks="Confirm in writing, with the day, that you agreed to this extra work. A text message "
    "will do.",
    manner=Manner(tells_owner=False, sends=Sends.UP, life_safety=False),
    holds={Holds.PAYMENT},
    rests_on={
        "job.repairs.*.approved": ASKED,
        "job.repairs.*.price": "A repair without a price of its own is priced by the sheet or board foot, in the "
        "money family.",
    },
    examples=[
        Example(
            {"job.repairs.0.approved": None},
            finds="Deck repair 1, $192.00, was not approved by the owner on record.",
        ),
        Example(
            {"job.repairs.0.approved": "2026-09-14"},
            finds="Deck repair 1, $192.00, was not approved by the owner on record.",
        ),
        Example({"job.repairs.0.approved": "Marit Ekdahl, 2026-09-15"}, finds=None),
    ],
)
def repair_not_approved(case: Case) -> Iterator[Fault]:
    for number, repair in enumerate(case.job.repairs):
        field = f"repairs.{number}.approved"
        approved = repair.approved
        if (approved is None or not approved.by or not approved.on) and not case.reason_not(field):
            price = write_money(repair.price) if repair.price is not None else "price not on record"
            yield Fault(
                case.where(field),
                {"number": str(number + 1), "price": price},
                verdict=Verdict.MISSING,
            )


@rule(
    id="DEC-017",
    says="Deck repair {number} is priced at {price}; {many} at the agreed {each} come to {due}.",
    why="The price of extra deck was agreed before the tear-off; an owner who counts will ask.",
    source="The price agreed in the contract, as on record; arithmetic",
    owed_by=Party.OFFICE,
    remedy="Correct the price, the quantity or the agreed price; where another price was agreed for this repair, "
    "say so to the owner in writing.",
    asks=LEFT_TO_OFFICE,
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
        Example({"job.repairs.0.price": "192.00"}, finds=None),
        Example({"job.repairs.0.price": "292.00", "job.money.sheet_price": None}, finds=None),
    ],
)
def repair_priced_otherwise(case: Case) -> Iterator[Fault]:
    money = case.job.money
    for number, repair in enumerate(case.job.repairs):
        if money is None or repair.price is None:
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
                        "number": str(number + 1),
                        "price": write_money(repair.price),
                        "many": f"{write_number(many)} {unit}",
                        "each": write_money(each),
                        "due": write_money(Decimal(due.numerator) / Decimal(due.denominator)),
                    },
                )


@rule(
    id="DEC-006",
    says="No photo shows the deck of slope {slope} before it was covered.",
    why="Once it is covered nobody can see the deck again without taking the roof off.",
    source="Common practice, no published source; the maker's terms where a clause asks for photos",
    owed_by=Party.CREW,
    remedy="Look on the crew's phones for that day, and say in the work log who looked. Only where old "
    "self-adhered membrane stayed on, so that nobody could see the deck, write old_membrane_left: yes.",
    asks="Look on your phones for that day and send us the photo as it was taken. Tell us who "
    "looked at the deck there, and when.",
    manner=Manner(tells_owner=True, sends=Sends.UP, life_safety=False),
    holds={Holds.REGISTRATION},
    rests_on={
        "job.slopes.*.old_membrane_left": "A blank is read as a deck that could be seen: a photo is asked for.",
    },
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
def deck_not_photographed(case: Case, facts: Facts, assessment: Assessment) -> Iterator[Fault]:
    held = _REGISTRATION if Phase.DECK in phases_terms_ask(assessment) else _NOTHING
    for slope in slopes_to_show(case, assessment.slopes, Phase.DECK):
        if not good_photos(case, facts, Phase.DECK, slope):
            yield Fault(case.where("slopes"), {"slope": slope}, verdict=Verdict.MISSING, holds=held)


@rule(
    id="DEC-007",
    says="The board deck has gaps of {gap}, more than the {limit} that {limit_by} allow, and was not "
    "re-decked.",
    why="A nail that falls in a gap between boards holds nothing.",
    source="The maker's terms or instructions; where none says, common practice: gaps of half an inch "
    "and wider mean re-decking. Building-enclosure consultants' series on roof decks (board sheathing)",
    owed_by=Party.OFFICE,
    remedy="Correct the gap if it was measured wrongly, or record the re-decking under decks.",
    asks=LEFT_TO_OFFICE,
    manner=Manner(tells_owner=True, sends=Sends.UP, life_safety=False),
    holds={Holds.REGISTRATION},
    cannot_tell="whether the board deck holds nails",
    rests_on={
        "job.decks.*.largest_gap_in": ASKED,
        "job.decks.*.kind": "DEC-008 asks for it.",
        "job.decks.*.redecked": "A blank is read as boards that stayed, so that their gap is asked for.",
        "job.decks.*.new_kind": "DEC-008 asks for it.",
    },
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
def board_gaps_too_wide(case: Case, assessment: Assessment) -> Iterator[Fault]:
    limit = gap_limit_in(case)
    held = _if_terms_ask(assessment, "deck")
    for result, deck in zip(assessment.decks, case.job.decks, strict=True):
        renewed = deck.redecked in (Redecked.WHOLE, Redecked.OVERLAID)
        if result.gap is None or renewed or deck.kind is not DeckKind.BOARD:
            continue
        where = case.where(f"{result.path}.largest_gap_in")
        if result.gap.verdict == "cannot tell":
            needs = "the largest gap between boards"
            yield Fault(
                where,
                verdict=Verdict.CANNOT_TELL,
                needs=needs,
                holds=held,
                lacks=(f"{result.path}.largest_gap_in",),
            )
        elif result.gap.verdict != "accept" and deck.largest_gap_in is not None:
            yield Fault(
                where,
                {
                    "gap": write_inches(deck.largest_gap_in),
                    "limit": "less than 1/2 in" if limit is None else write_inches(limit),
                    "limit_by": "common practice" if limit is None else "the maker's terms",
                },
                holds=held,
            )


@rule(
    id="DEC-008",
    says="The deck's {blank} {is_are} not on record{where}.",
    why="What the roof is nailed to decides which nails, which terms and which repair fit it.",
    source="IRC 2018, 2021 and 2024, sections R905.2.1 (shingles on solidly sheathed decks) and R905.2.5 (nails "
    "through a deck under 3/4 in); the maker's terms where a clause asks for a deck",
    owed_by=Party.CREW,
    remedy="Ask the crew lead and write it under decks.",
    asks="Tell us what you saw of the deck when it was bare.",
    manner=Manner(tells_owner=True, sends=Sends.UP, life_safety=False),
    holds={Holds.REGISTRATION},
    lighter=Weight.WEAKENS,
    rests_on={
        "job.decks": ASKED,
        "job.decks.*.kind": ASKED,
        "job.decks.*.thickness_in": ASKED,
        "job.decks.*.new_kind": ASKED,
        "job.decks.*.new_thickness_in": ASKED,
        "job.decks.*.slopes": "A deck without slopes lies under all of them.",
        "job.decks.*.redecked": "A blank is read as a deck that stayed, whose kind is asked for.",
    },
    examples=[
        Example({"job.decks": None}, finds="The deck's kind and thickness are not on record."),
        Example({"job.decks": {"thickness_in": "1/2"}}, finds="The deck's kind is not on record."),
        Example({"job.decks": {"kind": "OSB"}}, finds="The deck's thickness is not on record."),
        Example(
            {"job.decks": {"kind": "OSB", "thickness_in": "1/2", "slopes": "front"}},
            finds="The deck's kind and thickness are not on record on slope back.",
        ),
        Example({"job.decks": {"kind": "OSB", "thickness_in": "7/16"}}, finds=None),
    ],
)
def deck_not_described(case: Case, assessment: Assessment) -> Iterator[Fault]:
    held = _if_terms_ask(assessment, "deck")

    def missing(path: str, blanks: list[str], where: str = "") -> Fault:
        values = {
            "blank": listed(blanks),
            "is_are": "is" if len(blanks) == 1 else "are",
            "where": where,
        }
        return Fault(case.where(path), values, verdict=Verdict.MISSING, holds=held)

    both = ["kind", "thickness"]
    if not case.job.decks:
        if not case.reason_not("decks"):
            yield missing("decks", both)
        return
    covered = [label for deck in case.job.decks for label in deck.slopes]
    if all(deck.slopes for deck in case.job.decks):
        bare = [slope.label for slope in case.job.slopes if slope.label not in covered]
        if bare:
            yield missing(
                "decks", both, f" on {'slope' if len(bare) == 1 else 'slopes'} {listed(bare)}"
            )
    for number, deck in enumerate(case.job.decks):
        renewed = deck.redecked in (Redecked.WHOLE, Redecked.OVERLAID)
        new = ("new_", "new ") if renewed else ("", "")
        fields = {f"{new[0]}kind": f"{new[1]}kind", f"{new[0]}thickness_in": f"{new[1]}thickness"}
        blanks = {
            field: words
            for field, words in fields.items()
            if getattr(deck, field) is None and not case.reason_not(f"decks.{number}.{field}")
        }
        if blanks:
            yield missing(f"decks.{number}.{next(iter(blanks))}", list(blanks.values()))


@rule(
    id="DEC-009",
    says="The panels of deck {number} span {spacing}; their rating {rating} allows {most}.",
    why="A panel that is too thin for its rafters sags under snow, and the shingles with it.",
    source="IRC 2018, 2021 and 2024, Table R503.2.1.1(1), and APA Form E30 (from memory beyond the pairing of "
    "thickness and rating); a licensed engineer decides; held only where the locality sheet says so",
    owed_by=Party.OFFICE,
    remedy="Read the rating off a panel and measure the rafters; edge clips or another panel change the "
    "answer. Above the table ask a licensed engineer.",
    asks=LEFT_TO_OFFICE,
    manner=Manner(tells_owner=False, sends=Sends.UP, life_safety=False),
    holds={Holds.PERMIT},
    lighter=Weight.NOTE,
    cannot_tell="whether the panels of deck {number} fit their rafters",
    rests_on={
        "job.decks.*.rafter_spacing_in": ASKED,
        "job.decks.*.span_rating": ASKED,
        "job.decks.*.new_span_rating": ASKED,
        "job.decks.*.edge_clips": ASKED,
        "locality.roof_load_psf": ASKED,
        "locality.deck_spans_hold_permit": "Without a source here the sheathing lies outside a re-roof: then only "
        "a span that is too wide is told, as a note, and no fact is asked for.",
        "job.decks.*.thickness_in": "It only makes more of a 24/0 panel; without it the narrower span holds.",
        "job.decks.*.kind": "DEC-008 asks for it.",
    },
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
            finds="Whether the panels of deck 1 fit their rafters cannot be told: roof live load is needed.",
        ),
        Example(
            {
                "locality.deck_spans_hold_permit": "County ordinance 12-4, section 6",
                "locality.roof_load_psf": "30",
                "job.decks": "plywood 1/2 in, rating 32/16, redecked no",
            },
            finds="Whether the panels of deck 1 fit their rafters cannot be told: rafter spacing is needed.",
        ),
        Example(
            {
                "locality.deck_spans_hold_permit": "County ordinance 12-4, section 6",
                "locality.roof_load_psf": "40",
            },
            finds=None,
        ),
    ],
)
def panels_over_span(case: Case, assessment: Assessment) -> Iterator[Fault]:
    held = frozenset({Holds.PERMIT}) if case.locality.deck_spans_hold_permit else _NOTHING
    for number, (result, deck) in enumerate(zip(assessment.decks, case.job.decks, strict=True)):
        span = result.span
        if span is None:
            continue
        renewed = deck.redecked in (Redecked.WHOLE, Redecked.OVERLAID)
        values = {"number": str(number + 1)}
        if span.verdict == "over span" and span.most_in and deck.rafter_spacing_in:
            values |= {
                "spacing": write_inches(deck.rafter_spacing_in),
                "rating": (deck.new_span_rating if renewed else deck.span_rating) or "",
                "most": write_inches(span.most_in),
            }
            yield Fault(case.where(f"{result.path}.rafter_spacing_in"), values, holds=held)
        elif span.verdict == "cannot tell" and held:
            yield _span_not_told(case, result.path, values, span.needs, renewed=renewed)


def _span_not_told(
    case: Case, path: str, values: dict[str, str], needs: tuple[str, ...], *, renewed: bool
) -> Fault:
    """Return that a deck's span cannot be told, at the place of the first fact that is needed."""
    new = "new_" if renewed else ""
    paths = {
        "span rating": f"{path}.{new}span_rating",
        "board thickness": f"{path}.{new}thickness_in",
        "rafter spacing": f"{path}.rafter_spacing_in",
        "edge support between rafters": f"{path}.edge_clips",
        "roof live load": "locality.roof_load_psf",
    }
    lacks = tuple(paths[need] for need in needs if need in paths)
    first = lacks[0] if lacks else path
    at_locality = first == "locality.roof_load_psf"
    return Fault(
        case.locality_lines.where("roof_load_psf") if at_locality else case.where(first),
        values,
        verdict=Verdict.CANNOT_TELL,
        needs=listed(needs),
        holds=frozenset({Holds.PERMIT}),
        lacks=lacks,
        owed_by=Party.PERMIT_OFFICE if at_locality else None,
        remedy="Ask the permit office for the roof load and write roof_load_psf on the locality sheet."
        if at_locality
        else None,
    )


@rule(
    id="DEC-010",
    says="Deck {number} read {moisture} % moisture when it was covered, above the {most} % for {kind}.",
    why="A deck that is covered wet stays wet, buckles the shingles and rots.",
    source="USDA Wood Handbook, general (from memory); common practice",
    owed_by=Party.CREW,
    remedy="Look in the attic for wetting after a dry week, by a person trained for it; record the reading.",
    asks="Tell us how the deck was dried before it was covered, and who measured it.",
    manner=Manner(tells_owner=False, sends=Sends.UP, life_safety=False),
    rests_on={
        "job.decks.*.redecked": "A blank is read as the deck that was there.",
        "job.decks.*.new_kind": "DEC-008 asks for it.",
        "job.decks.*.moisture_pct": "No code and no clause asks for a reading; a blank says that none was taken.",
        "job.decks.*.kind": "DEC-008 asks for it.",
    },
    examples=[
        Example(
            {"job.decks": {"kind": "plywood", "moisture_pct": "23"}},
            finds="Deck 1 read 23 % moisture when it was covered, above the 16 % for plywood.",
        ),
        Example({"job.decks": {"kind": "plywood", "moisture_pct": "16"}}, finds=None),
    ],
)
def deck_covered_wet(case: Case, assessment: Assessment) -> Iterator[Fault]:
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
    asks=LEFT_TO_OFFICE,
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
    ],
)
def more_sheets_laid_than_delivered(case: Case) -> Iterator[Fault]:
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


@rule(
    id="DEC-012",
    says="The new roof was laid over the old one, and {reasons}.",
    why="Such an old roof is no base: nails do not hold in it, and water that is in it stays.",
    source="IRC 2018, 2021 and 2024, sections R908.3.1.1 (recover not allowed), R905.2.1 (solidly sheathed "
    "deck) and R908.4 (wood shingles and shakes, the hidden space below; from memory); wood shakes were barred up "
    "to 2012",
    owed_by=Party.OFFICE,
    remedy="Correct the kind or state of the old roof if it was typed wrongly; else talk to the permit office.",
    asks=LEFT_TO_OFFICE,
    manner=Manner(tells_owner=False, sends=Sends.UP, life_safety=False),
    holds={Holds.PERMIT, Holds.REGISTRATION},
    cannot_tell="whether the old roof could be laid over",
    rests_on={
        "job.job.layers_removed": "Of a recover none came off where nobody says so.",
        "job.job.old_covering_kind": ASKED,
        "job.job.old_covering": "It stands in for the kind where its words name one.",
        "job.job.old_covering_state": ASKED,
        "job.job.scope": "DEC-001 asks for it.",
        "job.job.layers_found": "DEC-002 asks for it.",
    },
    examples=[
        Example(
            {**_OVER_OLD, "job.job.old_covering_kind": "slate"},
            finds="The new roof was laid over the old one, and the old roof is slate.",
        ),
        Example(
            {**_OVER_OLD, "job.job.old_covering_state": "water-soaked"},
            finds="The new roof was laid over the old one, and the old roof is water-soaked.",
        ),
        Example(
            _OVER,
            finds=(
                "Whether the old roof could be laid over cannot be told: the kind of the old "
                "covering and the state of the old covering are needed."
            ),
        ),
        Example(
            {**_OVER_OLD, "job.job.old_covering_state": "n/a, nobody looked"},
            finds="Whether the old roof could be laid over cannot be told: the state of the old covering is "
            "needed.",
        ),
        Example(
            {**_OVER_OLD, "job.job.old_covering_kind": "wood shakes"},
            finds="Whether the old roof could be laid over cannot be told: the permit office's word on laying "
            "shingles over wood shakes is needed.",
        ),
        Example(_OVER_OLD, finds=None),
    ],
)
def laid_over_a_barred_roof(case: Case, assessment: Assessment) -> Iterator[Fault]:
    old, head = assessment.details.old_roof, case.job.job
    if not old.stays:
        return
    holds = _if_terms_ask(assessment, "full_tear_off") | {Holds.PERMIT}
    if old.bars:
        where = case.where("job.old_covering_kind")
        yield Fault(where, {"reasons": listed(old.bars)}, holds=holds)
    known = {"old_covering_kind": old.kind, "old_covering_state": head.old_covering_state}
    # A roof that stayed is of some kind and in some state: no reason stands for either.
    lacks = tuple(f"job.{name}" for name, value in known.items() if value is None)
    if lacks:
        where = case.where(lacks[0])
        yield Fault(where, verdict=Verdict.CANNOT_TELL, holds=holds, lacks=lacks)
    kind = old.kind
    # No later edition bars them; whether the deck below is solid and the hidden space is covered is the permit
    # office's to judge, and nothing in a record could clear a hold.
    if kind in (OldCovering.WOOD_SHAKES, OldCovering.WOOD_SHINGLES) and not old.bars:
        needs = f"the permit office's word on laying shingles over {kind.value}"
        where = case.where("job.old_covering_kind")
        yield Fault(where, verdict=Verdict.CANNOT_TELL, needs=needs, holds=_NOTHING)


@rule(
    id="DEC-013",
    says="The job is a full tear-off on record, yet {removed} of {found} old layers came off.",
    why="Shingles left below the new ones hide the deck, and a clause that asks for a full tear-off is not met.",
    source="IRC 2018, 2021 and 2024, section R908.3 (roof replacement removes all existing layers)",
    owed_by=Party.OFFICE,
    remedy="Ask the crew lead how many layers were found and how many came off; correct the count or job.scope.",
    asks=LEFT_TO_OFFICE,
    manner=Manner(tells_owner=False, sends=Sends.UP, life_safety=False),
    holds={Holds.REGISTRATION, Holds.PERMIT},
    cannot_tell="whether every old layer came off",
    rests_on={
        "job.job.layers_found": ASKED,
        "job.job.layers_removed": ASKED,
        "job.job.scope": "DEC-001 asks for it.",
    },
    examples=[
        Example(
            {"job.job.layers_found": "2"},
            finds="The job is a full tear-off on record, yet 1 of 2 old layers came off.",
        ),
        Example(
            {"job.job.layers_found": "1", "job.job.layers_removed": "2"},
            finds="The job is a full tear-off on record, yet 2 of 1 old layers came off.",
        ),
        Example(
            {"job.job.layers_found": None},
            finds=(
                "Whether every old layer came off cannot be told: the number of layers found is "
                "needed."
            ),
        ),
        Example({"job.job.layers_found": "2", "job.job.layers_removed": "2"}, finds=None),
    ],
)
def fewer_layers_removed_than_found(case: Case, assessment: Assessment) -> Iterator[Fault]:
    head = case.job.job
    if head.scope is not Scope.FULL_TEAR_OFF:
        return
    lacks = tuple(
        f"job.{name}"
        for name in ("layers_found", "layers_removed")
        if getattr(head, name) is None and not case.reason_not(f"job.{name}")
    )
    if lacks:
        # The scope itself is on record, and photos of the bare deck show it; the counts only make it certain.
        where = case.where(lacks[0])
        yield Fault(where, verdict=Verdict.CANNOT_TELL, holds=_NOTHING, lacks=lacks)
    elif head.layers_found != head.layers_removed and None not in (
        head.layers_found,
        head.layers_removed,
    ):
        yield Fault(
            case.where("job.layers_removed"),
            {"removed": str(head.layers_removed), "found": str(head.layers_found)},
            holds=_if_terms_ask(assessment, "full_tear_off") | {Holds.PERMIT},
        )


@rule(
    id="DEC-027",
    says="The old covering is on record as {kind}, and its description names {named}.",
    why="What came off decides who may touch it, what was below it, and whether a new roof may lie on it.",
    source="Our habit; no published source",
    owed_by=Party.OFFICE,
    remedy="Correct the kind or the description; where there were two, let the description name both.",
    asks=LEFT_TO_OFFICE,
    manner=Manner(tells_owner=False, sends=Sends.UP, life_safety=False),
    lighter=Weight.NOTE,
    rests_on={
        "job.job.old_covering": "Words that are not there contradict nothing.",
        "job.job.old_covering_kind": "DEC-012 asks for it where the old roof stayed, SAF-009 where it is old.",
    },
    examples=[
        Example(
            {"job.job.old_covering": "three-tab shingles", "job.job.old_covering_kind": "slate"},
            finds="The old covering is on record as slate, and its description names asphalt shingles.",
        ),
        Example(
            {
                "job.job.old_covering": "cedar shakes below three-tab shingles",
                "job.job.old_covering_kind": "wood shakes",
            },
            finds=None,
        ),
    ],
)
def old_covering_called_two_things(case: Case, assessment: Assessment) -> Iterator[Fault]:
    typed, named = case.job.job.old_covering_kind, assessment.details.old_roof.in_words
    if typed is not None and named is not None and typed is not named:
        values = {"kind": typed.value, "named": named.value}
        yield Fault(case.where("job.old_covering_kind"), values)


@rule(
    id="DEC-014",
    says="The old covering that stayed weighs {weight} psf, more than a light layer.",
    why="The rafters carry both roofs and the snow on them; a frame that was built for one may sag under two.",
    source="IRC 2018, 2021 and 2024, section R908.2 (loads of a reroof); that 3 psf is light follows the "
    "International Existing Building Code 2018, 706.2, exception 2, and its use here is our house rule",
    owed_by=Party.OFFICE,
    remedy="Ask a licensed engineer whether the frame carries both, and keep the answer with the permit.",
    asks=LEFT_TO_OFFICE,
    manner=Manner(tells_owner=False, sends=Sends.UP, life_safety=False),
    cannot_tell="whether the frame carries both roofs",
    rests_on={
        "job.job.old_covering": "It stands in for the kind, where its words name one.",
        "job.job.old_covering_psf": ASKED,
        "job.job.old_covering_kind": "DEC-012 asks for it.",
        "job.job.layers_found": "DEC-002 asks for it.",
    },
    examples=[
        Example(
            {**_OVER_OLD, "job.job.old_covering_psf": "4"},
            finds="The old covering that stayed weighs 4 psf, more than a light layer.",
        ),
        Example(
            {**_OVER_OLD, "job.job.old_covering_kind": "metal"},
            finds=(
                "Whether the frame carries both roofs cannot be told: the weight of the old "
                "covering is needed."
            ),
        ),
        Example(
            {
                **_OVER_OLD,
                "job.job.old_covering_kind": "metal",
                "job.job.old_covering_psf": "1.5",
            },
            finds=None,
        ),
        Example(_OVER_OLD, finds=None),
    ],
)
def heavy_roof_laid_over(case: Case, assessment: Assessment) -> Iterator[Fault]:
    old, weight = assessment.details.old_roof, case.job.job.old_covering_psf
    where = case.where("job.old_covering_psf")
    if not old.stays or case.reason_not("job.old_covering_psf"):
        return
    if old.heavy is None:
        lacks = ("job.old_covering_psf",)
        yield Fault(where, verdict=Verdict.CANNOT_TELL, lacks=lacks)
    elif old.heavy and weight is not None:
        yield Fault(where, {"weight": write_number(weight)})


@rule(
    id="DEC-015",
    says="No board thickness of {thickness} at rafters {spacing} apart is in the code's table.",
    why="Boards that are too thin for their rafters give under snow and under a foot.",
    source="IRC 2018, 2021 and 2024, Table R803.1 (net 5/8 in at supports up to 24 in apart); a licensed engineer "
    "decides; held only where the locality sheet says so",
    owed_by=Party.OFFICE,
    remedy="Measure boards and rafters again, or ask a licensed engineer.",
    asks=LEFT_TO_OFFICE,
    manner=Manner(tells_owner=False, sends=Sends.UP, life_safety=False),
    holds={Holds.PERMIT},
    lighter=Weight.NOTE,
    cannot_tell="whether the boards of deck {number} fit their rafters",
    rests_on={
        "job.decks.*.thickness_in": ASKED,
        "job.decks.*.rafter_spacing_in": ASKED,
        "locality.deck_spans_hold_permit": "Without a source here the sheathing lies outside a re-roof, and no "
        "fact is asked for.",
    },
    examples=[
        Example(
            {"job.decks": "board 1/2 in, rafters 24 in, gap 1/8 in, redecked no"},
            finds="No board thickness of 1/2 in at rafters 24 in apart is in the code's table.",
        ),
        Example(
            {
                "locality.deck_spans_hold_permit": "County ordinance 12-4, section 6",
                "job.decks": "board 3/4 in, gap 1/8 in, redecked no",
            },
            finds="Whether the boards of deck 1 fit their rafters cannot be told: rafter spacing is needed.",
        ),
        Example({"job.decks": "board 5/8 in, rafters 24 in, gap 1/8 in, redecked no"}, finds=None),
    ],
)
def boards_not_in_the_table(case: Case, assessment: Assessment) -> Iterator[Fault]:
    held = frozenset({Holds.PERMIT}) if case.locality.deck_spans_hold_permit else _NOTHING
    for number, (result, deck) in enumerate(zip(assessment.decks, case.job.decks, strict=True)):
        boards, spacing = result.boards, deck.rafter_spacing_in
        if boards is None or boards.verdict != "cannot tell":
            continue
        renewed = deck.redecked in (Redecked.WHOLE, Redecked.OVERLAID)
        thickness = deck.new_thickness_in if renewed else deck.thickness_in
        if thickness is not None and spacing is not None:
            values = {"thickness": write_inches(thickness), "spacing": write_inches(spacing)}
            yield Fault(case.where(f"{result.path}.rafter_spacing_in"), values, holds=held)
        elif held:
            number_ = {"number": str(number + 1)}
            yield _span_not_told(case, result.path, number_, boards.needs, renewed=renewed)


@rule(
    id="DEC-016",
    says="The {what} came off the roof, and the record does not say {blank}.",
    why="Whoever fastened something through the new shingles made the holes in them; years later that is where a "
    "leak is looked for first.",
    source="IRC 2018, 2021 and 2024, sections R903.2 and R905.2.8.3 (flashing where something goes through "
    "the roof); who did it is our habit, no published source",
    owed_by=Party.OFFICE,
    remedy="Ask who took it off, who put it back and who flashed the mounts; panels and their wiring are for a "
    "licensed person. Write it under off_and_on.",
    asks=LEFT_TO_OFFICE,
    manner=Manner(tells_owner=False, sends=Sends.UP, life_safety=False),
    rests_on={
        "job.off_and_on": "A blank list says that nothing stood on the roof or was moved.",
        "job.off_and_on.*.off_by": ASKED,
        "job.off_and_on.*.back_by": ASKED,
        "job.off_and_on.*.back_on": ASKED,
        "job.off_and_on.*.flashed_by": ASKED,
    },
    examples=[
        Example(
            {"job.off_and_on": "solar panels, off by Lumo Electric, back by Lumo Electric"},
            finds="The solar panels came off the roof, and the record does not say on which day they went back "
            "and who flashed what goes through the shingles.",
        ),
        Example(
            {"job.off_and_on": "gutters, off by Jens Aberg, back by Jens Aberg on 2026-09-16"},
            finds=None,
        ),
        Example(
            {
                "job.off_and_on": "dish, off by Jens Aberg, back by Jens Aberg on 2026-09-16, "
                "flashed by Jens Aberg"
            },
            finds=None,
        ),
        Example(
            {
                "job.off_and_on": {
                    "what": "antenna",
                    "off_by": "Jens Aberg",
                    "back_by": "n/a, the owner no longer uses it",
                }
            },
            finds=None,
        ),
    ],
)
def nobody_put_it_back(case: Case) -> Iterator[Fault]:
    for number, one in enumerate(case.job.off_and_on):
        path = f"off_and_on.{number}"
        asked = {"off_by": "who took them off", "back_by": "who put them back"}
        if not case.reason_not(f"{path}.back_by"):
            asked["back_on"] = "on which day they went back"
            if one.what is not OnTheRoof.GUTTERS:
                asked["flashed_by"] = "who flashed what goes through the shingles"
        blanks = {
            f"{path}.{field}": words
            for field, words in asked.items()
            if getattr(one, field) is None and not case.reason_not(f"{path}.{field}")
        }
        if blanks:
            yield Fault(
                case.where(next(iter(blanks))),
                {"what": one.what.value, "blank": listed(list(blanks.values()))},
                verdict=Verdict.MISSING,
                lacks=tuple(blanks),
            )
