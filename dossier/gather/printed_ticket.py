"""The text of a printed ticket into lines of cells, by the heads of its columns.

In: a paper's text with the place of each word, how the supplier's tickets are laid out. Out: `Cells`, line by
line, and the lines that belong to no line of goods. Must not know the catalogue. A piece that could stand under
two heads stands under none: the line is then named and not guessed at.
"""

import math
import re
from collections.abc import Mapping, Sequence
from dataclasses import dataclass, field, replace
from itertools import pairwise

from dossier.errors import UnreadableInput
from dossier.evidence.text import PaperText, Piece, TextLine, Word
from dossier.gather.labels import beside, in_form, ticket_number_in, words_of, written_day
from dossier.gather.lot_line import lot_alone
from dossier.gather.lots import LOT_LABEL
from dossier.gather.ticket_rows import (
    NOT_DELIVERED,
    Catalogue,
    Cells,
    Stand,
    Ticket,
    TicketForm,
    day_of,
    key_of,
    ticket_of,
)
from dossier.gather.wrapped import ALIGNED_PT, is_close, is_wrapped, same_row, says_more
from dossier.said import Said, say
from dossier.values import clip

_SUM = re.compile(
    r"\W*(?:sub[\s-]?totals?|totals?|grand total|sales tax|tax|freight|delivery (?:charge|fee)|fuel (?:sur)?charge"
    r"|deposit|balance|amount due|pallets?|page \d+|continued|carried (?:forward|over)|brought forward)\b",
    re.I,
)
"""How a line begins that is no goods. Common practice, no published source."""

_END = re.compile(r"\W*(?:sub[\s-]?totals?|(?:grand )?totals?)[\s\W\d]*", re.I)
"""A sum of goods and nothing else: behind it comes another block, which may be of goods that did come."""

_NOTE = re.compile(r"\b(?:refused|rejected|short(?:ed|age)?|damaged|missing)\b", re.I)
"""Words of a line that tell of the goods beside it and are no heading. Common practice, no published source."""

_TABLE = ("product", "quantity", "unit", "lot", "colour", "ticket", "on")
_NEEDED = ("product", "quantity", "unit", "colour")
"""What has to stand among the heads; a lot may stand below its product, and number and day beside a label."""


@dataclass(frozen=True)
class _Head:
    """One head of a column. field: what the column holds, empty where nobody asks for it.

    reach: how far what surely stands under it goes, left and right.
    """

    field: str
    left: float
    right: float
    reach: tuple[float, float] = (math.inf, -math.inf)


@dataclass
class _Open:
    """What is known while the lines of a ticket are gone through."""

    heads: list[_Head] = field(default_factory=list)
    head_texts: set[str] = field(default_factory=set)
    ticket: str = ""
    on: str = ""
    under: str = ""
    lines: list[Cells] = field(default_factory=list)
    aside: list[Stand] = field(default_factory=list)
    names: frozenset[str] = frozenset()
    goes_on: bool = False
    above: TextLine | None = None
    note: Said | None = None


def read_printed(paper: PaperText, file: str, form: TicketForm, catalogue: Catalogue) -> Ticket:
    """Return the deliveries on a printed ticket, one a ticket number, in its order.

    Raises UnreadableInput for one whose heads are not those of the form.
    """
    columns = form.printed or form.columns
    pages = sorted({line.page for line in paper.lines})
    state = _Open(names=frozenset(map(key_of, (*form.products, *catalogue))))
    numbers: dict[str, Stand] = {}
    seen_at_top: set[str] = set()
    for page in pages:
        own = [line for line in paper.lines if line.page == page]
        begins, heads, used = _head_row(own, columns)
        if heads:
            state.heads = _with_reach(heads, own[begins:])
            state.head_texts = {key_of(line.text) for line in own[begins - used : begins]}
        elif not state.heads:
            continue
        _labels(own, columns, form.printed_dates, state, numbers)
        top = own[:begins] if heads else []
        rest = [line for line in own[begins:] if key_of(line.text) not in seen_at_top]
        seen_at_top |= {key_of(line.text) for line in top}
        # What stood at the head of an earlier page is no line of goods on this one.
        state.goes_on = state.goes_on and bool(rest)
        for line in rest:
            _take(line, state)
            state.above = line
    if not state.heads:
        raise _not_laid_out(paper, file, columns, form)
    ticket = ticket_of(state.lines, file, form, catalogue, form.printed_dates)
    return replace(ticket, aside=tuple(state.aside), ticket_at=numbers)


def _not_laid_out(
    paper: PaperText, file: str, columns: Mapping[str, str], form: TicketForm
) -> UnreadableInput:
    printed = {key_of(line.text) for line in paper.lines}
    wanted = [columns[name] for name in _NEEDED if name in columns]
    missing = [head for head in wanted if not any(key_of(head) in line for line in printed)]
    lacks = ", ".join(f"“{clip(head)}”" for head in missing or wanted)
    return UnreadableInput(
        f"{file} has no line with all heads of its columns; missing: {lacks}.",
        f"Correct the columns in the sheet of {form.supplier}; under “printed” where its PDFs read otherwise.",
    )


# --- heads --------------------------------------------------------------------------------------


def _head_row(
    lines: Sequence[TextLine], columns: Mapping[str, str]
) -> tuple[int, list[_Head], int]:
    """Return the number of the first line behind the heads, the heads, and how many lines these take.

    No heads where no line of the page has all that are needed.
    """
    for at, line in enumerate(lines):
        if heads := _heads([_cell(piece) for piece in line.pieces], columns):
            return at + 1, heads, 1
    for at, (line, below) in enumerate(pairwise(lines)):
        if heads := _heads(_stacked(line, below), columns):
            return at + 2, heads, 2
    return 0, [], 0


_Cell = tuple[tuple[Word, ...], float, float]


def _cell(piece: Piece) -> _Cell:
    return piece.words, piece.left, piece.right


def _stacked(above: TextLine, below: TextLine) -> list[_Cell]:
    """Return two lines of heads as one, each piece joined with what stands below it."""
    cells: list[_Cell] = []
    left_over = list(below.pieces)
    for piece in above.pieces:
        under = [one for one in left_over if one.left < piece.right and piece.left < one.right]
        left_over = [one for one in left_over if one not in under]
        words = piece.words + tuple(word for one in under for word in one.words)
        both = [piece, *under]
        cells.append((words, min(p.left for p in both), max(p.right for p in both)))
    cells += [_cell(piece) for piece in left_over]
    return sorted(cells, key=lambda cell: cell[1])


def _heads(cells: Sequence[_Cell], columns: Mapping[str, str]) -> list[_Head]:
    """Return every head of a line, those nobody asks for too; empty where one that is needed is not there."""
    found: list[_Head] = []
    taken: set[int] = set()
    for name in _TABLE:
        wanted = words_of(columns[name]) if name in columns else []
        if not wanted:
            continue
        places = _whole(cells, wanted) or _within(cells, wanted)
        if len(places) == 1:
            at, left, right = places[0]
            taken.add(at)
            found.append(_Head(name, left, right))
        elif name in _NEEDED:
            return []
    found += [
        _Head("", left, right) for at, (_, left, right) in enumerate(cells) if at not in taken
    ]
    return sorted(found, key=lambda head: head.left)


def _whole(cells: Sequence[_Cell], wanted: Sequence[str]) -> list[tuple[int, float, float]]:
    return [
        (at, left, right)
        for at, (words, left, right) in enumerate(cells)
        if [word.text.strip(".:#").casefold() for word in words] == wanted
    ]


def _within(cells: Sequence[_Cell], wanted: Sequence[str]) -> list[tuple[int, float, float]]:
    """Return where heads stand so close that they are one piece."""
    found = []
    for at, (words, _, _) in enumerate(cells):
        texts = [word.text.strip(".:#").casefold() for word in words]
        for start in range(len(texts) - len(wanted) + 1):
            if texts[start : start + len(wanted)] == wanted:
                run = words[start : start + len(wanted)]
                found.append((at, run[0].left, run[-1].right))
    return found


# --- number and day -----------------------------------------------------------------------------


def _labels(
    lines: Sequence[TextLine],
    columns: Mapping[str, str],
    dates: str,
    state: _Open,
    numbers: dict[str, Stand],
) -> None:
    """Take the number and the day that stand beside or below their labels on a page."""
    in_table = {head.field for head in state.heads}
    if "ticket" not in in_table:
        found = {}
        for values, line in beside(lines, columns["ticket"], past=True, first=True):
            told = (ticket_number_in(one) for one in values if not _is_day(one, dates))
            value = next(filter(None, told), "")
            if value:
                found[value] = line
        if found:
            state.ticket = next(iter(found)) if len(found) == 1 else ""
        for value, line in found.items():
            numbers.setdefault(value, _stand(line))
    if "on" in columns and "on" not in in_table:
        firsts = [
            next((day for one in values if _is_day(day := _begins(one, dates), dates)), "")
            for values, _ in beside(lines, columns["on"], past=True, first=True)
        ]
        days = {one for one in firsts if one}
        if days:
            state.on = days.pop() if len(days) == 1 else ""


def _begins(text: str, dates: str) -> str:
    """Return as many words of a text as a day has that is written in this form.

    One with its month by name is the same day in every form, and returned in this one.
    """
    begun = " ".join(text.split()[: len(dates.split())])
    written = None if _is_day(begun, dates) else written_day(text)
    return in_form(written.day, dates) if written and written.named else begun


def _is_day(text: str, dates: str) -> bool:
    try:
        day_of(text, dates)
    except ValueError:
        return False
    return True


# --- lines --------------------------------------------------------------------------------------


def _take(line: TextLine, state: _Open) -> None:
    """Add one line below the heads to what is known, goods right below a note on such in doubt."""
    before, note, state.note = len(state.lines), state.note, None
    _add(line, state)
    if note is not None and len(state.lines) > before:
        state.lines[-1] = replace(state.lines[-1], doubt=note)


def _add(line: TextLine, state: _Open) -> None:
    stand = _stand(line)
    if key_of(line.text) in state.head_texts:
        return
    if lot := lot_alone(line.text):
        state.lines.append(Cells(stand, {**lot, **_common(state)}, state.under))
        state.goes_on = False
        return
    cells = _cells(line, state.heads)
    if _SUM.match(line.text) or any(_SUM.match(piece.text) for piece in line.pieces[:2]):
        state.aside.append(stand)
        state.goes_on = False
        if any(_END.fullmatch(piece.text) for piece in line.pieces[:2]):
            state.under = ""
        return
    if isinstance(cells, Said):
        if _has_number(line, state.heads) or _names_goods(line, state):
            state.lines.append(Cells(stand, {}, state.under, cells))
        else:
            _heading_or_aside(line, state)
        state.goes_on = False
        return
    if lot := _lot_of(line, cells):
        state.lines.append(Cells(stand, {**lot, **_common(state)}, state.under))
        state.goes_on = False
    elif "product" in cells and "quantity" in cells and _is_quantity(cells["quantity"]):
        above = _taken_from_above(line, state)
        state.lines.append(Cells(stand, {**_common(state), **cells}, state.under, beside=above))
        state.goes_on = True
    elif "product" in cells and "lot" in cells:
        # Goods whose quantity stands with their lots.
        state.lines.append(Cells(stand, {**_common(state), **cells}, state.under))
        state.goes_on = True
    elif (
        set(cells) == {"product"}
        and state.goes_on
        and is_close(line, state.above)
        and not (line.text.rstrip().endswith(":") and NOT_DELIVERED.search(line.text))
    ):
        if NOT_DELIVERED.fullmatch(line.text.strip(" .-*")):
            # “Backordered” alone may be of the goods above it and a heading of those below.
            state.under = line.text
        last = state.lines[-1]
        state.lines[-1] = replace(last, below=(*last.below, stand_of(stand, cells["product"])))
    elif (
        not cells
        and state.goes_on
        and is_close(line, state.above)
        and not _names_goods(line, state)
        and is_wrapped(line, state.above, [(head.left, head.right) for head in state.heads])
    ):
        last = state.lines[-1]
        state.lines[-1] = replace(last, beside=(*last.beside, stand))
    elif ("quantity" in cells and _is_quantity(cells["quantity"])) or _names_goods(line, state):
        lacks = "quantity" if "product" in cells else "product"
        why = say("no {lacks} can be read on it", lacks=lacks)
        state.lines.append(Cells(stand, {}, state.under, why))
        state.goes_on = False
    else:
        _heading_or_aside(line, state)
        state.goes_on = False


def _taken_from_above(line: TextLine, state: _Open) -> tuple[Stand, ...]:
    """Return the line above as words of these goods, where it stands in one row with them, and take it back."""
    if state.above is None or not same_row(line, state.above):
        return ()
    stand = _stand(state.above)
    if says_more(stand.words):
        return ()
    if state.aside[-1:] == [stand]:
        state.aside.pop()
        return (stand,)
    if state.lines and state.lines[-1].beside[-1:] == (stand,):
        state.lines[-1] = replace(state.lines[-1], beside=state.lines[-1].beside[:-1])
        return (stand,)
    return ()


def _common(state: _Open) -> dict[str, str]:
    both = {"ticket": state.ticket, "on": state.on}
    return {name: text for name, text in both.items() if text}


def stand_of(stand: Stand, words: str) -> Stand:
    """Return the same place with just these words of it."""
    return replace(stand, words=words)


def _heading_or_aside(line: TextLine, state: _Open) -> None:
    """Note a heading that says that what follows did not come; else put the line aside.

    Goods beside a line that says so in more words, or of some of them, are in doubt.
    """
    state.aside.append(_stand(line))
    if not NOT_DELIVERED.search(line.text):
        return
    heads = line.text.rstrip().endswith(":") or not _NOTE.search(line.text)
    if heads and len(line.words) <= 6:
        state.under = line.text
        return
    state.note = say("a line beside it says “{words}”", words=clip(line.text))
    if state.lines:
        state.lines[-1] = replace(state.lines[-1], doubt=state.note)


def _names_goods(line: TextLine, state: _Open) -> bool:
    """Return whether a piece of a line is a product or a code of one."""
    return any(key_of(piece.text) in state.names for piece in line.pieces)


def _is_quantity(text: str) -> bool:
    return re.match(r"[-−(]?\.?\d", text) is not None


def _has_number(line: TextLine, heads: Sequence[_Head]) -> bool:
    """Return whether a number stands under the head of the quantity."""
    [head] = [one for one in heads if one.field == "quantity"]
    return any(
        word.left < head.right and head.left < word.right and word.text[0].isdigit()
        for word in line.words
    )


def _lot_of(line: TextLine, cells: Mapping[str, str]) -> dict[str, str]:
    """Return the cells of a line that holds nothing but a lot of the goods above it; empty for any other."""
    product = cells.get("product", "")
    label = LOT_LABEL.match(product)
    if "lot" in cells and (not product or label):
        mark = cells["lot"]
    elif label and any(map(str.isdigit, product)):
        mark = product[label.end() :]
    else:
        labelled = [(LOT_LABEL.match(piece.text), piece.text) for piece in line.pieces]
        marks = [text[found.end() :] for found, text in labelled if found]
        if product or len(marks) != 1 or not any(map(str.isdigit, marks[0])):
            return {}
        [mark] = marks
    kept = {name: cells[name] for name in ("quantity", "unit") if name in cells}
    return {**kept, "lot": mark}


def _cells(line: TextLine, heads: Sequence[_Head]) -> dict[str, str] | Said:
    """Return what stands under each head that somebody asks for, or why that cannot be told."""
    found: dict[str, list[str]] = {}
    for piece in line.pieces:
        parts = _under(piece, heads)
        if parts is None:
            return say("“{words}” stands under more than one head", words=clip(piece.text))
        for head, text in parts:
            if head.field:
                found.setdefault(head.field, []).append(text)
    return {name: " ".join(texts) for name, texts in found.items()}


def _under(piece: Piece, heads: Sequence[_Head]) -> list[tuple[_Head, str]] | None:
    """Return the piece under its head, or parted where its words stand exactly under several; None in doubt."""
    over = [head for head in heads if piece.left < head.right and head.left < piece.right]
    if len(over) == 1:
        return [(over[0], piece.text)]
    if not over:
        near = _nearest(piece, heads)
        return None if near is None else [(near, piece.text)]
    # A piece that begins where a head begins and ends before the next column is that head's own.
    starts = [head for head in heads if abs(head.left - piece.left) <= ALIGNED_PT]
    parted = _parted(piece, over)
    if parted is not None:
        return parted
    if len(over) == 2 and starts == [over[0]] and not over[1].field:
        return [(over[0], piece.text)]
    return None


def _nearest(piece: Piece, heads: Sequence[_Head]) -> _Head | None:
    """Return the head whose column a piece that stands under none lies in; None where two are as near."""
    within = [head for head in heads if piece.left < head.reach[1] and head.reach[0] < piece.right]
    if len(within) == 1:
        return within[0]

    def gap(head: _Head) -> float:
        return max(head.left - piece.right, piece.left - head.right)

    first, *others = sorted(heads, key=gap)
    # Of the heads on both sides, one that nothing stands under on the whole page is this column's.
    empty = [head for head in (first, *others[:1]) if head.reach[0] > head.reach[1]]
    if len(empty) == 1 and empty[0].field:
        return empty[0]
    # Twice as near is near enough where columns are wide and heads are short. Our habit.
    return first if not others or gap(others[0]) > 2 * gap(first) else None


def _with_reach(heads: Sequence[_Head], lines: Sequence[TextLine]) -> list[_Head]:
    """Return heads with how far their columns go, by the lines that are surely of goods."""
    reach: dict[_Head, tuple[float, float]] = {}
    for line in lines:
        over = [
            (piece, [head for head in heads if piece.left < head.right and head.left < piece.right])
            for piece in line.pieces
        ]
        if len(line.pieces) < 3 or not any(_is_quantity(piece.text) for piece in line.pieces):
            continue
        for piece, found in over:
            if len(found) == 1:
                left, right = reach.get(found[0], (math.inf, -math.inf))
                reach[found[0]] = min(left, piece.left), max(right, piece.right)
    return [replace(head, reach=reach.get(head, (math.inf, -math.inf))) for head in heads]


def _parted(piece: Piece, over: Sequence[_Head]) -> list[tuple[_Head, str]] | None:
    """Return the words of a piece by head, each run aligned with its head at one edge; None where one is not."""
    runs: list[tuple[_Head, list[Word]]] = []
    for word in piece.words:
        head = next((one for one in over if abs(one.left - word.left) <= ALIGNED_PT), None)
        head = head or next(
            (one for one in over if abs(one.right - word.right) <= ALIGNED_PT), None
        )
        if head is not None and (not runs or runs[-1][0] != head):
            runs.append((head, [word]))
        elif runs:
            runs[-1][1].append(word)
        else:
            return None
    if [head for head, _ in runs] != list(over):
        return None
    return [(head, " ".join(word.text for word in words)) for head, words in runs]


def _stand(line: TextLine) -> Stand:
    return Stand(line.page, line.line, line.text)
