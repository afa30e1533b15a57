"""Shapes into bodies: a house of one form, wings, garages, porches and dormers as planes over rectangles.

In: shapes as somebody told them. Out: bodies, and what was not said and taken to be so. Must not know of
materials, code or the record, nor how planes meet. Eave edges of a house and of wings that run into its roof lie
at one height. A shape that is not determined by what was said is refused in a sentence.
"""

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import replace
from fractions import Fraction
from typing import cast

from dossier.said import Count, Feet, Listed, Said, say
from dossier.trade.flat_pieces import Box, Half, within
from dossier.trade.roof_bodies import Body, Plane, Side
from dossier.trade.shape_sense import refuse_another_way, sensible
from dossier.trade.shapes import OPPOSITE, SIDES, NotDetermined, Shape


class Bodies:
    """Makes bodies of shapes, and keeps what it took to be so."""

    def __init__(self, shapes: Sequence[Shape]) -> None:
        """Make the bodies of a house and what stands on and against it; raises NotDetermined."""
        self.bodies: list[Body] = []
        self.taken: list[Said] = []
        self.hosts: dict[int, Plane] = {}
        """The plane on which each dormer stands, by the number of its body."""
        self._counts: dict[str, int] = {}
        self._places: list[tuple[Side, Fraction, Fraction, str]] = []
        shapes = [sensible(shape) for shape in shapes]
        houses = [shape for shape in shapes if shape.part == "house"]
        if len(houses) != 1:
            raise NotDetermined(
                say(
                    "{count} named, and one is needed.",
                    count=Count(len(houses), "house is", "houses are"),
                ),
                say(
                    "Say the house, such as hip 40x28, and of all else what it is: wing, garage, porch, dormer."
                ),
            )
        [self._house_shape] = houses
        self._house()
        for shape in shapes:
            if shape.part not in ("house", "dormer"):
                self._attached(shape)
        self._dormers([shape for shape in shapes if shape.part == "dormer"])
        labels = [plane.label for body in self.bodies for plane in body.planes]
        twice = sorted({label for label in labels if labels.count(label) > 1})
        if twice:
            raise NotDetermined(
                say("Two slopes would be called {slopes}.", slopes=Listed(tuple(twice))),
                say("Give one of the shapes a name: called NAME."),
            )

    # --- the house -----------------------------------------------------------------------------------

    def _house(self) -> None:
        shape = self._house_shape
        if shape.form is None:
            raise NotDetermined(
                say("It is not said which roof the house has."),
                say("Say gable, hip, shed or gambrel, then its size."),
            )
        falling = self._falling(shape)
        rakes = set(SIDES) - set(falling)
        if shape.eave_overhang_ft is None or (rakes and shape.rake_overhang_ft is None):
            raise NotDetermined(
                say("The overhang of the house is not said, at its eaves and at its rakes."),
                say(
                    "Add, for example: overhang 16 in; or eave overhang 16 in, rake overhang 8 in."
                ),
            )
        none = Fraction(0)
        walls = Box(none, none, shape.along_ft, shape.out_ft)
        over = _widened(walls, {side: self._overhang(shape, side in falling) for side in SIDES})
        self.bodies.append(Body(walls, over, tuple(self._planes(shape, over, falling, shape.name))))

    def _falling(self, shape: Shape) -> tuple[Side, ...]:
        """Return the sides to which a house's slopes fall."""
        if shape.form == "hip":
            return SIDES
        if shape.form == "shed":
            if shape.falls_to is None:
                raise NotDetermined(
                    say("It is not said to which side the shed roof falls."),
                    say("Add, for example: falls to front."),
                )
            return (shape.falls_to,)
        return ("left", "right") if shape.ridge_across is False else ("front", "back")

    def _planes(
        self, shape: Shape, over: Box, falling: Sequence[Side], name: str
    ) -> Iterator[Plane]:
        odd = sorted(set(shape.pitches) - set(falling))
        if odd:
            raise NotDetermined(
                say("A pitch is said for {sides}, where no slope falls.", sides=Listed(tuple(odd))),
                say("Say the pitch of sides that have a slope."),
            )
        for side in falling:
            rise = shape.pitches.get(side, shape.pitch_in_12)
            label = f"{name}-{side}" if name else side
            if len(falling) == 1 and name:
                label = name
            edge = _coordinate(over, side)
            if shape.form != "gambrel":
                yield _plane(label, side, rise, edge, Fraction(0))
                continue
            upper, width = shape.upper_in_12, shape.break_ft
            if upper is None or width is None:
                raise NotDetermined(
                    say("Of a gambrel the upper pitch and the place of the break are needed."),
                    say("Say, for example: gambrel 40x28 20/12, upper 8/12, break 5 ft in."),
                )
            if not upper < rise:
                raise NotDetermined(
                    say("The upper slope of a gambrel is the flatter one."),
                    say("Say the lower pitch first, then upper and the upper pitch."),
                )
            run = width + self._overhang(shape, eave=True)
            yield _plane(f"{label}-lower", side, rise, edge, Fraction(0))
            at_break = rise / 12 * run
            yield _plane(f"{label}-upper", side, upper, edge, at_break - upper / 12 * run)

    def _overhang(self, shape: Shape, eave: bool) -> Fraction:
        """Return the overhang at eaves or at rakes: its own, else that of the house."""
        named = "eave" if eave else "rake"
        for one in (shape, self._house_shape):
            told = one.eave_overhang_ft if eave else one.rake_overhang_ft
            if told is not None:
                return told
        raise NotDetermined(
            say("The overhang of the {part} is not said.", part=shape.part),
            say("Add, for example: {named} overhang 8 in.", named=named),
        )

    # --- what stands against the house ---------------------------------------------------------------

    def _attached(self, shape: Shape) -> None:
        house, side = self.bodies[0], self._side(shape)
        name = self._name(shape)
        if shape.part == "porch":
            shape = replace(shape, form=shape.form or "shed", joint=shape.joint or "wall")
        if shape.part == "wing":
            shape = replace(shape, joint=shape.joint or "valley")
        if shape.form is None:
            raise NotDetermined(
                say("It is not said which roof the {part} has.", part=shape.part),
                say("Say, for example: gable {part}, hip {part} or shed {part}.", part=shape.part),
            )
        if shape.joint is None:
            raise NotDetermined(
                say("It is not said how the roof of the {part} meets the house.", part=shape.part),
                say(
                    "Add wall where it ends at a wall of the house, or valley where it runs into its roof."
                ),
            )
        if shape.form == "gambrel":
            raise NotDetermined(
                say("A gambrel beside a house is not determined by these values."),
                say("Measure its slopes."),
            )
        refuse_another_way(shape, side)
        start = self._start(shape, side, house.walls)
        end = start + shape.along_ft
        self._refuse_shared_place(side, start, end, name)
        walls = _placed(house.walls, side, start, end, Fraction(0), -shape.out_ft)
        sides = _lateral(side)
        falling: tuple[Side, ...] = {
            "gable": sides,
            "hip": (*sides, side),
            "shed": (side,),
        }[shape.form]
        over = _widened(
            walls,
            {
                one: self._overhang(shape, one in falling) if one != OPPOSITE[side] else Fraction(0)
                for one in SIDES
            },
        )
        if shape.joint == "wall":
            planes = tuple(self._planes(shape, over, falling, name))
            stretch = _span(house.walls, side)
            self.bodies.append(Body(walls, over, planes, at_wall=(OPPOSITE[side], stretch)))
            self.taken.append(
                say(
                    "The roof of {name} stays below the eaves of the house on that side.", name=name
                )
            )
            return
        self.bodies.append(self._run_in(shape, side, walls, over, (falling, name)))

    def _run_in(
        self,
        shape: Shape,
        side: Side,
        walls: Box,
        over: Box,
        planes: tuple[tuple[Side, ...], str],
    ) -> Body:
        """Return a body that runs into the house's roof in valleys."""
        house = self.bodies[0]
        falling, name = planes
        if shape.form == "shed":
            raise NotDetermined(
                say("A shed roof meets no roof in valleys."),
                say("Say that {name} ends at a wall, or measure it.", name=name),
            )
        if not any(plane.side == side for plane in house.planes):
            raise NotDetermined(
                say(
                    "On the {side} the house has a gable wall and no slope to run into.", side=side
                ),
                say("Say that {name} ends at a wall, or name another side.", name=name),
            )
        far = _furthest(house, side)
        over = _stretched(over, side, far)
        made = tuple(self._planes(shape, over, falling, name))
        others = frozenset(
            number for number, body in enumerate(self.bodies) if not number or body.lies_in
        )
        body = Body(
            walls,
            over,
            made,
            lies_in=others,
            open_at=OPPOSITE[side],
            nowhere=_beside(house.over, side),
        )
        tall, house_tall = _top(body), _top(house)
        if tall > house_tall:
            raise NotDetermined(
                say(
                    "The ridge of {name} would stand {by} above that of the house.",
                    name=name,
                    by=Feet(tall - house_tall),
                ),
                say("Say the higher one as the house and the other as its wing."),
            )
        self.taken.append(say("The eaves of {name} lie level with those of the house.", name=name))
        return body

    def _side(self, shape: Shape) -> Side:
        if shape.on not in SIDES:
            raise NotDetermined(
                say(
                    "It is not said on which side of the house the {part} stands.", part=shape.part
                ),
                say("Add on front, on back, on left or on right, as seen from the street."),
            )
        return shape.on

    def _start(self, shape: Shape, side: Side, walls: Box) -> Fraction:
        """Return where it begins along the wall; in the middle where nobody said."""
        first, last = _span(walls, side)
        room = last - first - shape.along_ft
        if room < 0:
            raise NotDetermined(
                say(
                    "The {part} is {wide} wide, and the {side} of the house {room}.",
                    part=shape.part,
                    wide=Feet(shape.along_ft),
                    side=side,
                    room=Feet(last - first),
                ),
                say("Measure what stands past the corner."),
            )
        if shape.from_end_ft is None:
            if room:
                self.taken.append(
                    say(
                        "The {part} stands in the middle of the {side}.", part=shape.part, side=side
                    )
                )
            return first + room / 2
        end, distance = shape.from_end_ft
        low, high = _lateral(side)
        if end not in (low, high):
            raise NotDetermined(
                say("The {side} of the house has no {end} end.", side=side, end=end),
                say("Say from {low} or from {high}.", low=low, high=high),
            )
        if distance > room:
            raise NotDetermined(
                say("The {part} would stand past the corner.", part=shape.part),
                say("Say a distance of at most {room}.", room=Feet(room)),
            )
        return first + (distance if end == low else room - distance)

    def _refuse_shared_place(self, side: Side, start: Fraction, end: Fraction, name: str) -> None:
        for other, first, last, before in self._places:
            if other == side and start < last and first < end:
                raise NotDetermined(
                    say("{name} would stand where {before} stands.", name=name, before=before),
                    say("Say where along the wall each begins, such as from left 4 ft."),
                )
        self._places.append((side, start, end, name))

    def _name(self, shape: Shape) -> str:
        if shape.name:
            return shape.name
        stem = "d" if shape.part == "dormer" else shape.part
        count = self._counts.get(stem, 0) + 1
        self._counts[stem] = count
        return f"{stem}{count}" if stem == "d" or count > 1 else stem

    # --- dormers -------------------------------------------------------------------------------------

    def _dormers(self, shapes: Sequence[Shape]) -> None:
        for label in dict.fromkeys(shape.on for shape in shapes):
            group = [shape for shape in shapes if shape.on == label]
            for number, shape in enumerate(group):
                self._dormer(shape, number, len(group))

    def _host(self, label: str) -> tuple[int, Plane]:
        planes = {
            plane.label: (n, plane) for n, body in enumerate(self.bodies) for plane in body.planes
        }
        if label in planes:
            return planes[label]
        raise NotDetermined(
            say("A dormer needs the slope on which it stands."),
            say(
                "Add on and one of {slopes}.",
                slopes=Listed(tuple(planes), "or"),
            ),
        )

    def _dormer(self, shape: Shape, number: int, count: int) -> None:
        at, main = self._host(shape.on)
        host, side, name = self.bodies[at], main.side, self._name(shape)
        if shape.form not in ("gable", "hip", "shed"):
            raise NotDetermined(
                say("It is not said which roof the dormer has."),
                say("Say gable dormer, hip dormer or shed dormer."),
            )
        refuse_another_way(shape, side)
        if shape.back_ft is None:
            raise NotDetermined(
                say("It is not said where the face of the dormer stands."),
                say("Add how far back from the wall below, level: back 4 ft."),
            )
        first, last = _span(host.walls, side)
        room = (last - first) / count
        start = first + room * number + (room - shape.along_ft) / 2
        if shape.from_end_ft is not None:
            start = self._start(shape, side, host.walls)
        elif not number:
            stand = Count(count, "dormer stands", "dormers stand")
            self.taken.append(
                say(
                    "{stand} evenly along slope {slope}; that moves no length.",
                    stand=stand,
                    slope=shape.on,
                )
            )
        end, deep = start + shape.along_ft, shape.back_ft + shape.out_ft
        walls = _stretched(
            _placed(host.walls, side, start, end, shape.back_ft, deep), side, _furthest(host, side)
        )
        own_eave, own_rake = self._overhang(shape, eave=True), self._overhang(shape, eave=False)
        if shape.eave_overhang_ft is None:
            self.taken.append(say("{name} has the overhang of the house.", name=name))
        low, high = _lateral(side)
        beside = own_rake if shape.form == "shed" else own_eave
        before = own_rake if shape.form == "gable" else own_eave
        over = _widened(walls, {low: beside, high: beside, side: before})
        meets = _placed(host.walls, side, start, end, deep, deep)
        height = main.at(meets.piece[0])
        if shape.form == "shed":
            if not shape.pitch_in_12 < main.rise_in_12:
                raise NotDetermined(
                    say("A shed dormer is flatter than the slope on which it stands."),
                    say("Look at both pitches."),
                )
            planes = [
                _plane(name, side, shape.pitch_in_12, _coordinate(meets, OPPOSITE[side]), height)
            ]
        else:
            falling = (low, high) if shape.form == "gable" else (low, high, side)
            planes = [
                _plane(f"{name}-{one}", one, shape.pitch_in_12, _coordinate(walls, one), height)
                for one in falling
            ]
        self.hosts[len(self.bodies)] = main
        self.bodies.append(Body(walls, over, tuple(planes), sits_on=at, open_at=OPPOSITE[side]))


# --- planes and boxes -----------------------------------------------------------------------------


def _plane(label: str, side: Side, rise: Fraction, at: Fraction, height: Fraction) -> Plane:
    """Return the plane that falls to a side. at: the coordinate at which it has this height."""
    slope, none = rise / 12, Fraction(0)
    if side in ("back", "right"):
        slope = -slope
    across, back = (none, slope) if side in ("front", "back") else (slope, none)
    return Plane(label, side, rise, across, back, height - slope * at)


def _lateral(side: Side) -> tuple[Side, Side]:
    """Return the ends of a wall: the one with the lower coordinate first."""
    return ("left", "right") if side in ("front", "back") else ("front", "back")


def _coordinate(box: Box, side: Side) -> Fraction:
    return cast(Fraction, getattr(box, side))


def _span(box: Box, side: Side) -> tuple[Fraction, Fraction]:
    """Return the coordinates between which a side of a box runs."""
    first, last = _lateral(side)
    return _coordinate(box, first), _coordinate(box, last)


def _widened(box: Box, by_ft: Mapping[Side, Fraction]) -> Box:
    more = {side: by_ft.get(side, Fraction(0)) for side in SIDES}
    return Box(
        box.left - more["left"],
        box.front - more["front"],
        box.right + more["right"],
        box.back + more["back"],
    )


def _stretched(box: Box, side: Side, far: Fraction) -> Box:
    """Return a box that reaches, away from a side, as far as a coordinate."""
    return replace(box, **{OPPOSITE[side]: far})


def _placed(
    house: Box, side: Side, start: Fraction, end: Fraction, near: Fraction, deep: Fraction
) -> Box:
    """Return a box between two places along a wall, and between two distances inward from that wall."""
    wall = _coordinate(house, side)
    inward = 1 if side in ("front", "left") else -1
    low, high = sorted((wall + inward * near, wall + inward * deep))
    if side in ("front", "back"):
        return Box(start, low, end, high)
    return Box(low, start, high, end)


def _furthest(body: Body, side: Side) -> Fraction:
    """Return the coordinate inward to which the planes reach that fall to a side."""
    places = [
        point[1] if side in ("front", "back") else point[0]
        for plane in body.planes
        if plane.side == side
        for point in _own(body, plane)
    ]
    return max(places) if side in ("front", "left") else min(places)


def _own(body: Body, plane: Plane) -> Sequence[tuple[Fraction, Fraction]]:
    lowest = [other.above(plane) for other in body.planes if other is not plane]
    return within(body.over.piece, lowest) or ()


def _top(body: Body) -> Fraction:
    """Return the height of the highest point of a body."""
    return max(plane.at(point) for plane in body.planes for point in _own(body, plane))


def _beside(over: Box, side: Side) -> tuple[tuple[Half, ...], ...]:
    """Return the regions beside a roof, past one of its eaves, in which nothing of a wing lies."""
    named: dict[Side, Half] = dict(
        zip(("left", "right", "front", "back"), over.halves(), strict=True)
    )
    return tuple((named[side], named[end].other()) for end in _lateral(side))
