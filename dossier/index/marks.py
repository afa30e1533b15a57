"""Lots whose marks were corrected after close-out, so that a recall finds them under both.

In: the record before and after each correction, and the rows made of the last. Out: a row more for each mark that
no longer stands, and on each row since when. A wrapper may carry either mark, until somebody has looked.
"""

from collections.abc import Iterator, Sequence

from dossier.index.card import Row
from dossier.index.lots import mark_key
from dossier.index.states import State
from dossier.index.text import iso, number, one_line
from dossier.record.materials import MaterialLine
from dossier.values import spelt

NO_LINE = -1
"""In place of a line's number, where the product of a lot that was taken away is on no line any more."""


def lots_of(line: MaterialLine) -> Iterator[tuple[str, str, str, str]]:
    """Yield mark, mark as it is compared, quantity and slopes of each lot of a line."""
    for lot in line.lots:
        mark = one_line(lot.mark)
        if mark:
            yield mark, mark_key(mark), number(lot.quantity), ", ".join(lot.slopes)


def marks_put_right(states: Sequence[State], tables: dict[str, list[Row]]) -> None:
    """Add a row for each mark that a correction took away, and say on each other row since when it stands."""
    if len(states) == 1:
        return
    products, lots = tables["product"], tables["lot"]
    marked = [_marked(state) for state in states]
    lines = {str(row[2]): place for place, row in reversed(list(enumerate(products)))}
    for at, row in enumerate(lots):
        key = (str(products[row[0]][2]), str(row[2]))
        since = next((n for n in range(len(states)) if all(key in one for one in marked[n:])), 0)
        if since:
            lots[at] = (*row[:-1], _began(states[since], str(row[1])))
    seen = set(marked[-1])
    for at, earlier in reversed(list(enumerate(marked[:-1]))):
        for key, lot in earlier.items():
            if key not in seen:
                seen.add(key)
                until = _ended(states[at + 1], lot[0])
                lots.append((lines.get(key[0], NO_LINE), *lot, until))


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


def _marked(state: State) -> dict[tuple[str, str], tuple[str, str, str, str]]:
    """Return each lot of one state of the record, by product and mark as they are compared."""
    deliveries = state.job.deliveries if state.job else ()
    lines = [line for delivery in deliveries for line in delivery.lines if one_line(line.product)]
    return {(spelt(one_line(line.product)), lot[1]): lot for line in lines for lot in lots_of(line)}
