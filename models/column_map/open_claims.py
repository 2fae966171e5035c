"""Claims that a file calls open: with an amount claimed they may be with the carrier already, and that is asked."""

from collections.abc import Collection, Mapping
from dataclasses import replace

from models.claims.states import REPORTED
from models.column_map.pairing import Pairing, Sample
from models.column_map.whole_rows import texts

STATE, CLAIMED, FILED = "claim_state", "claimed_cents", "filed"


def with_filed(sample: Sample, pairings: Mapping[str, Pairing], stated: Collection[str] = ()) -> dict[str, Pairing]:
    """The pairing of the state, words for open claims with an amount guessed to mean filed; none where nothing changes.

    stated: words of which the user has said what they mean.
    """
    if not {STATE, CLAIMED} <= set(pairings):
        return {}
    state = pairings[STATE]
    words = zip(texts(sample, state), texts(sample, pairings[CLAIMED]), strict=True)
    claimed = {word.strip() for word, amount in words if amount.strip()}
    doubted = [
        word
        for word, meaning in state.values.items()
        if meaning == REPORTED and word in claimed and word not in stated and word not in state.guessed
    ]
    if not doubted:
        return {}
    doubt = "an amount is claimed, so check: " + ", ".join(f'"{word}" as {FILED}' for word in doubted)
    values = {**state.values, **dict.fromkeys(doubted, FILED)}
    guessed = (*state.guessed, *doubted)
    return {STATE: replace(state, values=values, guessed=guessed, doubts=(*state.doubts, doubt))}
