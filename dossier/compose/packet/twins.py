"""The registration packet as JSON and as CSV, for a desk that would rather not type.

In: a case filtered for the maker, the assessment, the composed packet, the run. Out: plain data and text. Must
not know a page, nor say anything that the packet does not. The JSON's shape is a promise, told in
docs/registration-json.md. Days are ISO 8601; numbers are decimals, with their unit in the name.
"""

from datetime import date
from fractions import Fraction
from typing import Any

from dossier.assess.results import AskedResult, Assessment
from dossier.case.case import Case, Material
from dossier.compose.packet.registration import AskedPage, Registration
from dossier.compose.parts.levels import unsure
from dossier.compose.parts.safe_csv import safe_csv
from dossier.values import Run, write_number

FORMAT = 1
COLUMNS = ("part", "warranty", "name", "value", "unit", "result", "backing", "note")


def registration_data(
    case: Case, assessment: Assessment, packet: Registration, run: Run
) -> dict[str, Any]:
    """Return the packet as data. packet: composed from the same case and assessment."""
    return {
        "format": FORMAT,
        "job": case.job.job.number,
        "address": case.job.job.address,
        "made_on": run.today.isoformat(),
        "state": packet.ready.lower(),
        "installer": _installer(case),
        "owners": [
            {
                "name": owner.name,
                "kind": owner.kind.value,
                "phone": owner.phone,
                "email": owner.email,
                "mailing_address": owner.mailing_address,
            }
            for owner in case.job.owners
        ],
        "roof": {
            "area_sqft": _number(assessment.totals.area_sqft),
            "slopes": [
                {
                    "slope": slope.label,
                    "pitch": str(slope.pitch) if slope.pitch else None,
                    "area_sqft": _number(slope.area_sqft),
                }
                for slope in assessment.slopes
            ],
        },
        "warranties": [
            _warranty(case, result, page)
            for result, page in zip(assessment.asked, packet.asked, strict=True)
        ],
        "products": [_product(material, assessment) for material in case.materials],
        "papers": [
            {"kind": row.kind, "file": row.file, "digest": row.digest, "backing": row.backing}
            for row in packet.papers
        ],
        "open": [{"owed_by": pair.label, "says": pair.text} for pair in packet.keeps],
        "cannot_show": list(packet.cannot_show),
    }


def _installer(case: Case) -> dict[str, Any]:
    company = case.company
    return {
        "name": company.name,
        "address": company.address or None,
        "phone": company.phone or None,
        "email": company.email or None,
        "licence": company.licence.number if company.licence else None,
    }


def _warranty(case: Case, result: AskedResult, page: AskedPage) -> dict[str, Any]:
    sheet, deadline, warranty = result.asked.sheet, result.level.deadline, result.asked.warranty
    held = case.certification(sheet.maker)
    last = None
    if deadline is not None:
        last = {
            "last_day": _day(deadline.last_day),
            "within_days": deadline.within_days,
            "counted_from": deadline.event.event.value,
            "counted_from_day": _day(deadline.event.day),
            "met_by": deadline.met_by,
            "met_on": _day(deadline.met_on),
            "clause": deadline.clause or None,
        }
    certification = None
    if held is not None:
        certification = {
            "level": held.level,
            "number": held.number or None,
            "valid_from": _day(held.valid_from),
            "valid_to": _day(held.valid_to),
        }
    return {
        "maker": sheet.maker,
        "terms": sheet.title,
        "document": sheet.document or None,
        "edition": sheet.edition,
        "level": f"{result.level.level.level}{unsure(result.asked)}",
        "state": page.ready.lower(),
        "certification": certification,
        "deadline": last,
        "owner_signed_on": _day(warranty.owner_signed_on),
        "sent_on": _day(warranty.submitted_on),
        "accepted_on": _day(warranty.accepted_on),
        "confirmation": warranty.confirmation,
        "form": [{"field": pair.label, "value": pair.text} for pair in page.form],
        "conditions": [
            {
                "clause": row.clause,
                "part_of_group": row.depth != "0",
                "says": row.says,
                "result": row.met,
                "found": row.because,
                "backing": row.backing,
                "proof": row.proof,
                "said": row.said.data,
            }
            for row in page.conditions
        ],
    }


def _product(material: Material, assessment: Assessment) -> dict[str, Any]:
    line = material.line
    need = assessment.role(material.role) if material.role else None
    return {
        "role": material.role.value if material.role else None,
        "product": material.name,
        "maker": material.maker,
        "colour": line.colour,
        "standard": material.standard,
        "unit": line.unit,
        "delivered": _number(line.quantity),
        "returned": _number(line.returned),
        "from_ticket": not material.is_stock,
        "ticket": material.delivery.ticket,
        "lots": [{"mark": lot.mark, "quantity": _number(lot.quantity)} for lot in line.lots],
        "role_needs": None
        if need is None
        else {
            "at_zero_waste": _number(need.need.at_zero_waste),
            "unit": need.need.unit,
            "verdict": need.take_off.verdict,
        },
    }


def _day(when: date | None) -> str | None:
    return when.isoformat() if when else None


def _number(value: Fraction | int | None) -> str | None:
    """Return a number as a decimal text of at most two places; text, since a reader's floats may differ."""
    return None if value is None else write_number(Fraction(value), 2).replace(",", "")


def registration_csv(data: dict[str, Any]) -> str:
    """Return the same as one CSV table (RFC 4180): form fields, conditions, products and lots, papers.

    data: what `registration_data` gave. A cell that a spreadsheet would run is made harmless.
    """
    rows: list[dict[str, str]] = []

    def add(part: str, **cells: Any) -> None:
        known = {name: "" if value is None else str(value) for name, value in cells.items()}
        rows.append({**dict.fromkeys(COLUMNS, ""), "part": part, **known})

    for one in data["warranties"]:
        label = f"{one['maker']}, {one['level']}"
        due = one["deadline"] or {}
        note = f"clause {due['clause']}" if due.get("clause") else ""
        add(
            "deadline",
            warranty=label,
            name="last day",
            value=due.get("last_day"),
            result=one["state"],
            note=note,
        )
        for field in one["form"]:
            add("form", warranty=label, name=field["field"], value=field["value"])
        for row in one["conditions"]:
            add(
                "condition",
                warranty=label,
                name=row["clause"],
                value=row["says"],
                result=row["result"],
                backing=row["backing"],
                note=f"{row['found']} Proof: {row['proof']}",
            )
    for product in data["products"]:
        need = product["role_needs"] or {}
        shown = {"value": product["delivered"], "unit": product["unit"]}
        who = ", ".join(part for part in (product["role"], product["maker"]) if part)
        back = f"; went back: {product['returned']}" if product["returned"] else ""
        add(
            "product",
            name=product["product"],
            **shown,
            result=need.get("verdict"),
            note=f"{who}{back}",
        )
        for lot in product["lots"]:
            add(
                "lot",
                name=lot["mark"],
                value=lot["quantity"],
                unit=product["unit"],
                note=product["product"],
            )
    for paper in data["papers"]:
        add(
            "paper",
            name=paper["file"],
            value=paper["kind"],
            backing=paper["backing"],
            note=paper["digest"],
        )
    return safe_csv(COLUMNS, rows)
