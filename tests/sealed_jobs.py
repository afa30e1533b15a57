"""A demo job sealed by hand, as close-out seals it: the ground that claims and sales stand on.

In: an office folder with a job. Out: `sealed/0001-closeout/` in it. It writes the bag by the same code that
adds supplements, so that a chain of them hangs together.
"""

from pathlib import Path

from dossier.archive.supplements import CLOSEOUT, write_bag
from dossier.as_built import as_built_files
from dossier.pipeline import fill_in, read_all
from dossier.evidence import list_files


def seal_by_hand(job: Path) -> Path:
    """Return the job's folder with its record, photos, papers and as-built sheets sealed."""
    office = job.parent
    case, items = fill_in(
        read_all(job, office), list_files(job, "photos"), list_files(job, "papers")
    )
    assert case is not None, items
    built = as_built_files(case, office)

    def fill(bag):  # type: ignore[no-untyped-def]
        for file in ("job.yaml", "photos.yaml"):
            if (job / file).is_file():
                bag.add_file(file, job / file)
        for folder in ("photos", "papers"):
            for file in list_files(job, folder):
                bag.add_file(file, job / file)
        for name, data in built.items():
            bag.add_bytes(f"as-built/{name}", data)
        return [("Bagging-Date", "2026-10-20"), ("External-Description", "The closing of a job")]

    (job / "sealed").mkdir(exist_ok=True)
    write_bag(job / "sealed", CLOSEOUT, fill, lambda step: None)
    return job
