"""A month's review as an e-mail: text that is whole by itself, the same in HTML with still pictures, and the files.

Nothing that a record holds can end a header, begin one, or run in the reader's program.
"""

import datetime as dt
import io
import re
import zipfile
from collections.abc import Sequence
from dataclasses import dataclass, field
from email.message import EmailMessage
from email.policy import SMTP
from email.utils import format_datetime
from typing import Any

import pandas as pd
from markupsafe import Markup

from dashboards import formats, pages, palette, sentences
from dashboards.letter_contents import MONTH_HEADS, Content, content
from dashboards.letter_pictures import Still, stills
from dashboards.letter_text import plain_text
from dashboards.review_tables import Records, Review
from dashboards.sentences.letters import FILES

# Base64 turns three bytes into four and adds line ends (RFC 2045, section 6.8).
ENCODED_GROWTH = 78 / 76 * 4 / 3
# A longer name of a picture would be folded onto a line of its own, where some mail programs do not find it.
MOST_OF_ID = 32
MEGABYTE = 1_000_000
CLOSING = ("letter.attached", "letter.open_page", "letter.too_large", "letter.lies_at", "letter.made")
# For mail programs that keep a style sheet; pictures stay on their own white.
DARKENED = Markup(
    "@media (prefers-color-scheme: dark) {{ body {{ background: {ground} !important; color: {ink} !important; }} "
    "th, td {{ border-color: {line} !important; }} img {{ border: 8px solid #ffffff; box-sizing: border-box; }} }}"
).format(**{name: palette.DARK[name] for name in ("ground", "ink", "line")})
TYPES = {
    ".zip": ("application", "zip"),
    ".xlsx": ("application", "vnd.openxmlformats-officedocument.spreadsheetml.sheet"),
}


@dataclass(frozen=True)
class Enclosure:
    """A file that goes with the letter: its name, its bytes, and where it lies on the shop's machine."""

    name: str
    content: bytes
    place: str


@dataclass(frozen=True)
class Envelope:
    """Who writes to whom, when (an aware instant), under which id (with angle brackets).

    attach: "page", "workbook", both or none. attach_limit_mb: what is larger together is named instead.
    """

    sender: str
    recipient: str
    message_id: str
    dated_at: dt.datetime
    attach: tuple[str, ...] = ()
    attach_limit_mb: int = 10


@dataclass(frozen=True)
class Edition:
    """number: 1 for the first. changes: measure, amount_before, amount_after against the edition before."""

    number: int = 1
    changes: pd.DataFrame = field(default_factory=pd.DataFrame)


FIRST = Edition()


def message(
    review: Review, page: Enclosure, workbook: Enclosure, envelope: Envelope, edition: Edition = FIRST
) -> EmailMessage:
    """The letter on the month. What the envelope asks for is attached as far as the limit allows, the page first and
    packed, since mail makes a third more of every file; where the rest lies is said.

    Raises ValueError for an address or id with a line break in it.
    """
    letter = content(review, edition.number, edition.changes)
    files = {"page": _packed(page, envelope.dated_at), "workbook": workbook}
    wanted = [each for name, each in files.items() if name in envelope.attach]
    attached = _within_limit(wanted, envelope.attach_limit_mb)
    closing = _closing(list(files.values()), wanted, attached, review)
    made = _headed(letter.subject, envelope)
    made.set_content(plain_text(letter, closing), cte="quoted-printable")
    _add_html(made, letter, closing, stills(review), envelope.message_id)
    for each in attached:
        kind, subkind = TYPES[each.name[each.name.rindex(".") :]]
        made.add_attachment(each.content, maintype=kind, subtype=subkind, filename=each.name)
    return made


def notice(subject: str, paragraphs: Sequence[str], envelope: Envelope) -> EmailMessage:
    """A short letter of plain text: an alarm, or a run that failed. Each paragraph keeps its own lines."""
    made = _headed(formats.plain(subject, 150), envelope)
    lines = ["\n".join(formats.plain(line, 500) for line in each.splitlines()) for each in paragraphs]
    made.set_content("\n\n".join(lines) + "\n", cte="quoted-printable")
    return made


def _headed(subject: str, envelope: Envelope) -> EmailMessage:
    made = EmailMessage(policy=SMTP)
    made["From"] = envelope.sender
    made["To"] = envelope.recipient
    made["Subject"] = subject
    made["Date"] = format_datetime(envelope.dated_at)
    made["Message-ID"] = envelope.message_id
    made["Auto-Submitted"] = "auto-generated"  # RFC 3834: no absence notice answers it
    return made


def _add_html(
    made: EmailMessage, letter: Content, closing: Sequence[str], pictures: Sequence[Still], message_id: str
) -> None:
    letter_id = re.sub("[^0-9A-Za-z]", "", message_id)[:MOST_OF_ID]
    ids = {still.name: f"picture{at}@{letter_id}" for at, still in enumerate(pictures, start=1)}
    html = pages.rendered(
        "letter.html", letter=letter, closing=closing, stills=pictures, ids=ids, heads=MONTH_HEADS, style=DARKENED
    )
    made.add_alternative(html, subtype="html", cte="quoted-printable")
    alternatives: Any = made.get_payload()
    for still in pictures:
        alternatives[1].add_related(
            still.png,
            maintype="image",
            subtype="png",
            cid=f"<{ids[still.name]}>",
            filename=f"{still.name}.png",
            disposition="inline",
        )


def _packed(file: Enclosure, dated_at: dt.datetime) -> Enclosure:
    """The file in a zip file, a tenth as large."""
    held = io.BytesIO()
    with zipfile.ZipFile(held, "w", zipfile.ZIP_DEFLATED) as packed:
        packed.writestr(zipfile.ZipInfo(file.name, dated_at.timetuple()[:6]), file.content, zipfile.ZIP_DEFLATED)
    return Enclosure(f"{file.name.rpartition('.')[0]}.zip", held.getvalue(), file.place)


def _within_limit(files: Sequence[Enclosure], limit_mb: int) -> list[Enclosure]:
    left = limit_mb * MEGABYTE
    taken = []
    for each in files:
        size = len(each.content) * ENCODED_GROWTH
        if size <= left:
            taken.append(each)
            left -= int(size)
    return taken


def _closing(
    files: Sequence[Enclosure], wanted: Sequence[Enclosure], attached: Sequence[Enclosure], review: Review
) -> list[str]:
    named = " and ".join(each.name for each in attached) or None
    left = [each for each in files if each not in attached]
    places: dict[str, list[str | None]] = {
        "kept_place": [each.place if each in wanted else None for each in left] or [None],
        "unasked_place": [None if each in wanted else each.place for each in left] or [None],
    }
    rows = pd.DataFrame({"attached_names": named, **places, "made_at": review.made_at})
    rows.loc[1:, "attached_names"] = None
    return sentences.lines(CLOSING, Records(tables={FILES: rows}), review.units)
