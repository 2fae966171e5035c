"""The charges of a tariff file: surcharges, options, events, fuel and discounts, read off their sections."""

from collections.abc import Mapping
from typing import Any

from models.tariffs.charges import (
    ROUNDING_WAYS,
    STACKED,
    SURCHARGE,
    Condition,
    DeclaredSteps,
    Discount,
    Extra,
    Fuel,
    MissingWeight,
    Rounding,
    Surcharge,
    Tax,
    WeightSteps,
)
from models.tariffs.reading import Section
from models.tariffs.rules import EXTRA_BASES, KINDS, MEASURES, MILLI, SHARES_OF, Further

AMOUNTS = ("amount_cents", "percent", "per_declared", "per_weight", "per_missing_weight")
COMPARISONS = ("more_than", "at_least", "less_than", "at_most")


def rounding_of(section: Section, default: Rounding, key: str = "rounding") -> Rounding:
    """How amounts are rounded, where it is stated, else as by default."""
    found = section.within_line(key, _rounding, "cents and way")
    return found if found and found.way in ROUNDING_WAYS else default


def _rounding(inner: Section) -> Rounding:
    return Rounding(inner.whole("cents", needed=True, least=1) or 1, inner.text("way", ROUNDING_WAYS) or "nearest")


def _cents(section: Section, key: str, rounding: Rounding) -> int | None:
    """An amount in cents or tenths, hundredths, thousandths of them, as it is rounded when it is charged."""
    return section.if_stated(key, lambda key: rounding.of_millicents(section.milli(key)))


def surcharge_of(section: Section, default: Rounding) -> Surcharge:
    """One row of [[surcharges]]."""
    rounding = rounding_of(section, default)
    amounts = [key for key in AMOUNTS if key in section.stated]
    if len(amounts) != 1:
        what = f"of {', '.join(AMOUNTS)} exactly one must stand"
        section.notes.add(section.line(amounts[0] if amounts else ""), what, "state one of them")
    return Surcharge(
        surcharge=section.text("surcharge"),
        charge_code=section.text("charge_code"),
        when=_when(section),
        is_residential=section.flag("residential"),
        area=section.optional_text("area"),
        valid_from=section.day("from"),
        valid_to=section.day("to"),
        amount_cents=_cents(section, "amount_cents", rounding),
        share_millionths=section.if_stated("percent", section.share),
        of=_of(section),
        declared=section.within_line("per_declared", _declared, "above_cents, step_cents, amount_cents"),
        per_weight=section.within_line("per_weight", _per_weight, "above, step, amount_cents"),
        missing=section.within_line("per_missing_weight", _missing, "density, step, amount_cents"),
        group=section.optional_text("group"),
        rank=section.whole("rank") or 0,
        minimum_weight_milli=section.milli("minimum_weight", "0"),
        at_most_cents=section.whole("at_most_cents"),
        at_least_cents=section.whole("at_least_cents"),
        is_greatest=section.flag("greatest"),
        rounding=rounding,
        **section.scope(),
    )


def _of(section: Section) -> tuple[str, ...]:
    of = _kinds(section, "of", section.texts("of") or ("base",), SHARES_OF)
    if "declared" in of and len(of) > 1:
        section.wrong("of", "mixes the declared value with charges", "state two surcharges")
    return of


def _per_weight(inner: Section) -> WeightSteps:
    return WeightSteps(inner.milli("above", "0"), inner.milli("step", above_zero=True), inner.milli("amount_cents"))


def _missing(inner: Section) -> MissingWeight:
    density = inner.number("density", above_zero=True)
    return MissingWeight(density, inner.milli("step", above_zero=True), inner.milli("amount_cents"))


def _declared(inner: Section) -> DeclaredSteps:
    above, step = inner.whole("above_cents", needed=True), inner.whole("step_cents", needed=True, least=1)
    return DeclaredSteps(above or 0, max(step or 1, 1), inner.milli("amount_cents"))


def further_of(section: Section) -> Further:
    """One row of [[further]]."""
    return Further(
        step_milli=section.milli("step", above_zero=True),
        amount_millicents=section.milli("amount_cents"),
        up_to_milli=section.milli("up_to"),
        **section.scope(),
    )


def _when(section: Section) -> tuple[tuple[Condition, ...], ...]:
    stated = section.value("when", (list,), "a list of lists of conditions", needed=False)
    if stated is None:
        return ((),)
    if not all(isinstance(alternative, list) and alternative for alternative in stated) or not stated:
        section.wrong("when", "is no list of lists of conditions", 'write [[{ measure = "...", more_than = 48.0 }]]')
        return ((),)
    return tuple(tuple(found for each in alternative if (found := _condition(section, each))) for alternative in stated)


def _condition(section: Section, stated: Any) -> Condition | None:
    if isinstance(stated, Mapping) and set(stated) == {"rectangular"} and isinstance(stated["rectangular"], bool):
        return Condition("not_rectangular", not stated["rectangular"], MILLI, is_below=stated["rectangular"])
    comparisons = [key for key in COMPARISONS if isinstance(stated, Mapping) and key in stated]
    if len(comparisons) != 1 or len(stated) != 2:
        section.wrong("when", f"holds the condition {stated}", f"state measure and one of {', '.join(COMPARISONS)}")
        return None
    measure = stated.get("measure")
    if measure not in MEASURES:
        section.wrong("when", f"names the unknown measure {measure}", f"use one of {', '.join(MEASURES)}")
        return None
    inner = Section(stated, section.place, section.notes, within="when")
    comparison = comparisons[0]
    return Condition(
        str(measure),
        comparison in ("at_least", "at_most"),
        inner.milli(comparison),
        comparison in ("less_than", "at_most"),
    )


def _kinds(section: Section, key: str, kinds: tuple[str, ...], known: tuple[str, ...] = KINDS) -> tuple[str, ...]:
    for kind in kinds:
        if kind not in known:
            section.wrong(key, f"names the unknown kind {kind}", f"use one of {', '.join(known)}")
    return kinds


def fuel_of(section: Section) -> Fuel | None:
    """One row of [[fuel]]; None where its first day is missing."""
    valid_from = section.day("from", needed=True)
    share = section.share("percent")
    on = section.texts("on", needed=True) or ()
    _kinds(section, "on", tuple(each for each in on if not each.startswith(SURCHARGE)))
    services = section.texts("services")
    return Fuel(valid_from, share, on, services=services, line=section.line()) if valid_from else None


def tax_of(section: Section) -> Tax | None:
    """One row of [[tax]]; None where its first day is missing."""
    valid_from = section.day("from", needed=True)
    share, scope = section.share("percent"), section.scope()
    return Tax(valid_from, share, **scope) if valid_from else None


def discount_of(section: Section, default: Rounding) -> Discount:
    """One row of [[discounts]]."""
    on = section.texts("on", needed=True) or ()
    for target in on:
        if target not in ("base", "fuel") and not target.startswith(SURCHARGE):
            section.wrong("on", f"names the unknown kind {target}", 'use base, fuel or "surcharge:NAME"')
    discount = Discount(
        share_millionths=section.share("percent"),
        on=on,
        minimum_charge_cents=section.whole("minimum_charge_cents") or 0,
        valid_from=section.day("from"),
        valid_to=section.day("to"),
        rounding=rounding_of(section, default),
        stacked=section.text("stacked", STACKED, needed=False),
        above_milli=section.milli("above_weight", "0"),
        up_to_milli=section.if_stated("up_to_weight", section.milli),
        **section.scope(),
    )
    if on != ("base",) and (discount.above_milli or discount.up_to_milli):
        section.wrong("on", "is not the base price alone, which a weight band is for", 'state on = ["base"]')
    if "fuel" in on and (discount.zones or discount.minimum_charge_cents):
        section.wrong("on", "names fuel, whose discount has no zones and no minimum", "state fuel in a row of its own")
    return discount


def extra_of(section: Section, kind: str, default: Rounding) -> Extra:
    """One row of [[options]] or [[events]]."""
    rounding = rounding_of(section, default)
    of = section.text("of", EXTRA_BASES, needed=False) or EXTRA_BASES[0]
    if "amount_cents" in section.stated and "percent" in section.stated:
        section.wrong("percent", "stands beside amount_cents", "state one of the two")
    return Extra(
        extra_kind=kind,
        charge_name=section.text(kind),
        charge_code=section.text("charge_code"),
        valid_from=section.day("from"),
        valid_to=section.day("to"),
        amount_cents=_cents(section, "amount_cents", rounding),
        share_millionths=section.if_stated("percent", section.share),
        of=of,
        rounding=rounding,
        at_least_cents=section.whole("at_least_cents"),
        at_most_cents=section.whole("at_most_cents"),
        **section.scope(),
    )
