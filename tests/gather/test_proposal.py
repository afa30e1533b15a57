"""What is proposed and why: names before days before neighbours, repeats named, nothing guessed."""

import hashlib
from dataclasses import replace
from datetime import datetime
from pathlib import Path

import pytest

from dossier.errors import UnreadableInput
from dossier.evidence import Facts, PhotoFact
from dossier.gather.choices import choices_text, chosen, parse_choices
from dossier.gather.filing import name_in_job
from dossier.gather.heap import Heap, HeapFile, Seen
from dossier.gather.placing import (
    Vocabulary,
    kind_by_name,
    narrowed_by_name,
    phase_by_name,
    slope_by_name,
)
from dossier.gather.proposal import Do, Known, Proposal, Proposed, propose
from dossier.gather.twins import alike
from dossier.gather.zips import Refused
from dossier.reading.model import read_model
from dossier.reading.nodes import read_tree
from dossier.record.files import Photo
from dossier.record.job import Job
from dossier.words import PaperKind, Phase
from tests.known_good import GOOD_JOB, edited

SLOPES = Vocabulary({label: label for label in ("front", "back", "back porch", "A", "1")})


def fact(
    file: str,
    taken: datetime | None = None,
    size_px: tuple[int, int] = (4000, 3000),
    kind: str = "jpeg",
    fault: str | None = None,
    dhash: int | None = None,
) -> PhotoFact:
    """Return what a file says of itself."""
    values = dict.fromkeys(PhotoFact.__dataclass_fields__)
    values |= {"file": file, "exists": True, "fault": fault, "size_bytes": 1000, "kind": kind}
    values |= {"sha256": digest(file), "size_px": size_px}
    values |= {"taken_at_local": taken, "dhash": dhash}
    return PhotoFact(**values)  # type: ignore[arg-type]


def digest(text: str) -> str:
    """Return a digest that no other text has."""
    return hashlib.sha256(text.encode()).hexdigest()


def seen(one: PhotoFact, sha256: str | None = None) -> Seen:
    """Return the file of a heap that has this fact."""
    file = HeapFile(one.file, Path("/heap"), one.file, in_zip=False)
    return Seen(file, one, sha256 or digest(one.file))


def at(day: int, hour: int, minute: int = 0) -> datetime:
    """Return a moment in September 2026, the days of the known-good job's work log."""
    return datetime(2026, 9, day, hour, minute)


def a_job(*work: str) -> Job:
    """Return the known-good job, with another work log where one is given."""
    tree = read_tree(GOOD_JOB / "job.yaml", "job.yaml").tree
    assert tree is not None
    read = read_model(edited(tree, ["work"], list(work)) if work else tree, "job.yaml", Job)
    assert read.model is not None, read.items
    return read.model


def known(
    job: Job | None = None, photos: tuple[Photo, ...] = (), facts: Facts | None = None
) -> Known:
    """Return what the known-good job has, without its photos where none are given."""
    return Known(job or a_job(), photos, facts or Facts({}, {}, ()))


def proposed(*files: Seen, has: Known | None = None) -> tuple[Proposed, ...]:
    """Return what is proposed for these files."""
    return propose(Heap(files, ()), has or known()).files


@pytest.mark.parametrize(
    ("name", "phase"),
    [
        ("phone/ice barrier/IMG_1.jpg", Phase.ICE_BARRIER),
        ("phone/Ice-Barrier/IMG_1.jpg", Phase.ICE_BARRIER),
        ("phone/icebarrier/IMG_1.jpg", Phase.ICE_BARRIER),
        ("deck-back.jpg", Phase.DECK),
        ("Deck Repair 2 back.JPG", Phase.DECK_REPAIR),
        ("deck-repair/back-before.jpg", Phase.DECK_REPAIR),
        ("before tear-off.jpg", Phase.BEFORE),
        ("deck repair before.jpg", Phase.DECK_REPAIR),
        ("hip_and_ridge.jpg", Phase.HIP_AND_RIDGE),
        ("deck/ice barrier 3.jpg", Phase.DECK),
        ("monday deck/ice barrier 3.jpg", Phase.ICE_BARRIER),
        ("starter and field.jpg", None),
        ("after tear-off.jpg", None),
        ("IMG_0001.jpg", None),
        ("decking.jpg", None),
        ("Ice & Water/IMG_1.jpg", Phase.ICE_BARRIER),
        ("I&W back.jpg", Phase.ICE_BARRIER),
        ("ice and water shield 2.jpg", Phase.ICE_BARRIER),
        ("felt/IMG_1.jpg", Phase.UNDERLAYMENT),
        ("synthetic front.jpg", Phase.UNDERLAYMENT),
        ("ridge caps.jpg", Phase.HIP_AND_RIDGE),
        ("ridge vent 1.jpg", Phase.VENTILATION),
        ("pipe boots.jpg", Phase.FLASHING),
        ("starter strip.jpg", Phase.STARTER),
        ("drip.jpg", Phase.DRIP_EDGE),
        ("felt over decking.jpg", Phase.UNDERLAYMENT),
        ("felt and ice & water.jpg", None),
        ("shingles/IMG_1.jpg", None),
        ("after/IMG_1.jpg", None),
        ("chimney.jpg", None),
        ("plywood.jpg", None),
        ("feltham.jpg", None),
    ],
)
def test_names_name_a_phase_or_nothing(name: str, phase: Phase | None) -> None:
    found = phase_by_name(name)
    assert (found.value if found else None) is phase


@pytest.mark.parametrize(
    ("name", "slope"),
    [
        ("deck-back.jpg", "back"),
        ("back/IMG_1.jpg", "back"),
        ("BACK PORCH/IMG_1.jpg", "back porch"),
        ("front/back 1.jpg", "back"),
        ("front and back.jpg", None),
        ("take a look.jpg", None),
        ("IMG_1.jpg", None),
        ("A/IMG_2.jpg", "A"),
        ("background.jpg", None),
    ],
)
def test_names_name_a_slope_or_nothing(name: str, slope: str | None) -> None:
    found = slope_by_name(name, SLOPES)
    assert (found.value if found else None) == slope


@pytest.mark.parametrize(
    ("name", "kind"),
    [
        ("disposal ticket 9.pdf", PaperKind.DISPOSAL_TICKET),
        ("Ticket_55120.pdf", PaperKind.TICKET),
        ("scans/permits/x.pdf", None),
        ("permit/0001.pdf", PaperKind.PERMIT),
        ("invoice and waiver.pdf", None),
    ],
)
def test_names_name_a_kind_of_paper_or_nothing(name: str, kind: PaperKind | None) -> None:
    found = kind_by_name(name)
    assert (found.value if found else None) is kind


@pytest.mark.parametrize(
    ("name", "could"),
    [
        ("shingles/IMG_1.jpg", (Phase.BEFORE, Phase.TEAR_OFF, Phase.FIELD)),
        ("decking back.jpg", (Phase.DECK, Phase.DECK_REPAIR)),
        ("stripped plywood.jpg", (Phase.DECK,)),
        ("ridge/IMG_1.jpg", (Phase.VENTILATION, Phase.HIP_AND_RIDGE)),
        ("after/IMG_1.jpg", (Phase.CLEAN_UP, Phase.FINISHED)),
        ("after tear-off/IMG_1.jpg", None),
        ("shingles over felt.jpg", None),
        ("IMG_1.jpg", None),
    ],
)
def test_words_of_several_meanings_narrow(name: str, could: tuple[Phase, ...] | None) -> None:
    """What a roofer may mean by a word; common practice, no published source."""
    found = narrowed_by_name(name)
    assert (found.value if found else None) == could


@pytest.mark.parametrize(("day", "phase"), [(14, None), (15, Phase.FIELD), (16, None), (20, None)])
def test_a_narrowing_word_and_its_day_leave_one_phase_or_none(
    day: int, phase: Phase | None
) -> None:
    [one] = proposed(seen(fact("shingles/IMG_1.jpg", at(day, 9))))
    assert one.phase is phase
    if phase is not None:
        assert f"of which only {phase.value} fits" in one.reason


def test_a_slope_called_by_a_word_of_the_trade_keeps_it() -> None:
    job = a_job()
    named = job.slopes[0].model_copy(update={"label": "hips"})
    has = known(job.model_copy(update={"slopes": (named,)}))
    [one] = proposed(seen(fact("hips/IMG_1.jpg", at(25, 9))), has=has)
    assert (one.phase, one.slope) == (None, "hips")


def test_an_offices_own_words_name_phases_and_slopes_it_has() -> None:
    has = replace(
        known(),
        phase_words={"tin": Phase.DRIP_EDGE, "felt": Phase.TEAR_OFF},
        slope_words={"street side": "front", "yard": "north"},
    )
    tin, felt, yard = proposed(
        seen(fact("Tin/street-side/IMG_1.jpg")),
        seen(fact("felt.jpg")),
        seen(fact("tin yard.jpg")),
        has=has,
    )
    assert (tin.phase, tin.slope) == (Phase.DRIP_EDGE, "front")
    assert felt.phase is Phase.TEAR_OFF, "the office's word wins over the trade's"
    assert (yard.phase, yard.slope) == (Phase.DRIP_EDGE, None)


def test_a_name_wins_over_the_work_log_and_the_difference_is_said() -> None:
    [one] = proposed(seen(fact("deck/front.jpg", at(16, 9))))
    assert (one.phase, one.slope) == (Phase.DECK, "front")
    assert "camera says 2026-09-16 and the work log has deck on 2026-09-14" in one.reason


def test_a_day_with_one_phase_gives_it_and_a_day_with_two_does_not() -> None:
    job = a_job("2026-09-14, tear-off", "2026-09-15, starter + field")
    one, two, before, long_before = proposed(
        seen(fact("a.jpg", at(14, 9))),
        seen(fact("b.jpg", at(15, 9))),
        seen(fact("c.jpg", at(10, 9))),
        seen(fact("d.jpg", datetime(2025, 1, 1))),
        has=known(job),
    )
    assert (one.phase, one.reason) == (Phase.TEAR_OFF, "only tear-off ran on 2026-09-14")
    assert (two.phase, two.reason) == (None, "nothing says which phase")
    assert before.phase is Phase.BEFORE
    assert long_before.phase is None


def test_a_day_and_slope_of_the_work_log_narrow_each_other() -> None:
    job = a_job("2026-09-14, deck, on front", "2026-09-14, tear-off, on back")
    front, unknown = proposed(
        seen(fact("front 1.jpg", at(14, 9))), seen(fact("x.jpg", at(14, 10))), has=known(job)
    )
    assert front.phase is Phase.DECK
    assert (unknown.phase, unknown.slope) == (None, None)
    [deck] = proposed(seen(fact("deck.jpg", at(14, 9))), has=known(job))
    assert deck.slope == "front"


def test_neighbours_of_the_same_day_give_the_phase_that_ran() -> None:
    files = proposed(
        seen(fact("field/front 1.jpg", at(15, 9))),
        seen(fact("x.jpg", at(15, 12))),
        seen(fact("field/front 2.jpg", at(15, 15))),
        seen(fact("y.jpg", at(15, 16))),
    )
    assert (files[1].phase, files[1].slope) == (Phase.FIELD, None)
    assert "between two photos of field of the same day" in files[1].reason
    assert files[3].phase is None, "nothing comes after it"


@pytest.mark.parametrize(("minutes", "found"), [(10, True), (11, False)])
def test_neighbours_within_ten_minutes_give_phase_and_slope(minutes: int, found: bool) -> None:
    """Days without a line in the work log, so that only the time between them can tell."""
    files = proposed(
        seen(fact("flashing/front 1.jpg", at(25, 9))),
        seen(fact("x.jpg", at(25, 9, minutes))),
        seen(fact("flashing/front 2.jpg", at(25, 9, 2 * minutes))),
    )
    assert (files[1].phase, files[1].slope) == (
        (Phase.FLASHING, "front") if found else (None, None)
    )


def test_no_guess_rests_on_a_guess_by_neighbours() -> None:
    files = proposed(
        seen(fact("flashing/front 1.jpg", at(25, 9, 0))),
        seen(fact("x.jpg", at(25, 9, 8))),
        seen(fact("y.jpg", at(25, 9, 12))),
        seen(fact("flashing/front 2.jpg", at(25, 9, 16))),
    )
    assert files[1].phase is Phase.FLASHING
    assert files[2].phase is None, "its neighbour of 9:08 was itself a guess"


def test_photos_of_the_job_are_neighbours_too() -> None:
    had = [fact(f"photos/field/{n}.jpg", at(15, 9, n)) for n in (0, 8)]
    photos = tuple(Photo(file=one.file, phase=Phase.FIELD, slope="back") for one in had)
    facts = Facts({one.file: one for one in had}, {}, ())
    [one] = proposed(seen(fact("x.jpg", at(15, 9, 4))), has=known(None, photos, facts))
    assert (one.phase, one.slope) == (Phase.FIELD, "back")


def test_papers_are_told_from_photos() -> None:
    files = proposed(
        seen(fact("scan.pdf", kind="pdf", fault="is a PDF and not a picture.")),
        seen(fact("ticket 55120.jpg")),
        seen(fact("papers/IMG_3.jpg")),
        seen(fact("field/ticket on the stack.jpg")),
        seen(fact("field nails, permit number in view.jpg")),
        seen(fact("starter wrapper.jpg")),
        seen(fact("wrappers/IMG_7.jpg")),
    )
    assert [(one.do, one.kind) for one in files] == [
        (Do.PAPER, None),
        (Do.PAPER, PaperKind.TICKET),
        (Do.PAPER, None),
        (Do.PAPER, PaperKind.TICKET),
        (Do.PHOTO, None),
        (Do.PAPER, PaperKind.WRAPPER),
        (Do.PAPER, PaperKind.WRAPPER),
    ]


def test_a_broken_photo_is_left_out_by_name_and_an_unopened_heic_is_not() -> None:
    broken, heic = proposed(
        seen(fact("deck/a.jpg", fault="is cut short: the file ends before the picture does.")),
        seen(fact("deck/b.heic", kind="heic", fault="is a HEIC photo.")),
    )
    assert (broken.do, broken.reason[:15]) == (Do.LEAVE_OUT, "it is cut short")
    assert heic.do is Do.PHOTO


def test_the_same_bytes_are_filed_once_the_better_placed_first() -> None:
    same = "ab" * 32
    loose, placed = proposed(seen(fact("mail/1.jpg"), same), seen(fact("deck/front.jpg"), same))
    assert (loose.do, loose.reason) == (Do.LEAVE_OUT, "the same bytes as deck/front.jpg")
    assert placed.do is Do.PHOTO


def test_what_the_job_has_is_left_out() -> None:
    had = replace(fact("photos/deck/a.jpg"), sha256="cd" * 32)
    has = known(facts=Facts({had.file: had}, {}, ()))
    [one] = proposed(seen(fact("x.jpg"), "cd" * 32), has=has)
    assert one.reason == "the job has the same bytes as photos/deck/a.jpg"


BITS = 0x0F1E_2D3C_4B5A_6978


@pytest.mark.parametrize(
    ("flipped", "left_out"),
    [
        ((), True),
        # Far apart, each falls into another of the five parts that a hash is looked up by.
        ((0, 13, 26, 39), True),
        ((0, 1, 2, 3), True),
        ((0, 1, 2, 3, 4), False),
        ((0, 13, 26, 39, 52), False),
    ],
)
def test_a_smaller_copy_is_named_and_left_out(flipped: tuple[int, ...], left_out: bool) -> None:
    other = BITS ^ sum(1 << bit for bit in flipped)
    small, large = proposed(
        seen(fact("deck/front.jpg", size_px=(800, 600), dhash=BITS)),
        seen(fact("DCIM/IMG_1.jpg", at(14, 9), dhash=other)),
    )
    assert (small.do is Do.LEAVE_OUT) is left_out
    assert large.do is Do.PHOTO
    if left_out:
        assert small.reason == "nearly the same picture as DCIM/IMG_1.jpg, which is larger"
        assert (large.phase, large.slope) == (Phase.DECK, "front"), "what its copy's folder says"


def test_two_moments_that_look_alike_are_both_kept_and_said_to() -> None:
    one, two = proposed(
        seen(fact("deck/1.jpg", at(14, 9, 0), dhash=BITS)),
        seen(fact("deck/2.jpg", at(14, 9, 1), size_px=(800, 600), dhash=BITS)),
    )
    assert (one.do, two.do) == (Do.PHOTO, Do.PHOTO)
    assert "looks like deck/1.jpg, taken at another moment" in two.reason


def test_a_larger_original_of_what_the_job_has_is_proposed_and_said_to_be() -> None:
    had = fact("photos/deck/a.jpg", size_px=(800, 600), dhash=BITS)
    has = known(facts=Facts({had.file: had}, {}, ()))
    [larger] = proposed(seen(fact("x.jpg", dhash=BITS)), has=has)
    assert larger.do is Do.PHOTO
    assert "a larger copy of photos/deck/a.jpg" in larger.reason
    [smaller] = proposed(seen(fact("y.jpg", size_px=(400, 300), dhash=BITS)), has=has)
    assert smaller.do is Do.LEAVE_OUT


def test_pictures_with_hardly_an_edge_are_alike_without_being_copies() -> None:
    flat = [fact("a.jpg", dhash=0), fact("b.jpg", size_px=(80, 60), dhash=0)]
    assert alike(flat, []) == {}


# --- the file of the proposal -------------------------------------------------------------------


def a_proposal() -> Proposal:
    """Return a proposal with a photo, an unknown one, a paper and one left out."""
    same = "ab" * 32
    files = proposed(
        seen(fact("deck/front: “1”.jpg", at(14, 9)), same),
        seen(fact("x.jpg")),
        seen(fact("permit #2.pdf", kind="pdf", fault="is a PDF.")),
        seen(fact("copy.jpg"), same),
    )
    return Proposal(files, (Refused("notes.txt", "is text."),))


def test_a_proposal_reads_back_as_it_was_written() -> None:
    proposal = a_proposal()
    text = choices_text(proposal, [Path("/a phone's: folder")])
    choices = parse_choices(text.encode(), "proposal.yaml")
    assert choices.sources == ("/a phone's: folder",)
    assert chosen(proposal, choices, ["front", "back"]) == proposal
    assert text.splitlines()[0].startswith("# What dossier gather proposes")


def test_edits_are_taken_and_what_changed_meanwhile_is_named() -> None:
    proposal = a_proposal()
    text = choices_text(proposal, [Path("/phone")])
    text = text.replace("phase:\n    slope:\n", "phase: Ice-Barrier\n    slope: BACK\n", 1)
    choices = parse_choices(text.encode(), "proposal.yaml")
    took = chosen(proposal, choices, ["front", "back"])
    assert (took.files[1].phase, took.files[1].slope) == (Phase.ICE_BARRIER, "back")
    other = replace(proposal.files[0], seen=replace(proposal.files[0].seen, sha256="0" * 64))
    took = chosen(Proposal((other, *proposal.files[2:]), ()), choices, ["front", "back"])
    assert len(took.files) == 2
    whys = {one.name: one.why for one in took.refused}
    assert whys[other.name].startswith("has changed")
    assert whys["x.jpg"].startswith("is not in the sources any more")


@pytest.mark.parametrize(
    ("old", "new", "says"),
    [
        ("slope: front", "slope: east", "which this job does not have. It has front and back."),
        ("do: paper", "do: photo", "is a PDF, and the proposal calls it a photo"),
        ("do: photo", "do: drop", "needed photo, paper or leave out"),
        ("phase: deck", "phase: decks", "the nearest is deck"),
        ("taken:", "token:", "“token” is not a known field"),
        ("sources:", "sources: [", "does not parse as YAML"),
    ],
)
def test_a_slip_in_the_edited_file_is_a_sentence(old: str, new: str, says: str) -> None:
    proposal = a_proposal()
    text = choices_text(proposal, [Path("/phone")]).replace(old, new, 1)
    if old in ("slope: front", "do: paper"):
        choices = parse_choices(text.encode(), "proposal.yaml")
        with pytest.raises(UnreadableInput, match=says):
            chosen(proposal, choices, ["front", "back"])
    else:
        with pytest.raises(UnreadableInput, match=says):
            parse_choices(text.encode(), "proposal.yaml")


@pytest.mark.parametrize(
    ("name", "caption"),
    [
        ("field/front-nails.jpg", "nails"),
        ("ice barrier/front Tape at 68 in.jpg", "Tape at in"),
        ("deck-repair/back-before.jpg", ""),
        ("field/IMG_2041 nails.jpg", ""),
        ("field/photo (2).jpg", ""),
        ("field/front 3.jpg", ""),
    ],
)
def test_what_a_person_wrote_in_a_name_becomes_the_caption(name: str, caption: str) -> None:
    [one] = proposed(seen(fact(name)))
    assert one.caption == caption


@pytest.mark.parametrize(
    ("name", "ending"),
    [("back-before.jpg", "-before"), ("back after.jpg", "-after"), ("back.jpg", "")],
)
def test_a_deck_repair_keeps_the_word_that_its_record_is_found_by(name: str, ending: str) -> None:
    [one] = proposed(seen(fact(f"deck repair/{name}", at(14, 9)), "ab" * 32))
    assert name_in_job(one) == f"photos/deck-repair/back-20260914-090000-abababab{ending}.jpg"


def test_names_in_the_job_are_readable_and_safe() -> None:
    [one] = proposed(seen(fact("deck/front.jpg", at(14, 9)), "ab" * 32))
    assert name_in_job(one) == "photos/deck/front-20260914-090000-abababab.jpg"
    odd = replace(one, slope="back/porch: Nº 2", phase=None)
    assert name_in_job(odd) == "photos/unsorted/back-porch-nº-2-20260914-090000-abababab.jpg"
    paper = replace(one, do=Do.PAPER, kind=PaperKind.TICKET)
    assert name_in_job(paper) == "papers/ticket-front-abababab.jpg"
    assert name_in_job(replace(paper, kind=None)) == "papers/unsorted/paper-front-abababab.jpg"
