"""Each planted fault of a tariff is found, in its file and line; a sound tariff has none."""

from __future__ import annotations

from dataclasses import replace

import pytest

from models.tariffs.checks import checked, checked_together
from models.tariffs.record_checks import Recorded, currency_findings, record_findings
from tests.models.tariffs.price_lists import prices_text, tariff

ROW = '[[surcharges]]\nsurcharge = "{name}"\ncharge_code = "{name}"\namount_cents = 100\n{rest}\n'
LIMITS = "limits = { longest_side = 108.0, scale_weight = 150.0 }"


def row(name: str, rest: str) -> str:
    return ROW.format(name=name, rest=rest)


def when(measure: str, more_than: float) -> str:
    return f'when = [[{{ measure = "{measure}", more_than = {more_than} }}]]'


def missing(density: int) -> str:
    return f"per_missing_weight = {{ density = {density}.0, step = 1.0, amount_cents = 15 }}"


def test_a_sound_tariff_has_no_finding() -> None:
    rest = row("long", when("longest_side", 48)) + row("heavy", when("scale_weight", 50))
    assert checked(tariff(rest=rest, limits=LIMITS)) == []


@pytest.mark.parametrize(
    ("rest", "line", "level", "words"),
    [
        (row("a", 'services = ["none"]'), 22, "stop", "unknown service none"),
        (row("a", 'zones = ["9"]'), 22, "stop", "zone 9, which has no prices"),
        (row("a", 'area = "far"'), 22, "stop", "unknown area far"),
        (row("a", "from = 2025-02-01\nto = 2025-01-01"), 22, "stop", "ends before it begins"),
        (row("a", "to = 1999-12-31"), 22, "stop", "ends before it begins"),
        (row("a", "from = 1999-01-01\nto = 1999-12-31"), 22, "warn", "valid on no day"),
        (row("a", when("longest_side", 108)), 22, "warn", "can never apply: parcels"),
        (row("a", "minimum_weight = 151"), 22, "warn", "beyond the heaviest price"),
        (row("a", 'group = "g"\nrank = 1') + row("b", 'group = "g"\nrank = 1'), 28, "warn", "have the same rank"),
        (
            row("a", 'group = "g"\nrank = 1\n' + when("longest_side", 60))
            + row("b", 'group = "g"\nrank = 2\n' + when("longest_side", 48)),
            22,
            "warn",
            "can never apply: b in line 29",
        ),
        (
            row("a", 'group = "g"\nrank = 1') + row("b", 'group = "g"\nrank = 2').replace("= 100", "= 0"),
            28,
            "warn",
            "charges nothing, yet goes before a in line 22",
        ),
        (
            "".join(
                row(name, missing(density)).replace("amount_cents = 100\n", "", 1)
                for name, density in (("a", 6), ("b", 6), ("c", 8))
            ),
            30,
            "stop",
            "looks for another density than a in line 22",
        ),
        ('[[discounts]]\npercent = 10.0\non = ["surcharge:none"]', 22, "stop", "no row is named"),
        ('[[discounts]]\npercent = 110.0\non = ["base"]', 22, "stop", "more than 100 percent"),
        ('[[discounts]]\npercent = 10.0\non = ["base"]\nservices = ["x"]', 22, "stop", "unknown service x"),
        ('[[fuel]]\nfrom = 2000-02-01\npercent = 9.0\non = ["base"]', 22, "warn", "no fuel is stated from 2000-01-01"),
        (
            '[[fuel]]\nfrom = 2000-01-01\npercent = 9.0\non = ["base"]\n' * 2,
            26,
            "stop",
            "fuel from 2000-01-01 is stated twice",
        ),
        (
            '[[services]]\nservice = "fast"\nside_rounding = "up"\ndivisor = 139.0\nweight_step = 1.0',
            22,
            "stop",
            "service fast has no prices",
        ),
    ],
)
def test_a_fault_of_the_rules_is_found(rest: str, line: int, level: str, words: str) -> None:
    findings = checked(tariff(rest=rest, limits=LIMITS))
    found = [finding for finding in findings if words in finding.what]
    assert [(each.file, each.line, each.level) for each in found] == [("trial.toml", line, level)]


@pytest.mark.parametrize(
    ("before", "after", "line", "level", "words"),
    [
        ("plain,2,7,700\n", "", 8, "warn", "zone 2: no price for the weight 7"),
        ("plain,2,7,700\n", "plain,2,7,599\n", 8, "warn", "costs less than up to 6"),
        ("plain,3,7,770\n", "plain,3,7,690\n", 158, "warn", "costs less than in zone 2"),
        ("plain,2,7,700\n", "plain,2,7,700\nplain,2,7,710\n", 9, "stop", "is also priced in line 8"),
        ("plain,2,7,700\n", "plain,5,7,900\n", 2, "warn", "no prices for zone 4"),
        ("plain,2,7,700\n", "quick,2,7,700\n", 8, "stop", "is no service of trial.toml"),
        ("plain,2,150,15000\n", "", 300, "warn", "carries 151"),
    ],
)
def test_a_fault_of_the_prices_is_found(before: str, after: str, line: int, level: str, words: str) -> None:
    limits = "limits = { scale_weight = 151.0 }"
    findings = checked(tariff(prices=prices_text().replace(before, after), limits=limits))
    found = [finding for finding in findings if words in finding.what]
    assert [(each.file, each.line, each.level) for each in found] == [("trial.csv", line, level)]


def test_a_gap_of_many_zones_is_one_note() -> None:
    zones = [str(zone) for zone in range(1000, 2000)]
    rows = [f"plain,{zone},{weight},{100 * weight}" for zone in zones for weight in (10, 20)]
    prices = "\n".join(["service,zone,up_to_weight,price_cents", *rows, "plain,2000,20,2000", "plain,2000,30,3000", ""])
    notes = [each.what for each in checked(tariff(prices=prices)) if "no price" in each.what]
    assert notes == [
        "plain, 1000 zones, 1000 to 1999: no price above 20, which other zones have",
        "plain, zone 2000: no price up to 10, which other zones have",
    ]


@pytest.mark.parametrize(
    ("rest", "words"),
    [
        ("percent = 0.0", "it is of nothing"),
        ("percent = 5.0\nminimum_charge_cents = 99999", "no price is above"),
        ("percent = 5.0\nfrom = 2030-01-01", "begins after the tariff's last day"),
    ],
)
def test_a_discount_that_takes_nothing_off_stops(rest: str, words: str) -> None:
    found = checked(tariff(rest=f'[[discounts]]\non = ["base"]\n{rest}\n', effective_to="2026-12-31"))
    assert [(each.level, words in each.what) for each in found] == [("stop", True)]


def test_a_tariff_that_means_other_places_than_the_records_stops() -> None:
    listed = tariff(rest='[areas]\nfar = ["59712"]\nisle = ["20"]\n')
    recorded = Recorded(frozenset({("plain", "A"), ("plain", "B")}), frozenset({"597", "995"}))
    assert [(each.level, each.what.split(",")[0]) for each in record_findings(listed, recorded)] == [
        ("stop", "the records of plain have zone A"),
        ("stop", "area far lists 59712"),
        ("warn", "area isle matches none of the 2 postal codes in the records"),
    ]
    same = Recorded(frozenset({("plain", "2"), ("plain", "9")}), frozenset({"59712", "20137"}))
    assert [each.level for each in record_findings(listed, same)] == ["warn"]


def test_prices_in_other_money_than_the_shops_stop() -> None:
    assert [each.level for each in currency_findings(tariff(), "EUR")] == ["stop"]
    assert list(currency_findings(tariff(), "USD")) == []


@pytest.mark.parametrize(
    ("second_from", "words"),
    [("2025-12-31", ["is still valid on"]), ("2026-01-01", []), ("2026-01-02", ["days between have no tariff"])],
)
def test_days_between_tariffs_of_a_carrier(second_from: str, words: list[str]) -> None:
    first = replace(tariff("a", effective_to="2025-12-31"), carrier="one")
    second = replace(tariff("b", effective_from=second_from), carrier="one")
    found = checked_together([second, first])
    assert len(found) == len(words)
    assert all(word in finding.what for word, finding in zip(words, found, strict=True))


def test_a_code_used_twice_stops() -> None:
    first = tariff("a", effective_to="2025-12-31")
    second = tariff("a", effective_from="2026-01-01")
    assert ["is also that of" in each.what for each in checked_together([first, second])] == [True]
