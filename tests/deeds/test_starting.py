"""A new job folder says its own number, whatever its name looks like in YAML."""

from pathlib import Path

import pytest
import yaml

from dossier import RECORD_VERSION
from dossier.deeds.by_hand import change, shown
from dossier.deeds.starting import start
from dossier.errors import DossierError
from dossier.hand.means import Change
from dossier.record.read import read_job
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


@pytest.mark.parametrize("inside", ["2026-061/2026-062", "2026-061/sealed/0002-x"])
def test_no_job_is_made_inside_another(tmp_path: Path, inside: str) -> None:
    start(tmp_path / "office" / "2026-061")
    with pytest.raises(DossierError, match="lies in the job folder"):
        start(tmp_path / "office" / inside)
    assert not (tmp_path / "office" / inside).exists()


def test_a_blank_record_is_filled_in_value_by_value_with_its_comments_kept(tmp_path: Path) -> None:
    job = tmp_path / "office" / "2026-061"
    start(job)
    before = (job / "job.yaml").read_text().splitlines()
    for path, value in (
        ("job.address", "7 Birch Road: rear"),
        ("job.locality", "vintermark-2026"),
        ("job.layers_found", "1"),
        ("owners.0", "Marit Ekdahl, 555-0141"),
        ("owners.0.email", "m@example.com"),
        ("building.attics.0.floor_area_sqft", "988"),
        ("slopes.0", "front, 6:12, area 700 sq ft"),
        ("slopes.1", "back, 6:12, area 700 sq ft"),
        ("repairs", "n/a, none were needed"),
        ("deliveries.0.lines", ["2 sheets OSB panel 7/16 in"]),
        ("permit.number", "R-2026-1187"),
    ):
        change(
            job, "job.yaml", shown(job, "job.yaml").digest, [Change(tuple(path.split(".")), value)]
        )
    read = read_job(job, RECORD_VERSION).needed
    assert (read.job.address, read.owners[0].email) == ("7 Birch Road: rear", "m@example.com")
    assert [slope.label for slope in read.slopes] == ["front", "back"]
    assert read.building is not None
    assert read.building.attics[0].floor_area_sqft == 988
    after = iter((job / "job.yaml").read_text().splitlines())
    comments = [line[line.index("#") :] for line in before if "#" in line]
    assert all(any(line.endswith(comment) for line in after) for comment in comments)


def test_a_name_that_no_record_can_hold_makes_nothing(tmp_path: Path) -> None:
    with pytest.raises(DossierError, match=r"job\.yaml"):
        start(tmp_path / "office" / "a\x07b")
    assert list(tmp_path.iterdir()) == []
