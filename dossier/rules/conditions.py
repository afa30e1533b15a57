"""Conditions of a level, each met, not met or not to be told."""

from collections.abc import Iterable, Iterator

from dossier.assess.results import Assessment, ConditionResult, Met, Standing
from dossier.case.case import Case
from dossier.punchlist import Holds, Manner, Party, Sends, SettledBy, Verdict, Where
from dossier.rules.declare import ASKED, Example, Fault, rule
from dossier.rules.registration import CONDITIONS
from dossier.said import Listed, Value, say

_ELSEWHERE = (
    "same_maker",
    "counted_accessories",
    "owner_signature",
    "certification",
    "nails_per_shingle",
    "ventilation",
    "deck",
    "lots_of",
    "photos_of",
    "permit_closed",
    "completion_signed",
)
"""Tests whose gap another rule usually names; a line a gap would make one gap look like two. REG-015 holds
registration for all of them together, so that none can fall between."""


_OWED: dict[str, Party] = {"paid_in_full": Party.HOMEOWNER, "starter_at": Party.CREW}


def _verdict(case: Case, leaf: ConditionResult, where: Where) -> Verdict:
    """Return what a condition that is not met says of the record: a blank there is missing, and not wrong."""
    if leaf.met is Met.CANNOT_TELL:
        return Verdict.CANNOT_TELL
    lines = case.company_lines if where.file == case.company_lines.file else case.lines
    blank = where.file == lines.file and not lines.has(where.field)
    return Verdict.MISSING if blank else Verdict.WRONG


def _record_fields(case: Case, leaf: ConditionResult) -> tuple[str, ...]:
    """Return the places of the job's record that a condition lacks; none where it lacks nothing."""
    found = (ref.where for ref in leaf.references)
    open_ = leaf.met is Met.CANNOT_TELL
    return tuple(dict.fromkeys(w.field for w in found if open_ and w.file == case.lines.file))


def _clauses(leaves: Iterable[ConditionResult]) -> Listed:
    clauses = (
        say(
            "clause {clause} ({because})",
            clause=leaf.condition.clause or "not named",
            because=leaf.because,
        )
        for leaf in leaves
    )
    return Listed(tuple(clauses), "; ")


@rule(
    id="REG-004",
    says="Condition {clause} of the {level} level is not met: {condition} Found: {because}.",
    why="One condition that is not met keeps the whole level from being registered.",
    source="The maker's terms sheet, at the clause named",
    owed_by=Party.OFFICE,
    remedy="Mend what the condition names, or ask for a level whose conditions this job meets.",
    asks="This is needed for the warranty. Please call us if it is not clear what to do.",
    manner=Manner(
        tells_owner=False, sends=Sends.NOWHERE, life_safety=False, due_is="last day to register"
    ),
    holds={Holds.REGISTRATION},
    cannot_tell="whether condition {clause} of the {level} level is met (“{condition}”)",
    examples=[
        Example(
            {"facts.papers/invoice-2026-041.pdf": None},
            finds="Condition 3.15 of the Full Assembly level is not met: The invoice and the signed "
            "completion are on file. Found: not on file: invoice.",
        ),
        Example(
            {"job.installation.starter_at": None},
            finds="Whether condition 3.11 of the Full Assembly level is met (“Starter at eaves and rakes.”) "
            "cannot be told: the edges with starter are needed.",
        ),
        Example({"facts.papers/colour-choice.pdf": None}, finds=None),
    ],
    rests_on={
        "job.money.invoices.*.amount": "MON-002 asks for it.",
        "job.slopes.*.rake_ft": "A slope's line names the edges it has; blank is none of that edge.",
        "job.installation.starter_at": ASKED,
        "job.job.scope": ASKED,
        "job.money.payments": ASKED,
        "job.warranties.*.fee_paid_on": ASKED,
    },
)
def condition_not_met(case: Case, assessment: Assessment) -> Iterator[Fault]:
    for result in assessment.asked:
        due = result.level.deadline.last_day if result.level.deadline else None
        for leaf in result.level.open_leaves:
            test = leaf.condition.test
            if test in _ELSEWHERE:
                continue
            where = leaf.references[0].where if leaf.references else case.where(result.asked.path)
            if where.file not in (case.lines.file, case.company_lines.file):
                where = case.where(result.asked.path)
            says = leaf.condition.words
            yield Fault(
                where,
                {
                    "clause": leaf.condition.clause,
                    "level": result.level.level.level,
                    "condition": says if says.endswith(".") else f"{says}.",
                    "because": leaf.because,
                },
                verdict=_verdict(case, leaf, where),
                needs=leaf.needs or "",
                lacks=_record_fields(case, leaf),
                due=due,
                owed_by=_OWED.get(test),
            )


@rule(
    id="REG-015",
    says="{verdict} for the {level} level: {clauses}.",
    why="One condition that is not met keeps the whole level from being registered.",
    source="The maker's terms sheet, at the clauses named",
    owed_by=Party.OFFICE,
    remedy="Clear the items that name these gaps; where none does, the clause says what to put on record.",
    settled_by=SettledBy.OTHERS,
    manner=Manner(
        tells_owner=False, sends=Sends.NOWHERE, life_safety=False, due_is="last day to register"
    ),
    holds={Holds.REGISTRATION},
    examples=[
        Example(
            {"job.permit.closed_on": None},
            finds="Not met on record for the Full Assembly level: clause 3.16 (no closing day on record).",
        ),
        Example(
            {"job.permit": "n/a, the office lost the card"},
            finds="Not met on record for the Full Assembly level: clause 3.16 (no closing day on record).",
        ),
        Example(
            {
                "job.building.attics.0.intake": None,
                "facts.papers/invoice-2026-041.pdf": None,
                "job.permit.closed_on": None,
            },
            finds="Not met on record for the Full Assembly level: clause 3.15 (not on file: invoice); clause 3.16 "
            "(no closing day on record). Cannot be told: clause 3.9 d (the vents cannot be counted).",
        ),
        Example({"facts.papers/invoice-2026-041.pdf": None}, finds=None),
    ],
    rests_on=CONDITIONS,
)
def conditions_not_met(case: Case, assessment: Assessment) -> Iterator[Fault]:
    for result in assessment.asked:
        unmet = result.level.open_leaves
        # The list is that of the table of conditions; it stands only where another item may fail to name a gap.
        if any(leaf.condition.test in _ELSEWHERE for leaf in unmet):
            failed = _clauses(leaf for leaf in unmet if leaf.met is Met.NOT_MET)
            open_ = _clauses(leaf for leaf in unmet if leaf.met is Met.CANNOT_TELL)
            both: Value = failed if failed.parts else open_
            if failed.parts and open_.parts:
                both = say("{failed}. Cannot be told: {open}", failed=failed, open=open_)
            yield Fault(
                case.where(result.asked.path),
                {
                    "verdict": "Not met on record" if failed.parts else "Cannot be told",
                    "level": result.level.level.level,
                    "clauses": both,
                },
                verdict=Verdict.WRONG if failed.parts else Verdict.MISSING,
                due=result.level.deadline.last_day if result.level.deadline else None,
            )


@rule(
    id="REG-005",
    says="The {level} level asks for the certification “{wanted}” on the days of the work "
    "(clause {clause}). Found: {because}.",
    why="A certification that ran out the week before the tear-off is found by the clerk in a minute.",
    source="The maker's terms sheet, at the clause named",
    owed_by=Party.MAKER,
    remedy="Ask the maker for the certificate that covers those days and add it to company.yaml; else ask "
    "for a level that needs none.",
    asks="Please confirm our certification for these days, in writing.",
    manner=Manner(tells_owner=False, sends=Sends.NOWHERE, life_safety=False),
    holds={Holds.REGISTRATION},
    cannot_tell="whether the certification “{wanted}” held on the days of the work (clause {clause})",
    examples=[
        Example(
            {"company.certifications.0.valid_to": "2026-09-15"},
            finds="The Full Assembly level asks for the certification “Assembly Installer” on the days "
            "of the work (clause 3.12). Found: certified from 1 January 2026 to 15 September 2026; work "
            "ran from 14 September 2026 to 16 September 2026.",
        ),
        Example({"company.certifications.0.valid_to": "2026-09-16"}, finds=None),
    ],
    rests_on={"company.certifications": ASKED, "job.work": ASKED},
)
def not_certified(case: Case, assessment: Assessment) -> Iterator[Fault]:
    for result in assessment.asked:
        for leaf in result.level.open_leaves:
            if leaf.condition.test != "certification":
                continue
            yield Fault(
                leaf.references[0].where,
                {
                    "level": result.level.level.level,
                    "wanted": leaf.condition.certification or "",
                    "clause": leaf.condition.clause,
                    "because": leaf.because,
                },
                verdict=_verdict(case, leaf, leaf.references[0].where),
                needs=leaf.needs or "",
                lacks=("work",) if leaf.met is Met.CANNOT_TELL else (),
            )


@rule(
    id="REG-010",
    says="The {level} level can no longer be earned; the best this job can still earn is {best}.",
    why="Knowing it on the day leaves time to register the level that is still open, and to tell the owner.",
    source="The maker's terms sheet: conditions and deadlines of each level",
    owed_by=Party.OFFICE,
    remedy="Name that level in the job instead (one that needs no registration holds by itself), and tell the "
    "owner in writing which level the roof has.",
    manner=Manner(tells_owner=False, sends=Sends.NOWHERE, life_safety=False),
    holds={Holds.REGISTRATION},
    examples=[
        Example(
            {"job.installation.nails_per_shingle": "4"},
            finds="The Full Assembly level can no longer be earned; the best this job can still earn is "
            "Assembly.",
        ),
        Example({"job.permit.closed_on": None}, finds=None),
    ],
    rests_on={
        **CONDITIONS,
        "job.warranties": "A level is lost by what is on record; what is blank leaves it open.",
    },
)
def level_lost(case: Case, assessment: Assessment) -> Iterator[Fault]:
    for result in assessment.asked:
        if result.level.standing is Standing.LOST:
            best = result.best.level.level if result.best else "none of the sheet's levels"
            yield Fault(
                case.where(f"{result.asked.path}.level"),
                {"level": result.level.level.level, "best": best},
            )
