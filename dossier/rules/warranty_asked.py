"""The warranty that a job asks for: its sheet, its order, the kind of owner it is for."""

import re
from collections.abc import Iterator

from dossier.assess.backing import good_papers
from dossier.assess.results import Assessment
from dossier.case.case import Case
from dossier.evidence.facts import Facts
from dossier.punchlist import Holds, Manner, Party, Sends, Verdict, Weight, Where
from dossier.record.people import Owner
from dossier.rules.asking import untold
from dossier.rules.declare import ASKED, Example, Fault, rule
from dossier.said import Listed, Person, say
from dossier.terms.form_words import BY_HAND, FORM_FIELDS, form_field
from dossier.words import PaperKind

_KNOWN_FIELDS = tuple(field for field in FORM_FIELDS if field != BY_HAND)

_NOT_A_PERSON = re.compile(
    r"\b(?:trust|trustees?|llc|l\.l\.c|inc|ltd|corp\w*|company|co|partners\w*|lp|llp|estate|association|hoa|"
    r"condominiums?|church|properties|holdings|rentals?)\b",
    re.IGNORECASE,
)
"""Words in the names of owners who are no person living in the house; common practice, no published source."""


def _may_live_elsewhere(case: Case, owner: Owner) -> bool:
    """Return whether the record speaks against an owner who lives in the house."""
    dwellings = case.job.building.dwellings if case.job.building else 1
    by_name = owner.name is not None and bool(_NOT_A_PERSON.search(owner.name))
    post = owner.mailing_address or ""
    # A box at the post office is how much of snow country gets its post at home.
    elsewhere = bool(post) and not re.match(r"(?i)p\.? ?o\.? box\b", post)
    return by_name or elsewhere or dwellings > 1


@rule(
    id="REG-007",
    says="The terms sheet {sheet} holds from {first} to {last}; the {event} of this job was on {day}.",
    why="What was promised is the edition in force on the day its own text names, not the newest one.",
    source="The maker's terms sheet: valid_from, valid_to and the event that decides",
    owed_by=Party.OFFICE,
    remedy="Name the edition that was in force, or correct the day.",
    manner=Manner(tells_owner=False, sends=Sends.NOWHERE, life_safety=False),
    holds={Holds.REGISTRATION},
    cannot_tell="whether the terms sheet {sheet} is the right edition",
    examples=[
        Example(
            {"job.job.contract_on": "2025-12-31"},
            finds="The terms sheet kestrelmoor-2026 holds from 1 January 2026 to 31 December 2026; the "
            "contract of this job was on 31 December 2025.",
        ),
        Example({"job.job.contract_on": "2026-01-01"}, finds=None),
    ],
    rests_on={"job.job.contract_on": ASKED},
)
def wrong_terms_edition(case: Case, assessment: Assessment) -> Iterator[Fault]:
    for result in assessment.asked:
        sheet = result.asked.sheet
        if sheet.valid_by is None:
            continue
        event = assessment.events[sheet.valid_by]
        named = {"sheet": result.asked.warranty.sheet, "event": sheet.valid_by}
        if event.day is None:
            yield Fault(
                event.where,
                named,
                verdict=Verdict.CANNOT_TELL,
                needs=say("the day of “{event}”", event=sheet.valid_by),
                lacks=(event.where.field,),
            )
        elif event.day < sheet.valid_from or (sheet.valid_to and event.day > sheet.valid_to):
            yield Fault(
                case.where(f"{result.asked.path}.sheet"),
                {
                    **named,
                    "first": sheet.valid_from,
                    "last": sheet.valid_to if sheet.valid_to else "today",
                    "day": event.day,
                },
            )


@rule(
    id="REG-029",
    says="The form of {sheet} asks for {fields}, to be filled in by hand; known words are {known}.",
    why="What is copied by hand is copied wrongly sooner or later, and some of it is on record.",
    source="Our habit; no published source",
    owed_by=Party.OFFICE,
    remedy="Put a known word in form_order where one means the same; where none does, end the field's name in "
    "“by hand”.",
    manner=Manner(tells_owner=False, sends=Sends.NOWHERE, life_safety=False),
    lighter=Weight.NOTE,
    examples=[
        Example(
            {"terms.kestrelmoor-2026.form_order": ["roof address", "shoe size"]},
            finds="The form of kestrelmoor-2026 asks for “shoe size”, to be filled in by hand; known words are "
            "owner name, owner mailing address, owner phone, owner email, property address, job number, "
            "installer, installer address, installer phone, installer email, installer licence, installer "
            "certification, certification number, contract date, start date, completion date, completion "
            "signed, date of last shingle, last day of work, squares installed, field shingle and colour, "
            "field shingle, colour, accessories, lots, permit number and level.",
        ),
        Example({"terms.kestrelmoor-2026.form_order": ["Date of completion"]}, finds=None),
        Example(
            {"terms.kestrelmoor-2026.form_order": ["shoe size by hand", "signature"]}, finds=None
        ),
    ],
    rests_on={
        "terms.form_order": "Where it is blank a usual order stands for it, all in known words."
    },
)
def form_word_not_known(case: Case) -> Iterator[Fault]:
    for asked in {asked.file: asked for asked in case.asked}.values():
        if unknown := [word for word in asked.sheet.form_order if form_field(word) is None]:
            yield Fault(
                Where(asked.file, field="form_order"),
                {
                    "sheet": asked.warranty.sheet,
                    "fields": Listed(tuple(say("“{word}”", word=word) for word in unknown)),
                    "known": Listed(_KNOWN_FIELDS),
                },
            )


@rule(
    id="REG-008",
    says="No maker's warranty is asked for in this job.",
    why="A roof for which nobody names a terms sheet is registered by nobody.",
    source="Our habit, no published source: nothing can be registered until a level is named",
    owed_by=Party.OFFICE,
    remedy="Add the sheet and the level under warranties, or write warranties: n/a and the reason.",
    manner=Manner(tells_owner=False, sends=Sends.NOWHERE, life_safety=False),
    holds={Holds.REGISTRATION},
    examples=[
        Example({"job.warranties": None}, finds="No maker's warranty is asked for in this job."),
        Example({"job.warranties": "n/a, the owner chose products without one"}, finds=None),
    ],
    rests_on={"job.warranties": ASKED},
)
def no_warranty_asked(case: Case) -> Iterator[Fault]:
    if not case.asked and not case.reason_not("warranties"):
        yield Fault(case.where("warranties"), verdict=Verdict.MISSING)


@rule(
    id="REG-009",
    says="Nothing shows that the owner was given the maker's printed terms.",
    why="Terms the owner never saw are argued over; the dated delivery ends the argument.",
    source="16 CFR 702.3 (warranty terms to be had before the sale); that it holds the handover is our habit",
    owed_by=Party.OFFICE,
    remedy="Give the owner the printed terms, and file the receipt as papers/warranty-terms.pdf or write "
    "warranties.terms_given_on.",
    manner=Manner(tells_owner=True, sends=Sends.NOWHERE, life_safety=False),
    holds={Holds.HANDOVER},
    examples=[
        Example(
            {"facts.papers/warranty-terms.pdf": None},
            finds="Nothing shows that the owner was given the maker's printed terms.",
        ),
        Example(
            {
                "facts.papers/warranty-terms.pdf": None,
                "job.warranties.0.terms_given_on": "2026-08-18",
            },
            finds=None,
        ),
    ],
    rests_on={"job.warranties.*.terms_given_on": ASKED},
)
def terms_not_given(case: Case, facts: Facts) -> Iterator[Fault]:
    for asked in case.asked:
        if asked.warranty.terms_given_on is None and not good_papers(
            case, facts, PaperKind.WARRANTY_TERMS
        ):
            yield Fault(case.where(f"{asked.path}.terms_given_on"), verdict=Verdict.MISSING)


@rule(
    id="REG-011",
    says="The {level} level has to be ordered before work starts (clause {clause}); {found}.",
    why="Some makers sell the level with the goods; after the first shingle it is not to be had.",
    source="The maker's terms sheet, at the clause named",
    owed_by=Party.OFFICE,
    remedy="Find the order and write warranties.ordered_on; else ask for a level that needs no order.",
    manner=Manner(tells_owner=False, sends=Sends.NOWHERE, life_safety=False),
    holds={Holds.REGISTRATION},
    examples=[
        Example(
            {"terms.kestrelmoor-2026.levels.2.registration.order_before_start": "yes"},
            finds="The Full Assembly level has to be ordered before work starts (clause 4.2); no order is "
            "on record.",
        ),
        Example(
            {
                "terms.kestrelmoor-2026.levels.2.registration.order_before_start": "yes",
                "job.warranties.0.ordered_on": "2026-09-15",
            },
            finds="The Full Assembly level has to be ordered before work starts (clause 4.2); it was "
            "ordered on 15 September 2026 and work began on 14 September 2026.",
        ),
        Example(
            {
                "terms.kestrelmoor-2026.levels.2.registration.order_before_start": "yes",
                "job.warranties.0.ordered_on": "2026-09-13",
            },
            finds=None,
        ),
        Example(
            {
                "terms.kestrelmoor-2026.levels.2.registration.order_before_start": "yes",
                "job.warranties.0.ordered_on": "2026-09-13",
                "job.work": None,
            },
            finds=(
                "Whether the Full Assembly level was ordered before work started (clause 4.2) "
                "cannot be told: the first day of the work is needed."
            ),
        ),
    ],
    cannot_tell="whether the {level} level was ordered before work started (clause {clause})",
    rests_on={"job.warranties.*.ordered_on": ASKED, "job.work": ASKED},
)
def not_ordered_in_time(case: Case, assessment: Assessment) -> Iterator[Fault]:
    began = case.first_day_of_work()
    for result in assessment.asked:
        registration = result.level.level.registration
        if registration is None or not registration.order_before_start:
            continue
        ordered = result.asked.warranty.ordered_on
        if ordered is not None and began is None:
            yield untold(
                case,
                "work",
                "the first day of the work",
                {"level": result.level.level.level, "clause": registration.clause},
            )
            continue
        if ordered is not None and began is not None and ordered < began:
            continue
        found = say("no order is on record")
        if ordered is not None and began is not None:
            text = "it was ordered on {ordered} and work began on {began}"
            found = say(text, ordered=ordered, began=began)
        yield Fault(
            case.where(f"{result.asked.path}.ordered_on"),
            {
                "level": result.level.level.level,
                "clause": registration.clause,
                "found": found,
            },
            verdict=Verdict.MISSING if ordered is None else Verdict.WRONG,
        )


@rule(
    id="REG-012",
    says="The {level} level is for {wanted}; the owner is {owner}.",
    why="Terms for somebody who lives in the house do not bind the maker towards a company or a trust.",
    source="The maker's terms sheet: kinds of owner a level is for",
    owed_by=Party.OFFICE,
    remedy="Correct the owner's kind, or ask for the level that is written for this owner.",
    manner=Manner(tells_owner=False, sends=Sends.NOWHERE, life_safety=False),
    holds={Holds.REGISTRATION},
    examples=[
        Example(
            {"job.owners": {"name": "Plover Lane Trust", "kind": "trust"}},
            finds="The Full Assembly level is for living there or landlord; the owner is trust.",
        ),
        Example({"job.owners": {"name": "Marit Ekdahl", "kind": "landlord"}}, finds=None),
        # A blank is somebody who lives there only as long as nothing on record speaks against it.
        Example(
            {"job.owners": {"name": "Plover Lane Trust"}},
            finds="Whether the Full Assembly level is for this owner cannot be told: the kind of owner that "
            "Plover "
            "Lane Trust is, is needed.",
        ),
        Example(
            {"job.owners": {"name": "Marit Ekdahl", "mailing_address": "9 Quay Street, Tarnby"}},
            finds="Whether the Full Assembly level is for this owner cannot be told: the kind of owner that Marit "
            "Ekdahl is, is needed.",
        ),
        Example(
            {
                "job.owners": {
                    "name": "Marit Ekdahl",
                    "kind": "living there",
                    "mailing_address": "PO Box 12, Tarnby",
                }
            },
            finds=None,
        ),
    ],
    cannot_tell="whether the {level} level is for this owner",
    rests_on={
        "job.owners.*.kind": "A blank is an owner who lives there, as the form says; where a name, a mailing "
        "address "
        "or several dwellings speak against it, it is asked for.",
        "job.owners": "A job without an owner has an item of its own.",
    },
)
def owner_of_another_kind(case: Case, assessment: Assessment) -> Iterator[Fault]:
    for result in assessment.asked:
        kinds = result.level.level.coverage.owner_kinds
        level = result.level.level.level
        for number, owner in enumerate(case.job.owners):
            path = f"owners.{number}.kind"
            if kinds and not owner.kind_is_typed and _may_live_elsewhere(case, owner):
                yield untold(
                    case,
                    path,
                    say(
                        "the kind of owner that {who} is,",
                        who=Person(owner.name) if owner.name else say("the owner"),
                    ),
                    {"level": level},
                )
            elif kinds and owner.kind not in kinds:
                yield Fault(
                    case.where(path),
                    {
                        "level": level,
                        "wanted": Listed(tuple(kind for kind in kinds), "or"),
                        "owner": owner.kind,
                    },
                )
