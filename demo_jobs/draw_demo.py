"""Draw every photo and paper of the demo jobs, the same bytes on every run.

In: nothing but the tables in this file (and, if given, the folder to draw into).
Out: JOB/photos/PHASE/SLOPE-name.jpg, JOB/papers/KIND-name.pdf and logo.png below that folder.
It must not know the program that reads these files, the clock, the network or any font but the one
that Pillow carries. Another Pillow version may give other bytes, but the same pictures.

Every person, maker, product, street and number is made up. The camera positions lie in open water.

    python demo_jobs/draw_demo.py            redraw the demo beside this file
    python demo_jobs/draw_demo.py FOLDER     draw the same files below FOLDER
"""

import hashlib
import io
import math
import sys
import textwrap
from collections.abc import Callable, Iterable, Sequence
from dataclasses import dataclass, field
from fractions import Fraction
from pathlib import Path
from random import Random

from PIL import Image, ImageDraw, ImageEnhance, ImageFilter, ImageFont
from PIL.TiffImagePlugin import IFDRational
from pypdf import PdfReader, PdfWriter
from pypdf.generic import ArrayObject, ByteStringObject

Colour = tuple[int, ...]
Point = tuple[float, float]
Quad = tuple[Point, Point, Point, Point]

PHOTO_PX = (1200, 900)
PHOTO_LIMIT_BYTES = 60_000
# Everything is drawn at twice the size and halved at the end: Pillow's own lines are not smoothed.
OVERSIZE = 2

PLYWOOD, OSB, BOARD = (196, 164, 116), (229, 199, 146), (168, 134, 96)
MEMBRANE, SHEET = (60, 63, 70), (190, 195, 199)
OLD_SHINGLE, OLDER_SHINGLE, MOSS = (124, 112, 100), (86, 98, 88), (104, 122, 70)
METAL, WHITE, INK = (226, 229, 230), (247, 247, 243), (48, 48, 50)
LAWN, CONIFER, TAPE = (128, 146, 98), (62, 88, 78), (238, 200, 62)


def shade(colour: Colour, factor: float) -> Colour:
    """Return the colour made darker (factor below 1) or lighter (above 1)."""
    return tuple(max(0, min(255, round(part * factor))) for part in colour[:3])


def letters(size_px: float) -> ImageFont.FreeTypeFont:
    """Return Pillow's own built-in typeface at this height, so that no machine's fonts matter."""
    font = ImageFont.load_default(size_px)
    if not isinstance(font, ImageFont.FreeTypeFont):
        raise SystemExit("This Pillow was built without FreeType; the demo cannot be drawn.")
    return font


class Canvas:
    """A picture being drawn, in the coordinates of the finished size."""

    def __init__(self, image: Image.Image) -> None:
        self.image = image
        self.pen = ImageDraw.Draw(image, "RGBA")

    def poly(self, points: Iterable[Point], fill: Colour) -> None:
        self.pen.polygon([(x * OVERSIZE, y * OVERSIZE) for x, y in points], fill=fill)

    def box(self, x0: float, y0: float, x1: float, y1: float, fill: Colour) -> None:
        self.poly([(x0, y0), (x1, y0), (x1, y1), (x0, y1)], fill)

    def line(self, points: Iterable[Point], fill: Colour, width: float = 1) -> None:
        scaled = [(x * OVERSIZE, y * OVERSIZE) for x, y in points]
        self.pen.line(scaled, fill=fill, width=max(1, round(width * OVERSIZE)))

    def oval(self, x: float, y: float, rx: float, ry: float, fill: Colour) -> None:
        ends = [(x - rx) * OVERSIZE, (y - ry) * OVERSIZE, (x + rx) * OVERSIZE, (y + ry) * OVERSIZE]
        self.pen.ellipse(ends, fill=fill)

    def text(
        self, x: float, y: float, words: str, size: float, fill: Colour, anchor: str = "mm"
    ) -> None:
        place = (x * OVERSIZE, y * OVERSIZE)
        self.pen.text(place, words, fill=fill, font=letters(size * OVERSIZE), anchor=anchor)


@dataclass(frozen=True)
class Plane:
    """A flat part of the house seen in perspective.

    quad: its corners in the picture, from the lower left, counter-clockwise as seen.
    width_ft, height_ft: its true size; positions on it are (u, v) in feet from the lower left.
    outline: the true outline in feet, for slopes that are no rectangle (hips).
    """

    quad: Quad
    width_ft: float
    height_ft: float
    outline: tuple[Point, ...] = ()

    def at(self, u_ft: float, v_ft: float) -> Point:
        """Return where (u, v) falls in the picture.

        Source: the square-to-quadrilateral projection of P. Heckbert, Fundamentals of Texture
        Mapping and Image Warping, 1989, section 2.2.3.
        """
        (x0, y0), (x1, y1), (x2, y2), (x3, y3) = self.quad
        dx1, dx2, sx = x1 - x2, x3 - x2, x0 - x1 + x2 - x3
        dy1, dy2, sy = y1 - y2, y3 - y2, y0 - y1 + y2 - y3
        base = dx1 * dy2 - dx2 * dy1
        g, h = (sx * dy2 - dx2 * sy) / base, (dx1 * sy - sx * dy1) / base
        s, t = u_ft / self.width_ft, v_ft / self.height_ft
        w = g * s + h * t + 1
        x = ((x1 - x0 + g * x1) * s + (x3 - x0 + h * x3) * t + x0) / w
        y = ((y1 - y0 + g * y1) * s + (y3 - y0 + h * y3) * t + y0) / w
        return x, y

    def patch(self, u0: float, v0: float, u1: float, v1: float) -> list[Point]:
        """Return the picture corners of the rectangle from (u0, v0) to (u1, v1), in feet."""
        return [self.at(u0, v0), self.at(u1, v0), self.at(u1, v1), self.at(u0, v1)]

    def edge(self) -> list[Point]:
        """Return the picture corners of the outline."""
        return [self.at(u, v) for u, v in self.outline] if self.outline else list(self.quad)


# --- What lies on a slope: each function paints one plane, in feet ------------------------------


def shingles(
    c: Canvas,
    p: Plane,
    colour: Colour,
    rng: Random,
    top_ft: float | None = None,
    stop: Callable[[float], float] | None = None,
    exposure_ft: float = 5.625 / 12,
) -> None:
    """Paint courses of laminated shingles up to top_ft, each ending at u = stop(v)."""
    top = p.height_ft if top_ft is None else top_ft
    tones = [shade(colour, factor) for factor in (0.92, 0.98, 1.0, 1.06)]
    widths = (0.45, 0.6, 0.8, 1.1) if p.width_ft < 15 else (1.1, 1.6, 2.2)
    for course in range(math.ceil(top / exposure_ft)):
        v = course * exposure_ft
        above = min(v + exposure_ft, top)
        end = p.width_ft if stop is None else min(p.width_ft, stop(v))
        if end <= 0:
            continue
        c.poly(p.patch(0, v, end, above), colour)
        u = -rng.random()
        while u < end:
            width = rng.choice(widths)
            c.poly(p.patch(max(u, 0), v, min(u + width, end), above), rng.choice(tones))
            u += width
        c.line([p.at(0, v), p.at(end, v)], (*shade(colour, 0.6), 150), 1.2)


def old_shingles(
    c: Canvas,
    p: Plane,
    rng: Random,
    top_ft: float | None = None,
    colour: Colour = OLD_SHINGLE,
) -> None:
    """Paint worn three-tab shingles: curled and missing tabs, streaks, moss from the eave up."""
    top = p.height_ft if top_ft is None else top_ft
    exposure = 5 / 12 if p.width_ft < 15 else 8 / 12
    for course in range(math.ceil(top / exposure)):
        v = course * exposure
        c.poly(p.patch(0, v, p.width_ft, v + exposure), colour)
        u = -0.5 * (course % 2)
        while u < p.width_ft:
            tone = shade(colour, rng.choice((0.93, 0.97, 1.0, 1.04)))
            a, b, d = max(u, 0), min(u + 0.97, p.width_ft), v + exposure
            luck = rng.random()
            if b > a and luck < 0.4:
                c.poly(p.patch(a, v, b, d), (74, 66, 60) if luck < 0.035 else tone)
            if luck > (0.86 if p.width_ft < 15 else 0.91) and b - a > 0.5:
                # A curled tab shows as a pale raised lip over its own shadow.
                mid = p.at((a + b) / 2, v + exposure * 0.38)
                c.poly([p.at(a, v), mid, p.at(b, v)], shade(colour, 1.35))
                c.line([p.at(a, v), p.at(b, v)], (52, 46, 42), 2)
            u += 1
        c.line([p.at(0, v), p.at(p.width_ft, v)], (70, 62, 56, 120), 1.3)
    for _ in range(7):
        u, width = rng.uniform(0, p.width_ft), rng.uniform(0.3, 0.9) * p.width_ft / 40
        bottom = rng.uniform(0, top / 3)
        c.poly(p.patch(u, bottom, u + width, top * rng.uniform(0.7, 1)), (60, 56, 54, 50))
    for _ in range(34):
        u, v = rng.uniform(0, p.width_ft), abs(rng.gauss(0, top / 5))
        x, y = p.at(u, min(v, top - 0.3))
        r = rng.uniform(6, 19)
        c.oval(x, y, r, r * 0.45, shade(MOSS, rng.uniform(0.85, 1.15)))


def panels(
    c: Canvas,
    p: Plane,
    rng: Random,
    colour: Colour = PLYWOOD,
    *,
    left_ft: float = 0,
    rafter_ft: float = 2,
    grain: bool = False,
) -> None:
    """Paint four-by-eight deck panels in staggered courses, with joints and lines of nails.

    left_ft: how far the plane's left edge lies from where the lowest course begins.
    grain: the face of plywood, seen near enough that its long grain shows.
    """
    c.poly(p.patch(0, 0, p.width_ft, p.height_ft), colour)
    for course in range(math.ceil(p.height_ft / 4)):
        v, above = course * 4, min(course * 4 + 4, p.height_ft)
        u = -4 * (course % 2) - left_ft
        while u < p.width_ft:
            a, b = max(u, 0), min(u + 8, p.width_ft)
            if b > a:
                tone = shade(colour, rng.uniform(0.94, 1.05))
                c.poly(p.patch(a, v, b, above), tone)
                for _ in range(26 if grain else 0):
                    w, start = rng.uniform(v, above), rng.uniform(a, b)
                    end = min(b, start + rng.uniform(0.6, 3))
                    c.line([p.at(start, w), p.at(end, w)], shade(tone, rng.choice((0.9, 1.07))))
                c.line([p.at(b, v), p.at(b, above)], (84, 62, 40), 2)
            u += 8
        c.line([p.at(0, v), p.at(p.width_ft, v)], (84, 62, 40), 2)
    step = 1.33 if p.width_ft > 15 else 0.5
    for rafter in range(math.ceil(p.width_ft / rafter_ft) + 1):
        for hit in range(int(p.height_ft / step) + 1):
            x, y = p.at(rafter * rafter_ft + 0.06, hit * step + 0.15)
            c.oval(x, y, 1.6, 1.3, shade(colour, 0.66))


def boards(c: Canvas, p: Plane, rng: Random, *, loose: bool = False) -> None:
    """Paint board decking: seven-inch boards, gaps of 1 in, rafters seen through them, nail pairs.

    loose: the gaps differ, none above 1 in, and the nails stand out of their holes.
    """
    c.poly(p.patch(0, 0, p.width_ft, p.height_ft), (44, 36, 30))
    near = p.width_ft < 15
    rafters = range(1, math.ceil(p.width_ft), 2)
    for rafter in rafters if near else ():
        c.poly(p.patch(rafter - 0.07, 0, rafter + 0.07, p.height_ft), (96, 76, 56))
    v = 0.0
    while v < p.height_ft:
        u = -rng.uniform(0, 8)
        above = min(v + 7 / 12, p.height_ft)
        while u < p.width_ft:
            length = rng.choice((6, 8, 10, 12))
            a, b = max(u, 0), min(u + length - 0.04, p.width_ft)
            if b > a:
                c.poly(p.patch(a, v, b, above), shade(BOARD, rng.uniform(0.84, 1.1)))
                if near:
                    for _ in range(3):
                        w = v + rng.uniform(0.08, 0.5)
                        c.line([p.at(a, w), p.at(b, w)], (110, 84, 58, 90), 1)
            u += length
        # From the ground nobody sees the nails.
        for rafter in rafters if near else ():
            for offset in (0.14, 0.44):
                if loose:
                    loose_nail(c, *p.at(rafter, v + offset), rng)
                else:
                    c.oval(*p.at(rafter, v + offset), 1.6, 1.3, (70, 62, 56))
        v += 7 / 12 + (rng.choice((0.5, 0.75, 1)) if loose else 1) / 12


def loose_nail(c: Canvas, x: float, y: float, rng: Random) -> None:
    """Paint a hole worn wide and, more often than not, the nail that leans in it."""
    c.oval(x, y, 7, 5, (40, 32, 26))
    if rng.random() < 0.7:
        top = (x + rng.uniform(-24, 24), y - rng.uniform(20, 34))
        c.line([(x + 5, y + 5), (top[0] + 16, top[1] + 20)], (30, 24, 20, 130), 4)
        c.line([(x, y), top], (150, 138, 128), 4)
        c.oval(*top, 8, 5, (186, 176, 166))


def membrane(c: Canvas, p: Plane, name: str, top_ft: float) -> None:
    """Paint ice barrier in 36 in courses from the eave up to top_ft, laps 4 in, name printed on."""
    v = 0.0
    while v < top_ft - 0.6:
        above = min(v + 3, top_ft)
        c.poly(p.patch(0, v, p.width_ft, above), shade(MEMBRANE, 1 + 0.14 * (round(v / 2.67) % 2)))
        c.line([p.at(0, v), p.at(p.width_ft, v)], (150, 154, 160), 1.6)
        c.line([p.at(0, above), p.at(p.width_ft, above)], (20, 20, 24), 1.6)
        every = p.width_ft / 5
        for index in range(5):
            x, y = p.at((index + 0.35 + 0.3 * (v > 0)) * every, v + 1.2)
            c.text(x, y, name, 15, (128, 132, 140))
        v += 32 / 12


def sheet(c: Canvas, p: Plane, name: str, from_ft: float = 0.0) -> None:
    """Paint light grey underlayment in 48 in rolls: lap lines, cap fasteners, name printed on."""
    near = p.width_ft < 15
    v = from_ft
    while v < p.height_ft:
        above = min(v + 3.67, p.height_ft)
        c.poly(p.patch(0, v, p.width_ft, above), shade(SHEET, 1 + 0.03 * (round(v / 3.67) % 2)))
        c.line([p.at(0, v), p.at(p.width_ft, v)], (112, 118, 124), 2)
        for index in range(6):
            x, y = p.at((index + 0.25 + 0.5 * (round(v) % 2)) * p.width_ft / 6, v + 2.9)
            c.text(x, y, name, 26 if near else 13, (160, 167, 173))
        for row, step in ((0.22, 1.0), (1.9, 2.0)):
            for index in range(int(p.width_ft / step) + 1):
                if v + row < p.height_ft:
                    r = 6.0 if near else 2.6
                    c.oval(*p.at(index * step + 0.3, v + row), r, r * 0.75, (202, 112, 60))
        v += 3.67


def caps(c: Canvas, p: Plane, colour: Colour, u0: float, u1: float, v0: float, v1: float) -> None:
    """Paint overlapping cap shingles from u0 to u1."""
    u, index = u0, 0
    while u < u1:
        b = min(u + 0.47, u1)
        c.poly(p.patch(u, v0, b, v1), shade(colour, (0.92, 1.04, 0.98)[index % 3]))
        c.line([p.at(u, v0), p.at(u, v1)], shade(colour, 0.5), 1.6)
        u, index = u + 0.47, index + 1


def tape(
    c: Canvas, p: Plane, start: Point, length_ft: float, *, up: bool, width_ft: float, step_in: int
) -> None:
    """Paint a tape measure laid up the slope or along it, numbered every step_in inches."""
    u, v = start

    def spot(along: float, across: float) -> Point:
        return p.at(u + across, v + along) if up else p.at(u + along, v + across)

    half = width_ft / 2
    strip = [spot(0, -half), spot(length_ft, -half), spot(length_ft, half), spot(0, half)]
    c.poly(strip, TAPE)
    tick = 1 if step_in < 12 else 6
    (x0, y0), (x1, y1) = spot(0, -half), spot(0, half)
    (x2, y2), (x3, y3) = spot(0, 0), spot(step_in / 12, 0)
    room = math.hypot(x3 - x2, y3 - y2) * (0.85 if up else 0.6)
    size = max(12.0, min(math.hypot(x1 - x0, y1 - y0) * 0.5, room))
    for inch in range(0, round(length_ft * 12) + 1, tick):
        reach = half * (0.1 if inch % step_in else -0.4)
        c.line([spot(inch / 12, half), spot(inch / 12, reach)], INK, 1.2)
        if inch and inch % step_in == 0:
            c.text(*spot(inch / 12, -half * 0.3), str(inch), size, (150, 34, 30))
    x, y = spot(length_ft, 0)
    r = max(17.0, size * 1.5)
    c.pen.rounded_rectangle(
        [(x - r) * 2, (y - r) * 2, (x + r) * 2, (y + r) * 2], r * 0.6, fill=(58, 62, 66)
    )
    c.oval(x, y, r * 0.6, r * 0.6, TAPE)


def rot(c: Canvas, p: Plane, u: float, v: float, size_ft: float, rng: Random) -> None:
    """Paint a patch of rotten decking: a dark ragged stain around a soft black heart."""
    for grow, tone in ((1.0, (112, 84, 58)), (0.78, (74, 54, 40)), (0.45, (38, 29, 24))):
        ring = []
        for step in range(22):
            reach = size_ft * grow * rng.uniform(0.78, 1.1)
            turn = step * math.tau / 22
            ring.append(p.at(u + reach * math.cos(turn), v + 0.6 * reach * math.sin(turn)))
        c.poly(ring, tone)


# --- Surroundings --------------------------------------------------------------------------------

SKIES = {
    "S": ((142, 184, 218), (226, 236, 240)),
    "N": ((138, 152, 166), (202, 208, 210)),
    "E": ((164, 190, 212), (244, 232, 212)),
    "W": ((150, 172, 200), (240, 222, 204)),
}
ROOF_LIGHT = {"S": 1.06, "N": 0.76, "E": 0.97, "W": 0.9}


def fade(top: Colour, bottom: Colour, size: tuple[int, int]) -> Image.Image:
    """Return a picture that fades from one colour to the other, downwards."""
    mask = Image.linear_gradient("L").resize(size)
    return Image.composite(Image.new("RGB", size, bottom), Image.new("RGB", size, top), mask)


def outdoors(light: str, rng: Random, shore_y: int = 520) -> Canvas:
    """Return a new canvas with sky, far snowy hills, the lake, conifers and a lawn."""
    width, height = PHOTO_PX
    c = Canvas(Image.new("RGB", (width * OVERSIZE, height * OVERSIZE)))
    c.image.paste(fade(*SKIES[light], (width * OVERSIZE, (shore_y + 40) * OVERSIZE)))
    dim = 0.84 if light == "N" else 1.0
    for x, y, reach in ((180, 130, 150), (720, 80, 190), (1050, 190, 130)):
        for shift in (-0.5, 0, 0.45):
            c.oval(x + shift * reach, y + abs(shift) * 26, reach * 0.6, 20, (255, 255, 255, 70))
    hills = [(0, shore_y - 80), (160, shore_y - 128), (330, shore_y - 74), (540, shore_y - 120)]
    hills += [(760, shore_y - 66), (980, shore_y - 140), (1200, shore_y - 82)]
    c.poly([(0, shore_y), *hills, (1200, shore_y)], shade((158, 176, 190), dim))
    for x, y in (hills[1], hills[3], hills[5]):
        peak = [(x - 56, y + 17), (x, y), (x + 58, y + 18), (x + 22, y + 13), (x - 4, y + 24)]
        c.poly(peak, shade((236, 240, 242), dim))
    c.box(0, shore_y - 18, 1200, shore_y + 40, shade((126, 158, 178), dim))
    lawn = fade(
        shade(LAWN, 1.1 * dim), shade(LAWN, 0.84 * dim), (width * 2, (height - shore_y) * 2)
    )
    c.image.paste(lawn, (0, shore_y * 2))
    for x in (24, 104, 1084, 1160, 940):
        tall = rng.randint(150, 250)
        foot = shore_y + rng.randint(10, 40)
        tone = shade(CONIFER, dim * rng.uniform(0.9, 1.15))
        c.box(x - 5, foot - 16, x + 5, foot + 8, (92, 74, 60))
        for tier in range(3):
            y0, half = foot - 10 - tier * tall / 4, 52 - tier * 12
            c.poly(
                [(x - half, y0), (x + half, y0), (x, y0 - tall / 2)], shade(tone, 1 + tier * 0.05)
            )
    return c


def lay(c: Canvas, p: Plane, light: float, paint: Callable[[Canvas], None]) -> None:
    """Paint onto one plane only, in that plane's light."""
    layer = Canvas(c.image.copy())
    paint(layer)
    lit = ImageEnhance.Brightness(layer.image).enhance(light)
    mask = Image.new("L", c.image.size)
    edge = [(x * OVERSIZE, y * OVERSIZE) for x, y in p.edge()]
    ImageDraw.Draw(mask).polygon(edge, fill=255)
    c.image.paste(lit, mask=mask)


def clapboards(c: Canvas, x0: float, y0: float, x1: float, y1: float, colour: Colour) -> None:
    """Draw a wall of clapboards with corner boards."""
    c.box(x0, y0, x1, y1, colour)
    y: float = y0 + 16
    while y < y1:
        c.line([(x0, y), (x1, y)], shade(colour, 0.91), 2)
        y += 24
    for x in (x0, x1 - 12):
        c.box(x, y0, x + 12, y1, WHITE)


def window(c: Canvas, x: float, y: float, width: float, height: float) -> None:
    c.box(x - 8, y - 8, x + width + 8, y + height + 10, WHITE)
    c.box(x, y, x + width, y + height, (96, 118, 134))
    c.poly([(x, y + height), (x + width, y), (x + width, y + height * 0.35)], (150, 172, 184))
    c.line([(x + width / 2, y), (x + width / 2, y + height)], WHITE, 4)
    c.line([(x, y + height / 2), (x + width, y + height / 2)], WHITE, 4)


def ladder(c: Canvas, x: float, foot: float, top: float) -> None:
    lean = 34
    for side in (0, 36):
        c.line([(x + side, foot), (x + side + lean, top)], (206, 124, 66), 5)
    rungs = 13
    for rung in range(1, rungs):
        y = foot + (top - foot) * rung / rungs
        shift = lean * rung / rungs
        c.line([(x + shift, y), (x + shift + 36, y)], (190, 108, 56), 3)


def skip(c: Canvas, rng: Random) -> None:
    """Draw the rubbish skip with old shingles in it."""
    for _ in range(26):
        x, y = rng.uniform(890, 1110), rng.uniform(704, 740)
        c.poly([(x, y), (x + 44, y - rng.uniform(4, 22)), (x + 58, y + 14)], (102, 92, 84))
    c.poly([(850, 730), (1150, 730), (1120, 842), (884, 842)], (92, 112, 120))
    for x in (910, 970, 1030, 1090):
        c.line([(x, 738), (x - (x - 1000) * 0.08, 836)], (72, 90, 98), 6)


# --- Jobs and their slopes -----------------------------------------------------------------------

RECTANGLES: dict[str, tuple[Quad, float, float]] = {
    "gable": (((100, 560), (1100, 560), (1010, 196), (190, 196)), 40, 15.65),
    "hip-long": (((90, 560), (1110, 560), (1010, 226), (190, 226)), 40, 15.65),
    "hip-end": (((190, 560), (1010, 560), (920, 210), (280, 210)), 28, 15.65),
    "tall": (((120, 560), (1080, 560), (985, 116), (215, 116)), 36, 16.25),
    "tall-porch": (((120, 505), (1080, 505), (985, 96), (215, 96)), 36, 16.25),
    "porch": (((120, 590), (1080, 590), (990, 372), (210, 372)), 16, 8.25),
}
OUTLINES: dict[str, tuple[Point, ...]] = {
    "hip-long": ((0, 0), (40, 0), (26, 15.65), (14, 15.65)),
    "hip-end": ((0, 0), (28, 0), (14, 15.65)),
}
# Rotten places as (u, v, half their width), and the sheets put in there, on the whole slope.
ROTTEN = {"back": (8.1, 1.9, 2.1), "east": (11.6, 2.75, 1.7)}
NEW_SHEETS = {"back": ((0, 0, 8, 4), (8, 0, 16, 4)), "east": ((8, 0, 16, 4),)}


@dataclass(frozen=True)
class Job:
    """What the drawings of one job share: slopes as name: (view, compass side), colours, names.

    old_layers, ice_courses, nails: what the job's record says of them; a test compares the two.
    rake_metal_first: it went on before the ice barrier, over a strip of underlayment.
    """

    folder: str
    number: str
    north: str
    west: str
    slopes: dict[str, tuple[str, str]]
    shingle: Colour
    wall: Colour
    ice_name: str
    sheet_name: str
    pipe: bool
    old_layers: int
    ice_courses: int
    nails: int
    rake_metal_first: bool
    shots: tuple["Shot", ...] = field(default=())

    @property
    def ice_reach_ft(self) -> float:
        """How far the ice barrier reaches up the slope: courses of 36 in, lapped 4 in."""
        return (36 + 32 * (self.ice_courses - 1)) / 12

    @property
    def sheet_from_ft(self) -> float:
        """Where the underlayment begins: lapped onto the ice barrier."""
        return self.ice_reach_ft - 9.2 / 12


@dataclass(frozen=True)
class Shot:
    """One photo: file below photos/, local time taken, what it shows; label None means no slate."""

    file: str
    taken: str
    scene: str
    label: str | None
    slope: str
    exif: bool = True
    size_px: tuple[int, int] = PHOTO_PX


def view(job: Job, slope: str) -> tuple[Plane, str, str]:
    """Return the slope's plane as the whole-house view shows it, its view name and its side."""
    name, side = job.slopes[slope]
    quad, width, height = RECTANGLES[name]
    return Plane(quad, width, height, OUTLINES.get(name, ())), name, side


def house(c: Canvas, job: Job, name: str, side: str, work: str) -> None:
    """Draw the house below the roof: walls, windows, door, foundation, fascia."""
    (left, eave), (right, _), *_ = RECTANGLES[name][0]
    wall = shade(job.wall, {"S": 1.0, "N": 0.78, "E": 0.95, "W": 0.9}[side])
    x0, x1, foot = left + 34, right - 34, 800.0
    if name == "porch":
        # The porch leans against the front wall, so the wall also stands behind and above it.
        clapboards(c, 40, 96, 1160, foot, wall)
        for x in (300, 790):
            window(c, x, 160, 110, 130)
    else:
        clapboards(c, x0, eave, x1, foot, wall)
    c.box(
        x0 if name != "porch" else 40,
        foot,
        x1 if name != "porch" else 1160,
        foot + 22,
        (136, 132, 126),
    )
    if name in ("porch", "tall-porch"):
        c.box(560, eave + 110, 640, foot, (112, 72, 60))
    elif side == "S":
        c.box(560, 628, 640, foot, (88, 104, 92))
        c.oval(626, 720, 4, 4, (214, 190, 120))
        c.box(540, foot, 660, foot + 14, (166, 160, 152))
    for at in (x0 + 90, x1 - 190) if name == "hip-end" else (x0 + 130, x1 - 216):
        window(c, at, 640 if name != "tall-porch" else 660, 86, 92)
    c.box(x0, eave, x1, eave + 22, (0, 0, 0, 60))
    metal = work in ("membrane", "sheet", "field", "done")
    c.box(left, eave - 1, right, eave + 12, WHITE if metal else (206, 200, 190))
    c.line([(left, eave + 12), (right, eave + 12)], (120, 116, 110), 1.5)


def deck(c: Canvas, p: Plane, slope: str, rng: Random) -> None:
    """Paint a slope's deck as it is before cover: new OSB, or the plywood that was kept."""
    if slope == "porch":
        panels(c, p, rng, PLYWOOD, rafter_ft=16 / 12, grain=True)
    else:
        panels(c, p, rng, OSB if slope.startswith("main") else PLYWOOD)


def cover(c: Canvas, p: Plane, job: Job, work: str, slope: str, rng: Random) -> None:
    """Paint a whole slope in one state of the work."""
    wooden = slope.startswith("main")
    porch = slope == "porch"
    reach_ft = p.height_ft if porch else job.ice_reach_ft
    if work == "old":
        old_shingles(c, p, rng)
    elif work == "stripped":
        (boards if wooden else panels)(c, p, rng)
        bare_from = p.height_ft * 0.46
        if job.old_layers == 2:
            # The upper layer is torn further down than the one it was laid over.
            bare_from = p.height_ft * 0.58
            old_shingles(c, p, rng, bare_from, OLDER_SHINGLE)
        old_shingles(c, p, rng, p.height_ft * 0.46 if job.old_layers == 1 else p.height_ft * 0.34)
        # Torn felt hangs along the ragged line between the stripped half and the old shingles.
        for step in range(int(p.width_ft / 1.6)):
            u, v = step * 1.6, bare_from
            rise = rng.uniform(0.1, 1.5)
            c.poly(
                [p.at(u, v - 0.4), p.at(u + 1.8, v - 0.4), p.at(u + 0.9, v + rise)], (66, 60, 56)
            )
    elif work == "deck":
        deck(c, p, slope, rng)
        if slope in ROTTEN:
            rot(c, p, *ROTTEN[slope], rng)
    elif work == "panels":
        panels(c, p, rng, OSB)
    elif work == "bare membrane":
        membrane(c, p, "", p.height_ft)
    elif work == "membrane":
        deck(c, p, slope, rng)
        for sheet_of_new in NEW_SHEETS.get(slope, ()):
            corners = p.patch(*sheet_of_new)
            c.poly(corners, OSB)
            c.line([*corners, corners[0]], (84, 62, 40), 2)
        if job.rake_metal_first:
            # The strip of underlayment under the rake metal went on before that metal did.
            for u in (0.0, p.width_ft - 1):
                c.poly(p.patch(u, 0, u + 1, p.height_ft), SHEET)
        membrane(c, p, job.ice_name, reach_ft)
        tape(c, p, (p.width_ft * 0.62, 0), reach_ft, up=True,
             width_ft=0.34 if porch else 0.95, step_in=12)  # fmt: skip
    elif work == "sheet":
        membrane(c, p, job.ice_name, reach_ft)
        sheet(c, p, job.sheet_name, job.sheet_from_ft)
    elif work == "field":
        membrane(c, p, job.ice_name, reach_ft)
        if not porch:
            sheet(c, p, job.sheet_name, job.sheet_from_ft)
        # Below a pipe that has no boot yet, the courses wait.
        reach = p.height_ft * (0.69 if job.pipe else 0.8)
        # The open end is stepped, one course shorter than the other, as crews rack shingles.
        shingles(
            c, p, job.shingle, rng, reach, lambda v: p.width_ft * (1.1 - 0.45 * v / p.height_ft)
        )
        for u in (p.width_ft * 0.36, p.width_ft * 0.44, p.width_ft * 0.52):
            c.poly(p.patch(u, reach - 0.2, u + p.width_ft / 15, reach + 0.9), (174, 96, 72))
            c.poly(p.patch(u, reach + 0.3, u + p.width_ft / 15, reach + 0.6), (232, 226, 214))
    elif work == "done":
        shingles(c, p, job.shingle, rng)
        if not porch:
            top = p.height_ft
            caps(c, p, job.shingle, 0, p.width_ft, top - 0.55, top)
            c.line([p.at(0, top - 0.55), p.at(p.width_ft, top - 0.55)], shade(job.shingle, 0.45), 2)
        for (u0, v0), (u1, v1) in hips(p):
            steps = 34
            for index in range(steps):
                u = u0 + (u1 - u0) * index / steps
                v = v0 + (v1 - v0) * index / steps
                x, y = p.at(u, v)
                c.oval(x, y, 10, 8, shade(job.shingle, (0.82, 1.08)[index % 2]))


def hips(p: Plane) -> list[tuple[Point, Point]]:
    """Return the sloping edges of a hip's outline, in feet; none for a rectangle."""
    if not p.outline:
        return []
    return [(p.outline[0], p.outline[-1]), (p.outline[1], p.outline[2])]


def pipe(c: Canvas, x: float, y: float, size: float, *, boot: bool) -> None:
    """Draw a vent pipe, its foot at (x, y), standing in its boot or in its bare hole."""
    if boot:
        c.poly([(x - size, y + size * 0.5), (x + size, y + size * 0.5), (x + size * 0.8, y - size),
                (x - size * 0.8, y - size)], (138, 144, 150))  # fmt: skip
    c.oval(x, y - size * 0.1, size * 0.62, size * 0.36, (44, 44, 48))
    c.box(x - size * 0.36, y - size * 2.1, x + size * 0.36, y - size * 0.1, (222, 222, 218))
    c.box(x + size * 0.12, y - size * 2.1, x + size * 0.36, y - size * 0.1, (188, 188, 186))
    c.oval(x, y - size * 2.1, size * 0.36, size * 0.17, (90, 90, 92))


# --- Scenes: each returns a finished picture without its slate ----------------------------------


def whole(job: Job, slope: str, work: str, rng: Random) -> Canvas:
    """Return the house with the whole slope in one state of the work."""
    p, name, side = view(job, slope)
    c = outdoors(side, rng)
    house(c, job, name, side, work)
    if work == "done" and name != "porch" and not p.outline:
        # The ridge vent under the caps stands a little proud of the slope.
        (x0, y0), (x1, y1) = p.edge()[3], p.edge()[2]
        c.box(x0 + 8, y0 - 9, x1 - 8, y1 + 4, shade(job.shingle, 0.7 * ROOF_LIGHT[side]))
    lay(c, p, ROOF_LIGHT[side], lambda on: cover(on, p, job, work, slope, rng))
    edge = p.edge()
    early = ("membrane", "sheet") if job.rake_metal_first else ()
    trim = METAL if work in (*early, "field", "done") else (150, 140, 128)
    if not p.outline and name != "porch":
        c.line([edge[0], edge[3]], trim, 6)
        c.line([edge[1], edge[2]], trim, 6)
    if name == "porch":
        # The metal at the wall comes off with the old shingles; the new comes last.
        head = {"old": (212, 214, 212), "done": (212, 214, 212)}.get(work, (96, 104, 112))
        c.line([edge[3], edge[2]], head, 7 if work in ("old", "done") else 4)
        for x in (170, 450, 742, 1022):
            c.box(x - 9, 602, x + 9, 800, WHITE)
        c.box(130, 700, 500, 708, WHITE)
        c.box(700, 700, 1070, 708, WHITE)
    if name == "tall-porch":
        # The porch keeps its own pace: its plywood stays, its membrane follows the main roof's,
        # its shingles come last.
        small = Plane(((330, 655), (870, 655), (820, 572), (380, 572)), 16, 8.25)
        state = {"old": "old", "stripped": "stripped", "panels": "deck", "membrane": "deck"}
        state |= {"sheet": "bare membrane", "field": "bare membrane", "done": "done"}
        lay(c, small, ROOF_LIGHT[side],
            lambda on: cover(on, small, job, state[work], "porch", rng))  # fmt: skip
        c.box(330, 654, 870, 664, WHITE)
        for x in (350, 500, 700, 850):
            c.box(x - 6, 664, x + 6, 804, WHITE)
    if job.pipe and work in ("old", "stripped", "deck", "membrane", "sheet", "field", "done"):
        pipe(c, *p.at(27, 11.6), 15, boot=work in ("old", "done"))
    if work in ("stripped", "deck", "boards", "panels", "membrane", "sheet", "field"):
        ladder(c, p.quad[0][0] + 60, 846, p.quad[0][1] - 34)
    if work == "stripped":
        skip(c, rng)
    if side == "N":
        tint = Image.new("RGB", c.image.size, (66, 84, 112))
        c = Canvas(Image.blend(c.image, tint, 0.1))
    return c


def eave(job: Job, slope: str, work: str, rng: Random) -> Canvas:
    """Return the slope close up, seen from the eave: drip edge, or starter."""
    side = job.slopes[slope][1]
    c = outdoors(side, rng, 330)
    p = Plane(((-170, 716), (1370, 716), (1110, 80), (90, 80)), 11, 6.5)

    def paint(on: Canvas) -> None:
        if work == "drip":
            panels(on, p, rng, OSB if slope.startswith("main") else PLYWOOD)
        else:
            membrane(on, p, job.ice_name, job.ice_reach_ft)
            sheet(on, p, job.sheet_name, job.sheet_from_ft)
        on.poly(p.patch(0, 0, 11, 0.34), METAL)
        on.line([p.at(0, 0.34), p.at(11, 0.34)], (130, 134, 136), 2)
        for index in range(11):
            on.oval(*p.at(index + 0.55, 0.24), 5, 4, (120, 122, 126))
        if work == "starter":
            on.poly(p.patch(0, -0.02, 11, 0.78), shade(job.shingle, 0.92))
            for index in range(4):
                u = 0.9 + index * 3.28
                on.line([p.at(u, 0), p.at(u, 0.78)], shade(job.shingle, 0.5), 3)
                for nail in range(4):
                    on.oval(*p.at(u + 0.3 + nail * 0.9, 0.4), 4, 3, (206, 208, 210))
            for index in range(36):
                # Dashes of sealant near the eave show that the strip lies the right way round.
                on.poly(p.patch(index * 0.31, 0.07, index * 0.31 + 0.2, 0.14), (34, 34, 38))
            on.line([p.at(0, 0.98), p.at(11, 0.98)], (120, 156, 208), 2.5)

    lay(c, p, ROOF_LIGHT[side], paint)
    wall = shade(job.wall, 0.62)
    clapboards(c, -20, 786, 1220, 900, wall)
    c.box(0, 716, 1200, 790, shade(WHITE, 0.94))
    c.box(0, 714, 1200, 756, shade(METAL, 1.06 if side == "S" else 0.86))
    c.line([(0, 757), (1200, 757)], (150, 154, 156), 3)
    c.line([(0, 722), (1200, 722)], (255, 255, 255), 2)
    c.line([(0, 790), (1200, 790)], (0, 0, 0, 120), 6)
    # Two lengths of metal lap here.
    c.line([(706, 690), (700, 757)], (126, 130, 132), 3)
    return c


def rake(job: Job, slope: str, rng: Random) -> Canvas:
    """Return the rake edge close up: metal over the underlayment."""
    side = job.slopes[slope][1]
    c = outdoors(side, rng, 470)
    p = Plane(((-300, 940), (880, 860), (730, 120), (-60, 170)), 9, 8)

    def paint(on: Canvas) -> None:
        if job.rake_metal_first:
            panels(on, p, rng)
            on.poly(p.patch(6.6, 0, 9, 8), SHEET)
            for index in range(9):
                on.oval(*p.at(6.8, index + 0.4), 6, 5, (202, 112, 60))
            on.text(*p.at(7.6, 3.5), job.sheet_name, 20, (150, 157, 163))
        else:
            sheet(on, p, job.sheet_name, 0)
        on.poly(p.patch(8.5, 0, 9, 8), METAL)
        on.line([p.at(8.5, 0), p.at(8.5, 8)], (128, 132, 134), 2.5)
        for index in range(9):
            on.oval(*p.at(8.68, index + 0.2), 5, 4, (118, 120, 124))

    lay(c, p, ROOF_LIGHT[side], paint)
    (x0, y0), (x1, y1) = p.at(9, 0), p.at(9, 8)
    c.poly([(x0, y0), (x0 + 46, y0 + 10), (x1 + 18, y1 + 4), (x1, y1)], shade(METAL, 0.8))
    c.poly([(x0 + 46, y0 + 10), (x0 + 84, y0 + 24), (x1 + 32, y1 + 8), (x1 + 18, y1 + 4)], WHITE)
    c.line([(x0 + 46, y0 + 10), (x1 + 18, y1 + 4)], (140, 144, 146), 3)
    # Two lengths of metal lap here, the upper over the lower.
    x, y = p.at(9, 4.2)
    c.line([p.at(8.5, 4.2), (x, y), (x + 28, y + 6)], (110, 114, 116), 3)
    return c


CLOSE: Quad = ((-190, 950), (1390, 950), (1220, -30), (-20, -30))


def flat(job: Job, slope: str, width_ft: float) -> tuple[Canvas, Plane, float]:
    """Return an empty canvas filled by one piece of roof of this width, and its light."""
    c = Canvas(Image.new("RGB", (PHOTO_PX[0] * OVERSIZE, PHOTO_PX[1] * OVERSIZE), SHEET))
    plane = Plane(CLOSE, width_ft, width_ft * 0.74)
    return c, plane, ROOF_LIGHT[job.slopes[slope][1]]


def gaps(job: Job, slope: str, rng: Random) -> Canvas:
    """Return old boards close up, a tape across the gap: zero on one board, 1 in to the next."""
    c, p, light = flat(job, slope, 3.2)

    def paint(on: Canvas) -> None:
        boards(on, p, rng)
        tape(on, p, (1.75, 15 / 12), 0.74, up=True, width_ft=0.24, step_in=1)

    lay(c, p, light, paint)
    x, y = p.at(1.6, 15.5 / 12)
    c.line([(x - 130, y), (x - 8, y)], (250, 250, 246), 5)
    c.poly([(x + 4, y), (x - 22, y - 13), (x - 22, y + 13)], (250, 250, 246))
    c.text(x - 140, y, "gap 1 in", 34, (250, 250, 246), "rm")
    return c


def loose(job: Job, slope: str, rng: Random) -> Canvas:
    """Return old boards close up, their gaps open and their nails loose."""
    c, p, light = flat(job, slope, 5)

    def paint(on: Canvas) -> None:
        boards(on, p, rng, loose=True)
        tape(on, p, (3.9, 1.2), 1.5, up=True, width_ft=0.24, step_in=3)

    lay(c, p, light, paint)
    c.text(600, 726, "gaps to 1 in, nails loose", 34, (250, 250, 246))
    return c


def repair(job: Job, slope: str, work: str, rng: Random) -> Canvas:
    """Return one damaged place of the deck close up: rotten, or made good with new panels."""
    # The rotten place of "back" lies at the eave, so the close view shows the eave.
    at_eave = slope == "back"
    c, p, light = flat(job, slope, 8.4 if at_eave else 7)
    if at_eave:
        p = Plane(((-170, 690), (1370, 690), (1240, -20), (-40, -20)), 8.4, 4.9)
    left_ft = {"back": 4, "east": 8}.get(slope, 2)

    def paint(on: Canvas) -> None:
        if work == "rotten":
            u, v, half_ft = ROTTEN[slope]
            panels(on, p, rng, left_ft=left_ft)
            rot(on, p, u - left_ft, v, half_ft, rng)
            tape(on, p, (u - left_ft - 2, v - (1.62 if at_eave else 1.45)), 4, up=False,
                 width_ft=0.26, step_in=6)  # fmt: skip
            return
        redecked = slope.startswith("main")
        panels(on, p, rng, OSB if redecked else PLYWOOD, left_ft=left_ft)
        whole_ft = ((-left_ft, 0, 8 - left_ft, 4), (8 - left_ft, 0, 16 - left_ft, 4))
        for u0, v0, u1, v1 in whole_ft:
            a, b = max(u0, 0), min(u1, p.width_ft)
            on.poly(p.patch(a, v0, b, v1), shade(OSB, 1.02))
            for _ in range(round(60 * (b - a))):
                u, v = rng.uniform(a, b - 0.2), rng.uniform(v0, v1 - 0.1)
                long_ft, lean = rng.uniform(0.06, 0.2), rng.uniform(-0.05, 0.05)
                tone = shade(OSB, rng.choice((0.93, 0.97, 1.06)))
                end = (u + long_ft, v + lean)
                on.poly([p.at(u, v), p.at(*end), p.at(end[0], end[1] + 0.03)], tone)
            on.line([p.at(b, v0), p.at(b, v1)], (92, 68, 42), 4)
            on.line([p.at(a, v1), p.at(b, v1)], (92, 68, 42), 4)
            for rafter in range(0, 9, 2):
                # At a joint both panels are nailed, each a little beside it.
                for beside in (0.06, -0.06) if rafter + left_ft in (8, 16) else (0.06,):
                    for hit in range(8):
                        if a <= rafter + beside <= b:
                            on.oval(*p.at(rafter + beside, v0 + 0.2 + hit * 0.5), 5, 4,
                                    (112, 106, 98))  # fmt: skip
        for u in (3.05, 5.05) if at_eave else (3.2,):
            on.text(*p.at(u, 2.5), "OSB 7/16  4 x 8", 34, (150, 98, 62))
            on.text(*p.at(u, 2.05), "SPAN 24/16", 26, (150, 98, 62))

    lay(c, p, light, paint)
    if at_eave:
        # No metal yet: the bare edge of the deck over the fascia, and the wall below.
        clapboards(c, -20, 770, 1220, 900, shade(job.wall, 0.62))
        c.box(0, 690, 1200, 774, shade((206, 200, 190), light))
        c.box(0, 690, 1200, 702, (96, 72, 48))
        c.line([(0, 774), (1200, 774)], (0, 0, 0, 120), 6)
    return c


def nails(job: Job, slope: str, rng: Random) -> Canvas:
    """Return the top course of field shingles before it is covered, with the job's nails in each shingle."""
    c, p, light = flat(job, slope, 4.6)

    def paint(on: Canvas) -> None:
        sheet(on, p, job.sheet_name, 0.9)
        shingles(on, p, job.shingle, rng, 1.45)
        base = 0.94
        for left in (-2.6, 0.7):
            right = left + 3.27
            on.poly(p.patch(left, base, right, base + 0.47), shade(job.shingle, 1.03))
            for index in range(5):
                u = left + 0.2 + index * 0.64
                on.poly(p.patch(u, base, u + 0.36, base + 0.47), shade(job.shingle, 0.9))
            on.poly(p.patch(left, base + 0.47, right, base + 1.1), shade(job.shingle, 0.84))
            on.line([p.at(left, base + 0.58), p.at(right, base + 0.58)], (226, 226, 220), 2.5)
            on.line([p.at(left, base), p.at(right, base)], shade(job.shingle, 0.45), 4)
            on.line([p.at(left, base), p.at(left, base + 1.1)], shade(job.shingle, 0.45), 4)
            on.line([p.at(left, base + 1.1), p.at(right, base + 1.1)], shade(job.shingle, 0.5), 3)
            for nail in range(job.nails):
                x, y = p.at(left + 0.1 + nail * 3.07 / (job.nails - 1), base + 0.58)
                on.oval(x + 2, y + 3, 11, 9, (0, 0, 0, 110))
                on.oval(x, y, 11, 9, (196, 198, 202))
                on.oval(x - 2, y - 2, 4, 3, WHITE)
        tape(on, p, (0.7, 2.25), 3.27, up=False, width_ft=0.24, step_in=3)

    lay(c, p, light, paint)
    return c


def boot(job: Job, slope: str, rng: Random) -> Canvas:
    """Return a pipe boot close up: the shingles beside and above it lie on its flange."""
    c, p, light = flat(job, slope, 5)

    def paint(on: Canvas) -> None:
        shingles(on, p, job.shingle, rng)
        x, y = p.at(2.5, 1.75)
        on.oval(x, y, 190, 128, shade(job.shingle, 0.55))
        on.oval(x, y + 6, 180, 118, (156, 162, 168))
        on.poly(p.patch(1.75, 0.95, 3.25, 1.41), (156, 162, 168))
        on.line([p.at(1.75, 0.95), p.at(3.25, 0.95)], (92, 96, 102), 4)
        on.oval(x, y + 14, 118, 74, (40, 40, 44))
        on.oval(x, y, 98, 58, (66, 66, 70))
        on.box(x - 68, y - 330, x + 68, y + 4, (226, 226, 222))
        on.oval(x, y + 4, 68, 36, (226, 226, 222))
        on.poly([(x + 22, y - 330), (x + 68, y - 330), (x + 68, y + 4), (x + 22, y + 36)],
                (192, 192, 190))  # fmt: skip
        on.oval(x, y - 330, 68, 36, (206, 206, 202))
        on.oval(x, y - 330, 54, 27, (60, 60, 62))
        for u in (1.85, 3.15):
            on.oval(*p.at(u, 1.06), 7, 6, (196, 198, 202))

    lay(c, p, light, paint)
    return c


def ridge(job: Job, slope: str, work: str, rng: Random) -> Canvas:
    """Return the ridge close up: the slot cut open with the first vent on it, or capped."""
    side = job.slopes[slope][1]
    c = outdoors(side, rng, 250)
    near = Plane(((-220, 930), (1420, 930), (1150, 318), (50, 318)), 12, 5)
    far = Plane(((50, 300), (1150, 300), (1090, 246), (110, 246)), 12, 5)
    lay(c, far, 0.72, lambda on: shingles(on, far, job.shingle, rng, exposure_ft=0.9))
    lay(c, near, ROOF_LIGHT[side], lambda on: shingles(on, near, job.shingle, rng))
    across = Plane(((18, 352), (1182, 352), (1146, 276), (54, 276)), 12, 1)
    dark = shade(job.shingle, 0.5)
    if work == "cut":
        wood = OSB if slope.startswith("main") else PLYWOOD
        c.poly(across.patch(0, 0.16, 12, 0.86), wood)
        c.poly(across.patch(0.6, 0.3, 12, 0.72), (24, 22, 22))
        for rafter in range(1, 12, 2):
            c.poly(across.patch(rafter, 0.3, rafter + 0.14, 0.72), (170, 136, 96))
        c.poly(across.patch(0, 0, 4.3, 1.25), (66, 68, 72))
        c.poly(across.patch(0, -0.32, 4.3, 0), (42, 43, 46))
        for slot in range(42):
            c.line([across.at(slot * 0.1 + 0.06, -0.06), across.at(slot * 0.1 + 0.06, -0.26)],
                   (112, 114, 118), 1.5)  # fmt: skip
        c.line([across.at(0, 0.62), across.at(4.3, 0.62)], (104, 106, 110), 2.5)
        x, y = across.at(8, 0.5)
        c.line([(x + 20, y + 150), (x, y + 30)], WHITE, 5)
        c.poly([(x - 4, y + 12), (x - 12, y + 40), (x + 14, y + 36)], WHITE)
        c.text(x + 26, y + 176, "slot open", 34, WHITE)
        return c
    c.poly(across.patch(-0.1, -0.42, 12.1, -0.1), (42, 43, 46))
    for slot in range(118):
        c.line([across.at(slot * 0.102, -0.14), across.at(slot * 0.102, -0.36)],
               (104, 106, 110), 1.5)  # fmt: skip
    end = 12 if work == "vent" else 10.2
    if end < 12:
        c.poly(across.patch(end, -0.1, 12.1, 1.2), (66, 68, 72))
    u, index = 0.0, 0
    while u < end:
        tone = shade(job.shingle, (0.9, 1.06, 0.98)[index % 3] * ROOF_LIGHT[side])
        b = min(u + 0.47, end)
        c.poly(across.patch(u, -0.16, b, 0.6), tone)
        c.poly(across.patch(u, 0.6, b, 1.2), shade(tone, 0.8))
        c.line([across.at(b, -0.16), across.at(b, 1.2)], dark, 3)
        u, index = u + 0.47, index + 1
    for nail in (end - 0.14,) if end < 12 else ():
        c.oval(*across.at(nail, 0.1), 5, 4, (204, 206, 208))
        c.oval(*across.at(nail, 0.95), 5, 4, (204, 206, 208))
    return c


def soffit(job: Job, slope: str, rng: Random) -> Canvas:
    """Return the eave from below: the soffit with its strip of intake vents, open and clear."""
    side = job.slopes[slope][1]
    c = outdoors(side, rng, 200)
    wall = shade(job.wall, 0.8)
    clapboards(c, -20, 540, 1220, 900, wall)
    window(c, 760, 680, 190, 260)
    p = Plane(((-60, 540), (1260, 540), (1500, 190), (-300, 190)), 10, 1.4)
    c.poly(p.quad, shade(WHITE, 0.86))
    for joint in range(1, 10, 2):
        c.line([p.at(joint, 0), p.at(joint, 1.4)], (170, 170, 166), 2.5)
    c.poly(p.patch(-1, 0.5, 11, 0.92), shade(WHITE, 0.74))
    for slot in range(75):
        for v in (0.55, 0.69, 0.83):
            c.poly(p.patch(slot * 0.16 - 1, v, slot * 0.16 - 0.9, v + 0.05), (64, 66, 68))
    c.box(0, 524, 1200, 546, shade(WHITE, 0.95))
    c.box(0, 128, 1200, 190, shade(WHITE, 0.97))
    c.box(0, 112, 1200, 140, METAL)
    c.line([(0, 141), (1200, 141)], (140, 144, 146), 2.5)
    c.box(0, 96, 1200, 113, shade(job.shingle, 0.78))
    x, y = p.at(4.3, 0.7)
    c.line([(x, y + 152), (x, y + 46)], (70, 112, 150), 6)
    c.poly([(x, y + 20), (x - 17, y + 52), (x + 17, y + 52)], (70, 112, 150))
    c.text(x, y + 182, "air in", 34, (60, 96, 130))
    return c


def step_flashing(job: Job, slope: str, rng: Random) -> Canvas:
    """Return the place where a roof runs up beside a wall: step flashing woven in."""
    side = job.slopes[slope][1]
    c = outdoors(side, rng, 240)
    p = Plane(((330, 930), (1400, 930), (1090, 150), (470, 150)), 7, 7.5)
    lay(c, p, ROOF_LIGHT[side], lambda on: shingles(on, p, job.shingle, rng))
    (x0, y0), (x1, y1) = p.at(0, 0), p.at(0, 7.5)
    wall = shade(job.wall, 0.94)
    c.poly([(-10, 900), (-10, -10), (x1, -10), (x1, y1), (x0, y0)], wall)
    for row in range(26):
        y = row * 44 - 60
        end_y = y - 10
        end_x = x1 if end_y < y1 else x0 + (x1 - x0) * (y0 - end_y) / (y0 - y1)
        c.line([(-10, y + 26), (end_x, end_y)], shade(wall, 0.84), 2)
    exposure = 7.5 / 13
    for row in range(13):
        a, b = p.at(0, row * exposure), p.at(0, row * exposure + 0.66)
        tall = 78 - row * 3.1
        dx, dy = tall * 0.8, tall * 0.3
        leg = [a, b, (b[0] - dx, b[1] - dy), (a[0] - dx, a[1] - dy)]
        c.poly(leg, shade(METAL, 0.95 - 0.012 * row))
        c.line([*leg[1:], a], (128, 132, 136), 2)
        c.poly(p.patch(0, row * exposure, 0.42, row * exposure + 0.12), METAL)
        c.line([p.at(0, row * exposure), p.at(0.42, row * exposure)], (118, 122, 126), 2)
    c.line([(x0, y0), (x1, y1)], (96, 98, 102), 3)
    return c


def magnet(job: Job, slope: str, rng: Random) -> Canvas:
    """Return the lawn being swept with a rolling magnet."""
    side = job.slopes[slope][1]
    c = outdoors(side, rng, 200)
    wall = shade(job.wall, 0.96)
    clapboards(c, -20, -10, 1220, 250, wall)
    c.box(0, 250, 1200, 284, (136, 132, 126))
    window(c, 180, 60, 150, 140)
    window(c, 830, 60, 150, 140)
    for _ in range(420):
        x, y = rng.uniform(0, 1200), rng.uniform(300, 880)
        tall = 4 + (y - 280) / 45
        c.line([(x, y), (x + rng.uniform(-4, 4), y - tall)], shade(LAWN, rng.uniform(0.74, 1.2)), 2)
    c.poly([(330, 700), (930, 700), (960, 900), (290, 900)], (160, 176, 124, 120))
    c.line([(640, 600), (860, 300)], (70, 74, 80), 13)
    c.line([(826, 322), (896, 280)], (40, 42, 46), 20)
    c.box(330, 590, 930, 650, (176, 72, 58))
    c.box(330, 590, 930, 606, (206, 104, 86))
    c.text(630, 628, "MAGNET", 26, (246, 238, 228))
    for x in (316, 944):
        c.oval(x, 648, 44, 52, (40, 42, 46))
        c.oval(x, 648, 18, 22, (150, 152, 154))
    for _ in range(95):
        x, y = rng.uniform(345, 915), rng.uniform(652, 672)
        turn = rng.uniform(-1.2, 1.2)
        end = (x + 17 * math.sin(turn), y + 17 * math.cos(turn))
        c.line([(x, y), end], (112, 112, 116), 3)
        c.oval(x, y, 4, 3, (196, 196, 200))
    c.poly([(1010, 760), (1130, 760), (1114, 856), (1026, 856)], (222, 222, 214))
    c.oval(1070, 760, 60, 18, (120, 118, 116))
    for _ in range(30):
        x, y = rng.uniform(1024, 1112), rng.uniform(752, 768)
        c.line([(x, y), (x + rng.uniform(-14, 14), y - 9)], (84, 84, 88), 2.5)
    return c


SCENES: dict[str, Callable[[Job, str, Random], Canvas]] = {
    "drip-eave": lambda job, slope, rng: eave(job, slope, "drip", rng),
    "starter": lambda job, slope, rng: eave(job, slope, "starter", rng),
    "drip-rake": rake,
    "gaps": gaps,
    "loose": loose,
    "rotten": lambda job, slope, rng: repair(job, slope, "rotten", rng),
    "mended": lambda job, slope, rng: repair(job, slope, "mended", rng),
    "nails": nails,
    "boot": boot,
    "ridge-cut": lambda job, slope, rng: ridge(job, slope, "cut", rng),
    "ridge-vent": lambda job, slope, rng: ridge(job, slope, "vent", rng),
    "ridge-caps": lambda job, slope, rng: ridge(job, slope, "caps", rng),
    "soffit": soffit,
    "step-flashing": step_flashing,
    "magnet": magnet,
}

# --- From a scene to a file ----------------------------------------------------------------------


def slate(c: Canvas, label: str, number: str) -> None:
    """Draw the chalk slate that says which slope, which phase and which day."""
    size = 40.0
    width = letters(size).getlength(label) + 56
    left, top = 30.0, 776.0
    c.poly([(left - 6, top - 6), (left + width + 8, top - 10), (left + width + 10, top + 86),
            (left - 4, top + 90)], (150, 116, 80))  # fmt: skip
    c.poly([(left + 3, top + 3), (left + width - 1, top - 1), (left + width, top + 77),
            (left + 4, top + 81)], (52, 62, 60))  # fmt: skip
    c.text(left + 26, top + 29, label, size, (240, 240, 232), "lm")
    c.text(left + 26, top + 63, "job " + number, 17, (186, 194, 188), "lm")


# Second, and millionths of a degree north and west, of photos that were drawn anew after their camera
# facts had been written down elsewhere; all others draw theirs after the picture.
CAMERA = {
    "2026-041-plover-lane/deck-repair/back-after.jpg": (28, 41, 79),
    "2026-041-plover-lane/deck-repair/back-before.jpg": (22, -53, -31),
    "2026-041-plover-lane/field/back.jpg": (47, -57, 42),
    "2026-041-plover-lane/field/front.jpg": (37, 51, 32),
    "2026-047-cinder-street/IMG_2207.jpg": (4, 28, 25),
    "2026-047-cinder-street/before/south.jpg": (17, 34, 18),
    "2026-047-cinder-street/deck/south.jpg": (14, 31, -7),
    "2026-047-cinder-street/field/south.jpg": (15, 22, 49),
    "2026-047-cinder-street/finished/south.jpg": (8, 29, 4),
    "2026-047-cinder-street/ice-barrier/south.jpg": (31, -12, 52),
    "2026-047-cinder-street/tear-off/south.jpg": (34, -89, -19),
    "2026-052-mill-race-road/deck-repair/main-back-after.jpg": (57, 69, -44),
    "2026-052-mill-race-road/deck-repair/main-back-before.jpg": (8, 13, 30),
    "2026-052-mill-race-road/deck-repair/main-front-after.jpg": (15, -50, 15),
    "2026-052-mill-race-road/deck-repair/main-front-before.jpg": (7, 81, 30),
    "2026-052-mill-race-road/deck/main-front-panels.jpg": (43, 60, -56),
    "2026-052-mill-race-road/deck/porch.jpg": (33, -37, 37),
    "2026-052-mill-race-road/ice-barrier/main-front.jpg": (46, -51, -40),
    "2026-052-mill-race-road/ice-barrier/porch.jpg": (36, 32, 47),
    "2026-052-mill-race-road/tear-off/main-front.jpg": (22, -47, 50),
}


def camera_data(job: Job, shot: Shot, rng: Random) -> bytes:
    """Return the camera data of one photo: time with zone, camera, and a place within 15 m."""
    exif = Image.Exif()
    exif[0x010F] = "Drawn"
    exif[0x0110] = "Example camera"
    key = f"{job.folder}/{shot.file}"
    drawn = (rng.randint(0, 59), rng.randint(-90, 90), rng.randint(-90, 90))
    second, north, west = CAMERA.get(key, drawn)
    stamp = shot.taken.replace("-", ":") + f":{second:02d}"
    exif[0x0132] = stamp
    inner = exif.get_ifd(0x8769)
    inner[0x9000] = b"0232"
    inner[0x9003] = stamp
    inner[0x9011] = "-04:00"
    place = exif.get_ifd(0x8825)
    place[0] = b"\x02\x03\x00\x00"
    # One ten-thousandth of a degree is 11.1 m of latitude and, here, 7.5 m of longitude.
    for tag, mark, degrees, beside in ((1, "N", job.north, north), (3, "W", job.west, west)):
        exact = Fraction(degrees) + Fraction(beside, 1_000_000)
        whole_minutes = int(exact * 60 % 60)
        seconds = exact * 3600 % 60
        place[tag] = mark
        place[tag + 1] = (
            IFDRational(int(exact), 1),
            IFDRational(whole_minutes, 1),
            IFDRational(round(seconds * 1000), 1000),
        )
    return exif.tobytes()


def jpeg(job: Job, shot: Shot) -> bytes:
    """Return one finished photo, at most PHOTO_LIMIT_BYTES."""
    rng = Random(f"{job.folder}/{shot.file}")
    if shot.scene in SCENES:
        c = SCENES[shot.scene](job, shot.slope, rng)
    else:
        c = whole(job, shot.slope, shot.scene, rng)
    if shot.label:
        slate(c, shot.label, job.number)
    c.box(0, 876, 1200, 900, (255, 255, 255, 190))
    c.text(1188, 888, "drawn example, not a photograph", 16, (70, 70, 72), "rm")
    # A little softness, as a lens gives it, also keeps the file small.
    soft = c.image.filter(ImageFilter.GaussianBlur(1.4))
    picture = soft.resize(shot.size_px, Image.Resampling.BOX)
    extra = camera_data(job, shot, rng) if shot.exif else b""
    for quality in (80, 76, 72, 68, 64, 60):
        out = io.BytesIO()
        picture.save(out, "JPEG", quality=quality, optimize=True, exif=extra)
        if out.tell() < PHOTO_LIMIT_BYTES:
            return out.getvalue()
    raise SystemExit(f"{shot.file}: does not fit into {PHOTO_LIMIT_BYTES} bytes")


MONTHS = ("Jan", "Feb", "Mar", "Apr", "May", "Jun", "Jul", "Aug", "Sep", "Oct", "Nov", "Dec")


def day(date: str) -> str:
    """Return an ISO date as it is chalked: 14 Sep."""
    return f"{int(date[8:10])} {MONTHS[int(date[5:7]) - 1]}"


def shots(slopes: Iterable[str], table: str) -> tuple[Shot, ...]:
    """Return the photos of one table: file, date, time, scene, then words that change the rule.

    Words: noexif (no camera data), tiny (300 by 225), noslate, slate=DATE (another day chalked).
    """
    listed = []
    longest_first = sorted(slopes, key=len, reverse=True)
    for row in table.strip().splitlines():
        file, date, time, scene, *words = row.split()
        phase, _, name = file.rpartition("/")
        # A file of no slope (a camera's own name) shows some slope all the same: the first.
        slope = next((one for one in longest_first if name.startswith(one)), longest_first[0])
        rest = name.removeprefix(slope).strip("-").replace("-", " ")
        words_of_phase = phase if phase in ("tear-off", "clean-up") else phase.replace("-", " ")
        seen = words_of_phase + (f", {rest}" if rest else "")
        chalked = next((word[6:] for word in words if word.startswith("slate=")), date)
        label = f"{slope.upper()}  {seen}  {day(chalked)}"
        listed.append(
            Shot(
                file + ".jpg",
                f"{date} {time}",
                scene,
                None if "noslate" in words else label,
                slope,
                "noexif" not in words,
                (300, 225) if "tiny" in words else PHOTO_PX,
            )
        )
    return tuple(listed)


PLOVER_SLOPES = {"front": ("gable", "S"), "back": ("gable", "N")}
PLOVER = Job(
    "2026-041-plover-lane",
    "2026-041",
    "47.7000",
    "87.1000",
    PLOVER_SLOPES,
    shingle=(104, 112, 122),
    wall=(186, 192, 176),
    ice_name="ICEHOLD",
    sheet_name="DRYFELL",
    pipe=True,
    old_layers=1,
    ice_courses=2,
    nails=6,
    rake_metal_first=True,
    shots=shots(
        PLOVER_SLOPES,
        """
        before/front             2026-09-10 08:42 old
        before/back              2026-09-10 08:49 old
        tear-off/front           2026-09-14 07:55 stripped
        tear-off/back            2026-09-14 08:31 stripped
        deck/front               2026-09-14 09:24 deck
        deck/back                2026-09-14 09:40 deck
        deck-repair/back-before  2026-09-14 09:47 rotten
        deck-repair/back-after   2026-09-14 11:05 mended
        drip-edge/front-eave     2026-09-14 11:36 drip-eave
        drip-edge/front-rake     2026-09-14 11:52 drip-rake
        ice-barrier/front        2026-09-14 13:10 membrane
        ice-barrier/back         2026-09-14 13:48 membrane
        underlayment/front       2026-09-14 15:37 sheet
        underlayment/back        2026-09-14 16:21 sheet
        starter/front            2026-09-15 07:38 starter
        starter/back             2026-09-15 07:51 starter
        field/front-nails        2026-09-15 09:12 nails
        field/front              2026-09-15 13:26 field
        field/back               2026-09-15 16:44 field
        flashing/front-boot      2026-09-16 08:05 boot
        flashing/back-boot       2026-09-16 08:33 boot
        ventilation/front-ridge-cut 2026-09-16 09:17 ridge-cut
        ventilation/back-soffit  2026-09-16 09:46 soffit
        hip-and-ridge/front      2026-09-16 11:20 ridge-caps
        clean-up/front           2026-09-16 14:02 magnet
        finished/front           2026-09-16 14:30 done
        finished/back            2026-09-16 14:38 done
        """,
    ),
)

CINDER_SLOPES = {
    "north": ("hip-long", "N"),
    "south": ("hip-long", "S"),
    "east": ("hip-end", "E"),
    "west": ("hip-end", "W"),
}
# The camera of finished/south was set to a day before the work began; its slate has the true day.
CINDER = Job(
    "2026-047-cinder-street",
    "2026-047",
    "47.7100",
    "87.1200",
    CINDER_SLOPES,
    shingle=(88, 112, 138),
    wall=(214, 200, 168),
    ice_name="ICEHOLD",
    sheet_name="DRYFELL",
    pipe=False,
    old_layers=2,
    ice_courses=1,
    nails=4,
    rake_metal_first=False,
    shots=shots(
        CINDER_SLOPES,
        """
        before/south             2026-10-02 12:15 old
        tear-off/south           2026-10-05 08:20 stripped
        tear-off/west            2026-10-05 09:05 stripped noexif
        deck/south               2026-10-05 10:48 deck
        deck/west                2026-10-05 11:02 deck
        deck/east                2026-10-05 11:15 deck noexif
        deck-repair/east-before  2026-10-05 11:21 rotten
        ice-barrier/south        2026-10-06 08:44 membrane
        ice-barrier/east         2026-10-06 09:31 membrane
        underlayment/south       2026-10-06 13:12 sheet
        underlayment/west        2026-10-06 13:50 sheet noexif
        field/south-nails        2026-10-07 08:26 nails tiny
        field/south              2026-10-07 15:03 field
        field/west               2026-10-08 11:37 field
        field/east               2026-10-08 10:09 field
        finished/south           2026-09-20 15:58 done slate=2026-10-08
        IMG_2207                 2026-10-07 15:08 field noslate
        """,
    ),
)

MILL_SLOPES = {
    "main-front": ("tall-porch", "S"),
    "main-back": ("tall", "N"),
    "porch": ("porch", "S"),
}
MILL = Job(
    "2026-052-mill-race-road",
    "2026-052",
    "47.6900",
    "87.0800",
    MILL_SLOPES,
    shingle=(158, 142, 120),
    wall=(158, 172, 184),
    ice_name="TARNSEAL",
    sheet_name="TARNSKIN",
    pipe=False,
    old_layers=1,
    ice_courses=2,
    nails=6,
    rake_metal_first=False,
    shots=shots(
        MILL_SLOPES,
        """
        before/main-front             2026-09-18 09:30 old
        before/main-back              2026-09-18 09:36 old
        before/porch                  2026-09-18 09:41 old
        tear-off/main-front           2026-09-21 08:12 stripped
        tear-off/main-back            2026-09-21 09:20 stripped
        deck/main-front-boards        2026-09-21 10:33 gaps
        deck/main-back-boards         2026-09-21 10:52 gaps
        deck-repair/main-front-before 2026-09-21 10:58 loose
        deck-repair/main-back-before  2026-09-21 11:10 loose
        deck/porch                    2026-09-21 13:04 deck
        deck/main-front-panels        2026-09-22 09:46 panels
        deck/main-back-panels         2026-09-22 11:31 panels
        deck-repair/main-front-after  2026-09-22 11:40 mended
        deck-repair/main-back-after   2026-09-22 11:49 mended
        drip-edge/main-front-eave     2026-09-22 15:08 drip-eave
        ice-barrier/main-front        2026-09-23 08:14 membrane
        ice-barrier/main-back         2026-09-23 08:52 membrane
        ice-barrier/porch             2026-09-23 09:35 membrane
        underlayment/main-front       2026-09-23 13:40 sheet
        underlayment/main-back        2026-09-23 14:26 sheet
        drip-edge/main-back-rake      2026-09-23 15:31 drip-rake
        starter/main-front            2026-09-24 07:44 starter
        field/main-front-nails        2026-09-24 08:50 nails
        field/main-front              2026-09-24 12:32 field
        field/main-back               2026-09-24 16:17 field
        field/porch                   2026-09-25 08:48 field
        flashing/porch-wall           2026-09-25 09:39 step-flashing
        ventilation/main-front-ridge  2026-09-25 10:24 ridge-cut
        hip-and-ridge/main-front      2026-09-25 12:10 ridge-caps
        clean-up/main-front           2026-09-25 14:20 magnet
        finished/main-front           2026-09-25 14:51 done
        finished/main-back            2026-09-25 14:56 done
        finished/porch                2026-09-25 15:00 done
        """,
    ),
)


def draw_photos(into: Path, job: Job) -> None:
    """Write the job's photos below the folder, with the flaws the messy job is meant to have."""
    for shot in job.shots:
        drawn = jpeg(job, shot)
        if job is CINDER and shot.file == "field/west.jpg":
            # A copy that broke off on its way from the phone.
            drawn = drawn[: len(drawn) * 6 // 10]
        put(into / job.folder / "photos" / shot.file, drawn)
        if job is CINDER and shot.file == "finished/south.jpg":
            put(into / job.folder / "photos" / "clean-up" / "south.jpg", drawn)


def put(path: Path, content: bytes) -> None:
    """Write one file, and its folders where they are missing."""
    path.parent.mkdir(parents=True, exist_ok=True)
    path.write_bytes(content)


# --- Papers --------------------------------------------------------------------------------------

LETTER_PT = (612, 792)
FOOT = "Example paper of an invented job. No person, company or place in it exists."


@dataclass(frozen=True)
class Signed:
    """A signature with its date, and what the signer is."""

    name: str
    date: str
    role: str


# A paper's body: text is a paragraph, a pair is a label with its value, a list is a table whose
# first row is its head, Signed is a signature.
Part = str | tuple[str, str] | list[tuple[str, ...]] | Signed


class Sheet:
    """One-page PDF written by hand: three standard fonts, lines, and pictures as JPEG."""

    def __init__(self, title: str, dated: str) -> None:
        self.title, self.dated = title, dated
        self.marks: list[str] = []
        self.pictures: list[tuple[bytes, tuple[int, int]]] = []

    def text(self, x: float, y: float, size: float, words: str, font: str = "F1") -> None:
        escaped = words.replace("\\", r"\\").replace("(", r"\(").replace(")", r"\)")
        self.marks.append(f"BT /{font} {size:g} Tf {x:g} {y:g} Td ({escaped}) Tj ET")

    def line(self, x0: float, y0: float, x1: float, y1: float, width: float = 0.7) -> None:
        self.marks.append(f"{width:g} w {x0:g} {y0:g} m {x1:g} {y1:g} l S")

    def picture(self, content: bytes, size_px: tuple[int, int], place: Sequence[float]) -> None:
        x, y, width, height = place
        self.pictures.append((content, size_px))
        self.marks.append(f"q {width:g} 0 0 {height:g} {x:g} {y:g} cm /P{len(self.pictures)} Do Q")

    def finish(self) -> bytes:
        """Return the PDF. Source of its form: ISO 32000-1:2008, sections 7.3 to 7.5 and 9.6.2."""
        fonts = ("Helvetica", "Helvetica-Bold", "Times-Italic")
        first_picture = 5 + len(fonts)
        named = [f"/F{n} {4 + n} 0 R" for n in range(1, len(fonts) + 1)]
        shown = [f"/P{n + 1} {first_picture + n} 0 R" for n in range(len(self.pictures))]
        stamp = "D:" + self.dated.replace("-", "") + "120000-04'00'"
        content = "\n".join(self.marks).encode("cp1252")
        objects: list[bytes] = [
            b"<< /Type /Catalog /Pages 2 0 R >>",
            b"<< /Type /Pages /Kids [3 0 R] /Count 1 >>",
            (
                f"<< /Type /Page /Parent 2 0 R /MediaBox [0 0 {LETTER_PT[0]} {LETTER_PT[1]}] "
                f"/Contents 4 0 R /Resources << /Font << {' '.join(named)} >> "
                f"/XObject << {' '.join(shown)} >> >> >>"
            ).encode(),
            b"<< /Length %d >>\nstream\n%b\nendstream" % (len(content), content),
        ]
        for font in fonts:
            objects.append(
                f"<< /Type /Font /Subtype /Type1 /BaseFont /{font} "
                "/Encoding /WinAnsiEncoding >>".encode()
            )
        for jpeg_bytes, (width, height) in self.pictures:
            head = (
                f"<< /Type /XObject /Subtype /Image /Width {width} /Height {height} "
                "/ColorSpace /DeviceGray /BitsPerComponent 8 /Filter /DCTDecode "
                f"/Length {len(jpeg_bytes)} >>"
            )
            objects.append(head.encode() + b"\nstream\n" + jpeg_bytes + b"\nendstream")
        objects.append(f"<< /Title ({self.title}) /CreationDate ({stamp}) >>".encode())
        out, starts = b"%PDF-1.4\n%\xe2\xe3\xcf\xd3\n", []
        for number, body in enumerate(objects, 1):
            starts.append(len(out))
            out += b"%d 0 obj\n%b\nendobj\n" % (number, body)
        table = "".join(f"{start:010d} 00000 n \n" for start in starts)
        mark = hashlib.sha256(out).hexdigest()[:32]
        return (
            out
            + (
                f"xref\n0 {len(objects) + 1}\n0000000000 65535 f \n{table}"
                f"trailer\n<< /Size {len(objects) + 1} /Root 1 0 R /Info {len(objects)} 0 R "
                f"/ID [<{mark}> <{mark}>] >>\nstartxref\n{len(out)}\n%%EOF\n"
            ).encode()
        )


CONTRACTOR = (
    "Ormskar Roofing",
    "14 Millrace Yard, Halvorsted, Vintermark County   555-0110   office@example.com",
)
SUPPLIER = (
    "Fjordgate Building Supply",
    "Port Ismere, Vintermark County   555-0118   orders@example.com",
)
COUNTY = (
    "Vintermark County Building Office",
    "2 Court Square, Halvorsted   555-0120   building@example.com",
)
PORT = (
    "City of Port Ismere",
    "Permit Counter, 40 Quay Street, Port Ismere   555-0125   permits@example.com",
)
CREW_NORTH = ("Ormskar crew north", "crew of Ormskar Roofing, Halvorsted")
CREW_HALDEN = ("Halden Roof Crew", "sub-crew, lakeside")
TARNHOLT = ("Tarnholt", "Warranty registration")


def paper(issuer: tuple[str, str], title: str, dated: str, body: Sequence[Part]) -> bytes:
    """Return a one-page paper: the issuer's head, the title, the parts one below the other."""
    page = Sheet(title, dated)
    page.text(60, 728, 17, issuer[0], "F2")
    page.text(60, 711, 9, issuer[1])
    page.line(60, 701, 552, 701, 1.6)
    page.text(60, 670, 15, title, "F2")
    page.text(486, 670, 10, dated)
    y = 640.0
    for part in body:
        if isinstance(part, str):
            for row in textwrap.wrap(part, 94):
                page.text(60, y, 10, row)
                y -= 14
            y -= 6
        elif isinstance(part, tuple):
            page.text(60, y, 10, part[0], "F2")
            page.text(190, y, 10, part[1])
            y -= 17
        elif isinstance(part, list):
            y = ruled_table(page, y - 6, part)
        else:
            y -= 30
            page.text(66, y + 4, 20, part.name, "F3")
            page.line(60, y, 290, y)
            page.line(330, y, 450, y)
            page.text(334, y + 4, 11, part.date)
            page.text(60, y - 12, 8, f"{part.name}, {part.role}")
            page.text(330, y - 12, 8, "date")
            y -= 30
    page.line(60, 52, 552, 52, 0.4)
    page.text(60, 40, 8, FOOT)
    return page.finish()


def ruled_table(page: Sheet, y: float, rows: list[tuple[str, ...]]) -> float:
    """Draw a table whose columns share the width by their longest cell; return the next free y."""
    longest = [max(len(row[n]) for row in rows) + 2 for n in range(len(rows[0]))]
    starts = [60 + 492 * sum(longest[:n]) / sum(longest) for n in range(len(longest))]
    for number, row in enumerate(rows):
        for x, cell in zip(starts, row, strict=True):
            page.text(x, y, 9.5, cell, "F2" if number == 0 else "F1")
        page.line(60, y - 5, 552, y - 5, 1.0 if number == 0 else 0.3)
        y -= 17
    return y - 8


def scanned_card(
    title: str, rows: Sequence[tuple[str, str]], stamp: str, dated: str, seed: str
) -> bytes:
    """Return an inspection card as a scan: one grey picture, a little crooked, specked, stamped."""
    rng = Random(seed)
    width, height = 1100, 1424
    page = Image.new("L", (width, height), 226)
    pen = ImageDraw.Draw(page)
    pen.text((550, 120), "VINTERMARK COUNTY BUILDING OFFICE", 60, letters(36), anchor="mm")
    pen.text((550, 178), title, 60, letters(52), anchor="mm")
    pen.text((550, 226), "post on site, keep dry, return when closed", 90, letters(22), anchor="mm")
    y = 300
    for label, value in rows:
        pen.rectangle([80, y, 1020, y + 84], outline=110, width=3)
        pen.line([420, y, 420, y + 84], fill=110, width=2)
        pen.text((98, y + 42), label, 80, letters(26), anchor="lm")
        pen.text((440, y + 42 + rng.randint(-4, 4)), value, 36, letters(30), anchor="lm")
        y += 84
    pen.text((80, 1370), FOOT, 110, letters(20), anchor="lm")
    mark = Image.new("L", (520, 200), 0)
    inked = ImageDraw.Draw(mark)
    inked.rounded_rectangle([6, 6, 513, 193], 22, outline=200, width=9)
    inked.text((260, 70), stamp, 200, letters(64), anchor="mm")
    inked.text((260, 142), "R. LINDMARK  INSPECTOR", 200, letters(30), anchor="mm")
    turned = mark.rotate(9, expand=True, resample=Image.Resampling.BICUBIC)
    page.paste(70, (430, 1080), turned)
    for _ in range(260):
        x, at, r = rng.uniform(0, width), rng.uniform(0, height), rng.uniform(0.5, 2)
        pen.ellipse([x - r, at - r, x + r, at + r], fill=rng.randint(120, 190))
    pen.line([0, 716, width, 712], fill=204, width=5)
    pen.line([0, 720, width, 716], fill=240, width=3)
    page = page.rotate(1.4, fillcolor=120, resample=Image.Resampling.BICUBIC)
    page = page.filter(ImageFilter.GaussianBlur(1.0))
    glare = Image.linear_gradient("L").rotate(90).resize((width, height))
    page = Image.composite(page, ImageEnhance.Brightness(page).enhance(0.86), glare)
    return pictured("Inspection card", dated, page, (0, 0, *LETTER_PT))


def text_message(dated: str) -> bytes:
    """Return the owner's text message as a picture of a telephone screen."""
    page = Image.new("L", (720, 1200), 236)
    pen = ImageDraw.Draw(page)
    pen.rectangle([0, 0, 720, 120], fill=206)
    pen.text((360, 46), "Anneli Rask", 40, letters(36), anchor="mm")
    pen.text((360, 90), "555-0164", 90, letters(24), anchor="mm")
    pen.text((360, 170), "Mon 21 Sep 2026", 110, letters(24), anchor="mm")
    sent = (
        "Ormskar Roofing: The old boards on both main slopes have gaps of 1 in. "
        "The shingles need a solid deck. 37 sheets of 7/16 OSB at $78.00 come to $2,886.00, "
        "put down as change order 1. May we go ahead? Photos follow."
    )
    answers = ("Seen the photos. Yes, go ahead with the 37 sheets at $78.00. Anneli Rask",
               "Tobias agrees too.")  # fmt: skip
    y = 210
    for words, mine, time in ((sent, True, "11:16"), (answers[0], False, "11:42"),
                              (answers[1], False, "11:43")):  # fmt: skip
        rows = textwrap.wrap(words, 34)
        tall = 36 * len(rows) + 66
        left = 130 if mine else 40
        pen.rounded_rectangle([left, y, left + 550, y + tall], 26, fill=198 if mine else 252)
        for number, row in enumerate(rows):
            pen.text((left + 26, y + 38 + 36 * number), row, 40, letters(29), anchor="lm")
        pen.text((left + 524, y + tall - 22), time, 120, letters(20), anchor="rm")
        y += tall + 28
    pen.text((360, 1176), "drawn example, not a real message", 120, letters(20), anchor="mm")
    page = page.resize((456, 760), Image.Resampling.LANCZOS)
    return pictured("Approval of deck work by text message", dated, page, (126, 96, 360, 600))


def pictured(title: str, dated: str, page: Image.Image, place: Sequence[float]) -> bytes:
    """Return a PDF that holds nothing but one grey picture."""
    out = io.BytesIO()
    page.save(out, "JPEG", quality=46, optimize=True)
    sheet_of_paper = Sheet(title, dated)
    sheet_of_paper.picture(out.getvalue(), page.size, place)
    return sheet_of_paper.finish()


class SteadyWriter(PdfWriter):
    """A PDF writer whose file identifier, and so its encryption, is the same on every run."""

    def generate_file_identifiers(self) -> None:
        mark = ByteStringObject(hashlib.sha256(b"draw_demo").digest()[:16])
        self._ID = ArrayObject((mark, mark))


def locked(plain: bytes, password: str) -> bytes:
    """Return the PDF encrypted with a password (RC4, 128 bit: its bytes do not change)."""
    writer = SteadyWriter()
    writer.append(PdfReader(io.BytesIO(plain)))
    writer.encrypt(password, algorithm="RC4-128")
    out = io.BytesIO()
    writer.write(out)
    return out.getvalue()


def contract(
    number: str, dated: str, who: str, where: str, amount: str, sheet_price: str, work: str
) -> bytes:
    return paper(CONTRACTOR, "Roofing contract", dated, [
        ("Job", number), ("Owner", who), ("Site", where), ("Contract amount", amount),
        ("Deck, if needed", f"{sheet_price} a sheet of 4 x 8"),
        work,
        "Replacing deck that proves rotten, broken or too widely spaced is not in the amount. It "
        "is shown to the owner first and done only after the owner's approval, by change order.",
        "You, the buyer, may cancel this contract at any time before midnight of the third "
        "business day after its date. A notice of cancellation was handed over with this contract.",
        Signed(who, dated, "owner"), Signed("Ormskar Roofing", dated, "contractor"),
    ])  # fmt: skip


def permit(
    office: tuple[str, str], number: str, dated: str, who: str, where: str, asks: str
) -> bytes:
    return paper(office, f"Building permit {number}", dated, [
        ("Permit", number), ("Issued", dated), ("Owner", who), ("Site", where),
        ("Contractor", "Ormskar Roofing"),
        ("Work", "Remove and replace asphalt-shingle roof covering"),
        asks, Signed("R. Lindmark" if office is COUNTY else "City clerk", dated, "for the office"),
    ])  # fmt: skip


def ticket(
    number: str, dated: str, job: str, where: str, rows: Iterable[tuple[str, str, str, str]]
) -> bytes:
    return paper(SUPPLIER, f"Delivery ticket {number}", dated, [
        ("Sold to", "Ormskar Roofing"), ("Job", job), ("Delivered to", where),
        [("Quantity", "Unit", "Goods", "Lot on wrapper"), *rows],
        "Count and lots checked at the truck.",
        Signed("Ormskar Roofing", dated, "received by"),
    ])  # fmt: skip


def change_order(
    dated: str, job: str, where: str, work: tuple[str, str, str, str], why: str, by: Part
) -> bytes:
    return paper(CONTRACTOR, "Change order 1", dated, [
        ("Job", job), ("Site", where), why,
        [("Quantity", "Goods and work", "Price each", "Amount"), work],
        "Added to the contract amount.", by,
    ])  # fmt: skip


def invoice(
    number: str, dated: str, who: str, where: str, rows: Iterable[tuple[str, str]]
) -> bytes:
    return paper(CONTRACTOR, f"Final invoice {number}", dated, [
        ("Job", number), ("To", who), ("Site", where),
        [("For", "Amount"), *rows], "Payable within 30 days.",
    ])  # fmt: skip


def waiver(
    giver: tuple[str, str], dated: str, where: str, through: str, covers: str, signer: str
) -> bytes:
    return paper(giver, "Unconditional final waiver of lien", dated, [
        ("Given by", giver[0]), ("Site", where), ("Kind", "unconditional, final"),
        ("Covers", covers), ("Through", through),
        "The giver has been paid in full for the goods and work named above and gives up every "
        "right of lien on this property for them through the date above.",
        Signed(signer, dated, "for " + giver[0]),
    ])  # fmt: skip


def completion(dated: str, who: str, where: str, signers: Iterable[str]) -> bytes:
    return paper(CONTRACTOR, "Completion certificate", dated, [
        ("Owner", who), ("Site", where),
        "The roofing work under the contract and its change order is complete. The owner has seen "
        "the finished roof from the ground and the site is clean.",
        *(Signed(name, dated, "owner") for name in signers),
    ])  # fmt: skip


def colour_choice(
    dated: str, who: str, where: str, goods: Sequence[tuple[str, str]], signer: str
) -> bytes:
    return paper(CONTRACTOR, "Colour choice", dated, [
        ("Owner", who), ("Site", where), *goods,
        "Chosen from full-size samples in daylight. A drawn or printed colour is not exact.",
        Signed(signer, dated, "owner"),
    ])  # fmt: skip


def terms_received(dated: str, who: str, maker: str, product: str, signer: str) -> bytes:
    return paper(CONTRACTOR, "Warranty terms received", dated, [
        ("Owner", who), ("Maker", maker), ("Product", product),
        f"The owner received {maker}'s printed warranty terms for this product on {dated}, before "
        "signing the contract.",
        Signed(signer, dated, "owner"),
    ])  # fmt: skip


def vent_check(dated: str, where: str, rows: Sequence[tuple[str, str]]) -> bytes:
    return paper(CONTRACTOR, "Flues and ducts checked after roofing", dated, [
        ("Site", where), ("Checked on", dated), ("Checked by", "Ida Torvik"),
        [("Flue or duct", "Found"), *rows],
        "Every flue and combustion vent stands upright, connected and unblocked.",
        Signed("Ida Torvik", dated, "supervisor"),
    ])  # fmt: skip


def plover_papers() -> dict[str, bytes]:
    """Return the papers of the complete job by file name."""
    who, where, job = "Marit Ekdahl", "118 Plover Lane, Halvorsted", "2026-041"
    return {
        "contract": contract(job, "2026-08-18", who, where, "$14,860.00", "$96.00",
            "Full tear-off of one layer down to the deck on both slopes. New roof of Kestrelmoor's "
            "Fenwright 40 with its starter, caps, underlayment, ice barrier and ridge vent, new "
            "metal at eaves and rakes, new pipe boots."),
        "permit-R-2026-1187": permit(COUNTY, "R-2026-1187", "2026-09-02", who, where,
            "Inspections: deck and ice barrier before cover, final. Close this permit by the final "
            "inspection."),
        "inspection-card": scanned_card("INSPECTION CARD", [
            ("Permit", "R-2026-1187"), ("Site", where), ("Contractor", "Ormskar Roofing"),
            ("Deck", "2026-09-14   passed   R. Lindmark"),
            ("Ice barrier", "2026-09-14   passed   R. Lindmark"),
            ("Final", "2026-09-21   passed   R. Lindmark"),
            ("Permit closed", "2026-09-21   R. Lindmark")], "CLOSED", "2026-09-21", "card A"),
        "ticket-55120": ticket("55120", "2026-09-11", job, where, [
            ("30", "bundle", "Kestrelmoor Fenwright 40, Slate Grey", "0012345"),
            ("12", "bundle", "Kestrelmoor Fenwright 40, Slate Grey", "0012346"),
            ("2", "bundle", "Kestrelmoor Firstrow starter", "77-031"),
            ("2", "bundle", "Kestrelmoor Crownline hip and ridge", "0009912"),
            ("2", "roll", "Kestrelmoor Dryfell underlayment", ""),
            ("3", "roll", "Kestrelmoor Icehold ice barrier", "1E5"),
            ("10", "piece", "Eavewright eave edge, 10 ft", ""),
            ("8", "piece", "Eavewright rake edge, 10 ft", ""),
            ("10", "piece", "Kestrelmoor Highdraft ridge vent, 4 ft", ""),
            ("2", "piece", "Pipe boot", ""),
            ("2", "box", "Coil nails, 1-1/4 in", "")]),
        "ticket-55164": ticket("55164", "2026-09-14", job, where, [
            ("2", "sheet", "OSB 7/16, 4x8", "")]),
        "change-order-1": change_order("2026-09-14", job, where,
            ("2", "OSB 7/16 4x8, replace rotten deck", "$96.00", "$192.00"),
            "Found on the back slope after tear-off, at the eave, 6 ft from the left rake: deck "
            "rotten where ice had backed up. Two sheets.",
            Signed("M. Ekdahl", "2026-09-14", "owner")),
        "invoice-2026-041": invoice(job, "2026-09-22", who, where, [
            ("Contract of 2026-08-18", "$14,860.00"),
            ("Change order 1 of 2026-09-14: 2 sheets at $96.00", "$192.00"),
            ("Total", "$15,052.00")]),
        "waiver-supplier": waiver(SUPPLIER, "2026-09-30", where, "2026-09-30",
            "goods on tickets 55120 and 55164", "Fjordgate Building Supply"),
        "waiver-crew": waiver(CREW_NORTH, "2026-09-30", where, "2026-09-30",
            "roofing work 2026-09-14 to 2026-09-16", "Jens Aberg"),
        "completion": completion("2026-09-21", who, where, ["M. Ekdahl"]),
        "colour-choice": colour_choice("2026-08-18", who, where, [
            ("Shingle", "Kestrelmoor Fenwright 40"), ("Colour", "Slate Grey"),
            ("Metal edges", "white")], "M. Ekdahl"),
        "warranty-terms": terms_received("2026-08-18", who, "Kestrelmoor", "Fenwright 40",
            "M. Ekdahl"),
        "vent-check": vent_check("2026-09-16", where, [
            ("Furnace flue", "connected, upright, unblocked"),
            ("Bath duct", "runs outdoors with a cap of its own")]),
    }  # fmt: skip


def cinder_papers() -> dict[str, bytes]:
    """Return the papers of the messy job by file name: one damaged, one locked, some missing."""
    who, where, job = "Olaf Brandvold", "23 Cinder Street, Port Ismere", "2026-047"
    bill = invoice(job, "2026-10-09", who, where, [
        ("Contract of 2026-09-22", "$13,900.00"), ("Total", "$13,900.00")])  # fmt: skip
    change = change_order("2026-10-05", job, where,
        ("1", "OSB 7/16 4x8, replace rotten deck", "$96.00", "$96.00"),
        "Found on the east slope after tear-off: one panel rotten.",
        Signed("O. Brandvold", "2026-10-05", "owner"))  # fmt: skip
    return {
        "contract": contract(job, "2026-09-22", who, where, "$13,900.00", "$96.00",
            "Full tear-off of one layer down to the deck on all four slopes. New roof of "
            "Kestrelmoor's Fenwright 40 with its starter, caps, underlayment and ice barrier, new "
            "metal at the eaves."),
        "permit-R-2026-1215": permit(PORT, "R-2026-1215", "2026-10-06", who, where,
            "Inspections: ice barrier before cover, final. Close this permit by the final "
            "inspection."),
        "ticket-55231": ticket("55231", "2026-10-02", job, where, [
            ("30", "bundle", "Kestrelmoor Fenwright 40, Lake Blue", "0012399"),
            ("15", "bundle", "Kestrelmoor Fenwright 40, Lake Blue", ""),
            ("1", "bundle", "Kestrelmoor Firstrow starter", ""),
            ("4", "bundle", "TARNHOLT Ridgeback caps", "R-220"),
            ("2", "roll", "Kestrelmoor Dryfell underlayment", ""),
            ("3", "roll", "Kestrelmoor Icehold ice barrier", "1_000"),
            ("10", "piece", "Eavewright eave edge, 10 ft", "")]),
        "invoice-2026-047": bill[: len(bill) // 2],
        "change-order-1": locked(change, "demo-only"),
    }  # fmt: skip


def mill_papers() -> dict[str, bytes]:
    """Return the papers of the re-decked job by file name."""
    who, where, job = "Tobias and Anneli Rask", "7 Mill Race Road, Halvorsted", "2026-052"
    return {
        "contract": contract(job, "2026-08-25", who, where, "$19,420.00", "$78.00",
            "Full tear-off down to the deck on the main roof and the porch. New roof of Tarnholt's "
            "Longfell 50 with its starter, caps, underlayment, ice barrier and ridge vent, new "
            "metal at eaves and rakes, new step flashing where the porch meets the wall."),
        "permit-R-2026-1203": permit(COUNTY, "R-2026-1203", "2026-09-10", who, where,
            "Inspections: deck and ice barrier before cover, final. Close this permit by the final "
            "inspection."),
        "inspection-card": scanned_card("INSPECTION CARD", [
            ("Permit", "R-2026-1203"), ("Site", where), ("Contractor", "Ormskar Roofing"),
            ("Deck", "2026-09-22   passed   R. Lindmark"),
            ("Ice barrier", "2026-09-23   passed   R. Lindmark"),
            ("Final", "2026-10-01   passed   R. Lindmark"),
            ("Permit closed", "2026-10-01   R. Lindmark")], "CLOSED", "2026-10-01", "card C"),
        "ticket-60310": ticket("60310", "2026-09-18", job, where, [
            ("40", "bundle", "Tarnholt Longfell 50, Driftwood", "T26-1180"),
            ("8", "bundle", "Tarnholt Longfell 50, Driftwood", "T26-1181"),
            ("2", "bundle", "Tarnholt Longfell Start starter", "T26-0400"),
            ("2", "bundle", "Tarnholt Ridgeback caps", "R-231"),
            ("2", "roll", "Tarnholt Tarnskin underlayment", ""),
            ("5", "roll", "Tarnholt Tarnseal ice barrier", "TS-77"),
            ("26", "piece", "Eavewright drip edge, 10 ft", ""),
            ("9", "piece", "Tarnholt Tarnvent ridge vent, 4 ft", ""),
            ("3", "box", "Coil nails, 1-1/4 in", "")]),
        "ticket-60344": ticket("60344", "2026-09-21", job, where, [
            ("37", "sheet", "OSB 7/16, 4x8", "")]),
        "change-order-1": change_order("2026-09-21", job, where,
            ("37", "OSB 7/16 4x8, re-deck both main slopes", "$78.00", "$2,886.00"),
            "Found on both main slopes after tear-off: old boards with gaps of up to 1 in that hold no nail.",
            "Approved by the owners by text message on 2026-09-21; see the message on file."),
        "deck-approval": text_message("2026-09-21"),
        "invoice-2026-052": invoice(job, "2026-10-02", who, where, [
            ("Contract of 2026-08-25", "$19,420.00"),
            ("Change order 1 of 2026-09-21: 37 sheets at $78.00", "$2,886.00"),
            ("Total", "$22,306.00")]),
        "waiver-supplier": waiver(SUPPLIER, "2026-10-09", where, "2026-10-09",
            "goods on tickets 60310 and 60344", "Fjordgate Building Supply"),
        "waiver-crew": waiver(CREW_HALDEN, "2026-10-09", where, "2026-10-09",
            "roofing work 2026-09-21 to 2026-09-25", "Piet Halden"),
        "completion": completion("2026-10-01", who, where, ["Tobias Rask", "Anneli Rask"]),
        "colour-choice": colour_choice("2026-08-25", who, where, [
            ("Shingle", "Tarnholt Longfell 50"), ("Colour", "Driftwood"),
            ("Metal edges", "white")], "Anneli Rask"),
        "warranty-terms": terms_received("2026-08-25", who, "Tarnholt", "Longfell 50",
            "Tobias Rask"),
        "vent-check": vent_check("2026-09-25", where, [
            ("Boiler flue", "connected, upright, unblocked"),
            ("Bath duct", "runs outdoors with a cap of its own"),
            ("Dryer duct", "runs outdoors with a cap of its own")]),
        "lead-record": paper(CONTRACTOR, "Record of work on old paint", "2026-09-25", [
            ("Job", job), ("Site", where), ("House built", "1948"),
            ("Disturbed", "painted fascia at the main eaves, treated as lead paint, not tested"),
            [("Day", "What was done"),
             ("2026-09-21", "Owners given the pamphlet on renovating safely, receipt signed"),
             ("2026-09-21", "Warning signs set; ground sheets 10 ft out from the walls, weighted"),
             ("2026-09-21", "Windows and doors below the eaves shut and covered"),
             ("2026-09-22", "Fascia scraped wet, by hand; chips bagged each evening"),
             ("2026-09-25", "Ground sheets folded inward, bagged, sealed; ground searched by eye"),
             ("2026-09-25", "Cleaning checked; no dust or paint chips seen")],
            "This records cover and cleaning. It is no test of dust, soil or paint.",
            Signed("Ormskar Roofing", "2026-09-25", "renovator"),
        ]),
        "registration-confirmation": paper(TARNHOLT, "Registration confirmed", "2026-10-15", [
            ("Confirmation", "TH-88213"), ("Confirmed on", "2026-10-15"), ("Owners", who),
            ("Site", where), ("Installer", "Ormskar Roofing"),
            ("Product", "Longfell 50, Driftwood"),
            "Your warranty is registered under the number above. Keep this letter with the printed "
            "terms you received; those terms decide.",
        ]),
    }  # fmt: skip


def logo() -> bytes:
    """Return the invented contractor's mark: two ridge lines over the lake, and the name."""
    c = Canvas(Image.new("RGB", (600 * OVERSIZE, 200 * OVERSIZE), (255, 255, 255)))
    c.poly([(24, 128), (92, 48), (160, 128), (142, 128), (92, 70), (42, 128)], (44, 74, 92))
    c.poly([(92, 128), (134, 80), (176, 128), (160, 128), (134, 98), (108, 128)], (176, 96, 66))
    for row, (x0, x1) in enumerate(((34, 166), (52, 148))):
        c.line([(x0, 144 + row * 13), (x1, 144 + row * 13)], (126, 158, 178), 5)
    c.text(206, 84, "Ormskar Roofing", 46, (44, 74, 92), "lm")
    c.line([(208, 118), (560, 118)], (176, 96, 66), 3)
    c.text(208, 142, "drawn mark of an invented company", 18, (104, 112, 116), "lm")
    out = io.BytesIO()
    c.image.resize((600, 200), Image.Resampling.LANCZOS).save(out, "PNG", optimize=True)
    return out.getvalue()


def draw_all(into: Path) -> None:
    """Write every photo, every paper and the logo below the folder."""
    makers = ((PLOVER, plover_papers), (CINDER, cinder_papers), (MILL, mill_papers))
    for job, papers in makers:
        draw_photos(into, job)
        for name, content in papers().items():
            put(into / job.folder / "papers" / f"{name}.pdf", content)
    put(into / "logo.png", logo())


if __name__ == "__main__":
    draw_all(Path(sys.argv[1]) if len(sys.argv) > 1 else Path(__file__).resolve().parent)
