"""`dunnage cartons`: which sizes to stock, what they save, what to buy."""

import argparse

from dashboards import sentences
from dashboards.review_tables import Records
from pipelines import options, printing, progress

EXAMPLE = "dunnage cartons --sizes 8 --hold-out 3 --supplier sizes.csv"


def arguments(parser: argparse.ArgumentParser) -> None:
    parser.add_argument(
        "--sizes", type=options.whole(0, 1000), metavar="K", help="most sizes to stock (default: as many as are in use)"
    )
    parser.add_argument(
        "--hold-out", type=options.whole(1, 120), metavar="MONTHS", help="last months kept to check the saving"
    )
    parser.add_argument("--supplier", type=options.path, metavar="FILE", help="CSV of sizes that could be bought")
    parser.add_argument(
        "--placement", type=options.words, metavar="PARCEL", help="choose nothing; draw how one parcel's goods lie"
    )
    options.json_argument(parser)


def run(args: argparse.Namespace) -> None:
    from models.carton_choice.choosing import with_sizes
    from pipelines.build import building, suppliers
    from pipelines.review import runs

    shop = options.shop_of(args)
    if args.placement:
        print(f"placement in {runs.write_placement(shop, args.placement)}")
        return
    wanted = with_sizes(shop.cartons, args.sizes, args.hold_out)
    supplier = suppliers.read(args.supplier) if args.supplier else suppliers.no_supplier()
    with progress.shown(shop.folder, "cartons", "opening the records", is_quiet=args.json) as step:
        found = building.choose_sizes(shop, wanted, supplier, step)
    if args.json:
        printing.print_json({name: found[name] for name in SHOWN}, shop.shop.shown_units)
        return
    for name, (title, columns) in SHOWN.items():
        if len(found[name]):
            printing.show(printing.either(title, found[name][columns.split()], shop.shop.shown_units), "")
    without = sentences.lines(["stock.no_substitute"], Records(tables=found), shop.shop.shown_units)
    for line in without:
        printing.say(line)
    printing.say("the next `dunnage review` shows them with their date")


# What a terminal has room for; the review shows the rest.
SHOWN = {
    "analysis.assortment_runs": (
        "the choice",
        "chosen_from_on chosen_to_on held_out_month_count parcel_count size_count candidate_count candidate_statement "
        "monthly_cents bound_monthly_cents is_proven",
    ),
    "analysis.assortment": ("sizes to stock", "size_code unit_cost_cents served_parcel_count saving_year_cents"),
    "analysis.assortment_saving": (
        "what they save",
        "saving_part saving_against parcel_count saving_per_parcel_cents saving_low_cents saving_high_cents",
    ),
    "analysis.assortment_demands": (
        "what these sizes cost a month under each demand of the year to come",
        "year_demand demand_parcels monthly_cents best_monthly_cents regret_month_cents",
    ),
    "analysis.assortment_curve": ("cost a month by number of sizes", "size_count monthly_cents gap_share is_knee"),
    "analysis.purchase_advice": (
        "what to buy, keep and use up",
        "size_code advice monthly_use stock_left leftover_cents order_count order_cents",
    ),
    "analysis.carton_orders": (
        "stock of today's cartons, and when to order where the sizes stay as they are",
        "carton_code order_state packed_to_on stock_left next_use runs_out_on order_by_on order_count order_cents",
    ),
    "analysis.carton_substitutes": (
        "what stands in for cartons that have run out, or whose next order lasts longer than a year",
        "carton_code contents packing_method parcel_count substitute_code extra_per_parcel_cents",
    ),
}
