"""Boards and panels against the gaps and spans they have to bridge."""

from collections.abc import Iterator

from dossier.assess.code import gap_limit_in
from dossier.assess.results import Assessment
from dossier.case.case import Case
from dossier.punchlist import Holds, Manner, Party, Sends, SettledBy, Verdict, Weight
from dossier.rules.asking import untold
from dossier.rules.declare import ASKED, Example, Fault, rule
from dossier.rules.held import NOTHING, if_terms_ask
from dossier.said import Inches, Listed, Value
from dossier.words import DeckKind


def _span_not_told(
    case: Case, path: str, values: dict[str, Value], needs: tuple[str, ...], *, renewed: bool
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
        needs=Listed(needs),
        holds=frozenset({Holds.PERMIT}),
        lacks=lacks,
        # Beyond the tables it is an engineer's to say.
        settled_by=None if lacks else SettledBy.WORD,
        owed_by=Party.PERMIT_OFFICE if at_locality else None,
        remedy="Ask the permit office for the roof load and write roof_load_psf on the locality sheet."
        if at_locality
        else None,
    )


@rule(
    id="DEC-007",
    says="The board deck has gaps of {gap}, more than the {limit} that {limit_by} allow, and was not "
    "re-decked.",
    why="A nail that falls in a gap between boards holds nothing.",
    source="The maker's terms or instructions; where none says, common practice: gaps of half an inch "
    "and wider mean re-decking. Building-enclosure consultants' series on roof decks (board sheathing)",
    owed_by=Party.OFFICE,
    remedy="Correct the gap if it was measured wrongly, or record the re-decking under decks.",
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
    held = if_terms_ask(assessment, "deck")
    for result, deck in zip(assessment.decks, case.job.decks, strict=True):
        if result.gap is None or deck.renewed or deck.kind is not DeckKind.BOARD:
            continue
        where = case.where(f"{result.path}.largest_gap_in")
        if result.gap.verdict == "cannot tell":
            path = f"{result.path}.largest_gap_in"
            yield untold(case, path, "the largest gap between boards", holds=held)
        elif result.gap.verdict != "accept" and deck.largest_gap_in is not None:
            yield Fault(
                where,
                {
                    "gap": Inches(deck.largest_gap_in),
                    "limit": "less than 1/2 in" if limit is None else Inches(limit),
                    "limit_by": "common practice" if limit is None else "the maker's terms",
                },
                holds=held,
            )


@rule(
    id="DEC-009",
    says="The panels of deck {number} span {spacing}; their rating {rating} allows {most}.",
    why="A panel that is too thin for its rafters sags under snow, and the shingles with it.",
    source="IRC 2018, 2021 and 2024, Table R503.2.1.1(1), and APA Form E30 (from memory beyond the pairing of "
    "thickness and rating); a licensed engineer decides; held only where the locality sheet says so",
    owed_by=Party.OFFICE,
    remedy="Read the rating off a panel and measure the rafters; edge clips or another panel change the "
    "answer. Above the table ask a licensed engineer.",
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
    held = frozenset({Holds.PERMIT}) if case.locality.deck_spans_hold_permit else NOTHING
    for number, (result, deck) in enumerate(zip(assessment.decks, case.job.decks, strict=True)):
        span = result.span
        if span is None:
            continue
        values: dict[str, Value] = {"number": number + 1}
        if span.verdict == "over span" and span.most_in and deck.rafter_spacing_in:
            values |= {
                "spacing": Inches(deck.rafter_spacing_in),
                "rating": deck.span_rating_now or "",
                "most": Inches(span.most_in),
            }
            yield Fault(case.where(f"{result.path}.rafter_spacing_in"), values, holds=held)
        elif span.verdict == "cannot tell" and held:
            yield _span_not_told(case, result.path, values, span.needs, renewed=deck.renewed)


@rule(
    id="DEC-015",
    says="No board thickness of {thickness} at rafters {spacing} apart is in the code's table.",
    why="Boards that are too thin for their rafters give under snow and under a foot.",
    source="IRC 2018, 2021 and 2024, Table R803.1 (net 5/8 in at supports up to 24 in apart); a licensed engineer "
    "decides; held only where the locality sheet says so",
    owed_by=Party.OFFICE,
    remedy="Measure boards and rafters again, or ask a licensed engineer.",
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
    held = frozenset({Holds.PERMIT}) if case.locality.deck_spans_hold_permit else NOTHING
    for number, (result, deck) in enumerate(zip(assessment.decks, case.job.decks, strict=True)):
        boards, spacing = result.boards, deck.rafter_spacing_in
        if boards is None or boards.verdict != "cannot tell":
            continue
        thickness = deck.thickness_now_in
        if thickness is not None and spacing is not None:
            values = {"thickness": Inches(thickness), "spacing": Inches(spacing)}
            yield Fault(case.where(f"{result.path}.rafter_spacing_in"), values, holds=held)
        elif held:
            number_: dict[str, Value] = {"number": number + 1}
            yield _span_not_told(case, result.path, number_, boards.needs, renewed=deck.renewed)
