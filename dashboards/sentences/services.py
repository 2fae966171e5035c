"""Services and carriers: what another one would have cost, what could not be compared, and what to send by which."""

from dashboards.review_tables import Records
from dashboards.sentences.actions import of_kind
from dashboards.sentences.entry import Rows, definition, kept, of_records, where
from dashboards.sentences.grounds import flagged

TOTALS, COVERAGE, RULES = "analysis.service_totals", "analysis.service_coverage", "analysis.service_rules"
ALONE = "no other service in a tariff"

_cheaper = kept(TOTALS, lambda rows: rows["better_parcel_count"] > 0)


def has_a_choice(records: Records) -> bool:
    """Whether any parcel had another service in a tariff of its day."""
    rows = records.table(COVERAGE)
    return bool((rows["not_compared"].fillna("") != ALONE).any())


def _none_compared(records: Records) -> Rows:
    rows = records.table(TOTALS)
    return rows[(rows["compared_elsewhere_count"] == 0) & (rows["parcel_count"] > 0) & has_a_choice(records)]


@of_records
def _go_by(records: Records, known: bool, is_one: bool = True) -> Rows:
    """Services to go by: to one zone or several, or wherever prices know no zones."""
    if not known:
        return of_kind("other service", *SERVICES, but="zone_low")(records)
    found = of_kind("other service", *SERVICES, "zone_low", "zone_high")(records)
    return found[(found["zone_low"] == found["zone_high"]) == is_one]


SERVICES = ("carrier", "service", "other_carrier", "other_service")
INSTEAD = "by {other_carrier} {other_service} instead of {carrier} {service}"
ENTRIES = (
    where("action.service", f"{{item_type}}: {INSTEAD}", _go_by(known=False)),
    where("action.service_zone", f"{{item_type}} to zone {{zone_low}}: {INSTEAD}", _go_by(known=True)),
    where(
        "action.service_zones",
        f"{{item_type}} to zones {{zone_low}} to {{zone_high}}: {INSTEAD}",
        _go_by(known=True, is_one=False),
    ),
    where("go_on.services", "the page, under Services and carriers", of_kind("other service")),
    where(
        "services.saving",
        "Of {parcel_count:parcel/parcels} looked back on, {compared_elsewhere_count} could be compared with another "
        "service that is promised to be as fast; by the tariffs one would have cost less for "
        "{better_parcel_count}, together {saving_cents}.",
        _cheaper,
    ),
    where(
        "services.none_cheaper",
        "Of {parcel_count:parcel/parcels} looked back on, {compared_elsewhere_count} could be compared with another "
        "service that is promised to be as fast; by the tariffs none would have cost less.",
        kept(TOTALS, lambda rows: (rows["compared_elsewhere_count"] > 0) & (rows["better_parcel_count"] == 0)),
    ),
    where(
        "services.none_compared",
        "Of {parcel_count:parcel/parcels} looked back on, none could be compared with another service.",
        _none_compared,
    ),
    where(
        "services.none_advised",
        "No change of service is advised: the months held out do not bear one out.",
        lambda records: (
            len(_cheaper(records)) > 0 and records.has(RULES) and flagged(records.table(RULES), "is_advised").empty
        ),
    ),
    where(
        "services.more_damage",
        "{item_type} by {other_carrier} {other_service} instead of {carrier} {service}: more of them would be damaged, "
        "by the records of all goods; {more_damage_cents} a parcel is taken off what that saves.",
        kept(RULES, lambda rows: rows["more_damage_cents"] > 0),
    ),
    definition(
        "services.means",
        "What the tariffs expect of the same parcels as they were sent, on both sides; what was billed stands beside "
        "it. Compared are only services that promise to be there in as few days. A service is chosen on the older "
        "months and advised where the months held out show a saving even at the lower limit of its interval. Parcels, "
        "amounts and bills are those of the last twelve months, or of a shorter record.",
    ),
    definition(
        "services.cautions",
        "A tariff does not hold everything: the cost of a pickup, and what the carrier is liable for. More damage is "
        "taken off only where the shop's own records prove it; a service that has carried few parcels may damage more "
        "than they show. Parcels beyond the other carrier's limits stay where they are.",
    ),
    definition(
        "services.coverage_means",
        "A parcel stands once for each other service. A zone is taken from the tariff's chart, promised days from the "
        "tariff; where either is missing nothing is compared.",
    ),
)
