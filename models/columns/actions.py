"""Columns of what to do next."""

from models.actions.action import CONFIDENCES, KINDS
from models.fields import (
    Topic,
    cents,
    choice,
    count,
    date,
    flag,
    fraction,
    inches,
    joined_text,
    limits,
    number,
    signed_cents,
    text,
)

CONFIDENCE_WORDS = tuple(words for _, words in CONFIDENCES)

ACTIONS: Topic = {
    "action_kind": choice("Kind of action", "carton", KINDS),
    "is_in_sum": flag("Whether it counts in the sum of all actions", True),
    "expected_month_cents": cents(
        "Saving a month, times its chance; of packing methods the saving, which has its chance in it",
        55000,
        label="Expected a month",
    ),
    "expected_once_cents": cents("What it would bring once, times its chance", 21000),
    "apart_count": count("Actions outside the sum: trials, choices, charging more", 2, label="Outside the sum"),
    "other_month_cents": cents("Expected a month of the other ways", 48000, label="Expected of that"),
    "more_way_count": count("Further changes that the action excludes", 2),
    "cut_low_in": inches("Least height to which it is to be cut", 12.5),
    "cut_high_in": inches("Greatest height to which it is to be cut", 14.0),
    "named": joined_text(
        "Causes to dispute, sizes to buy, or item types to charge more for", "wrong zone (3)\x1ffuel base (1)"
    ),
    "undated_claim_count": count("Claims whose deadline is not known", 2, label="Without a deadline"),
    "undated_opened_on": date("Day on which the first of them was reported", "2026-05-04"),
    "used_up": joined_text("Carton sizes to use up", "M-20\x1fM-24"),
    "saving_month_cents": cents(
        "Saving a month, beside greater actions for the same parcels and less what it costs each month",
        61000,
        label="Saving a month",
    ),
    **limits(
        signed_cents,
        "month_low_cents",
        "the saving a month, 95 percent, where held-out months or damage say it",
        38000,
        84000,
    ),
    "once_cents": cents("What it would bring once", 42000),
    "payback_months": number(
        "Months until what is expected of it has paid what it costs once", 4.5, least=0, label="Payback, months"
    ),
    "once_cost_cents": cents(
        "What it costs once: new sizes taken up, stock on hand written off", 18000, label="Costs once"
    ),
    "confidence": fraction(
        "Chance that it brings that much; of packing methods, that no other costs less", 0.9, label="Chance"
    ),
    "confidence_words": choice("Class of the chance", "nearly sure", CONFIDENCE_WORDS, label="Confidence"),
    "due_on": date("First deadline of what it concerns", "2026-12-05", label="First deadline"),
    "evidence": text("Table and rows it is based on", "analysis.best_cartons, item_type tripod", label="Based on"),
    "action_count": count("Actions found", 9),
    "not_looked_at": text("Sources of actions whose tables are not there yet", "nothing"),
}

# Columns that no table has: a surface writes them out of the codes and numbers of rows.
WRITTEN: Topic = {
    "action_words": text("What the action is", "tripod: carton C-46 instead of C-48", label="What to do"),
    "other_way": text("What would bring the same money instead", "Stock 6 sizes of carton", label="Or instead"),
    "shipment_expected_cents": signed_cents("What the tariff makes of all parcels of the shipment together", 2460),
    "shipment_billed_cents": signed_cents("Billed for all parcels of the shipment, before later corrections", 2460),
    "go_on_with": text("Command or part of the page that leads on", "dunnage bench-sheets", label="Details"),
    "alarm_words": text("What happened", "9 claims were reported where 4 were to be expected", label="What happened"),
}
