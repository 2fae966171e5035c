"""What a column header says: its trade words, the unit it names, and how near it comes to a contract's column."""

import math
import re
import unicodedata
from collections import Counter
from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from functools import cached_property
from itertools import product

from models.column_map.header_words import TRADE_WORDS, Meanings, phrase_words, written_words
from models.contracts import Contract
from models.fields import MEASURED, Column, Quantity

# The three-letter ones are UN/CEFACT Recommendation 20 codes.
_UNIT_NAMES: dict[tuple[Quantity, str], str] = {
    (Quantity.LENGTH, "in"): "in inch inches zoll pulgadas pouces pollici polegadas inh",
    (Quantity.LENGTH, "cm"): "cm centimeter centimetre centimetres zentimeter cmt",
    (Quantity.LENGTH, "mm"): "mm millimeter millimetre mmt",
    (Quantity.LENGTH, "ft"): "ft feet foot",
    (Quantity.WEIGHT, "lb"): "lb lbs pound pounds pfund libras libbre lbr",
    (Quantity.WEIGHT, "oz"): "oz ounce ounces unzen onces onzas oncas onz",
    (Quantity.WEIGHT, "kg"): "kg kgs kilo kilos kilogram kilograms kilogramm kgm",
    (Quantity.WEIGHT, "g"): "gram grams gramm gr grammes gramos grammi gramas grm",
    (Quantity.MONEY, "cents"): "cents cent",
}
_UNIT_WORDS = {word: unit for unit, words in _UNIT_NAMES.items() for word in words.split()}
# Read as a unit only between brackets: alone they are too common as other abbreviations.
_BRACKETED = {"m": (Quantity.LENGTH, "m"), "g": (Quantity.WEIGHT, "g"), '"': (Quantity.LENGTH, "in")}
_MONEY_SIGNS = frozenset(("$", "€", "£", "¥", "usd", "eur", "gbp", "jpy", "chf", "cad", "aud"))
_CURRENCIES = {"€": "EUR", "£": "GBP", **{code: code.upper() for code in _MONEY_SIGNS if code.isalpha()}}
# "Price per 100", "Preis pro 1.000 Stk.", "EUR/100", "prix les 100".
_PIECES = re.compile(
    r"(?:\b(?:per|pro|je|par|les|por|cada|ogni|za)\s+|(?<!\d)/\s*)(1[.,' ]?000|100|12|10)\b"
    r"(?!\s*(?:k?g|lbs?|[cm]?m)\b)",
    re.IGNORECASE,
)
_BRACKETS = re.compile(r"[(\[{]([^)\]}]*)[)\]}]")
_CAMEL = re.compile(r"(?<=[a-z0-9])(?=[A-Z])|(?<=[A-Z])(?=[A-Z][a-z])")
# "N.º" and "Q.tà", "P.U." and "C.P." are one word each.
_ABBREVIATION = re.compile(r"(?<=\b[^\W\d_])\.(?=[^\W\d_])")
_ELISION = re.compile(r"\b(?:d|l|dell|all|dall|nell|sull)['’]", re.IGNORECASE)
_SPOKEN_WEIGHTS, _SPOKEN_LENGTHS = frozenset(("weight", "scale")), frozenset(("length", "width", "height"))
# A word that no column of the contract uses still tells headers apart, but less than one that does.
_STRANGE_WORD, _STRANGE_FIGURE = 0.6, 0.05
# A known word that this contract does not use says that the header speaks of something else.
_OTHER_WORD = 2.0
# A header that is the very name of another column comes no nearer than this.
_OTHER_NAME = 0.9


@dataclass(frozen=True)
class Header:
    """One source header: as written, what each of its words may mean, and the unit it names, if any."""

    written: str
    words: tuple[Meanings, ...]
    unit: tuple[Quantity, str] | None


def header(written: str) -> Header:
    """Read a header such as `Ship date`, `inside_length_cm`, `Länge (cm)` or `TrackingNumber`."""
    if (pieces := _pieces(written)) is not None:
        bare = header(_PIECES.sub(" ", written))
        return Header(written, bare.words, (Quantity.MONEY, pieces))
    bracketed = [word for inside in _BRACKETS.findall(written) for word in _plain_words(inside)]
    words = _plain_words(_BRACKETS.sub(" ", written)) or bracketed
    unit = next((found for word in bracketed if (found := _unit(word) or _BRACKETED.get(word))), None)
    if unit is None:
        unit = next((found for word in _outer(words) if (found := _unit(word))), None)
    kept = [word for word in words if word not in _MONEY_SIGNS and word not in _UNIT_WORDS and word != '"']
    if unit is None and (unit := _last_letter(kept)):
        kept = kept[:-1]
    plain = [word for word in bracketed if _unit(word) is None and word not in _BRACKETED]
    spoken = written_words(kept + (plain if unit is None else []))
    return Header(written, (*spoken, *_implied(spoken, unit)), unit)


def _pieces(written: str) -> str | None:
    """The unit of a price for several pieces that a header states."""
    found = _PIECES.search(written)
    return None if found is None else f"per {re.sub(r'[^0-9]', '', found[1])}"


def _last_letter(words: list[str]) -> tuple[Quantity, str] | None:
    """A letter at the end is a unit where the words before it speak of what it measures: `Waage g`, `Length m`."""
    unit = _BRACKETED.get(words[-1]) if len(words) > 1 else None
    if unit is None:
        return None
    spoken = frozenset[str]().union(*written_words(words[:-1]))
    measures = _SPOKEN_WEIGHTS if unit[0] is Quantity.WEIGHT else _SPOKEN_LENGTHS
    return unit if spoken & measures else None


def stated_unit(written: str, wanted: Quantity) -> str | None:
    """The one unit of a quantity that a header states, in brackets or as its last or first word; None for two of them.

    `Weight lb oz` states two, `Length in cm` one. Where the quantity is known, a letter at the end is a unit too:
    `weight_g`.
    """
    if wanted is Quantity.MONEY and (pieces := _pieces(written)) is not None:
        return pieces
    bracketed = [word for inside in _BRACKETS.findall(written) for word in _plain_words(inside)]
    words = _plain_words(_BRACKETS.sub(" ", written))
    named = [
        *(_unit(word) or _BRACKETED.get(word) for word in (*bracketed, *words[-1:])),
        *map(_unit, _outer(words)),
        *(_unit(word) for word in words[1:-1] if word != "in"),
    ]
    units = {unit for found in named if found for quantity, unit in [found] if quantity is wanted and unit}
    return next(iter(units)) if len(units) == 1 else None


def named_currency(written: str) -> str | None:
    """The currency that a header names by its ISO 4217 code or by the sign of just one; `$` is of many."""
    found = {_CURRENCIES[word] for word in _plain_words(written) if word in _CURRENCIES}
    return next(iter(found)) if len(found) == 1 else None


def _implied(words: tuple[Meanings, ...], unit: tuple[Quantity, str] | None) -> tuple[Meanings, ...]:
    """`Charged lb` speaks of a weight, and a header of nothing but a currency of an amount."""
    if unit is not None and unit[0] is Quantity.WEIGHT and not any("weight" in meanings for meanings in words):
        return (frozenset(("weight",)),)
    is_bare = unit is not None and unit[0] is Quantity.MONEY and not words
    return (frozenset(("amount",)),) if is_bare else ()


def _outer(words: list[str]) -> list[str]:
    """The last word and the first, where a unit may stand; `in` comes first only in headers such as "in stock"."""
    return [*words[-1:], *(word for word in words[:1] if word != "in")]


def _unit(word: str) -> tuple[Quantity, str] | None:
    if word in _MONEY_SIGNS:
        return (Quantity.MONEY, "")
    return _UNIT_WORDS.get(word)


def _plain_words(written: str) -> list[str]:
    whole = _ELISION.sub(" ", written)
    joined = _ABBREVIATION.sub("", whole.replace("N°", "no").replace("№", "no").replace("#", " no "))
    apart = _CAMEL.sub(" ", joined)
    folded = unicodedata.normalize("NFKD", apart.casefold().replace("ł", "l"))
    bare = "".join(letter for letter in folded if not unicodedata.combining(letter))
    return re.findall(r"[a-z]+|\d+|[$€£¥\"]", bare)


@dataclass(frozen=True)
class Vocabulary:
    """The phrases by which a contract's columns are known, weighted so that rare words count more."""

    schema: Contract

    @cached_property
    def phrases(self) -> Mapping[str, Mapping[str, frozenset[str]]]:
        """For each contract column its known phrases and their trade words."""
        return {name: _phrases(name, column) for name, column in self.schema.columns.items()}

    @cached_property
    def _weights(self) -> Mapping[str, float]:
        """The weight of each word that a phrase uses: rare words weigh more."""
        used = (frozenset[str]().union(*phrases.values()) for phrases in self.phrases.values())
        uses = Counter(word for words in used for word in words)
        return {word: math.log(1 + len(self.phrases) / count) for word, count in uses.items()}

    def nearness(self, column: str, seen: Header) -> tuple[float, str]:
        """How near the header comes to the column, 0 to 1, and the phrase of the column it comes nearest to."""
        most = _OTHER_NAME if seen.written != column and seen.written in self.phrases else 1.0
        near = [(min(self._overlap(words, seen.words), most), phrase) for phrase, words in self.phrases[column].items()]
        return max(near, key=lambda found: found[0])

    def _overlap(self, phrase: frozenset[str], words: Sequence[Meanings]) -> float:
        """The share of the phrase and of the header that is in both, by weight."""
        shared, foreign = set[str](), 0.0
        for meanings in words:
            if meant := meanings & phrase:
                shared |= meant
            else:
                foreign += min(map(self._word_weight, meanings))
        if not shared:
            return 0.0
        weights = self._weights
        return sum(weights[word] for word in shared) / (sum(weights[word] for word in phrase) + foreign)

    def _word_weight(self, word: str) -> float:
        if word in self._weights:
            return self._weights[word]
        strange = _STRANGE_FIGURE if word.isdigit() else _OTHER_WORD if word in TRADE_WORDS else _STRANGE_WORD
        return strange * math.log(1 + len(self.phrases) / 2)


def _phrases(name: str, column: Column) -> dict[str, frozenset[str]]:
    named = name
    if column.quantity in (*MEASURED, Quantity.MONEY):
        named = named.rpartition("_")[0]
    spoken = named.removeprefix("is_").replace("_", " ")
    known = (phrase for stated in column.known_as for phrase in spelled_out(stated))
    return {phrase: phrase_words(_plain_words(phrase)) for phrase in (spoken, *known)}


def spelled_out(stated: str) -> list[str]:
    """The phrases that one with brackets stands for: `[net/unit] price` is "price", "net price" and "unit price"."""
    parts = re.findall(r"\[[^\]]*\]|\S+", stated)
    choices = (["", *part[1:-1].split("/")] if part.startswith("[") else part.split("/") for part in parts)
    return [" ".join(filter(None, chosen)) for chosen in product(*choices)]
