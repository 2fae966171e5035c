"""A drawn picture read back with the standard library's XML reader: marks, their boxes, where texts stand."""

from __future__ import annotations

import re
from collections.abc import Iterator
from dataclasses import dataclass
from xml.etree import ElementTree

from dashboards.pictures import letters

SVG = "{http://www.w3.org/2000/svg}"


@dataclass(frozen=True)
class Box:
    """A rectangle on the picture, its name for messages."""

    left: float
    top: float
    right: float
    bottom: float
    text: str = ""

    def meets(self, other: Box, slack: float = 0.1) -> bool:
        """Whether both cover some place."""
        across = self.left < other.right - slack and other.left < self.right - slack
        return across and self.top < other.bottom - slack and other.top < self.bottom - slack


def parsed(drawing: str) -> ElementTree.Element:
    """The drawing as a tree; ParseError where it is not well formed."""
    return ElementTree.fromstring(drawing)


def marks(root: ElementTree.Element) -> list[ElementTree.Element]:
    """Groups that show a cell."""
    return [each for each in root.iter("g") if "data-row" in each.attrib]


def rects(element: ElementTree.Element) -> list[Box]:
    """The rectangles below an element."""
    found = []
    for each in element.iter("rect"):
        left, top, width, height = (float(each.attrib[name]) for name in ("x", "y", "width", "height"))
        found.append(Box(left, top, left + width, top + height))
    return found


def texts(root: ElementTree.Element) -> Iterator[Box]:
    """Every written text with the room kept for it: a line's height from 0.8 above its base line to 0.25 below."""
    yield from _texts(root, 0.0, 0.0, float(root.attrib["font-size"]))


def _texts(element: ElementTree.Element, right: float, down: float, size: float) -> Iterator[Box]:
    moved = re.match(r"translate\(([-\d.]+) ([-\d.]+)\)", element.attrib.get("transform", ""))
    right, down = (right + float(moved[1]), down + float(moved[2])) if moved else (right, down)
    if element.tag == "text" and element.text:
        wide = letters.width_of(element.text, size)
        share = {"end": 1.0, "middle": 0.5}.get(element.attrib.get("text-anchor", ""), 0.0)
        left, base = right + float(element.attrib["x"]) - share * wide, down + float(element.attrib["y"])
        yield Box(left, base - 0.8 * size, left + wide, base + 0.25 * size, element.text)
    for each in element:
        yield from _texts(each, right, down, size)


def frame(root: ElementTree.Element) -> Box:
    """What of the drawing is shown."""
    left, top, width, height = map(float, root.attrib["viewBox"].split())
    return Box(left, top, left + width, top + height)
