"""Which characters the bundled fonts can print, measured from the fonts' own tables.

In: `templates/fonts/`. Out: `coverage_table.py`, rewritten by `python -m dossier.render.coverage`
whenever a font file changes. Must not know any text. The table is kept because reading ten font
files at the start of every run costs more than the rest of the page filling.
"""

from collections.abc import Iterable, Mapping
from pathlib import Path

from dossier.resources import resource

FAMILY_FILES: Mapping[str, tuple[str, ...]] = {
    "Latin": (
        "NotoSans-Regular.ttf",
        "NotoSans-Bold.ttf",
        "NotoSans-Italic.ttf",
        "NotoSerif-Regular.ttf",
        "NotoSerif-Bold.ttf",
        "NotoSerif-Italic.ttf",
    ),
    "Hebrew": ("NotoSansHebrew-Regular.ttf", "NotoSansHebrew-Bold.ttf"),
    "Arabic": ("NotoSansArabic-Regular.ttf", "NotoSansArabic-Bold.ttf"),
    "Math": ("NotoSansMath-Regular.ttf",),
}
"""The font files that may stand in for one another. A character counts only if all of them have it,
so that bold or serif text never loses a letter that plain text has."""

Ranges = tuple[tuple[int, int], ...]


def measure() -> dict[str, Ranges]:
    """Return, per family, the code points all its files have a glyph for, as closed ranges."""
    from fontTools.ttLib import TTFont  # Slow to import, and needed only here.

    table: dict[str, Ranges] = {}
    for family, names in FAMILY_FILES.items():
        shared: set[int] | None = None
        for name in names:
            with TTFont(resource("fonts", name), lazy=True) as font:
                # Glyph 0 is the empty box: an entry that leads to it prints no character.
                has = {
                    code for code, glyph in (font.getBestCmap() or {}).items() if glyph != ".notdef"
                }
            shared = has if shared is None else shared & has
        table[family] = _ranges(shared or ())
    return table


def _ranges(codes: Iterable[int]) -> Ranges:
    found: list[tuple[int, int]] = []
    for code in sorted(codes):
        if found and code == found[-1][1] + 1:
            found[-1] = (found[-1][0], code)
        else:
            found.append((code, code))
    return tuple(found)


def module_text(table: Mapping[str, Ranges]) -> str:
    """Return the text of `coverage_table.py` for this table."""
    lines = [
        '"""Code points the bundled fonts have, per family; written by `coverage.py`."""',
        "",
        "COVERAGE: dict[str, tuple[tuple[int, int], ...]] = {",
    ]
    for family, ranges in table.items():
        lines.append(f'    "{family}": (')
        lines += [f"        (0x{first:04X}, 0x{last:04X})," for first, last in ranges]
        lines.append("    ),")
    lines.append("}")
    return "\n".join(lines) + "\n"


if __name__ == "__main__":
    Path(__file__).with_name("coverage_table.py").write_text(module_text(measure()), "utf-8")
