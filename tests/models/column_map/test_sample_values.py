"""What texts prove about decimal mark, date order and quantity, and what they leave open."""

from __future__ import annotations

import pytest

from models.column_map.sample_values import date_orders, fitness, has_open_dates
from models.reference import RECORDS


@pytest.mark.parametrize(
    ("texts", "orders"),
    [
        (["03/04/2026", "31/12/2025"], {"dmy"}),
        (["12/31/2025 14:20"], {"mdy"}),
        (["2025/12/31"], {"ymd"}),
        (["2025-12-31", "2025-12-31T14:20:00+01:00"], set()),
        (["03.04.2026"], set()),
        (["31/12/2025", "12/31/2025"], {"dmy", "mdy"}),
    ],
)
def test_date_orders(texts: list[str], orders: set[str]) -> None:
    assert date_orders(texts) == orders


def test_what_stays_open() -> None:
    assert has_open_dates(["2025-12-31", "03/04/2026"])
    assert not has_open_dates(["2025-12-31 10:00"])


@pytest.mark.parametrize(
    ("kind", "column", "fitting", "strange"),
    [
        ("weights", "length_in", ['49"', "4 ft 1 in", "49 1/2", "124,5 cm", "48.0"], ["11 lb", "$49.00", "foam", "-4"]),
        ("weights", "scale_weight_lb", ["11 lb 4 oz", "5 kg", "11.25", "12 oz"], ["48 in", "$11", "heavy"]),
        ("charges", "amount_cents", ["$1,234.50", "(12.30)", "18,50 €", "-3.20"], ["12 kg", "15 %", "31/12/2025"]),
        ("sales", "quantity", ["1", "12", "2.0"], ["1.5", "two", "-1", "31/12/2025"]),
        ("sales", "is_fee_on_shipping", ["yes", "N", "ja", "0"], ["2", "18.50"]),
        ("sales", "sold_at", ["2025-12-31", "31/12/2025 14:20"], ["14:20", "1.5"]),
        ("claims", "claim_cause", ["damage", "Broken", "LOST"], ["blue"]),
        ("sales", "channel", ["marketplace", "A"], ["31/12/2025", "18.50"]),
    ],
)
def test_fitness_tells_quantities_apart(kind: str, column: str, fitting: list[str], strange: list[str]) -> None:
    stated = RECORDS[kind].columns[column]
    assert {text: fitness(stated, [text]) for text in fitting} == dict.fromkeys(fitting, 1.0)
    assert {text: fitness(stated, [text]) for text in strange} == dict.fromkeys(strange, 0.0)
