"""A box drawn in space: the view of it, and its size on the page, so that no side of it is cut off."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from typing import Any

import numpy as np

from dashboards import palette

AXES = ("length", "width", "height")
# Seen from the front, a little from the right and above, without perspective.
EYE = (0.5, -1.2, 0.75)
HEIGHT_PX = 520
# Measured in a browser: Plotly draws one unit of a scene of that height, seen from there, so many pixels long.
UNIT_PX = 235
# Most units across and up the page, and the room that the axes' words take beside the box.
ACROSS, UPWARDS = 3.0, 1.65
WORDS_PX = 150
# Ticks of a side: a short one has no room for many numbers.
TICKS_LEAST, TICKS_MORE = 2, 6


def scene_layout(sides: Sequence[float], unit: str) -> Mapping[str, Any]:
    """Layout of a figure whose scene holds a box of these sides (length, width, height), true to scale, in a unit.

    `meta.width_px` is the page's width that the scene needs; dashboards/page.js draws it smaller on a narrower one.
    """
    ratio, across = _scaled(sides)
    return {
        "height": HEIGHT_PX,
        "showlegend": False,
        "meta": {"width_px": round(across * UNIT_PX) + WORDS_PX},
        "scene": {
            **{
                f"{at}axis": _axis(f"{AXES[n]}, {unit}", side, side / max(sides))
                for n, (at, side) in enumerate(zip("xyz", sides, strict=True))
            },
            "aspectmode": "manual",
            "aspectratio": dict(zip("xyz", ratio, strict=True)),
            "dragmode": "turntable",
            "camera": {"eye": dict(zip("xyz", EYE, strict=True)), "projection": {"type": "orthographic"}},
        },
    }


def _scaled(lengths: Sequence[float]) -> tuple[list[float], float]:
    """The sides in units of the scene, as large as both directions of the page allow, and the box's width across."""
    sides = np.asarray(lengths, dtype=float)
    across, upwards = (float(np.abs(direction) @ sides) for direction in _directions())
    scale = min(ACROSS / across, UPWARDS / upwards)
    return [float(side) for side in sides * scale], across * scale


def _directions() -> tuple[np.ndarray[Any, Any], np.ndarray[Any, Any]]:
    """Unit vectors that point right and up on the page."""
    towards = np.array(EYE) / np.linalg.norm(EYE)
    right = np.cross([0.0, 0.0, 1.0], towards)
    right /= np.linalg.norm(right)
    return right, np.cross(towards, right)


def _axis(title: str, side: float, share: float) -> dict[str, Any]:
    return {
        "title": {"text": title},
        "range": [0.0, side],
        "nticks": TICKS_LEAST + round(TICKS_MORE * share),
        "color": palette.GREY,
        "showbackground": False,
        "gridcolor": palette.GREY,
    }
