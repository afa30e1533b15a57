"""What the bar codes in a job's photos seem to say of its products and lots, as proposals.

In: the record, its photos, the products by the numbers under their bar codes. Out: `Found`, beside the picture.
Must not write anything. A mark is proposed only for the one line of a delivery that it fits without a doubt.
"""

from collections import Counter
from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass
from pathlib import Path

from rapidfuzz.distance import OSA

from dossier.evidence import PHOTO_LIMIT_BYTES
from dossier.evidence.files import read
from dossier.gather.codes import Mark, marks_in, why_not_read
from dossier.gather.found import Found
from dossier.hand.means import Change
from dossier.reading.model import Read
from dossier.reading.typed import Value
from dossier.record.job import Job
from dossier.record.materials import Delivery, Lot, MaterialLine
from dossier.said import Count, Listed, Number, Product, Said, joined, say
from dossier.values import clip, unit_for
from dossier.words import Source

Products = Mapping[str, Sequence[str]]
"""Names of the catalogue's products by their numbers of 14 digits."""


def found_in_marks(
    job: Read[Job], folder: Path, files: Sequence[str], products: Products
) -> tuple[Found, ...]:
    """Return what the bar codes in these files of the job seem to say, each once, by the first that shows it.

    Nothing where the packages that read them are not installed; `why_not_read` has the sentence.
    """
    if why_not_read() is not None:
        return ()
    read_so_far: dict[Mark, _Seen] = {}
    for file in files:
        data = read(folder, file, PHOTO_LIMIT_BYTES).data
        marks = marks_in(data) if data else ()
        for mark, together in _with_its_product(marks):
            read_so_far.setdefault(mark, _Seen(file, mark, together))
    added: Counter[_Place] = Counter()
    return tuple(
        found for seen in read_so_far.values() for found in _proposed(seen, job, products, added)
    )


@dataclass(frozen=True)
class _Seen:
    """A mark and the first picture of it. together: whether product and lot come from two codes."""

    file: str
    mark: Mark
    together: bool

    def found(
        self,
        what: Said,
        *,
        changes: tuple[Change, ...] = (),
        doubt: Said | None = None,
        known: bool = False,
    ) -> Found:
        return Found(self.file, 0, 0, self.mark.text, what, changes, doubt, known)


@dataclass(frozen=True)
class _Place:
    """One line of one delivery, both counted from 0."""

    delivery: Delivery
    line: MaterialLine
    at: tuple[int, int]

    @property
    def path(self) -> tuple[str, ...]:
        return ("deliveries", str(self.at[0]), "lines", str(self.at[1]), "lots")

    @property
    def name(self) -> Said:
        number = self.at[0] + 1
        if self.delivery.ticket:
            return say("ticket {ticket}", ticket=self.delivery.ticket)
        if self.delivery.source is Source.TICKET:
            return say("delivery {number}", number=number)
        return say("delivery {number}, {source}", number=number, source=self.delivery.source)

    @property
    def went_back(self) -> bool:
        return bool(self.line.quantity) and self.line.returned == self.line.quantity


def _with_its_product(marks: Sequence[Mark]) -> Iterator[tuple[Mark, bool]]:
    """Yield the marks of one picture; a lot that stands alone with the one product beside it, and True."""
    alone = [mark for mark in marks if mark.lot and not mark.gtin and not mark.wrong_gtin]
    others = [mark for mark in marks if mark.gtin]
    if len(alone) != 1 or len(others) != 1 or others[0].lot:
        yield from ((mark, False) for mark in marks)
        return
    lot, item = alone[0], others[0]
    yield (
        Mark(
            f"{item.text} {lot.text}",
            item.gtin,
            "",
            lot.lot,
            lot.made_on or item.made_on,
            lot.serial or item.serial,
            lot.count or item.count,
        ),
        True,
    )
    yield from ((mark, False) for mark in marks if mark not in (lot, item))


def _proposed(
    seen: _Seen, job: Read[Job], products: Products, added: Counter[_Place]
) -> Iterator[Found]:
    mark = seen.mark
    if not mark.says_what or not (mark.gtin or mark.wrong_gtin or mark.lot):
        yield seen.found(
            say("a mark that reads “{text}”", text=clip(mark.text)),
            doubt=say("It does not say what it is a number of, so nothing is proposed for it."),
        )
        return
    if not mark.gtin:
        why = (
            say(
                "The check digit of {number} does not fit its other digits: it was read or printed wrongly.",
                number=mark.wrong_gtin,
            )
            if mark.wrong_gtin
            else say("The mark names no product.")
        )
        yield seen.found(_what(mark, say("an unknown product")), doubt=why)
        return
    names = products.get(mark.gtin, ())
    if len(names) != 1:
        yield seen.found(
            _what(mark, say("a product with number {gtin}", gtin=mark.gtin)), doubt=_not_one(names)
        )
        return
    yield from _of_product(seen, names[0], job, added)


def _not_one(names: Sequence[str]) -> Said:
    if names:
        both = Listed(tuple(Product(name) for name in names))
        return say("The catalogues give this number to {both}.", both=both)
    return say(
        "No product of a catalogue has this number. Where you know whose it is, add it to that product’s gtins "
        "in its catalogue."
    )


def _what(mark: Mark, product: Said) -> Said:
    """Return the fact in words: the lot or the product alone, and what else the mark says."""
    more: list[Said] = []
    if mark.made_on:
        more.append(say("made {day}", day=mark.made_on))
    if mark.serial:
        more.append(say("serial {serial}", serial=mark.serial))
    if mark.count is not None:
        more.append(say("count {count}", count=mark.count))
    what = say("lot {lot} of {product}", lot=mark.lot, product=product) if mark.lot else product
    return say("{what} ({more})", what=what, more=Listed(tuple(more), ", ")) if more else what


def _of_product(
    seen: _Seen, product: str, job: Read[Job], added: Counter[_Place]
) -> Iterator[Found]:
    named = say("{product}", product=Product(product))
    every = list(_places(job.needed))
    places = [place for place in every if _key(place.line.product) == _key(product)]
    if not places:
        doubt = say("No delivery of this job has {product}.", product=Product(product))
        yield seen.found(_what(seen.mark, named), doubt=doubt)
        return
    if not seen.mark.lot:
        yield seen.found(_what(seen.mark, _on(named, places)), known=True)
        return
    lot = seen.mark.lot
    having = [place for place in places if _has(place.line, lot)]
    if having:
        yield seen.found(_what(seen.mark, _on(named, having)), known=True)
        return
    places = [place for place in places if not place.went_back] or places
    elsewhere = [place for place in every if _has(place.line, lot)]
    for place in places:
        looked = (
            _of_lines(places, named),
            _of_lot(place, lot, elsewhere),
            _of_line(place, job),
            _of_mark(seen, place),
        )
        doubts = [one for one in looked if one]
        yield seen.found(
            _what(seen.mark, _on(named, [place])),
            changes=(Change(_where(place, job, added[place]), _as_typed(lot, place, job)),),
            doubt=joined(doubts) if doubts else None,
        )
        added[place] += 1


def _on(product: Said, places: Sequence[_Place]) -> Said:
    names = tuple(dict.fromkeys(place.name for place in places))
    return say("{product} on {places}", product=product, places=Listed(names))


def _places(job: Job) -> Iterator[_Place]:
    for one, delivery in enumerate(job.deliveries):
        for two, line in enumerate(delivery.lines):
            yield _Place(delivery, line, (one, two))


# --- doubts -------------------------------------------------------------------------------------


def _of_lines(places: Sequence[_Place], product: Said) -> Said | None:
    if len(places) == 1:
        return None
    count = Count(len(places), "line")
    return say(
        "{product} stands on {count}; the mark does not say on which.", product=product, count=count
    )


def _of_lot(place: _Place, lot: str, elsewhere: Sequence[_Place]) -> Said | None:
    if elsewhere:
        other = elsewhere[0]
        return say(
            "The record has this lot for {other} on {place}.",
            other=Product(other.line.product),
            place=other.name,
        )
    near = next((one.mark for one in place.line.lots if _nearly(one.mark, lot)), None)
    if near is None:
        return None
    return say("The record has lot {near}, nearly the same: look which is right.", near=near)


def _of_line(place: _Place, job: Read[Job]) -> Said | None:
    reason = job.lines.reason_not(".".join(place.path))
    if reason is not None:
        return say("The record says that lots do not apply here: {reason}", reason=reason)
    if place.went_back:
        return say("All of it went back.")
    counted = [lot.quantity for lot in place.line.lots]
    came = place.line.quantity
    if came and counted and None not in counted and sum(filter(None, counted)) >= came:
        return say(
            "The lots on record make up all {came} that came.",
            came=Number(came, unit_for(came, place.line.unit), 2),
        )
    return None


def _of_mark(seen: _Seen, place: _Place) -> Said | None:
    if seen.together:
        return say(
            "Product and lot stand in two bar codes of this picture: look whether they belong together."
        )
    made, came = seen.mark.made_on, place.delivery.on
    if made and came and made > came:
        return say(
            "It was made on {made}, after this delivery came on {came}.", made=made, came=came
        )
    return None


def _has(line: MaterialLine, lot: str) -> bool:
    return any(_key(one.mark) == _key(lot) for one in line.lots)


def _nearly(one: str, other: str) -> bool:
    """Return whether two marks differ by one character or two neighbours, or by dashes and zeros in front."""
    short, long = (
        _key(text).replace("-", "").replace(" ", "").lstrip("0") for text in (one, other)
    )
    return short == long or OSA.distance(_key(one), _key(other), score_cutoff=1) <= 1


def _key(text: str) -> str:
    return " ".join(text.split()).casefold()


# --- what is written ----------------------------------------------------------------------------


def _not_applicable(place: _Place, job: Read[Job]) -> bool:
    return job.lines.reason_not(".".join(place.path)) is not None


def _where(place: _Place, job: Read[Job], added: int) -> tuple[str, ...]:
    """Return where a lot goes: behind those on record and so many others that are proposed."""
    # “n/a, REASON” is no list that an entry could be added to: the whole value is set.
    if _not_applicable(place, job):
        return place.path
    return (*place.path, str(len(place.line.lots) + added))


def _as_typed(lot: str, place: _Place, job: Read[Job]) -> Value:
    """Return a lot as one word where that reads back as just this lot, else as a group."""
    try:
        plain = Lot.model_validate(lot) == Lot(mark=lot)
    except ValueError:
        plain = False
    value: Value = lot if plain else {"mark": lot}
    return [value] if _not_applicable(place, job) else value
