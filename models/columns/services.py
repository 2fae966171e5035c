"""Columns of the comparison with other services and carriers."""

from models.columns.tariffs import LACKING
from models.fields import Topic, cents, choice, count, flag, number, signed_cents, text

# What keeps a parcel from every other service; then, beside what the tariff lacks, from a single one.
OF_THE_PARCEL = (
    "no other service in a tariff",
    "part of a shipment of several parcels",
    "destination unknown",
    "no days promised for the service used",
)
OF_THE_SERVICE = (
    "no zone by the chart",
    "zone left open by the chart",
    "no days promised",
    "slower",
    "learned price without an interval",
)
NOT_COMPARED = (*OF_THE_PARCEL, *OF_THE_SERVICE, *LACKING)

SERVICES: Topic = {
    "other_carrier": text("Carrier of the other service", "Corvane"),
    "other_service": text("Service that the parcel could have gone by", "standard"),
    "parcel_number": count("Number of the parcel within one build, as analysis.compared_parcels has it", 41),
    "other_service_key": count("Number of that service of a tariff, as shop.tariff_services has it", 3),
    "other_cents": signed_cents(
        "What the tariff of the other service makes of the same parcels", 1230, label="Expected on the other service"
    ),
    "learned_within_cents": cents(
        "How far both expected amounts may be off where prices are learned: each by its 95 percent interval, all the "
        "same way",
        0,
        label="Learned prices, either way",
    ),
    "not_compared": choice(
        "Why parcels were not compared with the other service; empty where they were",
        OF_THE_SERVICE[0],
        NOT_COMPARED,
        label="Not compared because",
    ),
    "zone_low": text("First of the zones in a row that the advice is for; empty where prices know none", "6"),
    "zone_high": text("Last of these zones", "8"),
    "parcels_per_month": number("Parcels a month that the other service could have taken", 12.5, least=0),
    "billed_parcel_count": count("Of these parcels, those with a base charge", 140, label="Of them billed"),
    "held_out_parcel_count": count("Such parcels in the months held out", 36, label="Parcels held out"),
    "more_damage_cents": cents(
        "More damage by the other service, for each parcel, net of what is paid back; none unless the 95 percent "
        "interval of the ratio of both rates lies above one",
        0,
        label="More damage per parcel",
    ),
    "sure_saving_cents": signed_cents(
        "Lower limit of the saving for each parcel in the months held out, 80 percent, over weeks, less what learned "
        "prices may be off and less more damage",
        120,
        label="Saving per parcel, at least",
    ),
    "service_month_cents": signed_cents(
        "Saving a month by the tariffs, less more damage: that of each parcel in the months held out, for the parcels "
        "of a month",
        4200,
        label="Saving a month",
    ),
    "is_advised": flag("Whether the saving per parcel lies above nothing even at its lower limit", True),
    "is_saving_alone": flag("Whether the change of carton saves on the service used", True),
    "refused_parcel_count": count(
        "Of these parcels, those that the other service does not take in that carton: they stay on their own service", 0
    ),
    "joint_month_cents": signed_cents(
        "What the carton and the other service save a month for the same parcels beyond what each saves alone; below "
        "zero where together they save less",
        -1200,
        label="Together beyond each alone",
    ),
    "compared_elsewhere_count": count("Parcels compared with at least one other service", 3_700, label="Compared"),
}
