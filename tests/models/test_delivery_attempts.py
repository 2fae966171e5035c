"""The states of a letter, over every run of answers: handed over once, and again only on request."""

from __future__ import annotations

from dataclasses import replace
from datetime import datetime, timedelta

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from models.delivery_attempts import (
    LONGEST_WAIT,
    MOST_ATTEMPTS,
    Answer,
    Letter,
    Reply,
    State,
    claimed,
    message_id,
    settled,
    wait_after,
)

NOW = datetime(2026, 11, 3, 6, 30)
LETTER = Letter("<1@fernmoor.example>", State.QUEUED)


@settings(derandomize=True, deadline=None, max_examples=400)
@given(st.lists(st.sampled_from([*Reply, None]), min_size=MOST_ATTEMPTS, max_size=MOST_ATTEMPTS))
def test_every_run_of_answers_ends_and_hands_one_text_over(replies: list[Reply | None]) -> None:
    """None: the sender died before the text was whole."""
    letter, handed_over = LETTER, 0
    for reply in replies:
        if letter.state is not State.QUEUED:
            break
        handed_over += reply in (Reply.ACCEPTED, Reply.UNCLEAR)
        letter = settled(claimed(letter), Answer(reply) if reply else None, NOW)
    met = [reply for reply in replies[: letter.attempts] if reply in (Reply.ACCEPTED, Reply.UNCLEAR, Reply.REFUSED)]
    ends = {Reply.ACCEPTED: State.SENT, Reply.UNCLEAR: State.UNSURE, Reply.REFUSED: State.FAILED}
    assert letter.state is (ends[met[0]] if met and met[0] else State.FAILED)
    assert handed_over == (letter.state in (State.SENT, State.UNSURE)) == letter.unanswered_count + bool(letter.sent_at)


@pytest.mark.parametrize(
    ("reply", "state"),
    [
        (Reply.ACCEPTED, State.SENT),
        (Reply.UNCLEAR, State.UNSURE),
        (Reply.REFUSED, State.UNSURE),
        (Reply.DEFERRED, State.QUEUED),
    ],
)
def test_a_letter_sent_again_on_request_is_never_called_failed(reply: Reply, state: State) -> None:
    once = settled(claimed(LETTER), Answer(Reply.UNCLEAR), NOW)
    asked = replace(once, state=State.QUEUED, attempts=0)
    assert asked.is_repeat
    assert settled(claimed(asked), Answer(reply), NOW).state is state
    for _ in range(MOST_ATTEMPTS):
        asked = settled(claimed(asked), Answer(Reply.DEFERRED), NOW)
    assert asked.state is State.UNSURE


def test_waits_grow_up_to_half_a_day() -> None:
    waits = [wait_after(attempts) for attempts in range(1, 40)]
    assert waits[:3] == [timedelta(minutes=5), timedelta(minutes=15), timedelta(minutes=45)]
    assert waits == sorted(waits)
    assert max(waits) == LONGEST_WAIT


@pytest.mark.published
def test_an_id_is_a_message_id_and_always_the_same() -> None:
    """RFC 5322 (2008), section 3.6.4: "<" id-left "@" id-right ">", here with dot-atom-text on both sides."""
    one = message_id(["Fernmoor", "review 2026-10", "f3", "a@b.example"], "reports@fernmoor.example")
    assert one == message_id(["Fernmoor", "review 2026-10", "f3", "a@b.example"], "reports@fernmoor.example")
    assert one.startswith("<")
    assert one.endswith("@fernmoor.example>")
    assert one[1:41].isalnum()
    assert one != message_id(["Fernmoor", "review 2026-1", "0f3", "a@b.example"], "reports@fernmoor.example")
