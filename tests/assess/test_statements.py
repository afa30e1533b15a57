"""What the papers say of this roof: nothing that the record leaves blank, and each with its own proof.

Judge: the record as typed. Four steps of backing, and that a photo alone makes no statement, are the trade's
own habit: common practice, no published source. By slope they are judged in `test_backing.py`.
"""

import pytest

from dossier.assess.results import Statement
from dossier.words import Backing
from tests.compose.made import EMPTIED
from tests.known_good import Known, known_good


def stated(id_: str, edits: dict[str, object] | None = None) -> Statement:
    found = known_good(edits).assessment.statement(id_)
    assert found is not None
    return found


def files(one: Statement) -> set[str]:
    return {reference.text for reference in one.references if reference.kind != "record"}


def test_the_demo_states_these_things_in_the_order_of_building() -> None:
    assert [one.id for one in known_good().assessment.statements] == [
        "scope",
        *("deck.front", "deck.back"),
        *("role.ice barrier", "role.underlayment", "role.drip edge", "role.starter"),
        *("role.field shingle", "role.hip and ridge", "role.exhaust vent"),
        *("nails", "ice_barrier.reach", "starter.edges"),
        *("permit.number", "permit.closed", "completion", "invoice", "flues"),
    ]


_COURSES = "Ice barrier at the eaves, 2 courses of a 36 in roll, so 68 in at most; not measured"
"""Two courses of 36 in, the second over the first by 4 in: 68 in."""

_FLUES = "Flues and combustion vents seen connected, upright and open after the work"

# A text with the record, and without it: then absent, whatever lies in the folder.


@pytest.mark.parametrize(
    ("id_", "text", "blank", "bare"),
    [
        (
            "scope",
            "Full tear-off, 1 layer removed",
            "job.job.scope",
            "Scope of the job, 1 layer removed",
        ),
        (
            "nails",
            "6 nails in each shingle",
            "job.installation.nails_per_shingle",
            "Nails in each shingle",
        ),
        (
            "starter.edges",
            "Starter at eaves and rakes",
            "job.installation.starter_at",
            "Starter at the edges",
        ),
        ("permit.number", "Permit R-2026-1187", "job.permit.number", "Permit"),
        (
            "permit.closed",
            "Permit closed on 21 September 2026",
            "job.permit.closed_on",
            "Permit closed",
        ),
        (
            *("completion", "Completion signed by the owner on 21 September 2026"),
            *("job.job.completion_signed_on", "Completion signed"),
        ),
        ("invoice", "Final invoice of 22 September 2026", "job.money.invoices", "Final invoice"),
        (
            *(
                "flues",
                f"{_FLUES}, by Sverre Holt",
            ),
            *(
                "job.after_work.flues",
                _FLUES,
            ),
        ),
        (
            *("ice_barrier.reach", "Ice barrier at the eaves, 2 courses, 68 in up the slope"),
            *("job.installation.ice_barrier_reach_in", _COURSES),
        ),
    ],
)
def test_a_statement_says_what_the_record_says(id_: str, text: str, blank: str, bare: str) -> None:
    said, without = stated(id_), stated(id_, {blank: None})
    assert str(said.text) == text
    # Nails are pictured once a roof, so that the other slope has no photo of them.
    assert said.on("front") in (Backing.ON_FILE, Backing.REVIEWED)
    assert said.references[0].where.field == blank.removeprefix("job.")
    assert str(without.text) == bare
    if id_ != "ice_barrier.reach":
        # The courses are still on record.
        assert without.backing is Backing.ABSENT


def test_an_empty_record_states_nothing() -> None:
    found = known_good(EMPTIED).assessment.statements
    assert {one.backing for one in found} == {Backing.ABSENT}
    assert not [ref for one in found for ref in one.references if ref.kind == "record"]


def test_layers_are_told_where_they_came_off_only() -> None:
    assert str(stated("scope", {"job.job.layers_removed": None}).text) == "Full tear-off"
    assert (
        str(stated("scope", {"job.job.layers_removed": "2"}).text)
        == "Full tear-off, 2 layers removed"
    )
    laid_over = {"job.job.scope": "recover", "job.job.scope_reason": "one sound layer"}
    assert str(stated("scope", laid_over).text) == "Recover"


def test_a_deck_is_seen_where_somebody_is_named_for_that_slope() -> None:
    assert stated("deck.front").backing is Backing.ON_FILE
    nobody = {"job.work.0": "2026-09-14, tear-off + deck + deck repair + ice barrier"}
    assert stated("deck.front", nobody).backing is Backing.ABSENT
    front = {
        "job.work.0": "2026-09-14, tear-off + deck, on front, checked by Ida Torvik",
        "job.work.4": "2026-09-14, deck + deck repair + ice barrier, on back",
    }
    assert stated("deck.front", front).backing is Backing.ON_FILE
    assert stated("deck.back", front).backing is Backing.ABSENT
    # A photo of the back is none of the front.
    assert files(stated("deck.front")) == {"photos/deck/front.jpg"}


def test_a_deck_under_membrane_that_stayed_was_not_seen() -> None:
    slope = {"label": "back", "pitch": "6:12", "plan": "40 ft x 14 ft", "eave_ft": "40 ft"}
    left = {"job.slopes.1": {**slope, "old_membrane_left": "yes"}}
    assert stated("deck.back", left).backing is Backing.ABSENT
    assert stated("deck.front", left).backing is Backing.ON_FILE


@pytest.mark.parametrize(
    ("id_", "text", "photo"),
    [
        ("role.field shingle", "Field shingle: Fenwright 40", "photos/field/"),
        (
            "role.drip edge",
            "Drip edge: Eavewright eave edge and Eavewright rake edge",
            "photos/drip-edge/",
        ),
        ("role.exhaust vent", "Exhaust vent: Highdraft ridge vent", "photos/ventilation/"),
        ("role.starter", "Starter: Firstrow starter", "photos/starter/"),
    ],
)
def test_a_product_is_named_with_the_photos_of_its_own_phase(
    id_: str, text: str, photo: str
) -> None:
    one = stated(id_)
    assert str(one.text) == text
    shown = {file for file in files(one) if file.startswith("photos/")}
    assert shown
    assert all(file.startswith(photo) for file in shown)


def test_a_product_is_proved_by_its_own_ticket_and_no_other() -> None:
    """Shingles came on ticket 55120, the panels on 55164."""
    tickets = {file for file in files(stated("role.field shingle")) if "ticket" in file}
    assert tickets == {"papers/ticket-55120.pdf"}
    other = {"job.deliveries.0.ticket": "55164"}
    tickets = {file for file in files(stated("role.field shingle", other)) if "ticket" in file}
    assert tickets == {"papers/ticket-55164.pdf"}


def test_a_product_named_twice_is_named_once() -> None:
    again = {"job.deliveries.1.lines": ["2 sheets OSB panel 7/16 in", "1 bundles Fenwright 40"]}
    assert str(stated("role.field shingle", again).text) == "Field shingle: Fenwright 40"


def test_vents_counted_in_the_attic_are_stated_without_a_ticket() -> None:
    lines = [
        "42 bundles Fenwright 40, colour Slate Grey, lots 0012345 x 30; 0012346 x 12",
        "2 bundles Firstrow starter, lot 77-031 x 2",
    ]
    one = stated("role.exhaust vent", {"job.deliveries.0.lines": lines})
    assert str(one.text) == "Exhaust vent: Highdraft ridge vent"
    assert one.references[0].where.field == "building.attics"
    # Only vents are told so: caps that no ticket shows are not stated.
    assert (
        str(stated("role.hip and ridge", {"job.deliveries.0.lines": lines}).text) == "Hip and ridge"
    )
    gone = {"job.deliveries.0.lines": lines, "job.building": None}
    assert stated("role.exhaust vent", gone).backing is Backing.ABSENT


def test_nails_are_proved_by_a_photo_that_is_named_for_them() -> None:
    assert files(stated("nails")) == {"photos/field/front-nails.jpg"}
    assert stated("nails", {"facts.photos/field/front-nails.jpg": None}).by_slope == ()
    # None is an answer, if a poor one: the record says nought.
    nought = stated("nails", {"job.installation.nails_per_shingle": "0"})
    assert (str(nought.text), nought.on("front")) == ("0 nails in each shingle", Backing.ON_FILE)


def test_a_reach_without_courses_and_courses_without_a_reach() -> None:
    one = stated("ice_barrier.reach", {"job.installation.ice_barrier_courses": None})
    assert str(one.text) == "Ice barrier at the eaves, 68 in up the slope"
    assert one.references[0].where.field == "installation.ice_barrier_reach_in"
    one = stated("ice_barrier.reach", {"job.installation.ice_barrier_reach_in": None})
    assert one.references[0].where.field == "installation.ice_barrier_courses"


@pytest.mark.parametrize(
    ("id_", "paper"),
    [
        ("permit.number", "papers/permit"),
        ("permit.closed", "papers/inspection-card"),
        ("completion", "papers/completion"),
        ("invoice", "papers/invoice"),
        ("flues", "papers/vent-check"),
    ],
)
def test_a_closing_statement_rests_on_its_own_kind_of_paper(id_: str, paper: str) -> None:
    found = files(stated(id_))
    assert found
    assert all(file.startswith(paper) for file in found)
    gone = {f"facts.{file}": None for file in found}
    assert stated(id_, gone).backing is Backing.STATED


def test_an_invoice_without_a_day_is_stated_without_one() -> None:
    undated = {"job.money.invoices": [{"number": "2026-041", "amount": "15,052.00"}]}
    one = stated("invoice", undated)
    assert str(one.text) == "Final invoice"
    assert one.backing is Backing.ON_FILE


def test_a_look_at_the_flues_without_a_name_states_nothing() -> None:
    assert stated("flues", {"job.after_work.flues": "2026-09-16"}).backing is Backing.ABSENT


# Registrations.

ACCEPTED = {
    "job.warranties.0.accepted_on": "2026-10-15",
    "job.warranties.0.confirmation": "KM-1",
}


def registered(known: Known) -> list[tuple[str, str, Backing]]:
    return [
        (str(one.text), one.references[0].where.field, one.backing)
        for one in known.assessment.statements
        if one.id.startswith("registration.")
    ]


def test_a_registration_is_stated_once_the_maker_has_accepted_or_confirmed_it() -> None:
    assert registered(known_good()) == []
    sent = {
        "job.warranties.0.submitted_on": "2026-09-25",
        "job.warranties.0.received_on": "2026-09-28",
    }
    assert registered(known_good(sent)) == []
    both = "Full Assembly level registered with Kestrelmoor, confirmation KM-1"
    assert registered(known_good(ACCEPTED)) == [(both, "warranties.0.confirmation", Backing.STATED)]
    day = {"job.warranties.0.accepted_on": "2026-10-15"}
    assert registered(known_good(day)) == [
        (
            *("Full Assembly level registered with Kestrelmoor", "warranties.0.accepted_on"),
            Backing.STATED,
        )
    ]
    number = {"job.warranties.0.confirmation": "KM-1"}
    assert registered(known_good(number))[0][0] == both


def certificate(edits: dict[str, object]) -> list[Backing]:
    """The permit stands in for a certificate, since the demo has none: any paper of the kind backs it."""
    paper = {"job.papers": [{"file": "papers/permit-R-2026-1187.pdf", "kind": "certificate"}]}
    return [backing for *_, backing in registered(known_good({**edits, **paper}))]


def test_of_two_registrations_a_certificate_backs_the_one_it_is_named_for() -> None:
    assert certificate(ACCEPTED) == [Backing.ON_FILE]
    row = {"sheet": "kestrelmoor-2026", "level": "Shingle", "confirmation": "KM-2"}
    assert certificate({**ACCEPTED, "job.warranties.1": row}) == [Backing.STATED, Backing.STATED]
    named = {**row, "confirmation": "R-2026-1187"}
    assert certificate({**ACCEPTED, "job.warranties.1": named}) == [
        *(Backing.STATED, Backing.ON_FILE)
    ]
