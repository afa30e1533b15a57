"""A demo job sealed by hand, as close-out seals it: the ground that claims and sales stand on.

In: an office folder with a job. Out: `sealed/0001-closeout/` in it, without the documents, which take long to
print. It writes the bag by the code that adds supplements, so that a chain of them hangs together.
"""

from collections.abc import Sequence
from pathlib import Path

from dossier.archive.bags import Bag
from dossier.archive.supplements import CLOSEOUT, nowhere, write_bag
from dossier.case.as_built import as_built_files
from dossier.case.read import fill_in, read_all
from dossier.evidence import list_files


def seal_by_hand(job: Path) -> Path:
    """Return the job's folder, with its record, photos, papers and as-built sheets sealed."""
    office = job.parent
    photos, papers = list_files(job, "photos"), list_files(job, "papers")
    case, items = fill_in(read_all(job, office), photos, papers)
    assert case is not None, items
    built = as_built_files(case, office)

    def fill(bag: Bag) -> Sequence[tuple[str, str]]:
        for file in ("job.yaml", "photos.yaml", *photos, *papers):
            if (job / file).is_file():
                bag.add_file(file, job / file)
        for name, data in built.items():
            bag.add_bytes(f"as-built/{name}", data)
        return [("Bagging-Date", "2026-10-20"), ("External-Description", "The closing of a job")]

    (job / "sealed").mkdir(exist_ok=True)
    write_bag(job / "sealed", CLOSEOUT, fill, nowhere)
    return job
