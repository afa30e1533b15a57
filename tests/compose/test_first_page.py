"""The first page: which photo stands on it, what happens next, and the caution about flues."""

import pytest

from dossier.compose.parts.first_page import keeps_nothing
from dossier.compose.parts.photo_days import DAY_DIFFERS, SHOWN_TWICE
from dossier.compose.parts.shared import Look
from dossier.terms.coverage import Transfer
from dossier.words import Edition
from tests.compose.made import Made, everything, made, pages, printed, resale
from tests.compose.test_handover import REGISTERED, pair

FRONT, BACK = "photos/finished/front.jpg", "photos/finished/back.jpg"


def cover_photo(doc: Made) -> str:
    """Return the file of the photo on the first page, or an empty text."""
    shot = doc.handover.cover.photo
    files = {wanted.name: wanted.file for wanted in doc.handover.pictures}
    return files[shot.name] if shot else ""


def test_a_photo_from_before_the_last_day_of_work_is_not_put_first(good: Made) -> None:
    assert cover_photo(good) == FRONT
    # The last day of work is 16 September 2026: that day is early enough, the day before is not.
    same_day = made({f"facts.{FRONT}.taken_at_local": "2026-09-16 08:00"})
    assert cover_photo(same_day) == FRONT
    early = made({f"facts.{FRONT}.taken_at_local": "2026-09-15 18:00"})
    assert cover_photo(early) == BACK
    (shot,) = [
        shot
        for group in early.handover.photo_groups
        for shot in group.shots
        if shot.title.endswith("Finished, slope front")
    ]
    assert shot.misfit == DAY_DIFFERS
    assert (
        "Photo finished/front.jpg: its camera says 15 September 2026, and by the work log a photo of "
        "finished is from 16 September 2026 or after."
    ) in early.handover.unfit


def test_a_picture_that_shows_another_phase_too_is_not_put_first() -> None:
    twice = {f"facts.{file}.sha256": "f" * 64 for file in (FRONT, "photos/field/front.jpg")}
    doc = made(twice)
    assert cover_photo(doc) == BACK
    told = [text for text in doc.handover.unfit if "one and the same picture" in text]
    assert told == [
        "Photo field/front.jpg: one and the same picture is filed under field and finished."
    ]
    assert SHOWN_TWICE in everything(doc.handover.photo_groups)


def test_every_doubled_picture_is_told_once_and_only_where_it_is_printed() -> None:
    pairs = {
        "f": (FRONT, "photos/field/front.jpg"),
        "e": ("photos/deck/back.jpg", "photos/ice-barrier/back.jpg"),
        "d": (BACK, "photos/clean-up/front.jpg"),
    }
    doc = made({f"facts.{file}.sha256": mark * 64 for mark, two in pairs.items() for file in two})
    told = [text for text in doc.handover.unfit if "one and the same picture" in text]
    assert len(told) == 3
    # The maker's packet prints no photo of clean-up or of the finished roof.
    packet = [text for text in doc.registration.cannot_show if "one and the same" in text]
    assert [text for text in told if "clean-up" not in text] == packet


def test_a_photo_without_a_camera_day_is_not_accused() -> None:
    doc = made({f"facts.{FRONT}.taken_at_local": None})
    assert cover_photo(doc) == FRONT
    assert not any("its camera says" in text for text in doc.handover.unfit)


def test_where_none_fits_the_page_says_so() -> None:
    days = {f"facts.{file}.taken_at_local": "2026-09-01 08:00" for file in (FRONT, BACK)}
    clean = {"facts.photos/clean-up/front.jpg.taken_at_local": "2026-09-01 08:00"}
    cover = made({**days, **clean}).handover.cover
    assert cover.photo is None
    assert cover.no_photo == "No photo of the finished roof is on file whose day fits the work log."


@pytest.mark.parametrize(
    ("edits", "text"),
    [
        # Two weeks before the last day, 20 November 2026, a packet can still be sent.
        (
            {},
            "Kestrelmoor, Full Assembly level: we send the registration; you need not. Its last day is "
            "20 November 2026. If no letter from Kestrelmoor has come by 6 November 2026, call "
            "Ormskar Roofing, 555-0110.",
        ),
        (
            {"run.today": "2026-11-06"},
            "Kestrelmoor, Full Assembly level: we send the registration; you need not. Its last day is "
            "20 November 2026. If no letter from Kestrelmoor has come by 20 November 2026, call "
            "Ormskar Roofing, 555-0110.",
        ),
        (
            {"job.warranties.0.submitted_on": "2026-10-01"},
            "Kestrelmoor, Full Assembly level: we sent the registration, and Kestrelmoor has to confirm "
            "it. If no letter from Kestrelmoor has come by 31 October 2026, call Ormskar Roofing, 555-0110.",
        ),
        (
            REGISTERED,
            "Kestrelmoor, Full Assembly level: it is registered, and nothing more has to be sent. Keep this "
            "record.",
        ),
        (
            {"job.installation.nails_per_shingle": "4"},
            "Kestrelmoor: what holds now is the Shingle level, and not the Full Assembly level. Ask Ormskar "
            "Roofing, 555-0110 for the reason and for what can still be had.",
        ),
        (
            {"job.warranties": None},
            "No maker’s warranty is asked for on record: ask Ormskar Roofing, 555-0110 which one applies, "
            "and in writing.",
        ),
    ],
)
def test_what_happens_next(edits: dict[str, object], text: str) -> None:
    assert made(edits).handover.cover.next_steps == (text,)


def test_a_buyer_is_not_told_to_wait_for_a_letter(good: Made) -> None:
    (step,) = resale(good.known).cover.next_steps
    assert "not confirmed when this was printed" in step
    assert resale(good.known).head.edition == f"{Edition.RESALE.value} edition"


def test_a_lost_level_says_what_stands_against_it() -> None:
    doc = made({"job.installation.nails_per_shingle": "4"}).handover
    assert "What stands against it: 4 nails in each shingle, 6 needed." in doc.levels[0].sentences


def test_flues_not_looked_at_give_a_caution_on_one_page() -> None:
    assert made().handover.cover.caution == ""
    doc = made({"job.after_work.flues": None, "job.permit.closed_on": None}).handover
    assert "carbon monoxide alarm" in doc.cover.caution
    assert "licensed person" in doc.cover.caution
    assert (
        made({"job.after_work.flues": None, "job.building.flues": "0"}).handover.cover.caution == ""
    )
    for paper in ("Letter", "A4"):
        first, second, *_ = pages(printed(doc, Look("#1F3A4D", "#8A4B2A", paper)).data)
        assert "carbon monoxide alarm" in first
        assert "This page may be copied by itself" in first
        assert "What this record holds" in second


def test_a_look_at_the_flues_by_somebody_without_a_licence_keeps_the_caution() -> None:
    """Common practice, no published source: who works on flues and gas vents is licensed for it."""
    unlicensed: dict[str, object] = {"job.after_work.flues": "Ida Torvik, 2026-09-16"}
    doc = made(unlicensed).handover
    assert "is licensed for them (Ida Torvik, 16 September 2026)" in doc.cover.caution
    [row] = [pair for pair in doc.after_work if pair.label.startswith("Flues")]
    assert row.text == "Ida Torvik, 16 September 2026; no licence for flues on record"
    [row] = [pair for pair in made().handover.after_work if pair.label.startswith("Flues")]
    assert row.text == "Sverre Holt, 16 September 2026; heating licence H-2041"


def test_only_flues_looked_at_too_early_give_the_caution_and_not_the_ground() -> None:
    """The last day of work is 16 September 2026; the flues were looked at after it."""
    ground = made({"job.after_work.magnet_sweep": "Ida Torvik, 2026-09-14"}).handover
    flues = made({"job.after_work.flues": "Ida Torvik, 2026-09-14"}).handover
    assert ground.cover.caution == ""
    assert "carbon monoxide alarm" in flues.cover.caution


def test_a_copied_page_says_what_is_left_and_what_a_sale_asks_for(good: Made) -> None:
    """Judge: the demo's own sheets, kestrelmoor-2026 clauses 2.1 to 2.5 and 5.1, from 21 September 2026."""
    summary = good.handover.cover.summary
    assert pair(summary, "Maker’s coverage") == (
        "Shingle level: material in full to 2036, then less; labour to 2031; wind to 2036; algae in full to "
        "2031, then less to 2041, each to 21 September of its year."
    )
    assert pair(summary, "At a sale") == (
        "Notice must be received within 60 days of the closing of the sale by Kestrelmoor Claims Desk, PO Box "
        "311, Kestrel Ford, 555-0182 for the Shingle level and Full Assembly level and by Ormskar Roofing "
        "(address below) for the Ormskar workmanship coverage. If it is late, count on no coverage for the buyer. "
        "It is given by the seller or the new owner."
    )
    assert pair(summary, "If damage is found") == (
        "Kestrelmoor must have notice within 30 days of finding it (clause 7.1)."
    )
    assert "At a sale" not in [row.label for row in good.handover.cover.dates]


def test_a_buyer_reads_what_a_buyer_would_have(good: Made) -> None:
    # Clause 5.1: twenty years from the first owner's start, so material ends in 2046 and not with a lifetime.
    text = pair(resale(good.known).cover.summary, "Maker’s coverage")
    assert (
        "for a buyer who gives notice in time: material in full to 2036, then less to 2046;" in text
    )


def test_a_part_that_is_over_is_not_left() -> None:
    text = pair(made({"run.today": "2033-01-01"}).handover.cover.summary, "Maker’s coverage")
    assert "labour" not in text
    assert "wind to 2036" in text


def test_a_coverage_that_has_not_begun_is_said_not_to_have() -> None:
    summary = made({"job.job.completion_signed_on": None}).handover.cover.summary
    assert pair(summary, "Maker’s coverage").startswith(
        "By this record none has begun: the Shingle level"
    )


def test_sent_and_received_are_told_apart() -> None:
    edits: dict[str, object] = {
        "company.workmanship.coverage.transfer.met_by": "sent",
        "company.workmanship.coverage.transfer.within_days": "30",
        "company.workmanship.coverage.transfer.if_late": "half of the term",
    }
    text = pair(made(edits).handover.cover.summary, "At a sale")
    assert "received within 60 days of the closing of the sale by Kestrelmoor Claims Desk" in text
    assert (
        "Notice must be sent within 30 days of the closing of the sale to Ormskar Roofing" in text
    )
    assert "the Ormskar workmanship coverage, the terms say: “half of the term”." in text


def test_what_does_not_fit_is_named_on_the_first_page(good: Made) -> None:
    assert "does not fit" not in good.handover.cover.state
    doc = made({"job.installation.nails_per_shingle": "4"}).handover
    assert doc.unfit
    assert "see “What does not fit”" in doc.cover.state


@pytest.mark.parametrize(
    ("says", "nothing"),
    [
        ("nothing; the coverage ends with the day of the sale", True),
        ("Nothing is left.", True),
        ("nothing changes; the coverage goes on", False),
        ("nothing but the material part", False),
        ("", False),
    ],
)
def test_only_words_that_leave_nothing_are_read_as_nothing(says: str, nothing: bool) -> None:
    assert keeps_nothing(Transfer(if_late=says)) is nothing
