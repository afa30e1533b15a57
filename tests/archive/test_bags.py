"""The BagIt form itself: names as RFC 8493 encodes them, and bags by the outside judges."""

from pathlib import Path

import bagit
import pytest
from hypothesis import given
from hypothesis import strategies as st

from dossier.archive.bags import Bag, decoded, encoded, info_values, manifest_digests, manifest_text
from dossier.archive.verify import verify_bag
from dossier.errors import CannotWrite
from tests.conftest import judged

names = st.text(
    st.characters(exclude_categories=("Cs",), exclude_characters="\0"), min_size=1, max_size=20
)


@pytest.mark.parametrize(
    ("name", "written"),
    # RFC 8493, section 2.1.3: LF, CR, CRLF and the percent sign, and only those.
    [
        ("data/a\nb", "data/a%0Ab"),
        ("data/a\rb", "data/a%0Db"),
        ("data/a\r\nb", "data/a%0D%0Ab"),
        ("data/100%.jpg", "data/100%25.jpg"),
        ("data/%0A", "data/%250A"),
        ("data/ä b#?&.jpg", "data/ä b#?&.jpg"),
    ],
)
def test_a_name_is_written_as_the_rfc_says(name: str, written: str) -> None:
    assert encoded(name) == written
    assert decoded(written) == name


def test_small_letters_in_an_encoded_name_are_read_too() -> None:
    assert decoded("a%0ab%0dc%25d%41") == "a\nb\rc%d%41"


@given(st.dictionaries(names.map(lambda name: f"data/{name}"), st.just("0" * 64)))
def test_a_manifest_that_was_written_is_read_back(digests: dict[str, str]) -> None:
    assert manifest_digests(manifest_text(digests)) == (digests, ())


@pytest.mark.parametrize(
    "line",
    ["x", "0" * 64, "0" * 63 + "  data/a", f"{'0' * 64}  a\n{'1' * 64}  a", "g" * 64 + "  a"],
)
def test_a_line_that_is_none_of_a_manifest_is_found(line: str) -> None:
    assert manifest_digests(line + "\n")[1]


def test_values_of_bag_info_are_found_by_any_case_and_joined() -> None:
    text = "Bagging-Date: 2026-10-20\nX: a\n  b\r\nx: c\n"
    assert info_values(text, "x") == ("a b", "c")


HOSTILE = (
    "photos/ä ö.jpg",
    "photos/שלום 🏠.jpg",
    "photos/-rf",
    "photos/a'b\"c.jpg",
    "photos/*.jpg",
    "photos/back\\slash.jpg",
    "photos/.hidden",
    "photos/a: b # c.yaml",
)


def test_odd_names_pass_every_judge(tmp_path: Path) -> None:
    bag = Bag(tmp_path / "bag")
    for number, name in enumerate(HOSTILE):
        bag.add_bytes(name, str(number).encode())
    bag.finish([])
    bagit.Bag(str(tmp_path / "bag")).validate()
    judged("sha256sum", "--strict", "-c", "manifest-sha256.txt", cwd=tmp_path / "bag")
    assert verify_bag(tmp_path / "bag").differences == ()
    assert not (tmp_path / "bag" / "sha256sum.txt").exists()


def test_names_that_a_manifest_encodes_are_listed_for_sha256sum_as_well(tmp_path: Path) -> None:
    bag = Bag(tmp_path / "bag")
    for name in ("100%.jpg", "line\nbreak.jpg", "re\rturn.jpg", "back\\slash", "plain.jpg"):
        bag.add_bytes(name, name.encode())
    bag.finish([])
    manifest = (tmp_path / "bag" / "manifest-sha256.txt").read_text()
    assert "data/100%25.jpg" in manifest
    assert "data/line%0Abreak.jpg" in manifest
    judged("sha256sum", "--strict", "-c", "sha256sum.txt", cwd=tmp_path / "bag")
    assert verify_bag(tmp_path / "bag").differences == ()


def test_line_breaks_in_names_pass_the_bagit_library(tmp_path: Path) -> None:
    # bagit 1.9 does not decode %25, as RFC 8493 section 2.1.3 asks; so no percent sign here.
    bag = Bag(tmp_path / "bag")
    bag.add_bytes("line\nbreak.jpg", b"")
    bag.add_bytes("re\rturn.jpg", b"")
    bag.finish([])
    bagit.Bag(str(tmp_path / "bag")).validate()


def test_a_value_in_bag_info_stays_on_its_line(tmp_path: Path) -> None:
    bag = Bag(tmp_path / "bag")
    bag.add_bytes("a", b"")
    bag.finish([("Handover-Held-By", "first\nBagging-Date: 1999-01-01\r\nx")])
    info = bagit.Bag(str(tmp_path / "bag")).info
    assert info["Handover-Held-By"] == "first Bagging-Date: 1999-01-01 x"
    assert "Bagging-Date" not in info


def test_a_link_is_not_copied(tmp_path: Path) -> None:
    (tmp_path / "real").write_bytes(b"1")
    (tmp_path / "link").symlink_to(tmp_path / "real")
    bag = Bag(tmp_path / "bag")
    with pytest.raises(CannotWrite, match="link"):
        bag.add_file("link", tmp_path / "link")


def test_a_file_that_changes_while_it_is_copied_is_caught(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    from dossier.archive import bags

    source = tmp_path / "photo.jpg"
    source.write_bytes(b"a" * 100)
    real = bags._digest_of

    def after_an_edit(path: Path) -> str:
        # The same length, as a program leaves it that writes into the middle of a file.
        path.write_bytes(b"b" * 100)
        return real(path)

    monkeypatch.setattr(bags, "_digest_of", after_an_edit)
    bag = Bag(tmp_path / "bag")
    with pytest.raises(CannotWrite, match="changed while it was copied"):
        bag.add_file("photo.jpg", source)
