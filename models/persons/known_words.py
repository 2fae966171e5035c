"""What a word of a remark is known for: the lists of models/persons/lists, as words are compared.

Common practice, no source. Trade and everyday words are collected from what is written on goods, packing, damage,
carriers and the calendar; none of them alone is taken for a name. First names are frequent in Europe and the Americas,
from memory, without those that are everyday words (Mark, Will, Rose, Grant).
"""

from models.packaged import packaged
from models.persons.words import folded


def _listed(*names: str) -> list[str]:
    return [folded(word) for name in names for word in packaged(f"persons/lists/{name}.txt").split()]


TRADE_WORDS = frozenset(_listed("english", "goods", "other_languages"))
# Ends of German and Dutch compounds of the trade, written as one word: Seitenkarton, Endkappe.
TRADE_ENDS = tuple(_listed("ends_of_compounds"))
FIRST_NAMES = frozenset(_listed("first_names"))


def is_trade_word(word: str) -> bool:
    """Whether a folded word belongs to the trade or to everyday language, also with a plural or verb ending."""
    if word in TRADE_WORDS or (len(word) > 5 and word.endswith(TRADE_ENDS)):
        return True
    for ending in ("s", "es", "ed", "d", "ing", "ly"):
        if word.endswith(ending) and len(word) - len(ending) >= 3 and word.removesuffix(ending) in TRADE_WORDS:
            return True
    return False
