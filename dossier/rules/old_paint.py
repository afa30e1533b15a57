"""Old paint, and old materials with asbestos."""

from collections.abc import Iterator

from dossier.assess.results import Assessment
from dossier.case.case import Case
from dossier.punchlist import Holds, Manner, Party, Sends, Verdict, Weight
from dossier.record.people import LeadDust
from dossier.rules.asking import untold
from dossier.rules.declare import ASKED, Example, Fault, rule
from dossier.rules.safety import is_signed
from dossier.said import Listed, Number, say
from dossier.values import Run
from dossier.words import OldCovering, Scope

LEAD_YEAR = 1978


LEAD_SQFT = 20
"""Year and exterior painted area of 40 CFR 745.82 and 745.83."""


def _excused(case: Case, field: str) -> bool:
    """Return whether a reason stands for a blank of the renovation record.

    Only of the pamphlet, which an emergency leaves no time for: 40 CFR 745.82(b), from memory.
    """
    said = case.reason_not(f"building.lead_dust.{field}") is not None
    return said and field.startswith("pamphlet")


def _dust_that_counts(case: Case) -> LeadDust | None:
    """Return the renovation-dust record of an old house whose painted parts were disturbed; else None."""
    building = case.job.building
    if building is None or building.year_built is None or building.year_built >= LEAD_YEAR:
        return None
    dust = building.lead_dust
    if dust is None or dust.painted_sqft is None or dust.painted_sqft <= LEAD_SQFT:
        return None
    return None if dust.tested_free_of_lead else dust


_OLD_HOUSE = {
    "job.building.year_built": "1948",
    "job.job.old_covering_kind": "asphalt shingles",
    "job.building.lead_dust.painted_sqft": "45",
    "job.building.lead_dust.renovator": "Ida Torvik",
    "job.building.lead_dust.pamphlet": "Marit Ekdahl, 2026-09-01",
    "job.building.lead_dust.owner_copy_on": "2026-09-21",
}


ASBESTOS_YEAR = 1980
"""Last year whose buildings may hold asbestos by 29 CFR 1926.1101(b), of other materials (from memory)."""


MOST_DWELLINGS_EXEMPT = 4
"""A lone house of up to four dwellings lies outside the federal air rule (40 CFR 61, subpart M; 60 FR 38725)."""


@rule(
    id="SAF-004",
    says="The house is of {year} and {area} sq ft of painted parts were disturbed; the renovation record "
    "has no {blank}.",
    why="Paint of that age may hold lead; the record protects the family, the crew and the company.",
    source="40 CFR 745.82, 745.83 and 745.86 (renovation of housing built before 1978; over 20 sq ft "
    "outdoors)",
    owed_by=Party.CREW,
    remedy="Ask the certified renovator for the record and give the owner a copy.",
    asks="Send us what is missing of the renovation record.",
    manner=Manner(
        tells_owner=False,
        sends=Sends.UP_AND_INTO_OLD_PAINT,
        life_safety=True,
        due_is="owner’s copy of the dust record",
    ),
    holds={Holds.HANDOVER},
    rests_on={
        "job.building.year_built": "SAF-006 asks for it.",
        "job.building.lead_dust.painted_sqft": "SAF-005 asks for it.",
        "job.building.lead_dust.tested_free_of_lead": "A blank is read as not tested: the record is asked for.",
        "job.building.lead_dust.renovator": ASKED,
        "job.building.lead_dust.pamphlet": ASKED,
        "job.building.lead_dust.owner_copy_on": ASKED,
    },
    examples=[
        Example(
            {
                "job.building.year_built": "1948",
                "job.building.lead_dust": {"painted_sqft": "45"},
            },
            finds="The house is of 1948 and 45 sq ft of painted parts were disturbed; the renovation "
            "record has no certified renovator, receipt of the pamphlet or copy given to the owner.",
        ),
        # The receipt is somebody's: 40 CFR 745.84 asks for the name and the day of who was given the pamphlet.
        Example(
            {
                "job.building.year_built": "1948",
                "job.building.lead_dust": {
                    "painted_sqft": "45",
                    "renovator": "Ida Torvik",
                    "pamphlet": "2026-09-01",
                    "owner_copy_on": "2026-09-22",
                },
            },
            finds="The house is of 1948 and 45 sq ft of painted parts were disturbed; the renovation record has "
            "no name of who had the pamphlet.",
        ),
        Example(
            {
                "job.building.year_built": "1948",
                "job.building.lead_dust": {
                    "painted_sqft": "45",
                    "renovator": "n/a, none was there",
                    "pamphlet": "n/a, a tree lay in the roof",
                    "owner_copy_on": "n/a, not asked for",
                },
            },
            finds="The house is of 1948 and 45 sq ft of painted parts were disturbed; the renovation "
            "record has no certified renovator or copy given to the owner.",
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
def lead_record_missing(case: Case, assessment: Assessment) -> Iterator[Fault]:
    building, dust = case.job.building, _dust_that_counts(case)
    if building is None or dust is None or dust.painted_sqft is None:
        return
    pamphlet_on = dust.pamphlet.on if dust.pamphlet else None
    pamphlet_by = dust.pamphlet.by if dust.pamphlet else None
    lead_due = assessment.details.lead_due
    due = lead_due.due_on if lead_due else None
    blanks = [
        (blank, field)
        for blank, field, value in (
            ("certified renovator", "renovator", dust.renovator),
            ("receipt of the pamphlet", "pamphlet", dust.pamphlet),
            ("name of who had the pamphlet", "pamphlet.by", pamphlet_by or not dust.pamphlet),
            ("day of the pamphlet", "pamphlet.on", pamphlet_on or not dust.pamphlet or None),
            ("copy given to the owner", "owner_copy_on", dust.owner_copy_on),
        )
        if not value and not _excused(case, field)
    ]
    if blanks:
        yield Fault(
            case.where(f"building.lead_dust.{blanks[0][1]}"),
            {
                "year": building.year_built or 0,
                "area": Number(dust.painted_sqft),
                "blank": Listed(tuple(blank for blank, _ in blanks), "or"),
            },
            verdict=Verdict.MISSING,
            due=due,
            lacks=tuple(f"building.lead_dust.{field}" for _, field in blanks),
        )


@rule(
    id="SAF-005",
    says="The house is of {year}, and the record does not say whether painted parts were disturbed.",
    why="In a house of that age the paint on fascia, soffit and rake boards may hold lead.",
    source="40 CFR 745.82 and 745.83",
    owed_by=Party.CREW,
    remedy="Ask the crew lead; write building.lead_dust.painted_sqft, 0 where no painted part was touched.",
    asks="Tell us whether painted parts outdoors were disturbed, and about how many square feet.",
    manner=Manner(tells_owner=True, sends=Sends.UP_AND_INTO_OLD_PAINT, life_safety=True),
    lighter=Weight.WEAKENS,
    cannot_tell="whether painted parts of this house of {year} were disturbed",
    rests_on={
        "job.building.lead_dust.painted_sqft": ASKED,
        "job.building.year_built": "SAF-006 asks for it.",
    },
    examples=[
        Example(
            {"job.building.year_built": "1977"},
            finds="Whether painted parts of this house of 1977 were disturbed cannot be told: the painted area "
            "that was disturbed is needed.",
        ),
        Example({"job.building.year_built": "1978"}, finds=None),
        Example(
            {
                "job.building.year_built": "1948",
                "job.building.lead_dust": {"tested_free_of_lead": "yes"},
            },
            finds=None,
        ),
    ],
)
def old_paint_not_mentioned(case: Case) -> Iterator[Fault]:
    building = case.job.building
    if building is None or building.year_built is None or building.year_built >= LEAD_YEAR:
        return
    dust = building.lead_dust
    if dust is not None and dust.tested_free_of_lead:
        return
    if (dust is None or dust.painted_sqft is None) and not case.reason_not("building.lead_dust"):
        yield Fault(
            case.where("building.lead_dust"),
            {"year": building.year_built},
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
    manner=Manner(tells_owner=False, sends=Sends.UP, life_safety=False),
    cannot_tell="whether old paint may hold lead",
    rests_on={"job.building.year_built": ASKED},
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
def year_built_unknown(case: Case, run: Run) -> Iterator[Fault]:
    year = case.job.building.year_built if case.job.building else None
    where = case.where("building.year_built")
    if year is None:
        if not case.reason_not("building.year_built"):
            yield untold(case, "building.year_built", "the year the house was built")
    elif not 1600 <= year <= run.today.year:
        yield Fault(where, {"year": year})


@rule(
    id="SAF-007",
    says="The owner had the lead pamphlet on {given}, {when} work began on {began}.",
    why="The pamphlet tells a family how to keep dust away from children during the work; afterwards it is late.",
    source="40 CFR 745.84(a): before the renovation, and no more than 60 days before it begins",
    owed_by=Party.OFFICE,
    remedy="Correct the day if it is wrong; else tell the certified renovator, who knows what is asked for.",
    manner=Manner(tells_owner=False, sends=Sends.UP, life_safety=False),
    rests_on={
        "job.building.lead_dust.pamphlet.on": "SAF-004 asks for it.",
        "job.work": "ORD-003 asks for the days of the work.",
    },
    examples=[
        Example(
            {**_OLD_HOUSE, "job.building.lead_dust.pamphlet": "Marit Ekdahl, 2026-09-15"},
            finds="The owner had the lead pamphlet on 15 September 2026, after work began on 14 September 2026.",
        ),
        Example(
            {**_OLD_HOUSE, "job.building.lead_dust.pamphlet": "Marit Ekdahl, 2026-07-15"},
            finds="The owner had the lead pamphlet on 15 July 2026, more than 60 days before work began on "
            "14 September 2026.",
        ),
        Example(
            {**_OLD_HOUSE, "job.building.lead_dust.pamphlet": "Marit Ekdahl, 2026-07-16"},
            finds=None,
        ),
    ],
)
def pamphlet_at_the_wrong_time(case: Case, assessment: Assessment) -> Iterator[Fault]:
    dust, verdict = _dust_that_counts(case), assessment.details.pamphlet
    given = dust.pamphlet.on if dust and dust.pamphlet else None
    began = case.first_day_of_work()
    if given is None or began is None or verdict in (None, "in time"):
        return
    when = "after" if verdict == "too late" else "more than 60 days before"
    yield Fault(
        case.where("building.lead_dust.pamphlet"),
        {"given": given, "when": when, "began": began},
    )


@rule(
    id="SAF-008",
    says="The owner was given the renovation record on {given}; it was due by {due}.",
    why="A late record is what an agency asks about, and the family had it late.",
    source="40 CFR 745.86(c): with the final invoice or within 30 days of completion, whichever is earlier",
    owed_by=Party.OFFICE,
    remedy="Correct the day if it is wrong; else keep a note of why it was late.",
    manner=Manner(tells_owner=False, sends=Sends.UP, life_safety=False),
    rests_on={"job.building.lead_dust.owner_copy_on": "SAF-004 asks for it."},
    examples=[
        Example(
            {**_OLD_HOUSE, "job.building.lead_dust.owner_copy_on": "2026-09-23"},
            finds="The owner was given the renovation record on 23 September 2026; it was due by "
            "22 September 2026.",
        ),
        Example({**_OLD_HOUSE, "job.building.lead_dust.owner_copy_on": "2026-09-22"}, finds=None),
    ],
)
def lead_record_given_late(case: Case, assessment: Assessment) -> Iterator[Fault]:
    dust, due = _dust_that_counts(case), assessment.details.lead_due
    if dust is None or dust.owner_copy_on is None or due is None:
        return
    if dust.owner_copy_on > due.due_on:
        yield Fault(
            case.where("building.lead_dust.owner_copy_on"),
            {"given": dust.owner_copy_on, "due": due.due_on},
        )


@rule(
    id="SAF-009",
    says="{old} came off, and no survey for asbestos {found}.",
    why="Broken asbestos sheds fibres that nobody sees; who may touch it, and how it is taken away, is for "
    "licensed people and local rules.",
    source="40 CFR 61, subpart M, and 60 FR 38725 (a lone house of up to four dwellings lies outside the federal "
    "air rule; state, worker and landfill rules may hold all the same)",
    owed_by=Party.OFFICE,
    remedy="Ask who surveyed it and write name and day under job.asbestos_survey. Where nobody did, ask the "
    "state's agency and a licensed person before anything more is touched; tell the owner.",
    manner=Manner(tells_owner=False, sends=Sends.UP, life_safety=True),
    holds={Holds.HANDOVER},
    cannot_tell="whether the old roof of this house of {year} may have held asbestos",
    rests_on={
        "job.job.old_covering_kind": ASKED,
        "job.job.old_covering": "It stands in for the kind where its words name one.",
        "job.job.asbestos_survey": ASKED,
        "job.building.dwellings": "A blank is one dwelling.",
        "job.building.year_built": "SAF-006 asks for it.",
        "job.job.scope": "DEC-001 asks for it.",
    },
    examples=[
        Example(
            {"job.job.old_covering_kind": "asbestos-cement"},
            finds="Asbestos-cement came off, and no survey for asbestos is on record.",
        ),
        Example(
            {
                "job.job.old_covering_kind": "asbestos-cement",
                "job.job.asbestos_survey": "N. Berg, 2026-09-15",
            },
            finds="Asbestos-cement came off, and no survey for asbestos came before it: the one on record is of "
            "15 September 2026.",
        ),
        Example(
            {"job.building.dwellings": "6"},
            finds="The old roof of a house with 6 dwellings came off, and no survey for asbestos is on record.",
        ),
        Example(
            {"job.building.year_built": "1980"},
            finds=(
                "Whether the old roof of this house of 1980 may have held asbestos cannot be "
                "told: the kind of the old covering is needed."
            ),
        ),
        Example(
            {
                "job.building.year_built": "1980",
                "job.job.old_covering_kind": "n/a, nobody looked",
            },
            finds=(
                "Whether the old roof of this house of 1980 may have held asbestos cannot be "
                "told: the kind of the old covering is needed."
            ),
        ),
        Example(
            {"job.building.year_built": "1980", "job.job.old_covering": "three-tab shingles"},
            finds=None,
        ),
        Example({"job.building.year_built": "1981"}, finds=None),
        Example(
            {"job.building.year_built": "1948", "job.job.old_covering_kind": "asphalt shingles"},
            finds=None,
        ),
        Example(
            {
                "job.job.old_covering_kind": "asbestos-cement",
                "job.job.asbestos_survey": "N. Berg, 2026-09-01",
            },
            finds=None,
        ),
    ],
)
def no_asbestos_survey(case: Case, assessment: Assessment) -> Iterator[Fault]:
    head, building = case.job.job, case.job.building
    # What stays on is not broken up; a recover over asbestos-cement is barred by DEC-012.
    if head.scope is Scope.RECOVER or case.reason_not("job.asbestos_survey"):
        return
    kind, survey = assessment.details.old_roof.kind, head.asbestos_survey
    year = building.year_built if building else None
    dwellings = building.dwellings if building else 1
    cement = kind is OldCovering.ASBESTOS_CEMENT
    where, began = case.where("job.asbestos_survey"), case.first_day_of_work()
    old = say("The old roof of a house with {dwellings} dwellings", dwellings=dwellings)
    if cement:
        old = say("Asbestos-cement")
    holds = None if cement else frozenset[Holds]()
    if cement or dwellings > MOST_DWELLINGS_EXEMPT:
        if not is_signed(survey):
            values = {"old": old, "found": say("is on record")}
            yield Fault(where, values, verdict=Verdict.MISSING, holds=holds)
        elif survey and survey.on and began and survey.on > began:
            found = say("came before it: the one on record is of {day}", day=survey.on)
            yield Fault(where, {"old": old, "found": found}, holds=holds)
    elif (
        kind is None
        and not is_signed(survey)
        and year is not None
        and year <= ASBESTOS_YEAR
        # Where a layer came off on record, it was of some kind: no reason stands for it.
        and (head.layers_removed or not case.reason_not("job.old_covering_kind"))
    ):
        yield untold(case, "job.old_covering_kind", values={"year": year}, holds=())
