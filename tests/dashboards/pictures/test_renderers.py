"""Every hand draws the same marks of one description: the page's SVG, the letter's PNG, Plotly's figure."""

from __future__ import annotations

import base64
import hashlib
import json
import re
from collections import Counter
from typing import Any

import plotly.graph_objects as go
import pytest

from dashboards import palette
from dashboards.explore import as_json, explore, render_explore
from dashboards.pictures import Picture
from dashboards.pictures.plotly_figure import figure
from dashboards.pictures.png import WIDTH_PX, png, standing_alone
from dashboards.pictures.svg import svg
from tests.dashboards import shop
from tests.dashboards.markup import parsed as page_of
from tests.dashboards.pictures.drawn import marks, parsed
from tests.dashboards.pictures.test_svg import HOSTILE, PLAIN, ROWS, _pictures, _rows
from tests.dashboards.test_placements import figure as packing

PICTURES = [*_pictures(ROWS, PLAIN), packing()[1]]
NAMED = [f"{at}-{picture.kind.name}" for at, picture in enumerate(PICTURES)]


def in_svg(picture: Picture) -> Counter[tuple[str, int]]:
    found = Counter((mark.attrib["data-column"], int(mark.attrib["data-row"])) for mark in marks(parsed(svg(picture))))
    return found - Counter((mark.column, mark.row) for mark in picture.totals)


def in_plotly(made: dict[str, Any]) -> Counter[tuple[str, int]]:
    return Counter((trace["meta"]["column"], row) for trace in made["data"] for row in trace["meta"]["rows"])


@pytest.mark.parametrize("picture", PICTURES, ids=NAMED)
def test_svg_and_plotly_draw_the_same_marks(picture: Picture) -> None:
    drawn = in_svg(picture)
    assert drawn == in_plotly(figure(picture))
    assert sum(drawn.values()) == len(picture.drawn) + len(picture.blocks) > 1


@pytest.mark.parametrize("picture", PICTURES, ids=NAMED)
def test_plotly_knows_every_property(picture: Picture) -> None:
    """Plotly's own library is the referee: it refuses what its schema does not know."""
    made = figure(picture)
    known = go.Figure(made).to_dict()
    assert [trace["type"] for trace in known["data"]] == [trace["type"] for trace in made["data"]]
    assert json.loads(as_json(made)) == json.loads(json.dumps(made))


@pytest.mark.parametrize("picture", PICTURES[:-1], ids=NAMED[:-1])
def test_values_of_plotly_are_those_of_the_description(picture: Picture) -> None:
    values = Counter(mark.value for mark in picture.drawn)
    made = figure(picture)["data"]
    axes = [Counter(each for trace in made for each in trace[axis]) for axis in "xy"]
    axes.append(
        Counter(each for trace in made for each in trace["marker"].get("color", []) if not isinstance(each, str))
    )
    assert values in axes


@pytest.mark.parametrize("picture", PICTURES, ids=NAMED)
def test_a_letter_has_the_same_drawing_with_colours_of_its_own(picture: Picture) -> None:
    text = standing_alone(picture)
    assert "var(" not in text
    assert text.count("data-row") == str(svg(picture)).count("data-row")
    made = png(picture)
    assert made.startswith(b"\x89PNG\r\n\x1a\n")
    assert int.from_bytes(made[16:20], "big") == WIDTH_PX


def test_a_letters_picture_has_ink_on_white() -> None:
    """A drawing whose style was lost would be black bars, or none at all: the file of coloured bars is larger."""
    text = standing_alone(PICTURES[0])
    assert palette.LIGHT["loss"] in text and palette.LIGHT["bar"] in text
    bare = png(Picture(PICTURES[0].kind, PICTURES[0].table, PICTURES[0].marks[1:2]))
    assert len(png(PICTURES[0])) > len(bare) > 500


def test_the_file_to_explore_stands_alone_and_its_policy_names_its_scripts() -> None:
    text = render_explore(shop.review())
    root = page_of(text)
    assert len(root.all("article")) >= 15
    scripts = ["".join(map(str, each.parts)) for each in root.all("script") if "type" not in each.attributes]
    digests = {base64.b64encode(hashlib.sha256(script.encode()).digest()).decode() for script in scripts}
    (policy,) = [each.attributes["content"] for each in root.all("meta") if "http-equiv" in each.attributes]
    assert set(re.findall(r"'sha256-([^']+)'", policy)) == digests
    assert not any({"src", "srcset"} & set(each.attributes) for each in root.walk())
    assert all("://" not in each.attributes.get("href", "") for each in root.walk())


def test_hostile_names_cannot_leave_the_file_to_explore() -> None:
    rows = _rows(HOSTILE, [(at + 1) * 900 for at in range(len(HOSTILE))])
    root = page_of(explore(_pictures(rows, PLAIN), shop.review()))
    for script in root.all("script"):
        if "type" in script.attributes:
            assert not set("".join(map(str, script.parts))) & set("<>&\u2028\u2029")
    assert {each.tag for each in root.all("body")[0].walk()} <= {
        *("body", "a", "header", "p", "bdi", "h1", "h2", "main", "article", "div", "script", "noscript")
    }


def test_a_value_that_json_cannot_say_is_an_error_not_a_broken_page() -> None:
    with pytest.raises(ValueError, match="JSON"):
        as_json({"x": [float("nan")]})
