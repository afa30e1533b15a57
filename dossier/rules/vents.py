"""Code and installation: vents of the attic."""

from collections.abc import Iterator

from dossier.assess.attics import high_and_low, vent_fact_at
from dossier.assess.results import Assessment
from dossier.case.case import Case
from dossier.punchlist import Holds, Manner, Party, Sends, Verdict, Weight
from dossier.rules.asking import not_on_record
from dossier.rules.declare import ASKED, Example, Fault, rule
from dossier.said import Listed, Number, Product, Said, say
from dossier.terms.conditions import flat
from dossier.words import AtticKind


def _terms_ask_ventilation(case: Case) -> bool:
    return any(
        condition.ventilation
        for asked in case.asked
        if asked.level
        for condition in flat(asked.level.conditions)
    )


@rule(
    id="COD-005",
    says="The vents of attic {space} are {fault}.",
    why="An attic that does not breathe rots its deck from below and feeds ice dams; makers refuse claims on it.",
    source="IRC 2018, 2021 and 2024, section R806.2, for the total and, at 1/300, for 40 to 50 % of it high; to "
    "part 1/150 in the same way, and to take more as enough with exhaust not above intake, is common practice, "
    "no published source",
    owed_by=Party.CREW,
    remedy="Count the vents and read the net free area off the product; add vents, or tell the owner in writing "
    "what is short.",
    asks="Tell us which vents are there, how many, and what is printed on them.",
    manner=Manner(tells_owner=True, sends=Sends.UP, life_safety=False),
    holds={Holds.REGISTRATION, Holds.PERMIT},
    lighter=Weight.NOTE,
    cannot_tell="whether attic {space} breathes as it should",
    rests_on={
        "job.building.attics": ASKED,
        "job.building.attics.*.floor_area_sqft": ASKED,
        "job.building.attics.*.intake": ASKED,
        "job.building.attics.*.exhaust": ASKED,
        "job.building.attics.*.vapour_retarder": "Asked in climate zones 6 to 8 where the vents are enough for "
        "1/300 and short of 1/150.",
        "job.building.climate_zone": "Asked with the vapour retarder, where the locality does not say it either.",
        "locality.climate_zone": "Without it the job's own is asked for.",
        "job.building.attics.*.upper_drop_ft": "Asked of gable vents where 1/300 hangs on it; ridge and roof "
        "vents sit near the top.",
        "job.building.attics.*.kind": "An attic space is taken as vented unless the record says otherwise.",
    },
    examples=[
        Example(
            {"job.building.attics.0.exhaust": "10 ft Highdraft ridge vent"},
            finds="The vents of attic main are short: exhaust is 9.7 sq in below 40 % of what 1/300 asks for, "
            "so 1/150 holds: 948.5 sq in in all are asked for, 864 are there.",
        ),
        Example(
            {"job.building.attics.0.intake": None},
            finds="Whether attic main breathes as it should cannot be told: net free area of the intake vents "
            "is needed.",
        ),
        Example(
            {"job.building.attics.0.intake": "40 ft Strip soffit vent"},
            finds="The vents of attic main are unbalanced: exhaust is 288 sq in above intake, though the code's "
            "own words are met.",
        ),
        Example(
            {
                "job.building.attics.0.vapour_retarder": "none",
                "job.building.attics.0.exhaust": "20 ft Highdraft ridge vent",
            },
            finds="The vents of attic main are short: the ceiling has no vapour retarder of class I or II, so "
            "1/150 holds, and of that exhaust lacks 19.4 sq in of 40 %, though the code's own words are met.",
        ),
        Example(
            {"job.building.attics.0.intake": "2 Gable louvre, 60 sq in each"},
            finds="The vents of attic main are short: intake is 237.1 sq in below 50 % of what 1/300 asks for "
            "and exhaust is 768 sq in above intake, so 1/150 holds: 948.5 sq in in all are asked for, 768 are "
            "there; Gable louvre cannot count as intake, since it sits high.",
        ),
        Example({"job.building.attics.0.exhaust": "11 ft Highdraft ridge vent"}, finds=None),
    ],
)
def attic_vents_short(case: Case, assessment: Assessment) -> Iterator[Fault]:
    held = _held(case)
    if not assessment.attics and not case.reason_not("building.attics"):
        needs = {"building.attics": "the attic's floor area and its vents"}
        yield not_on_record(case, needs, {"space": "main"}, held)
    for number, check in enumerate(assessment.attics):
        path = f"building.attics.{number}"
        if check.verdict == "cannot tell":
            blank = {vent_fact_at(case, number, need): need for need in check.needs}
            yield not_on_record(case, blank, {"space": check.name}, held)
        elif check.verdict in ("short", "unbalanced"):
            # Where the code's own words are met, only the terms' and the trade's are not.
            here = held - {Holds.PERMIT} if check.met_by_words else held
            fault = _what_is_wrong(case, assessment, number)
            fault = say("{verdict}: {fault}", verdict=say(check.verdict), fault=fault)
            yield Fault(case.where(path), {"space": check.name, "fault": fault}, holds=here)


def _held(case: Case) -> frozenset[Holds]:
    holds = {Holds.REGISTRATION} if _terms_ask_ventilation(case) else set[Holds]()
    if case.locality.vents_hold_permit:
        holds.add(Holds.PERMIT)
    return frozenset(holds)


def _what_is_wrong(case: Case, assessment: Assessment, number: int) -> Said:
    """Return why 1/150 holds, and what of it is missing."""
    check = assessment.attics[number]
    if check.verdict == "unbalanced":
        text = "exhaust is {above} above intake"
        if check.met_by_words:
            text = "exhaust is {above} above intake, though the code's own words are met"
        return say(text, above=Number(check.exhaust_above_sqin, "sq in"))
    why = list(check.barred)
    if check.ground is not None and check.ground.lets is False:
        why.append(say("the ceiling has no vapour retarder of class I or II"))
    fault = say("{why}, so 1/150 holds", why=Listed(tuple(why)))
    high = _high_intake(case, number)
    if check.met_by_words:
        lacks = tuple(
            say(text, short=Number(short, "sq in"))
            for text, short in (
                ("exhaust lacks {short} of 40 %", check.exhaust_short_sqin),
                ("intake lacks {short} of 50 %", check.intake_short_sqin),
            )
            if short
        )
        text = "{fault}, and of that {lacks}, though the code's own words are met"
        fault = say(text, fault=fault, lacks=Listed(lacks))
    elif check.required_sqin is not None:
        fault = say(
            "{fault}: {asked} in all are asked for, {there} are there",
            fault=fault,
            asked=Number(check.required_sqin, "sq in"),
            there=Number((check.exhaust_sqin or 0) + (check.intake_sqin or 0)),
        )
    if not high:
        return fault
    text = "{fault}; {high} cannot count as intake, since it sits high"
    return say(text, fault=fault, high=Listed(high))


def _high_intake(case: Case, number: int) -> tuple[Product, ...]:
    """Return the vents that were typed as intake and sit high."""
    assert case.job.building is not None, "an attic belongs to a building"
    attic = case.job.building.attics[number]
    high, _ = high_and_low(case, attic)
    return tuple(Product(vent.product) for vent in attic.intake if vent in high)


@rule(
    id="COD-017",
    says="Attic {space} mixes {kinds} as exhaust.",
    why="Two kinds of exhaust in one space feed each other and leave the rest of the attic still.",
    source="Common practice, no published source; many makers' instructions say so",
    owed_by=Party.CREW,
    remedy="Close one kind, or record that they are in separate spaces.",
    asks="Tell us which vents high up are open, and which were closed.",
    manner=Manner(tells_owner=False, sends=Sends.UP, life_safety=False),
    rests_on={
        "job.building.attics.*.exhaust": "Vents that are not on record are asked for by COD-005."
    },
    examples=[
        Example(
            {
                "job.building.attics.0.exhaust": [
                    "20 ft Highdraft ridge vent",
                    "2 Box vent, 50 sq in each",
                ]
            },
            finds="Attic main mixes Highdraft ridge vent and Box vent as exhaust.",
        ),
        Example(
            {
                "job.building.attics.0.exhaust": [
                    "20 ft Highdraft ridge vent",
                    "16 ft Highdraft ridge vent",
                ]
            },
            finds=None,
        ),
    ],
)
def exhaust_mixed(case: Case) -> Iterator[Fault]:
    for number, attic in enumerate(case.job.building.attics if case.job.building else ()):
        high, _ = high_and_low(case, attic)
        kinds = list(dict.fromkeys(vent.product for vent in high))
        if len(kinds) > 1:
            yield Fault(
                case.where(f"building.attics.{number}.exhaust"),
                {"space": attic.space, "kinds": Listed(tuple(kinds))},
            )


@rule(
    id="COD-018",
    says="Nobody is on record as having seen the soffit openings of attic {space} clear.",
    why="A soffit vent behind insulation is a vent on paper only.",
    source="Common practice, no published source",
    owed_by=Party.CREW,
    remedy="Have a person trained for it look from the attic, on the framing only, and write name and day under "
    "soffits_seen_clear.",
    asks="Vent openings under the eaves: tell us who looked and on which day. If nobody did, say "
    "so; do not climb to make up for it.",
    manner=Manner(tells_owner=False, sends=Sends.UP, life_safety=False),
    rests_on={
        "job.building.attics.*.kind": "An attic space is taken as vented unless the record says otherwise.",
        "job.building.attics.*.soffits_seen_clear": ASKED,
    },
    examples=[
        Example(
            {"job.building.attics.0.soffits_seen_clear": None},
            finds="Nobody is on record as having seen the soffit openings of attic main clear.",
        ),
        Example(
            {"job.building.attics.0.soffits_seen_clear": "2026-09-15"},
            finds="Nobody is on record as having seen the soffit openings of attic main clear.",
        ),
        Example({"job.building.attics.0.soffits_seen_clear": "Jens Aberg, 2026-09-15"}, finds=None),
    ],
)
def soffits_not_looked_at(case: Case) -> Iterator[Fault]:
    for number, attic in enumerate(case.job.building.attics if case.job.building else ()):
        path, look = f"building.attics.{number}.soffits_seen_clear", attic.soffits_seen_clear
        unvented = attic.kind is AtticKind.UNVENTED
        none_there = case.reason_not(f"building.attics.{number}.intake") is not None
        if (
            not (look and look.is_whole)
            and not unvented
            and not none_there
            and not case.reason_not(path)
        ):
            yield Fault(
                case.where(path), {"space": attic.space}, verdict=Verdict.MISSING, lacks=(path,)
            )
