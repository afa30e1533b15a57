"""Who did the work, who looked at it, who agreed to it, and whether each might."""

from collections.abc import Iterator
from datetime import date

from dossier.case.case import Case
from dossier.punchlist import Holds, Manner, Party, Sends, Verdict
from dossier.rules.declare import ASKED, Example, Fault, rule
from dossier.said import Listed, Said, Value, say
from dossier.values import spelt
from dossier.words import Phase


def _own_people(case: Case) -> frozenset[str]:
    """Return the people of the company, as far as the job and the company's sheet name them."""
    people = {case.job.job.supervised_by, case.job.job.crew_lead}
    for crew in case.company.crews:
        people |= {crew.lead, crew.supervisor, *crew.members}
    return frozenset(spelt(name) for name in people if name)


_InForce = tuple[Said, str, date | None, date | None]
"""A licence or an insurance: its name, its place in company.yaml, its first and last day."""


def _covered(papers: list[_InForce], name: Said, day: date) -> bool:
    return any(
        other == name and begins is not None and ends is not None and begins <= day <= ends
        for other, _, begins, ends in papers
    )


@rule(
    id="IDN-002",
    says="Nobody is named as having supervised the work.",
    why="Ten years on, the person who stood there is the first one an adjuster or a maker asks for.",
    source="Our habit; no published source",
    owed_by=Party.OFFICE,
    remedy="Write the crew under job.crew, or the name under job.supervised_by; or give the crew a supervisor in "
    "company.yaml.",
    manner=Manner(tells_owner=True, sends=Sends.NOWHERE, life_safety=False),
    rests_on={
        "company.crews": "A crew without a supervisor of its own leaves the job's, which is asked for.",
        "job.job.supervised_by": ASKED,
        "job.job.crew": "Asked together with the supervisor, where a crew of the company has one.",
    },
    examples=[
        Example({"job.job.crew": None}, finds="Nobody is named as having supervised the work."),
        Example({"job.job.crew": None, "job.job.supervised_by": "Ida Torvik"}, finds=None),
    ],
)
def no_supervisor(case: Case) -> Iterator[Fault]:
    if case.supervised_by is not None:
        return
    by_crew = not case.job.job.crew and any(crew.supervisor for crew in case.company.crews)
    lacks = ("job.crew", "job.supervised_by") if by_crew else ("job.supervised_by",)
    yield Fault(case.where("job.supervised_by"), verdict=Verdict.MISSING, lacks=lacks)


@rule(
    id="IDN-005",
    says="The crew “{crew}” is not one of the company's crews.",
    why="Without the crew's sheet the record does not say who led the work.",
    source="Our habit; no published source",
    owed_by=Party.OFFICE,
    remedy="Correct the name, or add the crew to company.yaml.",
    manner=Manner(tells_owner=False, sends=Sends.NOWHERE, life_safety=False),
    rests_on={
        "company.crews": "A crew that is not listed is what the rule finds.",
        "job.job.crew": "A blank names no crew; who supervised is asked for by IDN-002.",
    },
    examples=[
        Example(
            {"job.job.crew": "nroth"}, finds="The crew “nroth” is not one of the company's crews."
        ),
        Example(
            {"job.job.crew": "north + laekside"},
            finds="The crew “laekside” is not one of the company's crews.",
        ),
        Example({"job.job.crew": "north + lakeside"}, finds=None),
    ],
)
def unknown_crew(case: Case) -> Iterator[Fault]:
    known = {crew.name for crew in case.company.crews}
    for crew in case.job.job.crew:
        if crew not in known:
            yield Fault(case.where("job.crew"), {"crew": crew})


@rule(
    id="IDN-010",
    says="{name}, who looked at {what}, is in no crew of the company.",
    why="A look counts for as much as the person behind it; ten years on somebody must know who that was.",
    source="Our habit; no published source",
    owed_by=Party.OFFICE,
    remedy="Correct the name, or add the person to the crew's members in company.yaml.",
    manner=Manner(tells_owner=False, sends=Sends.NOWHERE, life_safety=False),
    rests_on={
        "company.crews": "A crew that is not listed is what IDN-005 finds.",
        "job.work.*.checked_by": "ORD-004 asks who looked.",
    },
    examples=[
        Example(
            {"job.work.2": "2026-09-15, starter + field, checked by Rolf Krag"},
            finds="Rolf Krag, who looked at starter and field, is in no crew of the company.",
        ),
        Example(
            {
                "job.work.2": "2026-09-15, starter + field, checked by Rolf Krag",
                "company.crews.1.members": ["Rolf Krag"],
            },
            finds=None,
        ),
    ],
)
def looked_at_by_a_stranger(case: Case) -> Iterator[Fault]:
    if not case.company.crews:
        return
    known = _own_people(case)
    seen: dict[str, list[Phase]] = {}
    first: dict[str, str] = {}
    for work in case.work:
        if work.checked_by and spelt(work.checked_by) not in known:
            seen.setdefault(work.checked_by, []).append(work.phase)
            first.setdefault(work.checked_by, work.path)
    for name, phases in seen.items():
        what = Listed(tuple(phase for phase in dict.fromkeys(phases)))
        yield Fault(case.where(first[name]), {"name": name, "what": what})


@rule(
    id="IDN-013",
    says="{what} was agreed to by {name}, who is of the company; what the owner said is not on record.",
    why="Extra work is owed for by the owner who agreed to it; nobody can agree on the owner's behalf to pay "
    "himself.",
    source="Common practice, no published source",
    owed_by=Party.HOMEOWNER,
    remedy="Get the owner's own dated word, a text message for one, and write the owner's name under approved.",
    asks="Confirm in writing, with the day, that you agreed to this extra work. A text message "
    "will do.",
    manner=Manner(tells_owner=False, sends=Sends.NOWHERE, life_safety=False),
    holds={Holds.PAYMENT},
    rests_on={
        "job.repairs.*.approved": "DEC-005 asks for it.",
        "job.money.change_orders.*.approved": "MON-007 asks for it.",
    },
    examples=[
        Example(
            {"job.repairs.0.approved": "Ida Torvik, 2026-09-14"},
            finds="Deck repair 1 was agreed to by Ida Torvik, who is of the company; what the owner said is not "
            "on record.",
        ),
        Example(
            {"job.money.change_orders": "1, 192.00, approved by Ida Torvik on 2026-09-14"},
            finds="Change order 1 was agreed to by Ida Torvik, who is of the company; what the owner said is not "
            "on record.",
        ),
        # Roofers own houses too.
        Example(
            {"job.repairs.0.approved": "Ida Torvik, 2026-09-14", "job.owners": "Ida Torvik"},
            finds=None,
        ),
        Example({"job.repairs.0.approved": "Nils Ekdahl, 2026-09-14"}, finds=None),
    ],
)
def agreed_by_the_company(case: Case) -> Iterator[Fault]:
    owners = {spelt(owner.name) for owner in case.job.owners if owner.name}
    own = _own_people(case) - owners
    money = case.job.money
    agreed = [
        (
            f"repairs.{number}.approved",
            say("Deck repair {number}", number=number + 1),
            repair.approved,
        )
        for number, repair in enumerate(case.job.repairs)
        if f"repairs.{number}.approved" not in case.derived
    ]
    agreed += [
        (
            f"money.change_orders.{n}.approved",
            say("Change order {number}", number=one.number or n + 1),
            one.approved,
        )
        for n, one in enumerate(money.change_orders if money else ())
    ]
    for path, what, approved in agreed:
        if approved and approved.by and spelt(approved.by) in own:
            values: dict[str, Value] = {"what": what, "name": approved.by}
            yield Fault(case.where(path), values, verdict=Verdict.MISSING, lacks=(path,))


@rule(
    id="IDN-012",
    says="{paper!c} {gap} on {day}, a day of the work.",
    why="Work without a licence or insurance in force is what an owner, a maker and an insurer ask about first.",
    source="Our habit; which licence and insurance a place asks for is its own law, not judged here",
    owed_by=Party.OFFICE,
    remedy="Correct the days in company.yaml as they stood when this roof was laid, or ask the agency or the "
    "insurer for a paper that covers them.",
    manner=Manner(tells_owner=False, sends=Sends.NOWHERE, life_safety=False),
    cannot_tell="whether {paper} was in force on the days of the work",
    rests_on={
        "company.licence": ASKED,
        "company.licence.valid_to": ASKED,
        "company.licence.valid_from": "A licence without a first day is an old one, renewed to its last day.",
        "company.insurance": ASKED,
        "company.insurance.*.valid_from": ASKED,
        "company.insurance.*.valid_to": ASKED,
        "job.work": "ORD-003 asks for the days of the work.",
    },
    examples=[
        Example(
            {"company.licence.valid_to": "2026-09-15"},
            finds="The licence RC-20311 had ended on 16 September 2026, a day of the work.",
        ),
        Example(
            {"company.insurance.valid_from": "2026-09-15"},
            finds="The insurance for general liability had not begun on 14 September 2026, a day of the work.",
        ),
        Example(
            {"company.insurance": None},
            finds="Whether the company's own insurance was in force on the days of the work cannot be told: "
            "insurance in company.yaml is needed.",
        ),
        Example(
            {"company.licence.valid_to": None},
            finds="Whether the licence RC-20311 was in force on the days of the work cannot be told: its last day "
            "is needed.",
        ),
        Example({"company.licence": "n/a, this place licenses no roofers"}, finds=None),
        Example({"company.licence.valid_to": "2026-09-16"}, finds=None),
    ],
)
def licence_or_insurance_not_in_force(case: Case) -> Iterator[Fault]:
    first, last = case.first_day_of_work(), case.last_day_of_work()
    licence, lines = case.company.licence, case.company_lines
    if first is None or last is None:
        return
    papers: list[_InForce] = []
    if licence is not None:
        name = say("the licence {number}", number=licence.number)
        papers.append((name, "licence", licence.valid_from or first, licence.valid_to))
    for number, one in enumerate(case.company.insurance):
        name = say("the insurance for {covers}", covers=one.covers)
        papers.append((name, f"insurance.{number}", one.valid_from, one.valid_to))
    for field, blank in (("licence", licence is None), ("insurance", not case.company.insurance)):
        if blank and lines.reason_not(field) is None:
            yield Fault(
                lines.where(field),
                {"paper": say("the company's own {field}", field=field)},
                verdict=Verdict.CANNOT_TELL,
                needs=say("{field} in company.yaml", field=field),
                lacks=(f"company.{field}",),
            )
    for name, path, begins, ends in papers:
        lacks = [field for field, day in (("valid_from", begins), ("valid_to", ends)) if not day]
        if begins is None or ends is None:
            named = {"valid_from": "its first day", "valid_to": "its last day"}
            yield Fault(
                lines.where(f"{path}.{lacks[0]}"),
                {"paper": name},
                verdict=Verdict.CANNOT_TELL,
                needs=Listed(tuple(named[field] for field in lacks)),
                lacks=tuple(f"company.{path}.{field}" for field in lacks),
            )
            continue
        # Two policies that follow each other cover the days together, so each is told by itself only where
        # no other of its kind covers the day.
        if begins > first and not _covered(papers, name, first):
            values: dict[str, Value] = {"paper": name, "gap": say("had not begun"), "day": first}
            yield Fault(lines.where(f"{path}.valid_from"), values)
        if ends < last and not _covered(papers, name, last):
            values = {"paper": name, "gap": say("had ended"), "day": last}
            yield Fault(lines.where(f"{path}.valid_to"), values)
