"""Names of former owners are found however they are typed, and nothing else is touched."""

import pytest

from dossier.case.private import private_words, without
from dossier.case.readers import for_reader
from dossier.said import File, Person, Product, Slopes, say
from dossier.words import Edition
from tests.known_good import known_good

WORDS = private_words(known_good().case.job)


@pytest.mark.parametrize(
    ("typed", "left"),
    [
        ("Marit Ekdahl saw it", "the owner saw it"),
        ("MARIT  EKDAHL, 555 0141", "the owner, not shown"),
        ("marit-ekdahl", "the owner"),
        ("write to m.ekdahl@example.com", "write to not shown"),
        ("Ekdahl's leak", "the owner's leak"),
        ("Ekdahlson", "Ekdahlson"),
        ("Marit", "Marit"),
    ],
)
def test_a_name_in_prose(typed: str, left: str) -> None:
    assert WORDS.out_of(typed, prose=True) == left


@pytest.mark.parametrize(
    ("owner", "typed", "left"),
    [
        ("Olaf Brandvold Jr.", "above the room of Olaf Brandvold", "above the room of the owner"),
        ("Olaf Brandvold III", "as Mr. Brandvold had said", "as Mr. the owner had said"),
        ("Olaf Brandvold and Tove Hagen", "seen with Olaf Brandvold", "seen with the owner"),
        ("Olaf & Tove Hagen", "the Hagens saw it", "the the owner saw it"),
        ("Brandvold, Olaf", "Olaf Brandvold", "the owner"),
        (
            "Ekdahl Family Trust",
            "Ekdahl bedroom; nothing to trust",
            "the owner bedroom; nothing to trust",
        ),
        ("Olaf Brandvold", "the Brandvolds", "the the owner"),
        ("Anna Back", "slope back, by Anna Back", "slope back, by the owner"),
        ("Jane Field", "the field shingles", "the field shingles"),
    ],
)
def test_an_owner_s_name_as_people_write_it(owner: str, typed: str, left: str) -> None:
    words = private_words(known_good({"job.owners": [{"name": owner}]}).case.job)
    assert words.out_of(typed, prose=True) == left


@pytest.mark.parametrize(
    "typed", ["906-555-0141", "(906) 555 0141", "9065550141", "555-0141", "5550141"]
)
def test_a_telephone_however_it_is_typed(typed: str) -> None:
    known = known_good({"job.owners": [{"name": "Marit Ekdahl", "phone": "906-555-0141"}]})
    assert "0141" not in private_words(known.case.job).out_of(f"call {typed}")


def test_an_owner_called_like_a_slope_keeps_every_photo() -> None:
    """Photos of slope back named nobody; a resale edition without them would say that there are none."""
    known = known_good({"job.owners": [{"name": "Anna Back"}]})
    sold = for_reader(known.case, Edition.RESALE)
    assert len(sold.photos) == len(known.case.photos)


@pytest.mark.parametrize(
    ("field", "typed"),
    [
        ("job.job.scope_reason", "Mrs. Ekdahl kept the porch"),
        ("job.job.old_covering", "shingles of Ekdahl's father"),
        (
            "job.after_work.flues",
            {"by": "Ida Torvik", "on": "2026-09-17", "note": "Mr. Ekdahl watched"},
        ),
    ],
)
def test_a_surname_in_what_people_write(field: str, typed: object) -> None:
    known = known_good({field: typed})
    assert "Ekdahl" in known.case.job.model_dump_json()
    sold = for_reader(known.case, Edition.RESALE)
    assert "Ekdahl" not in sold.job.model_dump_json()


def test_a_surname_alone_stays_where_it_may_be_a_product() -> None:
    assert WORDS.out_of("Ekdahl Grey") == "Ekdahl Grey"
    assert without(("Ekdahl Grey", "Marit Ekdahl"), WORDS) == ("Ekdahl Grey", "the owner")


def test_what_names_the_house_is_kept() -> None:
    known = known_good({"job.owners": "Plover Lane, 555-0141"})
    assert private_words(known.case.job).names is None
    case = for_reader(known.case, Edition.RESALE)
    assert case.job.job.address == "118 Plover Lane, Halvorsted"


def test_a_job_without_owners_is_left_as_it_is() -> None:
    known = known_good({"job.owners": None})
    words = private_words(known.case.job)
    assert without(known.case.job, words) == known.case.job
    assert words.named_in("photos/field/front.jpg") is False


def test_of_a_sentence_the_values_are_searched_and_never_our_words() -> None:
    said = say(
        "Ekdahl: {who} saw {product} on {slopes}, noted “{note}” in {file}.",
        who=Person("Marit Ekdahl"),
        product=Product("Ekdahl cap"),
        slopes=Slopes(("back",)),
        note="Mrs Ekdahl asked",
        file=File("photos/field/back.jpg"),
    )
    # What stands in the text itself is ours, so it cannot be a name; a product keeps a surname.
    assert str(without(said, WORDS, prose=True)) == (
        "Ekdahl: the owner saw Ekdahl cap on slope back, noted “Mrs the owner asked” in photos/field/back.jpg."
    )
