"""Identity and parties: whose house, whose work, who looked at it, and where the job says otherwise."""

from collections.abc import Iterator

from dossier.assess.backing import good_papers
from dossier.assess.results import Assessment
from dossier.case.case import Case
from dossier.evidence.facts import Facts
from dossier.punchlist import Holds, Party, Verdict, Weight, Where
from dossier.rules.declare import Example, Fault, rule
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
