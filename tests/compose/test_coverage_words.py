"""The coverage tables: what no sheet typed is not printed as the terms' words."""

from dossier.compose.parts.coverage_pages import CoverageBlock
from tests.compose.made import made
from tests.known_good import known_good

SHINGLE = "terms.kestrelmoor-2026.levels.0.coverage"
_PARTS = f"{SHINGLE}.parts"


def facts(edits: dict[str, object] | None = None, title: str = "Shingle level") -> dict[str, str]:
    """Return the rows above a coverage's table: label → text."""
    block: CoverageBlock
    (block,) = [one for one in made(edits).handover.coverages if one.title == title]
    return {pair.label: pair.text for pair in block.facts}


def test_a_price_and_a_count_that_no_sheet_typed_are_said_to_be_unsaid() -> None:
    # The demo's sheet types neither `cap` nor `rounding` for this level.
    says = facts()
    assert says["Price that counts"] == "the terms as typed in do not say; ask"
    assert says["Counting months"].startswith("the terms as typed in do not say; here a month")


def test_what_a_sheet_typed_is_printed_and_the_rest_is_named() -> None:
    says = facts({f"{_PARTS}.0.cap": "original price", f"{_PARTS}.0.rounding": "whole months only"})
    assert says["Price that counts"] == (
        "material: what it cost when the roof was laid, even if it costs more by then; algae: the terms as "
        "typed in do not say; ask"
    )
    assert says["Counting months"] == "in more than one way"
    both = facts({f"{_PARTS}.{n}.rounding": "whole months only" for n in (0, 3)})
    assert both["Counting months"] == "only whole months that have gone by count"


def test_nothing_is_said_where_no_part_falls() -> None:
    says = facts(title="Ormskar workmanship coverage")
    assert "Price that counts" not in says
    assert "Counting months" not in says


def test_the_working_says_that_a_default_was_used() -> None:
    def inputs(edits: dict[str, object] | None = None) -> list[str]:
        assessment = known_good({**(edits or {}), "run.today": "2040-01-01"}).assessment
        (figure,) = [
            one for one in assessment.figures if one.id == "coverage.shingle_level_material"
        ]
        return [name for name, *_ in figure.inputs]

    assert "months" in inputs()
    assert "months" not in inputs({f"{_PARTS}.0.rounding": "whole months only"})


def test_a_level_for_some_owners_says_for_whom() -> None:
    assert (
        facts(title="Full Assembly level")["Only for"] == "an owner who lives there or a landlord"
    )
    assert "Only for" not in facts()


def test_a_level_that_does_not_hold_is_told_as_what_it_would_be() -> None:
    first = made().handover.levels[0].sentences[0]
    assert first.startswith("Would add the maker's own promise")
    held = made(
        {
            "job.warranties.0.submitted_on": "2026-10-01",
            "job.warranties.0.accepted_on": "2026-10-10",
        }
    )
    assert held.handover.levels[0].sentences[0].startswith("Adds the maker's own promise")
    other = made({"terms.kestrelmoor-2026.levels.2.summary": "Stands behind the work."})
    assert other.handover.levels[0].sentences[0] == "If it holds: Stands behind the work."
