"""One value read off a paper against what the record says: new, known already, or against it.

In: a path of the record, a value, where it stands. Out: `Found`. Must not know kinds of paper.
"""

from collections.abc import Sequence
from datetime import date
from decimal import Decimal

from dossier.evidence.text import TextLine
from dossier.gather.at_hand import ReadPaper
from dossier.gather.found import Found
from dossier.gather.labels import Beside
from dossier.gather.ticket_rows import key_of
from dossier.hand.means import Change
from dossier.said import Money, Said, Value, say

Plain = str | date | Decimal


def settled(
    paper: ReadPaper,
    path: Sequence[str],
    name: str,
    values: Sequence[Beside[date]] | Sequence[Beside[Decimal]] | Sequence[Beside[str]],
    was: Plain | None,
) -> tuple[Found, ...]:
    """Return the first of these values as a fact, in doubt where there are others or the record says another.

    name: of the fact, such as “permit number”. values: read off the paper, likeliest first; none gives nothing.
    was: what the record says.
    """
    if not values:
        return ()
    first = values[0]
    value: Plain = first.value
    # What agrees with the record is likelier than what does not.
    agreeing = [one for one in values if was is not None and _key(one.value) == _key(was)]
    if agreeing:
        first, value = agreeing[0], agreeing[0].value
    what = say("{name}: {value}", name=name, value=_said(value))
    others = [one for one in values if _key(one.value) != _key(value)]
    doubt: Said | None = first.doubt
    if others and not agreeing:
        doubt = say(
            "line {line} says {other}", line=others[0].line.line, other=_said(others[0].value)
        )
    if was is not None and not agreeing:
        doubt = say("the record has {was}", was=_said(was))
    known = bool(agreeing)
    changes = () if known else (Change(tuple(path), written(value)),)
    return (fact(paper, first.line, what, changes, None if known else doubt, known=known),)


def fact(
    paper: ReadPaper,
    line: TextLine,
    what: Said,
    changes: tuple[Change, ...],
    doubt: Said | None = None,
    *,
    known: bool = False,
) -> Found:
    """Return a fact beside its line."""
    return Found(paper.file, line.page, line.line, line.text, what, changes, doubt, known)


def written(value: Plain) -> str:
    """Return a value as it is typed in the record."""
    if isinstance(value, date):
        return value.isoformat()
    return f"{value:,.2f}" if isinstance(value, Decimal) else value


def _said(value: Plain) -> Value:
    return Money(value) if isinstance(value, Decimal) else value


def _key(value: Plain) -> Plain:
    return key_of(value) if isinstance(value, str) else value
