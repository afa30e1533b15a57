"""The demo's drawn photos show what the demo's records say.

In: `demo_jobs/draw_demo.py`, the photos it drew and the records beside them, read as plain YAML. Must not know how
the program reads a record: the pictures are judged by what is written in it and by what is seen in them.
"""

import importlib.util
import re
import sys
from types import ModuleType
from typing import Any

import pytest
import yaml
from PIL import Image

from tests.conftest import DEMO_JOBS
from tests.known_good import DEMO

COURSE_IN, LAP_IN = 36, 32
"""A roll of ice barrier is 36 in wide; a further course, lapped 4 in, adds 32 in.

Source: common practice, no published source."""


def drawing_program() -> ModuleType:
    spec = importlib.util.spec_from_file_location("draw_demo", DEMO / "draw_demo.py")
    assert spec is not None
    assert spec.loader is not None
    module = importlib.util.module_from_spec(spec)
    # A dataclass looks its own module up by name.
    sys.modules["draw_demo"] = module
    spec.loader.exec_module(module)
    return module


DRAW = drawing_program()
DRAWN = {job.folder: job for job in (DRAW.PLOVER, DRAW.CINDER, DRAW.MILL)}
every_job = pytest.mark.parametrize("name", DEMO_JOBS)


def record(name: str) -> Any:
    return yaml.safe_load((DEMO / name / "job.yaml").read_text())


def slopes(name: str) -> dict[str, dict[str, Any]]:
    """Return eave and, where the record has it, run in feet by slope, from either way of writing."""
    found: dict[str, dict[str, Any]] = {}
    for slope in record(name)["slopes"]:
        if isinstance(slope, dict):
            found[slope["label"]] = {
                "eave": slope["eave_ft"],
                "whole": slope.get("ice_barrier_whole"),
            }
        else:
            eave = re.search(r"eave ([\d.]+) ft", slope)
            assert eave is not None
            found[slope.split(",")[0]] = {"eave": float(eave[1]), "whole": None}
    return found


def decks(name: str) -> list[dict[str, Any]]:
    listed = record(name)["decks"]
    return [deck for deck in listed if isinstance(deck, dict)] if isinstance(listed, list) else []


@every_job
def test_the_drawings_take_their_counts_from_the_record(name: str) -> None:
    drawn, said = DRAWN[name], record(name)
    assert drawn.nails == said["installation"]["nails_per_shingle"]
    assert drawn.ice_courses == said["installation"]["ice_barrier_courses"]
    assert drawn.old_layers == said["job"]["layers_removed"]


@every_job
def test_slopes_are_drawn_as_wide_as_their_eaves(name: str) -> None:
    said = slopes(name)
    assert set(DRAWN[name].slopes) == set(said)
    for label, (view, _) in DRAWN[name].slopes.items():
        assert DRAW.RECTANGLES[view][1] == said[label]["eave"]


@every_job
def test_rot_and_new_sheets_are_drawn_where_the_record_has_them(name: str) -> None:
    redecked = {
        label
        for deck in decks(name)
        if deck.get("redecked") == "whole"
        for label in deck["slopes"].split(", ")
    }
    patched = {
        one["slope"]: one["sheets"]
        for one in record(name)["repairs"]
        if one["slope"] not in redecked
    }
    rotten = {shot.slope for shot in DRAWN[name].shots if shot.scene == "rotten"}
    loose = {shot.slope for shot in DRAWN[name].shots if shot.scene == "loose"}
    assert rotten == set(patched)
    assert loose == redecked
    assert {label: len(DRAW.NEW_SHEETS[label]) for label in patched} == patched


def grey(name: str, file: str) -> Image.Image:
    with Image.open(DEMO / name / "photos" / file) as picture:
        return picture.convert("L").resize(DRAW.PHOTO_PX)


def spots(picture: Image.Image, from_xy: tuple[float, float], to_xy: tuple[float, float]) -> int:
    """Return how many bright spots a straight walk over a picture meets."""
    steps = round(to_xy[0] - from_xy[0])
    seen = []
    for step in range(steps):
        x = from_xy[0] + step
        y = from_xy[1] + (to_xy[1] - from_xy[1]) * step / steps
        seen.append(int(picture.getpixel((round(x), round(y)))))  # type: ignore[arg-type]
    middle = sorted(seen)[steps // 2]
    bright = [value > middle + 24 for value in seen]
    return sum(now and not before for before, now in zip([False, *bright], bright, strict=False))


@every_job
def test_as_many_nails_are_seen_as_the_record_says(name: str) -> None:
    slope = next(shot.slope for shot in DRAWN[name].shots if shot.scene == "nails")
    p = DRAW.Plane(DRAW.CLOSE, 4.6, 4.6 * 0.74)
    # One shingle from its left joint to its right end, just below the white nailing line.
    (x0, y0), (x1, y1) = p.at(0.74, 0.94 + 0.58), p.at(3.93, 0.94 + 0.58)
    seen = spots(grey(name, f"field/{slope}-nails.jpg"), (x0, y0 + 6), (x1, y1 + 6))
    assert seen == record(name)["installation"]["nails_per_shingle"]


@every_job
def test_ice_barrier_is_seen_to_reach_as_far_as_the_record_says(name: str) -> None:
    courses = record(name)["installation"]["ice_barrier_courses"]
    laid_in = COURSE_IN + LAP_IN * (courses - 1)
    assert laid_in == record(name)["installation"].get("ice_barrier_reach_in", laid_in)
    for shot in DRAWN[name].shots:
        if shot.scene != "membrane":
            continue
        p, *_ = DRAW.view(DRAWN[name], shot.slope)
        whole = slopes(name)[shot.slope]["whole"]
        picture = grey(name, shot.file)
        # A walk up the slope, clear of ladder, tape and printed names, until half a foot is light.
        dark_in = light_in = 0
        for inch in range(2, round(p.height_ft * 12) - 1):
            x, y = p.at(p.width_ft * 0.41, inch / 12)
            if int(picture.getpixel((round(x), round(y)))) < 100:  # type: ignore[arg-type]
                dark_in, light_in = inch, 0
            else:
                light_in += 1
            if light_in == 6:
                break
        asked = round(p.height_ft * 12) if whole else laid_in
        assert abs(dark_in - asked) <= 3, (shot.file, dark_in)
