"""The outbox: which editions of which reports exist, who gets them, and how far each letter has come."""

from pipelines.delivery.outbox.editions import Edition, edition_of, review_edition
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
from pipelines.delivery.outbox.losses import note_arrived, queue_notice, untold
from pipelines.delivery.outbox.sessions import Deliver, hand_over, sole_sender
from pipelines.delivery.outbox.texts import text_path

__all__ = [
    "Claimed",
    "Deliver",
    "Edition",
    "Queued",
    "claim_due",
    "edition_of",
    "hand_over",
    "next_due",
    "next_letter_at",
    "note_arrived",
    "queue",
    "queue_notice",
    "retry_failed",
    "retry_unsure",
    "review_edition",
    "settle",
    "sole_sender",
    "text_path",
    "untold",
]
