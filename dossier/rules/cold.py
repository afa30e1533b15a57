"""Work in the cold."""

from collections.abc import Iterator

from dossier.case.case import Case
from dossier.punchlist import Holds, Manner, Party, Sends, Verdict, Weight
from dossier.rules.asking import not_on_record
from dossier.rules.declare import ASKED, Example, Fault, rule
from dossier.said import Answer, Number, Product, Value
from dossier.words import Role

_SHINGLES = (Role.FIELD_SHINGLE, Role.STARTER, Role.HIP_AND_RIDGE)


_MEMBRANES = (Role.ICE_BARRIER, Role.UNDERLAYMENT, Role.LOW_SLOPE_MEMBRANE)


def _told_a_least(case: Case) -> bool:
    """Return whether the catalogue names a least temperature for anything that has to bond on this roof."""
    return any(
        material.product is not None and material.product.lowest_air_f is not None
        for role in (*_SHINGLES, *_MEMBRANES)
        for material in case.materials_of(role)
    )


@rule(
    id="COD-011",
    says="{product} was laid at {air} °F; below {least} °F its instructions ask for {asked}, and by the record "
    "that was not done.",
    why="What is laid in the cold does not bond by itself: shingles lift in the first gale, and membrane lets "
    "water below it.",
    source="The maker's printed application instructions, as named in the catalogue",
    owed_by=Party.CREW,
    remedy="Ask the crew lead, and correct the record if it was done; else have it made good, and plan a look "
    "in spring.",
    asks="Tell us how cold it was while laying, whether shingles were sealed by hand, and whether "
    "the deck was primed below membrane.",
    manner=Manner(tells_owner=True, sends=Sends.UP, life_safety=False),
    holds={Holds.REGISTRATION},
    cannot_tell="whether all that was laid in the cold can bond",
    rests_on={
        "job.installation.lowest_air_f": ASKED,
        "job.installation.barrier_air_f": "Membrane without a temperature of its own has the shingles'.",
        "job.installation.hand_sealed": "Asked where shingles were laid in the cold.",
        "job.installation.primer": "Asked where membrane was laid in the cold.",
    },
    examples=[
        Example(
            {"job.installation.lowest_air_f": "38", "job.installation.hand_sealed": "no"},
            finds="Fenwright 40 was laid at 38 °F; below 40 °F its instructions ask for sealing by hand, and by "
            "the record that was not done.",
        ),
        Example(
            {"job.installation.lowest_air_f": "38", "job.installation.hand_sealed": "yes"},
            finds="Whether all that was laid in the cold can bond cannot be told: the record does not say "
            "whether the deck was primed below Icehold ice barrier, laid at 38 °F.",
        ),
        Example(
            {"job.installation.lowest_air_f": "38", "job.installation.primer": "yes"},
            finds="Whether all that was laid in the cold can bond cannot be told: the record does not say "
            "whether Fenwright 40, laid at 38 °F was sealed by hand.",
        ),
        Example(
            {"job.installation.lowest_air_f": None},
            finds="Whether all that was laid in the cold can bond cannot be told: the record does not say how "
            "cold the air was while laying.",
        ),
        Example({"job.installation.lowest_air_f": "40"}, finds=None),
        Example(
            {
                "job.installation.lowest_air_f": "38",
                "job.installation.hand_sealed": "yes",
                "job.installation.primer": "yes",
            },
            finds=None,
        ),
        Example(
            {
                "job.installation.lowest_air_f": "38",
                "job.installation.barrier_air_f": "41",
                "job.installation.hand_sealed": "yes",
            },
            finds=None,
        ),
    ],
)
def laid_in_the_cold(case: Case) -> Iterator[Fault]:
    installation = case.job.installation
    air = installation.lowest_air_f if installation else None
    barrier_air = installation.barrier_air_f if installation else None
    groups = (
        (_SHINGLES, air, "installation.lowest_air_f", "hand_sealed"),
        (
            _MEMBRANES,
            air if barrier_air is None else barrier_air,
            "installation.barrier_air_f",
            "primer",
        ),
    )
    for roles, laid_at, path, field in groups:
        named: set[str] = set()
        for material in (one for role in roles for one in case.materials_of(role)):
            least = material.product.lowest_air_f if material.product else None
            if least is None or material.name in named:
                continue
            named.add(material.name)
            if laid_at is None:
                continue
            done = getattr(installation, field)
            if laid_at >= least or done:
                continue
            sealing = field == "hand_sealed"
            if done is None:
                text = "whether the deck was primed below {product}, laid at {air} °F"
                if sealing:
                    text = "whether {product}, laid at {air} °F was sealed by hand"
                laid_cold: dict[str, Value] = {
                    "product": Product(material.name),
                    "air": Number(laid_at),
                }
                needs = Answer.of(text, laid_cold)
                yield not_on_record(
                    case,
                    {f"installation.{field}": needs},
                    holds={Holds.REGISTRATION} if sealing else (),
                )
                continue
            yield Fault(
                case.where(path if case.lines.has(path) else "installation.lowest_air_f"),
                {
                    "product": material.name,
                    "air": Number(laid_at),
                    "least": Number(least),
                    "asked": "sealing by hand" if sealing else "a primed deck",
                },
                holds=frozenset({Holds.REGISTRATION} if sealing else ()),
            )
    if air is None and not case.reason_not("installation.lowest_air_f") and _told_a_least(case):
        needs_air = {"installation.lowest_air_f": Answer("how cold the air was while laying")}
        yield not_on_record(case, needs_air)


@rule(
    id="COD-012",
    says="Spring check owed: shingles were laid at {air} °F, and nobody has looked whether they sealed.",
    why="Shingles laid cold should bond with the first warm weeks; a look in spring finds those that did not "
    "before the wind does.",
    source="Common practice, no published source",
    owed_by=Party.OFFICE,
    remedy="Look from the ground or a ladder set and held as its maker says, by a person trained for it; write "
    "the day under after_work.spring_bond_check.",
    manner=Manner(tells_owner=False, sends=Sends.UP, life_safety=False, due_is="before summer"),
    rests_on={
        "job.installation.lowest_air_f": "A temperature that is not on record is asked for by COD-011.",
        "job.after_work.spring_bond_check": ASKED,
    },
    lighter=Weight.NOTE,
    examples=[
        Example(
            {"job.installation.lowest_air_f": "38", "job.installation.hand_sealed": "yes"},
            finds="Spring check owed: shingles were laid at 38 °F, and nobody has looked whether they sealed.",
        ),
        Example({"job.installation.lowest_air_f": "41"}, finds=None),
    ],
)
def spring_check_owed(case: Case) -> Iterator[Fault]:
    installation = case.job.installation
    air = installation.lowest_air_f if installation else None
    after = case.job.after_work
    if air is None or (after is not None and after.spring_bond_check is not None):
        return
    cold = any(
        material.product is not None
        and material.product.lowest_air_f is not None
        and air < material.product.lowest_air_f
        for material in case.materials_of(Role.FIELD_SHINGLE)
    )
    if cold:
        done = case.last_day_of_work()
        due = (
            None
            if done is None
            else done.replace(month=5, day=31, year=done.year + (done.month > 5))
        )
        yield Fault(
            case.where("installation.lowest_air_f"),
            {"air": Number(air)},
            verdict=Verdict.MISSING,
            due=due,
            lacks=("after_work.spring_bond_check",),
        )
