"""An office of invented jobs over twenty years, the same for the same number on every machine.

In: how many jobs, where. Out: job folders with `job.yaml`, a last punch list, later entries; and the demo's own
sheets. Nobody and nowhere in it is real: streets, names and towns are put together from syllables.
Run by hand: `python -m tests.bench.office FOLDER 2000`.
"""

import json
import random
import shutil
import sys
from collections.abc import Iterator
from dataclasses import dataclass, field
from datetime import date, timedelta
from pathlib import Path

from dossier.punchlist import Weight, Where
from dossier.rules.book import rule_book
from dossier.rules.declare import Fault
from dossier.said import Said
from dossier.values import write_date
from tests.known_good import DEMO

FIRST_YEAR, YEARS = 2007, 20
TODAY = date(2026, 10, 20)
_STREET_FIRST = (
    "Plov",
    "Cind",
    "Mill",
    "Birch",
    "Quarr",
    "Tarn",
    "Hask",
    "Loom",
    "Ferr",
    "Wren",
    "Sked",
    "Holl",
)
_STREET_LAST = (
    "er",
    "wick",
    "ow",
    "by",
    "en",
    "stone",
    "mere",
    "gate",
    "ling",
    "rill",
    "dale",
    "marsh",
    "ford",
)
_KINDS = ("Lane", "Street", "Road", "Row", "Close", "Rise", "Bend", "Walk")
_TOWNS = ("Halvorsted", "Port Ismere", "Kestrel Ford", "Tarnby", "Ormsund", "Velden Bay")
_FIRST = (
    "Marit",
    "Olaf",
    "Tobias",
    "Anneli",
    "Ida",
    "Jens",
    "Piet",
    "Runa",
    "Sunniva",
    "Eskil",
    "Tove",
    "Aksel",
)
_LAST_FIRST = (
    "Ek",
    "Brand",
    "Rask",
    "Lind",
    "Tor",
    "Aber",
    "Hal",
    "Vik",
    "Sol",
    "Nor",
    "Dal",
    "Fal",
)
_LAST_LAST = ("dahl", "vold", "en", "mark", "vik", "holt", "quist", "stad", "borg", "lund")
_COLOURS = ("Slate Grey", "Lake Blue", "Driftwood", "Fog", "Peat")


@dataclass(frozen=True)
class Made:
    """One invented job. record: its job.yaml. items: of its last punch list. entries: later ones by folder."""

    folder: str
    record: str
    items: list[dict[str, object]]
    entries: dict[str, str] = field(default_factory=dict)
    sealed: bool = False


def jobs(count: int) -> Iterator[Made]:
    """Yield invented jobs, oldest first."""
    chance = random.Random(20_070_101)
    streets = [f"{a}{b}" for a in _STREET_FIRST for b in _STREET_LAST]
    names = [f"{a}{b}" for a in _LAST_FIRST for b in _LAST_LAST]
    for number in range(count):
        day = date(FIRST_YEAR, 3, 1) + timedelta(days=YEARS * 358 * number // count)
        yield _job(number, day, chance, streets, names)


def _job(
    number: int, day: date, chance: random.Random, streets: list[str], names: list[str]
) -> Made:
    street, kind = chance.choice(streets), chance.choice(_KINDS)
    house, town = chance.randrange(1, 400), chance.choice(_TOWNS)
    owner = f"{chance.choice(_FIRST)} {chance.choice(names)}"
    phone = f"555-01{chance.randrange(100):02}"
    job = f"{day.year}-{number:05}"
    shingle, signed = day + timedelta(days=28), day + timedelta(days=34)
    sent = signed + timedelta(days=chance.choice((4, 9, 15, 22, 30, 41, 55, 58, 70)))
    open_job = sent > TODAY or chance.random() < 0.03
    redecked = chance.choices(("no", "part", "whole", ""), (70, 18, 8, 4))[0]
    lot, fields = 1_000 + number // 40, chance.randrange(24, 60)
    unsigned = chance.random() < 0.01
    lines = [
        "record: 1",
        "job:",
        f"  number: {job}",
        f"  address: {house} {street} {kind}, {town}",
        "  locality: vintermark-2026",
        f"  contract_on: {day}",
        "  scope: full tear-off",
        "  layers_removed: 1",
        "  crew: north",
        f"  completion_signed_on: {'' if unsigned else signed}",
        f"owners: {owner}, {phone}, {owner.split()[1].lower()}{number}@example.com",
        "building:",
        f"  year_built: {chance.randrange(1900, 2005)}",
        "  overhang_in: 12",
        "  flues: 1",
        "slopes:",
        "  - front, faces S, 6:12, plan 40 ft x 14 ft, eave 40 ft, rakes 31.3 ft, ridge 40 ft, pipes 1",
        "  - back, faces N, 6:12, plan 40 ft x 14 ft, eave 40 ft, rakes 31.3 ft, pipes 1",
        f"decks: plywood 1/2 in, rafters 24 in, rating 32/16{f', redecked {redecked}' if redecked else ''}",
        "deliveries:",
        f"  - ticket: {55_000 + number}",
        f"    on: {shingle - timedelta(days=5)}",
        "    lines:",
        f"      - {fields} bundles Fenwright 40, colour {chance.choice(_COLOURS)}, "
        f"lots 00{lot:05} x {fields - 12} on front; 00{lot + 1:05} x 12 on back",
        f"      - 2 bundles Firstrow starter, lot 77-{lot % 1000:03} x 2",
        f"      - 2 bundles Crownline hip and ridge, lot 00{lot % 97:05} x 2",
        "      - 2 rolls Dryfell underlayment, returned 1",
        f"      - 3 rolls Icehold ice barrier{f', lot {lot % 9 + 1}E{lot % 7} x 3' if number % 11 else ''}",
        "      - 10 pieces Eavewright eave edge",
        "      - 8 pieces Eavewright rake edge",
        "      - 10 pieces Highdraft ridge vent",
        "      - 2 boxes Coil nails 1-1/4 in, returned 1",
        "work:",
        f"  - {shingle - timedelta(days=2)}, tear-off + deck + ice barrier, checked by Ida Torvik",
        f"  - {shingle - timedelta(days=1)}, drip edge + underlayment + starter, checked by Ida Torvik",
        f"  - {shingle}, field + hip and ridge + clean-up, checked by Jens Aberg",
        "installation:",
        "  lowest_air_f: 54",
        "  nails_per_shingle: 6",
        "  ice_barrier_courses: 2",
        "  ice_barrier_reach_in: 68",
        "  drip_edge_at: eaves, rakes",
        "  starter_at: eaves, rakes",
        "  flashing: replaced",
        "after_work:",
        f"  flues: Ida Torvik, {shingle}",
        "permit:",
        f"  number: R-{day.year}-{number:05}",
        f"  issued: {day + timedelta(days=10)}",
        "  inspections:",
        f"    - deck and ice barrier, {shingle - timedelta(days=2)}, passed, R. Lindmark",
        f"    - final, {signed}, passed, R. Lindmark",
        f"  closed_on: {signed}",
        "warranties:",
        "  - sheet: kestrelmoor-2026",
        "    level: Full Assembly",
        f"    owner_signed_on: {signed}",
        *(
            []
            if open_job
            else [f"    submitted_on: {sent}", f"    received_on: {sent + timedelta(days=3)}"]
        ),
        *([] if open_job else [f"    accepted_on: {sent + timedelta(days=10)}"]),
        "money:",
        "  contract: 14,860.00",
        f"  invoices: {job}, {signed}, 14,860.00",
        f"  payments: {signed + timedelta(days=7)}, 14,860.00",
    ]
    if number % 13 == 0:
        lines.append(
            f"notes: gate code with the neighbour at {house + 2} {street} {kind}; dog in the yard"
        )
    due = signed + timedelta(days=60)
    items = [_item("DEC-006", slope="back")]
    if open_job:
        wanted = {"level": "Full Assembly", "met_by": "received", "clause": "4.2"}
        items.append(_item("REG-002", due, last_day=write_date(due), **wanted))
        items.append(_item("PHO-001", phase="ice barrier", slope="back"))
    elif number % 5 == 0:
        items.append(_item("REG-013", accepted=write_date(sent + timedelta(days=10))))
    return Made(
        folder=f"{day.year}/{job}-{street.lower()}-{kind.lower()}",
        record="\n".join(lines) + "\n",
        items=items,
        entries=_entries(job, number, signed, owner, chance, names),
        sealed=not open_job,
    )


def _item(rule_id: str, due: date | None = None, **values: str) -> dict[str, object]:
    """Return one item as its own rule words it. values: what the rule's sentence needs."""
    rule = rule_book().get(rule_id)
    assert rule is not None, rule_id
    return {
        "rule": rule.id,
        "weight": (Weight.HOLDS if rule.holds else rule.lighter).value,
        "verdict": "missing",
        "says": str(Said.of(rule.says, Fault(Where(""), values).filled)),
        "why": rule.why,
        "source": rule.source,
        "owed_by": rule.owed_by.value,
        "remedy": rule.remedy,
        "holds": sorted(held.value for held in rule.holds),
        "due": due.isoformat() if due else None,
        "where": {"file": "job.yaml", "line": 60, "field": "warranties.0"},
    }


def _entries(
    job: str, number: int, signed: date, owner: str, chance: random.Random, names: list[str]
) -> dict[str, str]:
    """Return the later entries of a job: about one house in eight is sold, one in fifty calls about a leak."""
    found: dict[str, str] = {}
    seller = owner
    for sale in range(2 if number % 40 == 7 else 1 if number % 8 == 3 else 0):
        day = signed + timedelta(days=900 + 1_300 * sale)
        if day > TODAY:
            break
        buyer = f"{chance.choice(_FIRST)} {chance.choice(names)}"
        found[f"{len(found) + 2:04}-{day}-sold"] = (
            f"entry: 1\njob: {job}\nkind: sold\non: {day}\nnoted_by: Ida Torvik\nnoted_on: {day}\n"
            f"sale:\n  closing_on: {day}\n  seller: {seller}\n  buyer:\n    name: {buyer}\n"
            f"    phone: 555-01{chance.randrange(100):02}\n  notice_sent_on: {day + timedelta(days=20)}\n"
            f"  notice_received_on: {day + timedelta(days=24)}\n"
        )
        seller = buyer
    if number % 50 == 17:
        day = signed + timedelta(days=2_500)
        if day <= TODAY:
            found[f"{len(found) + 2:04}-{day}-claim"] = (
                f"entry: 1\njob: {job}\nkind: claim\non: {day}\nnoted_by: Ida Torvik\nnoted_on: {day}\n"
                f"claim:\n  number: C-{number}\n  slope: back\n  room_below: bedroom\n"
                f"  seen: a brown ring on the ceiling\n  seen_on: {day}\n  called_by: {seller}\n"
            )
    return found


def make_office(folder: Path, count: int) -> Path:
    """Return the folder, made an office of so many jobs."""
    folder.mkdir(parents=True, exist_ok=True)
    for name in ("terms", "localities"):
        shutil.copytree(DEMO / name, folder / name)
    for name in ("company.yaml", "logo.png"):
        shutil.copy(DEMO / name, folder / name)
    for made in jobs(count):
        write_job(folder, made)
    return folder


def write_job(office: Path, made: Made) -> Path:
    """Return the job's folder, written."""
    job = office / made.folder
    (job / "out").mkdir(parents=True)
    (job / "job.yaml").write_text(made.record, encoding="utf-8")
    listed = {"format": 1, "job": made.folder, "ready": {}, "items": made.items}
    (job / "out" / "punch-list.json").write_text(json.dumps(listed, indent=2), encoding="utf-8")
    if made.sealed:
        (job / "sealed" / "0001-closeout").mkdir(parents=True)
    for name, text in made.entries.items():
        place = job / "sealed" / name / "data"
        place.mkdir(parents=True)
        (place / "entry.yaml").write_text(text, encoding="utf-8")
    return job


if __name__ == "__main__":
    make_office(Path(sys.argv[1]), int(sys.argv[2]))
