"""Fernmoor Optics as constants: goods, cartons, packing methods, destinations and what truly breaks.

Everything is invented. Goods and clearances in inches and pounds; the carton catalogue in centimetres, as its
supplier writes it.
"""

from __future__ import annotations

import datetime as dt
from dataclasses import dataclass

SEED = 20260501
FIRST_DAY, LAST_DAY = dt.date(2025, 5, 1), dt.date(2026, 10, 31)
# Records run on to this day: late claims and late adjustments.
AS_OF = dt.date(2026, 11, 20)
# The shop keeps its labels since this day; nothing is known of those before.
LABELS_SINCE = dt.date(2026, 6, 1)
# Since then the shop keeps returns of undamaged goods, and appeals what carriers refuse.
RETURNS_SINCE, APPEALS_SINCE = dt.date(2026, 6, 1), dt.date(2026, 6, 1)
PARCELS = 6000
CM = 2.54


@dataclass(frozen=True)
class ItemType:
    """Goods as wrapped; `damage_rate` is the true chance under the plain methods (odds ratio 1)."""

    name: str
    sides_in: tuple[float, float, float]
    weight_lb: float
    turns: str
    may_lie_under: bool
    is_fragile: bool
    price_cents: int
    cost_cents: int
    shipping_cents: int
    allowance_cents: int
    share: float
    damage_rate: float
    titles: tuple[str, ...]
    part: str


ITEM_TYPES = {
    each.name: each
    for each in (
        ItemType("tripod", (43, 6, 6), 11.5, "any", True, False, 12900, 6400, 3990, 0, 0.20, 0.060,
                 ("Field tripod, steel legs, geprüft", "Holzstativ (wooden tripod), overhauled"), "leg clamp"),
        ItemType("refractor tube", (38, 7, 7), 10.5, "any", False, True, 42000, 24500, 4490, 500, 0.13, 0.060,
                 ("Refractor 80/900 – geprüft", "Refractor 102/1000, new focuser"), "focuser"),
        ItemType("reflector tube", (44, 12, 12), 18.5, "any", False, True, 38000, 21000, 7490, 900, 0.08, 0.060,
                 ("Reflector tube 8\", mirror re-coated", "Reflector tube 10\" – justiert"), "spider vane"),
        ItemType("primary mirror", (13, 13, 4), 8.5, "flat", False, True, 26000, 14000, 4690, 0, 0.08, 0.070,
                 ("Primary mirror 10\", fresh coating", "Primary mirror 12\" in cell"), "mirror"),
        ItemType("mount head", (14, 11, 9), 21.0, "any", True, False, 24000, 13500, 2890, 400, 0.10, 0.018,
                 ("Equatorial mount head, regreased", "Montierung (mount head), überholt"), "worm shaft"),
        ItemType("counterweight", (7, 7, 5), 11.0, "any", True, False, 4500, 1500, 1690, 0, 0.08, 0.008,
                 ("Counterweight 5 kg", "Counterweight 11 lb, 20 mm bore"), "clamp screw"),
        ItemType("rocker base", (24, 24, 9), 26.0, "flat", True, False, 19000, 9500, 6490, 0, 0.09, 0.030,
                 ("Rocker base, birch ply", "Rocker base with Gleitlager für 8\""), "side panel"),
        ItemType("eyepiece", (6, 4, 4), 1.1, "any", True, True, 8500, 4300, 1590, 300, 0.13, 0.007,
                 ("Eyepiece 25 mm – Weitwinkel", "Eyepiece 10 mm, 1¼\""), "barrel"),
        ItemType("finder scope", (11, 5, 5), 2.2, "any", False, True, 7500, 3600, 1690, 300, 0.08, 0.016,
                 ("Finder scope 8x50, geprüft", "Finder scope 6x30 (war 89 €)"), "bracket"),
        ItemType("dew shield", (14, 9, 9), 1.4, "any", False, False, 3900, 1400, 1990, 300, 0.03, 0.005,
                 ("Dew shield 8\"", "Tauschutzkappe für 10\""), "rim"),
    )
}  # fmt: skip

# Baskets of several pieces: chance, then parcels of (item type, quantity); the sale's lines are their sum.
Contents = tuple[tuple[str, int], ...]
BASKETS: tuple[tuple[float, tuple[Contents, ...]], ...] = (
    (0.035, ((("tripod", 1),), (("mount head", 1),))),
    (0.030, ((("refractor tube", 1),), (("eyepiece", 1),))),
    (0.020, ((("rocker base", 1),), (("reflector tube", 1),))),
    (0.045, ((("eyepiece", 1), ("finder scope", 1)),)),
    (0.022, ((("mount head", 1), ("counterweight", 1)),)),
    (0.012, ((("mount head", 1), ("eyepiece", 1)),)),
    (0.016, ((("mount head", 2),),)),
    (0.030, ((("counterweight", 2),),)),
    (0.012, ((("counterweight", 3),),)),
    (0.008, ((("counterweight", 5),),)),
    (0.010, ((("tripod", 1),), (("tripod", 1),))),
    (0.020, ((("eyepiece", 2),),)),
)


@dataclass(frozen=True)
class Carton:
    """A stocked size: inside sides in centimetres along length, width, height; flaps close the height."""

    code: str
    style: str
    inside_cm: tuple[float, float, float]
    cost_cents: int
    is_cuttable: bool
    minimum_height_cm: float | None
    on_hand: int
    minimum_order: int
    has_outside: bool = True

    @property
    def counted_on(self) -> dt.date | None:
        """The last day on which the pieces on the shelf were counted; one size never was."""
        return COUNTED.get(self.code, STOCKTAKING)

    @property
    def lead_time_days(self) -> int:
        """Tubes come from further away."""
        return 28 if self.style == "tube" else 12


BOARD_CM = 0.4
CARTONS = {
    each.code: each
    for each in (
        Carton("S-08", "0201", (21.0, 16.0, 16.0), 48, False, None, 400, 100),
        Carton("S-10", "0201", (24.2, 24.2, 19.1), 72, False, None, 220, 50),
        Carton("S-12", "0201", (30.5, 23.0, 20.5), 81, True, 14.0, 260, 50),
        Carton("S-14", "0201", (36.0, 20.6, 20.6), 88, True, 16.0, 180, 50),
        Carton("M-14", "0201", (37.0, 35.6, 23.0), 118, True, 15.0, 240, 50),
        Carton("M-16", "0201", (42.0, 33.1, 29.3), 131, True, 18.0, 310, 50, has_outside=False),
        Carton("M-20", "0201", (51.5, 51.5, 41.0), 244, True, 15.0, 190, 25),
        Carton("L-26", "0201", (67.4, 67.4, 31.0), 335, True, 20.0, 130, 25),
        Carton("L-28", "0201", (70.0, 70.0, 32.5), 362, True, 20.0, 40, 25, has_outside=False),
        Carton("L-35", "0201", (89.5, 42.1, 41.0), 318, True, 20.0, 45, 25),
        Carton("C-42", "0201", (25.6, 25.6, 105.4), 286, True, 60.0, 260, 25),
        Carton("C-46", "0201", (21.8, 21.8, 115.2), 291, True, 60.0, 175, 25),
        Carton("C-48", "0201", (21.8, 21.8, 120.3), 279, True, 60.0, 420, 25),
        Carton("C-50", "0201", (39.4, 39.4, 124.8), 468, True, 60.0, 150, 25),
        Carton("T-16", "tube", (42.4, 28.5, 28.5), 210, False, None, 60, 20),
        Carton("T-42", "tube", (104.6, 25.6, 25.6), 395, False, None, 35, 10, has_outside=False),
    )
}  # fmt: skip
STOCKTAKING = dt.date(2026, 10, 17)
# Counted on another day: of T-42 as many were packed since as there were, of T-16 more.
COUNTED: dict[str, dt.date | None] = {
    "T-42": dt.date(2026, 5, 10),
    "T-16": dt.date(2025, 12, 1),
    "S-14": dt.date(2026, 3, 20),
    "C-50": dt.date(2026, 4, 10),
    "L-28": None,
}
# From a quantity on a carton costs this much less: (fewest pieces, share off), for the sizes bought most.
PRICE_STEPS = ((100, 0.03), (250, 0.07))
BOUGHT_MOST = ("S-08", "M-14", "M-16", "M-20", "C-42", "C-48", "C-50")
# The whole catalogue costs this much more from its second date.
PRICE_RISE_ON, PRICE_RISE = dt.date(2026, 1, 1), 1.07

# Cartons used for each parcel's contents: (code, chance) by method's clearance; the first that is not "foam" is usual.
CARTON_CHOICE: dict[Contents, dict[str, tuple[tuple[str, float], ...]]] = {
    (("tripod", 1),): {"usual": (("C-48", 0.93), ("C-46", 0.07))},
    (("refractor tube", 1),): {"usual": (("C-42", 0.82), ("T-42", 0.18))},
    (("reflector tube", 1),): {"usual": (("C-50", 1.0),)},
    # The size that is missing: 16 x 16 x 8 in would do.
    (("primary mirror", 1),): {"usual": (("M-20", 1.0),)},
    (("mount head", 1),): {"usual": (("M-16", 0.9), ("M-20", 0.1))},
    (("mount head", 2),): {"usual": (("L-35", 1.0),)},
    (("mount head", 1), ("counterweight", 1)): {"usual": (("M-20", 1.0),)},
    (("mount head", 1), ("eyepiece", 1)): {"usual": (("M-20", 1.0),)},
    (("counterweight", 1),): {"usual": (("S-10", 1.0),)},
    (("counterweight", 2),): {"usual": (("M-14", 1.0),)},
    (("counterweight", 3),): {"usual": (("M-20", 1.0),)},
    (("counterweight", 5),): {"usual": (("M-20", 1.0),)},
    (("rocker base", 1),): {"usual": (("L-26", 1.0),), "foam": (("L-28", 1.0),)},
    (("eyepiece", 1),): {"usual": (("S-08", 0.9), ("S-12", 0.1)), "foam": (("S-12", 1.0),)},
    (("eyepiece", 2),): {"usual": (("S-12", 1.0),), "foam": (("M-14", 1.0),)},
    (("eyepiece", 1), ("finder scope", 1)): {"usual": (("M-14", 1.0),)},
    (("finder scope", 1),): {"usual": (("S-14", 1.0),), "foam": (("S-14", 1.0),)},
    (("dew shield", 1),): {"usual": (("T-16", 1.0),)},
}
# Carton -> inside heights (in) it is sometimes cut to, with the chance; only where the goods allow it.
CUTS = {"C-50": (47.5, 0.25), "L-26": (11.5, 0.12)}
# C-48 is nominal 48 in long; the bulge of its flaps closes it at 49 on nearly all parcels.
NOMINAL_48, CLOSES_AT_NOMINAL = "C-48", 0.06


@dataclass(frozen=True)
class PackingMethod:
    """A way of securing goods; `odds_ratio` is its true effect on damage against the plain methods."""

    name: str
    material_cents: int
    later_material_cents: int
    minutes: float
    clearance_in: float
    odds_ratio: float


METHODS = {
    each.name: each
    for each in (
        PackingMethod("paper", 90, 95, 6.0, 1.0, 1.0),
        PackingMethod("air cushion", 165, 175, 7.0, 1.0, 1.0),
        PackingMethod("foam", 420, 455, 11.0, 1.5, 0.5),
        PackingMethod("corner blocks", 240, 240, 8.5, 1.0, 0.385),
        PackingMethod("honeycomb paper", 150, 150, 6.5, 1.0, 1.0),
    )
}
# What the pair wrote down for whoever packs.
METHOD_STEPS = {
    "paper": "wrap in three turns of paper; lay on a crumpled bed; fill every side; shake: nothing may move",
    "air cushion": "wrap in two turns of film, bubbles inward; tape the film; fill both ends; shake: nothing may move",
    "foam": "set the end pieces; lay the goods into the lower shell; close the upper shell; touch no wall",
    "corner blocks": "set a block at each corner; tie with two straps; fill the middle; shake: nothing may move",
    "honeycomb paper": "stretch and wrap in four turns; fold over both ends; fill every side; shake: nothing may move",
}
# The working change and the change that changed nothing.
TRIPOD_CHANGE, PLACEBO_CHANGE = dt.date(2026, 3, 1), dt.date(2026, 2, 1)
FOAM_SHARE = {
    "refractor tube": 0.74, "reflector tube": 0.70, "primary mirror": 0.78,
    "rocker base": 0.08, "eyepiece": 0.08, "finder scope": 0.12,
}  # fmt: skip

# First three figures of postal codes -> zone. The remote ones stand in the tariffs' [areas], and buy less often.
REMOTE, REMOTE_WEIGHT = ("038", "243", "249", "597", "693", "821", "838", "878", "995", "999"), 0.3
ZONES = {
    "120": "2", "130": "2", "142": "2", "146": "2", "168": "2", "183": "3", "021": "3", "038": "3", "060": "3",
    "100": "3", "112": "3", "191": "3", "208": "4", "221": "4", "432": "3", "441": "3", "482": "3", "249": "4",
    "243": "4", "277": "4", "303": "5", "331": "6", "372": "5", "402": "4", "462": "4", "532": "4", "553": "5",
    "606": "4", "631": "5", "641": "5", "681": "5", "693": "6", "597": "7", "700": "6", "731": "6", "752": "6",
    "770": "6", "787": "6", "802": "6", "821": "7", "838": "8", "841": "7", "850": "7", "871": "7", "878": "7",
    "891": "8", "900": "8", "921": "8", "941": "8", "958": "8", "972": "8", "981": "8", "995": "8", "999": "8",
}  # fmt: skip
# Carrier, service and the share of parcels that go by it.
SERVICES = (
    ("Northline", "ground", 0.70), ("Northline", "express", 0.05),
    ("Corvane", "economy", 0.17), ("Corvane", "standard", 0.08),
)  # fmt: skip
# Busier before the winter holidays and in spring: weight of each month of shipping.
MONTH_WEIGHT = {1: 0.9, 2: 0.85, 3: 1.0, 4: 1.05, 5: 1.0, 6: 0.9, 7: 0.85, 8: 0.95, 9: 1.0, 10: 1.1, 11: 1.35, 12: 1.5}


def days(first: dt.date = FIRST_DAY, last: dt.date = LAST_DAY) -> list[dt.date]:
    """Days of shipping: no Sundays."""
    every = [first + dt.timedelta(n) for n in range((last - first).days + 1)]
    return [day for day in every if day.weekday() < 6]
