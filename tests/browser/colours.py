"""Reckon the contrast of two colours, and read the colours of the style sheet."""

import re
from importlib.resources import files
from typing import Final

Colour = tuple[int, int, int]

LEAST_FOR_TEXT: Final = 4.5
"""WCAG 2.2, 1.4.3 Contrast (Minimum): 4.5:1 for text; we ask it of large text as well."""
LEAST_FOR_EDGES: Final = 3.0
"""WCAG 2.2, 1.4.11 Non-text Contrast: 3:1 for what shows where a field is."""

_HEX: Final = re.compile(r"#([0-9a-f]{3}|[0-9a-f]{6})")
_RGB: Final = re.compile(r"rgb\((\d+), (\d+), (\d+)\)")
_BLOCK: Final = re.compile(r":root\s*{([^}]*)}")
_NAMED: Final = re.compile(r"--([a-z-]+):\s*(#[0-9a-f]+)")


def read_colour(written: str) -> Colour:
    """Read a colour as #rgb, #rrggbb or rgb(r, g, b). Raises ValueError for any other."""
    if _HEX.fullmatch(written):
        digits = written[1:] if len(written) == 7 else "".join(one * 2 for one in written[1:])
        return (int(digits[:2], 16), int(digits[2:4], 16), int(digits[4:], 16))
    found = _RGB.fullmatch(written)
    if found is None:
        raise ValueError(f"{written!r} is no colour that this reads")
    return (int(found[1]), int(found[2]), int(found[3]))


def luminance(colour: Colour) -> float:
    """Give the relative luminance of a colour in sRGB: WCAG 2.2, definitions."""
    red, green, blue = (_linear(part / 255) for part in colour)
    return 0.2126 * red + 0.7152 * green + 0.0722 * blue


def contrast(one: Colour, other: Colour) -> float:
    """Give the contrast ratio of two colours, 1 to 21: WCAG 2.2, definitions."""
    darker, lighter = sorted((luminance(one), luminance(other)))
    return (lighter + 0.05) / (darker + 0.05)


def schemes() -> dict[str, dict[str, Colour]]:
    """Read the named colours of the style sheet: by day, in the dark, and on paper."""
    text = (files("daysworth.pages") / "static" / "daysworth.css").read_text("utf-8")
    blocks = [dict(_NAMED.findall(block)) for block in _BLOCK.findall(text)]
    names = ("light", "dark", "paper")
    return {
        scheme: {name: read_colour(written) for name, written in block.items()}
        for scheme, block in zip(names, blocks, strict=True)
    }


def _linear(part: float) -> float:
    return float(part / 12.92 if part <= 0.04045 else ((part + 0.055) / 1.055) ** 2.4)
