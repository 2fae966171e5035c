"""What is personal in a source file: buyer names, streets, e-mail addresses and phone numbers. None of it is kept.

Columns are recognised by the words of their header and by what most of their first values look like; a name cannot
be told from other words by its look, so names are recognised by headers alone. A column of dates is never personal.
Single e-mail addresses and phone numbers inside other text are blanked. A run of figures alone is never a phone number:
parcel numbers look like that. What remarks repeat of a row's personal columns is the room of models/persons.
"""

from __future__ import annotations

import re
from collections.abc import Iterable, Sequence
from contextlib import suppress
from typing import TYPE_CHECKING, Protocol

from models.cells.dates import read_instant
from models.cells.numbers import Unreadable

if TYPE_CHECKING:
    from models.contracts import Contract

NAMES, STREETS, EMAILS, PHONES = "names", "streets", "e-mail addresses", "phone numbers"
BLANKED_END = " removed]"
BLANKED_EMAIL, BLANKED_PHONE = f"[e-mail{BLANKED_END}", f"[phone{BLANKED_END}"
# Every mark says a word of what it stands for.
_SHORTEST = f"[...{BLANKED_END}"

# Both patterns are read by Python and by the engine, so they keep to what the two have in common.
EMAIL = r"[^\s@,;:<>()]+@[^\s@,;:<>()]+\.[^\s@,;:<>().]+"
PHONE = (
    r"(?:\+\d(?:[ .\-/()]{0,2}\d){6,14}"
    r"|\(\d{3,5}\) ?\d{3,4}[ .\-]?\d{3,4}"
    r"|\b\d{3}[ .\-]\d{3}[ .\-]\d{4}\b"
    r"|\b0\d{2,4}[ /\-]\d{3,4}(?:[ \-]?\d{2,4}){1,3}\b)"
)
_STREET = (
    r"\d+[a-z]?,? [\w'. ]+ (?:street|st|avenue|ave|road|rd|lane|ln|drive|dr|way|court|ct|boulevard|blvd|place|pl)\b.*"
    r"|[\w'.\- ]+(?:stra(?:ß|ss)e|str\.|weg|gasse|platz|allee) \d+ ?[a-z]?"
    r"|\d+,? (?:rue|avenue|boulevard|allée|chemin|via|calle) .+"
)


def _listed(words: str) -> frozenset[str]:
    return frozenset(re.findall(r"\S+", words))


_PERSONS = _listed(
    "buyer customer recipient consignee receiver addressee client purchaser contact attention attn "
    "käufer kaeufer kunde kunden empfänger empfaenger acheteur destinataire comprador cliente destinatario "
    "koper klant ontvanger acquirente billto shipto"
)
_NAMING = _listed("name names first last full middle user username nickname login surname id")
_NAME_WORDS = _listed(
    "firstname lastname fullname surname forename username nickname vorname nachname familienname benutzername "
    "buyername customername recipientname käufername kaeufername kundenname empfängername "
    "prénom prenom apellido apellidos cognome achternaam voornaam initials"
)
_STREET_WORDS = _listed(
    "address addr address1 address2 address3 street streetname adresse anschrift straße strasse rue calle dirección "
    "direccion indirizzo adres straat hausnummer housenumber"
)
_PHONE_WORDS = _listed(
    "phone telephone telefon telefonnummer tel mobile mobil cellphone handy fax telefono teléfono téléphone telefoon"
)
_EMAIL_WORDS = _listed("email emails emailaddress courriel correo")

# The share of a column's values that must look personal; one e-mail address in ten is no accident.
_SHARES = ((EMAILS, EMAIL, 0.1), (PHONES, PHONE, 0.3), (STREETS, _STREET, 0.3))
_SHARE_OF_DATES = 0.9
_PATTERNS = tuple((kind, re.compile(pattern, re.IGNORECASE), share) for kind, pattern, share in _SHARES)
_EMAIL_INSIDE, _PHONE_INSIDE = re.compile(EMAIL, re.ASCII), re.compile(PHONE, re.ASCII)


class Rows(Protocol):
    """Headers and rows of text of a source file."""

    @property
    def headers(self) -> Sequence[str]: ...

    @property
    def rows(self) -> Sequence[Sequence[str]]: ...


def personal_columns(sample: Rows) -> dict[str, str]:
    """The headers of columns that look personal, each with what it seems to hold."""
    columns = zip(*sample.rows, strict=False) if sample.rows else iter(())
    found: dict[str, str] = {}
    for header in sample.headers:
        values = next(columns, ())
        kind = personal_header(header) or personal_values(values)
        if kind and not _are_dates(values):
            found[header] = kind
    return found


def _are_dates(values: Iterable[str]) -> bool:
    """Whether nearly all values are dates or times: `Customer since`, `Last contact`. Such a column tells nobody."""
    filled = [value.strip() for value in values if value and value.strip()]
    return bool(filled) and sum(map(_is_date, filled)) >= _SHARE_OF_DATES * len(filled)


def _is_date(value: str) -> bool:
    for order in ("dmy", "mdy", "ymd"):
        with suppress(Unreadable):
            read_instant(value, order, "UTC")
            return True
    return False


def personal_header(header: str) -> str | None:
    """What a column of this header holds, if that is personal: names, streets, e-mail addresses, phone numbers."""
    words = _words(header)
    known = set(words)
    if known & _EMAIL_WORDS or words == ["mail"] or {"e", "mail"} <= known:
        return EMAILS
    if known & _PHONE_WORDS:
        return PHONES
    if known & _STREET_WORDS:
        return STREETS
    return NAMES if _is_name(words) else None


def _is_name(words: Sequence[str]) -> bool:
    known = set(words)
    if known & _NAME_WORDS or {"first", "name"} <= known or {"last", "name"} <= known or {"full", "name"} <= known:
        return True
    if words in (["ship", "to"], ["bill", "to"], ["deliver", "to"], ["sold", "to"]):
        return True
    is_person = bool(known & _PERSONS) or {"ship", "to"} <= known or {"bill", "to"} <= known
    return is_person and (len(words) == 1 or bool(known & _NAMING))


def _words(header: str) -> list[str]:
    apart = re.sub(r"(?<=[a-zà-ÿ])(?=[A-ZÀ-Þ])", " ", header)
    return re.findall(r"[^\W_]+", apart.lower())


def personal_values(values: Iterable[str]) -> str | None:
    """What most of these values look like, if that is personal."""
    filled = [value.strip() for value in values if value and value.strip()]
    for kind, pattern, share in _PATTERNS:
        hits = sum(1 for value in filled if pattern.fullmatch(value))
        if filled and hits >= share * len(filled):
            return kind
    return None


def blanked(text: str, *, phones: bool) -> str:
    """The text without e-mail addresses and, where `phones`, without phone numbers."""
    without = _EMAIL_INSIDE.sub(BLANKED_EMAIL, text) if "@" in text else text
    return _PHONE_INSIDE.sub(BLANKED_PHONE, without) if phones and len(without.encode()) > 9 else without


def blanked_sql(text: str, *, phones: bool, emails: bool = True) -> str:
    """`blanked` as an expression of the engine over the SQL expression `text`.

    emails: False where no text holds an @, which takes long to ask of each.
    """
    without = text if not emails else _replaced(f"contains({text}, '@')", text, EMAIL, BLANKED_EMAIL, text)
    return _replaced(f"strlen({text}) > 9", f"({without})", PHONE, BLANKED_PHONE, without) if phones else without


def holds_mark_sql(text: str, mark: str) -> str:
    """Whether the engine's text holds the mark of a blanked value, or its end; null for texts too short for one."""
    return f"case when strlen({text}) > {len(_SHORTEST)} then contains({text}, '{mark}') end"


def _replaced(condition: str, text: str, pattern: str, by: str, otherwise: str) -> str:
    return f"case when {condition} then regexp_replace({text}, '{pattern}', '{by}', 'g') else {otherwise} end"


def is_identifier(schema: Contract, name: str) -> bool:
    """Whether a column of the contract holds a number or code, which is never searched for phone numbers."""
    # Readers of single files need the patterns of this module and no contracts.
    from models.fields import Quantity

    column = schema.columns[name]
    if column.quantity in (Quantity.DATE, Quantity.INSTANT):
        return True
    return column.quantity is Quantity.TEXT and (
        name in schema.key or name.endswith(("_id", "_code", "_number")) or name == "sku"
    )


def is_remark(schema: Contract, name: str) -> bool:
    """Whether people write into this column of the contract what they like."""
    return schema.columns[name].is_remark
