"""Sections through the eaves: this roof's layers by product, and how far its ice barrier reaches.

In: a case and its assessment. Out: one drawing for each kind of eave on record, with its notes. Must not draw
what is not on record: a layer, a wall or a reach that nobody wrote down is named in a note instead.
"""

import re
from collections.abc import Iterator
from dataclasses import dataclass, replace
from fractions import Fraction

from dossier.assess.results import Assessment, RoofEdge, SlopeResult
from dossier.case.case import Case, Material
from dossier.compose.drawings.edge_drawing import Drawn, EdgeDrawing, EdgeShape, edge_drawing
from dossier.compose.parts.layers import deck_words
from dossier.record.roof import Slope
from dossier.values import clip, listed, plural, write_inches
from dossier.words import EdgeKind, Phase, Role, WallDatum

_UNSAID = {
    "barrier": "where the ice barrier ends",
    "sheet": "how far the underlayment runs over the ice barrier",
    "drip": "where the drip edge lies among the layers",
}
"""What a layer in broken lines means, by its kind."""

MOST_SECTIONS = 4
"""Kinds of eave that are drawn; the notes name the slopes of any more."""

LOW_SLOPE_IN_12 = Fraction(2)
"""Below 2:12 shingles may not lie. Source: IRC R905.2.2."""

_LABEL_LETTERS, _SLOPES_NAMED = 26, 6


@dataclass(frozen=True)
class EdgeSection:
    """One section. title: its heading. says: the drawing in words. notes: what it shows and leaves out."""

    title: str
    says: str
    drawing: EdgeDrawing
    notes: tuple[str, ...]


@dataclass(frozen=True)
class _Kind:
    """What decides how an eave is drawn; slopes that are equal in it share one section."""

    shape: EdgeShape
    notes: tuple[str, ...]


def edge_sections(case: Case, assessment: Assessment) -> tuple[EdgeSection, ...]:
    """Return a section for each kind of eave, in the record's order; none where no pitch is on record."""
    kinds: dict[_Kind, list[Slope]] = {}
    # By place and not by label, which may read otherwise for this reader than in the assessment.
    for slope, result in zip(case.job.slopes, assessment.slopes, strict=True):
        if result.edge is not None:
            kinds.setdefault(_kind(case, slope, result, result.edge), []).append(slope)
    every = list(kinds.items())
    sections = [_section(case, kind, slopes) for kind, slopes in every[:MOST_SECTIONS]]
    left_out = [slope.label for _, slopes in every[MOST_SECTIONS:] for slope in slopes]
    if left_out:
        note = f"Not drawn, for room: the eave of {_named(left_out)}."
        sections[-1] = replace(sections[-1], notes=(*sections[-1].notes, note))
    return tuple(sections)


def _named(labels: list[str]) -> str:
    clipped = [clip(label, _LABEL_LETTERS) for label in labels[:_SLOPES_NAMED]]
    if len(labels) > _SLOPES_NAMED:
        clipped.append(f"{len(labels) - _SLOPES_NAMED} more")
    return f"slope {clipped[0]}" if len(labels) == 1 else f"slopes {listed(clipped)}"


def _kind(case: Case, slope: Slope, result: SlopeResult, edge: RoofEdge) -> _Kind:
    layers, missing = _layers(case, slope, edge)
    reach = result.reach
    asked_in = reach.required_in if reach and reach.status == "required" else None
    shape = EdgeShape(edge, asked_in, _at_least(edge, result), layers)
    notes = [*_reach_notes(case, edge, result), *_wall_notes(slope, shape)]
    broken = ["the wall’s thickness"] if shape.walled and edge.wall_in is None else []
    for one in layers:
        if one.broken:
            broken.append(_UNSAID[one.kind])
    if broken:
        notes.append(f"In broken lines, since it is not on record: {listed(broken)}.")
    if edge.whole and slope.underlayment_layers is None:
        notes.append("Whether underlayment lies over the ice barrier here is not on record.")
    if missing:
        notes.append(f"Not on record, and so not drawn: {listed(list(missing))}.")
    return _Kind(shape, tuple(notes))


def _section(case: Case, kind: _Kind, slopes: list[Slope]) -> EdgeSection:
    drawing = edge_drawing(kind.shape)
    named = _named([slope.label for slope in slopes])
    in_order = [one for one in kind.shape.layers if not (one.kind == "drip" and one.broken)]
    apart = [one for one in kind.shape.layers if one not in in_order]
    says = f"Section through the eave of {named}. From the deck up: {_told(in_order)}."
    if apart:
        says += f" Also: {_told(apart)}."
    notes = list(kind.notes)
    if _is_repaired(case, slopes):
        notes.append("Repairs of the deck are told under “What we found under the old roof”.")
    notes.append(
        f"Drawn {drawing.scale} at full size, the layers apart and thicker than they are; rafters, ceiling and "
        "fascia left out."
    )
    return EdgeSection(f"At the eave of {named}", says, drawing, tuple(notes))


def _told(layers: list[Drawn]) -> str:
    return "; ".join(f"{one.name}, {one.product}" for one in layers)


def _is_repaired(case: Case, slopes: list[Slope]) -> bool:
    """Return whether a repair lies on one of the slopes whose deck was not renewed whole."""
    labels = {slope.label for slope in slopes}
    for deck in case.job.decks:
        if deck.renewed:
            labels -= set(deck.slopes) or labels
    return any(repair.slope in labels for repair in case.job.repairs)


def _reach_notes(case: Case, edge: RoofEdge, result: SlopeResult) -> Iterator[str]:
    """Yield how far the barrier was laid and how far it was asked to reach; no verdict."""
    if edge.laid_in == 0:
        yield "Ice barrier laid: none at this eave, by the record."
    elif edge.whole:
        yield "Ice barrier laid: the whole slope."
    elif edge.laid_in is not None and not edge.measured:
        far, courses = write_inches(edge.laid_in), plural(result.barrier_courses or 0, "course")
        yield f"Ice barrier laid: {courses} of the roll on record, so {far} at most; not measured."
    elif edge.laid_in is not None and edge.length_in is not None and edge.laid_in > edge.length_in:
        laid, own = write_inches(edge.laid_in), write_inches(edge.length_in)
        yield f"Ice barrier laid: {laid} by the record, more than the {own} of the slope itself."
    elif edge.laid_in is not None:
        text = f"Ice barrier laid: {write_inches(edge.laid_in)} up the slope"
        if edge.inside_wall_in is not None:
            word = "inside" if edge.inside_wall_in >= 0 else "short of"
            level = write_inches(abs(edge.inside_wall_in))
            text += f"; its end is {level} {word} the wall line, measured level"
        yield f"{text}."
    reach = result.reach
    if reach is None or reach.status == "not required":
        return
    if reach.status == "cannot tell" or reach.required_in is None:
        yield f"How far it was asked to reach cannot be told; needed: {listed(list(reach.needs))}."
        return
    far = write_inches(reach.required_in)
    whole = "the whole slope, " if reach.capped else ""
    least, more = "", ""
    if _at_least(edge, result):
        least, more = "at least ", ", and more by the wall’s thickness"
    source = case.locality.ice_barrier.source
    yield f"Asked for: {least}{whole}{far} up the slope{more} ({source}, by geometry)."


def _at_least(edge: RoofEdge, result: SlopeResult) -> bool:
    """Return whether the reach asked for was worked out for the thinnest wall, since none is on record."""
    reach = result.reach
    return bool(
        reach
        and reach.status == "required"
        and not reach.capped
        and edge.wall_line == WallDatum.INSIDE_FACE.value
        and edge.wall_in is None
    )


def _wall_notes(slope: Slope, shape: EdgeShape) -> Iterator[str]:
    edge = shape.edge
    if not edge.wall:
        yield "No wall stands below this eave."
        return
    if edge.overhang_in is None:
        yield "The overhang is not on record, so the wall is not drawn."
        return
    if not shape.walled:
        yield "By the record the wall stands beyond the top of this slope; it is not drawn."
        return
    if len(slope.eaves) > 1:
        yield f"Drawn for the widest overhang on record of its {len(slope.eaves)} eaves."


def _layers(case: Case, slope: Slope, edge: RoofEdge) -> tuple[tuple[Drawn, ...], tuple[str, ...]]:
    """Return the layers at this eave from the deck up, and the names of those not on record."""
    missing: list[str] = []
    sheets = [_underlayment(case, slope, edge)]
    barrier = _barrier(case, slope, edge)
    if barrier is None and edge.laid_in is None and not edge.whole:
        asked = case.locality.ice_barrier.required
        if asked or case.materials_of(Role.ICE_BARRIER):
            missing.append("how far the ice barrier reaches")
    if _laid_before(case, slope, Phase.UNDERLAYMENT, Phase.ICE_BARRIER):
        # Then the underlayment lies whole, and the barrier on it.
        sheets = [one and replace(one, broken=False, broken_to_in=Fraction(0)) for one in sheets]
        sheets.append(barrier)
    else:
        sheets.insert(0, barrier)
    drawn = [Drawn("deck", "Deck", _deck(case, slope)), *(one for one in sheets if one)]
    if not edge.whole and _layers_of_underlayment(case, slope, edge) is None:
        missing.append("underlayment on this slope")
    laid = case.job.installation
    if laid and EdgeKind.EAVES in laid.drip_edge_at:
        place = _drip_edge_place(case, slope, drawn)
        products = _products(case, slope, Role.DRIP_EDGE)
        layer = Drawn("drip", "Drip edge", products, broken=place is None)
        drawn.insert(place or 1, layer)
    else:
        missing.append("drip edge at the eave")
    flat = edge.pitch_in_12 < LOW_SLOPE_IN_12
    if flat and case.materials_of(Role.LOW_SLOPE_MEMBRANE):
        products = _products(case, slope, Role.LOW_SLOPE_MEMBRANE)
        drawn.append(Drawn("membrane", "Low-slope membrane", products))
        return tuple(drawn), tuple(missing)
    if laid and EdgeKind.EAVES in laid.starter_at:
        drawn.append(Drawn("starter", "Starter", _products(case, slope, Role.STARTER)))
    else:
        missing.append("starter at the eave")
    if flat or not case.materials_of(Role.FIELD_SHINGLE):
        missing.append("what covers this slope")
    else:
        products = _products(case, slope, Role.FIELD_SHINGLE)
        drawn.append(Drawn("shingles", "Field shingle", products))
    return tuple(drawn), tuple(missing)


def _products(case: Case, slope: Slope, role: Role) -> str:
    """Return the products of a role by name, but for one whose every lot lies on other slopes.

    A drip edge that is named for rakes and not for eaves lies at the rakes.
    """
    materials = [one for one in case.materials_of(role) if _may_lie_on(slope, one)]
    names = sorted({one.name for one in materials})
    if role is Role.DRIP_EDGE:
        at_rakes = [name for name in names if _is_word("rake", name) and not _is_word("eave", name)]
        names = [name for name in names if name not in at_rakes] or names
    return listed(names) if names else "product not on record"


def _may_lie_on(slope: Slope, material: Material) -> bool:
    lots = material.line.lots
    return not lots or any(not lot.slopes or slope.label in lot.slopes for lot in lots)


def _is_word(word: str, name: str) -> bool:
    return re.search(rf"\b{word}s?\b", name, re.IGNORECASE) is not None


def _deck(case: Case, slope: Slope) -> str:
    decks = [deck for deck in case.job.decks if not deck.slopes or slope.label in deck.slopes]
    return "; ".join(deck_words(deck) for deck in decks) if decks else "kind not on record"


def _barrier(case: Case, slope: Slope, edge: RoofEdge) -> Drawn | None:
    if not edge.whole and not edge.laid_in:
        return None
    products = _products(case, slope, Role.ICE_BARRIER)
    if edge.whole or edge.laid_in is None:
        return Drawn("barrier", "Ice barrier", products)
    broken = None if edge.measured else edge.laid_in
    return Drawn(
        "barrier", "Ice barrier", products, edge.laid_in, broken is not None, broken or Fraction(0)
    )


def _layers_of_underlayment(case: Case, slope: Slope, edge: RoofEdge) -> int | None:
    layers = slope.underlayment_layers
    if layers is None and case.job.installation and not edge.whole:
        layers = case.job.installation.underlayment_layers
    return layers


def _underlayment(case: Case, slope: Slope, edge: RoofEdge) -> Drawn | None:
    """Return the underlayment; over the ice barrier it is broken, since nobody writes that lap down."""
    layers = _layers_of_underlayment(case, slope, edge)
    if not layers:
        return None
    name = "Underlayment" if layers == 1 else f"Underlayment, {plural(layers, 'layer')}"
    over = edge.laid_in if edge.laid_in and not edge.whole else None
    products = _products(case, slope, Role.UNDERLAYMENT)
    return Drawn("sheet", name, products, broken=over is not None, broken_to_in=over or Fraction(0))


def _laid_before(case: Case, slope: Slope, one: Phase, other: Phase) -> bool | None:
    """Return whether one phase of a slope was over before the other began; None where the log cannot tell.

    Only days that do not meet tell an order: a line of the work log lists phases in no order.
    """
    first, second = case.work_on(one, slope.label), case.work_on(other, slope.label)
    if not first or not second:
        return None
    if max(work.last for work in first) < min(work.first for work in second):
        return True
    if min(work.first for work in first) > max(work.last for work in second):
        return False
    return None


_PHASE_OF = {"barrier": Phase.ICE_BARRIER, "sheet": Phase.UNDERLAYMENT}


def _drip_edge_place(case: Case, slope: Slope, below: list[Drawn]) -> int | None:
    """Return where the drip edge lies among deck, barrier and underlayment; None where it is not on record."""
    place = 1
    for number, layer in enumerate(below[1:], start=2):
        over = _laid_before(case, slope, _PHASE_OF[layer.kind], Phase.DRIP_EDGE)
        if over is None or (over and place != number - 1):
            return None
        place = number if over else place
    return place if len(below) > 1 else None
