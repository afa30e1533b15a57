"""Whose house, whose job, and what says so."""

from collections.abc import Iterator

from dossier.assess.backing import good_papers
from dossier.case.case import Case
from dossier.evidence.facts import Facts, OtherJob
from dossier.punchlist import Holds, Manner, Party, Sends, SettledBy, Verdict, Weight, Where
from dossier.rules.declare import ASKED, Example, Fault, rule
from dossier.rules.held import NOT_TRUE
from dossier.said import Product, Value, say
from dossier.terms.placeholders import Placeholder, is_placeholder, placeholders_in
from dossier.words import PaperKind


@rule(
    id="IDN-001",
    says="No owner of the house is on record.",
    why="A warranty is promised to a named owner; without the name nobody can be registered or handed "
    "the papers.",
    source="Trade practice: fields of a maker's registration form, no published source; that it holds is a house "
    "rule",
    owed_by=Party.HOMEOWNER,
    remedy="Ask the owner for the full name, telephone and e-mail, and write them under owners.",
    asks="Tell us the names of all owners of the house, and how to reach you.",
    manner=Manner(tells_owner=False, sends=Sends.NOWHERE, life_safety=False),
    holds={Holds.HANDOVER, Holds.REGISTRATION},
    rests_on={"job.owners": ASKED},
    examples=[
        Example({"job.owners": None}, finds="No owner of the house is on record."),
        Example({"job.owners": "Marit Ekdahl"}, finds=None),
    ],
)
def no_owner(case: Case) -> Iterator[Fault]:
    if not any(owner.name for owner in case.job.owners):
        lacks = ("owners.0.name" if case.job.owners else "owners",)
        yield Fault(case.where("owners"), verdict=Verdict.MISSING, lacks=lacks)


@rule(
    id="IDN-003",
    says="The contract is not on file in papers/.",
    told="The contract is not on file.",
    why="The contract shows what was promised and on which day; maker's terms often choose their edition "
    "by that day.",
    source="Trade practice; no published source",
    owed_by=Party.OFFICE,
    remedy="Put the signed contract into papers/ as contract.pdf.",
    settled_by=SettledBy.PAPER,
    manner=Manner(tells_owner=False, sends=Sends.NOWHERE, life_safety=False),
    rests_on={
        "job.papers": "Papers that are not on file are what the rule finds.",
    },
    examples=[
        Example(
            {"facts.papers/contract.pdf": None}, finds="The contract is not on file in papers/."
        ),
        Example({"facts.papers/contract.pdf.page_count": 12}, finds=None),
    ],
)
def no_contract_on_file(case: Case, facts: Facts) -> Iterator[Fault]:
    if not good_papers(case, facts, PaperKind.CONTRACT):
        yield Fault(Where("papers"), verdict=Verdict.MISSING)


@rule(
    id="IDN-004",
    says="{field} says {job_says}; the sheet it would come from, {sheet}, says {sheet_says}. "
    "The job wins.",
    why="What is said in two places can drift apart; somebody should know that this job differs.",
    source="Our habit; no published source",
    owed_by=Party.OFFICE,
    remedy="Leave it if this job really differs; else delete the line from the job.",
    manner=Manner(tells_owner=False, sends=Sends.NOWHERE, life_safety=False),
    lighter=Weight.NOTE,
    rests_on={
        "locality.exposure": "A sheet that says nothing differs from nothing.",
        "job.building": "A blank takes the sheet's word and differs from nothing.",
    },
    examples=[
        Example(
            {"job.building.design_wind_mph": "120"},
            finds="building.design_wind_mph says 120; the sheet it would come from, "
            "localities/vintermark-2026.yaml:22, says 115. The job wins.",
        ),
        Example({"job.building.design_wind_mph": "115"}, finds=None),
    ],
)
def job_differs_from_sheet(case: Case) -> Iterator[Fault]:
    for override in case.overrides:
        yield Fault(
            override.where,
            {
                "field": override.field,
                "job_says": override.job_says,
                "sheet_says": override.sheet_says,
                "sheet": str(override.sheet),
            },
        )


@rule(
    id="IDN-006",
    says="{sheet}: {what}.",
    why="What stands on this sheet is printed in the homeowner's document, kept for thirty years: a blank "
    "sheet's own words name nobody, and without a telephone nobody can be called.",
    source="Our habit; no published source",
    owed_by=Party.OFFICE,
    remedy="Type the true words over the blank's; where nothing is to be said there, delete the line.",
    manner=Manner(tells_owner=False, sends=Sends.NOWHERE, life_safety=False),
    holds={Holds.HANDOVER},
    rests_on={
        "company.workmanship.coverage.promised_by": "A blank prints as the blank sheet’s word, which this finds.",
        "company.phone": ASKED,
    },
    examples=[
        Example(
            {"company.name": "Your company"},
            finds="company.yaml: name still says “Your company”, as the blank sheet does.",
        ),
        Example({"company.name": "Your Company Roofing"}, finds=None),
        Example(
            {"company.phone": None}, finds="company.yaml: no telephone of the company is given."
        ),
        Example({"company.phone": "n/a, by letter only"}, finds=None),
        Example(
            {"locality.name": "The place"},
            finds="localities/vintermark-2026.yaml: name still says “The place”, as the blank sheet does.",
        ),
        Example(
            {"terms.kestrelmoor-2026.title": "The title printed on the document"},
            finds="terms/kestrelmoor-2026.yaml: title still says “The title printed on the document”, "
            "as the blank sheet does.",
        ),
        Example(
            {"terms.kestrelmoor-2026.levels.0.coverage.promised_by": None},
            finds="terms/kestrelmoor-2026.yaml: levels.0.coverage.promised_by is not typed, and would print as "
            "“the maker”.",
        ),
        Example({"terms.kestrelmoor-2026.levels.0.coverage.promised_by": "Tarnholt"}, finds=None),
    ],
)
def blank_sheet_not_filled_in(case: Case) -> Iterator[Fault]:
    said: list[tuple[Where, Placeholder]] = []
    for sheet, where in ((case.company, case.company_lines), (case.locality, case.locality_lines)):
        said += [(where.where(one.path), one) for one in placeholders_in(sheet)]
    sheets = {asked.file: asked.sheet for asked in case.asked}
    for file, terms in sorted(sheets.items()):
        said += [(Where(file, field=one.path), one) for one in placeholders_in(terms)]
    for at, one in said:
        text = "{field} still says “{words}”, as the blank sheet does"
        if not one.typed:
            text = "{field} is not typed, and would print as “{words}”"
        what = say(text, field=at.field or "", words=one.words)
        yield Fault(
            at,
            {"sheet": at.file, "what": what},
            remedy=None if one.typed else "Type there what is true, in a line of its own.",
        )
    for material in case.materials:
        if material.maker is not None and is_placeholder(material.maker):
            at = case.where(material.path)
            what = say(
                "the maker of {product} is still “{maker}”, as in the blank catalogue",
                product=Product(material.name),
                maker=material.maker,
            )
            yield Fault(at, {"sheet": at.file, "what": what})
    phone = case.company_lines.where("phone")
    if not case.company.phone and "phone" not in case.company_lines.not_applicable:
        values: dict[str, Value] = {
            "sheet": phone.file,
            "what": say("no telephone of the company is given"),
        }
        yield Fault(
            phone,
            values,
            verdict=Verdict.MISSING,
            remedy="Write the telephone into company.yaml; n/a and the reason where there is none.",
        )


@rule(
    id="IDN-011",
    says="{folder} has the same {what}.",
    why="Papers of two houses under one number are mixed up sooner or later, and a recall finds the wrong one.",
    source="The office's index of its own job folders; that it holds is our house rule",
    owed_by=Party.OFFICE,
    remedy="Look at both permit cards and contracts, and correct the number that was copied from the other job.",
    manner=Manner(tells_owner=False, sends=Sends.NOWHERE, life_safety=False),
    holds=NOT_TRUE,
    rests_on={"job.permit.number": "PER-001 asks for it; a blank is the same as no other."},
    examples=[
        Example(
            {"facts.elsewhere": [OtherJob("2026-040-heron-way", number=True, permit=False)]},
            finds="2026-040-heron-way has the same job number.",
        ),
        Example(
            {"facts.elsewhere": [OtherJob("2026-040-heron-way", number=False, permit=True)]},
            finds="2026-040-heron-way has the same permit number.",
        ),
        Example({"facts.elsewhere": []}, finds=None),
    ],
)
def another_job_has_the_number(case: Case, facts: Facts) -> Iterator[Fault]:
    for other in facts.elsewhere:
        for same, what, path in (
            (other.number, "job number", "job.number"),
            (other.permit, "permit number", "permit.number"),
        ):
            if same:
                yield Fault(case.where(path), {"folder": other.folder, "what": what})
