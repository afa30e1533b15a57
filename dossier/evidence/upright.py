"""How a stored picture is brought into a form that people see: turned upright, eight bits deep, on white.

In: a picture as Pillow gives it. Out: a picture. Must not know a file.
"""

from PIL import Image

# How to turn a stored picture upright. Source: CIPA DC-008 (Exif 2.32), tag 0x0112, table 4.
TURNS = {
    2: Image.Transpose.FLIP_LEFT_RIGHT,
    3: Image.Transpose.ROTATE_180,
    4: Image.Transpose.FLIP_TOP_BOTTOM,
    5: Image.Transpose.TRANSPOSE,
    6: Image.Transpose.ROTATE_270,
    7: Image.Transpose.TRANSVERSE,
    8: Image.Transpose.ROTATE_90,
}

LYING_ORIENTATIONS = range(5, 9)

TURNED = ("TIFF", "HEIF")
"""Formats whose pictures and sizes come upright from Pillow already; turning them again would undo it."""


def in_eight_bits(image: Image.Image) -> Image.Image:
    """Return a picture in 16-bit grey as one in 8 bits; Pillow clips it to white instead of scaling it."""
    return image.convert("I").point(lambda value: value * (1 / 257)).convert("L")


def on_white(image: Image.Image) -> Image.Image:
    """Return a picture with transparent parts in RGB, laid on white."""
    upper = image.convert("RGBA")
    ground = Image.new("RGB", image.size, "white")
    ground.paste(upper, mask=upper.getchannel("A"))
    return ground
