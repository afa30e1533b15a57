"""Lots whose marks were corrected after close-out, so that a recall finds them under both.

In: the record before and after each correction, and the rows made of the last. Out: a row more for each mark that
no longer stands, and on each row since when. A wrapper may carry either mark, until somebody has looked.
"""

from collections.abc import Iterator
from dataclasses import dataclass

from dossier.index.fields import Making, Reader, iso, words_in
from dossier.index.lots import mark_key
from dossier.index.plain import Plain
from dossier.index.sheets import key_of
from dossier.index.states import State
from dossier.record.materials import Delivery, Lot, MaterialLine

NO_LINE = -1
"""In place of a line's number, where the product of a lot that was taken away is on no line any more."""


@dataclass(frozen=True)
class _Marked:
    """One lot of one state of the record."""

    product: str
    mark: str
    quantity: str
    slopes: str

    @property
    def key(self) -> tuple[str, str]:
        """Return product and mark as they are compared."""
        return key_of(self.product), mark_key(self.mark)


def marks_put_right(states: list[State], making: Making) -> None:
    """Add a row for each mark that a correction took away, and say on each other row since when it stands."""
    if len(states) == 1:
        return
    marked = [{one.key: one for one in _lots(state.record)} for state in states]
    now = marked[-1]
    lines = {str(row[2]): place for place, row in reversed(list(enumerate(making.products)))}
    for at, row in enumerate(making.lots):
        key = (str(making.products[row[0]][2]), str(row[2]))
        since = next((n for n in range(len(states)) if all(key in one for one in marked[n:])), 0)
        if since:
            making.lots[at] = (*row[:-1], _began(states[since], str(row[1])))
    seen = set(now)
    for number, lots in reversed(list(enumerate(marked[:-1]))):
        for key, lot in lots.items():
            if key not in seen:
                seen.add(key)
                until = _ended(states[number + 1], lot.mark)
                place = lines.get(key[0], NO_LINE)
                making.lots.append((place, lot.mark, key[1], lot.quantity, lot.slopes, until))


def _began(state: State, mark: str) -> str:
    on, said = iso(state.on), state.correction
    if said is not None and said.right == mark and said.was:
        return f"{said.was} until corrected {on}"
    return f"since corrected {on}"


def _ended(state: State, mark: str) -> str:
    on, said = iso(state.on), state.correction
    if said is not None and said.was == mark and said.right:
        return f"corrected to {said.right} {on}"
    return f"taken out by a correction {on}"


def _lots(record: Plain) -> Iterator[_Marked]:
    # What cannot be read here was named when the rows were made.
    reader = Reader("")
    for delivery in reader.groups(record, "deliveries", Delivery):
        for line in reader.groups(delivery, "lines", MaterialLine):
            product = reader.text(line, "product")
            for lot in reader.groups(line, "lots", Lot):
                mark = reader.text(lot, "mark")
                if mark and product:
                    slopes = ", ".join(words_in(lot.get("slopes")))
                    yield _Marked(product, mark, reader.number(lot, "quantity"), slopes)
