"""Code and installation: drip edge, flashing, kick-outs, crickets, valleys."""

from collections.abc import Iterator

from dossier.assess.results import Assessment
from dossier.case.case import Case
from dossier.punchlist import Holds, Manner, Party, Sends, Verdict, Weight
from dossier.rules.asking import not_on_record
from dossier.rules.declare import Example, Fault, rule
from dossier.said import Answer, Feet, Inches, Listed, say
from dossier.words import EdgeKind, FlashingState

_PLAIN = {
    "label": "back",
    "pitch": "6:12",
    "plan": "40 ft x 14 ft",
    "eave_ft": "40",
    "rake_ft": "31.3",
}
_VALLEY = {
    "label": "back",
    "pitch": "6:12",
    "plan": "40 ft x 14 ft",
    "eave_ft": "40",
    "rake_ft": "31.3",
    "valley_ft": "16",
}


@rule(
    id="COD-003",
    says="No drip edge is on record at the {edges}.",
    why="Without metal the deck's edge rots, and the code asks for it at eaves and rakes.",
    source="IRC 2018, 2021 and 2024, section R905.2.8.5",
    owed_by=Party.CREW,
    remedy="Ask the crew lead which edges carry metal and write it under installation.drip_edge_at.",
    asks="Tell us where drip edge was laid, and send a photo that shows it.",
    manner=Manner(tells_owner=True, sends=Sends.UP, life_safety=False),
    holds={Holds.PERMIT},
    cannot_tell="whether drip edge is missing at the rakes",
    rests_on={
        "job.installation.drip_edge_at": "Nothing typed is drip edge nowhere: the rule asks where it was laid.",
        "job.slopes.*.rake_ft": "Asked where no drip edge is on record at the rakes and no slope has rakes on "
        "record.",
    },
    examples=[
        Example(
            {"job.installation.drip_edge_at": "eaves"},
            finds="No drip edge is on record at the rakes.",
        ),
        Example(
            {
                "job.installation.drip_edge_at": "eaves",
                "job.slopes": "front, faces S, 6:12, plan 40 ft x 14 ft, eave 40 ft, ridge 40 ft",
                "job.repairs": None,
            },
            finds="Whether drip edge is missing at the rakes cannot be told: the length of the rakes is needed.",
        ),
        Example({"job.installation.drip_edge_at": "rakes, eaves"}, finds=None),
    ],
)
def no_drip_edge(case: Case, assessment: Assessment) -> Iterator[Fault]:
    installation = case.job.installation
    laid = installation.drip_edge_at if installation else ()
    if case.reason_not("installation.drip_edge_at"):
        return
    totals = assessment.totals
    here = {EdgeKind.EAVES: totals.eave_ft, EdgeKind.RAKES: totals.rake_ft}
    blank = [edge.value for edge in EdgeKind if edge not in laid and here[edge] != 0]
    hipped = any(slope.hip_ft or slope.valley_ft for slope in case.job.slopes)
    if EdgeKind.RAKES not in laid and totals.rake_ft == 0 and not hipped:
        unknown = {
            f"slopes.{number}.rake_ft": "the length of the rakes"
            for number, slope in enumerate(case.job.slopes)
            if slope.rake_ft is None
        }
        if unknown:
            yield not_on_record(case, dict(list(unknown.items())[:1]))
    if blank:
        yield Fault(
            case.where("installation.drip_edge_at"),
            {"edges": Listed(tuple(blank))},
            verdict=Verdict.MISSING,
            lacks=("installation.drip_edge_at",),
        )


@rule(
    id="COD-009",
    says="The chimney on slope {slope} is {width} wide and {cricket}.",
    why="Snow and water stand behind a wide chimney until they find a way in.",
    source="IRC 2018, 2021 and 2024, section R903.2.2 (wider than 30 in)",
    owed_by=Party.CREW,
    remedy="Ask the crew lead; write cricket: yes, or at_ridge: yes where nothing drains onto it.",
    asks="Tell us whether a cricket was built behind this chimney, and send a photo.",
    manner=Manner(tells_owner=True, sends=Sends.UP, life_safety=False),
    holds={Holds.PERMIT},
    cannot_tell="whether the chimney on {slopes} needs a cricket",
    rests_on={
        "job.slopes.*.chimneys": "A chimney is listed where there is one; no line is no chimney.",
        "job.slopes.*.chimneys.*.width_in": "Asked where a chimney stands below the ridge and no cricket is on "
        "record.",
        "job.slopes.*.chimneys.*.cricket": "No cricket on record is what the rule reports, where one is needed.",
        "job.slopes.*.chimneys.*.at_ridge": "A chimney is taken to stand below the ridge, where water reaches it.",
        "job.slopes.*.skylights": "A unit skylight, flashed by its instructions, is left out (from memory).",
    },
    examples=[
        Example(
            {"job.slopes.1": {**_PLAIN, "chimneys": {"width_in": "32"}}},
            finds="The chimney on slope back is 32 in wide and no cricket is on record.",
        ),
        Example(
            {"job.slopes.1": {**_PLAIN, "chimneys": {"cricket": "no"}}},
            finds="Whether the chimney on slope back needs a cricket cannot be told: its width is needed.",
        ),
        Example({"job.slopes.1": {**_PLAIN, "chimneys": {"width_in": "30"}}}, finds=None),
        Example(
            {"job.slopes.1": {**_PLAIN, "chimneys": {"width_in": "48", "at_ridge": "yes"}}},
            finds=None,
        ),
    ],
)
def no_cricket(case: Case, assessment: Assessment) -> Iterator[Fault]:
    for number, slope in enumerate(case.job.slopes):
        for index, chimney in enumerate(slope.chimneys):
            path = f"slopes.{number}.chimneys.{index}"
            if chimney.cricket or chimney.at_ridge:
                continue
            if chimney.width_in is None:
                yield not_on_record(case, {f"{path}.width_in": "its width"}, {"slope": slope.label})
            elif path in assessment.details.crickets:
                none = chimney.cricket is False
                yield Fault(
                    case.where(path),
                    {
                        "slope": slope.label,
                        "width": Inches(chimney.width_in),
                        "cricket": "has no cricket, by the record"
                        if none
                        else "no cricket is on record",
                    },
                    verdict=Verdict.WRONG if none else Verdict.MISSING,
                    lacks=() if none else (f"{path}.cricket",),
                )


@rule(
    id="COD-010",
    says="An eave of slope {slope} meets a wall and no kick-out is on record there.",
    why="Without a kick-out the water of the whole slope runs down inside the wall.",
    source="IRC 2018, 2021 and 2024, section R903.2.1",
    owed_by=Party.CREW,
    remedy="Ask the crew lead, file the photo under photos/flashing/, and write kick_out: yes at the slope, or "
    "at the eave where the slope has several.",
    asks="Tell us whether a kick-out was set there, and send a photo.",
    manner=Manner(tells_owner=True, sends=Sends.UP, life_safety=False),
    holds={Holds.PERMIT},
    cannot_tell="whether {slopes} needs a kick-out",
    rests_on={
        "job.slopes.*.step_flashing_ft": "A slope's line names the edges it has; blank is none of that edge.",
        "job.slopes.*.eave_meets_wall": "Asked where a slope lies beside a wall and has no chimney that its "
        "step flashing may belong to.",
        "job.slopes.*.kick_out": "No kick-out on record is what the rule reports, where one is needed.",
        "job.installation.kick_out": "No kick-out on record is what the rule reports, where one is needed.",
    },
    examples=[
        Example(
            {"job.slopes.1": {**_PLAIN, "eave_meets_wall": "yes"}},
            finds="An eave of slope back meets a wall and no kick-out is on record there.",
        ),
        Example(
            {
                "job.slopes.0": {**_PLAIN, "label": "front", "eave_meets_wall": "yes"},
                "job.slopes.1": {**_PLAIN, "eave_meets_wall": "yes"},
                "job.installation.kick_out": "yes",
            },
            finds="An eave of slope back meets a wall and no kick-out is on record there.",
        ),
        Example(
            {"job.slopes.1": {**_PLAIN, "step_flashing_ft": "12"}},
            finds="Whether slope back needs a kick-out cannot be told: the record does not say whether its eave "
            "dies into a wall.",
        ),
        Example(
            {
                "job.slopes.1": {**_PLAIN, "eave_meets_wall": "yes"},
                "job.installation.kick_out": "yes",
            },
            finds=None,
        ),
        Example(
            {"job.slopes.1": {**_PLAIN, "eave_meets_wall": "yes", "kick_out": "yes"}}, finds=None
        ),
    ],
)
def no_kick_out(case: Case) -> Iterator[Fault]:
    # One field speaks of the whole roof, so it can answer for one place only.
    places = tuple(_walls_below(case))
    installation = case.job.installation
    for path, group, label, told in places:
        kick = told
        if kick is None and len(places) == 1 and installation is not None:
            kick = installation.kick_out
        if not kick and not case.reason_not("installation.kick_out"):
            lacks = (f"{group}.kick_out",)
            yield Fault(case.where(path), {"slope": label}, verdict=Verdict.MISSING, lacks=lacks)
    for number, slope in enumerate(case.job.slopes):
        said = slope.eave_meets_wall is not None or any(
            eave.meets_wall is not None for eave in slope.eaves
        )
        if said or not slope.step_flashing_ft or slope.chimneys or slope.eave_ft == 0:
            continue
        path = f"slopes.{number}.eave_meets_wall"
        if not case.reason_not(path):
            yield not_on_record(
                case, {path: Answer("whether its eave dies into a wall")}, {"slope": slope.label}
            )


def _walls_below(case: Case) -> Iterator[tuple[str, str, str, bool | None]]:
    """Yield each place where an eave dies into a wall: path, group, slope, and its kick-out."""
    for number, slope in enumerate(case.job.slopes):
        eaves = [(index, eave) for index, eave in enumerate(slope.eaves) if eave.meets_wall]
        for index, eave in eaves:
            # The slope's own word answers for its eaves, since it speaks of each of its places.
            kick = eave.kick_out if eave.kick_out is not None else slope.kick_out
            group = f"slopes.{number}.eaves.{index}"
            yield group, group, slope.label, kick
        if slope.eave_meets_wall and not eaves:
            group = f"slopes.{number}"
            yield f"{group}.eave_meets_wall", group, slope.label, slope.kick_out


@rule(
    id="COD-014",
    says="The valleys: {fault}.",
    why="A valley carries the water of two slopes; more roofs leak there than on the slopes.",
    source="IRC 2018 and 2021, section R905.2.8.2 (24 in open metal; 36 in lining below closed valleys)",
    owed_by=Party.CREW,
    remedy="Ask the crew lead how the valleys were lined and laid, and write valley_method and valley_lining_in.",
    asks="Tell us how the valleys were laid.",
    manner=Manner(tells_owner=False, sends=Sends.UP, life_safety=False),
    holds={Holds.PERMIT},
    cannot_tell="how the valleys were lined",
    rests_on={
        "job.slopes.*.valley_ft": "A valley is measured where there is one; no length is no valley.",
        "job.installation.valley_method": "Asked where a valley is on record.",
        "job.installation.valley_lining_in": "Asked where a valley is on record.",
    },
    examples=[
        Example(
            {
                "job.slopes.1": _VALLEY,
                "job.installation.valley_method": "open metal",
                "job.installation.valley_lining_in": "20",
            },
            finds="The valleys: lining 20 in wide, 24 in needed.",
        ),
        Example(
            {"job.slopes.1": _VALLEY},
            finds="How the valleys were lined cannot be told: the valley method and the width of the lining are "
            "needed.",
        ),
        Example(
            {
                "job.slopes.1": _VALLEY,
                "job.installation.valley_method": "open metal",
                "job.installation.valley_lining_in": "24",
            },
            finds=None,
        ),
    ],
)
def valley_lining_wrong(case: Case, assessment: Assessment) -> Iterator[Fault]:
    if not assessment.totals.valley_ft:
        return
    installation = case.job.installation
    method = installation.valley_method if installation else None
    width = installation.valley_lining_in if installation else None
    where = case.where("installation.valley_method")
    needs = {
        f"installation.{field}": name
        for field, name, value in (
            ("valley_method", "the valley method", method),
            ("valley_lining_in", "the width of the lining", width),
        )
        if value is None
    }
    if needs:
        yield not_on_record(case, needs)
    else:
        for fault in assessment.details.valley_faults:
            yield Fault(where, {"fault": fault})


@rule(
    id="COD-016",
    says="The flashing was {state}{old}.",
    why="Old flashing under a new roof is the commonest place a new roof leaks.",
    source="IRC 2018, 2021 and 2024, sections R908.5 (metal that is rusted, damaged or deteriorated is not to "
    "be reinstalled) and R908.6 (flashings by the maker's instructions), both from memory; that kept flashing "
    "weakens a claim is common practice, no published source",
    owed_by=Party.OFFICE,
    remedy="Write under installation.kept_flashing_sound whether what stayed was free of rust and damage; say "
    "in the handover which flashing stayed and why, and look there first when a leak is told.",
    manner=Manner(tells_owner=False, sends=Sends.UP, life_safety=False),
    holds={Holds.PERMIT},
    lighter=Weight.WEAKENS,
    cannot_tell="whether old flashing stayed on this roof",
    rests_on={
        "job.slopes.*.step_flashing_ft": "A slope's line names the edges it has; blank is none of that edge.",
        "job.slopes.*.chimneys": "A slope's line names what stands on it; blank is none.",
        "job.slopes.*.skylights": "A slope's line names what stands in it; blank is none.",
        "job.installation.flashing": "Asked where the roof meets a wall, a chimney or a skylight.",
        "job.installation.kept_flashing_sound": "Kept flashing is reported whether or not somebody looked at "
        "it; that nobody is on record as having looked is said with it.",
    },
    examples=[
        Example(
            {"job.installation.flashing": "reused", "job.installation.kept_flashing_sound": "yes"},
            finds="The flashing was reused.",
        ),
        Example(
            {
                "job.slopes.1": {**_PLAIN, "step_flashing_ft": "12", "eave_meets_wall": "no"},
                "job.installation.flashing": "reused",
            },
            finds="The flashing was reused, 12 ft of step flashing with it, and nobody is on record as having "
            "seen it free of rust and damage.",
        ),
        Example(
            {
                "job.installation.flashing": "partly replaced",
                "job.installation.kept_flashing_sound": "no",
            },
            finds="The flashing was partly replaced, though what was kept was rusted or damaged.",
        ),
        Example(
            {
                "job.slopes.1": {**_PLAIN, "step_flashing_ft": "12", "eave_meets_wall": "no"},
                "job.installation.flashing": None,
            },
            finds="Whether old flashing stayed on this roof cannot be told: the record does not say whether the "
            "flashing was replaced or kept.",
        ),
        Example({"job.installation.flashing": "replaced"}, finds=None),
        Example({"job.installation.flashing": None}, finds=None),
    ],
)
def old_flashing_kept(case: Case, assessment: Assessment) -> Iterator[Fault]:
    installation = case.job.installation
    state = installation.flashing if installation else None
    path = "installation.flashing"
    if state is None:
        meets = any(
            slope.step_flashing_ft or slope.chimneys or slope.skylights or slope.eave_meets_wall
            for slope in case.job.slopes
        )
        if meets and not case.reason_not(path):
            # A blank holds nothing: only flashing known to be rusted breaks the code.
            yield not_on_record(
                case, {path: Answer("whether the flashing was replaced or kept")}, holds=()
            )
    elif state is not FlashingState.REPLACED:
        sound = installation.kept_flashing_sound if installation else None
        if state is FlashingState.PARTLY and sound is not False:
            # Counterflashing let into a sound chimney is kept by good practice; only its state is asked for.
            if sound is None:
                kept = {
                    "installation.kept_flashing_sound": Answer("whether what was kept is sound")
                }
                yield not_on_record(case, kept, holds=(), lighter=Weight.NOTE)
            return
        walls_ft = assessment.totals.step_flashing_ft
        old = []
        if walls_ft and state is FlashingState.REUSED:
            old.append(say(", {length} of step flashing with it", length=Feet(walls_ft)))
        if sound is None:
            seen = ", and nobody is on record as having seen it free of rust and damage"
            old.append(say(seen))
        elif not sound:
            old.append(say(", though what was kept was rusted or damaged"))
        held = {Holds.PERMIT} if sound is False else set[Holds]()
        yield Fault(
            case.where(path), {"state": state, "old": Listed(tuple(old), "")}, holds=frozenset(held)
        )
