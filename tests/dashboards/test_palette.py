from __future__ import annotations

import colorsys
import re
from itertools import combinations

import pytest

from dashboards import pages, palette
from dashboards.pictures import Tone, plotly_figure
from tests.dashboards.colours import contrast, luminance


# W3C, Web Content Accessibility Guidelines 2.1 (2018), definitions of relative luminance and contrast ratio: luminance
# runs from 0 for black to 1 for white, the ratio from 1 to 21.
@pytest.mark.published
def test_contrast_reaches_from_one_to_twenty_one() -> None:
    assert luminance("#000000") == 0.0
    assert luminance("#ffffff") == pytest.approx(1.0, abs=1e-12)
    assert contrast("#000000", "#ffffff") == pytest.approx(21.0, abs=1e-9)
    assert contrast("#123456", "#123456") == 1.0


@pytest.mark.from_memory
def test_contrast_of_the_lightest_grey_that_is_readable_on_white() -> None:
    assert contrast("#767676", "#ffffff") == pytest.approx(4.54, abs=0.005)


# WCAG 2.1, success criterion 1.4.3 (AA): text has at least 4.5:1.
@pytest.mark.published
@pytest.mark.parametrize("tones", [palette.LIGHT, palette.DARK], ids=["light", "dark"])
@pytest.mark.parametrize("ground", ["ground", "sheet", "band"])
@pytest.mark.parametrize("text", ["ink", "quiet", "mark", "loss"])
def test_text_stands_out(tones: dict[str, str], ground: str, text: str) -> None:
    assert contrast(tones[text], tones[ground]) >= 4.5


# WCAG 2.1, success criterion 1.4.11 (AA): graphical objects have at least 3:1.
@pytest.mark.published
@pytest.mark.parametrize("tone", palette.TONES)
@pytest.mark.parametrize("ground", [palette.LIGHT["sheet"], palette.DARK["sheet"], "#ffffff"])
def test_marks_stand_out_on_light_dark_and_paper(tone: str, ground: str) -> None:
    assert contrast(tone, ground) >= 3.0


def hue(colour: str) -> float | None:
    """Degrees round the circle of colours; none for a grey."""
    red, green, blue = (int(colour[at : at + 2], 16) / 255 for at in (1, 3, 5))
    turn, _, saturation = colorsys.rgb_to_hls(red, green, blue)
    return 360 * turn if saturation > 0.1 else None


# Twenty degrees are common practice, no source.
@pytest.mark.parametrize("colours", [palette.LIGHT, palette.DARK], ids=["light", "dark"])
def test_a_colour_that_tells_good_or_bad_tells_no_kind(colours: dict[str, str]) -> None:
    for meaning in ("loss", "gain"):
        for tone in palette.TONES:
            own, other = hue(colours[meaning]), hue(tone)
            apart = 180.0 if own is None or other is None else abs((own - other + 180) % 360 - 180)
            assert apart > 20, (meaning, tone)
    with_meaning = [colours[name] for name in ("loss", "gain", "mark", "bar", "quiet")]
    assert len({*with_meaning, *palette.TONES}) == 5 + len(palette.TONES)


def test_every_hand_that_draws_gives_a_tone_the_same_colour() -> None:
    styled = dict(re.findall(r"\.picture \.(\w+) \{ fill: var\(--(\w+)\)", pages.text("pictures/pictures.css")))
    styled |= dict(re.findall(r"\.picture \.(\w+) \{ fill: var\(--(\w+)\)", pages.text("pictures/marks.css")))
    assert {tone: styled[tone.value] for tone in Tone} == plotly_figure.TONES
    assert [styled[f"s{at}"] for at in range(len(palette.TONES))] == list(palette.TONE_NAMES)


@pytest.mark.parametrize("second", [palette.HATCHES, palette.MARKS, palette.STROKES])
def test_no_kind_is_reported_by_colour_alone(second: tuple[str, ...]) -> None:
    assert len(set(second)) == len(second) == len(palette.TONES)


# Brettel-Viénot-Mollon style reduction to two cones; matrix of Viénot, Brettel and Mollon (1999), linear RGB.
@pytest.mark.from_memory
@pytest.mark.parametrize(
    "rows",
    [((0.11238, 0.88762), (0.11238, 0.88762), (0.00401, -0.00401)), ((0.29275, 0.70725),) * 2 + ((-0.02234, 0.02234),)],
    ids=["without long cones", "without middle cones"],
)
def test_tones_of_neighbouring_kinds_differ_with_two_kinds_of_cone(rows: tuple[tuple[float, float], ...]) -> None:
    def seen(tone: str) -> tuple[float, ...]:
        red, green, blue = (int(tone[at : at + 2], 16) / 255 for at in (1, 3, 5))
        return tuple(a * red + b * green + (blue if at == 2 else 0.0) for at, (a, b) in enumerate(rows))

    for one, other in combinations(palette.TONES[:3], 2):
        assert max(abs(a - b) for a, b in zip(seen(one), seen(other), strict=True)) > 0.1
