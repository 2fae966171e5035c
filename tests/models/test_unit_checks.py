"""Units that are off by a factor are found; no honest shop's are, whatever its goods do."""

from __future__ import annotations

import random

import pytest

from models.cells.unit_checks import Known, impossible_density, other_units, usual_in
from models.fields import Quantity

POUNDS = (14.2, 11.4, 22.8, 18.5, 0.9)


def pairs(chance: random.Random, factor: float = 1.0, count: int = 60) -> list[tuple[float, float]]:
    """Weights of parcels and the usual weight of their goods: five kinds, ten percent up and down."""
    return [(usual * chance.uniform(0.93, 1.07) * factor, usual) for usual in chance.choices(POUNDS, k=count)]


@pytest.mark.published
@pytest.mark.parametrize(("read_in", "true"), [("lb", "kg"), ("kg", "lb"), ("lb", "g"), ("oz", "lb"), ("g", "oz")])
def test_a_column_in_another_unit_is_found(read_in: str, true: str) -> None:
    """1 lb = 0.45359237 kg = 16 oz, exactly: NIST Handbook 44, appendix C, General Tables of Units of Measurement."""
    per = {"lb": 1.0, "kg": 1 / 0.45359237, "g": 1 / 453.59237, "oz": 1 / 16}
    wrong = per[read_in] / per[true]
    found = other_units(Quantity.WEIGHT, read_in, pairs(random.Random(1), wrong), Known.SAME)
    assert found == (true,)


def test_no_honest_shop_is_held() -> None:
    """A thousand shops: goods from feathers to lead, a new mix each month, one kind redesigned."""
    for seed in range(1000):
        chance = random.Random(seed)
        usual = [chance.lognormvariate(1, 1.6) for _ in range(chance.randrange(2, 9))]
        redesigned = chance.randrange(len(usual))
        now = [weight * (chance.uniform(0.3, 3) if at == redesigned else 1) for at, weight in enumerate(usual)]
        mix = chance.choices(range(len(usual)), k=chance.randrange(8, 80))
        if mix.count(redesigned) >= 0.9 * len(mix):
            continue
        shown = [(now[at] * chance.uniform(0.85, 1.2), usual[at]) for at in mix]
        assert other_units(Quantity.WEIGHT, "lb", shown, Known.SAME) == ()


def test_packed_goods_weigh_no_less_than_bare_ones() -> None:
    bare = [(usual * 1.2 * 0.45359237, usual) for usual in POUNDS * 3]
    assert other_units(Quantity.WEIGHT, "lb", bare, Known.AT_LEAST) == ("kg",)
    # Billed by volume, feathers weigh many times what the scale shows: that proves nothing.
    feathers = [(usual * factor, usual) for usual in POUNDS for factor in (2.2, 5, 16)]
    assert other_units(Quantity.WEIGHT, "lb", feathers, Known.AT_LEAST) == ()


def test_a_few_rows_prove_nothing() -> None:
    assert other_units(Quantity.WEIGHT, "lb", pairs(random.Random(1), 0.4536, 7), Known.SAME) == ()


def test_a_density_is_doubted_only_where_it_is_impossible() -> None:
    tube = 14.2 / (47 * 11 * 11)
    assert not impossible_density([tube] * 20)
    assert impossible_density([tube * 453.59237] * 20)
    assert "g" in usual_in([tube * 453.59237] * 20, Quantity.WEIGHT, "lb")
    millimetres = tube / 25.4**3
    assert impossible_density([millimetres] * 20)
    assert "mm" in usual_in([millimetres] * 20, Quantity.LENGTH, "in")
    # Lead has 11.34 g/cm3, eiderdown in its bag some 15 kg/m3: both may be sold.
    assert not impossible_density([0.41] * 20) and not impossible_density([0.00054] * 20)
