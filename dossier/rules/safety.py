"""What a named person looks at after the work, so that nobody comes to harm."""

from collections.abc import Iterator
from types import MappingProxyType

from dossier.case.case import Case
from dossier.punchlist import Holds, Manner, Party, Sends, Verdict, Weight
from dossier.record.signed import Signed
from dossier.rules.declare import ASKED, Example, Fault, rule
from dossier.said import Listed
from dossier.words import Phase


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
    if is_signed(after.flues if after else None):
        return
    # Where the record counts flues, no reason stands for a look at them.
    excused = case.reason_not("after_work.flues") is not None
    if flues or (flues is None and not excused):
        yield Fault(where, verdict=Verdict.MISSING, lacks=("after_work.flues",))
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


def is_signed(look: Signed | None) -> bool:
    """Return whether a named person noted a look, on a day."""
    return look is not None and look.is_whole


@rule(
    id="SAF-002",
    says="The {what} looked at on {looked}, before the last day of work on {last}.",
    why="What was upright, seated or clean then may have been knocked loose or littered afterwards.",
    source="Common practice, no published source",
    owed_by=Party.CREW,
    remedy="Have it looked at again, and correct the day.",
    asks="What is named here has to be looked at once more, flues by a licensed person, since work went on after "
    "the look. Tell us who, and when.",
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
        # What is seen from inside the attic is a note at most; only flues put somebody in danger.
        Example(
            {"job.after_work.baffles": "Ida Torvik, 2026-09-15"},
            finds="The baffles were looked at on 2026-09-15, before the last day of work on 2026-09-16.",
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
                lighter=Weight.NOTE if field == "baffles" else None,
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
    if not is_signed(after.ducts if after else None):
        path = "after_work.ducts"
        yield Fault(case.where(path), verdict=Verdict.MISSING, lacks=(path,))


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
        and not is_signed(getattr(after, field) if after else None)
        and not case.reason_not(f"after_work.{field}")
        and not any(work.checked_by for work in case.work_on(phase))
    }
    if blanks:
        yield Fault(
            case.where(next(iter(blanks))),
            {"looks": Listed(tuple(blanks.values()))},
            verdict=Verdict.MISSING,
            lacks=tuple(blanks),
        )
