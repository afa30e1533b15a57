"""What a clerk copies into the maker's registration form, in the order of that form.

In: a case filtered for the maker, the assessment, one warranty asked for. Out: label and text of each
field. Must not invent a value: a field that the record has nothing for is left to be filled in by hand.
"""

from dossier.assess.results import AskedResult, Assessment
from dossier.case.case import Case, Material
from dossier.compose.parts import layers
from dossier.compose.parts.levels import unsure
from dossier.compose.parts.shared import NOT_ON_RECORD, Pair, capital, day, said
from dossier.terms import form_words
from dossier.terms.form_words import form_field
from dossier.values import listed, unit_for, write_number
from dossier.words import Role, StartEvent

_USUAL_FORM = (
    "owner name",
    "property address",
    "owner phone",
    "owner email",
    "installer",
    "installer certification",
    "completion date",
    "squares installed",
    "field shingle and colour",
    "accessories",
    "level",
)
"""Fields of a registration form where a sheet does not give its order; common practice, no published
source."""


BY_HAND = "to fill in by hand"


def form(case: Case, assessment: Assessment, result: AskedResult) -> tuple[Pair, ...]:
    """Return the fields of the maker's form in its own order, filled from the record."""
    known = _form_values(case, assessment, result)
    order = result.asked.sheet.form_order or _USUAL_FORM
    return tuple(
        Pair(
            capital(field.removesuffix(f" {form_words.BY_HAND}")),
            known.get(form_field(field), BY_HAND),
        )
        for field in order
    )


def _form_values(case: Case, assessment: Assessment, result: AskedResult) -> dict[str | None, str]:
    owners, field_shingles = case.job.owners, case.materials_of(Role.FIELD_SHINGLE)
    shingles = [layers.name_and_colour(m) for m in field_shingles]
    colours = [m.line.colour for m in field_shingles if m.line.colour]
    licence, maker = case.company.licence, result.asked.sheet.maker
    accessories = [
        _accessory(case, m, maker) for m in case.materials if m.role is not Role.FIELD_SHINGLE
    ]
    lots = [text for material in case.materials if (text := _lots(case, material))]
    sqft = assessment.totals.area_sqft
    squares = (
        NOT_ON_RECORD if sqft is None else f"{write_number(sqft / 100, 2)} squares, as measured"
    )
    held = case.certification(maker)
    certified: str = NOT_ON_RECORD
    if held is not None:
        certified = f"{held.level}{f', {held.number}' if held.number else ''}"
    shingle_text = listed(shingles) or NOT_ON_RECORD
    signed = _day_of(assessment, StartEvent.COMPLETION_SIGNED)
    completion = f"{signed}, completion signed by the owner" if signed != NOT_ON_RECORD else signed
    last_shingle = _day_of(assessment, StartEvent.LAST_SHINGLE)
    contract = _day_of(assessment, StartEvent.CONTRACT)
    return {
        "owner name": listed([o.name for o in owners if o.name]) or NOT_ON_RECORD,
        "owner mailing address": listed([o.mailing_address for o in owners if o.mailing_address])
        or NOT_ON_RECORD,
        "property address": case.job.job.address,
        "job number": case.job.job.number,
        "owner phone": listed([o.phone for o in owners if o.phone]) or NOT_ON_RECORD,
        "owner email": listed([o.email for o in owners if o.email]) or NOT_ON_RECORD,
        "installer": case.company.name,
        "installer address": said(case.company.address),
        "installer phone": said(case.company.phone),
        "installer email": said(case.company.email),
        "installer licence": said(licence.number if licence else None),
        "installer certification": certified,
        "certification number": said(held.number if held else None),
        "completion date": completion,
        "completion signed": signed,
        "date of last shingle": last_shingle,
        "contract date": contract,
        "start date": day(case.first_day_of_work()),
        "last day of work": day(case.last_day_of_work()),
        "squares installed": squares,
        "field shingle and colour": shingle_text,
        "field shingle": shingle_text,
        "colour": listed(list(dict.fromkeys(colours))) or NOT_ON_RECORD,
        "accessories": "; ".join(dict.fromkeys(accessories)) or NOT_ON_RECORD,
        "lots": "; ".join(dict.fromkeys(lots)) or NOT_ON_RECORD,
        "permit number": said(case.job.permit.number if case.job.permit else None),
        "level": f"{result.level.level.level}{unsure(result.asked)}",
    }


def _lots(case: Case, material: Material) -> str:
    """Return a part with its lots as delivered, and how many went back: of which lot, nobody noted."""
    lots, returned = layers.lots_of(material), material.line.returned
    if not lots:
        return ""
    role = _use(case, material)
    text = f"{role}, {material.name}: {lots}"
    if not returned or not material.line.lots:
        return text
    unit = unit_for(returned, material.line.unit)
    return f"{text} (as delivered; {write_number(returned)}{f' {unit}' if unit else ''} went back)"


def _accessory(case: Case, material: Material, maker: str) -> str:
    """Return a part with its role, and its maker where that is another, since it may spoil a level."""
    role = _use(case, material)
    if material.maker == maker:
        return f"{role}: {material.name}"
    return f"{role}: {material.name} (by {material.maker or 'a maker not on record'})"


def _use(case: Case, material: Material) -> str:
    if material.role:
        return material.role.value
    use, _ = layers.unnamed_use(case, material)
    return use[:1].lower() + use[1:]


def _day_of(assessment: Assessment, event: StartEvent) -> str:
    known = assessment.events.get(event)
    return day(known.day if known else None)
