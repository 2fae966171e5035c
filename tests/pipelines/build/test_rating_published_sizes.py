"""Published lists and size rules of carriers in five more countries, in the tariff format, worked out by hand.

Where the source prints sizes without prices, the price stands for the size: 1 for the first, 2 for the second.
"""

from __future__ import annotations

import pytest

from tests.pipelines.build.test_rating_published_lists import KILOGRAM, SERVICE, Case, band, charged, listed


def sizes(*rows: tuple[str, str]) -> str:
    """Size classes, each with the most of its measures."""
    return "".join(f'[[classes]]\nclass = "{name}"\nat_most = {{ {most} }}\n' for name, most in rows)


def numbered(service: str, heaviest: float, *names: str) -> dict[tuple[str, str, str], list[tuple[float, int]]]:
    """A price for each size: its place."""
    return {(service, "*", name): [(heaviest, place)] for place, name in enumerate(names, 1)}


@pytest.mark.published
def test_home_deliveries_of_france() -> None:
    # La Poste, Colissimo to addresses in metropolitan France and to pick-up points, 2023, as printed by "Tarif
    # Colissimo - FRANCE - 2023" (tarif-lettre.com, 2023). Sides add up to at most 200 cm, 30 kg ("Colis : le guide
    # anti-souci", 60 millions de consommateurs, section "Emballez votre colis dans les regles").
    rules = SERVICE.format(name="home", step=0.25, limits="sum_of_sides = 200.0, scale_weight = 30.0")
    rules += SERVICE.format(name="point", step=0.25, limits="sum_of_sides = 200.0, scale_weight = 5.0")
    weights = (0.25, 0.5, 0.75, 1, 2, 5, 10, 15, 30)
    prices = {
        ("home", "*", ""): band(weights, 495, 670, 760, 825, 955, 1465, 2130, 2695, 3340),
        ("point", "*", ""): band(weights[:6], 425, 595, 690, 755, 885, 1395),
    }
    box = (40.0, 30.0, 20.0)
    cases: list[Case] = [
        ("home", "x", box, 0.2, 495),
        ("home", "x", box, 0.26, 670),
        ("home", "x", box, 0.75, 760),
        ("home", "x", box, 1.0, 825),
        ("home", "x", box, 1.01, 955),
        ("home", "x", box, 4.9, 1465),
        ("home", "x", (100, 60, 40), 12.0, 2695),
        ("home", "x", (100, 60, 40.5), 12.0, "beyond limit: sum_of_sides"),
        ("home", "x", box, 30.0, 3340),
        ("point", "x", box, 0.4, 595),
        ("point", "x", box, 5.0, 1395),
        ("point", "x", box, 5.2, "beyond limit: scale_weight"),
    ]
    assert charged(listed("La Poste 2023", rules, prices, "EUR"), cases, KILOGRAM) == [case[-1] for case in cases]


@pytest.mark.published
def test_parcels_and_bulky_goods_of_germany() -> None:
    # Deutsche Post DHL, "DHL Paket" (undated page of dhl.de, in English), online prices: 4.99 to 2 kg and 60 x 30 x
    # 15 cm, 5.99 to 5 kg, 7.49 to 10 kg, 13.99 to 31.5 kg and 120 x 60 x 60 cm; bulky goods to 200 cm and 360 cm of
    # length plus girth 22.50 more, beyond 10 kg or 300 cm of length plus girth 26.78.
    rules = SERVICE.format(name="parcel", step=0.1, limits="scale_weight = 31.5") + sizes(
        ("small", "longest_side = 60.0, second_side = 30.0, shortest_side = 15.0, scale_weight = 2.0"),
        ("parcel", "longest_side = 200.0, length_plus_girth = 360.0"),
    )
    long, wide = ('{ measure = "longest_side", more_than = 120.0 }', '{ measure = "second_side", more_than = 60.0 }')
    heavy = '{ measure = "scale_weight", more_than = 10.0 }', '{ measure = "length_plus_girth", more_than = 300.0 }'
    both = ", ".join(f"[{size}, {more}]" for size in (long, wide) for more in heavy)
    bulky = '[[surcharges]]\nsurcharge = "bulky goods"\ncharge_code = "BULKY"\ngroup = "bulky"\n'
    rules += f"{bulky}rank = 1\nwhen = [[{long}], [{wide}]]\namount_cents = 2250\n"
    rules += f"{bulky}rank = 2\nwhen = [{both}]\namount_cents = 2678\n"
    prices = {("parcel", "*", "small"): [(2.0, 499)], ("parcel", "*", "parcel"): band((5, 10, 31.5), 599, 749, 1399)}
    cases: list[Case] = [
        ("parcel", "x", (60, 30, 15), 2.0, 499),
        ("parcel", "x", (60, 30, 15), 2.1, 599),
        ("parcel", "x", (60, 31, 15), 1.0, 599),
        ("parcel", "x", (100, 40, 30), 5.1, 749),
        ("parcel", "x", (120, 60, 30), 31.5, 1399),
        ("parcel", "x", (150, 20, 20), 4.0, 599 + 2250),
        ("parcel", "x", (100, 61, 20), 9.0, 749 + 2250),
        ("parcel", "x", (150, 20, 20), 10.5, 1399 + 2678),
        # 180 + 2 x (40 + 25) = 310.
        ("parcel", "x", (180, 40, 25), 8.0, 749 + 2678),
        ("parcel", "x", (200, 40, 40), 20.0, 1399 + 2678),
        ("parcel", "x", (200, 41, 40), 20.0, "no size fits"),
        ("parcel", "x", (60, 30, 15), 31.6, "beyond limit: scale_weight"),
    ]
    assert charged(listed("DHL Paket", rules, prices, "EUR"), cases, KILOGRAM) == [case[-1] for case in cases]


@pytest.mark.published
def test_sizes_by_longest_plus_shortest_side_of_a_private_carrier_in_germany() -> None:
    # Lattreuter, "So berechnen Sie die Paketgroessen" (page "Preisberechnung", undated): longest plus shortest side
    # to 35, 50, 65 and 80 cm, beyond it XL up to 300 cm of girth; height, width, length to 60, 80, 200 cm. No prices
    # are printed.
    names, mosts = ("XS", "S", "M", "L"), (35, 50, 65, 80)
    rules = SERVICE.format(
        name="parcel",
        step=1.0,
        limits="longest_side = 200.0, second_side = 80.0, shortest_side = 60.0, length_plus_girth = 300.0",
    ) + sizes(
        *((name, f"longest_plus_shortest = {most}.0") for name, most in zip(names, mosts, strict=True)),
        ("XL", "length_plus_girth = 300.0"),
    )
    cases: list[Case] = [
        ("parcel", "x", (25, 15, 10), 3.0, 1),
        ("parcel", "x", (25, 15, 10.5), 3.0, 2),
        ("parcel", "x", (40, 30, 10), 3.0, 2),
        ("parcel", "x", (40, 30, 25), 3.0, 3),
        ("parcel", "x", (50, 40, 30), 3.0, 4),
        ("parcel", "x", (50, 40, 31), 3.0, 5),
        # The three examples of the page: 240 cm may be sent, 390 cm and a side of 210 cm may not.
        ("parcel", "x", (100, 40, 30), 3.0, 5),
        ("parcel", "x", (150, 60, 60), 3.0, "beyond limit: length_plus_girth"),
        ("parcel", "x", (210, 10, 10), 3.0, "beyond limit: longest_side"),
        ("parcel", "x", (90, 85, 10), 3.0, "beyond limit: second_side"),
    ]
    tariff = listed("Lattreuter", rules, numbered("parcel", 40.0, *names, "XL"), "EUR")
    assert charged(tariff, cases, KILOGRAM) == [case[-1] for case in cases]


@pytest.mark.published
def test_sizes_of_two_private_carriers_of_japan() -> None:
    # Sagawa Express, "Notes on calculating fares, Hikyaku Express" (sagawa-exp.co.jp, English, undated), table "Size,
    # total of 3 dimensions, weight": 60 to 2 kg, 80 to 5, 100 to 10, 140 to 20, 160 to 30. Yamato Transport, sizes of
    # its parcel service as printed by danchizumano-nandeyanen.com (p=450715): 60/2, 80/5, 100/10, 120/15, 140/20,
    # 160/25, 180/30, 200/30 kg, no side beyond 170 cm. The larger of size and weight counts. No prices are printed.
    steps = {
        "sagawa": ((60, 2), (80, 5), (100, 10), (140, 20), (160, 30)),
        "yamato": ((60, 2), (80, 5), (100, 10), (120, 15), (140, 20), (160, 25), (180, 30), (200, 30)),
    }
    rules = SERVICE.format(name="sagawa", step=1.0, limits="sum_of_sides = 160.0, scale_weight = 30.0")
    rules += SERVICE.format(name="yamato", step=1.0, limits="sum_of_sides = 200.0, longest_side = 170.0")
    prices: dict[tuple[str, str, str], list[tuple[float, int]]] = {}
    for service, rows in steps.items():
        for size, weight in rows:
            most = f"sum_of_sides = {size}.0, scale_weight = {weight}.0"
            rules += f'[[classes]]\nclass = "{service} {size}"\nservices = ["{service}"]\nat_most = {{ {most} }}\n'
            prices[service, "*", f"{service} {size}"] = [(30.0, size)]
    cases: list[Case] = [
        ("sagawa", "x", (30, 20, 10), 2.0, 60),
        ("sagawa", "x", (30, 20, 10), 2.1, 80),
        ("sagawa", "x", (40, 30, 31), 4.0, 140),
        ("sagawa", "x", (40, 30, 30), 10.5, 140),
        ("sagawa", "x", (60, 50, 50), 12.0, 160),
        ("sagawa", "x", (60, 50, 51), 12.0, "beyond limit: sum_of_sides"),
        # The example of the page: within 60 cm and 4 kg is size 80.
        ("yamato", "x", (30, 20, 10), 4.0, 80),
        ("yamato", "x", (40, 40, 39), 14.0, 120),
        ("yamato", "x", (40, 40, 39), 15.5, 140),
        ("yamato", "x", (60, 50, 50), 25.0, 160),
        ("yamato", "x", (100, 50, 30), 26.0, 180),
        ("yamato", "x", (171, 10, 10), 5.0, "beyond limit: longest_side"),
    ]
    assert charged(listed("Japan", rules, prices, "JPY"), cases, KILOGRAM) == [case[-1] for case in cases]


@pytest.mark.published
def test_formats_of_the_united_kingdom() -> None:
    # Royal Mail sizes of 2017 as printed by mailingbag.com ("Royal Mail Postage Guide", 29 June 2017): small parcel
    # 45 x 35 x 8 cm, small deep parcel 35 x 25 x 16 cm, a cube of 16 cm, all to 2 kg; medium parcel 61 x 46 x 46 cm
    # to 20 kg.
    light = "scale_weight = 2.0"
    rules = SERVICE.format(name="post", step=1.0, limits="scale_weight = 20.0") + sizes(
        ("small", f"longest_side = 45.0, second_side = 35.0, shortest_side = 8.0, {light}"),
        ("deep", f"longest_side = 35.0, second_side = 25.0, shortest_side = 16.0, {light}"),
        ("medium", "longest_side = 61.0, second_side = 46.0, shortest_side = 46.0"),
    )
    cases: list[Case] = [
        ("post", "x", (45, 35, 8), 2.0, 1),
        ("post", "x", (45, 35, 8.1), 2.0, 3),
        ("post", "x", (35, 25, 16), 1.0, 2),
        ("post", "x", (16, 16, 16), 1.0, 2),
        ("post", "x", (36, 25, 16), 1.0, 3),
        ("post", "x", (30, 20, 5), 2.1, 3),
        ("post", "x", (61, 46, 46), 20.0, 3),
        ("post", "x", (61.5, 20, 20), 5.0, "no size fits"),
        ("post", "x", (60, 47, 20), 5.0, "no size fits"),
        ("post", "x", (40, 40, 40), 20.5, "beyond limit: scale_weight"),
    ]
    tariff = listed("Royal Mail 2017", rules, numbered("post", 20.0, "small", "deep", "medium"), "GBP")
    assert charged(tariff, cases, KILOGRAM) == [case[-1] for case in cases]


@pytest.mark.published
def test_limits_of_parcels_of_belgium() -> None:
    # bpost, guide of January 2025, section 4, page 13, "2.1.1 Colis standard": at least 14.5 cm long and 11.2 cm
    # wide, at most 150 cm and 300 cm of A + 2 B + 2 C, 30 kg. (The charge for each missing kg below 120 kg per cubic
    # metre, for contract customers, is printed without its amount.)
    rules = SERVICE.format(
        name="parcel", step=1.0, limits="longest_side = 150.0, length_plus_girth = 300.0, scale_weight = 30.0"
    )
    rules += "minimums = { longest_side = 14.5, second_side = 11.2 }\n"
    cases: list[Case] = [
        ("parcel", "x", (14.5, 11.2, 1), 0.3, 1),
        ("parcel", "x", (11.2, 14.5, 1), 0.3, 1),
        ("parcel", "x", (14.4, 11.2, 1), 0.3, "below minimum: longest_side"),
        ("parcel", "x", (30, 11.1, 5), 1.0, "below minimum: second_side"),
        ("parcel", "x", (150, 40, 35), 10.0, 1),
        ("parcel", "x", (150, 40, 36), 10.0, "beyond limit: length_plus_girth"),
        ("parcel", "x", (150.5, 20, 20), 10.0, "beyond limit: longest_side"),
        ("parcel", "x", (60, 60, 60), 30.0, 1),
        ("parcel", "x", (60, 60, 61), 29.0, "beyond limit: length_plus_girth"),
        ("parcel", "x", (40, 30, 20), 30.1, "beyond limit: scale_weight"),
    ]
    tariff = listed("bpost 2025", rules, {("parcel", "*", ""): [(30.0, 1)]}, "EUR")
    assert charged(tariff, cases, KILOGRAM) == [case[-1] for case in cases]
