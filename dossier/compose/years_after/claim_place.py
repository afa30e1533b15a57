"""What was built at one place, in words: the layers from the deck up, who looked at them, the deck below.

In: a case filtered for its reader and what the record holds on the place. Out: rows of ready-to-print
strings. Must not say that a product lies where the record does not tie it to the slope.
"""

from dataclasses import dataclass, replace

from dossier.assess.place import LayerThere, LookedAt, PlaceAnswer, Tie
from dossier.case.case import Case
from dossier.compose.parts import roof_pages
from dossier.compose.parts.layers import NONE_ON_RECORD, made_by, quantity_of
from dossier.compose.parts.shared import Pair, capital, day, days
from dossier.values import listed, plural


@dataclass(frozen=True)
class LayerRow:
    """One product that may lie at the place."""

    role: str
    product: str
    made_by: str
    lots: str
    backing: str
    proof: str


@dataclass(frozen=True)
class WorkRow:
    """One phase on this slope: when, and who looked at it."""

    phase: str
    when: str
    checked: str


def layer_rows(case: Case, place: PlaceAnswer) -> tuple[LayerRow, ...]:
    """Return the deck as it was found, and every product that may lie on it."""
    deck = tuple(
        LayerRow(
            role=pair.label,
            product=pair.text,
            made_by="",
            lots=NONE_ON_RECORD,
            backing=place.deck_seen.value,
            proof="seen before it was covered" if place.deck_seen.value != "absent" else "",
        )
        for pair in roof_pages.deck_pairs(_of_the_place(case, place))
    )
    return (*deck, *(_layer(case, one) for one in place.layers))


def _of_the_place(case: Case, place: PlaceAnswer) -> Case:
    """Return the case with the deck and the repairs of this place alone."""
    decks = case.job.decks
    if place.deck is not None:
        decks = tuple(deck for deck in decks if deck == place.deck)
    narrowed = with_repairs(case, place)
    return replace(narrowed, job=narrowed.job.model_copy(update={"decks": decks}))


def with_repairs(case: Case, place: PlaceAnswer) -> Case:
    """Return the case with the deck repairs that may lie on this slope alone."""
    slope = place.asked.slope
    kept = tuple(one for one in case.job.repairs if slope is None or one.slope in (None, slope))
    return replace(case, job=case.job.model_copy(update={"repairs": kept}))


def _layer(case: Case, one: LayerThere) -> LayerRow:
    material = one.material
    marks = listed([lot.mark for lot in one.lots])
    lots = f"{marks}; {one.tie.value}"
    if one.tie is Tie.NONE:
        lots = one.tie.value if material.carries_lot else NONE_ON_RECORD
    shown = {paper.file for paper in case.papers}
    papers = {r.text for r in one.references if r.kind == "paper"}
    proof = [file.removeprefix("papers/") for file in sorted(papers & shown)]
    # A paper that this reader may not see is counted and not named.
    kept = len(papers - shown)
    proof += [f"{plural(kept, 'paper')} kept at the office"] if kept else []
    photos = sum(1 for r in one.references if r.kind == "photo")
    proof += [f"{plural(photos, 'photo')} of its phase"] if photos else []
    return LayerRow(
        role=capital(one.role.value),
        product=material.name,
        made_by=f"{made_by(material)}; {quantity_of(material)} for the whole roof",
        lots=lots,
        backing=one.backing.value,
        proof="; ".join(proof),
    )


def work_row(one: LookedAt) -> WorkRow:
    """Return one phase in words."""
    checked = "nobody on record"
    if one.checked_by:
        checked = f"{one.checked_by}, {day(one.checked_on)}"
    return WorkRow(capital(one.phase.value), days(one.first, one.last), checked)


def deck_pairs(case: Case, place: PlaceAnswer) -> tuple[Pair, ...]:
    """Return the deck below a place in words, and who saw it before it was covered."""
    seen = {
        "reviewed": "Seen bare, and a named person noted what the photo shows.",
        "on file": "A photo of the bare deck is on file; nobody’s look at it is noted.",
        "stated": "The record says it was looked at; no photo of it opens.",
        "absent": "That anybody saw it bare is not on record.",
    }[place.deck_seen.value]
    pairs = [
        *roof_pages.deck_pairs(_of_the_place(case, place)),
        Pair("Before it was covered", seen),
    ]
    if place.membrane_left:
        pairs.append(
            Pair("Not seen", "Old membrane stayed on this deck; the wood below it was not seen.")
        )
    return tuple(pairs)
