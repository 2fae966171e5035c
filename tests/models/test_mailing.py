"""The states of a letter, over every run of answers: sent once, or at most twice and marked."""

from __future__ import annotations

from datetime import datetime, timedelta

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from models.mailing import (
    LONGEST_WAIT,
    MOST_ATTEMPTS,
    Answer,
    Letter,
    Reply,
    State,
    answered,
    begun,
    found_cut_off,
    message_id,
    wait_after,
)

NOW = datetime(2026, 11, 3, 6, 30)
LETTER = Letter("<1@fernmoor.example>", State.QUEUED)


@settings(derandomize=True, deadline=None, max_examples=400)
@given(st.lists(st.sampled_from([*Reply, "cut off"]), min_size=MOST_ATTEMPTS + 2, max_size=MOST_ATTEMPTS + 2))
def test_every_run_of_answers_ends_and_sends_at_most_twice(replies: list[Reply | str]) -> None:
    letter, texts_sent = LETTER, 0
    for reply in replies:
        if letter.state is not State.QUEUED:
            break
        texts_sent += reply in (Reply.ACCEPTED, Reply.UNANSWERED, "cut off")
        is_cut = not isinstance(reply, Reply)
        letter = found_cut_off(begun(letter), NOW) if is_cut else answered(letter, Answer(Reply(reply)), NOW)
    silences = [reply for reply in replies[: letter.attempts] if reply in (Reply.UNANSWERED, "cut off")]
    assert letter.state in (State.SENT, State.FAILED, State.UNSURE)
    assert texts_sent <= 2
    assert (letter.state is State.UNSURE) == bool(silences)
    assert letter.unanswered_count == len(silences) <= 2
    if letter.state is State.SENT:
        assert texts_sent == 1
        assert letter.sent_at == NOW
    if letter.state is State.FAILED:
        assert texts_sent == 0


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
