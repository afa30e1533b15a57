"""Identity and parties: whose house, whose work, who looked at it, and where the job says otherwise."""

from collections import Counter
from collections.abc import Iterator
from datetime import date
from itertools import combinations

from dossier.assess.backing import good_papers
from dossier.case.case import Case
from dossier.evidence.facts import Facts, OtherJob
from dossier.punchlist import Holds, Manner, Party, Sends, Verdict, Weight, Where
from dossier.record.roof import Slope
from dossier.rules.declare import ASKED, LEFT_TO_OFFICE, Example, Fault, rule
from dossier.terms.placeholders import is_placeholder, placeholders_in
from dossier.values import listed, write_date
from dossier.words import PaperKind, Phase


@rule(
    id="IDN-001",
    says="No owner of the house is on record.",
    why="A warranty is promised to a named owner; without the name nobody can be registered or handed "
    "the papers.",
    source="Trade practice: fields of a maker's registration form, no published source; that it holds is a house "
    "rule",
    owed_by=Party.HOMEOWNER,
    remedy="Ask the owner for the full name, telephone and e-mail, and write them under owners.",
    asks="Tell us the names of all owners of the house, and how to reach you.",
    manner=Manner(tells_owner=False, sends=Sends.NOWHERE, life_safety=False),
    holds={Holds.HANDOVER, Holds.REGISTRATION},
    rests_on={"job.owners": ASKED},
    examples=[
        Example({"job.owners": None}, finds="No owner of the house is on record."),
        Example({"job.owners": "Marit Ekdahl"}, finds=None),
    ],
)
def no_owner(case: Case) -> Iterator[Fault]:
    if not any(owner.name for owner in case.job.owners):
        yield Fault(case.where("owners"), verdict=Verdict.MISSING)


@rule(
    id="IDN-002",
    says="Nobody is named as having supervised the work.",
    why="Ten years on, the person who stood there is the first one an adjuster or a maker asks for.",
    source="Our habit; no published source",
    owed_by=Party.OFFICE,
    remedy="Write the name under job.supervised_by, or give the crew a supervisor in company.yaml.",
    asks=LEFT_TO_OFFICE,
    manner=Manner(tells_owner=True, sends=Sends.NOWHERE, life_safety=False),
    rests_on={
        "company.crews": "A crew without a supervisor of its own leaves the job's, which is asked for.",
        "job.job.supervised_by": ASKED,
        "job.job.crew": "Without a crew the supervisor is asked for.",
    },
    examples=[
        Example({"job.job.crew": None}, finds="Nobody is named as having supervised the work."),
        Example({"job.job.crew": None, "job.job.supervised_by": "Ida Torvik"}, finds=None),
    ],
)
def no_supervisor(case: Case) -> Iterator[Fault]:
    if case.supervised_by is None:
        yield Fault(case.where("job.supervised_by"), verdict=Verdict.MISSING)


@rule(
    id="IDN-003",
    says="The contract is not on file in papers/.",
    why="The contract shows what was promised and on which day; maker's terms often choose their edition "
    "by that day.",
    source="Trade practice; no published source",
    owed_by=Party.OFFICE,
    remedy="Put the signed contract into papers/ as contract.pdf.",
    asks=LEFT_TO_OFFICE,
    manner=Manner(tells_owner=False, sends=Sends.NOWHERE, life_safety=False),
    rests_on={
        "job.papers": "Papers that are not on file are what the rule finds.",
    },
    examples=[
        Example(
            {"facts.papers/contract.pdf": None}, finds="The contract is not on file in papers/."
        ),
        Example({"facts.papers/contract.pdf.page_count": 12}, finds=None),
    ],
)
def no_contract_on_file(case: Case, facts: Facts) -> Iterator[Fault]:
    if not good_papers(case, facts, PaperKind.CONTRACT):
        yield Fault(Where("papers"), verdict=Verdict.MISSING)


@rule(
    id="IDN-004",
    says="{field} says {job_says}; the sheet it would come from, {sheet}, says {sheet_says}. "
    "The job wins.",
    why="What is said in two places can drift apart; somebody should know that this job differs.",
    source="Our habit; no published source",
    owed_by=Party.OFFICE,
    remedy="Leave it if this job really differs; else delete the line from the job.",
    asks=LEFT_TO_OFFICE,
    manner=Manner(tells_owner=False, sends=Sends.NOWHERE, life_safety=False),
    lighter=Weight.NOTE,
    rests_on={
        "locality.exposure": "A sheet that says nothing differs from nothing.",
        "job.building": "A blank takes the sheet's word and differs from nothing.",
    },
    examples=[
        Example(
            {"job.building.design_wind_mph": "120"},
            finds="building.design_wind_mph says 120; the sheet it would come from, "
            "localities/vintermark-2026.yaml:22, says 115. The job wins.",
        ),
        Example({"job.building.design_wind_mph": "115"}, finds=None),
    ],
)
def job_differs_from_sheet(case: Case) -> Iterator[Fault]:
    for override in case.overrides:
        yield Fault(
            override.where,
            {
                "field": override.field,
                "job_says": override.job_says,
                "sheet_says": override.sheet_says,
                "sheet": str(override.sheet),
            },
        )


@rule(
    id="IDN-005",
    says="The crew “{crew}” is not one of the company's crews.",
    why="Without the crew's sheet the record does not say who led the work.",
    source="Our habit; no published source",
    owed_by=Party.OFFICE,
    remedy="Correct the name, or add the crew to company.yaml.",
    asks=LEFT_TO_OFFICE,
    manner=Manner(tells_owner=False, sends=Sends.NOWHERE, life_safety=False),
    rests_on={
        "company.crews": "A crew that is not listed is what the rule finds.",
        "job.job.crew": "A blank names no crew; who supervised is asked for by IDN-002.",
    },
    examples=[
        Example(
            {"job.job.crew": "nroth"}, finds="The crew “nroth” is not one of the company's crews."
        ),
        Example({"job.job.crew": "lakeside"}, finds=None),
    ],
)
def unknown_crew(case: Case) -> Iterator[Fault]:
    crew = case.job.job.crew
    if crew and all(crew != known.name for known in case.company.crews):
        yield Fault(case.where("job.crew"), {"crew": crew})


@rule(
    id="IDN-006",
    says="{sheet}: {what}.",
    why="What stands on this sheet is printed in the homeowner's document, kept for thirty years: a blank "
    "sheet's own words name nobody, and without a telephone nobody can be called.",
    source="Our habit; no published source",
    owed_by=Party.OFFICE,
    remedy="Type the true words over the blank's; where nothing is to be said there, delete the line.",
    asks=LEFT_TO_OFFICE,
    manner=Manner(tells_owner=False, sends=Sends.NOWHERE, life_safety=False),
    holds={Holds.HANDOVER},
    rests_on={
        "company.workmanship.coverage.promised_by": "A blank is not the word that the sheet was handed out with.",
        "company.phone": ASKED,
    },
    examples=[
        Example(
            {"company.name": "Your company"},
            finds="company.yaml: name still says “Your company”, as the blank sheet does.",
        ),
        Example({"company.name": "Your Company Roofing"}, finds=None),
        Example(
            {"company.phone": None}, finds="company.yaml: no telephone of the company is given."
        ),
        Example({"company.phone": "n/a, by letter only"}, finds=None),
        Example(
            {"locality.name": "The place"},
            finds="localities/vintermark-2026.yaml: name still says “The place”, as the blank sheet does.",
        ),
        Example(
            {"terms.kestrelmoor-2026.title": "The title printed on the document"},
            finds="terms/kestrelmoor-2026.yaml: title still says “The title printed on the document”, "
            "as the blank sheet does.",
        ),
    ],
)
def blank_sheet_not_filled_in(case: Case) -> Iterator[Fault]:
    said: list[tuple[Where, str]] = []
    for sheet, where in ((case.company, case.company_lines), (case.locality, case.locality_lines)):
        said += [(where.where(path), words) for path, words in placeholders_in(sheet)]
    sheets = {asked.file: asked.sheet for asked in case.asked}
    for file, terms in sorted(sheets.items()):
        said += [(Where(file, field=path), words) for path, words in placeholders_in(terms)]
    for at, words in said:
        what = f"{at.field} still says “{words}”, as the blank sheet does"
        yield Fault(at, {"sheet": at.file, "what": what})
    for material in case.materials:
        if material.maker is not None and is_placeholder(material.maker):
            at = case.where(material.path)
            what = f"the maker of {material.name} is still “{material.maker}”, as in the blank catalogue"
            yield Fault(at, {"sheet": at.file, "what": what})
    phone = case.company_lines.where("phone")
    if not case.company.phone and "phone" not in case.company_lines.not_applicable:
        values = {"sheet": phone.file, "what": "no telephone of the company is given"}
        yield Fault(
            phone,
            values,
            verdict=Verdict.MISSING,
            remedy="Write the telephone into company.yaml; n/a and the reason where there is none.",
        )


_NOT_TRUE = frozenset({Holds.HANDOVER, Holds.REGISTRATION})
"""What a record holds that cannot be true: no paper may be printed of it. A house rule."""


@rule(
    id="IDN-007",
    says="{count} slopes are called {label}.",
    why="Photos, repairs and days are filed by a slope's name; two of one name cannot be told apart.",
    source="Our habit; that it holds is our house rule",
    owed_by=Party.OFFICE,
    remedy="Give each slope a name of its own, and use it for its photos too.",
    asks=LEFT_TO_OFFICE,
    manner=Manner(tells_owner=False, sends=Sends.NOWHERE, life_safety=False),
    holds=_NOT_TRUE,
    rests_on={"job.slopes": "COD-020 asks for the slopes."},
    examples=[
        Example(
            {"job.slopes.1": "front, faces N, 6:12, plan 40 ft x 14 ft, eave 40 ft, rakes 31.3 ft"},
            finds="2 slopes are called front.",
        ),
        Example(
            {
                "job.slopes.1": "front-2, faces N, 6:12, plan 40 ft x 14 ft, eave 40 ft, rakes 31.3 ft"
            },
            finds=None,
        ),
    ],
)
def one_name_for_two_slopes(case: Case) -> Iterator[Fault]:
    # File names are read without regard to case, so Front and front are one name there.
    labels = [" ".join(slope.label.lower().split()) for slope in case.job.slopes]
    for label, count in Counter(labels).items():
        if count > 1:
            number = labels.index(label)
            yield Fault(
                case.where(f"slopes.{number}.label"),
                {"count": str(count), "label": case.job.slopes[number].label},
            )


@rule(
    id="IDN-008",
    says="{what} names the slope “{label}”, which is none of {slopes}.",
    why="What is filed under a slope that is not there is on no plan and in no figure.",
    source="Our habit; that it holds is our house rule",
    owed_by=Party.OFFICE,
    remedy="Write the slope's name as it stands under slopes, or add the slope.",
    asks=LEFT_TO_OFFICE,
    manner=Manner(tells_owner=False, sends=Sends.NOWHERE, life_safety=False),
    holds=_NOT_TRUE,
    rests_on={
        "job.repairs": "A repair that is not on record names no slope.",
        "job.slopes": "COD-020 asks for the slopes.",
    },
    examples=[
        Example(
            {"job.repairs.0.slope": "rear"},
            finds="Deck repair 1 names the slope “rear”, which is none of front and back.",
        ),
        Example(
            {"job.work.1": "2026-09-14, underlayment, on front + rear, checked by Ida Torvik"},
            finds="The work log's line 2 names the slope “rear”, which is none of front and back.",
        ),
        Example(
            {"job.decks": {"slopes": "front, rear", "kind": "OSB", "thickness_in": "7/16"}},
            finds="Deck 1 names the slope “rear”, which is none of front and back.",
        ),
        Example({"job.repairs.0.slope": "front"}, finds=None),
    ],
)
def slope_that_is_none(case: Case) -> Iterator[Fault]:
    known = [slope.label for slope in case.job.slopes]
    named = [
        *(
            (f"Deck {n + 1}", f"decks.{n}.slopes", label)
            for n, deck in enumerate(case.job.decks)
            for label in deck.slopes
        ),
        *(
            (f"Deck repair {n + 1}", f"repairs.{n}.slope", repair.slope)
            for n, repair in enumerate(case.job.repairs)
            if repair.slope
        ),
        *(
            (f"The work log's line {n + 1}", f"work.{n}", label)
            for n, day in enumerate(case.job.work)
            for label in day.slopes
        ),
    ]
    named += [
        (f"The lot {lot.mark}", f"deliveries.{d}.lines.{n}.lots.{m}", label)
        for d, delivery in enumerate(case.job.deliveries)
        for n, line in enumerate(delivery.lines)
        for m, lot in enumerate(line.lots)
        for label in lot.slopes
    ]
    for what, path, label in named:
        if known and label not in known:
            yield Fault(case.where(path), {"what": what, "label": label, "slopes": listed(known)})


@rule(
    id="IDN-009",
    says="Slopes {one} and {other} both face {faces}, and no slope faces the other way.",
    why="The two sides of a gable fall away from each other; a plan drawn of this record would be wrong.",
    source="Geometry; that it holds is our house rule",
    owed_by=Party.OFFICE,
    remedy="Correct the side that one of them faces.",
    asks=LEFT_TO_OFFICE,
    manner=Manner(tells_owner=False, sends=Sends.NOWHERE, life_safety=False),
    holds=frozenset({Holds.HANDOVER}),
    rests_on={"job.slopes.*.faces": "Without it the plan says that the side is not on record."},
    examples=[
        Example(
            {
                "job.slopes.1": "back, faces S, 6:12, plan 40 ft x 14 ft, eave 40 ft, rakes 31.3 ft, pipes 1"
            },
            finds="Slopes front and back both face S, and no slope faces the other way.",
        ),
        Example(
            # A porch below the only slope that was re-roofed faces as it does.
            {
                "job.slopes.1": "porch, faces S, 6:12, plan 12 ft x 8 ft, eave 12 ft",
                "job.repairs": None,
            },
            finds=None,
        ),
    ],
)
def gable_sides_face_one_way(case: Case) -> Iterator[Fault]:
    sides = {_side(slope) for slope in case.job.slopes}
    for one, other in combinations(case.job.slopes, 2):
        side = _side(one)
        # Two planes of one size that share a ridge are the sides of a gable; any other two may fall one way.
        alike = (
            one.pitch == other.pitch
            and one.plan == other.plan
            and one.eave_ft == other.eave_ft
            and (one.plan is not None or one.eave_ft is not None)
        )
        ridges = [slope.ridge_ft for slope in (one, other) if slope.ridge_ft]
        gable = side in _ACROSS and side == _side(other) and alike and len(ridges) == 1
        if gable and _ACROSS[side] not in sides:
            number = case.job.slopes.index(other)
            values = {"one": one.label, "other": other.label, "faces": other.faces or ""}
            yield Fault(case.where(f"slopes.{number}.faces"), values)


_ACROSS = {"N": "S", "S": "N", "E": "W", "W": "E", "NE": "SW", "SW": "NE", "NW": "SE", "SE": "NW"}


def _side(slope: Slope) -> str:
    """Return the side a slope faces in one or two capitals, of S, south, SE or south-east."""
    words = (slope.faces or "").upper().replace("-", " ").split()
    return "".join(word if len(word) <= 2 else word[0] for word in words)


@rule(
    id="IDN-010",
    says="{name}, who looked at {what}, is in no crew of the company.",
    why="A look counts for as much as the person behind it; ten years on somebody must know who that was.",
    source="Our habit; no published source",
    owed_by=Party.OFFICE,
    remedy="Correct the name, or add the person to the crew's members in company.yaml.",
    asks=LEFT_TO_OFFICE,
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
        if work.checked_by and _person(work.checked_by) not in known:
            seen.setdefault(work.checked_by, []).append(work.phase)
            first.setdefault(work.checked_by, work.path)
    for name, phases in seen.items():
        what = listed([phase.value for phase in dict.fromkeys(phases)])
        yield Fault(case.where(first[name]), {"name": name, "what": what})


def _person(name: str) -> str:
    return " ".join(name.lower().split())


def _own_people(case: Case) -> frozenset[str]:
    """Return the people of the company, as far as the job and the company's sheet name them."""
    people = {case.job.job.supervised_by, case.job.job.crew_lead}
    for crew in case.company.crews:
        people |= {crew.lead, crew.supervisor, *crew.members}
    return frozenset(_person(name) for name in people if name)


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
    owners = {_person(owner.name) for owner in case.job.owners if owner.name}
    own = _own_people(case) - owners
    money = case.job.money
    agreed = [
        (f"repairs.{number}.approved", f"Deck repair {number + 1}", repair.approved)
        for number, repair in enumerate(case.job.repairs)
    ]
    agreed += [
        (f"money.change_orders.{n}.approved", f"Change order {one.number or n + 1}", one.approved)
        for n, one in enumerate(money.change_orders if money else ())
    ]
    for path, what, approved in agreed:
        if approved and approved.by and _person(approved.by) in own:
            yield Fault(
                case.where(path), {"what": what, "name": approved.by}, verdict=Verdict.MISSING
            )


@rule(
    id="IDN-011",
    says="{folder} has the same {what}.",
    why="Papers of two houses under one number are mixed up sooner or later, and a recall finds the wrong one.",
    source="The office's index of its own job folders; that it holds is our house rule",
    owed_by=Party.OFFICE,
    remedy="Look at both permit cards and contracts, and correct the number that was copied from the other job.",
    asks=LEFT_TO_OFFICE,
    manner=Manner(tells_owner=False, sends=Sends.NOWHERE, life_safety=False),
    holds=_NOT_TRUE,
    rests_on={"job.permit.number": "PER-001 asks for it; a blank is the same as no other."},
    examples=[
        Example(
            {"facts.elsewhere": [OtherJob("2026-040-heron-way", number=True, permit=False)]},
            finds="2026-040-heron-way has the same job number.",
        ),
        Example(
            {"facts.elsewhere": [OtherJob("2026-040-heron-way", number=False, permit=True)]},
            finds="2026-040-heron-way has the same permit number.",
        ),
        Example({"facts.elsewhere": []}, finds=None),
    ],
)
def another_job_has_the_number(case: Case, facts: Facts) -> Iterator[Fault]:
    for other in facts.elsewhere:
        for same, what, path in (
            (other.number, "job number", "job.number"),
            (other.permit, "permit number", "permit.number"),
        ):
            if same:
                yield Fault(case.where(path), {"folder": other.folder, "what": what})


_InForce = tuple[str, str, date | None, date | None]
"""A licence or an insurance: its name, its place in company.yaml, its first and last day."""


@rule(
    id="IDN-012",
    says="{paper} {gap} on {day}, a day of the work.",
    why="Work without a licence or insurance in force is what an owner, a maker and an insurer ask about first.",
    source="Our habit; which licence and insurance a place asks for is its own law, not judged here",
    owed_by=Party.OFFICE,
    remedy="Correct the days in company.yaml as they stood when this roof was laid, or ask the agency or the "
    "insurer for a paper that covers them.",
    asks=LEFT_TO_OFFICE,
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
        name = f"the licence {licence.number}"
        papers.append((name, "licence", licence.valid_from or first, licence.valid_to))
    for number, one in enumerate(case.company.insurance):
        name = f"the insurance for {one.covers}"
        papers.append((name, f"insurance.{number}", one.valid_from, one.valid_to))
    for field, blank in (("licence", licence is None), ("insurance", not case.company.insurance)):
        if blank and lines.reason_not(field) is None:
            yield Fault(
                lines.where(field),
                {"paper": f"the company's own {field}"},
                verdict=Verdict.CANNOT_TELL,
                needs=f"{field} in company.yaml",
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
                needs=listed([named[field] for field in lacks]),
                lacks=tuple(f"company.{path}.{field}" for field in lacks),
            )
            continue
        paper = f"T{name[1:]}"
        # Two policies that follow each other cover the days together, so each is told by itself only where
        # no other of its kind covers the day.
        if begins > first and not _covered(papers, name, first):
            values = {"paper": paper, "gap": "had not begun", "day": write_date(first)}
            yield Fault(lines.where(f"{path}.valid_from"), values)
        if ends < last and not _covered(papers, name, last):
            values = {"paper": paper, "gap": "had ended", "day": write_date(last)}
            yield Fault(lines.where(f"{path}.valid_to"), values)


def _covered(papers: list[tuple[str, str, date | None, date | None]], name: str, day: date) -> bool:
    return any(
        other == name and begins is not None and ends is not None and begins <= day <= ends
        for other, _, begins, ends in papers
    )
