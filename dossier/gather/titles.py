"""What kind of paper one is by the title it prints.

In: a paper's text. Out: a kind and the line that says it. Must not know the file's name. The wording is ordinary
English of the trade: common practice, no published source. Where two titles stand there it says nothing, unless
one is printed larger.
"""

import re
from dataclasses import dataclass

from dossier.evidence.text import PaperText, TextLine
from dossier.gather.proposed_sheet import has_goods
from dossier.words import PaperKind

_TOP_LINES = 8
"""Lines among which a title stands. Our habit."""

_MOST_WORDS = 8

_TITLES: tuple[tuple[PaperKind, str], ...] = (
    (PaperKind.CORRECTION_NOTICE, r"corrections? notice|notice of correction"),
    (PaperKind.INSPECTION_CARD, r"inspection (?:card|record|report|results?|notice)|record of inspections?"),
    (PaperKind.INSURANCE_CERTIFICATE, r"certificate of (?:liability )?insurance"),
    (PaperKind.COMPLETION, r"certificate of completion|completion (?:certificate|form|sheet)|work completion"),
    (PaperKind.RETURN_CREDIT, r"credit memo|return (?:credit|receipt|ticket)|credit note"),
    (PaperKind.DISPOSAL_TICKET, r"disposal ticket|scale ticket|weight ticket|dump ticket"),
    (PaperKind.TICKET, r"(?:delivery|counter|will[ -]call|shipping) (?:ticket|note|receipt|slip)"),
    (PaperKind.TICKET, r"packing (?:slip|list)|pick(?:ing)? (?:ticket|slip)"),
    (PaperKind.LEAD_RECORD, r"renovation record(?:s|keeping(?: (?:checklist|form))?)?"),
    (PaperKind.CHANGE_ORDER, r"change order"),
    (PaperKind.WAIVER, r"(?:lien )?waiver(?: and release)?(?: of lien)?|release of lien"),
    (PaperKind.REGISTRATION_CONFIRMATION, r"registration (?:confirm\w+|accepted)|confirmation of registration"),
    (PaperKind.CERTIFICATE, r"warranty certificate|certificate of warranty"),
    (PaperKind.PERMIT, r"(?:building|roofing|re-?roof(?:ing)?|construction|residential) permit"),
    (PaperKind.PERMIT, r"permit"),
    (PaperKind.INVOICE, r"invoice"),
    (PaperKind.CONTRACT, r"(?:roofing |home improvement )?contract(?: agreement)?"),
    (PaperKind.CANCELLATION_NOTICE, r"notice of (?:cancellation|right to cancel)"),
    (PaperKind.COLOUR_CHOICE, r"colou?r (?:choice|selection)"),
)  # fmt: skip

_NUMBERED = (PaperKind.REGISTRATION_CONFIRMATION,)
"""Kinds whose title may have more behind a colon; before one, words of another kind are a label or a reference."""

_NOT_ONE = re.compile(
    r"\b(?:application|request|estimate|quot(?:e|ation)|pro ?forma|proposal)\b", re.I
)
"""Words by which a paper only leads to one. Common practice, no published source."""

_BARE_TICKET = re.compile(r"ticket\W*(?:(?:no|number)\b\W*)?(?:[A-Z]{1,3}\s)?(?=\S*\d)\S{3,}", re.I)
_WEIGHED = re.compile(
    r"\b(?:gross|tare|tons?|scales?|landfill|transfer station|disposal|dump(?:ster)?|debris|recycling)\b",
    re.I,
)
"""Words of papers that call themselves tickets and bring no goods. Common practice, no published source."""

_LEAD = re.compile(r"\b(?:lead|1978)\b", re.I)

_BEFORE = r"(?:(?!(?:and|of|the|to|for|per|see|our|your|with|from|on|by|no|not)\b)[A-Za-z&/-]+\.?\s+){0,3}"
_BEHIND = re.compile(
    r"\s*|\s*[-–#,].{0,40}|\s+(?:(?:no\.?|number|#)\s*)?\S*\d.{0,40}|\s+(?:on|for)\b.{0,40}", re.I
)
"""What may stand around a title: some words that name its kind more closely, and its number or day."""


@dataclass(frozen=True)
class Title:
    """A kind of paper and the line that says it."""

    kind: PaperKind
    line: TextLine


def title_of(text: PaperText) -> Title | None:
    """Return what a paper's title says it is; None where none, or more than one, is found."""
    found: list[tuple[float, Title]] = []
    alone: dict[PaperKind, Title] = {}
    for line in [line for line in text.lines if line.page == 1][:_TOP_LINES]:
        for piece in line.pieces:
            words = piece.text
            # What a registration is of stands behind its number: “Registration accepted WR-1: Extended”.
            number, colon, _ = words.partition(":")
            words = (
                number if colon and _kind(number) in _NUMBERED and number[-1].isdigit() else words
            )
            if len(words.split()) > _MOST_WORDS or words.endswith(".") or ":" in words:
                continue
            kind = _kind(words)
            if kind is PaperKind.LEAD_RECORD and not any(
                _LEAD.search(one.text) for one in text.lines
            ):
                continue
            if kind is not None and not _NOT_ONE.search(words):
                height = max(word.height for word in piece.words)
                found.append((height, Title(kind, line)))
                if len(piece.words) <= len(kind.value.split()):
                    alone.setdefault(kind, Title(kind, line))
    kinds = {title.kind for _, title in found}
    if len(kinds) == 1:
        return found[0][1]
    if not found:
        return _bare_ticket(text)
    largest = max(height for height, _ in found)
    # A tenth larger is seen; less is a matter of faces. Our habit.
    top = [title for height, title in found if height >= largest * 0.91]
    if len({title.kind for title in top}) == 1:
        return top[0]
    # “INVOICE” by itself is a title; “Change order 1” below it is one of its lines.
    return next(iter(alone.values())) if len(alone) == 1 else None


def _bare_ticket(text: PaperText) -> Title | None:
    """Return “Ticket” and a number as a title where the paper has heads of goods and nothing was weighed."""
    if not has_goods(text) or any(_WEIGHED.search(line.text) for line in text.lines):
        return None
    own = [line for line in text.lines if line.page == 1][:_TOP_LINES]
    at = (line for line in own if any(_BARE_TICKET.fullmatch(one.text) for one in line.pieces))
    line = next(at, None)
    return Title(PaperKind.TICKET, line) if line else None


def _kind(words: str) -> PaperKind | None:
    for kind, pattern in _TITLES:
        match = re.match(rf"{_BEFORE}(?:{pattern})\b", words, re.I)
        if match and (kind is PaperKind.WAIVER or _BEHIND.fullmatch(words[match.end() :])):
            return kind
    return None
