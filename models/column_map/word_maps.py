"""Words of a shop's exports brought to the closed lists of the contracts, and its ways of saying yes and no."""

import difflib
import re
import unicodedata
from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass

_YES = "yes y true t 1 x ja j wahr oui o vrai si s sim tak on residential home privat"
_NO = "no n false f 0 nein nee non nao off commercial business firma gewerblich"
# Every known word for yes or no, lower case, and what it means.
FLAG_WORDS: dict[str, str] = {**dict.fromkeys(_YES.split(), "yes"), **dict.fromkeys(_NO.split(), "no")}
# Understood by the intake as they stand.
PLAIN_FLAGS = frozenset(("yes", "no", "y", "n", "true", "false", "1", "0"))

# Words of a closed list -> beginnings of words that mean the same, in several languages.
_LIKE = {
    "damage": "damag broken broke bruch beschad kaput endommag casse dan rott schade crush dent smash rottur rotur "
    "uszkodz",
    "loss": "lost loss missing verlor verlust perdu perdid perso smarri zagubi extravi verlies never stolen "
    "undelivered",
    "not as described": "described listed wrong abweich falsch conform incorrect mismatch",
    "delay": "delay late verspat retard retras ritard vertrag",
    "other": "other sonst autre otro altro overig misc",
    "reported": "report open new offen gemeld nouveau nuevo aperto aperta pending zglosz",
    "filed": "file submit eingereicht sent lodg depos presentat inoltrat progress review corso bearbeitung",
    "paid": "paid pay bezahlt gezahlt approv accept reimburs settl paye pagad pagat betaal accolt liquidat accord "
    "wyplac",
    "paid in part": "part parte partial partially partiel teil teilweise parcial parziale gedeeltelijk",
    "refused": "refus deni reject declin abgelehnt rejet rechaz rifiut respint recus negad afgewezen odrzuc",
    "appealed": "appeal widerspr einspruch recours ricors recurs recurr bezwaar",
    "closed": "closed geschloss cerrad chius clos afgeslot",
    "withdrawn": "withdr cancel zuruck storn retir annul ingetrok",
    "sold": "sold complet paid ship sent dispatch deliver fulfil closed verkauft bezahlt versandt versendet "
    "abgeschloss geliefert zugestellt vendu paye expedi livre vendid pagad pagat enviad entreg spedit consegnat evas "
    "betaal verzond",
    "cancelled": "cancel void storn annul abgebroch abandon annull odwol anulow",
    "returned": "return retour ruckgabe zuruck devuelt reso",
    "refunded": "refund erstatt rembours reembols rimbors terugbetaal",
    "base": "base transport freight fracht carriage grund linehaul porte nolo vracht fret flete frete przewoz",
    "fuel": "fuel diesel energy energie treibstoff kraftstoff carbur combust brandstof gazole gasol paliw",
    "surcharge": "surcharge accessor zuschlag supplement suplement toeslag handling surtaxe recargo "
    "sobretaxa maggioraz doplat",
    "adjustment": "adjust correct korrekt rectif rettif audit rebill",
    "tax": "tax vat mwst ust steuer umsatzsteuer tva iva btw duty gst hst pst qst impuest impost",
    "credit": "credit gutschrift avoir abono refund rebate",
    "any": "any alle all egal beliebig tout",
    "flat": "flat flach liegend plat plano",
    "upright": "upright stand vertical aufrecht debout",
}
_CLOSE = 0.75
# "Fuel surcharge" is fuel, "other damage" is damage, "paid in part" is not paid: these yield where a word says
# something narrower as well.
_GENERAL = frozenset(("surcharge", "other", "reported", "base", "paid"))
_CHARGES = frozenset(("fuel", "surcharge", "base"))
_SMALL_WORDS = frozenset(("de", "of", "the", "la", "le", "el", "di", "da", "do", "du", "des", "por", "per", "en"))


@dataclass(frozen=True)
class WordMap:
    """`words`: each source word and its meaning. `guessed`: those to be checked. `unknown`: the rest."""

    words: Mapping[str, str]
    guessed: tuple[str, ...]
    unknown: tuple[str, ...]

    @property
    def needed(self) -> dict[str, str]:
        """What has to be stated in a column map: words that do not already stand as the list has them."""
        return {word: meaning for word, meaning in self.words.items() if word != meaning}


def map_words(words: Iterable[str], listed: Sequence[str]) -> WordMap:
    """Bring each source word to the nearest word of a closed list, or leave it unknown."""
    found = {word: meaning for word in words if (meaning := _nearest(word, listed))}
    return WordMap(
        words=found,
        guessed=tuple(word for word, meaning in found.items() if not _is_known(word, meaning, listed)),
        unknown=tuple(word for word in words if word not in found),
    )


def is_tax(*written: str) -> bool:
    """Whether one of these is a word for a tax."""
    return bool(map_words(written, ("tax",)).words)


def map_flags(words: Iterable[str], about: str) -> WordMap:
    """Bring each source word to yes or no, or leave it unknown; nothing where the intake reads all as they are.

    A beginning of what the flag is `about` is taken for yes, such as `R` or `Res` for residential.
    """
    found = {word: meaning for word in words if (meaning := _yes_or_no(plain_word(word), about))}
    strange = tuple(word for word in found if word.casefold() not in PLAIN_FLAGS)
    return WordMap(
        found if strange else {},
        tuple(word for word in strange if plain_word(word) not in FLAG_WORDS),
        tuple(word for word in words if word not in found),
    )


def _yes_or_no(word: str, about: str) -> str | None:
    return FLAG_WORDS.get(word) or ("yes" if word and about.startswith(word) else None)


def _is_known(word: str, meaning: str, listed: Sequence[str]) -> bool:
    """Whether the text is the listed word, or every word of it is one that is known for this meaning alone.

    "Fuel surcharge" is known too: what is fuel is a surcharge, in every invoice.
    """
    plain = plain_word(word)
    if plain == meaning:
        return True
    among = [{choice for choice in listed if _begins_alike(each, choice)} for each in plain.split()]
    said = [choices for choices, each in zip(among, plain.split(), strict=True) if each not in _SMALL_WORDS]
    return bool(said) and all(
        choices and choices <= {meaning, *(_CHARGES if meaning in _CHARGES else ())} for choices in said
    )


def any_case(values: Mapping[str, str]) -> dict[str, str]:
    """What words in small letters stand for, where every spelling that is stated stands for the same."""
    meant: dict[str, set[str]] = {}
    for word, meaning in values.items():
        meant.setdefault(word.lower(), set()).add(meaning)
    return {word: min(meanings) for word, meanings in meant.items() if len(meanings) == 1}


def once_each(words: Iterable[str]) -> list[str]:
    """One spelling of each word, whatever its case; one in small letters alone, as the contract has them, yields."""
    return list({word.lower(): word for word in sorted(set(words), reverse=True)}.values())[::-1]


def plain_word(word: str) -> str:
    """The word in small letters, without accents and signs."""
    folded = unicodedata.normalize("NFKD", word.casefold().replace("ł", "l"))
    bare = "".join(letter for letter in folded if not unicodedata.combining(letter))
    return re.sub(r"[^a-z0-9]+", " ", bare).strip()


def _nearest(word: str, listed: Sequence[str]) -> str | None:
    plain = plain_word(word)
    if plain in listed:
        return plain
    alike = [choice for choice in listed if _begins_alike(plain, choice)]
    if len(alike) > 1:
        alike = [choice for choice in alike if choice not in _GENERAL]
    if len(alike) == 1:
        return alike[0]
    close = difflib.get_close_matches(plain, listed, n=1, cutoff=_CLOSE)
    return close[0] if close else None


def _begins_alike(plain: str, choice: str) -> bool:
    beginnings = tuple(_LIKE.get(choice, choice).split())
    return any(word.startswith(beginnings) for word in plain.split())
