"""People's safety: flues and ducts looked at after the work, old paint recorded."""

from collections.abc import Iterator
from types import MappingProxyType

from dossier.assess.results import Assessment
from dossier.case.case import Case
from dossier.punchlist import Holds, Manner, Party, Sends, Verdict, Weight
from dossier.record.people import LeadDust
from dossier.record.signed import Signed
from dossier.rules.declare import ASKED, LEFT_TO_OFFICE, Example, Fault, rule
from dossier.values import Run, listed, write_date, write_number
from dossier.words import OldCovering, Phase, Scope

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
    asks="A licensed person has to see that each flue and vent is connected, upright and open. "
    "Tell us who looked, and when. Until then carbon monoxide alarms stay on; if one sounds, "
    "everybody leaves and calls 911 or the local emergency number.",
    manner=Manner(
        tells_owner=True, sends=Sends.UP, life_safety=True, said_by="flues", of_flues=True
    ),
    holds={Holds.HANDOVER},
    cannot_tell="whether the chimney on {slopes} carries a flue that nobody looked at",
    rests_on={
        "job.after_work.flues": ASKED,
        "job.building.flues": "Without the number of flues a look at them is asked for.",
        "job.slopes.*.chimneys": "Without a chimney on record the number of flues decides.",
    },
    examples=[
        Example(
            {"job.after_work.flues": "n/a, nobody goes up there"},
            finds="Nobody is on record as having looked at the flues and combustion vents after the "
            "work.",
        ),
        Example(
            {
                "job.after_work.flues": None,
                "job.building.flues": "0",
                "job.slopes.1": {
                    "label": "back",
                    "pitch": "6:12",
                    "plan": "40 ft x 14 ft",
                    "chimneys": {"width_in": "24"},
                },
            },
            finds=(
                "Whether the chimney on slope back carries a flue that nobody looked at cannot "
                "be told: a look at what it carries is needed."
            ),
        ),
        Example(
            {"job.after_work.flues": None},
            finds="Nobody is on record as having looked at the flues and combustion vents after the "
            "work.",
        ),
        Example({"job.after_work.flues": None, "job.building.flues": "0"}, finds=None),
    ],
)
def flues_not_checked(case: Case) -> Iterator[Fault]:
    flues = case.job.building.flues if case.job.building else None
    after = case.job.after_work
    where = case.where("after_work.flues")
    if _is_signed(after.flues if after else None):
        return
    # Where the record counts flues, no reason stands for a look at them.
    excused = case.reason_not("after_work.flues") is not None
    if flues or (flues is None and not excused):
        yield Fault(where, verdict=Verdict.MISSING)
    elif not excused:
        for slope in case.job.slopes:
            if slope.chimneys:
                yield Fault(
                    where,
                    {"slope": slope.label},
                    verdict=Verdict.CANNOT_TELL,
                    needs="a look at what it carries",
                    lacks=("after_work.flues",),
                )


def _is_signed(look: Signed | None) -> bool:
    """Return whether a named person noted a look, on a day."""
    return look is not None and look.is_whole


@rule(
    id="SAF-002",
    says="The {what} looked at on {looked}, before the last day of work on {last}.",
    why="What was upright, seated or clean then may have been knocked loose or littered afterwards.",
    source="Common practice, no published source",
    owed_by=Party.CREW,
    remedy="Have it looked at again, and correct the day.",
    asks="A licensed person has to look at the flues once more, since work went on after the "
    "look. Tell us who, and when.",
    manner=Manner(tells_owner=True, sends=Sends.UP, life_safety=True, of_flues=True),
    holds={Holds.HANDOVER},
    rests_on={
        "job.after_work.baffles": "A look that nobody noted cannot have come too early.",
        "job.after_work.flues": "SAF-001 asks for it.",
        "job.after_work.ducts": "SAF-003 asks for it.",
        "job.after_work.boots": "SAF-010 asks for it.",
        "job.after_work.magnet_sweep": "SAF-010 asks for it.",
        "job.after_work.spring_bond_check": "COD-012 asks for it where shingles were laid in the cold.",
        "job.work": "ORD-003 asks for the days of the work.",
    },
    examples=[
        Example(
            {"job.after_work.flues": "Ida Torvik, 2026-09-15"},
            finds="The flues were looked at on 2026-09-15, before the last day of work on 2026-09-16.",
        ),
        Example(
            {"job.after_work.magnet_sweep": "Ida Torvik, 2026-09-14"},
            finds="The ground was looked at on 2026-09-14, before the last day of work on 2026-09-16.",
        ),
        Example({"job.after_work.flues": "Ida Torvik, 2026-09-17"}, finds=None),
    ],
)
def looked_at_too_early(case: Case) -> Iterator[Fault]:
    after = case.job.after_work
    last = case.last_day_of_work()
    for field, what in _LOOKS.items():
        look: Signed | None = getattr(after, field) if after else None
        if look is not None and look.on is not None and last is not None and look.on < last:
            yield Fault(
                case.where(f"after_work.{field}"),
                {"what": what, "looked": look.on.isoformat(), "last": last.isoformat()},
                holds=None if field == "flues" else frozenset(),
                in_danger=field == "flues",
            )


_LOOKS = MappingProxyType(
    {
        "flues": "flues were",
        "ducts": "ducts were",
        "boots": "boots were",
        "baffles": "baffles were",
        "magnet_sweep": "ground was",
        "spring_bond_check": "bond of the shingles was",
    }
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
    asks="Ducts from bath, kitchen and dryer: tell us who looked and on which day. If nobody did, "
    "say so; do not climb to make up for it.",
    manner=Manner(tells_owner=True, sends=Sends.UP, life_safety=False),
    rests_on={
        "job.after_work.ducts": ASKED,
        "job.building.ducts": "Without the number of ducts a look at them is asked for.",
    },
    examples=[
        Example(
            {"job.after_work.ducts": "2026-09-16"},
            finds="Nobody is on record as having seen that bath, kitchen and dryer ducts lead outdoors.",
        ),
        Example(
            {"job.after_work.ducts": None},
            finds="Nobody is on record as having seen that bath, kitchen and dryer ducts lead outdoors.",
        ),
        Example({"job.after_work.ducts": None, "job.building.ducts": "0"}, finds=None),
    ],
)
def ducts_not_checked(case: Case) -> Iterator[Fault]:
    ducts = case.job.building.ducts if case.job.building else None
    after = case.job.after_work
    excused = case.reason_not("after_work.ducts") is not None
    if ducts == 0 or (excused and not ducts):
        return
    if not _is_signed(after.ducts if after else None):
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
                "year": str(building.year_built),
                "area": write_number(dust.painted_sqft),
                "blank": listed([blank for blank, _ in blanks], "or"),
            },
            verdict=Verdict.MISSING,
            due=due,
            lacks=tuple(f"building.lead_dust.{field}" for _, field in blanks),
        )


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
    ],
)
def old_paint_not_mentioned(case: Case) -> Iterator[Fault]:
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
    asks=LEFT_TO_OFFICE,
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
            needs = "the year the house was built"
            lacks = ("building.year_built",)
            yield Fault(where, verdict=Verdict.CANNOT_TELL, needs=needs, lacks=lacks)
    elif not 1600 <= year <= run.today.year:
        yield Fault(where, {"year": str(year)})


_OLD_HOUSE = {
    "job.building.year_built": "1948",
    "job.job.old_covering_kind": "asphalt shingles",
    "job.building.lead_dust.painted_sqft": "45",
    "job.building.lead_dust.renovator": "Ida Torvik",
    "job.building.lead_dust.pamphlet": "Marit Ekdahl, 2026-09-01",
    "job.building.lead_dust.owner_copy_on": "2026-09-21",
}


@rule(
    id="SAF-007",
    says="The owner had the lead pamphlet on {given}, {when} work began on {began}.",
    why="The pamphlet tells a family how to keep dust away from children during the work; afterwards it is late.",
    source="40 CFR 745.84(a): before the renovation, and no more than 60 days before it begins",
    owed_by=Party.OFFICE,
    remedy="Correct the day if it is wrong; else tell the certified renovator, who knows what is asked for.",
    asks=LEFT_TO_OFFICE,
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
        {"given": write_date(given), "when": when, "began": write_date(began)},
    )


@rule(
    id="SAF-008",
    says="The owner was given the renovation record on {given}; it was due by {due}.",
    why="A late record is what an agency asks about, and the family had it late.",
    source="40 CFR 745.86(c): with the final invoice or within 30 days of completion, whichever is earlier",
    owed_by=Party.OFFICE,
    remedy="Correct the day if it is wrong; else keep a note of why it was late.",
    asks=LEFT_TO_OFFICE,
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
            {"given": write_date(dust.owner_copy_on), "due": write_date(due.due_on)},
        )


ASBESTOS_YEAR = 1980
"""Last year whose buildings may hold asbestos by 29 CFR 1926.1101(b), of other materials (from memory)."""

MOST_DWELLINGS_EXEMPT = 4
"""A lone house of up to four dwellings lies outside the federal air rule (40 CFR 61, subpart M; 60 FR 38725)."""


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
    asks=LEFT_TO_OFFICE,
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
    old = "Asbestos-cement" if cement else f"The old roof of a house with {dwellings} dwellings"
    holds = None if cement else frozenset[Holds]()
    if cement or dwellings > MOST_DWELLINGS_EXEMPT:
        if not _is_signed(survey):
            values = {"old": old, "found": "is on record"}
            yield Fault(where, values, verdict=Verdict.MISSING, holds=holds)
        elif survey and survey.on and began and survey.on > began:
            found = f"came before it: the one on record is of {write_date(survey.on)}"
            yield Fault(where, {"old": old, "found": found}, holds=holds)
    elif (
        kind is None
        and not _is_signed(survey)
        and year is not None
        and year <= ASBESTOS_YEAR
        # Where a layer came off on record, it was of some kind: no reason stands for it.
        and (head.layers_removed or not case.reason_not("job.old_covering_kind"))
    ):
        yield Fault(
            case.where("job.old_covering_kind"),
            {"year": str(year)},
            verdict=Verdict.CANNOT_TELL,
            holds=frozenset(),
            lacks=("job.old_covering_kind",),
        )


@rule(
    id="SAF-010",
    says="Nobody is on record as having {looks} after the work.",
    why="A boot that sits askew leaks in the first rain, and a nail in the lawn finds a foot or a tyre.",
    source="Common practice, no published source",
    owed_by=Party.CREW,
    remedy="Ask who looked, and write name and day under after_work, or “checked by NAME” at the flashing and the "
    "clean-up in the work log. From the ground or a ladder set and held as its maker says, by a trained person.",
    asks="Tell us who looked and on which day. If nobody did, say so; do not climb to make up for "
    "it.",
    manner=Manner(tells_owner=False, sends=Sends.UP, life_safety=False),
    lighter=Weight.NOTE,
    rests_on={
        "job.after_work.boots": ASKED,
        "job.after_work.magnet_sweep": ASKED,
        "job.slopes.*.penetrations": "Without a pipe on record no boot is asked for.",
        "job.work.*.checked_by": "A checked flashing or clean-up stands for the look.",
    },
    examples=[
        Example(
            {"job.work.3": "2026-09-16, flashing + ventilation + hip and ridge + clean-up"},
            finds="Nobody is on record as having seen the boots seated and swept the ground for nails after the "
            "work.",
        ),
        Example(
            {
                "job.work.3": "2026-09-16, flashing + ventilation + hip and ridge + clean-up",
                "job.after_work.boots": "Ida Torvik, 2026-09-16",
                "job.after_work.magnet_sweep": "Ida Torvik, 2026-09-16",
            },
            finds=None,
        ),
    ],
)
def last_look_not_noted(case: Case) -> Iterator[Fault]:
    after = case.job.after_work
    pipes = any(slope.penetrations for slope in case.job.slopes)
    asked = (
        ("boots", "seen the boots seated", Phase.FLASHING, pipes),
        ("magnet_sweep", "swept the ground for nails", Phase.CLEAN_UP, True),
    )
    blanks = {
        f"after_work.{field}": words
        for field, words, phase, here in asked
        if here
        and not _is_signed(getattr(after, field) if after else None)
        and not case.reason_not(f"after_work.{field}")
        and not any(work.checked_by for work in case.work_on(phase))
    }
    if blanks:
        yield Fault(
            case.where(next(iter(blanks))),
            {"looks": listed(list(blanks.values()))},
            verdict=Verdict.MISSING,
            lacks=tuple(blanks),
        )
