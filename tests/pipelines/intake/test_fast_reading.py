"""The engine's fast reading and the strict reading in Python give the same value, or the engine gives none."""

from __future__ import annotations

from collections.abc import Iterator
from datetime import date, datetime
from decimal import Decimal

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from models.cells.texts import Reading, read_cell
from models.fields import Quantity
from pipelines.intake.fast_reading import fast_reading
from pipelines.shop import warehouse
from tests.sampling import tries

DECIMALS = (None, ".", ",")
ORDERS = (None, "dmy", "mdy", "ymd")
READINGS = (
    *(Reading(Quantity.COUNT, decimal=mark) for mark in DECIMALS),
    *(
        Reading(Quantity.MONEY, decimal=mark, currency=currency, unit=unit)
        for mark in DECIMALS
        for currency in ("USD", "JPY", "KWD")
        for unit in (None, "cents", "per 100")
    ),
    *(
        Reading(Quantity.LENGTH, decimal=mark, unit=unit)
        for mark in DECIMALS
        for unit in (None, "in", "cm", "mm", "ft")
    ),
    *(Reading(Quantity.WEIGHT, decimal=mark, unit=unit) for mark in DECIMALS for unit in (None, "kg", "oz", "g")),
    *(Reading(Quantity.MINUTES, decimal=mark, unit=unit) for mark in DECIMALS for unit in (None, "h", "s")),
    *(Reading(quantity, decimal=mark) for quantity in (Quantity.NUMBER, Quantity.FRACTION) for mark in DECIMALS),
    Reading(Quantity.FLAG),
    *(Reading(quantity, date_order=order) for quantity in (Quantity.DATE, Quantity.INSTANT) for order in ORDERS),
    *(Reading(Quantity.INSTANT, time_zone=zone) for zone in ("America/New_York", "Europe/Berlin", "Asia/Kathmandu")),
)

NUMBERS = st.one_of(
    st.decimals(-(10**8), 10**8, places=2).map(lambda number: f"{number:f}"),
    st.decimals(0, 200, places=6).map(lambda number: f"{number:f}"),
    st.integers(-(10**16), 10**16).map(str),
    st.lists(st.sampled_from([*"0123456789.,-+ e_x'"]), min_size=1, max_size=9).map("".join),
    st.from_regex(r"-?(0|[1-9])[0-9]{0,3}[.,][0-9]{2,4}", fullmatch=True),
    st.floats(0, 1e9).map(repr),
).flatmap(lambda text: st.sampled_from([text, text.replace(".", ",")]))
# Lenient readers take each of these for a number or a date.
TRAPS = st.sampled_from(
    [
        "1_000",
        "0x10",
        "0b11",
        "1e5",
        "inf",
        "nan",
        "-inf",
        "infinity",
        "5.",
        ".5",
        "+5",
        "٣",
        "1 000",
        "1.500",
        "-1.500",
        "0.500",
        "00.500",
        "1234.500",
        "0000.500",
        "0.123.456",
        "1,500",
        "1,500,000",
        "33.300000000000004",
        "1.125e3",
        "9.40011E+21",
        "123456789.123456789",
        "epoch",
        "12025-01-05",
        "2025-1-5",
        "2025/01/05",
        "2025-01-05 24:00:00",
        "2025-01-05T10:00:00Z",
        "2025-01-05 10:00:00+02",
        "0000-01-01",
        "2025-02-30",
        "31/12-2025",
        "31.12.2025",
        "31-12-2025 14:05",
        "31/12/2025 14:05:59",
        "00/00/2025",
        "2025-01-05 (BC)",
        "0044-03-15 (BC)",
        "0999-12-31",
        "0999-12-31 10:00:00",
        "3025-01-05 10:00:00",
        "-infinity",
        "-0",
        "-0.00",
        "007",
        "123456789012345",
        "1234567890123456",
        "1234567890123.50",
    ]
)
DAYS = st.dates(date(1000, 1, 1), date(2999, 12, 31)).flatmap(
    lambda day: st.sampled_from(
        [f"{day:%Y-%m-%d}", f"{day:%d/%m/%Y}", f"{day:%m/%d/%Y}", f"{day:%d.%m.%Y}", f"{day:%d/%m/%y}", f"{day:%Y%m%d}"]
    )
)
MOMENTS = st.tuples(DAYS, st.sampled_from([" ", "T"]), st.times(), st.sampled_from(["%H:%M:%S", "%H:%M:%S.%f"])).map(
    lambda parts: f"{parts[0]}{parts[1]}{parts[2]:{parts[3]}}"
)
OFFSETS = st.tuples(
    st.datetimes(datetime(1995, 1, 1), datetime(2035, 12, 31)),
    st.sampled_from(["Z", "+00:00", "-05:00", "+05:45", "+0200"]),
).map(lambda parts: f"{parts[0].isoformat(timespec='seconds')}{parts[1]}")
MINUTES = st.tuples(DAYS, st.times()).map(lambda parts: f"{parts[0]} {parts[1]:%H:%M}")
WORDS = st.sampled_from(["yes", "Yes", "NO", "y", "t", "1", "0", "ja", "maybe", "x", "TRUE", "f"])
TEXTS = st.one_of(NUMBERS, TRAPS, DAYS, MOMENTS, OFFSETS, MINUTES, WORDS).map(str.strip).filter(bool)


@pytest.fixture(scope="module")
def engine() -> Iterator[warehouse.Connection]:
    with warehouse.scratch() as connection:
        yield connection


@pytest.mark.parametrize("reading", READINGS, ids=str)
def test_the_fast_reading_never_differs(engine: warehouse.Connection, reading: Reading) -> None:
    sql = f"select x, {fast_reading('x', reading)} from (select unnest(cast(? as varchar[])) as x)"

    @given(st.lists(TEXTS, min_size=30, max_size=60))
    @settings(derandomize=True, deadline=None, max_examples=tries(8))
    def same(texts: list[str]) -> None:
        for text, fast in engine.execute(sql, [texts]).fetchall():
            if fast is not None:
                slow = read_cell(text, reading)
                assert slow.value == fast, (text, fast, slow)

    same()


@pytest.mark.parametrize(
    ("text", "reading", "value"),
    [
        ("18.50", Reading(Quantity.MONEY), 1850),
        ("18,5", Reading(Quantity.MONEY, decimal=","), 1850),
        ("-3", Reading(Quantity.MONEY), -300),
        ("1.255", Reading(Quantity.MONEY, currency="KWD", decimal="."), 1255),
        ("1.2555", Reading(Quantity.NUMBER), 1.2555),
        ("0.255", Reading(Quantity.NUMBER), 0.255),
        ("1.255", Reading(Quantity.NUMBER, decimal="."), 1.255),
        ("12", Reading(Quantity.COUNT), 12),
        ("121.92", Reading(Quantity.LENGTH, unit="cm"), 48.0),
        ("12", Reading(Quantity.WEIGHT, unit="kg"), 26.455471),
        ("yes", Reading(Quantity.FLAG), True),
        ("2026-10-03", Reading(Quantity.DATE), date(2026, 10, 3)),
        ("03/10/2026", Reading(Quantity.DATE, date_order="dmy"), date(2026, 10, 3)),
        ("10/03/2026", Reading(Quantity.DATE, date_order="mdy"), date(2026, 10, 3)),
        ("2026-10-03T14:25", Reading(Quantity.INSTANT), datetime(2026, 10, 3, 14, 25)),
        ("2026-10-03T14:25:00Z", Reading(Quantity.INSTANT, time_zone="Asia/Kathmandu"), datetime(2026, 10, 3, 20, 10)),
        ("03.10.2026 14:25:30", Reading(Quantity.INSTANT, date_order="dmy"), datetime(2026, 10, 3, 14, 25, 30)),
    ],
)
def test_the_fast_reading_reads_what_is_canonical(
    engine: warehouse.Connection, text: str, reading: Reading, value: object
) -> None:
    sql = f"select {fast_reading('x', reading)} from (select cast(? as varchar) as x)"
    assert engine.execute(sql, [text]).fetchall() == [(value,)]
    assert read_cell(text, reading).value == value


@pytest.mark.parametrize("quantity", [Quantity.NUMBER, Quantity.WEIGHT, Quantity.MONEY, Quantity.COUNT], ids=str)
def test_the_fast_reading_leaves_what_may_be_two_numbers(engine: warehouse.Connection, quantity: Quantity) -> None:
    sql = f"select {fast_reading('x', Reading(quantity, currency='KWD'))} from (select cast(? as varchar) as x)"
    for text in ("1.500", "-1.500", "999.999", "10.000", "1,500"):
        assert engine.execute(sql, [text]).fetchall() == [(None,)], text


@given(st.decimals(Decimal(0), Decimal(500), places=6))
@settings(derandomize=True, deadline=None, max_examples=tries(200))
def test_conversions_are_close_to_the_exact_factor(number: Decimal) -> None:
    inches = read_cell(f"{number:f}", Reading(Quantity.LENGTH, unit="cm")).value
    pounds = read_cell(f"{number:f}", Reading(Quantity.WEIGHT, unit="kg")).value
    assert isinstance(inches, float) and isinstance(pounds, float)
    assert abs(Decimal(inches) * Decimal("2.54") - number) < Decimal("0.000002")
    assert abs(Decimal(pounds) * Decimal("0.45359237") - number) < Decimal("0.000001")
