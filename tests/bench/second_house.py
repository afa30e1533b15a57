"""How many values a person types for another house, from the blank and like the first.

`python -m tests.bench.second_house` takes the demo jobs one by one, as though each were the office's next house,
for the table in docs/second-house.md. In: their records. Out: counts. A value is one leaf of `job.yaml`, with
one-line forms taken apart. A product, a unit or a name that stands in a commented line is not typed again; taking
the # away is not counted. What was taken over and is otherwise on that house is typed over, and counted so.
"""

from collections.abc import Iterator, Mapping
from dataclasses import dataclass
from pathlib import Path
from tempfile import TemporaryDirectory

from dossier import RECORD_VERSION
from dossier.deeds.starting import start
from dossier.deeds.taking_over import job_like, unconfirmed
from dossier.reading.nodes import Node, read_tree
from dossier.record.fields import leaves
from dossier.record.job import Job
from dossier.record.read import read_job
from dossier.record.repeats import days_of_work, products, vents, waivers
from dossier.words import Scope
from tests.known_good import DEMO

FIRST = "2026-041-plover-lane"
HOUSES = (FIRST, "2026-047-cinder-street", "2026-052-mill-race-road")


@dataclass(frozen=True)
class Count:
    """What is typed for one house. right, in_comments, elsewhere: parts of what the blank asks for."""

    house: str
    blank: int
    right: int
    wrong: int
    in_comments: int
    elsewhere: int

    @property
    def left(self) -> int:
        """Return how many values are left to type."""
        return self.blank - self.right - self.in_comments - self.elsewhere


def count(house: str) -> Count:
    """Return the count for one house, as though it came after the first."""
    with TemporaryDirectory() as folder:
        office = Path(folder) / "office"
        plain, like = office / "plain", office / "like"
        start(plain)
        start(like, job_like(DEMO / FIRST))
        written = _values(_tree(plain))
        taken = {path: one.value for path, one in unconfirmed(like).values.items()}
    typed = _values(_tree(DEMO / house))
    job = read_job(DEMO / house, RECORD_VERSION).needed
    first = read_job(DEMO / FIRST, RECORD_VERSION).needed
    groups = {path: _under(typed, path) for path in taken}
    right = {
        path for path, said in groups.items() if said and ", ".join(said.values()) == taken[path]
    }
    taken_leaves = sum(len(groups[path]) for path in right)
    known = set(written) - {"job.number"}
    own = {path for path in typed if path not in known and path != "job.number"}
    return Count(
        house=house,
        blank=len(own),
        right=taken_leaves,
        wrong=sum(1 for path, said in groups.items() if said and path not in right),
        in_comments=sum(1 for _ in _in_comments(typed, first)),
        elsewhere=sum(1 for _ in _elsewhere(typed, job)),
    )


def _tree(folder: Path) -> Node:
    tree = read_tree(folder / "job.yaml", "job.yaml").tree
    assert tree is not None
    return tree


def _values(tree: Node) -> dict[str, str]:
    return {".".join(one.path): one.text for one in leaves(tree, "job.yaml")}


def _under(typed: dict[str, str], path: str) -> dict[str, str]:
    return {at: text for at, text in typed.items() if at == path or at.startswith(f"{path}.")}


def _in_comments(typed: dict[str, str], first: Job) -> Iterator[str]:
    """Yield each value that stands in a commented line of the new record."""
    bought: dict[str | None, Mapping[str, str]] = {
        one.fields["product"]: one.fields for one in products(first)
    }
    low, high = vents(first)
    blown = {one.fields["product"] for one in (*low, *high)}
    days = {frozenset(phase.value for phase in phases) for phases, _ in days_of_work(first)}
    given: dict[str | None, str] = {one["given_by"]: one["kind"] for one in waivers(first)}
    for path, text in typed.items():
        around, _, name = path.rpartition(".")
        product, giver = typed.get(f"{around}.product"), typed.get(f"{around}.given_by")
        stands = {
            "deliveries": name in ("product", "unit") and bought.get(product, {}).get(name) == text,
            "work": ".phases." in path
            and frozenset(_under(typed, around).values()) - {"deck repair"} in days,
            "building": name == "product" and text in blown,
            "money": name in ("given_by", "kind")
            and given.get(giver) == typed.get(f"{around}.kind"),
        }
        if stands.get(path.partition(".")[0]):
            yield path


def _elsewhere(typed: dict[str, str], job: Job) -> Iterator[str]:
    """Yield each value that another field says too."""
    if job.job.scope is Scope.FULL_TEAR_OFF and job.job.layers_found == job.job.layers_removed:
        yield from _under(typed, "job.layers_removed")
    money = job.money
    for number, repair in enumerate(job.repairs):
        if repair.price is not None and money and money.sheet_price and repair.sheets:
            yield f"repairs.{number}.price"
    if money and len(money.change_orders) == 1 and job.repairs and money.change_orders[0].approved:
        yield from _under(typed, "money.change_orders.0.approved")
    for number, slope in enumerate(job.slopes):
        if slope.plan is not None and slope.eave_ft == slope.plan.along_eave_ft:
            yield from _under(typed, f"slopes.{number}.eave_ft")


def rows() -> list[str]:
    """Return the rows of the table in docs/second-house.md."""
    return [
        f"| {one.house} | {one.blank} | {one.right} | {one.wrong} | {one.in_comments} | {one.elsewhere} | "
        f"**{one.left}** |"
        for one in map(count, HOUSES)
    ]


if __name__ == "__main__":
    print("\n".join(rows()))
