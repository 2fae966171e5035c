"""Services and carriers: what another one would have cost, and what could not be compared."""

from __future__ import annotations

from dashboards.parts import Records
from dashboards.sentences.entry import Rows, definition, of_rows, where
from dashboards.sentences.grounds import flagged

TOTALS, COVERAGE, RULES = "analysis.service_totals", "analysis.service_coverage", "analysis.service_rules"
ALONE = "no other service in a tariff"


def _cheaper(records: Records) -> Rows:
    rows = records.table(TOTALS)
    return rows[rows["better_parcel_count"] > 0]


def _none_cheaper(records: Records) -> Rows:
    rows = records.table(TOTALS)
    return rows[(rows["compared_parcel_count"] > 0) & (rows["better_parcel_count"] == 0)]


def has_a_choice(records: Records) -> bool:
    """Whether any parcel had another service in a tariff of its day."""
    rows = records.table(COVERAGE)
    return bool((rows["not_compared"].fillna("") != ALONE).any())


def _none_compared(records: Records) -> Rows:
    rows = records.table(TOTALS)
    return rows[(rows["compared_parcel_count"] == 0) & (rows["parcel_count"] > 0) & has_a_choice(records)]


def _none_advised(records: Records) -> bool:
    return len(_cheaper(records)) > 0 and records.has(RULES) and flagged(records.table(RULES), "is_advised").empty


ENTRIES = (
    of_rows(
        TOTALS,
        "services.saving",
        "Of {parcel_count:parcel/parcels}, {compared_parcel_count} could be compared with another service that is "
        "promised to be as fast; by the tariffs one would have cost less for {better_parcel_count}, together "
        "{saving_cents}.",
        _cheaper,
    ),
    of_rows(
        TOTALS,
        "services.none_cheaper",
        "Of {parcel_count:parcel/parcels}, {compared_parcel_count} could be compared with another service that is "
        "promised to be as fast; by the tariffs none would have cost less.",
        _none_cheaper,
    ),
    of_rows(
        TOTALS,
        "services.none_compared",
        "Of {parcel_count:parcel/parcels}, none could be compared with another service.",
        _none_compared,
    ),
    where(
        "services.none_advised",
        "No change of service is advised: the months held out do not bear one out.",
        _none_advised,
    ),
    definition(
        "services.means",
        "What the tariffs expect of the same parcels as they were sent, on both sides; what was billed stands beside "
        "it. Compared are only services that promise to be there in as few days. A service is chosen on the older "
        "months and advised where the months held out show a saving even at the lower limit of its interval.",
    ),
    definition(
        "services.cautions",
        "A tariff does not hold everything: the cost of a pickup, what the carrier is liable for, and how often it "
        "damages goods. Parcels beyond the other carrier's limits stay where they are.",
    ),
    definition(
        "services.coverage_means",
        "A parcel stands once for each other service. A zone is taken from the tariff's chart, promised days from the "
        "tariff; where either is missing nothing is compared.",
    ),
)
