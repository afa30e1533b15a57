"""Documents laid out on earlier runs, so that one of which nothing has changed is not laid out again.

In: finished HTML, pictures, attachments, the moment. Out: the PDF made from just these before, or nothing. Must
not know a document. A PDF depends on nothing else but the program and its libraries, which the key takes in.
"""

import hashlib
import json
from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from datetime import datetime

from dossier.render.content_store import ContentStore
from dossier.render.engine import Asset, Attached, Rendered


@dataclass(frozen=True)
class KeptDocuments:
    """The kept documents of one job. made_with: the program and its libraries, in any words that change with them.

    fresh: take nothing that was kept before.
    """

    store: ContentStore
    made_with: str
    fresh: bool = False

    def take(self, key: str) -> Rendered | None:
        """Return the document kept under this key, None where there is none that is whole."""
        piece = None if self.fresh else self.store.take(key)
        if piece is None:
            return None
        head, _, data = piece.partition(b"\n")
        return Rendered(data, **json.loads(head))

    def keep(self, key: str, made: Rendered) -> None:
        """Keep a document under this key."""
        head = {"page_count": made.page_count, "anchors": dict(made.anchors)}
        self.store.keep(key, json.dumps(head).encode("ascii") + b"\n" + made.data)

    def key(
        self,
        html: str,
        pictures: Mapping[str, Asset],
        attachments: Sequence[Attached],
        made_at: datetime,
    ) -> str:
        """Return a digest of everything that the bytes of a document depend on."""
        made_from = [
            [self.made_with, made_at.isoformat(), _digest(html.encode())],
            # One by one, since each picture is read from the disk as it is asked for.
            [[name, *_picture(pictures[name])] for name in sorted(pictures)],
            [
                [one.name, one.mime, one.relationship, one.description, _digest(one.data)]
                for one in attachments
            ],
        ]
        return _digest(json.dumps(made_from).encode("ascii"))[:32]


def _picture(asset: Asset) -> list[str]:
    return [asset.mime, _digest(asset.data)]


def _digest(data: bytes) -> str:
    return hashlib.sha256(data).hexdigest()
