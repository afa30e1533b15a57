"""The company's logo, judged as a listed photo is: whether it opens, and if not, why.

In: the office folder and the path typed with the company. Out: a fault as the end of a sentence. Must not
know a document, nor follow a link out of the office folder.
"""

from pathlib import Path

from dossier.evidence.measuring import measure


def logo_fault(office_folder: Path, file: str | None) -> str | None:
    """Return why the logo cannot be printed and what to do, beginning after its name; None if it can.

    file: within the office folder, None where the company has no logo, which is no fault.
    """
    if not file:
        return None
    return measure(office_folder, [file], []).photos[file].fault
