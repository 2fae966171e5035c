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


def answer(settings: Settings, stated: Sequence[str], carrier: str | None = None) -> list[ChargeWord]:
    """Keep answers WORD=KIND or WORD=surcharge: NAME, for the carrier or for all that use the word.

    Raises NotFoundError for a word that no invoice has, SettingsError for a kind that there is not.
    """
    with warehouse.reading(settings) as connection:
        used = connection.execute("select distinct carrier, charge_code from accepted.charges order by all").fetchall()
    return answer_among(settings, stated, used, carrier)


def answer_among(
    settings: Settings, stated: Sequence[str], used: Sequence[tuple[str, str]], carrier: str | None = None
) -> list[ChargeWord]:
    """The same for the words that a file uses: pairs of carrier and word."""
    answers = []
    for each in stated:
        word, _, said = (part.strip() for part in each.rpartition("="))
        kind, _, surcharge = (part.strip() for part in said.partition(":"))
        carriers = [of for of, code in used if code == word and carrier in (None, of)]
        if not carriers:
            raise _not_found(word, [code for of, code in used if carrier in (None, of)])
        answers += [{"carrier": of, "word": word, "kind": kind, "surcharge": surcharge} for of in carriers]
    return shop_words.answer_charges(settings, answers)


def _not_found(word: str, known: Sequence[str]) -> NotFoundError:
    listed = ", ".join(visible(each) for each in dict.fromkeys(known)) or "none"
    return NotFoundError(f"word {word!r}", "is on no invoice", "nothing was written", f"use one of {listed[:800]}")


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
