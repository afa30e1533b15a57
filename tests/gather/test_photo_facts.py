"""What filed photos seem to say of the record: the two photos of a repair, and where the house stands."""

import json
from dataclasses import replace
from datetime import datetime
from fractions import Fraction
from pathlib import Path

import pytest

from dossier.cli import main
from dossier.deeds.by_hand import shown
from dossier.deeds.photo_facts import where_most_lie
from dossier.errors import DossierError
from dossier.evidence import Facts, PhotoFact
from dossier.gather.known import read_known, readable_job
from dossier.gather.pairs import found_pairs
from dossier.record.files import Photo
from dossier.words import Phase
from tests.gather.conftest import photo_bytes, put
from tests.gather.test_proposal import BITS, a_job, fact


def repair_photo(name: str, hour: int, minute: int, dhash: int | None = None) -> PhotoFact:
    """Return a photo of the deck repair of the known-good job, which is on slope back."""
    return fact(f"photos/deck-repair/{name}.jpg", datetime(2026, 9, 14, hour, minute), dhash=dhash)


def pairs(*photos: PhotoFact, slope: str = "back") -> list[tuple[str, ...]]:
    """Return what is proposed for these photos: the two files, and whether it is in doubt."""
    listed = [Photo(file=one.file, phase=Phase.DECK_REPAIR, slope=slope) for one in photos]
    facts = Facts({one.file: one for one in photos}, {}, ())
    return [
        (*(str(change.value) for change in found.changes), "doubted" if found.doubt else "alike")
        for found in found_pairs(a_job(), listed, facts)
    ]


def named(letter: str) -> str:
    """Return a photo's path."""
    return f"photos/deck-repair/{letter}.jpg"


def test_photos_of_one_view_before_and_after_the_longest_pause_are_a_pair() -> None:
    """Of the two frames alike the order in time says which is which; common practice, no published source."""
    found = pairs(
        repair_photo("a", 11, 17, 0x1234_5678_9ABC_DEF0 ^ 0xFFFF_FFFF),
        repair_photo("b", 11, 18, BITS),
        repair_photo("c", 11, 50, BITS ^ 0b1011),
        repair_photo("d", 11, 51, 0x0F0F_F0F0_0F0F_F0F0),
    )
    assert found == [(named("b"), named("c"), "alike")]


def test_time_alone_is_in_doubt_and_one_moment_is_no_pair() -> None:
    assert pairs(repair_photo("a", 11, 17), repair_photo("b", 11, 50)) == [
        (named("a"), named("b"), "doubted")
    ]
    assert pairs(repair_photo("a", 11, 17), repair_photo("b", 11, 20)) == []
    assert pairs(repair_photo("a", 11, 17)) == []


def test_names_that_say_before_and_other_slopes_propose_nothing() -> None:
    assert pairs(repair_photo("back-before", 11, 17), repair_photo("b", 11, 50)) == []
    assert pairs(repair_photo("a", 11, 17), repair_photo("b", 11, 50), slope="front") == []


def test_two_repairs_of_one_slope_cannot_be_told_apart() -> None:
    job = a_job()
    twice = job.model_copy(update={"repairs": (*job.repairs, *job.repairs)})
    photos = [repair_photo("a", 11, 17), repair_photo("b", 11, 50)]
    listed = [Photo(file=one.file, phase=Phase.DECK_REPAIR, slope="back") for one in photos]
    assert found_pairs(twice, listed, Facts({one.file: one for one in photos}, {}, ())) == ()


HERE = (Fraction("47.7"), Fraction("-87.1"))
NEXT_TOWN = (Fraction("47.8"), Fraction("-87.1"))


def test_where_most_photos_lie_is_the_house_and_half_of_them_is_nowhere() -> None:
    assert where_most_lie([HERE] * 3 + [NEXT_TOWN] * 2) == HERE
    assert where_most_lie([HERE] * 2 + [NEXT_TOWN] * 2) is None
    assert where_most_lie([HERE] * 2) is None


@pytest.fixture
def filed(job: Path) -> Path:
    """Return the job with a repair's two photos of one slope filed, and its place taken away."""
    for seed, (hour, minute) in enumerate([(11, 17), (11, 50)]):
        data = photo_bytes(seed, datetime(2026, 9, 14, hour, minute))
        put(
            job
            / "photos"
            / "deck-repair"
            / f"back-20260914-{hour}{minute}00-{seed}{seed}aa11bb.jpg",
            data,
        )
    record = (job / "job.yaml").read_text()
    (job / "job.yaml").write_text(record.replace("  place: 47.7000, -87.1000\n", ""))
    return job


def test_the_facts_are_listed_and_written_by_number(
    filed: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    before = (filed / "job.yaml").read_text()
    read = ["read", str(filed), "--photos", "--json"]
    main(read)
    found = json.loads(capsys.readouterr().out)["found"]
    [pair] = [one for one in found if "before and after deck repair 1" in one["what"]["english"]]
    assert pair["stands"].startswith("2026-09-14 11:17")
    assert "look at both" in pair["doubt"]["english"]
    assert (filed / "job.yaml").read_text() == before
    main(["read", str(filed), "--photos", "--agree", str(pair["number"])])
    capsys.readouterr()
    lines = [line for line in (filed / "job.yaml").read_text().splitlines() if "photo_" in line]
    assert [line.split(":")[0].strip() for line in lines] == ["photo_before", "photo_after"]
    main(read)
    again = json.loads(capsys.readouterr().out)["found"]
    assert not [one for one in again if "deck repair" in one["what"]["english"]]
    assert main(["read", str(filed), "--photos", "--agree", "70"]) == 2


def test_the_house_stands_in_the_middle_of_its_photos(
    filed: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    from dossier.deeds import photo_facts as deed

    known = read_known(filed, readable_job(filed))
    places = [(HERE[0] + Fraction(n, 20_000), HERE[1]) for n in (-1, 0, 1)] + [NEXT_TOWN]
    facts = {
        f"photos/field/{n}.jpg": replace(fact(f"photos/field/{n}.jpg"), place=place)
        for n, place in enumerate(places)
    }
    monkeypatch.setattr(deed, "read_known", lambda *_: replace(known, facts=Facts(facts, {}, ())))
    [found] = deed.photo_facts(filed).found
    # A degree of latitude is 111.2 km there (WGS 84), so that a twenty-thousandth of it is 18 ft.
    assert (
        str(found.what)
        == "the place of the house: the middle of 3 photos, the farthest 18 ft from it"
    )
    assert found.changes[0].value == "47.7000, -87.1000"
    assert found.doubt is None
    deed.agree_photo_facts(filed, deed.PhotoFacts((found,), shown(filed, "job.yaml").digest), [1])
    assert "place: 47.7000, -87.1000" in (filed / "job.yaml").read_text()
    with pytest.raises(DossierError, match="changed since it was shown"):
        deed.agree_photo_facts(filed, deed.PhotoFacts((found,), "0" * 64), [1])
