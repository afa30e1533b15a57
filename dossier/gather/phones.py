"""Which phone took each photo of a heap, and when by one clock.

In: a proposal's photos, and what to add to a phone's times where its clock was wrong. Out: `Taken`, one a photo,
and the phones. Must not know the job: what a phone's clock says is never put right unless somebody says so.
"""

import re
from bisect import bisect_left, bisect_right
from collections import Counter, defaultdict
from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from datetime import UTC, date, datetime, timedelta, tzinfo
from itertools import pairwise

from dossier.errors import WrongCommand
from dossier.gather.placing import split_name
from dossier.gather.proposal import Proposed
from dossier.said import Count, File, Listed, Said, say
from dossier.values import clip

_NAME_MOMENT = re.compile(
    r"(?<!\d)(20\d\d)[-_.]?(\d\d)[-_.]?(\d\d)[ _T-]*(\d\d)[-_.]?(\d\d)[-_.]?(\d\d)\d{0,3}(?!\d)"
)
"""A day and a time of day, as phones write them into names: 20260914_101522."""

_NAME_DAY = re.compile(r"(?<!\d)(20\d\d)[-_.]?(\d\d)[-_.]?(\d\d)(?!\d)")
_COPY = re.compile(r"[ _-]*(?:\(\d+\)|copy|edited|~\d+)$", re.I)
_COUNTER = re.compile(r"\D*(\d{3,7})")
_AHEAD = re.compile(r"([+-])\s*(?:(\d{1,2})\s*h)?\s*(?:(\d{1,3})\s*(?:min|m)?)?", re.I)
_MOST_DIGITS = 18
"""Digits of a name that count its photo. Our habit."""

_SCREEN = re.compile(r"screen[ _-]?(?:shot|cap)", re.I)


LEAST_APART = 200
"""Numbers between the counters of two phones. Common practice, no published source: nobody takes so many between
two photos of one job that are sent."""


@dataclass(frozen=True)
class Taken:
    """One photo in time. number: in the proposal. at: by the one clock, None where nothing says.

    by_name: whether its file's name says so and the camera does not. day: where only that is known. order: the
    last number in its name. screen: whether its name says that it is a picture of a screen.
    """

    number: int
    phone: str
    at: datetime | None
    by_name: bool
    day: date | None
    order: int | None
    screen: bool


@dataclass(frozen=True)
class Phone:
    """One phone. known_by: what tells it from others. add: what its times were put right by."""

    name: str
    known_by: Said
    count: int
    add: timedelta


@dataclass(frozen=True)
class Phones:
    """Every phone of a heap, and every photo in time, in the order of the proposal."""

    phones: tuple[Phone, ...]
    taken: tuple[Taken, ...]

    @property
    def clocks(self) -> list[str]:
        """Return what was added to whose times; a phone by what it is known by, since its number may change."""
        return [write_clock(str(one.known_by), one.add) for one in self.phones if one.add]


def phones_of(photos: Sequence[Proposed], add: Mapping[str, timedelta]) -> Phones:
    """Return the phones of these photos.

    add: to a phone's times, by its name, what it is known by, its folder or its model, in lower case; raises
    WrongCommand where that is not one phone.
    """
    keys = _keys(photos)
    names = {key: f"phone {n}" for n, key in enumerate(dict.fromkeys(keys.values()), start=1)}
    firsts = {keys[one.number]: one.name for one in reversed(photos)}
    add = {_named(phone, names, firsts): by for phone, by in add.items()}
    counts = Counter(keys.values())
    phones = tuple(
        Phone(name, _known_by(key), counts[key], add.get(name, timedelta()))
        for key, name in names.items()
    )
    return Phones(phones, tuple(_taken(one, names[keys[one.number]], add) for one in photos))


def _named(phone: str, names: Mapping["_Key", str], firsts: Mapping["_Key", str]) -> str:
    """Return the name of the one phone that is called so; raises WrongCommand where none or several are."""
    # What tells a phone from all others comes first; a folder may be called as another phone is numbered.
    known = [name for key, name in names.items() if phone == str(_known_by(key)).lower()]
    found = known or [
        name
        for key, name in names.items()
        if phone in (name, key[0].lower(), *_folders(firsts[key]))
    ]
    if len(found) == 1:
        return found[0]
    each = [
        say(
            "{name} ({known}, first {file})",
            name=name,
            known=_known_by(key),
            file=File(firsts[key]),
        )
        for key, name in names.items()
    ]
    raise WrongCommand(
        say("{phone} may be {phones}.", phone=clip(phone), phones=Listed(tuple(found), "or"))
        if found
        else say("There is no {phone} among these photos.", phone=clip(phone)),
        say("They are of {phones}.", phones=Listed(tuple(each)))
        if each
        else say("None of them is a photo."),
    )


def _folders(name: str) -> tuple[str, ...]:
    return tuple(" ".join(folder.lower().split()) for folder in split_name(name)[1])


def _taken(one: Proposed, phone: str, add: Mapping[str, timedelta]) -> Taken:
    stem, _ = split_name(one.name)
    at, by_name = one.seen.fact.taken_at_local, False
    if at is None:
        at, by_name = _moment_in(stem), True
    digits = re.findall(r"\d+", _COPY.sub("", stem))
    return Taken(
        one.number,
        phone,
        None if at is None else at + add.get(phone, timedelta()),
        by_name and at is not None,
        _day_in(stem) if at is None else None,
        int(digits[-1][-_MOST_DIGITS:]) if digits else None,
        bool(_SCREEN.search(stem)),
    )


_Key = tuple[str, str, str]


def _keys(photos: Sequence[Proposed]) -> dict[int, _Key]:
    """Return camera, form of the names and source of each photo; what lost its camera goes with its like."""
    keys = {one.number: _key(one) for one in photos}
    cameras: dict[tuple[str, str], set[str]] = defaultdict(set)
    for camera, form, source in keys.values():
        if camera:
            cameras[form, source].add(camera)
    for number, (camera, form, source) in keys.items():
        like = cameras[form, source]
        if not camera and len(like) == 1:
            keys[number] = (next(iter(like)), form, source)
    # One camera may name its files in several ways; what two phones of one model count is told below.
    begun = _counters(photos, keys)
    return {
        number: (camera, begun.get(number, "") if camera else form, source)
        for number, (camera, form, source) in keys.items()
    }


def _counters(photos: Sequence[Proposed], keys: Mapping[int, _Key]) -> dict[int, str]:
    """Return where the counter of its phone begins, for photos of a model of which there are two in one source.

    A phone's counter rises with time. Where low numbers were taken after high ones, far above them, two phones
    counted.
    """
    counted: dict[_Key, list[tuple[int, datetime | None, int]]] = defaultdict(list)
    for one in photos:
        found = _COUNTER.fullmatch(_COPY.sub("", split_name(one.name)[0]))
        if found and keys[one.number][0]:
            at = one.seen.fact.taken_at_local
            counted[keys[one.number]].append((int(found[1]), at, one.number))
    begun: dict[int, str] = {}
    for shots in counted.values():
        shots.sort(key=lambda shot: (shot[0], shot[2]))
        starts = [
            n
            for n, (low, high) in enumerate(pairwise(shots), start=1)
            if high[0] - low[0] >= LEAST_APART
        ]
        series = [shots[a:b] for a, b in pairwise([0, *starts, len(shots)])]
        phones: list[list[tuple[int, datetime | None, int]]] = []
        for part in series:
            if phones and not _rises(phones[-1], part):
                phones.append([*part])
            elif phones:
                phones[-1] += part
            else:
                phones = [[*part]]
        if len(phones) > 1:
            begun.update({shot[2]: str(phone[0][0]) for phone in phones for shot in phone})
    return begun


def _rises(
    low: Sequence[tuple[int, datetime | None, int]],
    high: Sequence[tuple[int, datetime | None, int]],
) -> bool:
    last = max((at for _, at, _ in low if at), default=datetime.min)
    return last <= min((at for _, at, _ in high if at), default=datetime.max)


def _key(one: Proposed) -> _Key:
    stem, _ = split_name(one.name)
    form = re.sub(r"\d+", "#", _COPY.sub("", stem))
    top, slash, _ = one.name.partition("/")
    return one.seen.fact.camera or "", form, top if slash else ""


def _known_by(key: _Key) -> Said:
    camera, form, source = key
    if camera and form:
        return say(
            "{camera}{source}, counting from {form}",
            camera=camera,
            source=f" in {source}" if source else "",
            form=form,
        )
    if camera and source:
        return say("{camera} in {source}", camera=camera, source=source)
    if camera:
        return say("{camera}", camera=camera)
    return say("files called like {form}", form=clip(form, 30))


def _moment_in(stem: str) -> datetime | None:
    for match in _NAME_MOMENT.finditer(stem):
        try:
            return datetime(*(int(part) for part in match.groups()))  # type: ignore[arg-type]
        except ValueError:
            continue
    return None


def _day_in(stem: str) -> date | None:
    for match in _NAME_DAY.finditer(stem):
        try:
            return date(*(int(part) for part in match.groups()))
        except ValueError:
            continue
    return None


def parse_clock(text: str) -> tuple[str, timedelta]:
    """Return a phone and what to add to its times, from a text such as “phone 2: +1h”; raises ValueError."""
    phone, colon, given = text.rpartition(":")
    name = " ".join(phone.lower().split())
    match = _AHEAD.fullmatch(given.strip())
    if not colon or not name or match is None or not (match[2] or match[3]):
        raise ValueError(
            f"found “{clip(text)}”, needed a text such as phone 2: +1h or phone 2: -45min"
        )
    sign = -1 if match[1] == "-" else 1
    return name, sign * timedelta(hours=int(match[2] or 0), minutes=int(match[3] or 0))


def write_clock(phone: str, add: timedelta) -> str:
    """Return a phone and what is added to its times as it is typed."""
    minutes = round(abs(add) / timedelta(minutes=1))
    hours, rest = divmod(minutes, 60)
    parts = [f"{hours}h"] * bool(hours) + [f"{rest}min"] * bool(rest or not hours)
    return f"{phone}: {'-' if add < timedelta() else '+'}{' '.join(parts)}"


# --- a clock that seems wrong -------------------------------------------------------------------

NEAR = timedelta(minutes=6)
"""How near a photo of another phone shows that both were at the same work. Common practice, no published
source."""

LEAST_STRETCHES = 5
"""Stretches that a phone must have before another clock is proposed. Common practice, no published source."""

_SHIFTS = [timedelta(minutes=30 * half) for half in range(-26, 27) if half]
"""Half hours, as zones differ by them (IANA time zone database), up to 13 hours."""


@dataclass(frozen=True)
class ClockDoubt:
    """That a phone's clock seems off against another's. add: to its times, to bring both together."""

    phone: str
    other: str
    add: timedelta
    fitting: int
    of: int
    now: int

    @property
    def says(self) -> Said:
        """Return it as a sentence."""
        return say(
            "The clock of {phone} may be off: with {clock}, {fitting} of its {of} lie beside photos "
            "of {other}; as it stands, {now}. If it is the other that is off, the same the other way round.",
            phone=self.phone,
            clock=write_clock(self.phone, self.add),
            fitting=self.fitting,
            of=Count(self.of, "stretch", "stretches"),
            other=self.other,
            now=self.now,
        )


def zone_doubts(phones: Phones, photos: Sequence[Proposed], zone: tzinfo) -> tuple[Said, ...]:
    """Return what to add to the times of phones that stood in another zone by their cameras' own word."""
    of = {one.number: one.phone for one in phones.taken}
    apart: dict[str, set[timedelta]] = defaultdict(set)
    for one in photos:
        at, offset = one.seen.fact.taken_at_local, one.seen.fact.taken_offset
        if at is not None and offset is not None:
            here = (at - offset).replace(tzinfo=UTC).astimezone(zone).utcoffset()
            apart[of[one.number]].add((here or timedelta()) - offset)
    told = []
    for phone in phones.phones:
        # A phone that crossed a zone between two photos says several; nothing is added to all of them.
        both = apart[phone.name] - {timedelta(), phone.add}
        if len(both) == 1 == len(apart[phone.name]):
            told.append(
                say(
                    "The clock of {phone} stood in another time zone than this job, as its camera says: {clock} "
                    "puts it right.",
                    phone=phone.name,
                    clock=write_clock(phone.name, both.pop()),
                )
            )
    return tuple(told)


def clock_doubts(phones: Phones) -> tuple[ClockDoubt, ...]:
    """Return the phones whose times fit those of the phone with most photos far better when shifted.

    Only where hardly anything fits as it stands and one shift alone makes nearly everything fit: two people may
    have worked at different hours.
    """
    times: dict[str, list[datetime]] = defaultdict(list)
    for one in phones.taken:
        if one.at is not None and not one.screen:
            times[one.phone].append(one.at)
    if len(times) < 2:
        return ()
    main = max(times, key=lambda phone: len(times[phone]))
    found = (_doubt(phone, times[phone], main, times[main]) for phone in times if phone != main)
    return tuple(one for one in found if one is not None)


def _doubt(
    phone: str, own: Sequence[datetime], other: str, others: Sequence[datetime]
) -> ClockDoubt | None:
    starts = _starts(own)
    if len(starts) < LEAST_STRETCHES:
        return None
    ranked = sorted(others)
    fits = {shift: _beside(starts, shift, ranked) for shift in [timedelta(), *_SHIFTS]}
    now = fits.pop(timedelta())
    # The nearest of two equal shifts comes first; another that fits as well leaves it open.
    best = max(fits, key=lambda shift: (fits[shift], -abs(shift)))
    rivals = sum(count == fits[best] for count in fits.values())
    enough = 4 * fits[best] >= 3 * len(starts) and 3 * now <= len(starts)
    if not enough or rivals > 1:
        return None
    return ClockDoubt(phone, other, best, fits[best], len(starts), now)


def _starts(times: Sequence[datetime]) -> list[datetime]:
    """Return the first moment of each stretch: one burst of ten photos speaks once."""
    found: list[datetime] = []
    last: datetime | None = None
    for at in sorted(times):
        if last is None or at - last > NEAR:
            found.append(at)
        last = at
    return found


def _beside(starts: Sequence[datetime], shift: timedelta, others: Sequence[datetime]) -> int:
    """Return how many moments lie near one of the others, which rise, once they are shifted."""
    return sum(
        bisect_right(others, at + shift + NEAR) > bisect_left(others, at + shift - NEAR)
        for at in starts
    )
