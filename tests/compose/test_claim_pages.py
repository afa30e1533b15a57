"""What claim and sale documents show to each reader: a token in every withheld field is in none of them."""

from dataclasses import replace
from datetime import date
from typing import Any

import pytest

from dossier.assess.assess import assess
from dossier.assess.claim import coverages_then, notices, roof_age_months
from dossier.assess.look_first import look_first
from dossier.assess.place import PlaceAsked, place_answer
from dossier.assess.since import noted_since
from dossier.case.readers import for_reader, visible
from dossier.compose.years_after.claim_answer import Claimed, claim_answer
from dossier.compose.years_after.confirmations import needed_confirmations
from dossier.compose.years_after.inspection_sheet import inspection_sheet
from dossier.compose.years_after.maker_letter import maker_letter
from dossier.compose.years_after.transfer_notice import Sold, transfer_notices
from dossier.evidence.facts import Facts
from dossier.record.entry import Claim, Entry, LaterWork, MakersVisit, Sale
from dossier.words import Edition, EntryKind
from tests.case.test_readers import Planting, planted_case
from tests.compose.made import everything
from tests.known_good import known_good

DAY = date(2040, 3, 2)
DIGEST = "d" * 64
FOR_THE_OFFICE = "token-note"


def entry_with(kind: EntryKind, **group: Any) -> Entry:
    return Entry(
        entry=1,
        job="2026-041",
        kind=kind,
        on=DAY,
        noted_by="Ida Torvik",
        noted_on=DAY,
        text=FOR_THE_OFFICE,
        **group,
    )


class Planted:
    """A case, a claim, a sale and later entries whose every text is a token."""

    def __init__(self) -> None:
        self.planting = Planting()
        case = planted_case(self.planting)
        (asked,) = case.asked
        # Without a level there is nothing to claim under, and no letter to look through.
        self.case = replace(case, asked=(replace(asked, level=asked.sheet.levels[1]),))
        run = known_good().run
        self.run = replace(run, today=DAY)
        claim, sale, work, visit = (
            self.planting.plant(model) for model in (Claim, Sale, LaterWork, MakersVisit)
        )
        assert isinstance(claim, Claim)
        assert isinstance(sale, Sale)
        assert isinstance(work, LaterWork)
        assert isinstance(visit, MakersVisit)
        slope = self.case.job.slopes[0].label
        self.claim = claim.model_copy(update={"slope": slope})
        self.sale = sale.model_copy(update={"closing_on": date(2033, 6, 17)})
        self.entries = (
            entry_with(EntryKind.REPAIR, work=work.model_copy(update={"slope": slope})),
            entry_with(EntryKind.MAKERS_INSPECTION, inspection=visit),
            entry_with(EntryKind.CLAIM, claim=claim.model_copy(update={"number": "earlier"})),
        )
        self.facts = Facts({}, {}, ())

    def claimed(self, edition: Edition) -> Claimed:
        """Return what is worked out of the claim, the entries as this reader may see them."""
        assessment = assess(self.case, self.facts, self.run)
        place = place_answer(self.case, assessment, PlaceAsked(self.claim.slope))
        shown = [visible(entry, edition) for entry in self.entries]
        noted = noted_since(shown, DAY, place.slopes, self.claim.number)
        return Claimed(
            entry=entry_with(EntryKind.CLAIM, claim=self.claim),
            claim=visible(self.claim, Edition.HOMEOWNER)
            if edition is not Edition.OFFICE
            else self.claim,
            coverages=coverages_then(self.case, assessment, (), DAY),
            place=place,
            looks=look_first(self.case, self.facts, assessment, place, noted),
            notices=notices(assessment, DAY),
            digest=DIGEST,
            seal=(),
            age_months=roof_age_months(assessment, DAY),
        )


def withheld(planted: Planted, edition: Edition) -> list[str]:
    """Return every token this edition may not show."""
    readers = planted.planting.readers
    return [FOR_THE_OFFICE, *(t for t, allowed in readers.items() if edition not in allowed)]


@pytest.mark.parametrize("edition", [Edition.HOMEOWNER, Edition.RESALE])
def test_nothing_withheld_is_in_the_homeowner_s_answer(edition: Edition) -> None:
    planted = Planted()
    case = for_reader(planted.case, edition)
    doc = claim_answer(case, planted.facts, planted.claimed(edition), planted.run, edition=edition)
    text = everything(doc)
    # What the caller said is the claim itself; it is the new owner's own, and its own readers let it through.
    own = set(planted.planting.readers) & set(str(planted.claim).replace("'", " ").split())
    for token in withheld(planted, edition):
        assert token in own or token not in text, token
    assert sum(token in text for token in planted.planting.readers) > 10


def test_the_company_s_answer_shows_who_called_and_the_homeowner_s_does_not() -> None:
    planted = Planted()
    own = claim_answer(
        planted.case,
        planted.facts,
        planted.claimed(Edition.OFFICE),
        planted.run,
        edition=Edition.OFFICE,
    )
    told = claim_answer(
        for_reader(planted.case, Edition.HOMEOWNER),
        planted.facts,
        planted.claimed(Edition.HOMEOWNER),
        planted.run,
        edition=Edition.HOMEOWNER,
    )
    for private in (planted.claim.phone, planted.claim.called_by):
        assert private
        assert private in everything(own)
        assert private not in everything(told)


def test_nothing_withheld_from_a_maker_is_in_its_letter_or_notice() -> None:
    planted = Planted()
    case = for_reader(planted.case, Edition.MAKER)
    letter = maker_letter(
        case, planted.facts, planted.claimed(Edition.MAKER), planted.run, sale=planted.sale
    )
    sold = Sold(
        entry_with(EntryKind.SOLD, sale=planted.sale),
        planted.sale,
        coverages_then(planted.case, assess(planted.case, planted.facts, planted.run), (), DAY),
        DAY,
        DIGEST,
    )
    assert len(letter.letters) == 1
    text = everything(letter) + everything(
        tuple(doc for _, doc in transfer_notices(case, sold, planted.run))
    )
    for token in withheld(planted, Edition.MAKER):
        assert token not in text, token
    assert sum(token in text for token in planted.planting.readers) > 5


def test_nothing_withheld_is_on_the_inspection_sheet() -> None:
    planted = Planted()
    case = for_reader(planted.case, Edition.RESALE)
    text = everything(inspection_sheet(case, planted.claimed(Edition.RESALE), planted.run))
    own = set(planted.planting.readers) & set(str(planted.claim).replace("'", " ").split())
    for token in withheld(planted, Edition.RESALE):
        assert token in own or token not in text, token
    assert planted.claim.phone
    assert planted.claim.phone not in text


def test_a_paper_kept_from_the_homeowner_is_counted_and_not_named() -> None:
    known = known_good()
    place = place_answer(known.case, known.assessment, PlaceAsked("back"))
    claimed = Claimed(
        entry=entry_with(EntryKind.CLAIM, claim=Claim(slope="back")),
        claim=Claim(slope="back"),
        coverages=(),
        place=place,
        looks=(),
        notices=(),
        digest=DIGEST,
        seal=(),
        age_months=None,
    )
    told, own = (
        everything(
            claim_answer(
                for_reader(known.case, edition), known.facts, claimed, known.run, edition=edition
            )
        )
        for edition in (Edition.HOMEOWNER, Edition.OFFICE)
    )
    assert "ticket-55120.pdf" in own
    assert "ticket-55120.pdf" not in told
    assert "1 paper kept at the office" in told
    asked = replace(claimed, notices=notices(assess(known.case, known.facts, known.run), DAY))
    noted = replace(asked, claim=Claim(slope="back", maker_told_on=date(2040, 3, 9)))
    said = [
        everything(claim_answer(known.case, known.facts, one, known.run, edition=Edition.OFFICE))
        for one in (asked, noted)
    ]
    # A deadline that was met says so beside its last day.
    assert ["noted as given on 9 March 2040" in one for one in said] == [False, True]


def test_every_confirmation_is_asked_for_and_each_lets_go_of_one() -> None:
    """Own insurer, sub-crew's insurer, notice-and-repair period, owner told: the four, and no other."""
    case = known_good({"job.job.crew": "lakeside"}).case
    assert case.sub_crews
    names = [
        *("own_insurer_told_on", "subcrew_insurer_told_on"),
        *("notice_and_repair_checked_on", "owner_told_on"),
    ]
    assert len(needed_confirmations(case, Claim(), frozenset())) == 4
    for number, name in enumerate(names):
        given = dict.fromkeys(names[: number + 1], DAY)
        lacking = needed_confirmations(case, Claim(**given), frozenset())  # type: ignore[arg-type]
        assert len(lacking) == 3 - number, name
    excused = needed_confirmations(case, Claim(), frozenset({"claim.subcrew_insurer_told_on"}))
    assert len(excused) == 3
    # No other of the four is let go by a reason.
    others = frozenset(f"claim.{name}" for name in names if not name.startswith("subcrew"))
    assert len(needed_confirmations(case, Claim(), others)) == 4
    own_crew = replace(case, crews=())
    assert len(needed_confirmations(own_crew, Claim(), frozenset())) == 3


def test_every_field_of_a_confirmation_is_the_office_s_alone() -> None:
    blank = visible(
        Claim(own_insurer_told_on=DAY, owner_told_on=DAY, slope="back"), Edition.HOMEOWNER
    )
    assert (blank.own_insurer_told_on, blank.owner_told_on, blank.slope) == (None, None, "back")


def test_a_claim_without_a_number_says_that_none_was_given() -> None:
    planted = Planted()
    blank = planted.claim.model_copy(update={"number": None})
    claimed = replace(planted.claimed(Edition.OFFICE), claim=blank)
    case = planted.case
    sheet = inspection_sheet(case, claimed, planted.run)
    assert sheet.reported[0].text == "no number given, 2 March 2040"
    answer = claim_answer(case, planted.facts, claimed, planted.run, edition=Edition.OFFICE)
    assert answer.called[0].text == "no number given"


@pytest.mark.parametrize(
    ("confirmation", "level"),
    [(None, "Full Assembly, if registered; else Shingle"), ("KM-1", "Full Assembly")],
)
def test_a_letter_asks_for_a_level_both_ways_only_without_a_confirmation(
    confirmation: str | None, level: str
) -> None:
    edits = {"job.warranties.0.confirmation": confirmation} if confirmation else {}
    known = known_good({**edits, "run.today": "2040-03-02"})
    place = place_answer(known.case, known.assessment, PlaceAsked("back"))
    claim = Claim(slope="back")
    claimed = Claimed(
        entry=entry_with(EntryKind.CLAIM, claim=claim),
        claim=claim,
        coverages=coverages_then(known.case, known.assessment, (), DAY),
        place=place,
        looks=(),
        notices=notices(known.assessment, DAY),
        digest=DIGEST,
        seal=(),
        age_months=None,
    )
    case = for_reader(known.case, Edition.MAKER)
    sale = Sale(closing_on=date(2033, 6, 17), notice_sent_on=date(2033, 6, 20))
    (letter,) = maker_letter(case, known.facts, claimed, known.run, sale=sale).letters
    told = {pair.label: pair.text for pair in letter.subject}
    assert told["Level asked for"] == level
    assert told["Closing"] == "17 June 2033"
    assert told["Notice of the sale"] == "sent 20 June 2033"
    (unsold,) = maker_letter(case, known.facts, claimed, known.run, sale=None).letters
    assert "Closing" not in {pair.label for pair in unsold.subject}
