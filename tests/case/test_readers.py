"""What an edition's reader may see: a token in every field, and only the declared ones remain."""

from collections.abc import Iterator
from datetime import date
from decimal import Decimal
from fractions import Fraction
from pathlib import Path
from typing import Any

import pytest

from dossier.case.case import AskedWarranty, Case, Material, Override, Told
from dossier.case.readers import for_reader, visible
from dossier.punchlist import Where
from dossier.reading.declared import readers_of
from dossier.reading.kinds import Kind
from dossier.reading.model import Lines, Model, is_list, kind_in, model_in
from dossier.record.entry import Entry
from dossier.record.files import Paper, PhotoList
from dossier.record.job import Job
from dossier.terms.read import read_company, read_locality, read_sheet
from dossier.values import Days, Pitch, Place
from dossier.words import Edition, Exposure, PaperKind, WallDatum

OFFICE_FOLDER = Path(__file__).parents[2] / "demo_jobs"
READERS = [edition for edition in Edition if edition is not Edition.OFFICE]
SAMPLES: dict[str, Any] = {
    "a length": Fraction(7919, 7),
    "an area": Fraction(7907, 7),
    "a number": Fraction(191, 7),
    "a whole number": 383,
    "a temperature": Fraction(7879, 10),
    "a percentage": Fraction(1, 7),
    "an amount": Decimal("78.77"),
    "a date": date(2031, 7, 8),
    "a day or days": Days(date(2031, 7, 8), date(2031, 7, 9)),
    "yes or no": True,
    "a pitch": Pitch(Fraction(7)),
    "a place": Place(Fraction(47), Fraction(-87)),
}


class Planting:
    """A model with every field filled, and for each token the readers of all fields around it."""

    def __init__(self) -> None:
        """Start without a token."""
        self.readers: dict[str, frozenset[Edition]] = {}

    def plant(self, model: type[Model], around: frozenset[Edition] = frozenset(Edition)) -> Model:
        """Return a model whose texts are tokens, lists of one, and every field filled."""
        fields: dict[str, Any] = {}
        for name, info in model.model_fields.items():
            readers = (readers_of(info) or frozenset()) & around
            group, kind = model_in(info.annotation), kind_in(info)
            value: Any
            if group is not None:
                value = self.plant(group, readers)
            else:
                assert kind is not None
                value = self._value(kind, readers)
            fields[name] = (value,) if is_list(info.annotation) else value
        return model(**fields)

    def _value(self, kind: Kind, readers: frozenset[Edition]) -> Any:
        if kind.choices:
            # The last word of a list is no field's default, so that blanking shows.
            assert isinstance(kind.type, type)
            return list(kind.type)[-1]  # type: ignore[call-overload]
        if kind.name in SAMPLES:
            return SAMPLES[kind.name]
        token = f"token-{len(self.readers):03d}"
        self.readers[token] = readers
        return token


def tokens_in(value: Any) -> Iterator[str]:
    """Yield every token in a model, wherever it stands."""
    if isinstance(value, Model):
        for name in type(value).model_fields:
            yield from tokens_in(getattr(value, name))
    elif isinstance(value, tuple):
        for part in value:
            yield from tokens_in(part)
    elif isinstance(value, str) and value.startswith("token-"):
        yield value


@pytest.mark.parametrize("model", [Job, PhotoList, Entry])
@pytest.mark.parametrize("edition", list(Edition))
def test_exactly_the_declared_tokens_remain(model: type[Model], edition: Edition) -> None:
    planting = Planting()
    planted = planting.plant(model)
    assert len(set(tokens_in(planted))) == len(planting.readers) > 4
    declared = {token for token, readers in planting.readers.items() if edition in readers}
    assert set(tokens_in(visible(planted, edition))) == declared


@pytest.mark.parametrize("edition", READERS)
def test_a_withheld_value_of_any_kind_is_blank(edition: Edition) -> None:
    def compare(planted: Any, seen: Any) -> int:
        withheld = 0
        for name, info in type(planted).model_fields.items():
            whole, left = getattr(planted, name), getattr(seen, name)
            if edition not in (readers_of(info) or ()):
                assert left == info.default, f"{type(planted).__name__}.{name}"
                assert left != whole, f"{type(planted).__name__}.{name}"
                withheld += 1
                continue
            parts = zip(whole, left, strict=True) if isinstance(whole, tuple) else [(whole, left)]
            for one, other in parts:
                if isinstance(one, Model):
                    withheld += compare(one, other)
                else:
                    assert one == other
        return withheld

    job = Planting().plant(Job)
    assert compare(job, visible(job, edition)) > 0


def test_the_office_sees_everything() -> None:
    job = Planting().plant(Job)
    assert visible(job, Edition.OFFICE) == job


@pytest.mark.parametrize("edition", [Edition.HOMEOWNER, Edition.RESALE, Edition.MAKER])
def test_no_price_leaves_for_these(edition: Edition) -> None:
    def amounts(value: Any) -> Iterator[Decimal]:
        if isinstance(value, Model):
            for name in type(value).model_fields:
                yield from amounts(getattr(value, name))
        elif isinstance(value, tuple):
            for part in value:
                yield from amounts(part)
        elif isinstance(value, Decimal):
            yield value

    job = Planting().plant(Job)
    assert set(amounts(job))
    assert list(amounts(visible(job, edition))) == []


def test_no_owner_is_named_at_a_resale() -> None:
    job = Planting().plant(Job)
    assert isinstance(job, Job)
    owner = visible(job, Edition.RESALE).owners[0]
    assert (owner.name, owner.phone, owner.email, owner.mailing_address) == (None,) * 4
    assert visible(job, Edition.RESALE).job.place is None
    assert visible(job, Edition.RESALE).insurance is None


# --- papers -------------------------------------------------------------------------------------

H, R, M, S = Edition.HOMEOWNER, Edition.RESALE, Edition.MAKER, Edition.INSURER

# No published source: the design's own decision on who is handed which paper. Each kind stands
# here by hand, so that a new kind is a decision too.
PAPER_FOR: dict[PaperKind, set[Edition]] = {
    PaperKind.CONTRACT: {S},
    PaperKind.PERMIT: {H, M, S},
    PaperKind.INSPECTION_CARD: {H, R, M, S},
    PaperKind.TICKET: {M, S},
    PaperKind.RETURN_CREDIT: {S},
    PaperKind.CHANGE_ORDER: {S},
    PaperKind.DECK_APPROVAL: {S},
    PaperKind.INVOICE: {S},
    PaperKind.WAIVER: {S},
    PaperKind.COMPLETION: {H, M, S},
    PaperKind.COLOUR_CHOICE: {H, M, S},
    PaperKind.WARRANTY_TERMS: {H, S},
    PaperKind.CERTIFICATE: {H, R, M, S},
    PaperKind.REGISTRATION_CONFIRMATION: {H, M, S},
    PaperKind.INSURANCE_CERTIFICATE: set(),
    PaperKind.INSURER_SCOPE: {S},
    PaperKind.LEAD_RECORD: {H, S},
    PaperKind.VENT_CHECK: {H, M, S},
    PaperKind.DISPOSAL_TICKET: set(),
    PaperKind.CREW_AGREEMENT: set(),
    PaperKind.CANCELLATION_NOTICE: {H, S},
    PaperKind.CORRECTION_NOTICE: {H, S},
    PaperKind.INSTRUCTIONS: {H, R, M, S},
    PaperKind.LETTER: {H, S},
    PaperKind.WRAPPER: {H, M, S},
}
MONEY = {
    PaperKind.CONTRACT,
    PaperKind.CHANGE_ORDER,
    PaperKind.INVOICE,
    PaperKind.WAIVER,
    PaperKind.INSURER_SCOPE,
    PaperKind.TICKET,
    PaperKind.RETURN_CREDIT,
    PaperKind.DECK_APPROVAL,
}


@pytest.mark.parametrize("kind", list(PaperKind))
def test_who_is_handed_a_paper(kind: PaperKind) -> None:
    paper = Paper(file="papers/x.pdf", kind=kind)
    assert paper.is_for(Edition.OFFICE)
    assert {edition for edition in READERS if paper.is_for(edition)} == PAPER_FOR[kind]


@pytest.mark.parametrize("kind", sorted(MONEY))
def test_no_money_paper_leaves(kind: PaperKind) -> None:
    paper = Paper(file="papers/x.pdf", kind=kind)
    assert not paper.is_for(Edition.HOMEOWNER)
    assert not paper.is_for(Edition.RESALE)
    # A maker counts what was bought, and the ticket is the proof of it.
    assert paper.is_for(Edition.MAKER) == (kind is PaperKind.TICKET)


def test_a_paper_of_unknown_kind_stays_at_the_office() -> None:
    paper = Paper(file="papers/x.pdf")
    assert [edition for edition in Edition if paper.is_for(edition)] == [Edition.OFFICE]


# --- the case -----------------------------------------------------------------------------------


def planted_case(planting: Planting) -> Case:
    """Return a case around a planted job, with three papers of which some are withheld."""
    job, photos = planting.plant(Job), planting.plant(PhotoList)
    assert isinstance(job, Job)
    assert isinstance(photos, PhotoList)
    listed = Paper(file="papers/token-list.pdf", backs="token-backs")
    papers = (
        Paper(file="papers/token-list.pdf", backs="token-backs", kind=PaperKind.INVOICE),
        Paper(file="papers/token-ticket.pdf", kind=PaperKind.TICKET),
        Paper(file="papers/token-permit.pdf", kind=PaperKind.PERMIT),
    )
    here = Where("job.yaml", 1)
    company = read_company(OFFICE_FOLDER)
    locality = read_locality(OFFICE_FOLDER, "vintermark-2026", here)
    sheet = read_sheet(OFFICE_FOLDER, "kestrelmoor-2026", here).model
    assert company.model
    assert locality.model
    assert sheet
    delivery = job.deliveries[0]
    material = Material(
        line=delivery.lines[0],
        delivery=delivery,
        product=None,
        role=None,
        maker=None,
        covers_sqft=None,
        covers_ft=None,
        standard=None,
        wind_class=None,
        carries_lot=None,
        quantity=None,
        path="deliveries.0.lines.0",
    )
    reasons = {
        "money.held_back": "token-reason-money",
        "owners.0.phone": "token-reason-phone",
        "slopes.0.valley_ft": "token-reason-valley",
        "insurance": "token-reason-insurance",
    }
    return Case(
        job=job.model_copy(update={"papers": (listed,)}),
        lines=Lines("job.yaml", {"": 1}, reasons),
        photo_lines=Lines("photos.yaml"),
        company=company.model,
        company_lines=company.lines,
        locality=locality.model,
        locality_lines=locality.lines,
        asked=(AskedWarranty(job.warranties[0], sheet, None, "sheet.yaml", "warranties.0"),),
        materials=(material,),
        work=(),
        photos=photos.photos,
        papers=papers,
        photo_wheres={},
        paper_wheres={paper.file: here for paper in papers},
        photo_numbers={photo.file: number for number, photo in enumerate(photos.photos, start=1)},
        supervised_by=None,
        crew_lead=None,
        crews=(),
        design_wind_mph=None,
        exposure=Told(Exposure.B, here, True),
        climate_zone=None,
        wall_datum=Told(WallDatum.OUTSIDE_FACE, here, True),
        overrides=(Override("job.crew_lead", "token-override", "b", here, here),),
        listed_again=(("papers/token-again.pdf", here, here),),
        products={},
    )


@pytest.mark.parametrize("edition", READERS)
def test_no_withheld_token_is_anywhere_in_the_case(edition: Edition) -> None:
    planting = Planting()
    case = planted_case(planting)
    seen = repr(for_reader(case, edition))
    for token, readers in planting.readers.items():
        if edition not in readers:
            assert token not in seen
    kept = [token for token, readers in planting.readers.items() if edition in readers]
    assert sum(token in seen for token in kept) > len(kept) // 2
    assert "token-override" not in seen
    assert ("token-again" in seen) == (edition is Edition.OFFICE)


@pytest.mark.parametrize(
    ("edition", "papers"),
    [
        (Edition.HOMEOWNER, {"permit"}),
        (Edition.RESALE, set()),
        (Edition.MAKER, {"ticket", "permit"}),
        (Edition.INSURER, {"list", "ticket", "permit"}),
    ],
)
def test_a_withheld_paper_leaves_no_name_behind(edition: Edition, papers: set[str]) -> None:
    # The invoice's kind comes from its file's name alone; the typed entry gives none.
    seen = for_reader(planted_case(Planting()), edition)
    assert {paper.file for paper in seen.papers} == {f"papers/token-{p}.pdf" for p in papers}
    assert set(seen.paper_wheres) == {paper.file for paper in seen.papers}
    for name in ("list", "ticket", "permit"):
        assert (f"token-{name}.pdf" in repr(seen)) == (name in papers)
    assert ("token-backs" in repr(seen)) == ("list" in papers)


@pytest.mark.parametrize(
    ("edition", "reasons"),
    [
        (Edition.HOMEOWNER, {"owners.0.phone", "slopes.0.valley_ft"}),
        (Edition.RESALE, {"slopes.0.valley_ft"}),
        (Edition.MAKER, {"owners.0.phone", "slopes.0.valley_ft"}),
        (
            Edition.INSURER,
            {"money.held_back", "owners.0.phone", "slopes.0.valley_ft", "insurance"},
        ),
    ],
)
def test_a_reason_is_withheld_with_its_field(edition: Edition, reasons: set[str]) -> None:
    seen = for_reader(planted_case(Planting()), edition)
    assert set(seen.lines.not_applicable) == reasons


def test_the_office_is_handed_the_case_itself() -> None:
    case = planted_case(Planting())
    assert for_reader(case, Edition.OFFICE) is case
