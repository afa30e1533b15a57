"""A maker's letter says in sentences what others say by labels: received, accepted, the certificate.

The wordings are those of an invented maker's letters: common practice, no published source.
"""

import pytest

from dossier import RECORD_VERSION
from dossier.evidence.text import read_texts
from dossier.gather.at_hand import ReadPaper
from dossier.gather.found import Found
from dossier.gather.found_closing import found_on_closing_papers
from dossier.record.job import Job
from dossier.record.read import read_job
from dossier.words import PaperKind
from tests.drawn_papers import drawn
from tests.gather.test_found_papers import at_hand, said
from tests.known_good import GOOD_JOB


@pytest.fixture(scope="module")
def bare() -> Job:
    """Return the known-good job with a warranty of which nothing is on record but sheet and level."""
    job = read_job(GOOD_JOB, RECORD_VERSION).model
    assert job is not None
    one = job.warranties[0]
    blank = type(one)(sheet=one.sheet, level=one.level)
    return job.model_copy(update={"warranties": (blank,)})


def read(job: Job, *rows: str) -> tuple[Found, ...]:
    """Return what a letter with these lines says, below the level it is about."""
    level = job.warranties[0].level
    lines = [f"Confirmation of registration WR-260774: {level}", *rows]
    [text] = read_texts([drawn([(40, 40 + 20 * n, row) for n, row in enumerate(lines)])])
    kind = PaperKind.REGISTRATION_CONFIRMATION
    return found_on_closing_papers(
        at_hand(job, ReadPaper("papers/x.pdf", None, "", text, kind, None, True))
    )


def sure(facts: tuple[Found, ...]) -> dict[str, str]:
    """Return what is in no doubt, by the field of the warranty, without its number."""
    return {
        path.rpartition(".")[2]: value
        for path, value in said(facts, doubted=False).items()
        if not path.endswith("confirmation")
    }


DAYS = (
    "We received your registration on October 14, 2026 and have accepted it",
    "on October 20, 2026. The level is in force for the roof named below.",
)
CERTIFICATE = "This letter serves as the certificate."


def test_a_letter_s_sentences_are_read_over_the_ends_of_lines(bare: Job) -> None:
    facts = read(bare, *DAYS, CERTIFICATE)
    assert sure(facts) == {
        "received_on": "2026-10-14",
        "accepted_on": "2026-10-20",
        "certificate_file": "papers/x.pdf",
    }
    assert [one.line for one in facts if one.changes[0].path[-1] == "accepted_on"] == [3]


@pytest.mark.parametrize(
    ("row", "expected"),
    [
        ("Your registration was received on 2026-10-14.", {"received_on": "2026-10-14"}),
        ("The registration has been accepted as of Oct. 20, 2026.", {"accepted_on": "2026-10-20"}),
        ("Your registration was accepted on May 20, 2026.", {"accepted_on": "2026-05-20"}),
        ("Your roof was registered on 2026-10-20.", {"accepted_on": "2026-10-20"}),
        ("Please keep this page as your warranty certificate.", {}),
        ("This confirmation is your warranty certificate.", {"certificate_file": "papers/x.pdf"}),
        ("Your payment was received on 2026-10-14.", {}),
        ("A copy of this letter was received on 2026-10-14.", {}),
        ("This letter is not the certificate.", {}),
    ],
)
def test_other_sentences_that_say_so_or_not(bare: Job, row: str, expected: dict[str, str]) -> None:
    facts = read(bare, row)
    assert sure(facts) == expected
    assert all(one.doubt is None for one in facts if one.changes[0].path[-1] in expected)


@pytest.mark.parametrize(
    "row",
    [
        "Your registration can not be accepted on 2026-10-20 as it stands.",
        "It will be accepted on 2026-10-20 once the fee is paid.",
        "Your registration was accepted on 2026-10-20 subject to payment of the fee.",
        "If your registration was received on 2026-10-14 the fee is due.",
        "This letter serves as the certificate only when it is signed by the owner.",
        "An earlier registration was accepted on 2026-10-01.",
        "The registration of your neighbour's other roof was accepted on 2026-10-01.",
        "Your registration was accepted on 2026-10-01, and withdrawn.",
        "Your registration was accepted on 2027-10-01.",
    ],
)
def test_words_that_take_a_sentence_back_leave_it_in_doubt_or_unsaid(bare: Job, row: str) -> None:
    assert sure(read(bare, row)) == {}


def test_two_days_of_one_kind_are_both_in_doubt(bare: Job) -> None:
    rows = ("Your registration was accepted on 2026-10-20.", "Accepted on: 2026-10-19")
    assert sure(read(bare, *rows)) == {}
