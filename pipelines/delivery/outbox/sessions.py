"""The part of sending that needs no warehouse: one sender at a time hands over what it has claimed."""

from collections.abc import Callable, Sequence
from contextlib import AbstractContextManager
from functools import partial
from pathlib import Path

from models.delivery_attempts import CUT_OFF, Answer, Reply
from pipelines.delivery.outbox import texts
from pipelines.delivery.outbox.letters import Claimed
from pipelines.shop import waiting

# Talks to the mail server about one letter: its text, its recipient, and what to call when the text is nearly whole.
Deliver = Callable[[bytes, str, Callable[[], None]], Answer]
REPEATED = b"X-Dunnage-Repeat: possible\r\n"


def sole_sender(shop: Path, patience_seconds: float) -> AbstractContextManager[bool]:
    """Whether this run alone may send the shop's letters until the block ends; false where another still sends.

    The system lets the lock go when a sender dies: who holds it knows that a claimed letter is nobody's.
    """
    return waiting.sole(shop / "sending.lock", patience_seconds)


def hand_over(folder: Path, letters: Sequence[Claimed], deliver: Deliver) -> None:
    """Talk to the server about each claimed letter and note how it ended; settle takes the notes over.

    Where the server itself fails, it is not asked again in this run: the letters left get the same answer.
    """
    failing: Answer | None = None
    for letter in letters:
        answer = failing or _talk(folder, letter, deliver)
        failing = answer if answer.is_for_all else None
        texts.note(folder, letter.message_id, answer)


def _talk(folder: Path, letter: Claimed, deliver: Deliver) -> Answer:
    path = texts.text_path(folder, letter.message_id)
    if not path.exists():
        return Answer(Reply.REFUSED, f"its text {path.name} is gone from the shop's folder {folder.name}")
    text = REPEATED + path.read_bytes() if letter.is_repeat else path.read_bytes()
    return deliver(text, letter.recipient, partial(texts.note, folder, letter.message_id, CUT_OFF))
