"""How wide a text will be, reckoned without the reader's font, and how it is broken or cut to the room it has.

Widths are those of DejaVu Sans, rounded up: of the fonts that programs show this page in it is among the widest, so a
text takes no more room than is kept for it. A letter outside the table is taken for one of the widest.
"""

import unicodedata
from functools import cache

# Hundredths of the size of type, and the letters that are at most so wide.
_WIDTHS = {
    28: "ijl", 31: "IJ", 32: " ,.\N{NO-BREAK SPACE}", 34: "/:;\\|", 36: "f", 37: "-", 40: "()[]t", 42: "!r", 46: '"',
    50: "*_`'°", 53: "sz", 54: "?", 55: "c", 58: "FkL", 60: "vxyçć", 62: "PTYaeoáàâäãåéèêëóòôöõøß",
    64: "$0123456789ESbdghnpqu{}€£¥úùûüñ", 69: "ABKVXZ", 70: "CR", 77: "DHNU", 79: "GOQÖÓ", 84: "&#+<=>^~w−×", 90: "M",
    96: "%", 98: "m", 100: "W@…—",
}  # fmt: skip
_WIDTH_OF = {letter: width / 100 for width, letters in _WIDTHS.items() for letter in letters}
# DejaVu's widest letters of Cyrillic and Arabic take 1.22 of the size; letters of full width may take more.
_UNLISTED, _FULL_WIDTH = 1.25, 1.5
ELLIPSIS = "…"


@cache
def _width(letter: str) -> float:
    if letter in _WIDTH_OF:
        return _WIDTH_OF[letter]
    if unicodedata.combining(letter):
        return 0.0
    return _FULL_WIDTH if unicodedata.east_asian_width(letter) in "WF" else _UNLISTED


def width_of(text: str, size: float) -> float:
    """The most that the text takes, in the unit of `size` (the size of its type)."""
    return sum(map(_width, text)) * size


def cut(text: str, room: float, size: float) -> str:
    """The text, or as much of it as the room takes, with a mark where it was cut; empty where nothing fits."""
    if width_of(text, size) <= room:
        return text
    left = room - width_of(ELLIPSIS, size)
    kept = 0
    for letter in text:
        left -= _width(letter) * size
        if left < 0:
            break
        kept += 1
    start = text[:kept].rstrip()
    return start + ELLIPSIS if start else ""


def wrapped(text: str, room: float, size: float, lines: int) -> list[str]:
    """The text on at most so many lines, broken at blanks; what does not fit is cut in the last one."""
    words, made = text.split(), [""]
    for at, word in enumerate(words):
        longer = f"{made[-1]} {word}".strip()
        if width_of(longer, size) <= room or not made[-1]:
            made[-1] = longer
        elif len(made) < lines:
            made.append(word)
        else:
            made[-1] = " ".join([made[-1], *words[at:]])
            break
    return [cut(line, room, size) for line in made]
