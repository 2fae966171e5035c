"""How bright colours are and how far apart, as W3C's Web Content Accessibility Guidelines 2.1 (2018) define it."""

from __future__ import annotations


def luminance(colour: str) -> float:
    """Relative luminance of `#rrggbb`, 0 black to 1 white."""
    red, green, blue = (_linear(int(colour[at : at + 2], 16) / 255) for at in (1, 3, 5))
    return 0.2126 * red + 0.7152 * green + 0.0722 * blue


def _linear(part: float) -> float:
    return part / 12.92 if part <= 0.03928 else float(((part + 0.055) / 1.055) ** 2.4)


def contrast(one: str, other: str) -> float:
    """Contrast ratio of two colours, 1 to 21."""
    low, high = sorted((luminance(one), luminance(other)))
    return (high + 0.05) / (low + 0.05)
