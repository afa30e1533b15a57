"""Lien waivers, and the papers that release the last payment."""

from collections.abc import Iterator

from dossier.assess.backing import good_papers
from dossier.assess.calendar import paid_in_full_on
from dossier.assess.results import Assessment
from dossier.case.case import Case
from dossier.evidence.facts import Facts
from dossier.punchlist import Holds, Manner, Party, Sends, SettledBy, Verdict
from dossier.rules.asking import untold
from dossier.rules.declare import ASKED, Example, Fault, rule
from dossier.rules.held import terms_ask
from dossier.rules.insurance import is_claim_open
from dossier.said import Answer, Listed, Money, say
from dossier.words import PaperKind, Source, WaiverKind

_RELEASE = (PaperKind.INVOICE, PaperKind.COMPLETION)


@rule(
    id="MON-001",
    says="The owner has not signed that the work is complete.",
    why="Terms, payment and the release of held-back money are counted from that signature.",
    source="Common practice, no published source",
    owed_by=Party.HOMEOWNER,
    remedy="Once nobody is in danger and the permit is closed, walk the job with the owner from the "
    "ground, get the signature, and write job.completion_signed_on.",
    asks="Please walk around the house with us, on the ground, and sign that the work is complete.",
    manner=Manner(tells_owner=False, sends=Sends.NOWHERE, life_safety=False, signs_off=True),
    holds={Holds.PAYMENT, Holds.HANDOVER, Holds.REGISTRATION},
    examples=[
        Example(
            {"job.job.completion_signed_on": None},
            finds="The owner has not signed that the work is complete.",
        ),
        Example({"job.job.completion_signed_on": "2026-09-20"}, finds=None),
    ],
    rests_on={"job.job.completion_signed_on": ASKED},
)
def completion_not_signed(case: Case, assessment: Assessment) -> Iterator[Fault]:
    if case.job.job.completion_signed_on is None:
        holds = {Holds.PAYMENT, Holds.HANDOVER}
        if terms_ask(assessment, "completion_signed"):
            holds.add(Holds.REGISTRATION)
        yield Fault(
            case.where("job.completion_signed_on"),
            verdict=Verdict.MISSING,
            holds=frozenset(holds),
        )


@rule(
    id="MON-004",
    says="No final lien waiver from {who} is on record.",
    why="A supplier or crew that was not paid can put a lien on the house of an owner who paid in full.",
    source="Cal. Civ. Code 8132 to 8138 as a worked model of the four kinds; state law decides",
    owed_by=Party.SUPPLIER,
    remedy="Ask for the waiver against payment, file it, and add it under money.waivers.",
    asks="Please send us the final lien waiver.",
    manner=Manner(tells_owner=False, sends=Sends.NOWHERE, life_safety=False),
    holds={Holds.PAYMENT},
    cannot_tell="which lien waivers are owed",
    examples=[
        Example(
            {
                "job.money.waivers": "unconditional final, from Ormskar crew north, through 2026-09-30",
                "job.deliveries.0.supplier": "Fjordgate Building Supply",
            },
            finds="No final lien waiver from Fjordgate Building Supply is on record.",
        ),
        Example(
            {
                "job.money.waivers": "conditional final, from Fjordgate Building Supply",
                "job.deliveries.0.supplier": "Fjordgate Building Supply",
            },
            finds=None,
        ),
        Example(
            {"job.money.waivers": None},
            finds="No final lien waiver from Fjordgate Building Supply is on record.",
        ),
        Example(
            {"company.supplier": None},
            finds="Which lien waivers are owed cannot be told: the supplier of ticket 55120 is needed.",
        ),
        Example(
            {"job.job.crew": "north + lakeside"},
            finds="No final lien waiver from Halden Roof Crew is on record.",
        ),
        # A job whose money nobody typed owes the same waivers.
        Example(
            {"job.money": None},
            finds="No final lien waiver from Fjordgate Building Supply is on record.",
        ),
        Example(
            {"job.money.waivers.0": {"given_by": "Fjordgate Building Supply"}},
            finds="Which lien waivers are owed cannot be told: the kind of the waiver from Fjordgate Building "
            "Supply is needed.",
        ),
        Example(
            {"job.money.waivers.0": {"kind": "unconditional final"}},
            finds="Which lien waivers are owed cannot be told: who gave waiver 1 is needed.",
        ),
    ],
    rests_on={
        "job.job.crew": "Without a crew nobody else is known to have done the work.",
        "company.crews": "A crew whose company nobody names is the company’s own.",
        "job.money.waivers": ASKED,
        "job.money.waivers.*.kind": ASKED,
        "job.money.waivers.*.given_by": ASKED,
        "job.deliveries.*.supplier": ASKED,
        "company.supplier": "It stands in only where a ticket names no supplier, and that is asked for.",
    },
)
def waiver_missing(case: Case) -> Iterator[Fault]:
    if case.reason_not("money.waivers") or case.reason_not("money"):
        return
    waivers = case.job.money.waivers if case.job.money else ()
    final = (WaiverKind.CONDITIONAL_FINAL, WaiverKind.UNCONDITIONAL_FINAL)
    # A waiver that does not say its kind may be the final one, and one without a name may be anybody's.
    given = [waiver.given_by or "" for waiver in waivers if waiver.kind in (*final, None)]
    for number, waiver in enumerate(waivers):
        for field, value, needs in (
            (
                "kind",
                waiver.kind,
                say(
                    "the kind of the waiver from {who}", who=waiver.given_by or say("nobody named")
                ),
            ),
            ("given_by", waiver.given_by, say("who gave waiver {number}", number=number + 1)),
        ):
            if value is None:
                path = f"money.waivers.{number}.{field}"
                yield untold(case, path, needs)
    owed: list[tuple[str, Party]] = []
    for number, delivery in enumerate(case.job.deliveries):
        if delivery.source is not Source.TICKET:
            continue
        supplier = delivery.supplier or case.company.supplier
        if supplier is None:
            needs = say(
                "the supplier of ticket {ticket}", ticket=delivery.ticket or say("without a number")
            )
            yield untold(case, f"deliveries.{number}.supplier", needs)
        elif (supplier, Party.SUPPLIER) not in owed:
            owed.append((supplier, Party.SUPPLIER))
    owed += [(crew, Party.CREW) for crew in case.sub_crews]
    if not owed and not given:
        owed.append(("anybody", Party.SUPPLIER))
    unnamed = any(waiver.given_by is None for waiver in waivers)
    for who, party in owed:
        if who not in given and not unnamed:
            yield Fault(
                case.where("money.waivers"),
                {"who": who},
                verdict=Verdict.MISSING,
                owed_by=party,
                lacks=("money.waivers",),
            )


@rule(
    id="MON-005",
    says="The waiver from {who} is conditional; the job was paid in full on {paid}.",
    why="A conditional waiver waits for a payment; once it is there the unconditional one should be too.",
    source="Cal. Civ. Code 8136 and 8138 as a worked model; state law decides",
    owed_by=Party.SUPPLIER,
    remedy="Ask for the unconditional final waiver.",
    asks="Please send us the unconditional final waiver.",
    manner=Manner(tells_owner=False, sends=Sends.NOWHERE, life_safety=False),
    examples=[
        Example(
            {"job.money.waivers.0": "conditional final, from Fjordgate Building Supply"},
            finds="The waiver from Fjordgate Building Supply is conditional; the job was paid in full on "
            "29 September 2026.",
        ),
        Example(
            {
                "job.money.waivers.0": "conditional final, from Fjordgate Building Supply",
                "job.money.payments": None,
            },
            finds=None,
        ),
    ],
    rests_on={
        "job.money.waivers.*.given_by": "MON-004 asks for it.",
        "job.money.waivers.*.kind": "The rule on waivers that are missing asks for it.",
        "job.money.payments": "Until the job is paid in full a conditional waiver is right.",
    },
)
def waiver_still_conditional(case: Case) -> Iterator[Fault]:
    paid = paid_in_full_on(case)
    money = case.job.money
    if money is None or paid is None:
        return
    unconditional = {w.given_by for w in money.waivers if w.kind is WaiverKind.UNCONDITIONAL_FINAL}
    for number, waiver in enumerate(money.waivers):
        if waiver.kind is WaiverKind.CONDITIONAL_FINAL and waiver.given_by not in unconditional:
            yield Fault(
                case.where(f"money.waivers.{number}"),
                {"who": waiver.given_by or "somebody", "paid": paid},
            )


@rule(
    id="MON-009",
    says="The insurer holds back {held}; not on file for its release: {kinds}.",
    why="Depreciation held back is paid only against papers, and policies set a time limit for it.",
    source="Insurance practice (invoice matching the scope, completion certificate, photos); no published "
    "source. It says nothing about what a policy covers or owes",
    owed_by=Party.OFFICE,
    remedy="File them and send them at the owner's written direction.",
    manner=Manner(tells_owner=False, sends=Sends.NOWHERE, life_safety=False),
    holds={Holds.PAYMENT},
    examples=[
        Example(
            {"job.money.held_back": "4,500.00", "facts.papers/completion.pdf": None},
            finds="The insurer holds back $4,500.00; not on file for its release: completion.",
        ),
        Example({"job.money.held_back": "0.00"}, finds=None),
        Example(
            {
                "job.insurance": {"insurer": "Lakeward Mutual", "claim": "C-2026-0071"},
                "job.money.payments": None,
            },
            finds=(
                "Which papers release the insurer's money cannot be told: the record does not "
                "say how much it holds back."
            ),
        ),
        # What is paid in full is held back by nobody.
        Example(
            {"job.insurance": {"insurer": "Lakeward Mutual", "claim": "C-2026-0071"}}, finds=None
        ),
    ],
    cannot_tell="which papers release the insurer's money",
    rests_on={"job.money.held_back": ASKED},
)
def release_papers_missing(case: Case, facts: Facts) -> Iterator[Fault]:
    held = case.job.money.held_back if case.job.money else None
    if held is None and is_claim_open(case) and not case.reason_not("money.held_back"):
        yield untold(case, "money.held_back", Answer("how much it holds back"), holds=())
    if not held:
        return
    blank = [kind.value for kind in _RELEASE if not good_papers(case, facts, kind)]
    if blank:
        yield Fault(
            case.where("money.held_back"),
            {"held": Money(held), "kinds": Listed(tuple(blank))},
            verdict=Verdict.MISSING,
            settled_by=SettledBy.PAPER,
        )


@rule(
    id="MON-017",
    says="The waiver from {who} runs to {through}; {who} delivered on {day}.",
    why="What came after the day of a waiver is not waived by it.",
    source="Cal. Civ. Code 8132 and 8134 as a worked model of waivers through a date; state law decides",
    owed_by=Party.SUPPLIER,
    remedy="Ask for a waiver through the last delivery, or correct the day.",
    asks="Please send us a waiver that runs through your last delivery.",
    manner=Manner(tells_owner=False, sends=Sends.NOWHERE, life_safety=False),
    holds={Holds.PAYMENT},
    cannot_tell="whether the waiver from {who} reaches past the last delivery",
    examples=[
        Example(
            {"job.deliveries.1.on": None},
            finds="Whether the waiver from Fjordgate Building Supply reaches past the last delivery cannot be "
            "told: the day of the delivery is needed.",
        ),
        Example(
            {
                "job.money.waivers.0": "unconditional final, from Fjordgate Building Supply, through 2026-09-13"
            },
            finds="The waiver from Fjordgate Building Supply runs to 13 September 2026; Fjordgate Building Supply "
            "delivered on 14 September 2026.",
        ),
        Example(
            {
                "job.money.waivers.0": "unconditional final, from Fjordgate Building Supply, through 2026-09-14"
            },
            finds=None,
        ),
        # Another waiver that reaches further waives it.
        Example(
            {
                "job.money.waivers.0": "unconditional progress, from Fjordgate Building Supply, through "
                "2026-09-13",
                "job.money.waivers.2": "unconditional final, from Fjordgate Building Supply",
            },
            finds=None,
        ),
    ],
    rests_on={
        "job.money.waivers.*.through": "A final waiver without a day waives all.",
        "job.deliveries.*.on": ASKED,
        "job.deliveries.*.supplier": "The rule on waivers that are missing asks for it.",
    },
)
def delivered_after_the_waiver(case: Case) -> Iterator[Fault]:
    waivers = case.job.money.waivers if case.job.money else ()
    for who in dict.fromkeys(waiver.given_by for waiver in waivers if waiver.given_by):
        own = [(n, waiver.through) for n, waiver in enumerate(waivers) if waiver.given_by == who]
        known = [(through, n) for n, through in own if through is not None]
        tickets = [
            (f"deliveries.{n}.on", delivery.on)
            for n, delivery in enumerate(case.job.deliveries)
            if (delivery.supplier or case.company.supplier) == who
            and delivery.source is Source.TICKET
        ]
        came = [day for _, day in tickets if day is not None]
        blank = tuple(at for at, day in tickets if day is None and not case.reason_not(at))
        if len(known) < len(own):
            continue
        if blank:
            yield untold(case, blank, values={"who": who}, holds=())
        if not came:
            continue
        through, number = max(known)
        if max(came) > through:
            yield Fault(
                case.where(f"money.waivers.{number}.through"),
                {"who": who, "through": through, "day": max(came)},
            )
