"""Pairings that follow from others: shipments from the numbers of their parcels, claims filed from their amounts.

`WF88183-01` and `WF88183-02` are parcels that the carrier takes together, as shipment `WF88183`. Claims that a file
calls open may be with the carrier already where an amount is claimed, and that is asked.
"""

import re
from collections import defaultdict
from collections.abc import Collection, Mapping
from dataclasses import replace

from models.claims.states import REPORTED
from models.column_map.pairing import SURE, Pairing, Sample
from models.column_map.whole_rows import texts

SHIPMENT, PARCEL = "shipment_id", "parcel_id"
STATE, CLAIMED, FILED = "claim_state", "claimed_cents", "filed"
_MARKS = "-/._ "
_PLACE = re.compile(rf"(.*[0-9A-Za-z])([{re.escape(_MARKS)}])0*([1-9][0-9]?)")
# One number that ends so may be anything; so many shipments of several parcels are none by chance.
_FEWEST = 2


def shipments_of(sample: Sample, pairings: Mapping[str, Pairing]) -> dict[str, Pairing]:
    """The shipment of each parcel, as the number on its label begins, where nothing else states it."""
    parcel = pairings.get(PARCEL)
    if SHIPMENT in pairings or parcel is None or parcel.source is None:
        return {}
    places = defaultdict[tuple[str, str], set[int]](set)
    for text in set(sample.column(parcel.source)):
        if found := _PLACE.fullmatch(text):
            places[found[1], found[2]].add(int(found[3]))
    several = {key: numbers for key, numbers in places.items() if len(numbers) > 1}
    marks = {mark for _, mark in several}
    if len(several) < _FEWEST or len(marks) > 1 or any(max(each) > len(each) for each in several.values()):
        return {}
    (stem, mark), _ = min(several.items())
    reason = f'"{stem}" stands before the number of each of its parcels'
    return {SHIPMENT: Pairing(SHIPMENT, parcel.source, SURE, (reason,), before=mark)}


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
