"""The outbox's files: each letter's text until it is settled, and the note of how its talk with the server ended.

The notes let a sender talk without the warehouse: they are written to the disk before and after the moment from which
the server may have the letter, and the warehouse takes them over afterwards, from whoever sent or died.
"""

import json
from pathlib import Path

from models.delivery_attempts import CUT_OFF, Answer, Reply
from pipelines.shop import durable


def text_path(folder: Path, message_id: str) -> Path:
    """Where the letter's text lies until it is settled."""
    return folder / f"{message_id.strip('<>').split('@')[0]}.eml"


def _note_path(folder: Path, message_id: str) -> Path:
    return text_path(folder, message_id).with_suffix(".answer")


def keep_text(folder: Path, message_id: str, text: bytes) -> None:
    """Write the letter's text."""
    durable.write(text_path(folder, message_id), text)


def note(folder: Path, message_id: str, answer: Answer) -> None:
    """Write down how the talk about a letter ended, or CUT_OFF before the moment from which nobody would know."""
    said = {"reply": answer.reply.value, "words": answer.words}
    durable.write(_note_path(folder, message_id), json.dumps(said))


def noted(folder: Path, message_id: str) -> Answer | None:
    """What was written down; CUT_OFF where it cannot be read, None where nothing was."""
    try:
        said = json.loads(_note_path(folder, message_id).read_bytes())
        return Answer(Reply(said["reply"]), str(said["words"]))
    except FileNotFoundError:
        return None
    except (ValueError, KeyError, TypeError):
        return CUT_OFF


def forget(folder: Path, message_id: str) -> None:
    """Delete what was noted."""
    _note_path(folder, message_id).unlink(missing_ok=True)
