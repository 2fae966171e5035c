"""Parcels whose numbers say that the carrier takes them together: `WF88183-01` and `WF88183-02` are of `WF88183`."""

import re
from collections import defaultdict
from collections.abc import Mapping

from models.column_map.pairing import SURE, Pairing, Sample

SHIPMENT, PARCEL = "shipment_id", "parcel_id"
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
