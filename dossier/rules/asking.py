"""The finding that a fact is not on record, which names the field where it belongs.

In: a case, the blank places, what is needed in words. Out: a `Fault`. Must not know a rule.
"""

from collections.abc import Iterable, Mapping

from dossier.case.case import Case
from dossier.case.spots import spot
from dossier.punchlist import Holds, Party, Verdict, Weight, Where
from dossier.rules.declare import Fault
from dossier.said import Listed, Value, say


def not_on_record(
    case: Case,
    needs: Mapping[str, Value],
    values: Mapping[str, Value] | None = None,
    holds: Iterable[Holds] | None = None,
    owed_by: Party | None = None,
    lighter: Weight | None = None,
) -> Fault:
    """Return the finding that these facts are blank. needs: place in the record → the fact in words."""
    lacks = tuple(needs)
    return Fault(
        _where(case, lacks[0]),
        values or {},
        verdict=Verdict.CANNOT_TELL,
        needs=Listed(tuple(needs.values())),
        holds=None if holds is None else frozenset(holds),
        owed_by=owed_by,
        remedy=say(
            "Ask whoever knows it, or read it off a photo or a label, and write it under {lacks}; nobody goes "
            "onto the roof for it.",
            lacks=Listed(tuple(spot(case.job, path) for path in lacks)),
        ),
        lacks=lacks,
        lighter=lighter,
    )


def untold(
    case: Case,
    lacks: str | tuple[str, ...],
    needs: Value = "",
    values: Mapping[str, Value] | None = None,
    holds: Iterable[Holds] | None = None,
) -> Fault:
    """Return the finding that a rule cannot be told for want of what these places lack; it stands at the first."""
    paths = (lacks,) if isinstance(lacks, str) else lacks
    return Fault(
        case.where(paths[0]),
        values or {},
        verdict=Verdict.CANNOT_TELL,
        needs=needs,
        holds=None if holds is None else frozenset(holds),
        lacks=paths,
    )


def _where(case: Case, path: str) -> Where:
    head, _, rest = path.partition(".")
    return case.locality_lines.where(rest) if head == "locality" else case.where(path)
