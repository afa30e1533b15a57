"""What the PDFs of a heap are by the titles they print.

In: a heap, an `Opener`. Out: titles by the names of the files. Must not propose where a file goes.
"""

from collections.abc import Mapping

from dossier.evidence.text import read_texts
from dossier.gather.heap import Heap, Opener
from dossier.gather.titles import Title, title_of
from dossier.gather.zips import NotReadable

_MOST_BYTES, _AT_ONCE = 20_000_000, 8
"""Bytes of a paper whose title is looked for, and how many are read in one go."""


def titles_in(heap: Heap, opened: Opener) -> Mapping[str, Title]:
    """Return the title of each PDF that prints one; a file that cannot be read has none."""
    pdfs = [
        seen.file
        for seen in heap.files
        if seen.fact.kind == "pdf" and (seen.fact.size_bytes or 0) <= _MOST_BYTES
    ]
    found: dict[str, Title] = {}
    for at in range(0, len(pdfs), _AT_ONCE):
        read: list[tuple[str, bytes]] = []
        for file in pdfs[at : at + _AT_ONCE]:
            try:
                read.append((file.name, opened.read(file)))
            except NotReadable:
                continue
        texts = read_texts([data for _, data in read])
        for (name, _), text in zip(read, texts, strict=True):
            title = title_of(text)
            if title is not None:
                found[name] = title
    return found
