"""The old roof: what came off, what stayed, and whether the code lets it."""

from collections.abc import Iterator

from dossier.assess.results import Assessment
from dossier.case.case import Case
from dossier.punchlist import Holds, Manner, Party, Sends, SettledBy, Verdict, Weight
from dossier.rules.asking import untold
from dossier.rules.declare import ASKED, Example, Fault, rule
from dossier.rules.held import NOTHING, if_terms_ask
from dossier.said import Listed, Number, say
from dossier.words import OldCovering, Scope

_RECOVER = "IRC 2018, 2021 and 2024, section R908.3 (reroofing: replacement and recover)"


_OVER = {
    "job.job.scope": "recover",
    "job.job.scope_reason": "owner's wish",
    "job.job.layers_removed": "0",
    "job.job.layers_found": "1",
}


_OVER_OLD = {
    **_OVER,
    "job.job.old_covering_kind": "asphalt shingles",
    "job.job.old_covering_state": "sound",
}


@rule(
    id="DEC-001",
    says="The job is a {scope} and no reason is on record.",
    why="A roof that was not stripped hides the deck it is nailed to; most makers' higher levels ask for "
    "a full tear-off, and the code bars laying over two layers.",
    source=_RECOVER,
    owed_by=Party.OFFICE,
    remedy="Write the reason under job.scope_reason, or correct job.scope.",
    manner=Manner(tells_owner=True, sends=Sends.UP, life_safety=False),
    holds={Holds.REGISTRATION},
    cannot_tell="whether the old roof came off",
    rests_on={"job.job.scope": ASKED, "job.job.scope_reason": ASKED},
    examples=[
        Example(
            {"job.job.scope": "partial tear-off"},
            finds="The job is a partial tear-off and no reason is on record.",
        ),
        Example(
            {"job.job.scope": None},
            finds="Whether the old roof came off cannot be told: the scope of the job is needed.",
        ),
        Example(
            {"job.job.scope": "recover", "job.job.scope_reason": "one sound layer, dry deck"},
            finds=None,
        ),
    ],
)
def no_reason_for_partial_tear_off(case: Case, assessment: Assessment) -> Iterator[Fault]:
    scope = case.job.job.scope
    if scope is None:
        yield untold(
            case,
            "job.scope",
            "the scope of the job",
            holds=if_terms_ask(assessment, "full_tear_off"),
        )
    elif scope is not Scope.FULL_TEAR_OFF and not case.job.job.scope_reason:
        yield Fault(
            case.where("job.scope"),
            {"scope": scope},
            verdict=Verdict.MISSING,
            holds=if_terms_ask(assessment, "full_tear_off"),
            lacks=("job.scope_reason",),
        )


@rule(
    id="DEC-002",
    says="The new roof was laid over {layers} old layers.",
    why="The code bars a recover where two or more applications of any covering are there already.",
    source=_RECOVER,
    owed_by=Party.OFFICE,
    remedy="Correct job.layers_found or job.scope if one is wrong; else talk to the permit office.",
    manner=Manner(tells_owner=True, sends=Sends.UP, life_safety=False),
    holds={Holds.PERMIT, Holds.REGISTRATION},
    cannot_tell="whether more than one old layer lies below the new roof",
    rests_on={
        "job.job.layers_found": ASKED,
        "job.job.layers_removed": "Of a recover none came off where nobody says so; of a partial tear-off it is "
        "asked for.",
        "job.job.scope": "DEC-001 asks for it.",
    },
    examples=[
        Example(
            {**_OVER_OLD, "job.job.layers_found": "2"},
            finds="The new roof was laid over 2 old layers.",
        ),
        Example(
            {**_OVER_OLD, "job.job.layers_found": None},
            finds=(
                "Whether more than one old layer lies below the new roof cannot be told: the "
                "number of layers found is needed."
            ),
        ),
        Example(
            {"job.job.scope": "partial tear-off", "job.job.layers_removed": None},
            finds=(
                "Whether more than one old layer lies below the new roof cannot be told: the "
                "number of layers taken off is needed."
            ),
        ),
        Example(_OVER_OLD, finds=None),
    ],
)
def laid_over_two_layers(case: Case, assessment: Assessment) -> Iterator[Fault]:
    head = case.job.job
    left = assessment.details.old_roof.layers_left
    if head.scope in (None, Scope.FULL_TEAR_OFF):
        return
    holds = if_terms_ask(assessment, "full_tear_off") | {Holds.PERMIT}
    if left is None:
        blanks = [
            name for name in ("layers_found", "layers_removed") if getattr(head, name) is None
        ]
        lacks = tuple(
            f"job.{name}" for name in blanks if name == "layers_found" or not case.is_recover
        )
        yield untold(case, lacks, holds=holds)
    elif left >= 2:
        yield Fault(case.where("job.layers_found"), {"layers": left}, holds=holds)


@rule(
    id="DEC-012",
    says="The new roof was laid over the old one, and {reasons}.",
    why="Such an old roof is no base: nails do not hold in it, and water that is in it stays.",
    source="IRC 2018, 2021 and 2024, sections R908.3.1.1 (recover not allowed), R905.2.1 (solidly sheathed "
    "deck) and R908.4 (wood shingles and shakes, the hidden space below; from memory); wood shakes were barred up "
    "to 2012",
    owed_by=Party.OFFICE,
    remedy="Correct the kind or state of the old roof if it was typed wrongly; else talk to the permit office.",
    manner=Manner(tells_owner=False, sends=Sends.UP, life_safety=False),
    holds={Holds.PERMIT, Holds.REGISTRATION},
    cannot_tell="whether the old roof could be laid over",
    rests_on={
        "job.job.layers_removed": "Of a recover none came off where nobody says so.",
        "job.job.old_covering_kind": ASKED,
        "job.job.old_covering": "It stands in for the kind where its words name one.",
        "job.job.old_covering_state": ASKED,
        "job.job.scope": "DEC-001 asks for it.",
        "job.job.layers_found": "DEC-002 asks for it.",
    },
    examples=[
        Example(
            {**_OVER_OLD, "job.job.old_covering_kind": "slate"},
            finds="The new roof was laid over the old one, and the old roof is slate.",
        ),
        Example(
            {**_OVER_OLD, "job.job.old_covering_state": "water-soaked"},
            finds="The new roof was laid over the old one, and the old roof is water-soaked.",
        ),
        Example(
            _OVER,
            finds=(
                "Whether the old roof could be laid over cannot be told: the kind of the old "
                "covering and the state of the old covering are needed."
            ),
        ),
        Example(
            {**_OVER_OLD, "job.job.old_covering_state": "n/a, nobody looked"},
            finds="Whether the old roof could be laid over cannot be told: the state of the old covering is "
            "needed.",
        ),
        Example(
            {**_OVER_OLD, "job.job.old_covering_kind": "wood shakes"},
            finds="Whether the old roof could be laid over cannot be told: the permit office's word on laying "
            "shingles over wood shakes is needed.",
        ),
        Example(_OVER_OLD, finds=None),
    ],
)
def laid_over_a_barred_roof(case: Case, assessment: Assessment) -> Iterator[Fault]:
    old, head = assessment.details.old_roof, case.job.job
    if not old.stays:
        return
    holds = if_terms_ask(assessment, "full_tear_off") | {Holds.PERMIT}
    if old.bars:
        where = case.where("job.old_covering_kind")
        yield Fault(where, {"reasons": Listed(tuple(old.bars))}, holds=holds)
    known = {"old_covering_kind": old.kind, "old_covering_state": head.old_covering_state}
    # A roof that stayed is of some kind and in some state: no reason stands for either.
    lacks = tuple(f"job.{name}" for name, value in known.items() if value is None)
    if lacks:
        yield untold(case, lacks, holds=holds)
    kind = old.kind
    # No later edition bars them; whether the deck below is solid and the hidden space is covered is the permit
    # office's to judge, and nothing in a record could clear a hold.
    if kind in (OldCovering.WOOD_SHAKES, OldCovering.WOOD_SHINGLES) and not old.bars:
        needs = say("the permit office's word on laying shingles over {kind}", kind=kind)
        where = case.where("job.old_covering_kind")
        told = Verdict.CANNOT_TELL
        yield Fault(where, verdict=told, needs=needs, holds=NOTHING, settled_by=SettledBy.WORD)


@rule(
    id="DEC-013",
    says="The job is a full tear-off on record, yet {removed} of {found} old layers came off.",
    why="Shingles left below the new ones hide the deck, and a clause that asks for a full tear-off is not met.",
    source="IRC 2018, 2021 and 2024, section R908.3 (roof replacement removes all existing layers)",
    owed_by=Party.OFFICE,
    remedy="Ask the crew lead how many layers were found and how many came off; correct the count or job.scope.",
    manner=Manner(tells_owner=False, sends=Sends.UP, life_safety=False),
    holds={Holds.REGISTRATION, Holds.PERMIT},
    cannot_tell="whether every old layer came off",
    rests_on={
        "job.job.layers_found": ASKED,
        "job.job.layers_removed": "Of a full tear-off all that were found came off, where nobody says otherwise.",
        "job.job.scope": "DEC-001 asks for it.",
    },
    examples=[
        Example(
            {"job.job.layers_found": "2", "job.job.layers_removed": "1"},
            finds="The job is a full tear-off on record, yet 1 of 2 old layers came off.",
        ),
        Example(
            {"job.job.layers_found": "1", "job.job.layers_removed": "2"},
            finds="The job is a full tear-off on record, yet 2 of 1 old layers came off.",
        ),
        Example(
            {"job.job.layers_found": None},
            finds=(
                "Whether every old layer came off cannot be told: the number of layers found is "
                "needed."
            ),
        ),
        Example({"job.job.layers_found": "2", "job.job.layers_removed": "2"}, finds=None),
        Example({"job.job.layers_found": "2", "job.job.layers_removed": None}, finds=None),
    ],
)
def fewer_layers_removed_than_found(case: Case, assessment: Assessment) -> Iterator[Fault]:
    head = case.job.job
    if head.scope is not Scope.FULL_TEAR_OFF:
        return
    if head.layers_found is None and not case.reason_not("job.layers_found"):
        # The scope itself is on record, and photos of the bare deck show it; the counts only make it certain.
        yield untold(case, "job.layers_found", holds=NOTHING)
    elif head.layers_found != head.layers_removed and None not in (
        head.layers_found,
        head.layers_removed,
    ):
        yield Fault(
            case.where("job.layers_removed"),
            {"removed": str(head.layers_removed), "found": str(head.layers_found)},
            holds=if_terms_ask(assessment, "full_tear_off") | {Holds.PERMIT},
        )


@rule(
    id="DEC-027",
    says="The old covering is on record as {kind}, and its description names {named}.",
    why="What came off decides who may touch it, what was below it, and whether a new roof may lie on it.",
    source="Our habit; no published source",
    owed_by=Party.OFFICE,
    remedy="Correct the kind or the description; where there were two, let the description name both.",
    manner=Manner(tells_owner=False, sends=Sends.UP, life_safety=False),
    lighter=Weight.NOTE,
    rests_on={
        "job.job.old_covering": "Words that are not there contradict nothing.",
        "job.job.old_covering_kind": "DEC-012 asks for it where the old roof stayed, SAF-009 where it is old.",
    },
    examples=[
        Example(
            {"job.job.old_covering": "three-tab shingles", "job.job.old_covering_kind": "slate"},
            finds="The old covering is on record as slate, and its description names asphalt shingles.",
        ),
        Example(
            {
                "job.job.old_covering": "cedar shakes below three-tab shingles",
                "job.job.old_covering_kind": "wood shakes",
            },
            finds=None,
        ),
    ],
)
def old_covering_called_two_things(case: Case, assessment: Assessment) -> Iterator[Fault]:
    typed, named = case.job.job.old_covering_kind, assessment.details.old_roof.in_words
    if typed is not None and named is not None and typed is not named:
        values = {"kind": typed, "named": named}
        yield Fault(case.where("job.old_covering_kind"), values)


@rule(
    id="DEC-014",
    says="The old covering that stayed weighs {weight} psf, more than a light layer.",
    why="The rafters carry both roofs and the snow on them; a frame that was built for one may sag under two.",
    source="IRC 2018, 2021 and 2024, section R908.2 (loads of a reroof); that 3 psf is light follows the "
    "International Existing Building Code 2018, 706.2, exception 2, and its use here is our house rule",
    owed_by=Party.OFFICE,
    remedy="Ask a licensed engineer whether the frame carries both, and keep the answer with the permit.",
    manner=Manner(tells_owner=False, sends=Sends.UP, life_safety=False),
    cannot_tell="whether the frame carries both roofs",
    rests_on={
        "job.job.old_covering": "It stands in for the kind, where its words name one.",
        "job.job.old_covering_psf": ASKED,
        "job.job.old_covering_kind": "DEC-012 asks for it.",
        "job.job.layers_found": "DEC-002 asks for it.",
    },
    examples=[
        Example(
            {**_OVER_OLD, "job.job.old_covering_psf": "4"},
            finds="The old covering that stayed weighs 4 psf, more than a light layer.",
        ),
        Example(
            {**_OVER_OLD, "job.job.old_covering_kind": "metal"},
            finds=(
                "Whether the frame carries both roofs cannot be told: the weight of the old "
                "covering is needed."
            ),
        ),
        Example(
            {
                **_OVER_OLD,
                "job.job.old_covering_kind": "metal",
                "job.job.old_covering_psf": "1.5",
            },
            finds=None,
        ),
        Example(_OVER_OLD, finds=None),
    ],
)
def heavy_roof_laid_over(case: Case, assessment: Assessment) -> Iterator[Fault]:
    old, weight = assessment.details.old_roof, case.job.job.old_covering_psf
    where = case.where("job.old_covering_psf")
    if not old.stays or case.reason_not("job.old_covering_psf"):
        return
    if old.heavy is None:
        yield untold(case, "job.old_covering_psf")
    elif old.heavy and weight is not None:
        yield Fault(where, {"weight": Number(weight)})
