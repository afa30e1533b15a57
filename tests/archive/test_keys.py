"""A signature by the office's own key: made, checked, checked by another program, and never in a job."""

import stat
from pathlib import Path

import bagit
import pytest

from dossier.archive.keys import make_keys, private_key, public_key, sign
from dossier.archive.names import SIGNATURE
from dossier.archive.supplements import Sealing, add_supplement
from dossier.archive.verify import verify, verify_bag
from dossier.cli import main
from dossier.errors import CannotWrite, UnreadableInput
from dossier.press.printing import Printer
from tests.archive.test_supplements import ENTRY, add, sealed_job
from tests.archive.test_verify import bags, rewrite
from tests.conftest import judged, missing
from tests.kills import few_bytes


@pytest.fixture
def keys(tmp_path: Path) -> tuple[Path, Path]:
    """A private and a public key."""
    return tmp_path / "office", make_keys(tmp_path / "office")


@pytest.fixture
def signed(tmp_path: Path, keys: tuple[Path, Path]) -> Path:
    """A job whose closing and supplement are signed."""
    job = sealed_job(tmp_path / "job")
    add(job)
    for bag in bags(job):
        sign(bag, private_key(keys[0]))
    return job


def test_the_private_key_is_for_this_user_alone(keys: tuple[Path, Path]) -> None:
    private, public = keys
    assert stat.S_IMODE(private.stat().st_mode) == 0o600
    assert public.name == "office.pub"
    assert b"PRIVATE" not in public.read_bytes()


def test_no_key_is_written_over(
    keys: tuple[Path, Path], capsys: pytest.CaptureFixture[str]
) -> None:
    before = [key.read_bytes() for key in keys]
    assert main(["key", str(keys[0])]) == 4
    assert "never written over" in capsys.readouterr().err
    assert [key.read_bytes() for key in keys] == before


def test_half_a_pair_is_taken_away_again(tmp_path: Path) -> None:
    (tmp_path / "office.pub").write_bytes(b"theirs")
    with pytest.raises(CannotWrite):
        make_keys(tmp_path / "office")
    assert sorted(path.name for path in tmp_path.iterdir()) == ["office.pub"]
    assert (tmp_path / "office.pub").read_bytes() == b"theirs"


def test_a_folder_that_is_not_there_is_made_for_this_user_alone(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    # As the docs have it, from the office folder: dossier key keys/office
    monkeypatch.chdir(tmp_path)
    assert main(["key", "keys/ours/office"]) == 0
    for folder in ("keys", "keys/ours"):
        assert stat.S_IMODE((tmp_path / folder).stat().st_mode) == 0o700
    assert (tmp_path / "keys" / "ours" / "office.pub").is_file()


def test_a_folder_that_cannot_be_made_is_named(
    tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    (tmp_path / "keys").write_bytes(b"")
    assert main(["key", str(tmp_path / "keys" / "office")]) == 4
    err = capsys.readouterr().err
    assert "keys/office could not be written: Not a directory." in err
    assert "Name a place where this user may write." in err
    assert "never written over" not in err


def test_a_key_has_no_place_in_a_job_folder(tmp_path: Path, keys: tuple[Path, Path]) -> None:
    (tmp_path / "job" / "papers").mkdir(parents=True)
    (tmp_path / "job" / "job.yaml").write_text("record: 1\n")
    with pytest.raises(CannotWrite, match="lies in the job folder"):
        make_keys(tmp_path / "job" / "papers" / "office")
    moved = keys[0].rename(tmp_path / "job" / "office")
    with pytest.raises(CannotWrite, match="lies in the job folder"):
        private_key(moved)


def test_a_signature_is_checked(
    signed: Path, keys: tuple[Path, Path], capsys: pytest.CaptureFixture[str]
) -> None:
    assert main(["verify", str(signed), "--key", str(keys[1])]) == 0
    out = capsys.readouterr().out
    assert out.count("signed with this key, as it was sealed") == 2
    assert "carries no signature" not in out


def test_an_unsigned_folder_after_a_signed_one_is_a_difference(
    signed: Path, keys: tuple[Path, Path]
) -> None:
    (bags(signed)[1] / SIGNATURE).unlink()
    says = (
        "0002-2031-06-23-note: carries no signature, and 0001-closeout before it does: it was sealed without the "
        "office's key, or put here by somebody else.",
    )
    assert verify(signed).differences == says
    assert verify(signed, public_key(keys[1])).differences == says
    # An office that made its key later signs from then on, and what was before is vouched for by its digest.
    sign(bags(signed)[1], private_key(keys[0]))
    (bags(signed)[0] / SIGNATURE).unlink()
    found = verify(signed, public_key(keys[1]), closing_signed=False)
    assert found.differences == ()
    assert any(note.startswith("0001-closeout carries no signature. What") for note in found.notes)


def test_an_entry_is_signed_as_well_where_a_key_is_given(
    signed: Path, keys: tuple[Path, Path]
) -> None:
    key = private_key(keys[0])
    made = add_supplement(signed, ENTRY, {}, {}, Sealing(key=key))
    assert (made / SIGNATURE).stat().st_size == 64
    found = verify(signed, public_key(keys[1]))
    assert found.differences == ()
    assert found.bags[2].signed
    (made / "data" / "entry.yaml").write_bytes(ENTRY + b"# later\n")
    rewrite(made)
    [said] = verify(signed, public_key(keys[1])).differences
    assert said.startswith(f"{made.name}: {SIGNATURE}")


def test_a_signed_folder_is_a_bag_all_the_same(signed: Path) -> None:
    bagit.Bag(str(bags(signed)[0])).validate()


def test_another_program_checks_the_signature(signed: Path, keys: tuple[Path, Path]) -> None:
    # OpenSSL 3, pkeyutl(1): Ed25519 signs the bytes themselves, -rawin.
    if "OpenSSL 3" not in judged("openssl", "version"):
        missing("OpenSSL 3")
    said = judged(
        "openssl", "pkeyutl", "-verify", "-pubin", "-inkey", keys[1], "-rawin",
        "-in", "tagmanifest-sha256.txt", "-sigfile", SIGNATURE, cwd=bags(signed)[0],
    )  # fmt: skip
    assert "Verified Successfully" in said


def test_a_rewrite_of_the_whole_shows(signed: Path, keys: tuple[Path, Path]) -> None:
    first, second = bags(signed)
    (first / "data" / "job.yaml").write_bytes(b"record: 1\n# another\n")
    rewrite(first)
    info = second / "bag-info.txt"
    old = verify_bag(second).info.split("Digest-Of-Entry-Before: ")[1].split()[0]
    info.write_text(info.read_text().replace(old, verify_bag(first).digest))
    rewrite(second)
    assert verify(signed).differences == ()
    assert verify(signed, public_key(keys[1])).differences == tuple(
        f"{bag.name}: {SIGNATURE}: this folder carries a signature that this key did not make over it as "
        "it is now."
        for bag in (first, second)
    )


@pytest.mark.parametrize("what", ["gone", "flipped", "short", "another key"])
def test_a_signature_that_does_not_fit_is_a_difference(
    signed: Path, keys: tuple[Path, Path], tmp_path: Path, what: str
) -> None:
    path, key = bags(signed)[0] / SIGNATURE, keys[1]
    data = path.read_bytes()
    if what == "gone":
        path.unlink()
    elif what == "another key":
        key = make_keys(tmp_path / "other")
    else:
        path.write_bytes(data[:10] if what == "short" else bytes([data[0] ^ 1]) + data[1:])
    said = verify(signed, public_key(key)).differences
    assert [one.partition(":")[0] for one in said] == (
        ["0001-closeout", "0002-2031-06-23-note"] if what == "another key" else ["0001-closeout"]
    )


@pytest.mark.parametrize("holds", [b"", b"x", None])
def test_a_file_that_is_no_key_is_a_sentence(
    tmp_path: Path, keys: tuple[Path, Path], holds: bytes | None
) -> None:
    path = tmp_path / "key"
    if holds is not None:
        path.write_bytes(holds)
    with pytest.raises(UnreadableInput):
        private_key(path)
    with pytest.raises(UnreadableInput):
        public_key(path)
    with pytest.raises(UnreadableInput):
        public_key(keys[0])
    with pytest.raises(UnreadableInput):
        private_key(keys[1])


# --- the office's own key -----------------------------------------------------------------------


def test_an_office_with_a_key_signs_and_checks_without_being_asked(
    bare_office: Path,
    tmp_path: Path,
    monkeypatch: pytest.MonkeyPatch,
    capsys: pytest.CaptureFixture[str],
) -> None:
    monkeypatch.setattr(Printer, "files", few_bytes)
    office = bare_office.parent
    assert main(["key", str(office / "keys" / "office")]) == 0
    assert "From now on what is sealed in" in capsys.readouterr().out
    seal = ["seal", str(bare_office), "--incomplete", "--today", "2026-10-20"]
    assert main([*seal, "--sign", str(office / "keys" / "office"), "--unsigned"]) == 2
    # With the public half alone the office signs, and where its private key is it has to be told.
    away = (office / "keys" / "office").rename(tmp_path / "kept-away")
    assert main(seal) == 3
    assert "This office signs what it seals" in capsys.readouterr().err
    assert not (bare_office / "sealed").exists()
    away.rename(office / "keys" / "office")
    assert main(seal) == 0
    assert (bags(bare_office)[0] / SIGNATURE).stat().st_size == 64
    capsys.readouterr()
    assert main(["verify", str(bare_office)]) == 0
    out = capsys.readouterr().out
    assert "signed with this key" in out
    assert "Whoever can write there can put another key there" in out
    (bags(bare_office)[0] / SIGNATURE).write_bytes(bytes(64))
    assert main(["verify", str(bare_office)]) == 5


def test_unsigned_where_it_is_said(
    bare_office: Path, monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]
) -> None:
    monkeypatch.setattr(Printer, "files", few_bytes)
    make_keys(bare_office.parent / "keys" / "office")
    seal = ["seal", str(bare_office), "--incomplete", "--today", "2026-10-20", "--unsigned"]
    assert main(seal) == 0
    assert not (bags(bare_office)[0] / SIGNATURE).exists()
    capsys.readouterr()
    assert main(["verify", str(bare_office)]) == 0
    assert "The office has a key" in capsys.readouterr().out
    # Whoever checks with the key kept elsewhere wants the closing signed.
    public = bare_office.parent / "keys" / "office.pub"
    assert main(["verify", str(bare_office), "--key", str(public)]) == 5
