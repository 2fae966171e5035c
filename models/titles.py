"""Item types from the titles of sales: rules of words, and which rules would serve the titles that none fits.

A rule fits a title that has all its words, in any order. models/sql/core/sale_titles.sql applies the rules; what a word
is stands here and there alike, and a test holds both to the same answers.
"""

from collections import Counter
from collections.abc import Iterable, Iterator, Mapping, Sequence
from dataclasses import dataclass

# What parts words, beside blanks; the SQL has the same signs.
PARTING = "!\"#$%&'()*+,-./:;<=>?@[\\]^_`{|}~"
_BLANKS = str.maketrans(PARTING, " " * len(PARTING))
# Words that praise or bind and name no goods. Common practice, no source.
_NOISE = """
a an and are at by for from in is it its of on or the to w with without you your
amazing awesome beautiful best cool excellent fine free good great hot htf l k look mint must nice perfect rare read
sale scarce see sell shipping super unique very wow l00k nr obo vg exc
"""
NOISE = frozenset(_NOISE.split())
# A word that more than this share of many titles have says nothing of what kind they are.
MOST_SHARED = 0.5
MANY = 6
# A second word joins the first where it leaves at least this share of its titles.
STAYS = 0.75


@dataclass(frozen=True)
class TitleCount:
    """A title as the shop wrote it, on how many sale lines, and the money on them in cents."""

    title: str
    line_count: int
    money_cents: int


@dataclass(frozen=True)
class Proposal:
    """Words that several titles share, which could be the rule of an item type."""

    words: tuple[str, ...]
    line_count: int
    money_cents: int
    example: str

    @property
    def item_type(self) -> str:
        """A name for the item type."""
        return " ".join(self.words)


def words_of(text: str) -> tuple[str, ...]:
    """The words of a title or rule, small and without signs, each once and in order."""
    return tuple(dict.fromkeys(text.lower().translate(_BLANKS).split()))


def telling(title: str) -> tuple[str, ...]:
    """The words of a title that may name goods: without praise, and without signs alone."""
    return tuple(word for word in words_of(title) if word not in NOISE)


def proposals(unknown: Iterable[TitleCount]) -> Iterator[Proposal]:
    """Rules that would serve the titles, the one of most sale lines first; titles that share nothing are left."""
    left = {each: frozenset(telling(each.title)) for each in unknown}
    while (found := _most_shared(left)) is not None:
        served = [each for each, there in left.items() if there >= set(found)]
        yield _proposal(found, served)
        left = {each: there for each, there in left.items() if not there >= set(found)}


def _most_shared(left: Mapping[TitleCount, frozenset[str]]) -> tuple[str, ...] | None:
    """The word that most sale lines share, with the words that nearly all of these have as well."""
    lines = _lines(left)
    titles = Counter(word for there in left.values() for word in there)
    most = MOST_SHARED * len(left) if len(left) >= MANY else len(left)
    shared = {word: count for word, count in lines.items() if 2 <= titles[word] <= most}
    if not shared:
        return None
    first = max(sorted(shared), key=lambda word: (shared[word], not word.isdigit()))
    having = {each: there - {first} for each, there in left.items() if first in there}
    more = {word: count for word, count in _lines(having).items() if count >= STAYS * shared[first]}
    beside = sorted(more, key=lambda word: (-more[word], word))[:2]
    return _as_written((first, *beside), having)


def _lines(left: Mapping[TitleCount, frozenset[str]]) -> Counter[str]:
    """Sale lines by each word that their titles have."""
    found: Counter[str] = Counter()
    for each, there in left.items():
        found.update(dict.fromkeys(there, each.line_count))
    return found


def _as_written(words: Sequence[str], having: Mapping[TitleCount, frozenset[str]]) -> tuple[str, ...]:
    """The words that one title has all of, in its order; else the first alone."""
    for each in having:
        order = words_of(each.title)
        if set(words) <= set(order):
            return tuple(sorted(words, key=order.index))
    return tuple(words[:1])


def _proposal(words: tuple[str, ...], served: Sequence[TitleCount]) -> Proposal:
    lines, money = sum(each.line_count for each in served), sum(each.money_cents for each in served)
    return Proposal(words, lines, money, max(served, key=lambda each: each.line_count).title)
