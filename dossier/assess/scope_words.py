"""What one line of an insurer's scope pays for, read from its words.

In: a line as somebody typed it. Out: the roles it pays for, those it leaves out in so many words, the permit's
fee, a quantity with its unit. Must not know a roof or its measures. The words are those of the trade at large
(common practice, no published source); a line may name its role itself, which then holds.
"""

import re
from collections.abc import Iterable
from dataclasses import dataclass, replace
from fractions import Fraction

from dossier.record.closing import ScopeLine
from dossier.words import Role

_NOTHING = None
_THINGS: tuple[tuple[Role | None, str], ...] = (
    (
        Role.EXHAUST_VENT,
        r"(?:shingle[- ]over )?(?:continuous )?(?:off[- ])?ridge[- ]?vents?(?:ing)?"
        r"|(?:box|turtle|roof|exhaust|power|louv\w+|static) vents?|attic fans?|turbines?(?: vents?)?",
    ),
    (_NOTHING, r"shingle[- ]over"),
    (Role.INTAKE_VENT, r"(?:soffit|intake|eaves?) vents?(?:ing)?|vented soffits?"),
    (Role.STARTER, r"starters?(?: (?:strips?|courses?|rows?|shingles?))*"),
    (
        Role.HIP_AND_RIDGE,
        r"(?:hips?|ridges?)(?: ?(?:and|/|or) ?(?:hips?|ridges?))? ?(?:caps?|capping|shingles?)(?: shingles?)?"
        r"|hips? ?(?:and|/|or) ?ridges?|ridges? ?(?:and|/|or) ?hips?|cap shingles?"
        r"|(?:^|(?<=, ))(?:ridges?|hips?)(?=,|$)",
    ),
    (Role.SKYLIGHT_KIT, r"skylights? (?:flashing )?(?:kits?|flashings?)"),
    (
        Role.PIPE_BOOT,
        r"(?:pipe|plumbing|soil|stack|vent)(?: (?:pipe|vent|stack))?[- ]?(?:boots?|jacks?|collars?|flashings?)"
        r"(?: flashings?)?|(?:lead |rubber )?boots?|roof jacks?",
    ),
    (
        Role.DUCT_OR_FLUE_CAP,
        r"(?:furnace |heater )?(?:flue|furnace|duct|dryer|bath|exhaust|rain)(?: (?:vent|duct|fan|flue))? caps?",
    ),
    (
        Role.VALLEY,
        r"(?:open )?valleys? (?:metal|lining|liner|flashing|tin)s?|open valleys?|(?:^|(?<=, ))valleys?(?=,|$)",
    ),
    (
        Role.DRIP_EDGE,
        r"drip[- ]?edges?(?: (?:metal|flashing))?|gutter aprons?"
        r"|(?:(?:rakes?|eaves?|perimeter|roof) )?edge metal|rake edges?(?: metal)?",
    ),
    (
        Role.ICE_BARRIER,
        r"ice ?(?:and|/) ?water(?: (?:shield|barrier|membrane|guard))?s?"
        r"|ice[- ](?:dam )?(?:barrier|shield|guard|membrane|protection)s?"
        r"|self[- ]adh\w+ (?:\w+ )?(?:membranes?|underlayments?|sheets?)|eaves? membranes?",
    ),
    (
        Role.UNDERLAYMENT,
        r"(?:synthetic |felt )?underlayments?|felts?(?: paper)?|(?:roofing|tar|building) paper",
    ),
    (
        Role.FLASHING,
        r"(?:(?:step|counter|base|head ?wall|side ?wall|end ?wall|wall|apron|chimney|kick[- ]?out)[- ]?)*"
        r"flashings?"
        r"|kick[- ]?outs?(?: diverters?)?",
    ),
    (
        Role.DECK_PANEL,
        r"(?:roof )?sheathing|plywood|osb|decking|deck (?:panels?|boards?|sheets?)|re-?deck",
    ),
    (
        Role.FIELD_SHINGLE,
        r"(?:(?:laminated?|architectural|dimensional|three[- ]tab|3[- ]tab|strip|field|asphalt|composition|comp)"
        r" )*"
        r"shingles?|(?:asphalt|composition) roof(?:ing)?",
    ),
)
"""The words for each role, the more exact before the plainer: what one has read, no later one reads again."""

_GIVES = (
    r"replac\w+|install\w*|new|furnish\w*|suppl(?:y|ies|ied)|provid\w+|r ?(?:and|/) ?r|re-?roof\w*"
)
_TAKES = (
    r"detach\w*(?: (?:and|/) ?re-?(?:set|install)\w*)?|remov\w+|tear[- ]?(?:off|out)|take off|strip off|haul\w*|"
    r"dispos\w+|dump\w*|debris|re-?us\w+|keep|kept|re-?set\w*|salvag\w+"
)
_ABOUT = (
    r"steep|high roof|minimum|labou?r only|tarp\w*|paint|prime|clean|inspect\w*|caulk|re-?seal|re-?nail\w*|"
    r"supervis\w+|overhead"
)
_CHARGE = r"\b(?:surcharge|additional charge|charge)\b"
_WITHOUT = r"without|no(?!\.? ?\d)|less(?! than)|minus"
_EXCLUDES = r"exclud\w+|excl\b|except\w*|not includ\w+|does not includ\w+|omit\w*"
_AFTER = (
    r"(?:is |are |was |were )?not (?:includ\w+|part|cover\w+|need\w*|requir\w+|paid|allow\w+|replac\w+|in)\b"
    r"|excluded|omitted|by (?:others?|owner|homeowner)"
)

_TOKEN = re.compile(
    "|".join(
        (
            *(f"(?P<thing{n}>\\b(?:{words})\\b)" for n, (_, words) in enumerate(_THINGS)),
            f"(?P<after>\\b(?:{_AFTER})\\b)",
            f"(?P<excludes>\\b(?:{_EXCLUDES}))",
            f"(?P<without>\\b(?:{_WITHOUT})\\b)",
            f"(?P<gives>\\b(?:{_GIVES})\\b)",
            f"(?P<takes>\\b(?:{_TAKES})\\b)",
            f"(?P<about>\\b(?:{_ABOUT})\\b)",
            "(?P<comma>,)",
        )
    )
)
_BREAK = re.compile(r"\s*[;()\[\]]\s*|(?<=[a-z]{4})\.\s+")
_LINK = re.compile(r"\s*:\s+|\s+[-–—]\s+")


@dataclass(frozen=True)
class LineRead:
    """What one line of a scope says. leaves_out: named as not paid for; a role only taken off is in neither."""

    pays: frozenset[Role] = frozenset()
    leaves_out: frozenset[Role] = frozenset()


@dataclass(frozen=True)
class _Thing:
    role: Role
    verb: str
    out: bool
    segment: int


def read_line(line: ScopeLine) -> LineRead:
    """Return what a line of the scope pays for and leaves out; the role that it names itself holds."""
    if line.role is not None:
        return LineRead(frozenset({line.role}))
    text = _plain(line.what or "")
    if re.search(_CHARGE, text):
        # A charge for a steep or a high roof is about the shingles; it does not buy them.
        return LineRead()
    things = [thing for part in _BREAK.split(text) for thing in _linked(part)]
    out = frozenset(thing.role for thing in things if thing.out)
    pays = frozenset(thing.role for thing in things if thing.verb == "gives" and not thing.out)
    return LineRead(pays - out, out)


def _plain(text: str) -> str:
    text = " ".join(text.lower().split()).replace("’", "'")
    text = re.sub(r"\bw/ ?o(?:ut)?\b", "without", text)
    return " ".join(text.replace("&", " and ").split())


def _linked(part: str) -> list[_Thing]:
    """Return the things of clauses joined by a dash or a colon: a verb alone speaks of its neighbour."""
    found: list[_Thing] = []
    carried = ""
    for clause in _LINK.split(part):
        things, last = _clause(clause, carried)
        if not things and last:
            if found and not carried and all(thing.verb == "gives" for thing in found):
                found = [replace(thing, verb=last) for thing in found]
            carried = last
        else:
            carried = ""
        found += things
    return found


def _clause(text: str, verb: str) -> tuple[list[_Thing], str]:
    """Return a clause's things, each with the verb before it, and the last verb of the clause.

    A thing with no verb is paid for: a scope is a list of what is. “Remove shingles and replace” gives them back.
    """
    things: list[_Thing] = []
    out, long_out, segment, since = False, False, 0, False
    for token in _TOKEN.finditer(text):
        kind = token.lastgroup or ""
        if kind.startswith("thing"):
            role = _THINGS[int(kind.removeprefix("thing"))][0]
            if role is not None:
                things.append(_Thing(role, verb or "gives", out, segment))
                since = False
        elif kind == "comma":
            segment += 1
            out = long_out
        elif kind == "after":
            things = [replace(t, out=True) if t.segment == segment else t for t in things]
        elif kind in ("without", "excludes"):
            out, long_out = True, kind == "excludes"
        else:
            verb, since, out, long_out = kind, True, False, False
    if since and verb == "gives":
        things = [replace(thing, verb="gives") for thing in things]
    return things, verb


_QUANTITY = re.compile(
    r"(?P<number>\d[\d,]*(?:\.\d+)?) ?(?P<unit>[a-z. ]+?)\.?", re.IGNORECASE | re.ASCII
)
_UNITS = {
    **dict.fromkeys(
        ("ft", "feet", "foot", "lf", "lin ft", "linear feet", "lineal feet"), ("ft", 1)
    ),
    **dict.fromkeys(("sq ft", "sf", "square feet"), ("sq ft", 1)),
    **dict.fromkeys(("sq", "sqs", "square", "squares"), ("sq ft", 100)),
    **dict.fromkeys(("ea", "each", "pc", "pcs", "piece", "pieces"), ("pieces", 1)),
}
"""Units of a scope in those of the take-off. A square is 100 sq ft of roof (common practice)."""


def quantity_of(text: str | None) -> tuple[Fraction, str] | None:
    """Return a quantity and its unit as the take-off counts it; None where the words give none."""
    match = _QUANTITY.fullmatch(" ".join((text or "").split()))
    known = _UNITS.get(match["unit"].lower().strip().replace(".", "")) if match else None
    if match is None or known is None:
        return None
    unit, times = known
    return Fraction(match["number"].replace(",", "")) * times, unit


def has_permit_fee(lines: Iterable[ScopeLine]) -> bool:
    """Return whether a line of the scope pays for the permit."""
    refused = rf"\b(?:{_WITHOUT}|{_EXCLUDES}|{_AFTER})\b"
    return any(
        re.search(r"\bpermits?\b", part) and not re.search(refused, part)
        for line in lines
        for part in re.split(r"[;,()]", _plain(line.what or ""))
    )
