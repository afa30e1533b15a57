"""The bar codes in a job's photos against the catalogues of its office.

In: a job folder, its record, its photos. Out: proposals. Must not write anything.
"""

from collections.abc import Mapping, Sequence
from pathlib import Path

from dossier.gather.found import Found
from dossier.gather.marks import found_in_marks
from dossier.reading.model import Read
from dossier.record.job import Job
from dossier.terms.read import need_office, read_catalogues


def found_by_marks(
    job: Read[Job], folder: Path, files: Sequence[str], named_office: Path | None = None
) -> tuple[Found, ...]:
    """Return what the bar codes in these files of a job seem to say; raises as reading a catalogue does.

    named_office: where it is not the one around the job. Where bar codes cannot be read here, there is nothing;
    `gather.codes.why_not_read` says how to mend that.
    """
    return found_in_marks(job, folder, files, products_by_gtin(need_office(folder, named_office)))


def products_by_gtin(office: Path) -> Mapping[str, Sequence[str]]:
    """Return the names of the products that carry each number, each once; raises UnreadableInput."""
    known: dict[str, list[str]] = {}
    for catalogue in read_catalogues(office):
        for product in catalogue.needed.products:
            for gtin in product.gtins:
                names = known.setdefault(gtin, [])
                if product.product not in names:
                    names.append(product.product)
    return known
