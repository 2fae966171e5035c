"""The rules that go with learned prices: a whole tariff file, which says in words what the bills do not tell."""

import json
from collections.abc import Sequence
from dataclasses import dataclass
from datetime import date

from models.learned_prices.billed_weights import Divisor


@dataclass(frozen=True)
class Rules:
    """What a rule file says: names, days, units, and what was learned of the weighing."""

    tariff_code: str
    carrier: str
    first: date
    last: date
    currency: str
    length_unit: str
    weight_unit: str
    prices: str
    step: float
    services: tuple[str, ...]
    divisor: Divisor | None


def not_known(rules: Rules, charges: Sequence[str]) -> list[str]:
    """Sentences: what the bills do not tell. charges: words of billed charges beside the base price."""
    found = []
    if rules.divisor is None:
        found.append("what volume weighs: state the divisor; until then no billed weight is disputed")
    if charges:
        found.append(f"the rules of {', '.join(charges)}: until they are stated these charges are not checked")
    found.append(
        "days to dispute a bill and to file a claim: ask the carrier, then state dispute_days, dispute_from and "
        "claim_days; until then no deadline is known"
    )
    found.append("limits of size and weight, and prices at weights that were never billed: such parcels are not priced")
    found.append(f"prices after {rules.last}: learn them again when the carrier changes them, then move effective_to")
    return found


def rule_text(rules: Rules, charges: Sequence[str]) -> str:
    """The file."""
    unknown = "".join(f"# Not known: {sentence}.\n" for sentence in not_known(rules, charges))
    top = (
        f"# Learned from bills of parcels shipped {rules.first} to {rules.last}; no published list.\n{unknown}"
        f"tariff_code = {json.dumps(rules.tariff_code)}\n"
        f"carrier = {json.dumps(rules.carrier)}\n"
        'source = "Learned from the shop\'s own bills"\n'
        f"effective_from = {rules.first}\neffective_to = {rules.last}\n"
        f"currency = {json.dumps(rules.currency)}\n"
        f"length_unit = {json.dumps(rules.length_unit)}\nweight_unit = {json.dumps(rules.weight_unit)}\n"
        f"prices = {json.dumps(rules.prices)}\n"
    )
    return top + "".join(_service(rules, service) for service in rules.services)


def _service(rules: Rules, service: str) -> str:
    if rules.divisor is None:
        divisor = 'divisor = "none"   # not known'
    else:
        known = f"{100 * rules.divisor.share:.0f}% of bills follow by it, {rules.divisor.bill_count} above scale weight"
        divisor = f"divisor = {rules.divisor.divisor:g}   # learned: {known}"
    return (
        f"\n[[services]]\nservice = {json.dumps(service)}\n"
        f'side_rounding = "none"\n{divisor}\nweight_step = {rules.step:g}\nminimum_weight = {rules.step:g}\n'
    )
