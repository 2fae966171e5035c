"""The outbox: who gets which edition of a report, and how far each letter has come."""

from pipelines.delivery.outbox.letters import (
    Claimed,
    Queued,
    claim_due,
    next_due,
    next_letter_at,
    queue,
    retry_failed,
    retry_unsure,
    settle,
)
from pipelines.delivery.outbox.losses import drop_failed, note_arrived, queue_notice, unreported
from pipelines.delivery.outbox.sessions import Deliver, hand_over, sole_sender
from pipelines.delivery.outbox.texts import text_path

__all__ = [
    "Claimed",
    "Deliver",
    "Queued",
    "claim_due",
    "drop_failed",
    "hand_over",
    "next_due",
    "next_letter_at",
    "note_arrived",
    "queue",
    "queue_notice",
    "retry_failed",
    "retry_unsure",
    "settle",
    "sole_sender",
    "text_path",
    "unreported",
]
