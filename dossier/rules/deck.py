"""The deck as it was seen before it was covered."""

from collections.abc import Iterator

from dossier.assess.backing import good_photos
from dossier.assess.proofs import slopes_to_show
from dossier.assess.results import Assessment
from dossier.case.case import Case
from dossier.evidence.facts import Facts
from dossier.punchlist import Holds, Manner, Party, Sends, SettledBy, Verdict, Weight
from dossier.rules.declare import ASKED, Example, Fault, rule
from dossier.rules.held import NOTHING, REGISTRATION, if_terms_ask, phases_terms_ask
from dossier.said import Listed, Number, Slopes, Value, say
from dossier.words import OnTheRoof, Phase


@rule(
    id="DEC-006",
    says="No photo shows the deck of {slopes} before it was covered.",
    why="Once it is covered nobody can see the deck again without taking the roof off.",
    source="Common practice, no published source; the maker's terms where a clause asks for photos",
    owed_by=Party.CREW,
    remedy="Look on the crew's phones for that day, and say in the work log who looked. Only where old "
    "self-adhered membrane stayed on, so that nobody could see the deck, write old_membrane_left: yes.",
    asks="Look on your phones for that day and send us the photo as it was taken. Tell us who "
    "looked at the deck there, and when.",
    settled_by=SettledBy.PHOTO,
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
    held = REGISTRATION if Phase.DECK in phases_terms_ask(assessment) else NOTHING
    for slope in slopes_to_show(case, assessment.slopes, Phase.DECK):
        if not good_photos(case, facts, Phase.DECK, slope):
            yield Fault(case.where("slopes"), {"slope": slope}, verdict=Verdict.MISSING, holds=held)


@rule(
    id="DEC-008",
    says="The deck's {blank} {blank:is|are} not on record{where}.",
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
    held = if_terms_ask(assessment, "deck")

    def missing(paths: tuple[str, ...], blanks: list[str], where: Value = "") -> Fault:
        values = {"blank": Listed(tuple(map(say, blanks))), "where": where}
        place = case.where(paths[0])
        return Fault(place, values, verdict=Verdict.MISSING, holds=held, lacks=paths)

    both = ["kind", "thickness"]
    if not case.job.decks:
        if not case.reason_not("decks"):
            yield missing(("decks",), both)
        return
    covered = [label for deck in case.job.decks for label in deck.slopes]
    if all(deck.slopes for deck in case.job.decks):
        bare = [slope.label for slope in case.job.slopes if slope.label not in covered]
        if bare:
            yield missing(("decks",), both, say(" on {slopes}", slopes=Slopes(tuple(bare))))
    for number, deck in enumerate(case.job.decks):
        new = ("new_", "new ") if deck.renewed else ("", "")
        fields = {f"{new[0]}kind": f"{new[1]}kind", f"{new[0]}thickness_in": f"{new[1]}thickness"}
        blanks = {
            field: words
            for field, words in fields.items()
            if getattr(deck, field) is None and not case.reason_not(f"decks.{number}.{field}")
        }
        if blanks:
            paths = tuple(f"decks.{number}.{field}" for field in blanks)
            yield missing(paths, list(blanks.values()))


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
                    "number": int(one.path.split(".")[1]) + 1,
                    "moisture": Number(one.reading_pct),
                    "most": one.most_pct,
                    "kind": one.kind,
                },
            )


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
                {"what": one.what, "blank": Listed(tuple(blanks.values()))},
                verdict=Verdict.MISSING,
                lacks=tuple(blanks),
            )
