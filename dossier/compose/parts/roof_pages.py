"""The roof in words: slopes, how it was laid, what was found below, who did it, under which permit.

In: a case and its assessment. Out: frozen rows of ready-to-print strings. Must not print a price, and
must not compute an area: those stand in the assessment.
"""

from collections.abc import Iterator
from dataclasses import dataclass
from fractions import Fraction

from dossier.assess.barrier import barrier_words
from dossier.assess.repairs import what_was_done
from dossier.assess.results import Assessment
from dossier.case.case import Case
from dossier.compose.parts.layers import has_repairs
from dossier.compose.parts.photographs import PAIR_MM, Album, Shot
from dossier.compose.parts.shared import (
    NOT_CONFIRMED,
    NOT_ON_RECORD,
    NOT_SHOWN,
    Pair,
    Ref,
    area,
    blank,
    capital,
    day,
    days,
    feet,
    said,
    signed,
)
from dossier.record.closing import inspection_asked
from dossier.record.roof import Deck, Repair, Slope
from dossier.record.signed import Signed
from dossier.record.work import FlueLook
from dossier.values import listed, plural, write_date, write_inches, write_number
from dossier.words import AtticKind, Edition, Phase, Redecked, Role

_FACING = {
    "N": "north",
    "NE": "north-east",
    "E": "east",
    "SE": "south-east",
    "S": "south",
    "SW": "south-west",
    "W": "west",
    "NW": "north-west",
}


@dataclass(frozen=True)
class SlopeRow:
    """One slope, or the whole roof. seen, worked_out: numbers of the look at its deck and of its figures, where
    there is an index.
    """

    label: str
    faces: str
    pitch: str
    area: str
    edges: str
    on_it: str
    seen: tuple[Ref, ...] = ()
    worked_out: tuple[Ref, ...] = ()
    whole: bool = False


@dataclass(frozen=True)
class LogRow:
    """One line of the work log."""

    when: str
    phases: str
    slopes: str
    checked: str


@dataclass(frozen=True)
class RepairRow:
    """One repair of the deck with its photos. no_before, no_after: words in place of a photo."""

    title: str
    pairs: tuple[Pair, ...]
    before: Shot | None
    after: Shot | None
    no_before: str
    no_after: str


@dataclass(frozen=True)
class RepairLine:
    """One repair of the deck in a line, without photos."""

    title: str
    place: str
    done: str
    cause: str


@dataclass(frozen=True)
class InspectionRow:
    """One inspection by the permit office."""

    kind: str
    on: str
    result: str
    by: str


def slope_rows(case: Case, assessment: Assessment) -> tuple[SlopeRow, ...]:
    """Return the slopes with their figures from the assessment, and a last row for the whole roof."""
    rows = []
    # By place and not by label, which may read otherwise for this reader than in the assessment.
    for slope, result in zip(case.job.slopes, assessment.slopes, strict=True):
        edges = (
            ("eave", result.eave_ft),
            ("rakes", result.rake_ft),
            ("ridge", slope.ridge_ft),
            ("hips", slope.hip_ft),
            ("valleys", slope.valley_ft),
            ("along walls", slope.step_flashing_ft),
        )
        rows.append(
            SlopeRow(
                label=slope.label,
                faces=facing(slope.faces),
                pitch=str(slope.pitch) if slope.pitch else NOT_ON_RECORD,
                area=area(result.area_sqft),
                edges="; ".join(f"{name} {feet(ft)}" for name, ft in edges if ft) or NOT_ON_RECORD,
                on_it=_on_slope(slope),
            )
        )
    if len(rows) > 1:
        total = area(assessment.totals.area_sqft)
        around = _total_edges(assessment)
        rows.append(SlopeRow("Whole roof", "", "", total, around, "", whole=True))
    return tuple(rows)


def _total_edges(assessment: Assessment) -> str:
    totals = assessment.totals
    edges = (
        ("eaves", totals.eave_ft),
        ("rakes", totals.rake_ft),
        ("ridges", totals.ridge_ft),
        ("hips", totals.hip_ft),
        ("valleys", totals.valley_ft),
    )
    return "; ".join(f"{name} {feet(ft)}" for name, ft in edges if ft)


def facing(word: str | None) -> str:
    """Return the compass direction in full where it is one of the eight, else as typed."""
    return NOT_ON_RECORD if word is None else _FACING.get(word.strip().upper(), word)


def _on_slope(slope: Slope) -> str:
    parts = []
    if slope.penetrations:
        parts.append(plural(slope.penetrations, "pipe or vent", "pipes or vents"))
    if slope.skylights:
        parts.append(plural(slope.skylights, "skylight"))
    if slope.chimneys:
        parts.append(plural(len(slope.chimneys), "chimney"))
    return ", ".join(parts) or "nothing noted"


def how_laid(case: Case) -> tuple[Pair, ...]:
    """Return how the roof was laid, by the record; a blank is said to be one."""
    laid = case.job.installation
    nails = laid.nails_per_shingle if laid else None
    kind = laid.fastener if laid else None
    length = laid.fastener_length_in if laid else None
    nail_text = f"{nails} in each shingle"
    if nails is None:
        nail_text = blank(case, "installation.nails_per_shingle")
    if kind:
        nail_text += f", {kind}"
    if length is not None:
        nail_text += f", {write_inches(length)}"
    underlay = laid.underlayment_layers if laid else None
    pairs = [
        Pair("Ice barrier", str(barrier_words(case) or NOT_ON_RECORD)),
        Pair(
            "Underlayment",
            blank(case, "installation.underlayment_layers")
            if underlay is None
            else plural(underlay, "layer"),
        ),
        Pair("Drip edge at", _edges(case, "drip_edge_at")),
        Pair("Starter at", _edges(case, "starter_at")),
        Pair("Nails", nail_text),
        Pair("Flashing", laid.flashing.value if laid and laid.flashing else NOT_ON_RECORD),
    ]
    if laid and laid.valley_method:
        pairs.append(Pair("Valleys", laid.valley_method.value))
    if laid and laid.lowest_air_f is not None:
        cold = f"{write_number(laid.lowest_air_f, 0)} °F ({celsius(laid.lowest_air_f)} °C)"
        if laid.hand_sealed:
            cold += "; shingles were sealed by hand"
        pairs.append(Pair("Coldest air while laying", cold))
    return tuple(pairs)


def celsius(fahrenheit: Fraction) -> str:
    """Return degrees Fahrenheit as whole degrees Celsius. Source: NIST SP 811, appendix B."""
    return write_number((fahrenheit - 32) * Fraction(5, 9), 0)


def _edges(case: Case, field: str) -> str:
    laid = case.job.installation
    edges: tuple[object, ...] = getattr(laid, field) if laid else ()
    return listed([str(edge) for edge in edges]) or blank(case, f"installation.{field}")


def deck_pairs(case: Case) -> tuple[Pair, ...]:
    """Return each deck in words: what it is, and how much of it is new."""
    pairs = []
    for deck in case.job.decks:
        where = f"Deck of slope {listed(list(deck.slopes))}" if deck.slopes else "Deck"
        pairs.append(Pair(where, _deck_text(deck, has_repairs(case, deck))))
    return tuple(pairs) or (Pair("Deck", NOT_ON_RECORD),)


def _deck_text(deck: Deck, repaired: bool) -> str:
    kind = deck.kind.value if deck.kind else "kind not on record"
    parts = [f"{kind}, {write_inches(deck.thickness_in)}" if deck.thickness_in else kind]
    if deck.span_rating:
        parts.append(f"rating {deck.span_rating}")
    if deck.rafter_spacing_in:
        parts.append(f"rafters every {write_inches(deck.rafter_spacing_in)}")
    if deck.largest_gap_in:
        parts.append(f"gaps of up to {write_inches(deck.largest_gap_in)} between boards")
    text = "; ".join(parts)
    new = deck.new_kind.value if deck.new_kind else "material not on record"
    if deck.new_thickness_in:
        new += f", {write_inches(deck.new_thickness_in)}"
    if deck.new_span_rating:
        new += f", rating {deck.new_span_rating}"
    told = {
        Redecked.WHOLE: f"The whole deck was replaced: now {new}",
        Redecked.OVERLAID: f"The old deck was left and covered with a new one: {new}",
        Redecked.PART: "Part of it was replaced",
        Redecked.NO: (
            "Apart from the repairs listed below it was left in place"
            if repaired
            else "It was left in place"
        ),
        None: "How much of it was replaced is not on record",
    }[deck.redecked]
    if deck.renewed:
        return f"Before: {text}. {told}."
    return f"{capital(text)}. {told}."


def found_below(case: Case) -> tuple[Pair, ...]:
    """Return what lay on the deck before, and what came off."""
    head = case.job.job
    layers_found = (
        NOT_ON_RECORD if head.layers_found is None else plural(head.layers_found, "layer")
    )
    pairs = [Pair("Old covering", said(head.old_covering or head.old_covering_kind))]
    if head.layers_found is not None:
        pairs.append(Pair("Layers found", layers_found))
    came_off = head.scope.value if head.scope else NOT_ON_RECORD
    if head.layers_removed is not None:
        came_off += f", {plural(head.layers_removed, 'layer')} removed"
    if head.scope_reason:
        came_off += f" ({head.scope_reason})"
    pairs.append(Pair("What came off", came_off))
    unseen = [slope.label for slope in case.job.slopes if slope.old_membrane_left]
    if unseen:
        pairs.append(
            Pair(
                "Not seen",
                f"Old membrane stayed on the deck of slope {listed(unseen)}; "
                "the wood below it was not seen.",
            )
        )
    return tuple(pairs)


def repair_rows(case: Case, album: Album, edition: Edition) -> tuple[RepairRow, ...]:
    """Return the deck repairs with their photos, without prices."""
    return tuple(
        _repair(case, repair, number, album, edition)
        for number, repair in enumerate(case.job.repairs, start=1)
    )


def _repair(case: Case, repair: Repair, number: int, album: Album, edition: Edition) -> RepairRow:
    path = f"repairs.{number - 1}.approved"
    approved = signed(repair.approved)
    if path in case.derived:
        approved += ", by the change order"
    # The filter took the name out, and left the lines on which somebody typed one.
    if edition is Edition.RESALE and (case.lines.has(path) or path in case.derived):
        approved = NOT_SHOWN
    pairs = (
        Pair("Where", said(repair.place)),
        Pair("What was done", str(what_was_done(repair))),
        Pair("Cause", said(repair.cause)),
        Pair("Agreed for the owner", approved),
    )
    before = album.of_file(repair.photo_before, PAIR_MM)
    after = album.of_file(repair.photo_after, PAIR_MM)
    return RepairRow(
        title=f"Repair {number}, slope {said(repair.slope)}",
        pairs=pairs,
        before=before,
        after=after,
        no_before="" if before else "No photo from before this repair is on file.",
        no_after="" if after else "No photo from after this repair is on file.",
    )


def repair_lines(case: Case) -> tuple[RepairLine, ...]:
    """Return the deck repairs in a line each: slope, place, what was done, cause; no price."""
    return tuple(
        RepairLine(
            title=f"{number}, slope {said(repair.slope)}",
            place=said(repair.place),
            done=str(what_was_done(repair)),
            cause=said(repair.cause),
        )
        for number, repair in enumerate(case.job.repairs, start=1)
    )


def work_log(case: Case) -> tuple[LogRow, ...]:
    """Return the work log in the order in which it was written."""
    return tuple(_log_rows(case))


def _log_rows(case: Case) -> Iterator[LogRow]:
    for line in case.job.work:
        checked = "nobody on record"
        if line.checked_by:
            checked = f"{line.checked_by}, {day(line.checked_on or line.days.last)}"
        yield LogRow(
            when=days(line.days.first, line.days.last),
            phases=listed([phase.value for phase in line.phases]),
            slopes=listed(list(line.slopes)) or "all",
            checked=checked,
        )


def laid_by(case: Case) -> str:
    """Return who laid the roof: the company, and the companies of sub-crews working for it."""
    subs = listed(case.sub_crews)
    if not subs:
        return case.company.name
    if all(crew.company for crew in case.crews):
        return f"{subs} for {case.company.name}"
    return f"{case.company.name}, with {subs} for it"


def who(case: Case, makers: frozenset[str]) -> tuple[Pair, ...]:
    """Return who did the work and on whose behalf.

    makers: those of this roof's terms; a certification by another, or one that was not in force on all
    days of the work, says nothing of this roof and is left out.
    """
    company = case.company
    pairs = [Pair("Roofing company", said(company.name))]
    if company.address:
        pairs.append(Pair("Address", company.address))
    if company.licence:
        until = f", valid to {day(company.licence.valid_to)}" if company.licence.valid_to else ""
        pairs.append(Pair("Licence", f"{company.licence.number}{until}"))
    crew = blank(case, "job.crew")
    pairs.append(Pair("Supervised by", case.supervised_by.value if case.supervised_by else crew))
    pairs.append(Pair("Crew lead", case.crew_lead.value if case.crew_lead else crew))
    if case.sub_crews:
        of = "Crew of" if len(case.crews) == 1 else "Crews of"
        own = () if all(crew.company for crew in case.crews) else (company.name,)
        pairs.append(Pair(of, f"{listed((*own, *case.sub_crews))}, working for {company.name}"))
    first, last = case.first_day_of_work(), case.last_day_of_work()
    for maker in sorted(makers):
        held = [
            one
            for one in company.certifications
            if one.maker == maker
            and (
                first is None or last is None or (one.valid_from <= first and last <= one.valid_to)
            )
        ]
        for one in held:
            number = f", number {one.number}" if one.number else ""
            span = days(one.valid_from, one.valid_to)
            pairs.append(Pair("Certified as", f"{one.level} by {one.maker}{number}, {span}"))
        if not held:
            none = f"no certification by {maker} that was in force on the days of the work"
            pairs.append(Pair("Certified as", none))
    return tuple(pairs)


FLUES = "Flues and combustion vents connected, upright and open"


def after_work(case: Case) -> tuple[Pair, ...]:
    """Return what a named person looked at after the work; a blank is said to be one."""
    after = case.job.after_work
    pairs = [
        Pair(
            FLUES,
            _flues(after.flues if after else None),
        ),
        Pair("Bath, kitchen and dryer ducts led outdoors", signed(after.ducts if after else None)),
        *_boots(case),
        Pair("Baffles in place", _noted(after.baffles if after else None)),
        Pair("Ground swept for nails", _swept(case)),
    ]
    for attic in case.job.building.attics if case.job.building else ():
        if attic.kind is not AtticKind.UNVENTED and (attic.intake or attic.soffits_seen_clear):
            what = f"Vent openings under the eaves clear, attic {attic.space}"
            pairs.append(Pair(what, signed(attic.soffits_seen_clear)))
    if after and after.spring_bond_check:
        pairs.append(Pair("Shingles sealed, seen in spring", signed(after.spring_bond_check)))
    return tuple(pairs)


def _flues(look: FlueLook | None) -> str:
    if look is None or not look.by:
        return signed(look)
    return f"{signed(look)}; {look.licence or 'no licence for flues on record'}"


def _boots(case: Case) -> Iterator[Pair]:
    """Yield whether pipe boots were looked at; nothing where nobody noted it and no pipe is on record."""
    boots = case.job.after_work.boots if case.job.after_work else None
    piped = any(slope.penetrations for slope in case.job.slopes)
    if boots or piped or case.materials_of(Role.PIPE_BOOT):
        yield Pair("Pipe boots seated", _noted(boots))


def _noted(one: Signed | None) -> str:
    return "not noted separately" if one is None else signed(one)


def _swept(case: Case) -> str:
    """Return who swept the ground, else what the work log says of the clean-up."""
    after = case.job.after_work
    if after and after.magnet_sweep:
        return signed(after.magnet_sweep)
    cleaned = case.work_on(Phase.CLEAN_UP)
    if not cleaned:
        return NOT_ON_RECORD
    last = cleaned[-1]
    if not last.checked_by:
        return f"clean-up is in the work log, {write_date(last.last)}; checked by nobody on record"
    on = write_date(last.checked_on or last.last)
    return f"clean-up is in the work log, checked by {last.checked_by}, {on}"


def unsure_place(case: Case) -> str:
    """Return, for behind the permit office, that nobody confirmed it on this roof; else empty."""
    return f" ({NOT_CONFIRMED})" if case.lines.from_another("job.locality") else ""


def permit_pairs(case: Case) -> tuple[Pair, ...]:
    """Return the permit in words."""
    permit = case.job.permit
    office = case.locality.permit_office
    unsure = unsure_place(case)
    pairs = [
        Pair("Permit number", said(permit.number if permit else None)),
        Pair("Permit office", (office.name or case.locality.name) + unsure),
        Pair("Issued", day(permit.issued if permit else None)),
        Pair("Closed", day(permit.closed_on if permit else None)),
        Pair("Code", f"{case.locality.code.value}, as {case.locality.name} has adopted it{unsure}"),
    ]
    if not case.locality.permit_needed:
        note = f"{case.locality.name} asks for no permit for a re-roof, by its sheet of "
        pairs.append(Pair("Note", note + case.locality.edition))
    return tuple(pairs)


def inspections(case: Case) -> tuple[InspectionRow, ...]:
    """Return the inspections on record, then those the locality asks for and the record lacks."""
    seen = case.job.permit.inspections if case.job.permit else ()
    rows = [
        InspectionRow(
            capital(one.kind),
            day(one.on),
            one.result.value if one.result else NOT_ON_RECORD,
            said(one.by),
        )
        for one in seen
    ]
    kinds = {inspection_asked(one.kind, case.locality.inspections) for one in seen}
    rows += [
        InspectionRow(capital(kind), NOT_ON_RECORD, NOT_ON_RECORD, NOT_ON_RECORD)
        for kind in case.locality.inspections
        if kind not in kinds
    ]
    return tuple(rows)
