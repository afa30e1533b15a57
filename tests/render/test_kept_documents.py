"""A document is laid out again exactly when something of it changed."""

import json
from collections.abc import Mapping
from dataclasses import replace
from datetime import UTC, datetime, timedelta
from pathlib import Path

import pytest

from dossier.press.printing import Printer
from dossier.render import document
from dossier.render.content_store import ContentStore
from dossier.render.engine import Asset, Attached, Rendered
from dossier.render.kept_documents import KeptDocuments
from dossier.words import Edition
from tests.known_good import known_good

MOMENT = datetime(2026, 10, 20, 12, tzinfo=UTC)
PICTURES = {"front": Asset(b"jpeg", "image/jpeg"), "mark": Asset(b"png", "image/png")}
PAPER = Attached("a.pdf", b"paper", "application/pdf", "Supplement", "a paper")
MADE = Rendered(b"%PDF-1.7 made\n\x00\xff", 3, {"words": 2})


def kept_in(folder: Path, *, fresh: bool = False, made_with: str = "one") -> KeptDocuments:
    return KeptDocuments(ContentStore(folder, ending=".kept"), made_with, fresh=fresh)


def test_what_was_kept_comes_back_on_a_later_run(tmp_path: Path) -> None:
    key = kept_in(tmp_path).key("<p>", PICTURES, [PAPER], MOMENT)
    kept_in(tmp_path).keep(key, MADE)
    assert kept_in(tmp_path).take(key) == MADE
    assert kept_in(tmp_path, fresh=True).take(key) is None
    (path,) = tmp_path.iterdir()
    path.write_bytes(path.read_bytes()[:-1])
    assert kept_in(tmp_path).take(key) is None


def test_the_key_changes_with_everything_a_document_is_made_from(tmp_path: Path) -> None:
    kept = kept_in(tmp_path)

    def key(
        html: str = "<p>",
        pictures: Mapping[str, Asset] = PICTURES,
        papers: tuple[Attached, ...] = (PAPER,),
        moment: datetime = MOMENT,
    ) -> str:
        return kept.key(html, pictures, papers, moment)

    others = [
        key(html="<p> "),
        key(pictures={}),
        key(pictures={**PICTURES, "front": Asset(b"jpeh", "image/jpeg")}),
        key(pictures={"back": PICTURES["front"], "mark": PICTURES["mark"]}),
        key(papers=()),
        *(
            key(papers=(replace(PAPER, **{name: value}),))
            for name, value in (("name", "b.pdf"), ("data", b"q"), ("mime", "text/plain"))
        ),
        key(papers=(replace(PAPER, relationship="Source"),)),
        key(papers=(replace(PAPER, description="another"),)),
        key(moment=MOMENT + timedelta(days=1)),
        kept_in(tmp_path, made_with="two").key("<p>", PICTURES, [PAPER], MOMENT),
    ]
    assert len({key(), *others}) == len(others) + 1
    assert key(pictures=dict(reversed(PICTURES.items()))) == key()


def test_only_the_documents_that_say_something_new_are_laid_out(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    laid_out: list[str] = []

    def counting(html: str, **_: object) -> Rendered:
        laid_out.append(html[html.index("<title>") + 7 :][:12])
        return Rendered(b"%PDF-1.7 stands for a page", 1, {})

    monkeypatch.setattr(document, "render", counting)

    def handover_and_list(edit: Mapping[str, object]) -> list[str]:
        job = known_good(edit)
        run = replace(job.run, work_folder=tmp_path)
        printer = Printer(job.case, job.facts, job.assessment, job.punch_list, run)
        laid_out.clear()
        printer.edition(Edition.HOMEOWNER)
        printer._punch_list()
        return list(laid_out)

    assert len(handover_and_list({})) == 2
    assert handover_and_list({}) == []
    changed = handover_and_list({"job.permit.number": "R-2026-9999"})
    assert len(changed) == 1
    assert changed[0].startswith("Roof record")
    assert json.dumps(handover_and_list({})) == "[]"
