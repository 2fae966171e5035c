"""Lengths, weights and minutes: units in the map, in the cell, in the header, in none of them.

Exact by definition: an inch is 2.54 cm, a pound 0.45359237 kg (international yard and pound agreement of 1959, NIST
Special Publication 811, appendix B).
"""

from __future__ import annotations

import random
from collections.abc import Iterator
from fractions import Fraction

from babel.numbers import format_decimal, get_decimal_symbol

from tests.strangers.groups import Group
from tests.strangers.probes import LENGTH, MINUTES, WEIGHT
from tests.strangers.trials import Case, either, refused, valid

INCHES = {
    "in": Fraction(1),
    "cm": Fraction(50, 127),
    "mm": Fraction(5, 127),
    "m": Fraction(5000, 127),
    "ft": Fraction(12),
}
POUND_GRAMS = Fraction("453.59237")
POUNDS = {"lb": Fraction(1), "oz": Fraction(1, 16), "kg": 1000 / POUND_GRAMS, "g": 1 / POUND_GRAMS}
LOCALES = ("en_US", "de_DE", "fr_FR", "sv_SE", "de_CH", "pl_PL", "pt_BR", "en_IN")
WORDS = {
    "in": ("in", "inch", "inches", '"', "IN"),
    "cm": ("cm", "CM"),
    "mm": ("mm",),
    "lb": ("lb", "lbs", "LB"),
    "kg": ("kg", "KG"),
    "g": ("g",),
    "oz": ("oz",),
}
RARE = {
    "ft": ("ft", "'", "feet"),
    "m": ("m",),
    "in": ("″", "in.", "Zoll"),
    "lb": ("pounds", "#", "lb."),
    "kg": ("kgs", "Kilogramm"),
    "oz": ("ounces",),
}
PER_UNIT = 20


def groups(chance: random.Random) -> Iterator[Group]:
    """Each unit stated in the map, then stated elsewhere or nowhere."""
    for probe, sizes, other in ((LENGTH, INCHES, "5 kg"), (WEIGHT, POUNDS, "5 in")):
        for number, unit in enumerate(sizes):
            locale = LOCALES[(number + 4 * (probe is WEIGHT)) % len(LOCALES)]
            cases = [
                *_plain(sizes[unit], unit, locale, chance),
                *_named(sizes, unit, locale, chance),
                *refused("another measure", other),
            ]
            yield Group(f"{probe.column} in {unit}", probe, cases, unit=unit, decimal=get_decimal_symbol(locale))
    yield from _elsewhere()
    yield from _nowhere()
    yield Group("lengths of the trade", LENGTH, list(_trade()), unit="in", decimal=".")
    yield Group("weights of the trade", WEIGHT, list(_pounds()), unit="lb", decimal=".")
    yield Group("minutes", MINUTES, list(_minutes()), header="pack_minutes", decimal=".")


def _value(chance: random.Random, size: Fraction) -> Fraction:
    """A number of three places that is at most some 900 inches or 9,000 pounds."""
    most = int(900 / size * 1000)
    return Fraction(chance.randint(1, min(most, 10 ** chance.randint(3, 7))), 1000)


def _plain(size: Fraction, unit: str, locale: str, chance: random.Random) -> Iterator[Case]:
    for _ in range(PER_UNIT):
        number = _value(chance, size)
        written = format_decimal(float(number), locale=locale, decimal_quantization=False)
        yield valid(f"CLDR number in {unit} by the map", written, float(number * size))
    yield from refused("not above zero, or beyond the dictionary's bounds", "-1", "-0.5", "99999999")
    yield from (valid("blank where it may be", blank, None) for blank in ("", " ", "\u00a0", "\u202f", "  "))
    yield from (either("a mark of absence", word, None) for word in ("-", "n/a", "NULL", "NaN", "None", "\u2013"))
    yield from refused("no number", "long", "ca. 5", "5-6", "5 x 6", "5±1", "5?", "inf", "1e400", "5 5", "#N/A")


def _named(sizes: dict[str, Fraction], stated: str, locale: str, chance: random.Random) -> Iterator[Case]:
    for unit, words in WORDS.items():
        for word in words if unit in sizes else ():
            number = _value(chance, max(sizes[unit], sizes[stated]))
            written = format_decimal(float(number), locale=locale, decimal_quantization=False)
            cell = f'{written}"' if word == '"' else f"{written} {word}"
            value = float(number * sizes[unit])
            if unit == stated:
                yield valid("the unit of the map, in the cell too", cell, value)
            else:
                # The cell is nearer to the thing than the map; to ask is fair too. The map's unit alone never is.
                yield either("the cell's unit is not the map's", cell, value)
    for unit, words in RARE.items():
        for word in words if unit in sizes else ():
            yield either("a rarer word for a unit", f"5 {word}", float(5 * sizes[unit]))
            yield either("a rarer word for a unit", f"5{word}", float(5 * sizes[unit]))


def _elsewhere() -> Iterator[Group]:
    cells = [
        valid("the cell states its unit", cell, value)
        for cell, value in (("12 in", 12.0), ("30.48 cm", 12.0), ("304.8 mm", 12.0), ('12"', 12.0), ("30.48cm", 12.0))
    ]
    yield Group(
        "length unit in the cell",
        LENGTH,
        [*cells, *refused("no unit among cells that have one", "12", "30.48")],
        decimal=".",
        is_whole=True,
    )
    cells = [
        valid("the cell states its unit", cell, value)
        for cell, value in (
            ("5 lb", 5.0),
            ("5 lbs", 5.0),
            ("80 oz", 5.0),
            ("2.26796185 kg", 5.0),
            ("2267.96185 g", 5.0),
        )
    ]
    yield Group(
        "weight unit in the cell",
        WEIGHT,
        [*cells, *refused("no unit among cells that have one", "5", "80")],
        decimal=".",
        is_whole=True,
    )
    for header, unit in (
        ("Length (cm)", "cm"),
        ("Height [mm]", "mm"),
        ("cut height in inches", "in"),
        ("Laenge_cm", "cm"),
        ("cut_height_in", "in"),
    ):
        cases = [
            either("the header states the unit", cell, float(Fraction(cell) * INCHES[unit]))
            for cell in ("12", "30.48", "250")
        ]
        yield Group(
            f"length header {header}", LENGTH, cases, header=header, decimal=".", is_whole=True, may_be_refused=True
        )
    for header, unit in (
        ("Weight (kg)", "kg"),
        ("Gewicht kg", "kg"),
        ("Weight, g", "g"),
        ("Weight (oz)", "oz"),
        ("billed_weight_lb", "lb"),
    ):
        cases = [
            either("the header states the unit", cell, float(Fraction(cell) * POUNDS[unit]))
            for cell in ("12", "30.48", "250")
        ]
        yield Group(
            f"weight header {header}", WEIGHT, cases, header=header, decimal=".", is_whole=True, may_be_refused=True
        )


def _nowhere() -> Iterator[Group]:
    why = "neither map, header nor cell states a unit"
    for probe in (LENGTH, WEIGHT):
        yield Group(
            f"no unit {probe.column}",
            probe,
            refused(why, "12", "30.48", "250", "1,250.5"),
            decimal=".",
            is_whole=True,
            may_be_refused=True,
        )


def _trade() -> Iterator[Case]:
    for cell, value in (
        ("47 1/2", 47.5),
        ('47 1/2"', 47.5),
        ("47-1/2", 47.5),
        ("47½", 47.5),
        ("5 ft 2 in", 62.0),
        ("5'2\"", 62.0),
        ("3/4", 0.75),
        ("1e2", 100.0),
        ("47.5in", 47.5),
    ):
        yield either("as a ruler is read", cell, value)
    yield from refused(
        "several sides, or no length",
        "48x8x8",
        "48 x 8",
        "1/0",
        "47 1/2 1/2",
        "12 in 5 kg",
        "12 cm²",
        "12 lb",
        "5'2",
        "12 in in",
        "12 mi",
        "12 pt",
    )
    yield from refused("bounds: above 0 to 1,000 in", "0", "0.0", "1000.01", "90 ft", "2600 cm")
    yield valid("the bound itself", "1000", 1000.0)


def _pounds() -> Iterator[Case]:
    yield from (
        either("pounds and ounces", cell, 5.1875) for cell in ("5 lb 3 oz", "5 lbs 3 oz", "5lb3oz", "5 lb, 3 oz")
    )
    yield from refused(
        "no weight",
        "5 lb 3",
        "5-3",
        "5 lb 3 in",
        "heavy",
        "5 lb lb",
        "5 kg 3 lb 2",
        "12 cm",
        "10000.01",
        "5000 kg",
        "-1 kg",
    )
    yield valid("the bound itself", "10000", 10000.0)
    yield valid("zero is allowed here", "0", 0.0)


def _minutes() -> Iterator[Case]:
    yield from (
        valid("minutes", cell, value) for cell, value in (("9.5", 9.5), ("0", 0.0), ("1440", 1440.0), ("", None))
    )
    yield from (
        either("another way to say it", cell, value)
        for cell, value in (("9.5 min", 9.5), ("90 s", 1.5), ("1.5 h", 90.0), ("00:09:30", 9.5), ("1 h 30 min", 90.0))
    )
    yield from refused("hours and minutes, or minutes and seconds", "1:30", "9:30")
    yield from refused("no time, or above a day", "1440.01", "-1", "long", "9.5 lb", "25 h", "9;5")
