"""Small tariffs for tests, written in the tariff format."""

from __future__ import annotations

from collections.abc import Callable, Sequence

from models.tariffs.format import fault, read
from models.tariffs.rules import Tariff

TOP = """tariff_code = "{code}"
carrier = "{code}"
source = "{source}"
effective_from = {effective_from}
{effective_to}currency = "USD"
length_unit = "{length_unit}"
weight_unit = "{weight_unit}"
prices = "{code}.csv"
dispute_days = 60
dispute_from = "invoiced_on"
claim_days = 60
{first}
[[services]]
service = "plain"
side_rounding = "{side_rounding}"
divisor = {divisor}
divisor_above_volume = {above}
non_rectangular_factor = {factor}
weight_step = {step}
minimum_weight = {step}
{limits}
"""


def without_terms(text: str) -> str:
    """The rules, less the days of disputes and claims."""
    lines = text.splitlines(keepends=True)
    return "".join(line for line in lines if not line.startswith(("dispute_", "claim_days")))


def rules_text(
    code: str = "trial",
    rest: str = "",
    *,
    source: str = "test",
    effective_from: str = "2000-01-01",
    effective_to: str = "",
    length_unit: str = "in",
    weight_unit: str = "lb",
    side_rounding: str = "up",
    divisor: float | str = 139.0,
    above: float = 0.0,
    factor: float = 1.0,
    step: float = 1.0,
    limits: str = "",
    first: str = "",
) -> str:
    """One service named `plain`; `rest` adds surcharges, fuel, discounts and areas, `first` what is of the list."""
    return (
        TOP.format(
            code=code,
            source=source,
            effective_from=effective_from,
            effective_to=f"effective_to = {effective_to}\n" if effective_to else "",
            length_unit=length_unit,
            weight_unit=weight_unit,
            side_rounding=side_rounding,
            divisor=f'"{divisor}"' if isinstance(divisor, str) else divisor,
            above=above,
            factor=factor,
            step=step,
            limits=limits,
            first=first,
        )
        + rest
    )


def prices_text(zones: Sequence[str] = ("2", "3"), heaviest: int = 150, rate: int = 100) -> str:
    """A price of `rate` cents a unit of weight, and a tenth more for each zone farther."""
    rows = [
        f"plain,{zone},{weight},{weight * (rate + 10 * place)}"
        for place, zone in enumerate(zones)
        for weight in range(1, heaviest + 1)
    ]
    return "\n".join(["service,zone,up_to_weight,price_cents", *rows, ""])


def tariff(code: str = "trial", rest: str = "", prices: str | None = None, **stated: object) -> Tariff:
    """The parsed tariff of rules_text and prices_text."""
    text = rules_text(code, rest, **stated)  # type: ignore[arg-type]
    return parsed(f"{code}.toml", text, lambda name: prices_text() if prices is None else prices)


def parsed(rules_file: str, text: str, prices: Callable[[str], str | None]) -> Tariff:
    """The tariff of these rules. Raises TariffError with file and line of the first fault."""
    found, findings = read(rules_file, text, prices)
    if found is None:
        raise fault(findings)
    return found
