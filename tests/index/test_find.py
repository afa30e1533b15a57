"""Words into jobs: what is found, what is guessed, and that no words whatever can raise."""

import sqlite3
from collections.abc import Iterator
from pathlib import Path

import pytest
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

from dossier.commands.find import found_text
from dossier.index.find import MOST_SHOWN, find_jobs, near_streets
from dossier.index.keep import update_all
from dossier.index.lots import find_lots
from dossier.index.store import in_memory
from tests.conftest import copy_office
from tests.known_good import DEMO

_HOSTILE = (
    *(
        "AND",
        "OR",
        "NOT",
        "NEAR",
        "NEAR(a b, 2)",
        '"',
        '""',
        '"a',
        "a*",
        "*",
        "^a",
        "a:b",
        "address:plover",
    ),
    *(
        "- a",
        "{a b}: c",
        "(",
        ")",
        "a + b",
        "'; DROP TABLE job; --",
        "%",
        "_",
        "\\",
        "\0",
        "\ud800",
        "é",
        "ﬁ",
    ),
    *("x" * 10_240, "שלום", "\u0301", "🏠", "²", "a\u200bb", "?", "1_000", "\x1b[2J"),
)


def office_of(folder: Path, *jobs: tuple[str, str]) -> sqlite3.Connection:
    """Return an index in memory of jobs, each a folder and what stands under its head and after it."""
    for name, text in jobs:
        (folder / name).mkdir(parents=True)
        (folder / name / "job.yaml").write_text(text, encoding="utf-8")
    connection = in_memory().connection
    update_all(connection, folder)
    return connection


def job(address: str, more: str = "", contract_on: str = "2026-01-01") -> str:
    return (
        f'record: 1\njob:\n  number: "7"\n  address: {address}\n  locality: x\n'
        f"  contract_on: {contract_on}\n{more}"
    )


@pytest.fixture(scope="module")
def demo(tmp_path_factory: pytest.TempPathFactory) -> Iterator[sqlite3.Connection]:
    office = copy_office(
        tmp_path_factory.mktemp("demo") / "office",
        *(p.parent.name for p in DEMO.glob("*/job.yaml")),
    )
    connection = in_memory().connection
    update_all(connection, office)
    yield connection
    connection.close()


@pytest.mark.parametrize(
    ("words", "number"),
    [
        ("118 plover lane", "2026-041"),
        ("Marit Ekdahl", "2026-041"),
        ("555-0141", "2026-041"),
        ("5550141", "2026-041"),
        ("R-2026-1187", "2026-041"),
        ("r20261187", "2026-041"),
        ("0012345", "2026-041"),
        ("2026-047", "2026-047"),
        ("C-2026-0071", "2026-047"),
        ("Longfell", "2026-052"),
        ("longf rask", "2026-052"),
        ("cinder ismere", "2026-047"),
        # Misspelt streets: a letter left out, two swapped, one changed, one added.
        ("plovr lan", "2026-041"),
        ("118 pluver lane", "2026-041"),
        ("plvoer", "2026-041"),
        ("cindder stret", "2026-047"),
        ("7 mil race raod", "2026-052"),
    ],
)
def test_a_job_is_found_by_what_somebody_has_in_hand(
    demo: sqlite3.Connection, words: str, number: str
) -> None:
    answer = find_jobs(demo, words)
    assert [found.number for found in answer.found] == [number]
    assert answer.total == 1


def test_a_guess_is_said(demo: sqlite3.Connection) -> None:
    answer = find_jobs(demo, "plvoer")
    assert answer.taken == (("plvoer", ("plover",)),)
    assert "Nothing has “plvoer”; taken for “plover”." in found_text(answer, "plvoer")


@pytest.mark.parametrize("words", ["plxxer", "zzz", "plov3r", "abcdefgh", "ekdhal"])
def test_nothing_is_guessed_where_nothing_is_near(demo: sqlite3.Connection, words: str) -> None:
    # A swapped neighbour is one slip (Damerau 1964), two changed letters in six are two; owners' names
    # are not guessed at.
    answer = find_jobs(demo, words)
    guessed = words == "plxxer"
    assert (answer.total == 1) == guessed
    assert (f"no job has “{words}”" in found_text(answer, words)) != guessed


def test_words_that_never_come_together_are_counted(demo: sqlite3.Connection) -> None:
    answer = find_jobs(demo, "plover cinder halvorsted")
    assert answer.total == 0
    assert answer.apart == (("plover", 1), ("cinder", 1), ("halvorsted", 2))
    assert (
        "“plover” is in 1 job, “cinder” is in 1 job and “halvorsted” is in 2 jobs."
        in found_text(answer, "x")
    )


def test_a_short_word_must_be_whole_and_a_longer_one_only_begun(demo: sqlite3.Connection) -> None:
    # House number 11 is not 118, and 7 is a whole word of one job's address.
    for words, total in (
        ("11", 0),
        ("118 plover", 1),
        ("7 mill", 1),
        ("pl", 0),
        ("plo", 1),
        ("R-20", 3),
        ("R-2", 0),
    ):
        assert find_jobs(demo, words).total == total, words


def test_a_leading_zero_counts(demo: sqlite3.Connection) -> None:
    assert [row.number for row in find_lots(demo, "0012345").rows] == ["2026-041"]
    assert find_lots(demo, "12345").rows == ()
    assert find_jobs(demo, "12345").total == 0


def test_the_newest_whole_words_come_first(tmp_path: Path) -> None:
    connection = office_of(
        tmp_path,
        ("a", job("1 Plover Lane", contract_on="2020-01-01")),
        ("b", job("1 Plover Lane", contract_on="2024-01-01")),
        ("c", job("1 Ploverdale Lane", contract_on="2026-01-01")),
        ("d", job("1 Cinder Lane", contract_on="2026-06-01")),
    )
    assert [found.folder for found in find_jobs(connection, "plover").found] == ["b", "a", "c"]


def test_a_house_sold_twice_tells_who_lives_there(tmp_path: Path) -> None:
    connection = office_of(
        tmp_path / "office",
        ("a", job("1 Plover Lane", "owners: Marit Ekdahl, 555-0141\n", "2016-01-01")),
    )
    connection.close()
    for name, day, buyer in (
        ("0002", "2021-05-04", "Tore Lindahl"),
        ("0003", "2025-02-03", "Runa Falen"),
    ):
        place = tmp_path / "office" / "a" / "sealed" / f"{name}-{day}-sold" / "data"
        place.mkdir(parents=True)
        (place / "entry.yaml").write_text(
            f"entry: 1\njob: '7'\nkind: sold\non: {day}\nnoted_by: I\nnoted_on: {day}\n"
            f"sale:\n  closing_on: {day}\n  buyer: {{name: {buyer}, phone: 555-0177}}\n"
        )
    again = in_memory().connection
    update_all(again, tmp_path / "office")
    for words in ("plovr lane", "lindahl", "falen 555-0177", "ekdahl"):
        answer = find_jobs(again, words)
        shown = found_text(answer, words)
        assert "owner: Runa Falen, 555-0177, bought 2025-02-03" in shown
        assert "earlier owner: Tore Lindahl, 555-0177, bought 2021-05-04, sold 2025-02-03" in shown
        assert "earlier owner: Marit Ekdahl, 555-0141, sold 2021-05-04" in shown
    again.close()


@pytest.mark.parametrize("words", _HOSTILE, ids=lambda words: ascii(words[:20]))
def test_hostile_words_are_only_words(demo: sqlite3.Connection, words: str) -> None:
    answer = find_jobs(demo, words)
    text = found_text(answer, words)
    assert "\x1b" not in text
    assert "\0" not in text
    assert len(text) < 20_000
    assert demo.execute("SELECT count(*) FROM job").fetchone()[0] == 3


@settings(max_examples=300, deadline=None, suppress_health_check=list(HealthCheck))
@given(
    words=st.lists(
        st.one_of(
            st.sampled_from(_HOSTILE), st.text(max_size=12), st.sampled_from(("plovr", "lane"))
        ),
        max_size=5,
    )
)
def test_no_words_raise(demo: sqlite3.Connection, words: list[str]) -> None:
    text = " ".join(words)
    answer = find_jobs(demo, text)
    assert len(answer.found) == min(answer.total, MOST_SHOWN)
    assert found_text(answer, text)
    find_lots(demo, text)


@settings(max_examples=60, deadline=None, suppress_health_check=list(HealthCheck))
@given(
    text=st.text(
        st.characters(exclude_categories=("Cs", "Cc", "Zl", "Zp")), min_size=1, max_size=40
    )
)
def test_any_note_is_found_by_its_own_words(
    text: str, tmp_path_factory: pytest.TempPathFactory
) -> None:
    note = text.replace("'", "''").replace("\ufeff", "").replace("\ufffe", "").replace("\uffff", "")
    folder = tmp_path_factory.mktemp("note")
    connection = office_of(folder, ("a", job("1 Plover Lane", f"notes: 'x1 {note}'\n")))
    try:
        words = [
            word for word in text.split() if len(word) < 30 and word.isascii() and word.isalnum()
        ]
        assert find_jobs(connection, " ".join(["x1", *words[:8]])).total == 1
    finally:
        connection.close()


def test_a_record_of_hostile_text_is_found_and_printed_in_lines(tmp_path: Path) -> None:
    wide = "w" * 10_240
    connection = office_of(
        tmp_path,
        (
            "a",
            job(
                '"1 O\'Hara \\"Lane\\" AND NEAR"', f"notes:\n  - {wide}\n  - 'DROP TABLE job; --'\n"
            ),
        ),
    )
    for words in ("o'hara", '"lane"', "AND NEAR", "drop table", wide[:60]):
        assert find_jobs(connection, words).total == 1, words
    connection.close()


def test_near_words_are_the_nearest_and_few(tmp_path: Path) -> None:
    streets = ["Plover", "Plower", "Clover", "Lover", "Rover", "Glover", "Slover"]
    connection = office_of(
        tmp_path, *((f"j{n}", job(f"{n} {street} Lane")) for n, street in enumerate(streets))
    )
    assert near_streets(connection, "plovar") == ("plover",)
    assert near_streets(connection, "plo") == ()
    # All of these are one letter away; not more than six are taken.
    assert len(near_streets(connection, "xlover")) <= 6
    connection.close()
