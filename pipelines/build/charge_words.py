"""Words of invoices whose kind nothing says yet: which there are, and the shop's answers."""

from collections.abc import Iterator, Sequence
from dataclasses import dataclass

from dashboards.formats import money
from models.columns.billing import CHARGE_KINDS
from models.errors import NotFoundError
from models.sql_texts import sql_texts
from models.visible import visible
from pipelines.build import shop_words
from pipelines.build.shop_words import ChargeWord
from pipelines.shop import warehouse
from pipelines.shop.settings import Settings

MOST = 20


@dataclass(frozen=True)
class UnknownWord:
    """A carrier's word of unknown kind, on how many lines, and their cents."""

    carrier: str
    word: str
    line_count: int
    amount_cents: int


@dataclass(frozen=True)
class Answered:
    """What was said of words: kept of those that are `known` from invoices; `unknown` are on none."""

    kept: list[ChargeWord]
    unknown: tuple[str, ...]
    known: tuple[str, ...]

    def refuse_unknown(self) -> None:
        """Raises NotFoundError that names the unknown words, once the others are kept."""
        if not self.unknown:
            return
        words = f"{'word' if len(self.unknown) == 1 else 'words'} {', '.join(map(repr, self.unknown))}"
        what = "is on no invoice" if len(self.unknown) == 1 else "are on no invoice"
        listed = ", ".join(visible(each) for each in self.known)[:800]
        affected = f"{'this word' if len(self.unknown) == 1 else 'these words'}; what was said of others is kept"
        raise NotFoundError(words, what, affected, f"use one of {listed}" if listed else "import an invoice first")


def unknown_in(connection: warehouse.Connection, settings: Settings) -> list[UnknownWord]:
    """The words of accepted charges of unknown kind, the most money first."""
    known = {(each.carrier, each.word) for each in shop_words.said(settings).charges}
    found = connection.execute(sql_texts("queries")["unknown_charge_words"]).fetchall()
    return [UnknownWord(*row) for row in found if (row[0], row[1]) not in known]


def unknown_among(settings: Settings, found: Sequence[tuple[str, str, int, int]]) -> list[UnknownWord]:
    """Those of a file's words (carrier, word, lines, cents) that neither the shop nor its charge codes know yet."""
    known = {(each.carrier, each.word) for each in shop_words.said(settings).charges}
    if warehouse.files(settings)[1].exists():
        with warehouse.reading(settings) as connection:
            known |= set(connection.execute("select carrier, charge_code from accepted.charge_codes").fetchall())
    new = (UnknownWord(*row) for row in found if (row[0], row[1]) not in known)
    return sorted(new, key=lambda each: (-abs(each.amount_cents), each.carrier, each.word))


def unknown_of(settings: Settings) -> list[UnknownWord]:
    """The same, read from the published warehouse."""
    with warehouse.reading(settings) as connection:
        return unknown_in(connection, settings)


def answer(settings: Settings, stated: Sequence[str], carrier: str | None = None) -> Answered:
    """Keep answers WORD=KIND or WORD=surcharge: NAME, for the carrier or for all that use the word.

    Raises SettingsError for a kind that there is not; nothing is kept then.
    """
    with warehouse.reading(settings) as connection:
        used = connection.execute("select distinct carrier, charge_code from accepted.charges order by all").fetchall()
    return answer_among(settings, stated, used, carrier)


def answer_among(
    settings: Settings, stated: Sequence[str], used: Sequence[tuple[str, str]], carrier: str | None = None
) -> Answered:
    """The same for the words that a file uses: pairs of carrier and word."""
    answers, unknown = [], []
    for each in stated:
        word, _, said = (part.strip() for part in each.rpartition("="))
        kind, _, surcharge = (part.strip() for part in said.partition(":"))
        carriers = [of for of, code in used if code == word and carrier in (None, of)]
        if not carriers:
            unknown.append(word)
        answers += [{"carrier": of, "word": word, "kind": kind, "surcharge": surcharge} for of in carriers]
    kept = shop_words.answer_charges(settings, answers) if answers else []
    return Answered(kept, tuple(unknown), tuple(dict.fromkeys(code for of, code in used if carrier in (None, of))))


def asked(found: Sequence[UnknownWord], currency: str) -> Iterator[str]:
    """What is asked of the owner, in lines."""
    if not found:
        yield "No word of an invoice on record is of unknown kind."
        return
    yield "words of invoices, the most money first, that count as charges of unknown kind until you say what each is:"
    for each in found[:MOST]:
        yield f"  {visible(each.carrier)}: {visible(each.word)}, {amount(each, currency)}"
    if len(found) > MOST:
        yield f"  and {len(found) - MOST} more"
    example = visible(found[0].word).replace('"', '\\"')
    kinds = f"{', '.join(CHARGE_KINDS[:-1])} or {CHARGE_KINDS[-1]}"
    yield f'to say what a word is: dunnage charges --word "{example}=KIND", where KIND is {kinds}'
    yield f'to give a surcharge its name as well: --word "{example}=surcharge: NAME"'


def amount(each: UnknownWord, currency: str) -> str:
    """Its money and lines in words."""
    lines = "1 line" if each.line_count == 1 else f"{each.line_count:,} lines"
    return f"{money(each.amount_cents, currency)} on {lines}"
