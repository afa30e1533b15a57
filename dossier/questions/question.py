"""One question: the fact it asks for, how it is answered, who knows it, and what it settles.

In: nothing; made by `ask.py`. Out: `Question`, frozen. Must not know how it is shown nor how it is asked.
"""

from collections.abc import Iterable
from dataclasses import dataclass, replace
from datetime import date

from dossier.punchlist import Holds, Item, Party, Sends, Weight
from dossier.said import Slopes

ONE_LINE = "one line"
"""The kind of a group that is written on one line; any other is a kind of value as `docs/record.md` lists them."""


@dataclass(frozen=True)
class Part:
    """One field of a group that is written on one line, as a form would ask for it. choices: as of a question.

    field: as it is typed and answered; name: as it is called.
    """

    field: str
    name: str
    meaning: str
    kind: str
    choices: tuple[str, ...]
    unit: str
    example: str
    needed: bool

    @property
    def is_day(self) -> bool:
        """Return whether it is a day."""
        return self.kind == "a date"


@dataclass(frozen=True)
class Question:
    """One fact that is asked for.

    fields: places in the record, by their paths; several where the same fact of several slopes is wanted. field:
    what it is called. around: what the place belongs to, such as a ticket and a product. choices: the words of
    which one is wanted, or several where `several`. parts: the fields of a group on one line; leads: the words of
    which one begins such a line. takes_more: whether each line of an answer is an entry of a list. says_now: what
    stands there and does not settle it, such as “n/a” with a reason; reason_at: where such a reason stands, for
    the place itself or a group around it. items: what on the punch list it settles, soonest loss first.
    """

    file: str
    fields: tuple[str, ...]
    field: str
    meaning: str
    kind: str
    known_by: Party
    items: tuple[Item, ...]
    around: tuple[str, ...] = ()
    slopes: tuple[str, ...] = ()
    choices: tuple[str, ...] = ()
    parts: tuple[Part, ...] = ()
    leads: tuple[str, ...] = ()
    several: bool = False
    takes_more: bool = False
    begins_list: bool = False
    """Whether it is of the first entry of a list that has none, so that “n/a” is said of the list."""
    may_not_apply: bool = True
    unit: str = ""
    example: str = ""
    says_now: str = ""
    reason_at: str = ""

    @property
    def about(self) -> str:
        """Return what the fact is of: the slopes, or the ticket, the repair and so on; blank for the job."""
        return str(Slopes(self.slopes)) if self.slopes else ", ".join(self.around)

    @property
    def name(self) -> str:
        """Return what is asked for, in a few words."""
        return f"{self.about}: {self.field}" if self.about else self.field

    @property
    def path(self) -> str:
        """Return the place by one path, with a * for the number where it stands for several."""
        if len(self.fields) == 1:
            return self.fields[0]
        return ".".join("*" if part.isdigit() else part for part in self.fields[0].split("."))

    @property
    def due(self) -> date | None:
        """Return the last day on which an answer still helps, None where there is none."""
        return min((item.due for item in self.items if item.due), default=None)

    @property
    def weight(self) -> Weight:
        """Return how much hangs on it."""
        return min((item.weight for item in self.items), key=list(Weight).index)

    @property
    def holds(self) -> tuple[Holds, ...]:
        """Return what is held up until it is answered."""
        held = frozenset().union(*(item.holds for item in self.items))
        return tuple(one for one in Holds if one in held)

    @property
    def life_safety(self) -> bool:
        """Return whether people are in danger until it is answered."""
        return any(item.life_safety for item in self.items)

    @property
    def sends(self) -> Sends:
        """Return where somebody might go who has no answer; whoever asks says that nobody goes there for one."""
        return max((item.manner.sends for item in self.items), key=list(Sends).index)

    @property
    def rules(self) -> tuple[str, ...]:
        """Return the ids of the rules that ask, the heaviest first."""
        return tuple(dict.fromkeys(rule for item in self.items for rule in item.rules))

    def each(self) -> tuple["Question", ...]:
        """Return the same question for every slope by itself."""
        pairs = zip(self.fields, self.slopes, strict=True) if len(self.fields) > 1 else ()
        alone = tuple(replace(self, fields=(one,), slopes=(slope,)) for one, slope in pairs)
        return alone or (self,)

    def of(self, fields: Iterable[str]) -> "Question | None":
        """Return the same question for those of its places that are among these; None where none is."""
        wanted = set(fields)
        if set(self.fields) <= wanted:
            return self
        kept = [one for one in self.each() if one.fields[0] in wanted]
        if not kept:
            return None
        places = tuple(one.fields[0] for one in kept)
        return replace(self, fields=places, slopes=tuple(one.slopes[0] for one in kept))
