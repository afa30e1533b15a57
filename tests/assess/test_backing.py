"""How far statements and conditions are backed: by the weakest slope of theirs, and by papers that are there."""

from dataclasses import replace
from datetime import date
from fractions import Fraction

import pytest

from dossier.assess.backing import by_slope, names_ticket, photo_backing
from dossier.assess.results import ConditionResult, Met, Statement
from dossier.record.signed import Signed
from dossier.words import Backing, Phase
from tests.compose.made import Made, made
from tests.known_good import Known, known_good


def looked_at(*files: str) -> dict[str, object]:
    return {
        f"photos.{number}": {"file": f"photos/{file}.jpg", "reviewed": "Ida Torvik, 2026-09-17"}
        for number, file in enumerate(files)
    }


def stated(known: Known, name: str) -> Statement:
    found = known.assessment.statement(name)
    assert found is not None
    return found


def condition(known: Known, clause: str) -> ConditionResult:
    (asked,) = known.assessment.asked
    leaves = [leaf for one in asked.level.conditions for leaf in one.leaves]
    return next(leaf for leaf in leaves if leaf.condition.clause == clause)


def row(doc: Made, clause: str) -> tuple[str, str, str]:
    (page,) = doc.registration.asked
    return next((r.met, r.backing, r.proof) for r in page.conditions if r.clause == clause)


def index_row(doc: Made, begins: str) -> tuple[str, str]:
    return next((r.backing, r.where) for r in doc.handover.backed if r.text.startswith(begins))


@pytest.mark.parametrize(
    ("files", "backing"),
    [
        ((), Backing.ON_FILE),
        (("ice-barrier/front",), Backing.ON_FILE),
        (("ice-barrier/front", "ice-barrier/back"), Backing.REVIEWED),
    ],
)
def test_one_slope_looked_at_says_nothing_of_the_other(
    files: tuple[str, ...], backing: Backing
) -> None:
    known = known_good(looked_at(*files))
    for name in ("ice_barrier.reach", "role.ice barrier"):
        assert stated(known, name).backing is backing


def test_the_slopes_are_named_where_they_differ() -> None:
    edits = looked_at("ice-barrier/front")
    found = stated(known_good(edits), "ice_barrier.reach")
    assert found.by_slope == ((Backing.REVIEWED, ("front",)), (Backing.ON_FILE, ("back",)))
    assert [found.on(slope) for slope in ("front", "back", None)] == [
        *(Backing.REVIEWED, Backing.ON_FILE, Backing.ON_FILE)
    ]
    backing, where = index_row(made(edits), "Ice barrier at the eaves")
    assert backing == "on file"
    assert where.endswith("; reviewed on front; on file on back")


def test_a_slope_without_a_photo_leaves_it_on_file_in_part() -> None:
    doc = made({"facts.photos/ice-barrier/back.jpg": None})
    backing, where = index_row(doc, "Ice barrier at the eaves")
    assert backing == "on file in part"
    assert where.endswith("; on file on front; stated on back")
    # It has a photo, so that it is none of those that rest on the record alone.
    assert not any("rests on the record" in text for text in doc.handover.gaps)
    # The ticket is for the whole roof, so that the product is on file on both.
    assert index_row(doc, "Ice barrier: ")[0] == "on file"


def test_a_slope_with_words_of_its_own_is_not_spoken_of() -> None:
    """The sentence on the whole roof's barrier says nothing of a slope with courses of its own."""
    slope = {"label": "back", "pitch": "6:12", "plan": "40 ft x 14 ft", "eave_ft": "40 ft"}
    edits = {
        **looked_at("ice-barrier/front"),
        "job.slopes.1": {**slope, "ice_barrier_courses": "2"},
    }
    found = stated(known_good(edits), "ice_barrier.reach")
    assert (found.backing, found.by_slope) == (Backing.REVIEWED, ())
    assert not [ref for ref in found.references if "back" in ref.text]


def test_a_slope_covered_whole_is_named_and_backed_with_the_others() -> None:
    slope = {"label": "back", "pitch": "3:12", "plan": "40 ft x 14 ft", "eave_ft": "40 ft"}
    whole = {"job.slopes.1": {**slope, "ice_barrier_whole": "yes"}}
    doc = made({**looked_at("ice-barrier/front"), **whole})
    (laid,) = [pair for pair in doc.handover.laid if pair.label == "Ice barrier"]
    assert str(laid.text) == "2 courses, 68 in up the slope from the eave, the whole of slope back"
    backing, where = index_row(doc, "Ice barrier at the eaves")
    assert backing == "on file"
    assert where.endswith("reviewed on front; on file on back")
    blank = {
        "job.installation.ice_barrier_courses": None,
        "job.installation.ice_barrier_reach_in": None,
    }
    found = stated(known_good({**whole, **blank}), "ice_barrier.reach")
    assert str(found.text) == "Ice barrier at the eaves, the whole of slope back"
    assert found.references[0].where.field == "slopes.1.ice_barrier_whole"
    assert {ref.text for ref in found.references[1:]} == {"photos/ice-barrier/back.jpg"}


def test_nails_seen_on_one_slope_say_nothing_of_another() -> None:
    """One photo a roof is asked for, which is common practice; it shows the shingles that it shows."""
    found = stated(known_good(looked_at("field/front-nails")), "nails")
    assert found.by_slope == ((Backing.REVIEWED, ("front",)), (Backing.STATED, ("back",)))
    assert index_row(made(), "6 nails")[0] == "on file in part"
    met, word, where = row(made(looked_at("field/front-nails")), "3.10")
    assert (met, word) == ("met", "on file in part")
    assert where.endswith("reviewed on front; stated on back")


@pytest.mark.parametrize(
    ("phase", "clause", "begins"),
    [("starter", "3.11", "Starter at"), ("tear-off", "3.9 b", "Full tear-off")],
)
def test_a_clause_on_the_whole_roof_says_of_which_slopes_it_is_shown(
    phase: str, clause: str, begins: str
) -> None:
    """Packet and handover say alike how far one claim is shown."""
    doc = made({f"facts.photos/{phase}/back.jpg": None})
    met, word, where = row(doc, clause)
    assert (met, word) == ("met", "on file in part")
    assert where.endswith("on file on front; stated on back")
    assert index_row(doc, begins)[0] == "on file in part"
    assert row(made(), clause)[1] == index_row(made(), begins)[0] == "on file"


def test_what_lifts_a_clause_is_shown_as_far_as_it_is_shown_alone() -> None:
    """Six nails lift it, and a photo shows them on one slope of two."""
    lifted = {"clause": "3.10", "says": "…", "fee": "75", "unless": {"nails_per_shingle": "6"}}
    known = known_good({"terms.kestrelmoor-2026.levels.2.conditions.1": lifted})
    assert condition(known, "3.10").by_slope == (
        *((Backing.ON_FILE, ("front",)), (Backing.STATED, ("back",))),
    )


@pytest.mark.parametrize(
    ("edits", "backing", "proof"),
    [
        (looked_at("deck/front", "deck/back"), "reviewed", "printed below"),
        (looked_at("deck/front"), "on file", "reviewed on front; on file on back"),
        (
            {"facts.photos/deck/back.jpg": None},
            "on file in part",
            "on file on front; stated on back",
        ),
        (
            {"facts.photos/deck/back.jpg": None, "facts.photos/deck/front.jpg": None},
            "stated",
            "record: decks",
        ),
    ],
)
def test_a_deck_of_several_slopes_is_backed_as_its_weakest(
    edits: dict[str, object], backing: str, proof: str
) -> None:
    met, word, where = row(made(edits), "3.9 c")
    assert (met, word) == ("met in part", backing)
    assert where.endswith(proof)


def test_photos_of_some_slopes_are_on_file_in_part() -> None:
    met, word, proof = row(made({"facts.photos/deck/back.jpg": None}), "3.13")
    assert (met, word) == ("not met", "on file in part")
    assert proof.startswith("photos printed below: deck")
    none = {
        f"facts.photos/{phase}/{slope}.jpg": None
        for phase in ("deck", "ice-barrier", "underlayment", "field")
        for slope in ("front", "back", "front-nails")
        if phase == "field" or slope != "front-nails"
    }
    assert row(made(none), "3.13") == ("not met", "absent", "nothing on file")


def test_one_of_two_papers_is_on_file_in_part() -> None:
    met, word, proof = row(made({"facts.papers/invoice-2026-041.pdf": None}), "3.15")
    assert (met, word, proof) == ("not met", "on file in part", "paper: completion.pdf")


def test_a_condition_on_makers_is_backed_by_the_ticket_that_lists_them() -> None:
    """Met or not met, counted or each for itself: the same paper stands behind all."""
    wrong = "2 bundles Ridgeback caps, lot R-1 x 2"
    counted = {
        "clause": "3.9 a",
        "counted_accessories": {"at_least": "2", "of": "starter, underlayment"},
    }
    edits: tuple[dict[str, object], ...] = (
        {},
        {"job.deliveries.0.lines.2": wrong},
        {"terms.kestrelmoor-2026.levels.2.conditions.0.all_of.0": counted},
    )
    for edit, met in zip(edits, ("met", "not met", "met"), strict=True):
        found, backing, proof = row(made(edit), "3.9 a")
        assert (found, backing) == (met, "on file")
        assert proof.endswith("; paper: ticket-55120.pdf")


def test_without_the_ticket_it_rests_on_the_record() -> None:
    _, backing, proof = row(made({"facts.papers/ticket-55120.pdf": None}), "3.9 a")
    assert (backing, proof.split(":")[0]) == ("stated", "record")


def test_lots_of_some_units_are_met_and_said_to_be_of_some() -> None:
    """The clause asks for lots on record, and not for one of every bundle: a note, by trade practice."""
    line = "42 bundles Fenwright 40, colour Slate Grey, lots 0012345 x 30"
    doc = made({"job.deliveries.0.lines.0": line})
    said = "Lots of Fenwright 40 are on record for 30 of 42 bundles."
    assert condition(doc.known, "3.9 e").met is Met.MET
    (page,) = doc.registration.asked
    (found,) = [one for one in page.checklist if one.clause == "3.9 e"]
    assert (found.because, found.reserve) == (said, said)
    assert said in doc.registration.cannot_show
    assert said in doc.handover.gaps
    assert "Crownline hip and ridge has no lot on record." in (
        made(
            {"job.deliveries.0.lines.2": "2 bundles Crownline hip and ridge"}
        ).registration.cannot_show
    )
    whole = made().registration.asked[0].checklist
    assert [one.reserve for one in whole if one.clause == "3.9 e"] == [""]


@pytest.mark.parametrize(
    ("edits", "sentence", "where"),
    [
        (
            {},
            "Nobody on record saw the deck of slope back before it was covered; photo 5 is on file.",
            "nobody on record saw it; on file: photo 5 (deck/back.jpg)",
        ),
        (
            {"facts.photos/deck/back.jpg": None},
            "Nobody on record saw the deck of slope back before it was covered.",
            "nothing on file",
        ),
    ],
)
def test_a_deck_that_nobody_saw_is_told_apart_from_its_photo(
    edits: dict[str, object], sentence: str, where: str
) -> None:
    doc = made({**edits, "job.work.0": "2026-09-14, tear-off + deck + deck repair + ice barrier"})
    assert index_row(doc, "Deck of slope back") == ("absent", where)
    assert sentence in doc.handover.gaps
    assert sentence in doc.registration.cannot_show


def test_a_deck_under_old_membrane_was_not_seen_whoever_looked() -> None:
    slope = {"label": "back", "pitch": "6:12", "plan": "40 ft x 14 ft", "eave_ft": "40 ft"}
    doc = made({"job.slopes.1": {**slope, "old_membrane_left": "yes"}})
    assert (
        "The deck of slope back was not seen: the old membrane was left on it." in doc.handover.gaps
    )


REGISTERED = {
    "job.warranties.0.submitted_on": "2026-10-01",
    "job.warranties.0.received_on": "2026-10-05",
    "job.warranties.0.accepted_on": "2026-10-10",
    "job.warranties.0.confirmation": "KM-7",
}


@pytest.mark.parametrize(
    ("paper", "backing", "ends"),
    [
        (None, "stated", "confirmation"),
        ("registration confirmation", "on file", "paper: colour-choice.pdf"),
        ("certificate", "on file", "paper: colour-choice.pdf"),
    ],
)
def test_that_a_level_is_registered_has_a_row_and_a_mark(
    paper: str | None, backing: str, ends: str
) -> None:
    papers = [{"file": "papers/colour-choice.pdf", "kind": paper}] if paper else []
    doc = made({**REGISTERED, **({"job.papers": papers} if papers else {})})
    (entry,) = [one for one in doc.handover.backed if "registered with" in one.text]
    assert entry.text == "Full Assembly level registered with Kestrelmoor, confirmation KM-7"
    assert entry.backing == backing
    assert entry.where.endswith(ends)
    (level,) = doc.handover.levels
    (cover,) = [pair for pair in doc.handover.cover.summary if pair.label == "Warranty"]
    for refs in (level.refs, cover.refs):
        assert [(ref.number, ref.backing) for ref in refs] == [(entry.number, backing)]
    (page,) = doc.registration.asked
    assert page.backing == backing
    (proof,) = [pair.text for pair in page.more if pair.label == "Proof of it"]
    assert proof.startswith(f"{backing}; ")
    assert proof.endswith(ends)


def test_a_level_that_is_not_registered_has_neither() -> None:
    doc = made({"job.warranties.0.submitted_on": "2026-10-01"})
    assert not [one for one in doc.handover.backed if "registered" in one.text]
    assert doc.handover.levels[0].refs == ()
    assert doc.registration.asked[0].backing == ""


# One file by itself. Four steps of backing: common practice, no published source.


@pytest.mark.parametrize(
    ("review", "backing"),
    [
        ({"by": "Ida Torvik", "on": "2026-09-17"}, Backing.REVIEWED),
        ({"by": "Ida Torvik"}, Backing.ON_FILE),
        ({"on": "2026-09-17"}, Backing.ON_FILE),
        ({"note": "six nails"}, Backing.ON_FILE),
    ],
)
def test_a_look_counts_with_its_name_and_its_day(review: dict[str, str], backing: Backing) -> None:
    file = "photos/field/front-nails.jpg"
    known = known_good({"photos.0": {"file": file, "reviewed": review}})
    assert stated(known, "nails").on("front") is backing
    paper = {"file": "papers/completion.pdf", "kind": "completion", "reviewed": review}
    assert stated(known_good({"job.papers": [paper]}), "completion").backing is backing


@pytest.mark.parametrize(("fact", "value"), [("exists", False), ("fault", "it does not open")])
def test_a_paper_that_nobody_can_read_backs_nothing(fact: str, value: object) -> None:
    edits = {f"facts.papers/completion.pdf.{fact}": value}
    assert stated(known_good(edits), "completion").backing is Backing.STATED
    reviewed = {"by": "Ida Torvik", "on": "2026-09-17"}
    paper = {"file": "papers/completion.pdf", "kind": "completion", "reviewed": reviewed}
    both = known_good({**edits, "job.papers": [paper]})
    assert stated(both, "completion").backing is Backing.STATED


@pytest.mark.parametrize(("fact", "value"), [("exists", False), ("fault", "it does not open")])
def test_a_photo_that_does_not_open_backs_nothing(fact: str, value: object) -> None:
    edits = {f"facts.photos/field/front-nails.jpg.{fact}": value}
    assert stated(known_good(edits), "nails").on("front") is Backing.STATED


def test_a_photo_that_shows_nothing_backs_only_what_somebody_saw_in_it() -> None:
    """A picture as black as a pocket: an eye that saw it counts for more than a limit."""
    file = "photos/field/front-nails.jpg"
    known = known_good()
    photo = next(one for one in known.case.photos if one.file == file)
    facts = replace(
        known.facts,
        photos={
            **known.facts.photos,
            file: replace(known.facts.photos[file], dark_share=Fraction(1)),
        },
    )
    assert photo_backing(photo, facts) is Backing.ABSENT
    seen = photo.model_copy(update={"reviewed": Signed(by="Ida Torvik", on=date(2026, 9, 17))})
    assert photo_backing(seen, facts) is Backing.REVIEWED


@pytest.mark.parametrize(
    ("file", "number", "named"),
    [
        ("papers/ticket-55120.pdf", "55120", True),
        ("papers/ticket-55120-signed.pdf", "55120", True),
        ("papers/ticket-55120.pdf", "5", False),
        ("papers/ticket-55120.pdf", "5512", False),
        ("papers/ticket-55120.pdf", "5120", False),
        ("papers/ticket-A55120.pdf", "55120", False),
        # The number of a folder is none of the file's.
        ("papers/55120/ticket.pdf", "55120", False),
        ("papers/ticket-1.2.pdf", "1.2", True),
        ("papers/ticket-1x2.pdf", "1.2", False),
    ],
)
def test_a_ticket_s_number_stands_whole_in_a_name(file: str, number: str, named: bool) -> None:
    assert names_ticket(file, number) is named


def test_a_photo_of_no_slope_is_of_the_whole_roof() -> None:
    known = known_good()
    photo = known.case.photos_of(Phase.ICE_BARRIER)[0]
    whole = photo.model_copy(update={"slope": None})
    front = photo.model_copy(update={"slope": "front"})
    slopes = ("front", "back")
    assert by_slope(known.facts, slopes, [whole], Backing.STATED) == ((Backing.ON_FILE, slopes),)
    assert by_slope(known.facts, slopes, [front], Backing.STATED) == (
        (Backing.ON_FILE, ("front",)),
        (Backing.STATED, ("back",)),
    )
