"""People's safety: flues and ducts looked at after the work, old paint recorded."""

from collections.abc import Iterator

from dossier.assess.results import Assessment
from dossier.case.case import Case
from dossier.evidence.facts import Facts
from dossier.punchlist import Holds, Party, Verdict, Weight
from dossier.rules.declare import Example, Fault, rule
from dossier.values import Run, listed, write_number

LEAD_YEAR = 1978
LEAD_SQFT = 20
"""Year and exterior painted area of 40 CFR 745.82 and 745.83."""


@rule(
    id="SAF-001",
    says="Nobody is on record as having looked at the flues and combustion vents after the work.",
    why="A flue knocked loose during a tear-off fills the house with carbon monoxide.",
    source="IRC 2021, chapters 18 and 24 (chimneys, vents and fuel gas; chapters from memory) by way of the "
    "locality; the look after the work is common practice, no published source",
    owed_by=Party.CREW,
    remedy="Have a licensed person look that each flue and vent is connected, upright and open, and write "
    "name and day under after_work.flues. Until then tell the owner to keep carbon monoxide alarms on "
    "and to leave the house and call for help if one sounds.",
    holds={Holds.HANDOVER},
    life_safety=True,
    examples=[
        Example(
            {"job.after_work.flues": None},
            finds="Nobody is on record as having looked at the flues and combustion vents after the "
            "work.",
        ),
        Example({"job.after_work.flues": None, "job.building.flues": "0"}, finds=None),
    ],
)
def flues_not_checked(
    case: Case, facts: Facts, assessment: Assessment, run: Run
) -> Iterator[Fault]:
    building = case.job.building
    after = case.job.after_work
    if building is not None and building.flues == 0:
        return
    checked = after.flues if after else None
    if (checked is None or not checked.by or checked.on is None) and not case.reason_not(
        "after_work.flues"
    ):
        yield Fault(case.where("after_work.flues"), verdict=Verdict.MISSING)


@rule(
    id="SAF-002",
    says="The flues were looked at on {looked}, before the last day of work on {last}.",
    why="What was upright then may have been knocked loose afterwards.",
    source="Common practice, no published source",
    owed_by=Party.CREW,
    remedy="Have them looked at again, and correct the day.",
    holds={Holds.HANDOVER},
    life_safety=True,
    examples=[
        Example(
            {"job.after_work.flues": "Ida Torvik, 2026-09-15"},
            finds="The flues were looked at on 2026-09-15, before the last day of work on 2026-09-16.",
        ),
        Example({"job.after_work.flues": "Ida Torvik, 2026-09-17"}, finds=None),
    ],
)
def flues_checked_too_early(
    case: Case, facts: Facts, assessment: Assessment, run: Run
) -> Iterator[Fault]:
    after = case.job.after_work
    checked = after.flues if after else None
    last = case.last_day_of_work()
    if checked is not None and checked.on is not None and last is not None and checked.on < last:
        yield Fault(
            case.where("after_work.flues"),
            {"looked": checked.on.isoformat(), "last": last.isoformat()},
        )


@rule(
    id="SAF-003",
    says="Nobody is on record as having seen that bath, kitchen and dryer ducts lead outdoors.",
    why="A duct that ends in the attic wets the deck from below, and looks like a roof leak.",
    source="IRC 2021, sections M1502 and M1505 (dryer and exhaust ducts end outdoors; sections "
    "from memory) by way of the locality",
    owed_by=Party.CREW,
    remedy="Have it looked at from the attic by a person trained for it: walk on framing only, keep clear "
    "of wiring and loose insulation. Write name and day under after_work.ducts.",
    examples=[
        Example(
            {"job.after_work.ducts": None},
            finds="Nobody is on record as having seen that bath, kitchen and dryer ducts lead outdoors.",
        ),
        Example({"job.after_work.ducts": None, "job.building.ducts": "0"}, finds=None),
    ],
)
def ducts_not_checked(
    case: Case, facts: Facts, assessment: Assessment, run: Run
) -> Iterator[Fault]:
    building = case.job.building
    after = case.job.after_work
    if building is not None and building.ducts == 0:
        return
    if (after is None or after.ducts is None) and not case.reason_not("after_work.ducts"):
        yield Fault(case.where("after_work.ducts"), verdict=Verdict.MISSING)


@rule(
    id="SAF-004",
    says="The house is of {year} and {area} sq ft of painted parts were disturbed; the renovation record "
    "has no {blank}.",
    why="Paint of that age may hold lead; the record protects the family, the crew and the company.",
    source="40 CFR 745.82, 745.83 and 745.86 (renovation of housing built before 1978; over 20 sq ft "
    "outdoors)",
    owed_by=Party.CREW,
    remedy="Ask the certified renovator for the record and give the owner a copy.",
    holds={Holds.HANDOVER},
    life_safety=True,
    examples=[
        Example(
            {
                "job.building.year_built": "1948",
                "job.building.lead_dust": {"painted_sqft": "45"},
            },
            finds="The house is of 1948 and 45 sq ft of painted parts were disturbed; the renovation "
            "record has no certified renovator, receipt of the pamphlet or copy given to the owner.",
        ),
        Example(
            {
                "job.building.year_built": "1948",
                "job.building.lead_dust": {"painted_sqft": "20"},
            },
            finds=None,
        ),
        Example(
            {
                "job.building.year_built": "1978",
                "job.building.lead_dust": {"painted_sqft": "45"},
            },
            finds=None,
        ),
    ],
)
def lead_record_missing(
    case: Case, facts: Facts, assessment: Assessment, run: Run
) -> Iterator[Fault]:
    building = case.job.building
    if building is None or building.year_built is None or building.year_built >= LEAD_YEAR:
        return
    dust = building.lead_dust
    if dust is None or dust.painted_sqft is None or dust.painted_sqft <= LEAD_SQFT:
        return
    if dust.tested_free_of_lead:
        return
    lead_due = assessment.details.lead_due
    due = lead_due.due_on if lead_due else None
    blanks = [
        (blank, field)
        for blank, field, value in (
            ("certified renovator", "renovator", dust.renovator),
            ("receipt of the pamphlet", "pamphlet", dust.pamphlet),
            ("copy given to the owner", "owner_copy_on", dust.owner_copy_on),
        )
        if value is None and not case.reason_not(f"building.lead_dust.{field}")
    ]
    if blanks:
        yield Fault(
            case.where(f"building.lead_dust.{blanks[0][1]}"),
            {
                "year": str(building.year_built),
                "area": write_number(dust.painted_sqft),
                "blank": listed([blank for blank, _ in blanks], "or"),
            },
            verdict=Verdict.MISSING,
            due=due,
        )


@rule(
    id="SAF-005",
    says="The house is of {year}, and the record does not say whether painted parts were disturbed.",
    why="In a house of that age the paint on fascia, soffit and rake boards may hold lead.",
    source="40 CFR 745.82 and 745.83",
    owed_by=Party.CREW,
    remedy="Ask the crew lead; write building.lead_dust.painted_sqft, 0 where no painted part was touched.",
    lighter=Weight.WEAKENS,
    cannot_tell="whether painted parts of this house of {year} were disturbed",
    life_safety=True,
    examples=[
        Example(
            {"job.building.year_built": "1977"},
            finds="Whether painted parts of this house of 1977 were disturbed cannot be told: the painted area "
            "that was disturbed is needed.",
        ),
        Example({"job.building.year_built": "1978"}, finds=None),
    ],
)
def old_paint_not_mentioned(
    case: Case, facts: Facts, assessment: Assessment, run: Run
) -> Iterator[Fault]:
    building = case.job.building
    if building is None or building.year_built is None or building.year_built >= LEAD_YEAR:
        return
    dust = building.lead_dust
    if (dust is None or dust.painted_sqft is None) and not case.reason_not("building.lead_dust"):
        yield Fault(
            case.where("building.lead_dust"),
            {"year": str(building.year_built)},
            verdict=Verdict.CANNOT_TELL,
            needs="the painted area that was disturbed",
            lacks=("building.lead_dust.painted_sqft",),
        )


@rule(
    id="SAF-006",
    says="The year the house was built is on record as {year}, which cannot be.",
    why="Houses built before 1978 may carry lead paint on the parts a roofer touches.",
    source="40 CFR 745.82 and 745.83",
    owed_by=Party.OFFICE,
    remedy="Ask the owner, or look the year up at the permit office, and write building.year_built.",
    cannot_tell="whether old paint may hold lead",
    examples=[
        Example(
            {"job.building.year_built": None},
            finds="Whether old paint may hold lead cannot be told: the year the house was built is needed.",
        ),
        Example(
            {"job.building.year_built": "194"},
            finds="The year the house was built is on record as 194, which cannot be.",
        ),
        Example({"job.building.year_built": "1600"}, finds=None),
    ],
)
def year_built_unknown(
    case: Case, facts: Facts, assessment: Assessment, run: Run
) -> Iterator[Fault]:
    year = case.job.building.year_built if case.job.building else None
    where = case.where("building.year_built")
    if year is None:
        if not case.reason_not("building.year_built"):
            needs = "the year the house was built"
            lacks = ("building.year_built",)
            yield Fault(where, verdict=Verdict.CANNOT_TELL, needs=needs, lacks=lacks)
    elif not 1600 <= year <= run.today.year:
        yield Fault(where, {"year": str(year)})
