"""The trade's words in plain lines, and those of them that one document uses.

In: the strings of a composed document. Out: its glossary, in alphabetical order. Must not explain a word that
the document does not use. Common practice, no published source, but where a line names one.
"""

import re
from collections.abc import Iterable, Iterator
from dataclasses import dataclass, fields, is_dataclass

from dossier.compose.parts.shared import Pair

_NOT_PRINTED = frozenset({"template", "pictures", "name", "words", "said"})
"""Fields of composed pages that lead to something and are not themselves printed."""


@dataclass(frozen=True)
class Word:
    """One word with its plain line. forms: as it may stand in a text, a pattern; empty: the word and its plural.

    always: it stands in the document's fixed wording, so that it is explained whatever the record says.
    """

    label: str
    text: str
    forms: str = ""
    always: bool = False

    def stands_in(self, text: str) -> bool:
        """Return whether the word stands in a text, small or capital letters alike."""
        forms = self.forms or re.escape(self.label) + "s?"
        return bool(re.search(rf"(?<![\w-])(?:{forms})(?![\w-])", text, re.IGNORECASE))


WORDS: tuple[Word, ...] = (
    Word("apron", "flashing at the lower side of a wall or chimney", "aprons?|apron flashing"),
    Word("ASTM", "a body that publishes standards for materials; the number names one of them"),
    Word("attic", "the room between the top ceiling and the roof"),
    Word(
        "backing",
        "how far something said here is backed by a photo, a paper or a person",
        always=True,
    ),
    Word("baffle", "a channel at the eave that keeps insulation out of the way of the attic’s air"),
    Word("bond", "money promised by a third party if a licensed company does not do its duty"),
    Word("box vent", "a small vent with a lid, set in the slope near the ridge"),
    Word("bundle", "one wrapped pack of shingles"),
    Word("claims desk", "whoever answers for the maker when something fails", always=True),
    Word("closing", "the day on which a sale of the house is completed", always=True),
    Word(
        "counter-flashing",
        "metal fixed to a wall that laps over the flashing below",
        "counter-?flashings?",
    ),
    Word("course", "one row of shingles or one strip of membrane along the slope"),
    Word("coverage", "what somebody has promised to pay or do, and for how long", always=True),
    Word("cricket", "a small ridge behind a chimney that turns water to both sides"),
    Word(
        "D7158, D3161", "tests of shingles in wind; the letter is the class passed", "D7158|D3161"
    ),
    Word("deck", "the wood on the rafters that everything else is nailed to", always=True),
    Word("deck panel", "a sheet of wood made for decks"),
    Word("deed", "the paper that shows who owns a house", always=True),
    Word("dormer", "a small roofed part that stands out of a slope, mostly with a window"),
    Word("drip edge", "metal along the edges that leads water away from the wood"),
    Word("eave", "the lower, level edge of the roof"),
    Word("exhaust vent", "an opening high up that lets air out of the attic"),
    Word(
        "exposure",
        "how open a house lies to the wind: B among houses or trees, C open, D at wide water",
        "exposure [BCD]|wind exposure",
    ),
    Word("fascia", "the board along the eave that gutters hang on"),
    Word("fastener", "a nail, staple or screw"),
    Word("field", "the broad part of a slope, away from its edges", "field|field shingles?"),
    Word(
        "fingerprint",
        "a long number worked out from a file; it changes when anything in the file does",
    ),
    Word("flashing", "metal that keeps water out where the roof meets a wall, pipe or chimney"),
    Word(
        "flue",
        "the pipe that leads burnt gas from a furnace, boiler or water heater outdoors",
        "flues?|combustion vents?",
    ),
    Word("gable", "the upright end of a roof, between two sloping edges"),
    Word("hip", "the sloping outer corner where two slopes meet"),
    Word("hip and ridge", "the shingles that cover hips and ridges", "hip and ridge"),
    Word("ice barrier", "a membrane that sticks to the deck, for where ice backs water up"),
    Word("intake vent", "an opening low down that lets outdoor air into the attic"),
    Word("IRC", "the International Residential Code, a model code that places adopt in an edition"),
    Word("joist", "a beam that carries a floor or a ceiling"),
    Word(
        "kick-out",
        "bent metal at the foot of a wall that turns water into the gutter",
        "kick-?outs?",
    ),
    Word("lap", "where one strip lies over the next", "laps?|lapped"),
    Word("level", "one of the sets of coverage that a maker offers", "levels?|warranty levels?"),
    Word("lien", "a right to be paid out of a house, held by one who was not paid for work on it"),
    Word("lot", "the maker’s production mark, printed on each bundle", always=True),
    Word("low-slope", "too flat for shingles"),
    Word("membrane", "a thick sheet that lets no water through"),
    Word("net free area", "the opening of a vent that air can really pass, less its screen"),
    Word("OSB", "a panel of pressed wood strands"),
    Word("penetration", "anything that comes up through the roof, such as a pipe"),
    Word("pipe boot", "a collar that seals the gap around a pipe", "pipe boots?|boots?"),
    Word("pitch", "how steep a slope is: inches of rise in 12 inches level", always=True),
    Word("plywood", "a panel of thin layers of wood, glued crosswise"),
    Word("prorated", "paid in part: the share gets smaller with the years", "prorat\\w+"),
    Word("PS 2", "a standard for wood panels, with the rating printed on each", "PS 2"),
    Word("rafter", "a sloping beam that carries the deck"),
    Word("rake", "the sloping edge of the roof at a gable"),
    Word(
        "rating",
        "two numbers on a deck panel, such as 32/16: widest spacing in inches of the beams below, roof and floor",
        "rating",
    ),
    Word(
        "registration",
        "telling the maker about this roof in time, so that a level holds",
        "registrations?|registered",
    ),
    Word("ridge", "the level top edge where two slopes meet"),
    Word("ridge vent", "a long vent along the top edge of the roof"),
    Word("sealant", "a paste that seals small gaps by hand"),
    Word("slope", "one flat plane of the roof", always=True),
    Word("soffit", "the underside of the roof where it stands out past the wall"),
    Word("square", "100 square feet of roof"),
    Word("starter", "the strip that seals the lowest row of shingles"),
    Word("step flashing", "short bent pieces of metal, one for each row of shingles along a wall"),
    Word(
        "tear-off",
        "taking the old roof off; a full one goes down to the deck",
        "(?:full )?tear-offs?",
    ),
    Word("terms", "the maker’s printed warranty document; it decides", always=True),
    Word("underlayment", "the sheet between the deck and the shingles"),
    Word("valley", "the inner corner where two slopes meet and water runs", "valleys?"),
    Word(
        "vapour retarder",
        "a sheet at the ceiling that slows damp air",
        "vapou?r (?:retarder|barrier)s?",
    ),
    Word("warrantor", "whoever gave a promise in print and answers for it", always=True),
    Word("workmanship", "how the work was done, as against what it was done with"),
)
"""Every word that a handover may use. ASTM D1079 defines most of them for the trade; these lines are plainer."""


def words_of(document: object, fixed: str = "") -> tuple[Pair, ...]:
    """Return the words that a composed document uses, with their plain lines; alphabetical.

    fixed: words of its fixed wording that are printed for this record and not for every one.
    """
    text = "\n".join((fixed, *_strings(document)))
    used = [word for word in WORDS if word.always or word.stands_in(text)]
    # A line may itself lean on a word of the list; such a word then stands in the document too.
    for word in used:
        used += [one for one in WORDS if one not in used and one.stands_in(word.text)]
    used.sort(key=lambda word: word.label.lower())
    return tuple(Pair(word.label, word.text) for word in used)


def _strings(thing: object) -> Iterator[str]:
    if isinstance(thing, str):
        yield thing
    elif is_dataclass(thing):
        for field in fields(thing):
            if field.name not in _NOT_PRINTED:
                yield from _strings(getattr(thing, field.name))
    elif isinstance(thing, Iterable):
        for one in thing:
            yield from _strings(one)
