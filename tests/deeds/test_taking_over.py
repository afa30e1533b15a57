"""A house like another: what repeats is taken over, marked, told once, and confirmed by somebody."""

import re
import shutil
from pathlib import Path
from textwrap import dedent, indent

import pytest

from dossier import RECORD_VERSION
from dossier.cli import main
from dossier.deeds.starting import start
from dossier.deeds.taking_over import confirm, job_like, unconfirmed
from dossier.errors import DossierError
from dossier.record.read import read_job
from dossier.record.repeats import products, suppliers, vents, waivers
from tests.bench.second_house import rows
from tests.known_good import DEMO

FIRST = "2026-041-plover-lane"


@pytest.fixture
def office(tmp_path: Path) -> Path:
    """Return the demo's office with its first job."""
    here = tmp_path / "office"
    shutil.copytree(DEMO, here, ignore=shutil.ignore_patterns("photos", "out", "2026-05*"))
    return here


def second(office: Path) -> Path:
    """Return a new job like the first."""
    start(office / "2026-062", job_like(office / FIRST))
    return office / "2026-062"


def test_every_value_taken_over_is_marked_and_nothing_seen_on_the_other_roof_comes(
    office: Path,
) -> None:
    job = second(office)
    text = (job / "job.yaml").read_text("utf-8")
    typed = [line.partition("#")[0].strip() for line in text.splitlines()]
    says = [line for line in typed if line and not line.endswith(":")]
    own = {"record: 1", "number: 2026-062", "scope: full tear-off"}
    assert all(line.endswith(", as on 2026-041") for line in says if line not in own)
    assert set(unconfirmed(job).values) == {
        *(
            "job.locality",
            "job.crew",
            "warranties.0.sheet",
            "warranties.0.level",
            "money.sheet_price",
        ),
        *(f"installation.{n}" for n in ("nails_per_shingle", "underlayment_layers")),
        *(f"installation.{n}" for n in ("drip_edge_at", "starter_at")),
    }
    for seen in ("0012345", "Slate", "Ekdahl", "118 Plover", "14,860", "R-2026-1187", "Lindmark"):
        assert seen not in text, seen


@pytest.mark.parametrize(
    "line",
    [
        "  #     - QUANTITY bundles Firstrow starter, lots MARK x QUANTITY",
        "  #     - QUANTITY boxes Coil nails 1-1/4 in",
        "    #   exhaust: LENGTH ft Highdraft ridge vent",
        "  # - YYYY-MM-DD, tear-off + deck + ice barrier, checked by NAME",
        "  # - YYYY-MM-DD, starter + field, checked by NAME",
        "    # - unconditional final, from Fjordgate Building Supply, through YYYY-MM-DD",
    ],
)
def test_what_was_bought_before_comes_as_a_comment(office: Path, line: str) -> None:
    assert line in (second(office) / "job.yaml").read_text("utf-8").splitlines()


def test_products_that_no_one_line_says_and_several_vents_come_as_they_would_be_typed(
    office: Path,
) -> None:
    other = office / "2026-060"
    start(other)
    path = other / "job.yaml"
    text = path.read_text("utf-8").replace("  address:\n", "  address: a\n")
    text = text.replace("  locality: ", "  locality: vintermark-2026 ")
    text = text.partition("deliveries:")[0] + (
        "deliveries:\n  supplier: Fjordgate\n  lines:\n    product: House starter\n    role: starter\n"
        "    quantity: 3\n"
    )
    attics = "    exhaust:\n      - 4 Box vent, 50 sq in each\n      - 20 ft Highdraft ridge vent\n"
    head, mark, tail = text.partition("  attics:")
    path.write_text(f"{head}{mark}\n{attics}slopes:{tail.partition('slopes:')[2]}", "utf-8")
    start(office / "2026-061", job_like(other))
    said = (office / "2026-061/job.yaml").read_text("utf-8")
    product = "  #     - product: House starter\n  #       quantity: QUANTITY\n"
    assert f"  #   supplier: Fjordgate\n  #   on: YYYY-MM-DD\n  #   lines:\n{product}" in said
    assert "  #       role: starter\n" in said
    rows = "    #     - COUNT Box vent, 50 sq in each\n    #     - LENGTH ft Highdraft ridge vent\n"
    assert f"    #   exhaust:\n{rows}" in said


_ODD_WORDS = """
deliveries:
  - supplier: "Fjordgate #2 yard"
    lines:
      - "3 boxes Cap nails #8"
      - {product: "Boot: lead, 3 in", quantity: 2, unit: each}
      - {product: "Felt: No. 30", quantity: 2, unit: rolls}
      - {product: Tape, quantity: 2, unit: Roll 50 ft}
money:
  waivers:
    - {kind: unconditional final, given_by: "Ormskar, crew #2"}
building:
  attics:
    intake: {product: "Strip: low, 2 in", length_ft: 20 ft, low: yes}
    exhaust: ["3 Box #4, 50 sq in each", "20 ft Ridge: vent"]
"""


def test_each_commented_line_reads_back_as_it_was_said(office: Path) -> None:
    """Judge: the record's own reader, on the new job with those lines taken out of their comments."""
    other = office / "2026-060"
    other.mkdir()
    head = "record: 1\njob:\n  number: {}\n  address: a\n  locality: vintermark-2026\n"
    (other / "job.yaml").write_text(head.format("2026-060") + _ODD_WORDS, "utf-8")
    start(office / "2026-061", job_like(other))
    text = (office / "2026-061/job.yaml").read_text("utf-8")
    blocks = {
        "deliveries": text.partition("  # - ticket: 55120\n")[2].partition("work:")[0],
        "waivers": text.partition("  waivers:")[2].partition("\n")[2],
        "attics": text[text.index("    #   intake:") : text.index("    #   soffits")],
    }
    out = {name: re.sub(r"^( *)# ", r"\1", part, flags=re.M) for name, part in blocks.items()}
    for word, typed in (
        ("QUANTITY", "1"),
        ("YYYY-MM-DD", "2026-09-11"),
        ("COUNT", "1"),
        ("LENGTH", "1"),
    ):
        out = {name: part.replace(word, typed) for name, part in out.items()}
    again = head.format("1") + (
        f"deliveries:\n  - ticket: 1\n{indent(dedent(out['deliveries']), '    ')}"
        f"money:\n  waivers:\n{out['waivers']}building:\n  attics:\n    - kind: vented\n"
        f"{indent(dedent(out['attics']), '      ')}"
    )
    (office / "2026-061/job.yaml").write_text(again, "utf-8")
    read, was = (read_job(office / n, RECORD_VERSION).needed for n in ("2026-061", "2026-060"))
    assert suppliers(read) == suppliers(was)
    assert waivers(read) == waivers(was)
    assert vents(read) == vents(was)
    assert [one.fields for one in products(read)] == [one.fields for one in products(was)]


def test_a_sealed_job_counts_as_it_was_sealed(office: Path) -> None:
    bag = office / FIRST / "sealed/0001-closeout/data"
    bag.mkdir(parents=True)
    record = (office / FIRST / "job.yaml").read_text("utf-8")
    (bag / "job.yaml").write_text(record.replace("nails_per_shingle: 6", "nails_per_shingle: 4"))
    assert unconfirmed(second(office)).values["installation.nails_per_shingle"].value == "4"


def test_a_line_of_a_product_is_no_delivery_until_somebody_counts_it(office: Path) -> None:
    job = second(office)
    path = job / "job.yaml"
    text = path.read_text("utf-8").replace("  address:\n", "  address: 7 Birch Road\n")
    path.write_text(text, "utf-8")
    assert read_job(job, RECORD_VERSION).needed.deliveries == ()
    uncommented = text.replace("  # - ticket: 55120", "  - ticket: 1").replace(
        "  #   lines:", "    lines:"
    )
    path.write_text(uncommented.replace("  #     - QUANT", "      - QUANT"), "utf-8")
    assert any("QUANTITY" in str(item.says) for item in read_job(job, RECORD_VERSION).items)


def test_one_value_is_confirmed_then_all(office: Path) -> None:
    job = second(office)
    before = (job / "job.yaml").read_text("utf-8")
    confirm(job, unconfirmed(job).only(["job.crew"]))
    assert len(unconfirmed(job).values) == 8
    one = (job / "job.yaml").read_text("utf-8")
    assert one.replace("crew: north", "crew: north, as on 2026-041") == before
    with pytest.raises(DossierError, match=r"Nothing at “job\.crew” was taken over"):
        unconfirmed(job).only(["job.crew"])
    confirm(job, unconfirmed(job))
    assert not unconfirmed(job).values


@pytest.mark.parametrize(
    ("marked", "taken"),
    [("0.sheet", "Full Assembly"), ("0.level", "Full Assembly"), ("1.level", "Shingle")],
)
def test_a_third_job_is_made_like_one_that_was_confirmed_in_part(
    office: Path, marked: str, taken: str
) -> None:
    path = office / FIRST / "job.yaml"
    rows = [{"sheet": "kestrelmoor-2026", "level": level} for level in ("Shingle", "Full Assembly")]
    number, field = marked.split(".")
    rows[int(number)][field] += ", as on 2026-035"
    head, _, tail = path.read_text("utf-8").partition("warranties:\n")
    rest = tail[tail.index("\nmoney:") :]
    typed = [f"  - sheet: {row['sheet']}\n    level: {row['level']}\n" for row in rows]
    path.write_text(f"{head}warranties:\n{''.join(typed)}{rest}", "utf-8")
    standing = unconfirmed(second(office)).values
    assert standing["warranties.0.level"].value == taken
    assert "warranties.1.level" not in standing


def test_a_file_changed_meanwhile_wins(office: Path) -> None:
    job = second(office)
    seen = unconfirmed(job)
    path = job / "job.yaml"
    path.write_text(path.read_text("utf-8") + "# more\n", "utf-8")
    with pytest.raises(DossierError, match="changed"):
        confirm(job, seen)


def test_the_locality_that_is_named_wins_and_needs_no_confirming(office: Path) -> None:
    start(office / "2026-063", job_like(office / FIRST), "port-ismere-2025")
    assert "job.locality" not in unconfirmed(office / "2026-063").values
    assert "locality: port-ismere-2025" in (office / "2026-063/job.yaml").read_text("utf-8")


def test_the_command_shows_first(office: Path, capsys: pytest.CaptureFixture[str]) -> None:
    job = office / "2026-064"
    assert main(["start", str(job), "--like", str(office / FIRST)]) == 0
    assert "installation.nails_per_shingle: 6" in capsys.readouterr().out
    assert main(["start", str(job), "--confirm"]) == 0
    assert "Nothing is written yet" in capsys.readouterr().out
    assert len(unconfirmed(job).values) == 9
    assert main(["start", str(job), "--confirm", "job.crew", "job.locality", "--yes"]) == 0
    assert "2 values confirmed" in capsys.readouterr().out
    assert main(["start", str(job), "--confirm", "--yes"]) == 0
    assert main(["start", str(job), "--confirm", "--yes"]) == 0
    assert "Nothing stands there" in capsys.readouterr().out
    assert main(["start", str(office / "2026-065"), "--yes"]) == 2


def test_the_page_on_another_house_says_what_is_counted() -> None:
    page = (DEMO.parent / "docs/second-house.md").read_text("utf-8").splitlines()
    assert [row for row in rows() if row not in page] == []
