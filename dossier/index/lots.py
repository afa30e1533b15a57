"""Every job, slope and quantity that carries a lot, for a maker's recall.

In: an open index, a mark as printed on a wrapper. Out: rows, those with that very mark first. Must not say
more than the records hold: a job without lots on record may carry it too, and such jobs are counted.
"""

import sqlite3
from dataclasses import dataclass

from dossier.index.people import Reach, owners_today

_PRODUCT = (
    *("product", "role", "maker", "colour", "quantity", "returned", "unit", "ticket", "supplier"),
    "delivered_on",
)
"""Behind the first three, the columns are the fields of `LotFound` in their order."""
_COLUMNS = f"""
SELECT lot.job, lot.mark_key, coalesce(product.product_key, ''), lot.mark, lot.quantity, lot.slopes,
       {", ".join(f"coalesce(product.{name}, '')" for name in _PRODUCT)},
       job.number, job.address, job.last_shingle_on, job.folder, job.spare, lot.corrected
FROM lot
LEFT JOIN product ON product.job = lot.job AND product.place = lot.line
JOIN job ON job.id = lot.job
"""
_EXACT = f"{_COLUMNS} WHERE lot.mark_key = ? ORDER BY lot.job DESC, lot.place"
_BEGINNING = f"""{_COLUMNS} WHERE lot.mark_key > ? AND lot.mark_key < ?
ORDER BY lot.mark_key, lot.job DESC, lot.place LIMIT ?"""

MOST_BEGINNING = 100
"""Lots shown whose marks only begin as asked; all that carry the very mark are always shown."""


@dataclass(frozen=True)
class LotFound:
    """One lot on one job. is_exact: False where the mark only begins as asked. Blank: not on record.

    corrected: since when this mark stands, or until when it stood; blank where it was never corrected.
    """

    is_exact: bool
    owners: tuple[Reach, ...]
    mark: str
    quantity: str
    slopes: str
    product: str
    role: str
    maker: str
    colour: str
    delivered: str
    returned: str
    unit: str
    ticket: str
    supplier: str
    delivered_on: str
    number: str
    address: str
    last_shingle_on: str
    folder: str
    spare: str
    corrected: str


@dataclass(frozen=True)
class Untold:
    """The jobs of which the records cannot tell whether they carry a mark. jobs: how many; of: of so many.

    by_role: role → jobs with a product of it whose lots are not all on record, most jobs first; blank where
    no role is known. bare: jobs, among those, with no product on record at all.
    """

    jobs: int
    of: int
    by_role: tuple[tuple[str, int], ...]
    bare: int


@dataclass(frozen=True)
class LotsFound:
    """What is found of a mark. beginning: how many marks only begin so, of which at most 100 are in rows.

    unmarked: product → jobs that have it with no lot on record for some units. untold: where no job has the
    very mark, so that it is not known which product it is of; None else.
    """

    rows: tuple[LotFound, ...]
    beginning: int
    unmarked: tuple[tuple[str, int], ...]
    untold: Untold | None = None

    @property
    def jobs(self) -> int:
        """Return how many jobs carry exactly this mark."""
        return len({row.folder for row in self.rows if row.is_exact})


def mark_key(mark: str) -> str:
    """Return a lot's mark as it is compared: in lower case, without spaces; leading zeros stay."""
    return "".join(mark.casefold().split())


def find_lots(connection: sqlite3.Connection, mark: str, *, beginning: bool = True) -> LotsFound:
    """Return every lot of this mark, then those whose mark begins with it. Raises sqlite3.Error.

    beginning: whether the second are wanted. A mark of nothing but space finds nothing.
    """
    key = mark_key(mark.encode("utf-8", "replace").decode()).replace("\0", "")
    if not key:
        return LotsFound((), 0, ())
    found = connection.execute(_EXACT, (key,)).fetchall()
    begun = 0
    if beginning:
        # The last character there is comes behind every continuation of the mark.
        between = (key, key + "\U0010ffff")
        found += connection.execute(_BEGINNING, (*between, MOST_BEGINNING)).fetchall()
        begun = connection.execute(
            "SELECT count(*) FROM lot WHERE mark_key > ? AND mark_key < ?", between
        ).fetchone()[0]
    owners = owners_today(connection, [row[0] for row in found])
    rows = tuple(LotFound(row[1] == key, owners.get(row[0], ()), *row[3:]) for row in found)
    products = dict.fromkeys((row[2], row[6]) for row in found if row[1] == key and row[2])
    unmarked = []
    for product_key, product in products:
        count = connection.execute(
            "SELECT count(DISTINCT job) FROM product WHERE product_key = ? AND marked IN ('some', 'none')",
            (product_key,),
        ).fetchone()[0]
        if count:
            unmarked.append((product, count))
    return LotsFound(rows, begun, tuple(unmarked), None if products else _untold(connection))


def _untold(connection: sqlite3.Connection) -> Untold:
    """Return the jobs that may carry any mark, since some of their units have no lot on record."""
    marked = "SELECT job FROM product WHERE marked IN ('some', 'none')"
    of, bare, lacking = connection.execute(
        "SELECT count(*), count(*) FILTER (WHERE id NOT IN (SELECT job FROM product)), "
        f"count(*) FILTER (WHERE id IN ({marked})) FROM job"
    ).fetchone()
    by_role = connection.execute(
        "SELECT role, count(DISTINCT job) AS jobs FROM product WHERE marked IN ('some', 'none') "
        "GROUP BY role ORDER BY jobs DESC, role"
    ).fetchall()
    return Untold(bare + lacking, of, tuple((role, jobs) for role, jobs in by_role), bare)
