"""Twenty questions that an owner asks, written from README alone: where the page answers each, and its answer in SQL.

The SQL asks the warehouse for the answer by itself, from records and plain marts wherever they hold it. {month} is the
month's first day as SQL writes it. What no record holds gives no row, and then the page must show none.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

# Steps of a reader: ("unfold", id of a section), ("choose", chapter, column, part of the answer that names it).
Step = tuple[str, ...]
OWN = "shipped_month = date '{month}'"
PARCELS_OF_MONTH = f"(select parcel_id from core.parcels where {OWN})"
BY_ITEM_TYPE = f"""
select item_type, sum(margin_cents) as margin_cents, count(distinct parcel_id) as parcels
from marts.parcel_line_costs where {OWN} group by item_type
"""


@dataclass(frozen=True)
class Question:
    """asked: the owner's words. sql: one row, the answer. at: selectors of its parts on the page, in the same order.
    {0}, {1} stand for those parts of the answer that only say which row is asked about, counted in `given`."""

    asked: str
    sql: str
    at: Sequence[str]
    steps: Sequence[Step] = ()
    given: int = 0


QUESTIONS = (
    Question(
        "What did shipping make or lose, with what is still to come, and what is that per parcel?",
        f"select completed_margin_cents, completed_margin_cents / (parcel_count + sales_to_ship_count) "
        f"from analysis.completed_months where {OWN}",
        [".months .own td >> nth=0", ".months .own td >> nth=1"],
    ),
    Question(
        "What was it the month before?",
        "select completed_margin_cents from analysis.completed_months where parcel_count > 0 "
        "and shipped_month = date '{month}' - interval 1 month",
        ['.months tr:has-text("The month before") >> nth=0 >> td >> nth=0'],
    ),
    Question(
        "And the mean of the twelve months before?",
        "select avg(completed_margin_cents) from analysis.completed_months where shipped_month < date '{month}' "
        "and shipped_month >= date '{month}' - interval 12 month having count(*) = 12",
        ['.months tr:has-text("mean of the twelve") >> td >> nth=0'],
    ),
    Question(
        "What did buyers pay for shipping?",
        f"select sum(shipping_charged_cents - shipping_refunded_cents + allowance_cents) "
        f"from marts.parcel_line_costs where {OWN}",
        ['#waterfall .picture.desk .mark:has(text:text-is("paid by buyers")) text.value'],
    ),
    Question(
        "How much of the month has been billed so far?",
        f"select billed_cents::double / (billed_cents + carriage_to_come_cents) "
        f"from analysis.completed_months where {OWN}",
        [".headline .said >> nth=0"],
    ),
    Question(
        "What cost most that I can act on?",
        f"select max(cause_cents) from analysis.causes where {OWN}",
        [".why .worth >> nth=0"],
    ),
    Question(
        "What do I do first, what does it bring a month, and how sure is that?",
        "select coalesce(item_type, ''), coalesce(best_carton_code, ''), expected_month_cents, confidence_words "
        "from analysis.actions where is_in_sum and expected_month_cents > 0 order by place limit 1",
        [
            f'.do li:first-child:has(.cause:has-text("{{0}}")):has(.cause:has-text("{{1}}")) >> {each}'
            for each in (".worth bdi", ".quiet bdi >> nth=0")
        ],
        given=2,
    ),
    Question(
        "What is due next?",
        "select min(day) from (select min(last_dispute_on) as day from marts.billing_disputes where is_disputable "
        "union all select min(claim_due_on) from marts.claim_deadlines where claim_task = 'file' and is_in_time)",
        [".due li >> nth=0 >> .cause bdi >> nth=0"],
    ),
    Question(
        "Which kind of goods lost most, and how much?",
        f"select item_type, margin_cents from ({BY_ITEM_TYPE}) order by margin_cents limit 1",
        [
            "#item-type-margins tbody tr >> nth=0 >> th",
            "#item-type-margins tbody tr >> nth=0 >> td[data-column=margin_cents]",
        ],
    ),
    Question(
        "What was left of the goods that I ship most?",
        f"select item_type, margin_cents from ({BY_ITEM_TYPE}) order by parcels desc, item_type limit 1",
        ["#item-type-margins tbody tr[data-row]:visible >> nth=0 >> td[data-column=margin_cents]"],
        [("choose", "money", "item_type", "0")],
        given=1,
    ),
    Question(
        "Which service lost most?",
        f"select carrier, service, sum(margin_cents) as lost from marts.parcel_costs where {OWN} and not is_account "
        "group by carrier, service qualify count(*) over () > 1 order by lost limit 1",
        [
            f"#margin-services-table tbody tr >> nth=0 >> {cell}"
            for cell in ("th", "td >> nth=0", "td[data-column=margin_cents]")
        ],
        [("unfold", "margins")],
    ),
    Question(
        "Which single parcel lost most?",
        f"select parcel_id, margin_cents from marts.parcel_costs where {OWN} and not is_account "
        "order by margin_cents, parcel_id limit 1",
        [
            "#worst-parcels-table tbody tr >> nth=0 >> th",
            "#worst-parcels-table tbody tr >> nth=0 >> td[data-column=margin_cents]",
        ],
        [("unfold", "parcels")],
    ),
    Question(
        "Which goods should cost the buyer more, and where would they break even?",
        "select item_type, zone_band, break_even_cents from analysis.shipping_guidance "
        "where not is_too_few and shortfall_cents > 0 and margin_cents < 0 order by margin_cents limit 1",
        [
            f"#charges-short-table tbody tr >> nth=0 >> {cell}"
            for cell in ("th", "td >> nth=0", "td[data-column=break_even_cents]")
        ],
        [("unfold", "guidance")],
    ),
    Question(
        "Which surcharge cost most, and how much?",
        f"select surcharge, sum(amount_cents) as amount from core.charge_lines where charge_kind = 'surcharge' "
        f"and parcel_id in {PARCELS_OF_MONTH} group by surcharge, carrier order by amount desc limit 1",
        [
            "#surcharge-amounts tbody tr >> nth=0 >> th",
            "#surcharge-amounts tbody tr >> nth=0 >> td[data-column=amount_cents]",
        ],
    ),
    Question(
        "Which carton just misses a limit, for how many parcels, and what does that cost?",
        "select carton_code, count(*), sum(spared_cents) as spared from marts.surcharge_near_misses "
        f"where {OWN} and near_miss = 'paid' and is_counted "
        "group by carton_code, item_type, carrier, charge_name, change order by spared desc limit 1",
        [
            f"#near-miss-savings tbody tr >> nth=0 >> {cell}"
            for cell in ("th", "td[data-column=parcel_count]", "td[data-column=spared_cents]")
        ],
    ),
    Question(
        "What was billed wrongly this month and is still to be had back?",
        f"select sum(outstanding_cents) from marts.billing_disputes where {OWN}",
        ["#billing-causes-table tbody tr >> nth=0 >> td[data-column=outstanding_cents]"],
        [("unfold", "billing")],
    ),
    Question(
        "How often do the goods that break most break, packed as they are?",
        "select item_type, packing_method, damage_count, parcel_count from (select item_type, packing_method, "
        "sum(damage_count) as damage_count, sum(parcel_count) as parcel_count from marts.exposure_cells "
        "group by item_type, packing_method) order by damage_count desc limit 1",
        [
            f"#damage-rates tbody tr >> nth=0 >> {cell}"
            for cell in ("th", "td >> nth=0", "td[data-column=claim_count]", "td[data-column=parcel_count]")
        ],
    ),
    Question(
        "Does another way of packing pay for itself: what would it save in a year?",
        "select item_type, best_method, best_gain_cents from analysis.packing_decision "
        "where is_best and not is_current order by best_gain_cents desc limit 1",
        [
            '#damage-verdicts tbody tr[data-row]:visible:has(bdi:text-is("{0}")) >> nth=0 '
            ">> td[data-column=best_gain_cents]"
        ],
        [("choose", "damage", "item_type", "0")],
        given=2,
    ),
    Question(
        "What would the right cartons from stock, cut down, have saved?",
        f"select saving_cents from analysis.carton_ladder_months where {OWN} and ladder_step = 'cut down'",
        ['#carton-ladder tbody tr:has(bdi:text-is("cut down")) >> nth=0 >> td[data-column=saving_cents]'],
    ),
    Question(
        "How many rows of my sale files were rejected and wait for me?",
        "select rejected_count from marts.record_states where kind = 'sales'",
        ['#record-states-table tbody tr:has(bdi:text-is("sales")) >> td[data-column=rejected_count]'],
        [("unfold", "records")],
    ),
)
