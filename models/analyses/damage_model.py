"""The one model of damage asked of the shop's records: every analysis of damage draws its rates from it."""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from types import MappingProxyType

import numpy as np
import pandas as pd

from models.analyses.damage_records import CELL, UNKNOWN, DamageRecords, ages, by_month
from models.analyses.question import Question
from models.damage.arrays import BoolArray, FloatArray, IntArray, floats, sums
from models.damage.laplace import Design
from models.damage.pooled import Effects, pooled
from models.damage.reporting_lags import DRAWS

FACTORS = (*CELL, "carrier", "service", "zone_band", "shipped_month")
PAIR = "pair"
# How far rates of levels may be thought to differ before anything is seen, by standard deviations of log odds. Goods
# differ most; what a method does to one of them beyond what it does to all is less than that, as effects of two factors
# together usually are (C. F. J. Wu, M. S. Hamada, "Experiments", 2nd ed., section 4.6, hierarchical ordering).
# The figures are common practice, no source.
USUAL = {"item_type": 0.8, "packing_method": 0.6, PAIR: 0.35}
USUAL |= {"carrier": 0.35, "service": 0.35, "zone_band": 0.35, "shipped_month": 0.2}


@dataclass(frozen=True)
class DamageModel:
    """cells: one row per combination of FACTORS, with parcel_count. levels: the number of each row's level, by factor;
    the last, PAIR, is that of its item type and packing method together. exposures: parcels of each row whose claim
    would be on record, as they may be."""

    cells: pd.DataFrame
    levels: dict[str, IntArray]
    exposures: list[FloatArray]
    effects: Effects

    def of_cells(self) -> pd.DataFrame:
        """Every item type with every packing method used on it, and its rate under the carriers, services, zones and
        months of its own parcels: shrunk_rate with limits, by CELL."""
        return self._adjusted(CELL, self.levels[PAIR]).set_index(CELL)

    def of_months(self) -> pd.DataFrame:
        """The rate of every month's parcels, those claims among it that are still to come: shrunk_rate with limits, by
        shipped_month."""
        return self._adjusted(["shipped_month"], self.levels["shipped_month"]).set_index("shipped_month")

    def to_come(self) -> tuple[pd.DataFrame, FloatArray]:
        """Claims that parcels on record still have to come: rows of shipped_month and item_type, and draws of how many
        are to be expected, shape (draws, rows)."""
        by = ["shipped_month", "item_type"]
        groups = _numbered(self.cells[by])
        waiting = [(floats(self.cells["parcel_count"]) - each).clip(0.0) for each in self.exposures]
        return self._firsts(by, groups), self.effects.claims(self.levels, waiting, groups)

    def _adjusted(self, by: list[str], groups: IntArray) -> pd.DataFrame:
        rates = self.effects.rates(self.levels, floats(self.cells["parcel_count"]), groups)
        low, high = np.quantile(rates, [0.025, 0.975], axis=0)
        return self._firsts(by, groups).assign(shrunk_rate=rates.mean(axis=0), shrunk_low=low, shrunk_high=high)

    def _firsts(self, by: list[str], groups: IntArray) -> pd.DataFrame:
        return self.cells.iloc[np.unique(groups, return_index=True)[1]][by]

    def of_item_type(self, item_type: str, methods: Sequence[str]) -> FloatArray:
        """Rates of packing methods that were used on the item type, on the same parcels, all that it had: shape
        (draws, methods)."""
        own = self.cells["item_type"].to_numpy() == item_type
        return np.column_stack([self._as_if(own, method) for method in methods])

    def of_methods(self) -> dict[str, FloatArray]:
        """Rates of each packing method on one and the same parcel, whatever that is, as all goods show them: shape
        (draws,) each. What a method does to one item type beyond others is not in it."""
        names = dict(zip(self.levels["packing_method"].tolist(), self.cells["packing_method"], strict=True))
        numbers = np.arange(len(names))
        levels = {name: np.zeros_like(numbers) for name in self.levels} | {"packing_method": numbers}
        rates = self.effects.rates(levels, np.ones(numbers.size), numbers)
        return {str(names[number]): rates[:, number] for number in numbers.tolist()}

    def ratio(self, method_a: str, method_b: str) -> FloatArray:
        """Rate of the first method over that of the second, on all parcels of the two whose item types are known and
        used both: shape (draws,)."""
        methods, types = (self.cells[name].to_numpy() for name in ("packing_method", "item_type"))
        both = (set(types[methods == method_a]) & set(types[methods == method_b])) - {UNKNOWN}
        own = np.isin(types, list(both)) & np.isin(methods, (method_a, method_b))
        return self._as_if(own, method_a) / self._as_if(own, method_b)

    def _as_if(self, own: BoolArray, method: str) -> FloatArray:
        """The rate of these cells' parcels, had they all been packed by the method: shape (draws,)."""
        used = (self.cells["packing_method"] == method).to_numpy()
        number = dict(zip(self.cells["item_type"][used], self.levels[PAIR][used], strict=True))
        pairs = np.array([number[name] for name in self.cells["item_type"][own]], dtype=np.int64)
        return self.as_if(own, {"packing_method": method}, {PAIR: pairs})

    def as_if(
        self, own: BoolArray, others: Mapping[str, str], numbers: Mapping[str, IntArray] = MappingProxyType({})
    ) -> FloatArray:
        """The rate of these cells' parcels, had they all had other levels of some factors: shape (draws,).

        others: level by factor; each is one that cells have. numbers: those of levels that are not the same for all.
        """
        levels = {name: level[own] for name, level in self.levels.items()} | dict(numbers)
        for name, other in others.items():
            number = self.levels[name][(self.cells[name] == other).to_numpy()][0]
            levels[name] = np.full_like(levels[name], number)
        alone = np.zeros(int(own.sum()), dtype=np.int64)
        return self.effects.rates(levels, floats(self.cells["parcel_count"])[own], alone)[:, 0]


def damage_model(question: Question, records: DamageRecords) -> DamageModel:
    """The model of these records; fitted for the first analysis that asks and kept for the others."""
    name = f"damage model of {records.as_of.date()} since {records.cells['shipped_on'].min()}"
    return question.once(name, lambda: _fitted(records))


def _fitted(records: DamageRecords) -> DamageModel:
    rows, claims = by_month(records.cells), by_month(records.claims)
    code, keys = pd.factorize(pd.MultiIndex.from_frame(rows[list(FACTORS)]), sort=True)
    keys = keys.set_names(list(FACTORS))
    code, parcels = code.astype(np.int64), floats(rows["parcel_count"])
    claimed = keys.get_indexer(pd.MultiIndex.from_frame(claims[list(FACTORS)])).astype(np.int64)
    shares = records.curve.shares_drawn(ages(rows, records.as_of), DRAWS)
    cells = keys.to_frame(index=False).assign(parcel_count=sums(code, parcels, len(keys)))
    levels = {name: _numbered(cells[[name]]) for name in FACTORS} | {PAIR: _numbered(cells[CELL])}
    sizes = tuple(int(level.max()) + 1 for level in levels.values())
    design = Design(sums(claimed, np.ones(claimed.size), len(keys)), levels, sizes)
    together = _numbered(cells[[*CELL, "shipped_month"]])
    exposures = [sums(code, parcels * share, len(keys)) for share in shares]
    return DamageModel(cells, levels, exposures, pooled(design, exposures, together, usual=USUAL))


def _numbered(rows: pd.DataFrame) -> IntArray:
    """The number of each row's values together, from 0 in the order in which they come."""
    return pd.factorize(pd.MultiIndex.from_frame(rows))[0].astype(np.int64)
