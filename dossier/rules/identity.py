"""Identity and parties: whose house, whose work, who looked at it, and where the job says otherwise."""

from collections.abc import Iterator

from dossier.assess.backing import good_papers
from dossier.assess.results import Assessment
from dossier.case.case import Case
from dossier.evidence.facts import Facts
from dossier.punchlist import Holds, Party, Verdict, Weight, Where
from dossier.rules.declare import Example, Fault, rule
from dossier.terms.placeholders import is_placeholder, placeholders_in
from dossier.values import Run
from dossier.words import PaperKind


@rule(
    id="IDN-001",
    says="No owner of the house is on record.",
    why="A warranty is promised to a named owner; without the name nobody can be registered or handed "
    "the papers.",
    source="Trade practice: fields of a maker's registration form; no published source",
    owed_by=Party.HOMEOWNER,
    remedy="Ask the owner for the full name, telephone and e-mail, and write them under owners.",
    holds={Holds.HANDOVER, Holds.REGISTRATION},
    examples=[
        Example({"job.owners": None}, finds="No owner of the house is on record."),
        Example({"job.owners": "Marit Ekdahl"}, finds=None),
    ],
)
def no_owner(case: Case, facts: Facts, assessment: Assessment, run: Run) -> Iterator[Fault]:
    if not any(owner.name for owner in case.job.owners):
        yield Fault(case.where("owners"), verdict=Verdict.MISSING)


@rule(
    id="IDN-002",
    says="Nobody is named as having supervised the work.",
    why="Ten years on, the person who stood there is the first one an adjuster or a maker asks for.",
    source="Our habit; no published source",
    owed_by=Party.OFFICE,
    remedy="Write the name under job.supervised_by, or give the crew a supervisor in company.yaml.",
    examples=[
        Example({"job.job.crew": None}, finds="Nobody is named as having supervised the work."),
        Example({"job.job.crew": None, "job.job.supervised_by": "Ida Torvik"}, finds=None),
    ],
)
def no_supervisor(case: Case, facts: Facts, assessment: Assessment, run: Run) -> Iterator[Fault]:
    if case.supervised_by is None:
        yield Fault(case.where("job.supervised_by"), verdict=Verdict.MISSING)


@rule(
    id="IDN-003",
    says="The contract is not on file in papers/.",
    why="The contract shows what was promised and on which day; maker's terms often choose their edition "
    "by that day.",
    source="Trade practice; no published source",
    owed_by=Party.OFFICE,
    remedy="Put the signed contract into papers/ as contract.pdf.",
    examples=[
        Example(
            {"facts.papers/contract.pdf": None}, finds="The contract is not on file in papers/."
        ),
        Example({"facts.papers/contract.pdf.page_count": 12}, finds=None),
    ],
)
def no_contract_on_file(
    case: Case, facts: Facts, assessment: Assessment, run: Run
) -> Iterator[Fault]:
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
    lighter=Weight.NOTE,
    examples=[
        Example(
            {"job.building.design_wind_mph": "120"},
            finds="building.design_wind_mph says 120; the sheet it would come from, "
            "localities/vintermark-2026.yaml:22, says 115. The job wins.",
        ),
        Example({"job.building.design_wind_mph": "115"}, finds=None),
    ],
)
def job_differs_from_sheet(
    case: Case, facts: Facts, assessment: Assessment, run: Run
) -> Iterator[Fault]:
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
    id="IDN-005",
    says="The crew “{crew}” is not one of the company's crews.",
    why="Without the crew's sheet the record does not say who led the work.",
    source="Our habit; no published source",
    owed_by=Party.OFFICE,
    remedy="Correct the name, or add the crew to company.yaml.",
    examples=[
        Example(
            {"job.job.crew": "nroth"}, finds="The crew “nroth” is not one of the company's crews."
        ),
        Example({"job.job.crew": "lakeside"}, finds=None),
    ],
)
def unknown_crew(case: Case, facts: Facts, assessment: Assessment, run: Run) -> Iterator[Fault]:
    crew = case.job.job.crew
    if crew and all(crew != known.name for known in case.company.crews):
        yield Fault(case.where("job.crew"), {"crew": crew})


@rule(
    id="IDN-006",
    says="{sheet}: {what}.",
    why="What stands on this sheet is printed in the homeowner's document, kept for thirty years: a blank "
    "sheet's own words name nobody, and without a telephone nobody can be called.",
    source="Our habit; no published source",
    owed_by=Party.OFFICE,
    remedy="Type the true words over the blank's; where nothing is to be said there, delete the line.",
    holds={Holds.HANDOVER},
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
    ],
)
def blank_sheet_not_filled_in(
    case: Case, facts: Facts, assessment: Assessment, run: Run
) -> Iterator[Fault]:
    said: list[tuple[Where, str]] = []
    for sheet, where in ((case.company, case.company_lines), (case.locality, case.locality_lines)):
        said += [(where.where(path), words) for path, words in placeholders_in(sheet)]
    sheets = {asked.file: asked.sheet for asked in case.asked}
    for file, terms in sorted(sheets.items()):
        said += [(Where(file, field=path), words) for path, words in placeholders_in(terms)]
    for at, words in said:
        what = f"{at.field} still says “{words}”, as the blank sheet does"
        yield Fault(at, {"sheet": at.file, "what": what})
    for material in case.materials:
        if material.maker is not None and is_placeholder(material.maker):
            at = case.where(material.path)
            what = f"the maker of {material.name} is still “{material.maker}”, as in the blank catalogue"
            yield Fault(at, {"sheet": at.file, "what": what})
    phone = case.company_lines.where("phone")
    if not case.company.phone and "phone" not in case.company_lines.not_applicable:
        values = {"sheet": phone.file, "what": "no telephone of the company is given"}
        yield Fault(
            phone,
            values,
            verdict=Verdict.MISSING,
            remedy="Write the telephone into company.yaml; n/a and the reason where there is none.",
        )
