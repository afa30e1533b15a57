"""Words that fresh readers stumbled over: each says what the record holds and no more."""

import pytest

from dossier.compose.handover.calendar import events
from dossier.compose.office.scope_comparison import COLUMNS, scope_comparison, scope_csv_rows
from dossier.compose.parts.places import place_words, record_words
from dossier.punchlist import Where
from tests.compose.made import Made, made
from tests.compose.test_handover import pair
from tests.known_good import known_good


@pytest.mark.parametrize(
    ("where", "words"),
    [
        (Where("job.yaml", 8, "job.scope"), "record: job, scope"),
        (Where("job.yaml", 41, "deliveries.0.lines.2"), "record: deliveries 1, lines 3"),
        (
            Where("job.yaml", 9, "warranties.0.owner_signed_on"),
            "record: warranties 1, owner signed",
        ),
        # A field's name is for whoever types it, and these pages go to others.
        (
            Where("job.yaml", 9, "installation.ice_barrier_reach_in"),
            "record: installation, ice barrier reach",
        ),
        (Where("company.yaml", 3, "certifications"), "company.yaml: certifications"),
        (Where("terms/kestrelmoor-2026.yaml"), "terms/kestrelmoor-2026.yaml"),
    ],
)
def test_a_place_is_in_words_and_no_line(where: Where, words: str) -> None:
    assert place_words(where) == words


def test_entries_of_one_list_are_told_together() -> None:
    places = [Where("job.yaml", 40 + n, f"deliveries.0.lines.{n}") for n in (0, 2, 8)]
    assert record_words(places) == "record: deliveries 1, lines 1, 3 and 9"
    pitch, plan = (Where("job.yaml", 3, f"slopes.0.{name}") for name in ("pitch", "plan"))
    assert record_words((pitch, plan)) == "record: slopes 1, pitch and plan"


def test_what_nobody_noted_is_told_by_the_work_log(good: Made) -> None:
    rows = good.handover.after_work
    assert pair(rows, "Pipe boots seated") == "not noted separately"
    assert pair(rows, "Ground swept for nails") == (
        "clean-up is in the work log, checked by Ida Torvik, 16 September 2026"
    )
    assert pair(rows, "Vent openings under the eaves clear, attic main") == (
        "Ida Torvik, 16 September 2026"
    )
    swept = made({"job.after_work.magnet_sweep": "Jens Aberg, 2026-09-16"}).handover
    assert pair(swept.after_work, "Ground swept for nails") == "Jens Aberg, 16 September 2026"


def test_a_deck_without_a_repair_is_just_kept() -> None:
    decks = [
        {"slopes": "front", "kind": "plywood", "redecked": "no"},
        {"slopes": "back", "kind": "plywood", "redecked": "no"},
    ]
    doc = made({"job.decks": decks}).handover
    made_by = [layer.made_by for layer in doc.layers if layer.role == "Deck"]
    assert made_by == ["slope front, kept", "slope back, kept, but for the repairs of section 4"]
    assert pair(doc.found, "Deck of slope front").endswith("It was left in place.")
    assert "Apart from the repairs listed below" in pair(doc.found, "Deck of slope back")


def test_a_sub_crew_s_company_is_who_laid_it(good: Made) -> None:
    assert pair(good.handover.cover.summary, "Laid by").startswith("Ormskar Roofing, job 2026-041;")
    sub = made({"job.job.crew": "lakeside"}).handover
    assert pair(sub.cover.summary, "Laid by").startswith(
        "Halden Roof Crew for Ormskar Roofing, job 2026-041;"
    )
    both = made({"job.job.crew": "north + lakeside"}).handover
    assert pair(both.cover.summary, "Laid by").startswith(
        "Ormskar Roofing, with Halden Roof Crew for it, job 2026-041;"
    )


def test_the_notice_of_a_claim_has_its_days(good: Made) -> None:
    (notice,) = [step for step in good.handover.claim_steps if step.startswith("Send the notice")]
    assert "to Kestrelmoor within 30 days of finding the damage (clause 7.1)" in notice
    edit = {"terms.kestrelmoor-2026.claim.within_days": None}
    (bare,) = [s for s in made(edit).handover.claim_steps if s.startswith("Send the notice")]
    assert bare.startswith("Send the notice to the claims desk in time")


def test_at_a_sale_what_holds_now_comes_first_with_its_address(good: Made) -> None:
    titles = [one.title for one in good.handover.passing_on]
    assert titles == [
        "Shingle level, Kestrelmoor: holds now",
        "Ormskar workmanship coverage, Ormskar Roofing: holds now",
        "Full Assembly level, Kestrelmoor: only once Kestrelmoor confirms it",
    ]
    maker, own, _ = good.handover.passing_on
    assert pair(maker.facts, "Send the notice to").startswith("Kestrelmoor Claims Desk, PO Box 311")
    assert "555-0110" in pair(own.facts, "Send the notice to")
    edit = {"terms.kestrelmoor-2026.levels.0.coverage.transfer.second_owner_years": None}
    first = made(edit).handover.passing_on[0]
    assert "name no term for the next owner" in pair(first.facts, "Next owner has")


def test_the_calendar_says_by_whom_it_must_be_received() -> None:
    known = known_good()
    (entry,) = [
        event
        for event in events(known.case, known.assessment, known.run)
        if "Last day to register" in event.title
    ]
    assert "must be received by Kestrelmoor by this day (clause 4.2)" in entry.text


def test_the_scope_comparison_says_what_was_kept_and_what_does_not_open() -> None:
    fault = {"facts.papers/invoice-2026-041.pdf.fault": "is cut short."}
    known = known_good({**fault, "facts.papers/completion.pdf": None})
    doc = scope_comparison(known.case, known.facts, known.assessment, known.run)
    shingle = next(row for row in doc.rows if row.role == "field shingle")
    # 42 bundles of 33.3 sq ft are 1,398.6 sq ft.
    assert shingle.delivered == "1,398.6 sq ft"
    states = {row.what: row.state for row in doc.release}
    assert states["Final invoice"] == "on file, but does not open: 1 paper"
    assert states["Completion signed by the owner"] == "not on file"
    assert scope_csv_rows(doc)[0].keys() == set(COLUMNS)
