"""The ways to alter what was sealed, with the folder alone, with the office's key as well, or with a paper.

In: a scene, a copy of a sealed job. Out: `ATTACKS`, the table that docs/archive.md prints and test_attacks.py
holds the code to: what each does, and what verify must say of it by itself, with --key, --digest and --against.
Where verify cannot tell, the words are those by which it says so.
"""

import os
import shutil
from collections.abc import Callable, Iterator, Sequence
from dataclasses import dataclass
from enum import StrEnum
from pathlib import Path

from dossier.archive.keys import make_keys, private_key, sign
from dossier.archive.names import SIGNATURE
from dossier.archive.supplements import Sealing, add_supplement
from dossier.archive.verify import verify_bag
from tests.archive import pdf_edits as pdf
from tests.archive.test_supplements import ENTRY
from tests.archive.test_verify import rewrite


class Who(StrEnum):
    """What somebody has who alters the past."""

    FOLDER = "the folder"
    KEY = "folder and key"
    PAPER = "a paper"


@dataclass
class Scene:
    """A sealed job to be altered, and what others kept.

    job: signed, with two later entries. private: the office's key, outside its folder. handover, letter: as they
    were handed over, the second of the newest entry. held: what is given to --against.
    """

    job: Path
    private: Path
    handover: Path
    letter: Path
    held: Path

    @property
    def bags(self) -> list[Path]:
        """Return the sealed folders in the order of their names."""
        return sorted((self.job / "sealed").iterdir())


@dataclass(frozen=True)
class Says:
    """What verify must end with, and words that it must print."""

    code: int
    words: str


@dataclass(frozen=True)
class Attack:
    """One way. key, digest, against: what verify says with each; None where it says the same as without."""

    name: str
    who: Who
    does: Callable[[Scene], object]
    plain: Says | None
    key: Says | None = None
    digest: Says | None = None
    against: Says | None = None

    def asked(self) -> Iterator[tuple[str, Says]]:
        """Yield each way of asking with what must be said; a paper is held against the job and no more."""
        if self.plain is not None:
            yield "plain", self.plain
            yield "key", self.key or self.plain
            yield "digest", self.digest or self.plain
        says = self.against or self.plain
        assert says is not None
        yield "against", says


# --- by hand ------------------------------------------------------------------------------------


def _photo(scene: Scene) -> Path:
    return scene.bags[0] / "data" / "photos" / "field" / "front.jpg"


def _flip(path: Path) -> None:
    data = bytearray(path.read_bytes())
    data[-1] ^= 1
    path.write_bytes(data)


def _exchange(one: Path, other: Path) -> None:
    between = one.with_name("between")
    one.rename(between)
    other.rename(one)
    between.rename(other)


def _edit(path: Path, old: str, new: str) -> None:
    text = path.read_text()
    assert old in text, (path, old)
    path.write_text(text.replace(old, new))


def _chain(scene: Scene) -> None:
    """Make every manifest and the whole chain fit what the folders hold now."""
    before = ""
    for bag in scene.bags:
        info = bag / "bag-info.txt"
        lines = [
            line for line in info.read_text().splitlines() if "Digest-Of-Entry-Before" not in line
        ]
        info.write_text(
            "\n".join([*lines, *([f"Digest-Of-Entry-Before: {before}"] if before else [])]) + "\n"
        )
        rewrite(bag)
        before = verify_bag(bag).digest


def _sign_all(scene: Scene, private: Path) -> None:
    for bag in scene.bags:
        (bag / SIGNATURE).unlink(missing_ok=True)
        sign(bag, private_key(private))


def _unsign(scene: Scene, *places: int) -> None:
    for place in places or range(len(scene.bags)):
        (scene.bags[place] / SIGNATURE).unlink(missing_ok=True)


def _new_record(scene: Scene) -> None:
    _edit(scene.bags[0] / "data" / "job.yaml", "118 Plover", "119 Plover")


def _fits(scene: Scene) -> None:
    _flip(_photo(scene))
    last = scene.bags[0] / "tagmanifest-sha256.txt"
    kept = last.read_bytes()
    rewrite(scene.bags[0])
    last.write_bytes(kept)


def _link(scene: Scene) -> None:
    away = scene.job / "front.jpg"
    shutil.move(_photo(scene), away)
    _photo(scene).symlink_to(away)


def _closing_rewritten(scene: Scene) -> None:
    _new_record(scene)
    rewrite(scene.bags[0])


def _all_rewritten(scene: Scene) -> None:
    _new_record(scene)
    _chain(scene)


def _another_handover(scene: Scene) -> None:
    sealed = scene.bags[0] / "data" / "out" / "handover.pdf"
    shutil.copy(pdf.text_over(scene.handover, scene.job / "forged.pdf"), sealed)
    _chain(scene)
    _unsign(scene)


def _take_away(*places: int) -> Callable[[Scene], None]:
    def does(scene: Scene) -> None:
        bags = scene.bags
        for place in places:
            shutil.rmtree(bags[place])

    return does


def _letter_is_held(scene: Scene) -> None:
    shutil.rmtree(scene.bags[2])
    scene.held = scene.letter


def _rename(place: int, to: str) -> Callable[[Scene], None]:
    def does(scene: Scene) -> None:
        scene.bags[place].rename(scene.job / "sealed" / to)

    return does


def _again(scene: Scene) -> None:
    shutil.copytree(scene.bags[1], scene.job / "sealed" / "0004-2031-06-23-note")


def _as_another_job(scene: Scene) -> None:
    """Make what is sealed that of another job of the same office, as it would have been sealed."""
    for bag in scene.bags:
        record = "job.yaml" if bag == scene.bags[0] else "entry.yaml"
        for file in (bag / "bag-info.txt", bag / "data" / record):
            _edit(file, "2026-041", "2026-047")
    _edit(scene.bags[0] / "data" / "job.yaml", "118 Plover Lane", "9 Cinder Street")
    _chain(scene)
    _sign_all(scene, scene.private)


def _with_its_record(scene: Scene) -> None:
    _as_another_job(scene)
    shutil.copy(scene.bags[0] / "data" / "job.yaml", scene.job / "job.yaml")


def _entry_of_another(scene: Scene) -> None:
    entry = scene.job / "sealed" / "0004-2031-06-23-note"
    shutil.copytree(scene.bags[2], entry)
    before = verify_bag(scene.bags[2]).digest
    own = verify_bag(scene.bags[1]).digest
    _edit(entry / "bag-info.txt", "2026-041", "2026-047")
    _edit(entry / "bag-info.txt", own, before)
    _edit(entry / "data" / "entry.yaml", "2026-041", "2026-047")
    rewrite(entry)


def _number_alone(scene: Scene) -> None:
    _edit(scene.bags[2] / "bag-info.txt", "2026-041", "2026-047")
    rewrite(scene.bags[2])


def _forge(scene: Scene, key: Path | None) -> None:
    text = ENTRY.replace(b"the owner asks for a copy", b"the owner waived every claim")
    signed = private_key(key) if key else None
    add_supplement(scene.job, text, {}, {}, Sealing(key=signed))


def _another_key(scene: Scene) -> Path:
    private = scene.job.parent.parent / "another" / "key"
    make_keys(private)
    return private


def _on_an_unsigned_job(scene: Scene) -> None:
    _unsign(scene)
    _forge(scene, None)


def _key_exchanged(scene: Scene) -> None:
    _all_rewritten(scene)
    private = _another_key(scene)
    _sign_all(scene, private)
    keys = scene.job.parent / "keys"
    keys.mkdir()
    shutil.copy(private.with_name("key.pub"), keys / "office.pub")


def _noise(scene: Scene) -> None:
    (scene.bags[2] / SIGNATURE).write_bytes(bytes(64))


def _times(scene: Scene) -> None:
    for path in (scene.job / "sealed").rglob("*"):
        os.utime(path, (1, 1))


def _beside(scene: Scene) -> None:
    _edit(scene.job / "job.yaml", "118 Plover", "119 Plover")
    scene.held = pdf.text_over(scene.handover, scene.job / "out" / "handover.pdf")


def _sealed_is_a_link(scene: Scene) -> None:
    (scene.job / "sealed").rename(scene.job.parent / "elsewhere")
    (scene.job / "sealed").symlink_to(scene.job.parent / "elsewhere")


def _rewritten_and_signed(scene: Scene) -> None:
    _all_rewritten(scene)
    _sign_all(scene, scene.private)


def _exchanged_and_signed(scene: Scene) -> None:
    shutil.rmtree(scene.bags[2])
    _forge(scene, scene.private)
    scene.held = scene.letter


def _paper(edit: Callable[[Path, Path], Path]) -> Callable[[Scene], None]:
    def does(scene: Scene) -> None:
        scene.held = edit(scene.handover, scene.handover.with_name("held.pdf"))

    return does


def _letter_of_another_digest(scene: Scene) -> None:
    digest = "".join(reversed(verify_bag(scene.bags[1]).digest))
    scene.held = pdf.letter(digest, scene.handover.with_name("held.pdf"))


# --- the table ----------------------------------------------------------------------------------

_NOT_CHECKED = Says(0, "A signature is there and was not checked")
_NOT_THIS_KEY = Says(5, "carries a signature that this key did not make")
_NO_SIGNATURE = Says(5, "carries no signature")
_NO_SUCH_DIGEST = Says(5, "no folder here has it")
_LATER = Says(0, "was sealed after that digest was written down")
_RECORD = Says(5, "The record differs from the one that handover.pdf carries")
_THE_END = Says(0, "Whether later folders were taken away from the end cannot be told")
_RENAMED = Says(5, "was given another name; it was sealed as 0003-2031-06-23-note")
_FOLDER, _KEY, _PAPER = Who.FOLDER, Who.KEY, Who.PAPER

ATTACKS: Sequence[Attack] = (
    Attack("one bit of a photo", _FOLDER, lambda s: _flip(_photo(s)), Says(5, "front.jpg: was changed")),
    Attack("a photo taken away", _FOLDER, lambda s: _photo(s).unlink(), Says(5, "front.jpg: is missing")),
    Attack(
        "a photo put in", _FOLDER,
        lambda s: shutil.copy(_photo(s), _photo(s).with_name("late.jpg")), Says(5, "late.jpg: was added"),
    ),
    Attack(
        "two photos under each other's name", _FOLDER,
        lambda s: _exchange(_photo(s), _photo(s).with_name("back.jpg")), Says(5, "front.jpg: was changed"),
    ),
    Attack(
        "a photo's name with a look-alike letter", _FOLDER,
        lambda s: _photo(s).rename(_photo(s).with_name("fr\N{CYRILLIC SMALL LETTER O}nt.jpg")),
        Says(5, "front.jpg: is missing"),
    ),
    Attack("a link to the same photo", _FOLDER, _link, Says(5, "front.jpg: is a link")),
    Attack(
        "an empty folder put in", _FOLDER,
        lambda s: (s.bags[0] / "data" / "more").mkdir(), Says(5, "an empty folder was added"),
    ),
    Attack("a photo, and its line in the manifest", _FOLDER, _fits, Says(5, "manifest-sha256.txt: was changed")),
    Attack(
        "the day of sealing in bag-info.txt", _FOLDER,
        lambda s: _edit(s.bags[0] / "bag-info.txt", "2026-10", "2026-09"), Says(5, "bag-info.txt: was changed"),
    ),
    Attack(
        "small letters in the last manifest", _FOLDER,
        lambda s: _edit(s.bags[0] / "tagmanifest-sha256.txt", "a", "A"),
        Says(5, "tagmanifest-sha256.txt: was changed"),
    ),
    Attack(
        "the closing and its manifests", _FOLDER, _closing_rewritten, Says(5, "carries the digest"),
        key=_NOT_THIS_KEY,
    ),
    Attack(
        "everything, manifests and chain", _FOLDER, _all_rewritten, _NOT_CHECKED,
        key=_NOT_THIS_KEY, digest=_NO_SUCH_DIGEST, against=_RECORD,
    ),
    Attack(
        "everything, with another handover, signatures taken away", _FOLDER, _another_handover,
        Says(0, "No signature is there. Without one, a rewrite of the whole"),
        key=_NO_SIGNATURE, digest=_NO_SUCH_DIGEST, against=Says(5, "handover.pdf: Page 3 says something else"),
    ),
    Attack("the newest folder taken away", _FOLDER, _take_away(2), _THE_END, digest=_NO_SUCH_DIGEST),
    Attack("the newest two taken away", _FOLDER, _take_away(1, 2), _THE_END, digest=_NO_SUCH_DIGEST),
    Attack(
        "the newest taken away, and its letter is held", _FOLDER, _letter_is_held, _THE_END,
        digest=_NO_SUCH_DIGEST, against=Says(5, "and none is there: it was taken away"),
    ),
    Attack("a folder in the middle taken away", _FOLDER, _take_away(1), Says(5, "does not follow on")),
    Attack("the closing taken away", _FOLDER, _take_away(0), Says(5, "0001-closeout: is not there")),
    Attack(
        "all of sealed/ taken away", _FOLDER, lambda s: shutil.rmtree(s.job / "sealed"),
        Says(3, "holds nothing that was sealed"),
    ),
    Attack(
        "two entries under each other's name", _FOLDER, lambda s: _exchange(s.bags[1], s.bags[2]),
        Says(5, "carries the digest"),
    ),
    Attack("an entry named by another day", _FOLDER, _rename(2, "0003-2033-01-01-note"), _RENAMED),
    Attack("an entry named by another kind", _FOLDER, _rename(2, "0003-2031-06-23-claim"), _RENAMED),
    Attack("an entry's name in capitals", _FOLDER, _rename(2, "0003-2031-06-23-NOTE"), _RENAMED),
    Attack(
        "a sign in an entry's name that cannot be seen", _FOLDER,
        _rename(2, "0003-2031-06-23-note\N{ZERO WIDTH SPACE}"), Says(5, "note[U+200B]: was given another name"),
    ),
    Attack(
        "an entry numbered in full-width digits", _FOLDER,
        _rename(2, "\N{FULLWIDTH DIGIT ZERO}003-2031-06-23-note"),
        Says(5, "[U+FF10]003-2031-06-23-note: was added; it is no folder that dossier sealed"),
    ),
    Attack(
        "a look-alike letter in the closing's name", _FOLDER,
        _rename(0, "0001-\N{CYRILLIC SMALL LETTER ES}loseout"), Says(5, "0001-closeout: is not there"),
    ),
    Attack(
        "an entry named like an unfinished one", _FOLDER, _rename(2, ".0003-2031-06-23-note.dossier-new"),
        Says(5, "is a whole sealed folder under the name of an unfinished one"),
    ),
    Attack(
        "an entry hidden by a full stop", _FOLDER, _rename(2, ".0003-2031-06-23-note"),
        Says(5, "was added; it is no folder that dossier sealed"),
    ),
    Attack("an entry once more at the end", _FOLDER, _again, Says(5, "carries the digest")),
    Attack(
        "another job's entry at the end, made to fit", _FOLDER, _entry_of_another,
        Says(5, "says that it is of job 2026-047"), key=_NOT_THIS_KEY,
    ),
    Attack(
        "another number of the job in the newest entry", _FOLDER, _number_alone,
        Says(5, "says that it is of job 2026-047"), key=_NOT_THIS_KEY,
    ),
    Attack(
        "another job's sealed/ in this job's folder", _FOLDER, _as_another_job,
        Says(5, "one of the two does not belong here"),
    ),
    Attack(
        "another job's sealed/ and record in this job's folder", _FOLDER, _with_its_record,
        Says(0, "Sealed as job 2026-047"), digest=_NO_SUCH_DIGEST, against=_RECORD,
    ),
    Attack("sealed/ a link to elsewhere", _FOLDER, _sealed_is_a_link, Says(5, "sealed: is a link")),
    Attack("a forged entry at the end, unsigned", _FOLDER, lambda s: _forge(s, None), _NO_SIGNATURE),
    Attack(
        "a forged entry at the end, signed with another key", _FOLDER,
        lambda s: _forge(s, _another_key(s)), _NOT_CHECKED, key=_NOT_THIS_KEY, digest=_LATER,
    ),
    Attack(
        "a forged entry at the end of a job that is not signed", _FOLDER, _on_an_unsigned_job,
        Says(0, "nor an entry put at the end by somebody else"), key=_NO_SIGNATURE, digest=_LATER,
    ),
    Attack("one signature taken away", _FOLDER, lambda s: _unsign(s, 1), _NO_SIGNATURE),
    Attack(
        "all signatures taken away", _FOLDER, _unsign, Says(0, "No signature is there"), key=_NO_SIGNATURE,
    ),
    Attack("a signature of noise", _FOLDER, _noise, _NOT_CHECKED, key=_NOT_THIS_KEY),
    Attack(
        "everything, signed anew, and the key in the office folder exchanged", _FOLDER, _key_exchanged,
        Says(0, "Whoever can write there can put another key there"),
        key=_NOT_THIS_KEY, digest=_NO_SUCH_DIGEST, against=_RECORD,
    ),
    Attack(
        "the times of all files", _FOLDER, _times,
        Says(0, "No difference found"),
    ),
    Attack(
        "record and handover beside sealed/", _FOLDER, _beside,
        Says(0, "What lies in the job folder beside sealed/ was not looked at"),
        against=Says(5, "handover.pdf: Page 3 says something else"),
    ),
    Attack(
        "everything, signed anew", _KEY, _rewritten_and_signed, _NOT_CHECKED,
        key=Says(0, "signed with this key, as it was sealed"), digest=_NO_SUCH_DIGEST, against=_RECORD,
    ),
    Attack(
        "a forged entry at the end, signed", _KEY, lambda s: _forge(s, s.private), _NOT_CHECKED,
        key=Says(0, "signed with this key, as it was sealed"), digest=_LATER,
    ),
    Attack(
        "another entry in place of the newest, signed; its letter is held", _KEY, _exchanged_and_signed,
        _NOT_CHECKED, key=Says(0, "signed with this key, as it was sealed"), digest=_NO_SUCH_DIGEST,
        against=Says(5, "letter.pdf: Page 1 says something else"),
    ),
    Attack("text written on a page", _PAPER, _paper(pdf.text_over), None,
           against=Says(5, "Page 3 says something else: “15 bundles” was added")),
    Attack("a white patch over a page", _PAPER, _paper(pdf.white_patch), None,
           against=Says(5, "Page 3 is drawn over or drawn otherwise: its text is the same")),
    Attack("a mark put over a page", _PAPER, _paper(pdf.mark), None,
           against=Says(5, "Page 3 carries a mark or field (Square) that was not sealed with it")),
    Attack("a mark that is hidden until somebody prints", _PAPER, _paper(pdf.hidden_mark), None,
           against=Says(5, "Page 3 carries a mark or field (Square) that was not sealed with it")),
    Attack("text that cannot be seen", _PAPER, _paper(pdf.unseen_text), None,
           against=Says(5, "Page 3 looks the same, but the text under it")),
    Attack("a page taken out", _PAPER, _paper(pdf.page_out), None,
           against=Says(5, "Page 5 of the sealed document is missing")),
    Attack("a page put in", _PAPER, _paper(pdf.page_in), None,
           against=Says(5, "Page 6 was added; the sealed document has none such")),
    Attack("two pages exchanged", _PAPER, _paper(pdf.pages_exchanged), None,
           against=Says(5, "The pages are in another order: page 5 is page 6 of the sealed one")),
    Attack("a page turned", _PAPER, _paper(pdf.page_turned), None,
           against=Says(5, "Page 3 has another size or is turned")),
    Attack("the attached record", _PAPER, _paper(pdf.record), None,
           against=Says(5, "The attached record, job.yaml, is not the one that was sealed with it")),
    Attack("an attachment put in", _PAPER, _paper(pdf.attachment_in), None,
           against=Says(5, "The attached waiver.txt was added")),
    Attack("every attachment taken out", _PAPER, _paper(pdf.attachments_out), None,
           against=Says(5, "attached files is there, the record among them")),
    Attack("where a link leads", _PAPER, _paper(pdf.link), None,
           against=Says(5, "Page 3 has a link to “https://example.com/pay” that was not sealed with it")),
    Attack("the title", _PAPER, _paper(pdf.title), None, against=Says(5, "Its title is “Another roof”")),
    Attack("a program that runs when it is opened", _PAPER, _paper(pdf.program), None,
           against=Says(5, "what it does when it is opened is new")),
    Attack("a change saved behind the whole file", _PAPER, _paper(pdf.behind), None,
           against=Says(5, "bytes behind it, as where a program saved changes")),
    Attack("saved anew by a program, nothing else", _PAPER, _paper(pdf.saved_anew), None,
           against=Says(0, "was saved anew by a program, and is 0001-closeout/data/out/handover.pdf")),
    Attack("scanned from paper", _PAPER, _paper(pdf.scanned), None,
           against=Says(3, "as a scanner makes them")),
    Attack("a letter that prints another digest", _PAPER, _letter_of_another_digest, None,
           against=Says(5, "and none of the folders looked at has it")),
)  # fmt: skip

BEGIN, END = "<!-- The table of attacks begins. -->\n", "<!-- The table of attacks ends. -->\n"


def table() -> str:
    """Return the table as docs/archive.md has it: exit code and words of verify."""

    def cell(says: Says | None, otherwise: str) -> str:
        return otherwise if says is None else f"{says.code}: {says.words}"

    rows = [
        "| what is altered | by whom | `verify` | `--key` | `--digest` | `--against` |",
        "|---|---|---|---|---|---|",
    ]
    for one in ATTACKS:
        same = "–" if one.plain is None else "the same"
        cells = [
            cell(one.plain, "–"),
            *(cell(says, same) for says in (one.key, one.digest, one.against)),
        ]
        rows.append(f"| {one.name} | {one.who.value} | {' | '.join(cells)} |")
    return "\n".join(rows) + "\n"
