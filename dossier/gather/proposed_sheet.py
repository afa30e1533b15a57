"""A supplier's sheet proposed from the heads of a ticket, for somebody to correct.

In: a ticket's text. Out: the text of `suppliers/NAME.yaml`, or nothing where no line looks like heads. Must not
write it. Which words head which column is common practice, no published source.
"""

import re
from collections.abc import Mapping, Sequence

from dossier.evidence.text import PaperText, TextLine
from dossier.gather.labels import DAY, beside, ticket_number_in, written_day
from dossier.reading.typed import scalar
from dossier.values import is_day_form

_HEADS: Mapping[str, str] = {
    "product": r"(?:item|article|product|material|goods|description)(?: (?:description|name|no|number|code|#))?"
    r"|sku",
    "quantity": r"(?:qty|quant(?:ity)?)(?: (?:shipped|ship|delivered|ship\'d|del))?|shipped|delivered|units|count",
    "unit": r"u(?:/?o?/?m)?|unit(?: of measure)?|units?",
    "lot": r"(?:lot|batch)(?: (?:no|number|code|#|on wrapper))?s?|lots",
    "colour": r"colou?r",
    "ticket": r"(?:ticket|delivery|slip|order)(?: (?:no|number|ticket|#))?",
    "on": r"(?:ship|delivery|delivered|ticket)? ?date",
}

_TICKET_LABELS = (
    "Delivery ticket No", "Ticket No", "Ticket Number", "Ticket #", "Delivery ticket", "Delivery No",
    "Packing slip No", "Packing slip", "Slip No", "Counter ticket", "Shipping ticket",
    "Delivery note", "Pick slip", "Pick ticket", "Ticket",
)  # fmt: skip
_DAY_LABELS = (
    "Ship date",
    "Delivery date",
    "Date delivered",
    "Date shipped",
    "Delivered on",
    "Delivered",
    "Handed out",
    "Date",
)
_NEEDED = frozenset(("product", "quantity"))


def proposed_sheet(text: PaperText) -> str | None:
    """Return the text of a sheet; None where no line names a product and a quantity."""
    heads = next(filter(_NEEDED.issubset, map(_heads, text.lines)), None)
    return _sheet(text, heads) if heads else None


def has_goods(text: PaperText) -> bool:
    """Return whether a line names a product and a quantity as heads of columns."""
    return any(_NEEDED.issubset(_heads(line)) for line in text.lines)


def _heads(line: TextLine) -> dict[str, str]:
    found: dict[str, str] = {}
    for piece in line.pieces:
        for words in _parted(piece.text.split()):
            name = next((one for one in _columns_of(words) if one not in found), None)
            if name:
                found[name] = words
    return found


def _parted(words: Sequence[str]) -> list[str]:
    """Return the heads that a piece is made of, “Qty Unit” as two; the piece itself where it holds other words."""
    heads: list[str] = []
    at = 0
    while at < len(words):
        ends = (end for end in range(len(words), at, -1) if _columns_of(" ".join(words[at:end])))
        end = next(ends, None)
        if end is None:
            return [" ".join(words)]
        heads.append(" ".join(words[at:end]))
        at = end
    return heads


def _columns_of(words: str) -> list[str]:
    """Return the columns that these words head."""
    bare = words.strip(" :.").casefold().replace(".", "")
    return [name for name, pattern in _HEADS.items() if re.fullmatch(pattern, bare)]


def _sheet(text: PaperText, heads: dict[str, str]) -> str:
    if "ticket" not in heads:
        heads["ticket"] = _label(text.lines, _TICKET_LABELS, number=True) or "Ticket No"
    if "on" not in heads:
        # A day without a label often stands beside the ticket's number.
        label = _label(text.lines, (*_DAY_LABELS, heads["ticket"]), number=False)
        if label:
            heads["on"] = label
    order = ("ticket", "on", "product", "quantity", "unit", "lot", "colour")
    columns = [f"  {name}: {scalar(heads[name])}" for name in order if name in heads]
    supplier = text.lines[0].pieces[0].text
    return "\n".join(
        [
            "# Proposed from the heads of one ticket; correct it, add codes of products and units.",
            f"supplier: {scalar(supplier)}",
            "columns:",
            *columns,
            f"dates: {_form(text)}",
            "",
        ]
    )


def _label(lines: Sequence[TextLine], labels: Sequence[str], *, number: bool) -> str | None:
    for label in labels:
        for values, _ in beside(lines, label, past=True, within=number, first=True):
            if any(ticket_number_in(one) if number else written_day(one) for one in values):
                return label
    return None


def _form(text: PaperText) -> str:
    """Return how the ticket writes its days, by the first that it prints."""
    for line in text.lines:
        found = DAY.search(line.text)
        if found and found["one"] and len(found["year"]) == 4:
            first = "DD{0}MM" if int(found["one"]) > 12 else "MM{0}DD"
            return first.format(found["by"]) + f"{found['by']}YYYY"
        if found and found["y"]:
            return "YYYY-MM-DD"
        if found and (found["name"] or found["named"]):
            # The month keeps its name and what stands around it: “Sep 19, 2026” is MMM DD, YYYY.
            form = re.sub(r"[^\W\d_]+\.?", "MMM", " ".join(found[0].split()), count=1)
            form = re.sub(r"\b\d\d?\b", "DD", re.sub(r"\d{4}", "YYYY", form))
            return form if is_day_form(form) else "DD MMM YYYY"
    return "MM/DD/YYYY"
