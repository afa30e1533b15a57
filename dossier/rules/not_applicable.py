"""“n/a” where something else on record asks for the fact all the same.

A reason is believed where nothing speaks against it. Where the locality, the deliveries or another field of the
record asks for the fact, it stands beside what asks, as a note: the reason may still be a good one.
"""

from collections.abc import Iterator, Mapping

from dossier.assess.results import Assessment
from dossier.case.case import Case
from dossier.punchlist import Manner, Party, Sends, Verdict, Weight
from dossier.rules.declare import Example, Fault, rule
from dossier.rules.facts import address_of
from dossier.rules.what_asks import OTHER, SAFETY, Asker, excused
from dossier.said import say

_RESTS_ON = {
    "job": "A blank is no “n/a”: the rules that need a fact ask for it.",
    "company": "A supplier or crew that nobody names is owed no waiver that this rule could tell of.",
    "locality": "A sheet that asks for nothing speaks against no reason.",
}


def _doubted(
    table: Mapping[str, tuple[str, Asker]], case: Case, assessment: Assessment
) -> Iterator[Fault]:
    for one in excused(case, assessment):
        address = address_of(one.path)
        if address not in table:
            continue
        what, asker = table[address]
        because = asker(one)
        if because:
            yield Fault(
                case.where(one.path),
                {"what": say(what), "reason": one.reason, "because": because},
                verdict=Verdict.MISSING,
                lacks=(one.path,),
            )


@rule(
    id="SAF-011",
    says="The record says “n/a, {reason}” for {what}; yet {because}.",
    why="A reason that does not fit ends the question, and with it the care for lead dust or fibres.",
    source="40 CFR 745.82 to 745.86 (renovation of housing built before 1978); 40 CFR 61, subpart M (asbestos); "
    "that a reason is set beside what speaks against it is our house rule",
    owed_by=Party.OFFICE,
    remedy="Write the fact in place of “n/a”, such as painted_sqft: 0 where no painted part was touched. Where "
    "the reason is right, keep what shows it; nobody touches the paint or the old roof to find out.",
    manner=Manner(tells_owner=False, sends=Sends.UP_AND_INTO_OLD_PAINT, life_safety=True),
    lighter=Weight.NOTE,
    rests_on=_RESTS_ON,
    examples=[
        Example(
            {
                "job.building.year_built": "1948",
                "job.building.lead_dust": "n/a, said so by somebody",
            },
            finds="The record says “n/a, said so by somebody” for the renovation record; yet the house is of "
            "1948.",
        ),
        Example(
            {"job.building.year_built": "n/a, nobody knows"},
            finds="The record says “n/a, nobody knows” for the year the house was built; yet every house has one; "
            "what old paint may hold goes by it.",
        ),
        Example(
            {
                "job.building.year_built": "1948",
                "job.building.lead_dust": {"painted_sqft": "45", "renovator": "n/a, our own crew"},
            },
            finds="The record says “n/a, our own crew” for the certified renovator; yet 45 sq ft of painted parts "
            "of a house of 1948 were disturbed.",
        ),
        Example(
            {
                "job.job.old_covering_kind": "asbestos-cement",
                "job.job.asbestos_survey": "n/a, small roof",
            },
            finds="The record says “n/a, small roof” for the survey for asbestos; yet asbestos-cement came off.",
        ),
        Example({"job.building.lead_dust": "n/a, built after 1978"}, finds=None),
        Example(
            {
                "job.building.year_built": "1948",
                "job.building.lead_dust": {
                    "tested_free_of_lead": "yes",
                    "painted_sqft": "n/a, a certified test found no lead in any part touched",
                },
            },
            finds=None,
        ),
        Example(
            {"job.building.year_built": "1978", "job.building.lead_dust": "n/a, new enough"},
            finds=None,
        ),
    ],
)
def safety_excused(case: Case, assessment: Assessment) -> Iterator[Fault]:
    yield from _doubted(SAFETY, case, assessment)


@rule(
    id="IDN-014",
    says="The record says “n/a, {reason}” for {what}; yet {because}.",
    why="A reason that does not fit ends the question: nobody asks again for what is needed all the same.",
    source="The record, the locality sheet and the catalogue against each other; no published source",
    owed_by=Party.OFFICE,
    remedy="Write the fact in place of “n/a”. Where the reason is right, correct what speaks against it, or leave "
    "both: this note holds nothing up.",
    manner=Manner(tells_owner=False, sends=Sends.NOWHERE, life_safety=False),
    lighter=Weight.NOTE,
    rests_on=_RESTS_ON,
    examples=[
        Example(
            {"job.permit.inspections": "n/a, said so by somebody"},
            finds="The record says “n/a, said so by somebody” for the inspections; yet Vintermark County asks for "
            "these inspections: deck and ice barrier, final.",
        ),
        Example(
            {"job.permit.inspections": "n/a, none asked", "locality.inspections": None}, finds=None
        ),
        Example(
            {
                "job.installation.ice_barrier_courses": "n/a, none laid",
                "job.installation.ice_barrier_reach_in": None,
            },
            finds="The record says “n/a, none laid” for the courses of ice barrier; yet Vintermark County asks "
            "for ice barrier at the eaves of slopes front and back.",
        ),
        Example({"job.installation.ice_barrier_courses": "n/a, measured instead"}, finds=None),
        Example(
            {"job.money.waivers": "n/a, paid in cash"},
            finds="The record says “n/a, paid in cash” for the lien waivers; yet this job had goods or work from "
            "Fjordgate Building Supply.",
        ),
        Example(
            {"job.money.invoices": "n/a, no invoice written"},
            finds="The record says “n/a, no invoice written” for the final invoice; yet a contract of $14,860.00 "
            "is on record.",
        ),
        Example(
            {"job.decks": {"kind": "n/a, deck", "thickness_in": "1/2"}},
            finds="The record says “n/a, deck” for the kind of deck; yet the old roof came off, so that this deck "
            "was seen.",
        ),
        Example(
            {"job.repairs": "n/a, the deck was sound"},
            finds="The record says “n/a, the deck was sound” for the deck repairs; yet OSB panel 7/16 in came for "
            "this deck and did not go back.",
        ),
        Example(
            {"job.installation.valley_method": "n/a, no valleys on this roof"},
            finds=None,
        ),
    ],
)
def excused_yet_asked_for(case: Case, assessment: Assessment) -> Iterator[Fault]:
    yield from _doubted(OTHER, case, assessment)
