"""An insurer’s scope, and the papers of a claim."""

from collections.abc import Iterator

from dossier.assess.backing import good_papers
from dossier.assess.calendar import paid_in_full_on
from dossier.assess.results import Assessment
from dossier.assess.scope import permit_fee_left_out, scope_rows
from dossier.case.case import Case
from dossier.evidence.facts import Facts
from dossier.punchlist import Holds, Manner, Party, Sends, SettledBy, Verdict, Weight, Where
from dossier.record.files import Paper, name_part
from dossier.rules.asking import untold
from dossier.rules.declare import ASKED, Example, Fault, rule
from dossier.said import Answer, Number, Said, say
from dossier.words import PaperKind, Role


def _is_claim(case: Case) -> bool:
    """Return whether an insurer pays for this roof: a house is insured whether it does or not."""
    insurance, money = case.job.insurance, case.job.money
    if insurance is None:
        return False
    paid = (insurance.first_payment, insurance.replacement_value, insurance.adjuster)
    on_scope = bool(money and (money.scope_lines or money.held_back))
    return bool(insurance.claim) or on_scope or any(one is not None for one in paid)


def is_claim_open(case: Case) -> bool:
    """Return whether an insurer pays for this roof and the job is not paid in full on record."""
    return _is_claim(case) and paid_in_full_on(case) is None


@rule(
    id="MON-010",
    says="The insurer's scope has no line for {role}; the measured roof needs {quantity} of it, and "
    "{clause} asks for it.",
    why="Starter and hip and ridge are left out of scopes more often than anything else, and are paid for by "
    "somebody.",
    source="The measured roof, the deliveries, and the clause named; it says nothing about what a policy owes. "
    "How a line's words are read: common practice, no published source",
    owed_by=Party.OFFICE,
    remedy="Give the owner the printed scope comparison; only the owner asks the insurer.",
    manner=Manner(tells_owner=False, sends=Sends.NOWHERE, life_safety=False),
    cannot_tell="whether the insurer's scope leaves anything out",
    examples=[
        Example(
            {
                "job.money.scope_lines": [
                    {"what": "Remove and replace shingles, ridge caps, drip edge"}
                ]
            },
            finds="The insurer's scope has no line for starter; the measured roof needs 142.6 ft of it, and "
            "clause 3.11 of the maker's terms asks for it.",
        ),
        # What is left out in so many words, or only comes off, is not paid for.
        Example(
            {
                "job.money.scope_lines": [
                    {"what": "Laminated shingles w/out felt"},
                    {"what": "Remove drip edge, starter and ridge caps"},
                ]
            },
            finds="The insurer's scope has no line for underlayment; the measured roof needs 798.9 sq ft of it, "
            "and section R905.1.1 of the code asks for it.",
        ),
        Example(
            {
                "job.money.scope_lines": [
                    {"what": "Remove and replace laminated shingles"},
                    {"what": "Starter course, hip and ridge caps"},
                    {"what": "Ice barrier and underlayment, drip edge"},
                    {"what": "Pipe boots; ridge vent"},
                ]
            },
            finds=None,
        ),
        Example(
            {
                "job.insurance": {"insurer": "Lakeward Mutual", "claim": "C-2026-0071"},
                "job.papers": [{"file": "papers/warranty-terms.pdf", "kind": "insurer scope"}],
            },
            finds="Whether the insurer's scope leaves anything out cannot be told: every line of it is needed.",
        ),
    ],
    rests_on={
        "job.installation.drip_edge_at": "Nothing typed is drip edge nowhere, which COD-003 reports.",
        "job.installation.starter_at": "Eaves always carry starter; rakes count only where the record says so.",
        "job.slopes.*.area_sqft": "Where no other figure gives the area, it is asked for by MAT-007.",
        "job.slopes.*.plan": "Where no other figure gives the area, it is asked for by MAT-007.",
        "job.slopes.*.plan_area_sqft": "Where no other figure gives the area, it is asked for by MAT-007.",
        "job.slopes.*.eave_ft": "A slope's line names the edges it has; blank is none of that edge.",
        "job.slopes.*.rake_ft": "A slope's line names the edges it has; blank is none of that edge.",
        "job.slopes.*.hip_ft": "A slope's line names the edges it has; blank is none of that edge.",
        "job.slopes.*.valley_ft": "A slope's line names the edges it has; blank is none of that edge.",
        "job.slopes.*.ridge_ft": "MAT-007 asks for it.",
        "job.money.scope_lines": ASKED,
        "job.money.scope_lines.*.role": "Blank, the line's own words say what it pays for.",
    },
)
def left_out_of_scope(case: Case, facts: Facts, assessment: Assessment) -> Iterator[Fault]:
    for line in scope_rows(case, facts, assessment):
        if line.on_scope is False and line.role is not Role.FASTENER:
            yield Fault(
                case.where("money.scope_lines"),
                {
                    "role": line.role,
                    "quantity": line.quantity,
                    "clause": line.clause,
                },
                verdict=Verdict.MISSING,
                settled_by=SettledBy.WORD,
            )
    typed = case.job.money and case.job.money.scope_lines
    asked = good_papers(case, facts, PaperKind.INSURER_SCOPE) and _is_claim(case)
    if asked and not typed and not case.reason_not("money.scope_lines"):
        yield untold(case, "money.scope_lines", "every line of it")


@rule(
    id="MON-014",
    says="The insurer's scope has {short} less {role} than the measured roof, which needs {quantity} with no "
    "waste "
    "at all.",
    why="What a scope counts short is bought all the same, and is paid for by somebody.",
    source="Geometry of the measured roof against the quantities of the scope; 2 % measuring tolerance is common "
    "practice, no published source. It says nothing about what a policy owes",
    owed_by=Party.OFFICE,
    remedy="Measure again where in doubt, and give the owner the printed scope comparison; only the owner asks "
    "the "
    "insurer.",
    manner=Manner(tells_owner=False, sends=Sends.NOWHERE, life_safety=False),
    examples=[
        Example(
            {"job.money.scope_lines": [{"what": "starter at eaves", "quantity": "80 LF"}]},
            finds="The insurer's scope has 62.6 ft less starter than the measured roof, which needs 142.6 ft "
            "with no "
            "waste at all.",
        ),
        # Within the tape's tolerance of 2 %.
        Example(
            {"job.money.scope_lines": [{"what": "starter", "quantity": "139.8 LF"}]}, finds=None
        ),
    ],
    rests_on={
        "job.money.scope_lines.*.quantity": "A line without one may pay for all of it, so nothing is said to be "
        "short.",
    },
)
def scope_counts_short(case: Case, facts: Facts, assessment: Assessment) -> Iterator[Fault]:
    for line in scope_rows(case, facts, assessment):
        if line.short_by:
            yield Fault(
                case.where("money.scope_lines"),
                {
                    "role": line.role,
                    "quantity": line.quantity,
                    "short": Number(line.short_by, line.unit),
                },
            )


@rule(
    id="MON-015",
    says="The insurer's scope has no line for the permit's fee, and a re-roof needs a permit in {place}.",
    why="The fee is paid before the first shingle comes off, and is forgotten in a scope of materials.",
    source="The locality's sheet (permit_needed); it says nothing about what a policy owes",
    owed_by=Party.OFFICE,
    remedy="Give the owner the receipt with the printed scope comparison; only the owner asks the insurer.",
    settled_by=SettledBy.WORD,
    manner=Manner(tells_owner=False, sends=Sends.NOWHERE, life_safety=False),
    lighter=Weight.NOTE,
    examples=[
        Example(
            {"job.money.scope_lines": [{"what": "laminated shingles"}]},
            finds="The insurer's scope has no line for the permit's fee, and a re-roof needs a permit in "
            "Vintermark "
            "County.",
        ),
        Example(
            {"job.money.scope_lines": [{"what": "laminated shingles"}, {"what": "permit fee"}]},
            finds=None,
        ),
        Example(
            {
                "job.money.scope_lines": [{"what": "laminated shingles"}],
                "locality.permit_needed": "no",
            },
            finds=None,
        ),
    ],
    rests_on={"job.money.scope_lines": "The rule for roles left out asks for a scope's lines."},
)
def permit_fee_not_in_scope(case: Case) -> Iterator[Fault]:
    if permit_fee_left_out(case):
        yield Fault(
            case.where("money.scope_lines"), {"place": case.locality.name}, verdict=Verdict.MISSING
        )


@rule(
    id="MON-011",
    says="The lender is named on the insurer's payment, and no lender's endorsement is on record.",
    why="A cheque made out to two payees waits for both signatures.",
    source="Common practice, no published source",
    owed_by=Party.HOMEOWNER,
    remedy="Ask the owner to start it now; lenders take weeks. File the letter as papers/letter-lender.pdf.",
    asks="Please ask your lender now to endorse the insurer’s payment; it takes weeks.",
    manner=Manner(tells_owner=False, sends=Sends.NOWHERE, life_safety=False),
    holds={Holds.PAYMENT},
    examples=[
        Example(
            {"job.insurance": {"insurer": "Lakeward Mutual", "lender_is_payee": "yes"}},
            finds="The lender is named on the insurer's payment, and no lender's endorsement is on record.",
        ),
        Example(
            {"job.insurance": {"insurer": "Lakeward Mutual", "lender_is_payee": "no"}}, finds=None
        ),
        Example(
            {
                "job.insurance": {"insurer": "Lakeward Mutual", "claim": "C-2026-0071"},
                "job.money.payments": None,
            },
            finds=(
                "Whether a lender has to sign the insurer's payment cannot be told: the record "
                "does not say whether one is named on it."
            ),
        ),
    ],
    cannot_tell="whether a lender has to sign the insurer's payment",
    rests_on={"job.insurance.lender_is_payee": ASKED},
)
def lender_not_endorsed(case: Case, facts: Facts) -> Iterator[Fault]:
    insurance = case.job.insurance
    letters = good_papers(case, facts, PaperKind.LETTER)
    endorsed = any("lender" in paper.file.lower() for paper in letters)
    if insurance is not None and insurance.lender_is_payee and not endorsed:
        yield Fault(
            case.where("insurance.lender_is_payee"),
            verdict=Verdict.MISSING,
            settled_by=SettledBy.PAPER,
        )
    path = "insurance.lender_is_payee"
    blank = insurance is not None and insurance.lender_is_payee is None
    if blank and is_claim_open(case) and not endorsed and not case.reason_not(path):
        yield untold(case, path, Answer("whether one is named on it"), holds=())


@rule(
    id="MON-012",
    says="To chase: {kind}, {reason}.",
    told="{kind!c}, {reason}.",
    why="These are the papers that are easy to get in the first month and impossible after the first year.",
    source="Common practice, no published source",
    owed_by=Party.OFFICE,
    remedy="Ask for it this week and file it in papers/ under its kind.",
    asks="Please send us the paper named here.",
    settled_by=SettledBy.PAPER,
    manner=Manner(tells_owner=False, sends=Sends.NOWHERE, life_safety=False),
    lighter=Weight.NOTE,
    examples=[
        Example(
            {"job.deliveries.0.lines.0": "42 bundles Fenwright 40, colour Slate Grey, returned 1"},
            finds="To chase: return credit, since goods went back.",
        ),
        Example(
            {"job.job.crew": "lakeside"},
            finds="To chase: crew agreement, since Halden Roof Crew did the work.",
        ),
        # Each of two sub-crews owes its own.
        Example(
            {
                "job.job.crew": "north + lakeside",
                "company.crews.0.company": "Aberg Crew LLC",
                "job.papers": [
                    {
                        "file": "papers/contract.pdf",
                        "kind": "crew agreement",
                        "backs": "Aberg Crew LLC",
                    }
                ],
            },
            finds="To chase: crew agreement, since Halden Roof Crew did the work.",
        ),
        Example(
            {
                "job.deliveries.0.lines.3": "1 rolls Dryfell underlayment",
                "job.deliveries.0.lines.9": "1 boxes Coil nails 1-1/4 in",
                "job.job.scope": "recover",
                "job.job.scope_reason": "one sound layer",
            },
            finds=None,
        ),
    ],
    rests_on={
        "company.crews": "A crew whose company nobody names is the company’s own.",
        "job.job.crew": "Without a crew nobody else is known to have done the work.",
        "job.deliveries.*.lines.*.returned": "Blank means that nothing went back, so that no credit is owed.",
    },
)
def papers_to_chase(case: Case, facts: Facts) -> Iterator[Fault]:
    wanted: list[tuple[PaperKind, Said, Party]] = []
    if any(material.line.returned for material in case.materials):
        wanted.append((PaperKind.RETURN_CREDIT, say("since goods went back"), Party.SUPPLIER))
    for kind in (PaperKind.CREW_AGREEMENT, PaperKind.INSURANCE_CERTIFICATE):
        wanted += [
            (kind, say("since {crew} did the work", crew=crew), Party.CREW)
            for crew in _without_paper(case, good_papers(case, facts, kind))
        ]
    for kind, reason, party in wanted:
        if party is Party.CREW or not good_papers(case, facts, kind):
            yield Fault(
                Where("papers"),
                {"kind": kind, "reason": reason},
                verdict=Verdict.MISSING,
                owed_by=party,
                # An uninsured crew on the roof is more than a paper to chase.
                lighter=Weight.WEAKENS if kind is PaperKind.INSURANCE_CERTIFICATE else None,
            )


def _without_paper(case: Case, papers: list[Paper]) -> list[str]:
    """Return the companies of sub-crews that lack a paper of their own; one for each is taken for theirs."""
    if len(papers) >= len(case.sub_crews):
        return []
    names = [name_part(f"{paper.file} {paper.backs or ''}") for paper in papers]
    return [crew for crew in case.sub_crews if all(name_part(crew) not in name for name in names)]


@rule(
    id="MON-013",
    says="The insurer's scope of the claim is not on file.",
    why="Without the scope nobody can compare it with the roof, or say which papers release what is held back.",
    source="Insurance practice; no published source",
    owed_by=Party.INSURER,
    remedy="Ask the owner for the insurer's copy, or the adjuster through the owner, and file it as "
    "papers/insurer-scope.pdf.",
    settled_by=SettledBy.PAPER,
    manner=Manner(tells_owner=False, sends=Sends.NOWHERE, life_safety=False),
    examples=[
        Example(
            {"job.insurance": {"insurer": "Lakeward Mutual", "claim": "C-2026-0071"}},
            finds="The insurer's scope of the claim is not on file.",
        ),
        Example({"job.insurance": {"insurer": "Lakeward Mutual"}}, finds=None),
        # A claim whose number nobody typed is a claim all the same.
        Example(
            {"job.insurance": {"insurer": "Lakeward Mutual", "first_payment": "13,000.00"}},
            finds="The insurer's scope of the claim is not on file.",
        ),
    ],
    rests_on={"job.insurance.claim": "A payment, an adjuster or a scope shows a claim as well."},
)
def scope_not_on_file(case: Case, facts: Facts) -> Iterator[Fault]:
    if _is_claim(case) and not good_papers(case, facts, PaperKind.INSURER_SCOPE):
        yield Fault(Where("papers"), verdict=Verdict.MISSING)
