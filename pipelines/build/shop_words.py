"""What the shop said of words: rules for the titles of its sales, and what the words of invoices are.

words.toml in the shop's folder. The commands `dunnage titles` and `dunnage charges` write it; nobody has to. A file and
no table, for the reasons of decisions.py: it outlives the warehouse and lies in every backup.
"""

from collections.abc import Mapping, Sequence
from dataclasses import asdict, dataclass
from typing import Annotated, Any, ClassVar

import tomlkit
from pydantic import AfterValidator, Field

from models.columns.billing import CHARGE_KINDS
from models.settings.types import RefusedError, Section, Words, among
from models.tables import TABLES
from models.titles import words_of
from pipelines.build.loading import frame, load_rows
from pipelines.shop import warehouse
from pipelines.shop.settings import Settings
from pipelines.shop.toml_files import stated_as
from pipelines.shop.toml_logs import Log

TITLES, CHARGES = "title", "charge"
HEAD = """\
# What words mean to this shop. `dunnage titles` and `dunnage charges` write it.
# The first [[title]] whose words all stand in a title says its item type.
"""


def _has_words(text: str) -> str:
    if not words_of(text):
        raise RefusedError("holds no word", "write at least one word or number")
    return text


@dataclass(frozen=True)
class TitleRule(Section):
    """A sale whose title has all these words is of this item type."""

    affected: ClassVar[str] = "item types made from titles; nothing was written"

    words: Annotated[Words, AfterValidator(_has_words)]
    item_type: Annotated[Words, Field(max_length=200)]


@dataclass(frozen=True)
class ChargeWord(Section):
    """What a carrier's word on its invoices is; surcharge: its name in the tariff."""

    affected: ClassVar[str] = "kinds of charges; nothing was written"

    carrier: Words
    word: Words
    kind: Annotated[str, among(CHARGE_KINDS)]
    surcharge: str = ""


Rules = Annotated[tuple[TitleRule, ...], Field(strict=False)]
Answers = Annotated[tuple[ChargeWord, ...], Field(strict=False)]
LOG = Log("words.toml", HEAD, {TITLES: Rules, CHARGES: Answers}, "item types from titles and kinds of charges")


@dataclass(frozen=True)
class Said:
    """All that words.toml states, in its order."""

    titles: tuple[TitleRule, ...] = ()
    charges: tuple[ChargeWord, ...] = ()


def said(settings: Settings) -> Said:
    """What the shop said; nothing where there is no file. Raises SettingsError for a wrong entry."""
    found = LOG.read(settings)
    return Said(found[TITLES], found[CHARGES])


def add_rules(settings: Settings, rules: Sequence[tuple[str, str]]) -> list[TitleRule]:
    """Add rules (words, item type) after those there are; one with the very same words is replaced where it stands.

    Raises SettingsError for one that cannot be meant; then none is written.
    """
    made: list[TitleRule] = [
        stated_as(TitleRule, {"words": words.strip(), "item_type": item_type.strip()}, f"rule {words!r}")
        for words, item_type in rules
    ]
    _put(settings, TITLES, [asdict(each) for each in made], lambda entry: frozenset(words_of(str(entry["words"]))))
    return made


def remove_rule(settings: Settings, number: int) -> TitleRule:
    """Remove the rule of that number, the first is 1; the caller has looked that there is one."""
    removed = said(settings).titles[number - 1]
    document = LOG.document(settings)
    del document[TITLES][number - 1]
    if not document[TITLES]:
        del document[TITLES]
    LOG.write(settings, document)
    return removed


def answer_charges(settings: Settings, answers: Sequence[Mapping[str, str]]) -> list[ChargeWord]:
    """Say what words of invoices are; what was said before of the same word is replaced. Raises SettingsError."""
    made: list[ChargeWord] = [stated_as(ChargeWord, dict(each), f"word {each['word']!r}") for each in answers]
    entries = [{name: value for name, value in asdict(each).items() if value} for each in made]
    _put(settings, CHARGES, entries, lambda entry: (entry["carrier"], entry["word"]))
    return made


def _put(settings: Settings, section: str, entries: Sequence[dict[str, Any]], key: Any) -> None:
    said(settings)  # a file that cannot be read is refused before it is written
    document = LOG.document(settings)
    known = document.setdefault(section, tomlkit.aot())
    for entry in entries:
        places = [at for at, each in enumerate(known) if key(each) == key(entry)]
        if places:
            known[places[0]] = tomlkit.item(entry)
        else:
            known.append(tomlkit.item(entry))
    LOG.write(settings, document)


def load(connection: warehouse.Connection, settings: Settings) -> None:
    """Put all of it into shop.title_words and shop.charge_words, for the SQL models to read."""
    found = said(settings)
    rules = [
        (place, word, len(words_of(rule.words)), rule.item_type)
        for place, rule in enumerate(found.titles, start=1)
        for word in words_of(rule.words)
    ]
    answers = {(each.carrier, each.word): (each.kind, each.surcharge or None) for each in found.charges}
    stated: dict[str, Sequence[tuple[Any, ...]]] = {
        "shop.title_words": rules,
        "shop.charge_words": [(*key, *value) for key, value in answers.items()],
    }
    for table, rows in stated.items():
        load_rows(connection, TABLES[table], frame(TABLES[table], rows))
