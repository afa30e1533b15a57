"""A composed document into a PDF: its template filled, laid out, and made to conform.

In: a document of ready-to-print strings, the look, the pictures already reduced, files to attach, the
moment. Out: the PDF. Must not know what the document says.
"""

from collections.abc import Mapping, Sequence
from datetime import datetime
from pathlib import Path
from typing import Protocol

from dossier.compose.shared import Look, PictureWanted
from dossier.errors import PageFault, UnreadableInput
from dossier.render.engine import Asset, Attached, Finisher, Rendered, render
from dossier.render.kept_documents import KeptDocuments
from dossier.render.pages import fill


class Document(Protocol):
    """What every composed document has."""

    @property
    def template(self) -> str:
        """Return the name of its template."""

    @property
    def title(self) -> str:
        """Return its title."""

    @property
    def pictures(self) -> tuple[PictureWanted, ...]:
        """Return the pictures it prints."""


def render_document(
    doc: Document,
    look: Look,
    pictures: Mapping[str, Asset],
    attachments: Sequence[Attached],
    made_at: datetime,
    *,
    finisher: Finisher | None = None,
    overrides: Path | None = None,
    kept: KeptDocuments | None = None,
) -> Rendered:
    """Return the PDF of one composed document.

    pictures: by the name under which the document wants them; one that is missing is a fault. made_at:
    with a time zone. finisher: what makes the file conform. overrides: an office's own templates. kept: where
    a document of just this content may lie from an earlier run. Raises what `fill` and `render` raise.
    """
    html = fill(doc.template, {"doc": doc, "look": look}, overrides=overrides)
    key = kept.key(html, pictures, attachments, made_at) if kept else ""
    if kept is not None and (known := kept.take(key)) is not None:
        return known
    try:
        made = render(
            html, assets=pictures, attachments=attachments, made_at=made_at, finisher=finisher
        )
    except PageFault as fault:
        own = sorted(path.name for path in overrides.iterdir()) if overrides else []
        # With nothing of the office's in it, it is a fault of ours.
        if overrides is None or html == fill(doc.template, {"doc": doc, "look": look}):
            raise
        raise UnreadableInput(
            f"The office's own templates ({', '.join(own)}) give a page that cannot be printed: "
            f"{fault}.",
            "Correct what is named, or take the file out of the office's template folder to use the "
            "shipped one.",
        ) from fault
    if kept is not None:
        kept.keep(key, made)
    return made
