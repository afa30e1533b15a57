"""The photo and paper files of a job folder into `Facts`: measurements, and never judgements.

In: the job folder and the paths its record lists. Out: `Facts`, one `PhotoFact` or `PaperFact` a
file. Must not know what the record claims, nor load the library that lays out documents, which
changes how a broken photo is read. Begin at `measuring.py`; `files.py` is how bytes are reached,
`pictures.py` and `pdfs.py` what is read. `legible.py` and `times.py` say what a photo's numbers
amount to, still without knowing what it is filed under.
"""

from dossier.evidence.facts import Facts, PaperFact, PhotoFact
from dossier.evidence.files import list_files
from dossier.evidence.legible import shows_nothing
from dossier.evidence.measuring import PAPER_LIMIT_BYTES, PHOTO_LIMIT_BYTES, measure
from dossier.evidence.times import taken_at_utc

__all__ = [
    "PAPER_LIMIT_BYTES",
    "PHOTO_LIMIT_BYTES",
    "Facts",
    "PaperFact",
    "PhotoFact",
    "list_files",
    "measure",
    "shows_nothing",
    "taken_at_utc",
]
