"""Sentences on insuring parcels, and on claims that are one more of a pattern."""

from dashboards.review_tables import Records
from dashboards.sentences.entry import Rows, definition, of_records, where
from dashboards.sentences.grounds import flagged, greatest, only_if
from models.plain_rows import midnight

RULES, LEDGER, PATTERNS = "analysis.insurance_rules", "marts.insurance_ledger", "analysis.damage_patterns"


def _judged(records: Records) -> Rows:
    return flagged(records.table(RULES), "-is_too_few").dropna(subset=["net_cents"])


@of_records
def _pays(records: Records, is_fragile_only: bool) -> Rows:
    """The rule that would have brought most, where its whole interval is above nothing."""
    best = greatest(_judged(records), "net_cents")
    return best[(best["net_low_cents"] > 0) & (best["is_fragile_only"].astype(bool) == is_fragile_only)]


def _loses(records: Records) -> Rows:
    """Of rules none of which can have paid, the one that lost least."""
    known = _judged(records)
    return only_if(bool(len(known)) and bool((known["net_high_cents"] < 0).all()), greatest(known, "net_cents"))


def _is_open(records: Records) -> bool:
    known = _judged(records)
    if known.empty or _loses(records).shape[0]:
        return False
    return bool((greatest(known, "net_cents")["net_low_cents"] <= 0).all())


def _too_few(records: Records) -> Rows:
    rules = records.table(RULES)
    return rules.head(1) if len(rules) and _judged(records).empty else rules.iloc[:0]


def _is_any_premium(records: Records) -> bool:
    return bool(len(records.table(LEDGER))) and bool(records.table(LEDGER)["premium_cents"].sum())


def patterns_of_month(records: Records) -> Rows:
    """Groups with a claim reported in the month that is looked at, the least likely by chance first."""
    rows = records.table(PATTERNS)
    if records.month is None or rows.empty:
        return rows.iloc[:0]
    return rows[rows["reported_month"] == midnight(records.month)].sort_values("pattern_chance", kind="stable")


def _no_pattern(records: Records) -> bool:
    rows = patterns_of_month(records)
    return len(rows) > 0 and flagged(rows, "is_pattern").empty


RANGE = "({net_low_cents} to {net_high_cents}, 95% interval of all rules together)"
ENTRIES = (
    where(
        "insurance.pays_all",
        "Insuring every parcel worth {least_worth_cents} or more would have brought {net_cents} more than its premium "
        f"of {{premium_cents}} {RANGE}, on {{parcel_count:parcel/parcels}}.",
        _pays(False),
    ),
    where(
        "insurance.pays_fragile",
        "Insuring fragile goods worth {least_worth_cents} or more would have brought {net_cents} more than the premium "
        f"of {{premium_cents}} {RANGE}, on {{parcel_count:parcel/parcels}}.",
        _pays(True),
    ),
    where(
        "insurance.loses",
        "No rule of insuring would have brought back its premium. The best of them, from a worth of "
        f"{{least_worth_cents}}, would have come to {{net_cents}} {RANGE}: carry it yourself.",
        _loses,
    ),
    where("insurance.not_clear", "The records do not prove that insuring more or less would have paid.", _is_open),
    where(
        "insurance.too_few",
        "Whether insurance pays is not known yet: {decided_insured_count:claim/claims} on insured parcels and "
        "{decided_other_count} on others were decided, and ten of each are needed, with ten on the parcels of a rule.",
        _too_few,
    ),
    where(
        "insurance.no_parcel",
        "No parcel on record is joined to its sale, so the worth of none is known.",
        lambda records: records.is_empty(LEDGER),
    ),
    where(
        "insurance.none_settled",
        "No premium on record is of a parcel sent more than 90 days before the records end, so no rule is looked at "
        "yet.",
        lambda records: records.is_empty(RULES) and _is_any_premium(records),
    ),
    where(
        "insurance.no_premium",
        "No charge on record is a premium. Where the carrier bills one under a word of its own, say so: `dunnage "
        'charges --word "Its word=surcharge: insurance"`.',
        lambda records: bool(len(records.table(LEDGER))) and not _is_any_premium(records),
    ),
    definition(
        "insurance.means",
        "Parcels of the last 90 days are left out: their claims are not settled. A rule costs the premium of all "
        "parcels that it covers, at the rates billed. It brings what carriers pay more of a loss on insured parcels.",
    ),
    where(
        "patterns.claim",
        "{claim_count:claim fits/claims fit} a pattern in {:month} ({claim_ids}): {like_damaged_count} of "
        "{like_count} parcels were damaged with {item_type} in {carton_code}, {packing_method}, by {carrier}, and "
        "{other_damaged_count} of {other_count} others of the item type. Were it no worse than they, the chance of as "
        "many or more would be {pattern_chance}.",
        lambda records: flagged(patterns_of_month(records), "is_pattern"),
    ),
    where("patterns.none", "No damage claim of the month is proven to be one more of a pattern.", _no_pattern),
    definition(
        "patterns.means",
        "Parcels with the same item type, packing method, carton and carrier beside the others of the item type. The "
        "chance is corrected for the number of groups before a pattern is called one.",
    ),
)
