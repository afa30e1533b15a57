"""A new job folder says its own number, whatever its name looks like in YAML."""

from pathlib import Path

import pytest
import yaml

from dossier.deeds.starting import start
from dossier.errors import DossierError
from dossier.resources import resource


@pytest.mark.parametrize(
    "name", ["2026-061-birch-road", "no", "1:12", "12: x # y", "*a", "Søgade 4"]
)
def test_the_number_is_the_name_of_the_folder_and_nothing_else_of_the_blank_changes(
    tmp_path: Path, name: str
) -> None:
    done = start(tmp_path / "office" / name)
    assert done.new_office
    assert all(path.exists() for path in done.made)
    text = (tmp_path / "office" / name / "job.yaml").read_text("utf-8")
    assert yaml.load(text, Loader=yaml.BaseLoader)["job"]["number"] == name
    old = resource("start", "job.yaml").read_text("utf-8").splitlines()
    assert sum(a != b for a, b in zip(old, text.splitlines(), strict=True)) == 1
    assert not start(tmp_path / "office" / "another").new_office


def test_a_name_that_no_record_can_hold_makes_nothing(tmp_path: Path) -> None:
    with pytest.raises(DossierError, match=r"job\.yaml"):
        start(tmp_path / "office" / "a\x07b")
    assert list(tmp_path.iterdir()) == []
