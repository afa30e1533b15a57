"""Facts that somebody agreed to into changes of the record, new entries counted on from what is there.

In: what the record says, facts. Out: `Change`s. Must not write. Each finder counts the entries it adds to a list
from those the record has; where several papers add to one list, or some of a paper's facts are left out, they
are counted anew here, and what belongs to one new entry becomes one change.
"""

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass, field

from dossier.errors import WrongCommand
from dossier.gather.found import Found
from dossier.hand.means import Change, counted
from dossier.reading.typed import Value


@dataclass
class _New:
    """A new entry being put together: a value, or fields and entries by name or number."""

    value: Value | None = None
    parts: dict[str, "_New"] = field(default_factory=dict)

    def put(self, path: Sequence[str], value: Value, where: str) -> None:
        if not path:
            if self.value is not None and self.value != value:
                raise _two(where)
            self.value = value
        else:
            self.parts.setdefault(path[0], _New()).put(path[1:], value, where)

    @property
    def whole(self) -> Value:
        if not self.parts:
            assert self.value is not None
            return self.value
        if all(name.isdigit() for name in self.parts):
            return [self.parts[name].whole for name in sorted(self.parts, key=int)]
        return {name: part.whole for name, part in self.parts.items()}


def together(record: Value, facts: Iterable[Found]) -> tuple[Change, ...]:
    """Return what agreeing to all of these facts changes.

    record: what the file says, in plain values. Raises WrongCommand where two facts set one value differently.
    """
    new: dict[tuple[str, tuple[str, ...]], _New] = {}
    plain: dict[tuple[str, ...], Value | None] = {}
    for fact in facts:
        for change in fact.changes:
            where = ".".join(change.path)
            at = _new_at(record, change.path)
            if at is None or change.value is None:
                if plain.setdefault(change.path, change.value) != change.value:
                    raise _two(where)
                continue
            entry = new.setdefault((fact.file, change.path[: at + 1]), _New())
            entry.put(change.path[at + 1 :], change.value, where)
    changes = [Change(path, value) for path, value in plain.items()]
    added: dict[tuple[str, ...], int] = {}
    for (_, path), entry in new.items():
        home = path[:-1]
        number = added.setdefault(home, _count(record, home))
        added[home] += 1
        changes.append(Change((*home, str(number)), entry.whole))
    return tuple(changes)


def _new_at(record: Value, path: Sequence[str]) -> int | None:
    """Return which part of a path is the number of an entry that is not there yet; None where each is."""
    value: Value | None = record
    for at, name in enumerate(path):
        if name.isdigit():
            rows = list(value) if isinstance(value, Sequence) and not isinstance(value, str) else []
            places = counted(rows)
            if int(name) >= len(places):
                return at
            value = rows[places[int(name)]]
        else:
            value = value.get(name) if isinstance(value, Mapping) else None
    return None


def _count(record: Value, home: Sequence[str]) -> int:
    value: Value | None = record
    for name in home:
        if isinstance(value, Mapping):
            value = value.get(name)
        elif isinstance(value, Sequence) and not isinstance(value, str) and name.isdigit():
            value = value[counted(value)[int(name)]]
        else:
            return 0
    rows = list(value) if isinstance(value, Sequence) and not isinstance(value, str) else []
    return len(counted(rows))


def _two(where: str) -> WrongCommand:
    return WrongCommand(
        f"Two of these facts say different things about {where}.", "Agree to one of them."
    )
