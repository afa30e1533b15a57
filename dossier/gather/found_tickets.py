"""A supplier's ticket as it was read into facts to agree to, each beside its line.

In: what is at hand. Out: `Found`. Must not write, nor read a paper. A ticket that the record has is compared
with it: what it says already is known, what it says otherwise is in doubt.
"""

from collections.abc import Iterator, Sequence
from dataclasses import replace

from dossier.gather.at_hand import AtHand, ReadPaper
from dossier.gather.found import Found
from dossier.gather.ticket_rows import Row, Stand, grouped, key_of, material_of
from dossier.gather.tickets import line_as_typed
from dossier.hand.means import Change
from dossier.reading.typed import Value
from dossier.record.materials import Delivery, MaterialLine
from dossier.said import Said, say
from dossier.values import unit_for


def found_on_tickets(at: AtHand) -> tuple[Found, ...]:
    """Return the lines of every ticket that was read, in their order."""
    found: list[Found] = []
    filed: dict[tuple[str, str], str] = {}
    for paper in at.papers:
        for delivery in paper.ticket.deliveries if paper.ticket else ():
            which = (key_of(delivery.ticket or ""), key_of(delivery.supplier or ""))
            first = filed.setdefault(which, paper.file)
            facts = _ticket(at, paper, delivery)
            if first == paper.file:
                found += facts
            else:
                again = say("{file} is a ticket of the same number", file=first)
                found += (replace(one, doubt=one.doubt or again) for one in facts if not one.known)
    return tuple(found)


def _ticket(at: AtHand, paper: ReadPaper, delivery: Delivery) -> Iterator[Found]:
    assert paper.ticket is not None
    rows = [row for row in paper.ticket.rows if row.ticket == delivery.ticket]
    before = paper.ticket.deliveries.index(delivery)
    place, old = _in_record(at, delivery) or (len(at.job.deliveries) + before, None)
    late = delivery.on is not None and delivery.on > at.today
    for one in _delivery(paper, delivery, rows, place, old):
        if late and not one.known and one.doubt is None:
            doubt = say("its day is later than today, {today}", today=at.today)
            yield replace(one, doubt=doubt)
        else:
            yield one


def _in_record(at: AtHand, delivery: Delivery) -> tuple[int, Delivery] | None:
    for number, old in enumerate(at.job.deliveries):
        same = not old.supplier or key_of(old.supplier) == key_of(delivery.supplier or "")
        if old.ticket and key_of(old.ticket) == key_of(delivery.ticket or "") and same:
            return number, old
    return None


def _delivery(
    paper: ReadPaper, delivery: Delivery, rows: Sequence[Row], place: int, old: Delivery | None
) -> Iterator[Found]:
    assert paper.ticket is not None
    assert delivery.ticket is not None
    at = ("deliveries", str(place))
    stands = (paper.ticket.ticket_at or {}).get(delivery.ticket, rows[0].stands[0])
    head = {"ticket": delivery.ticket, "supplier": delivery.supplier or ""}
    if delivery.on is not None:
        head["on"] = delivery.on.isoformat()
    head["file"] = paper.file
    what = say("ticket {number} of {supplier}", number=delivery.ticket, supplier=head["supplier"])
    if delivery.on is not None:
        what = say("{what}, delivered {on}", what=what, on=delivery.on)
    else:
        what = say("{what}; no day of delivery can be read on it", what=what)
    changes = tuple(Change((*at, name), value) for name, value in head.items())
    if old is None:
        yield _found(paper, stands, what, changes)
    else:
        yield from _head_against(paper, stands, head, old, at)
    lines = old.lines if old else ()
    added = len(lines)
    for group in grouped(rows).values():
        line = material_of(group)
        words = say("ticket {number}: {line}", number=delivery.ticket, line=_said(line))
        unsure = next((row.doubt for row in group if row.doubt), None)
        shown = _joined([stand for row in group for stand in row.stands])
        same = next((n for n, one in enumerate(lines) if _same_goods(one, line)), None)
        if same is not None:
            yield from _line_against(
                paper, shown, words, line, lines[same], (*at, "lines", str(same))
            )
            continue
        if old is not None and lines:
            unsure = unsure or say(
                "the record has ticket {ticket} without it", ticket=delivery.ticket
            )
        one = Change((*at, "lines", str(added)), line_as_typed(line))
        added += 1
        yield _found(paper, shown, words, (*(changes if old is None else ()), one), unsure)


def _head_against(
    paper: ReadPaper, stands: Stand, head: dict[str, str], old: Delivery, at: tuple[str, ...]
) -> Iterator[Found]:
    """Yield what the head of a ticket says beyond or against the record."""
    had = {
        "supplier": old.supplier,
        "on": old.on.isoformat() if old.on else None,
        "file": old.file,
    }
    names = {
        "supplier": say("ticket {number}: supplier", number=head["ticket"]),
        "on": say("ticket {number}: day of delivery", number=head["ticket"]),
        "file": say("ticket {number}: the paper on file", number=head["ticket"]),
    }
    for name, was in had.items():
        # A paper that carries the number in its name is found by it.
        by_number = was is None and head["ticket"].casefold() in paper.file.casefold()
        if name not in head or (name == "file" and by_number):
            continue
        what = say("{name} {value}", name=names[name], value=head[name])
        yield _against(paper, stands, what, was, head[name], (*at, name))


def _line_against(
    paper: ReadPaper,
    stands: Stand,
    words: Said,
    line: MaterialLine,
    old: MaterialLine,
    at: tuple[str, ...],
) -> Iterator[Found]:
    """Yield what one line of a ticket says beyond or against the line of the record."""
    quantity = None if old.quantity is None else str(old.quantity)
    assert line.quantity is not None
    yield _against(paper, stands, words, quantity, str(line.quantity), (*at, "quantity"))
    if not line.lots or {lot.mark for lot in line.lots} <= {lot.mark for lot in old.lots}:
        return
    lots: list[Value] = [
        f"{lot.mark} x {lot.quantity}" if lot.quantity else lot.mark for lot in line.lots
    ]
    doubt = None
    if old.lots:
        doubt = say("the record has {lots}", lots=", ".join(lot.mark for lot in old.lots))
    yield _found(
        paper, stands, say("{words}: its lots", words=words), (Change((*at, "lots"), lots),), doubt
    )


def _against(
    paper: ReadPaper, stands: Stand, what: Said, was: str | None, value: str, path: tuple[str, ...]
) -> Found:
    change = (Change(path, value),)
    if was is None:
        return _found(paper, stands, what, change)
    if key_of(was) == key_of(value):
        return Found(paper.file, stands.page, stands.line, stands.words, what, (), known=True)
    return _found(paper, stands, what, change, say("the record has {was}", was=was))


def _same_goods(one: MaterialLine, line: MaterialLine) -> bool:
    colours = not one.colour or not line.colour or key_of(one.colour) == key_of(line.colour)
    return key_of(one.product) == key_of(line.product) and colours


def _said(line: MaterialLine) -> Said:
    assert line.quantity is not None
    parts = say(
        "{quantity} {unit} {product}",
        quantity=str(line.quantity),
        unit=unit_for(line.quantity, line.unit),
        product=line.product,
    )
    if line.colour:
        parts = say("{line}, colour {colour}", line=parts, colour=line.colour)
    if line.lots:
        lots = "; ".join(
            f"{lot.mark} x {lot.quantity}" if lot.quantity else lot.mark for lot in line.lots
        )
        word = "lot" if len(line.lots) == 1 else "lots"
        return say("{line}, {word} {lots}", line=parts, word=word, lots=lots)
    return parts


def _joined(stands: Sequence[Stand]) -> Stand:
    """Return several lines as one, at the place of the first."""
    first = stands[0]
    return Stand(first.page, first.line, "\n".join(one.words for one in stands))


def _found(
    paper: ReadPaper,
    stands: Stand,
    what: Said,
    changes: tuple[Change, ...],
    doubt: Said | None = None,
) -> Found:
    return Found(paper.file, stands.page, stands.line, stands.words, what, changes, doubt)
