"""Colours. One set of tones serves the light page, the dark page and paper.

The tones follow the colour set for all kinds of colour vision by Okabe and Ito (Color Universal Design, 2002), darkened
where needed so that each stands out at 3:1 from both grounds; no figure tells by colour alone. One colour has one
meaning on every surface: `loss` is bad, `gain` is good, `mark` is what to look at and what can be clicked, `bar` is
plain, `quiet` stands back; tones only tell kinds apart, so none of them is near those.
"""

BLUE, OCHRE, ROSE, SKY, INDIGO, GREY = "#0072b2", "#947300", "#a8577e", "#3a8fc4", "#6f6bd1", "#767676"
TONES = (BLUE, OCHRE, ROSE, SKY, INDIGO, GREY)
# A second mark beside the tone: a hatch for bars, a shape and a stroke for points and lines.
HATCHES = ("", "/", ".", "x", "-", "\\")
MARKS = ("circle", "square", "diamond", "triangle-up", "cross", "x")
STROKES = ("solid", "dash", "dot", "dashdot", "longdash", "longdashdot")

TONE_NAMES = {f"tone{at}": tone for at, tone in enumerate(TONES)}
# Grounds of cells by the size of their number, the ink on each readable.
TINTS_LIGHT = {"tint1": "#e6ebf0", "tint2": "#d3dce5", "tint3": "#bfcdda", "tint4": "#aabdce"}
TINTS_DARK = {"tint1": "#242b32", "tint2": "#2c3640", "tint3": "#34414e", "tint4": "#3d4d5d"}

LIGHT = {
    "ground": "#fbf9f5",
    "sheet": "#ffffff",
    "ink": "#211e1a",
    "quiet": "#5d564c",
    "line": "#d9d2c5",
    "band": "#f3efe7",
    "mark": "#7a4a12",
    "loss": "#a13a00",
    "gain": "#00614a",
    "bar": "#5b7083",
    **TINTS_LIGHT,
    **TONE_NAMES,
}
DARK = {
    "ground": "#161513",
    "sheet": "#1d1b19",
    "ink": "#ece7df",
    "quiet": "#b3aa9d",
    "line": "#3d3934",
    "band": "#262320",
    "mark": "#d9a468",
    "loss": "#ff9d66",
    "gain": "#6cc7a6",
    "bar": "#9fb2c4",
    **TINTS_DARK,
    **TONE_NAMES,
}
