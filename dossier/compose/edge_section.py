"""Sections through the eaves: this roof's layers by product, and how far its ice barrier reaches.

In: a case and its assessment. Out: one drawing for each kind of eave on record, with its notes. Must not draw
what is not on record: a layer, a wall or a reach that nobody wrote down is named in a note instead.
"""

from collections.abc import Iterator
from dataclasses import dataclass, replace
from fractions import Fraction

from dossier.assess.results import Assessment, RoofEdge, SlopeResult
from dossier.case.case import Case
from dossier.compose.edge_drawing import Drawn, EdgeDrawing, EdgeShape, edge_drawing
from dossier.compose.layers import deck_words
from dossier.record.roof import Slope
from dossier.values import clip, listed, plural, write_inches
from dossier.words import EdgeKind, Phase, Role, WallDatum

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
    kinds: dict[_Kind, list[str]] = {}
    for slope in case.job.slopes:
        result = assessment.slope(slope.label)
        if result is not None and result.edge is not None:
            kind = _kind(case, slope, result, result.edge)
            kinds.setdefault(kind, []).append(slope.label)
    every = list(kinds.items())
    sections = [_section(kind, labels) for kind, labels in every[:MOST_SECTIONS]]
    left_out = [label for _, labels in every[MOST_SECTIONS:] for label in labels]
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
    notes = [*_reach_notes(edge, result), *_wall_notes(slope, shape)]
    if any(layer.broken for layer in layers):
        notes.append("Broken lines: the record does not say how the layer lies there.")
    if missing:
        notes.append(f"Not on record, and so not drawn: {listed(list(missing))}.")
    return _Kind(shape, tuple(notes))


def _section(kind: _Kind, labels: list[str]) -> EdgeSection:
    drawing = edge_drawing(kind.shape)
    layers = [
        f"{layer.name}, {layer.product}" if layer.product else layer.name
        for layer in kind.shape.layers
    ]
    says = f"Section through the eave of {_named(labels)}. From the deck up: {'; '.join(layers)}."
    scale = (
        f"Lengths are drawn {drawing.scale} at full size; the layers are drawn apart and thicker than they "
        "are. Rafters, ceiling and fascia are left out."
    )
    return EdgeSection(
        title=f"At the eave of {_named(labels)}",
        says=" ".join((says, *kind.notes)),
        drawing=drawing,
        notes=(*kind.notes, scale),
    )


def _reach_notes(edge: RoofEdge, result: SlopeResult) -> Iterator[str]:
    """Yield how far the barrier was laid and how far it was asked to reach; no verdict."""
    if edge.laid_in is not None:
        far = "the whole slope" if edge.whole else f"{write_inches(edge.laid_in)} up the slope"
        text = f"Ice barrier laid: {far} from the eave"
        if edge.inside_wall_in is not None and not edge.whole:
            word = "inside" if edge.inside_wall_in >= 0 else "short of"
            level = write_inches(abs(edge.inside_wall_in))
            text += f"; measured level, it ends {level} {word} the wall line"
        yield f"{text}."
    reach = result.reach
    if reach is None or reach.status == "not required":
        return
    if reach.status == "cannot tell" or reach.required_in is None:
        yield f"How far it was asked to reach cannot be told; needed: {listed(list(reach.needs))}."
        return
    far = write_inches(reach.required_in)
    whole = "the whole slope, " if reach.capped else ""
    least = "at least " if _at_least(edge, result) else ""
    yield f"Asked for: {least}{whole}{far} up the slope ({reach.working.source})."


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
    if edge.wall_in is None:
        yield "The wall’s thickness is not on record: its inside face is drawn in a broken line."
    if len(slope.eaves) > 1:
        yield "Drawn with the widest overhang and the thickest wall of its eaves."


def _layers(case: Case, slope: Slope, edge: RoofEdge) -> tuple[tuple[Drawn, ...], tuple[str, ...]]:
    """Return the layers at this eave from the deck up, and the names of those not on record."""
    drawn = [Drawn("deck", "Deck", _deck(case, slope))]
    missing: list[str] = []
    barrier = _barrier(case, edge)
    if barrier:
        drawn.append(barrier)
    elif case.materials_of(Role.ICE_BARRIER) or case.locality.ice_barrier.required:
        missing.append("how far the ice barrier reaches")
    sheet = _underlayment(case, slope, edge)
    if sheet:
        drawn.append(sheet)
    elif not edge.whole:
        missing.append("underlayment on this slope")
    laid = case.job.installation
    if laid and EdgeKind.EAVES in laid.drip_edge_at:
        place, broken = _drip_edge_place(case, slope, drawn)
        layer = Drawn("drip", "Drip edge", _products(case, Role.DRIP_EDGE), broken=broken)
        drawn.insert(place, layer)
    else:
        missing.append("drip edge at the eave")
    if case.materials_of(Role.LOW_SLOPE_MEMBRANE) and edge.pitch_in_12 < LOW_SLOPE_IN_12:
        products = _products(case, Role.LOW_SLOPE_MEMBRANE)
        drawn.append(Drawn("sheet", "Low-slope membrane", products))
        return tuple(drawn), tuple(missing)
    if laid and EdgeKind.EAVES in laid.starter_at:
        drawn.append(Drawn("starter", "Starter", _products(case, Role.STARTER)))
    else:
        missing.append("starter at the eave")
    drawn.append(Drawn("shingles", "Field shingle", _products(case, Role.FIELD_SHINGLE)))
    return tuple(drawn), tuple(missing)


def _products(case: Case, role: Role) -> str:
    """Return the products of a role by name; the record does not say which lies on which slope."""
    names = sorted({material.name for material in case.materials_of(role)})
    return listed(names) if names else "product not on record"


def _deck(case: Case, slope: Slope) -> str:
    decks = [deck for deck in case.job.decks if not deck.slopes or slope.label in deck.slopes]
    return "; ".join(deck_words(deck) for deck in decks) if decks else "kind not on record"


def _barrier(case: Case, edge: RoofEdge) -> Drawn | None:
    if edge.whole:
        return Drawn("barrier", "Ice barrier", _products(case, Role.ICE_BARRIER))
    if not edge.laid_in:
        return None
    return Drawn("barrier", "Ice barrier", _products(case, Role.ICE_BARRIER), to_in=edge.laid_in)


def _underlayment(case: Case, slope: Slope, edge: RoofEdge) -> Drawn | None:
    """Return the underlayment; over the ice barrier it is broken, since nobody writes that lap down."""
    layers = slope.underlayment_layers
    if layers is None and case.job.installation and not edge.whole:
        layers = case.job.installation.underlayment_layers
    if not layers:
        return None
    name = "Underlayment" if layers == 1 else f"Underlayment, {plural(layers, 'layer')}"
    over = edge.laid_in if edge.laid_in and not edge.whole else None
    return Drawn(
        "sheet",
        name,
        _products(case, Role.UNDERLAYMENT),
        broken=over is not None,
        broken_to_in=over or Fraction(0),
    )


def _drip_edge_place(case: Case, slope: Slope, below: list[Drawn]) -> tuple[int, bool]:
    """Return where the drip edge lies among the layers, and whether that is not on record.

    Only days that do not meet tell an order: a line of the work log lists phases in no order.
    """
    if not any(layer.kind == "barrier" for layer in below):
        return 1, True
    drip = case.work_on(Phase.DRIP_EDGE, slope.label)
    barrier = case.work_on(Phase.ICE_BARRIER, slope.label)
    if drip and barrier:
        if max(one.last for one in drip) < min(one.first for one in barrier):
            return 1, False
        if min(one.first for one in drip) > max(one.last for one in barrier):
            return 2, False
    return 1, True
