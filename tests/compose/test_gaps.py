"""What does not fit and what is not on file: two lists, each thing in one of them and once."""

from dossier.case.readers import for_reader
from dossier.compose.handover.handover import handover
from dossier.words import Edition
from tests.compose.made import everything, made, resale
from tests.known_good import known_good


def test_a_shortfall_is_no_gap() -> None:
    edits: dict[str, object] = {
        "job.installation.ice_barrier_courses": "1",
        "job.installation.ice_barrier_reach_in": "36",
    }
    doc = made(edits).handover
    short = [text for text in doc.unfit if "is required here" in text]
    # Two slopes of one pitch and one eave: one sentence that names both.
    assert len(short) == 1
    assert short[0].startswith("Ice barrier on slopes back and front reaches 36 in")
    assert not any("is required here" in text for text in doc.gaps)


def test_what_is_blank_is_a_gap_and_no_shortfall() -> None:
    doc = made({"job.after_work.flues": None}).handover
    assert any("Flues" in text for text in doc.gaps)
    assert not any("lues" in text for text in doc.unfit)


def test_a_good_job_has_no_second_heading() -> None:
    assert made().handover.unfit == ()


def test_a_slope_whose_label_begins_another_is_not_mixed_up() -> None:
    renamed: dict[str, object] = {
        "job.slopes.0": "back-low, faces S, 6:12, plan 40 ft x 14 ft, eave 40 ft, rakes 31.3 ft, ridge 40 ft",
        "facts.photos/underlayment/back.jpg": None,
        "facts.photos/underlayment/front.jpg": None,
    }
    gaps = everything(made(renamed).handover.gaps)
    assert "No photo of underlayment on slopes back and back-low." in gaps


def test_a_blank_approval_is_not_called_withheld() -> None:
    def approved(edits: dict[str, object] | None = None) -> str:
        (repair,) = resale(known_good(edits)).repairs
        return {pair.label: pair.text for pair in repair.pairs}["Agreed for the owner"]

    assert approved() == "not shown in this document"
    assert approved({"job.repairs.0.approved": None}) == "not on record"


def test_an_owner_who_is_not_on_record_is_not_called_withheld() -> None:
    def owner(edits: dict[str, object] | None = None) -> str:
        summary = resale(known_good(edits)).cover.summary
        return {pair.label: pair.text for pair in summary}["Owner when it was laid"]

    assert owner() == "not shown in this document"
    known = known_good({"job.owners": None})
    case = for_reader(known.case, Edition.RESALE)
    doc = handover(
        case, known.facts, known.assessment, known.punch_list, known.run, edition=Edition.RESALE
    )
    assert {pair.label: pair.text for pair in doc.cover.summary}[
        "Owner when it was laid"
    ] == "not on record"


def test_boots_are_left_out_where_no_pipe_is_on_record() -> None:
    def boots(edits: dict[str, object]) -> list[str]:
        return [pair.text for pair in made(edits).handover.after_work if "boots" in pair.label]

    assert boots({}) == ["not noted separately"]
    pipeless: dict[str, object] = {
        "job.slopes.0": "front, faces S, 6:12, plan 40 ft x 14 ft, eave 40 ft, rakes 31.3 ft, ridge 40 ft",
        "job.slopes.1": "back, faces N, 6:12, plan 40 ft x 14 ft, eave 40 ft, rakes 31.3 ft",
        "job.deliveries.0.lines.8": None,
    }
    assert boots(pipeless) == []
    assert boots({**pipeless, "job.after_work.boots": "Ida Torvik, 2026-09-16"}) != []


def test_old_paint_names_who_saw_to_it_as_far_as_the_reader_may_know() -> None:
    known = known_good(
        {
            "job.building.year_built": "1948",
            "job.building.lead_dust": {
                "painted_sqft": "45",
                "renovator": "Ida Torvik",
                "pamphlet": "Marit Ekdahl, 2026-09-10",
                "owner_copy_on": "2026-10-02",
            },
        }
    )

    def paint(rows: tuple[object, ...]) -> str:
        return next(row.text for row in rows if row.label == "Old paint")  # type: ignore[attr-defined]

    mine = paint(made(known=known).handover.cautions)
    assert mine.endswith(
        "On record of that work: certified renovator assigned, Ida Torvik; pamphlet received, Marit Ekdahl, 10 "
        "September 2026; the owner was given the record on 2 October 2026."
    )
    buyers = paint(resale(known).cautions)
    assert "Ida Torvik" in buyers
    assert "Ekdahl" not in buyers
