"""What the damage tables say, in sentences: the page and the terminal use the same ones. Numbers are cells."""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence

import pandas as pd

from dashboards.parts import Cell, Sentence, say
from models.shop_units import Units

Tables = Mapping[str, pd.DataFrame]
RATES, PAIRS, DECISIONS = "analysis.damage_rates", "analysis.method_comparison", "analysis.packing_decision"
CHANGES, ALARMS, CLAIMS = "analysis.change_judgements", "analysis.alarms", "marts.claim_deadlines"

VERDICTS = {
    "use": (
        "{item_type}: use {best_method} instead of {current_method}. The chance that it is the cheapest is "
        "{best_chance}; it saves {best_gain_cents} a year ({best_gain_low_cents} to {best_gain_high_cents}). "
    ),
    "keep": "{item_type}: keep {current_method}; it is the cheapest of those compared with a chance of {best_chance}. ",
    "wait": (
        "{item_type}: {best_method} looks {best_gain_cents} a year cheaper than {current_method}, but the chance "
        "that it is the cheapest is only {best_chance}. Pack {wait_parcels} more parcels by each before you choose. "
    ),
    "too close": (
        "{item_type}: {best_method} and {current_method} cost about the same ({best_gain_cents} a year apart, "
        "{best_gain_low_cents} to {best_gain_high_cents}). More parcels would hardly settle it; other reasons may. "
    ),
    "one method": "{item_type}: only {current_method} was used often enough to be judged; nothing to compare it with. ",
}
REVERSED = (
    "Thrown together, {method_a} breaks {crude_ratio} times as often as {method_b}. Compared on the same goods it is "
    "{adjusted_ratio} times ({ratio_low} to {ratio_high}): the crude figure points the wrong way, since the two are "
    "used on different goods. "
)
UNLIKE = (
    "Thrown together, {method_a} breaks {crude_ratio} times as often as {method_b}; compared on the same goods it is "
    "{adjusted_ratio} times ({ratio_low} to {ratio_high}). "
)
ALIKE = (
    "{method_a} breaks {adjusted_ratio} times as often as {method_b} on the same goods ({ratio_low} to {ratio_high}). "
)
RATE = (
    "  {packing_method}: {claim_count} claims on {parcel_count} parcels; {damage_rate} once late claims are in "
    "({damage_rate_low} to {damage_rate_high})"
)
COST = (
    "  {packing_method}: {total_cents} a parcel ({total_low_cents} to {total_high_cents}) = packing {packing_cents} + "
    "carton and postage {method_carriage_cents} + expected damage {expected_damage_cents}; pays up to a damage rate of "
    "{break_even_rate}"
)
MEASURED = (
    "{change_made} ({item_types}, from {changed_on}): {verdict}. Damage is {measured_ratio} times what it was "
    "({measured_low} to {measured_high}), hoped for was {expected_ratio}. Why: {verdict_rule}. "
)
UNMEASURED = "{change_made} ({item_types}, from {changed_on}): {verdict}. Nothing can be measured yet. "
ALARM = "{cause}, week of {week_on}: {alarm_words}. "
TASKS = {
    "file": "{claim_id} ({item_type}): file with {carrier} by {claim_due_on}, {days_left} days left; {open_cents}. ",
    "ask": "{claim_id} ({item_type}): ask {carrier} for an answer, {days_waiting} days without one; {open_cents}. ",
    "contest": "{claim_id} ({item_type}): {carrier} paid {paid_cents} of {claimed_cents}. ",
}
UNKNOWN_WINDOW = "{claim_id} ({item_type}): file with {carrier}; no tariff says until when; {open_cents}. "
LIMITS = (
    "The limits of adjusted rates, and the costs based on them, hold for 95 of 100 combinations of item type and "
    "method of a shop together; they promise nothing for a single one, least of all for one with few parcels. "
)


def each_verdict(rows: pd.DataFrame) -> Iterator[Sentence]:
    """One sentence per item type of analysis.packing_decision."""
    kept = rows[rows["is_best"].astype(bool)] if len(rows) else rows
    for at, verdict in enumerate(kept.get("packing_verdict", ())):
        yield say(VERDICTS[verdict], DECISIONS, kept, at)


def each_disagreement(rows: pd.DataFrame) -> Iterator[Sentence]:
    """One sentence per pair of methods whose crude and adjusted ratio disagree and that really differ."""
    kept = rows[(rows["is_reversed"] | rows["is_unlike"]) & rows["is_different"]] if len(rows) else rows
    for at in range(len(kept)):
        yield say(REVERSED if kept["is_reversed"].iloc[at] else UNLIKE, PAIRS, kept, at)


def each_comparison(rows: pd.DataFrame) -> Iterator[Sentence]:
    """One sentence per pair of methods."""
    for at in range(len(rows)):
        form = REVERSED if rows["is_reversed"].iloc[at] else UNLIKE if rows["is_unlike"].iloc[at] else ALIKE
        yield say(form, PAIRS, rows, at)


def each_judgement(rows: pd.DataFrame) -> Iterator[Sentence]:
    """One sentence per logged change."""
    for at in range(len(rows)):
        yield say(UNMEASURED if pd.isna(rows["measured_ratio"].iloc[at]) else MEASURED, CHANGES, rows, at)


def each_alarm(rows: pd.DataFrame) -> Iterator[Sentence]:
    """One sentence per alarm."""
    for at in range(len(rows)):
        yield say(ALARM, ALARMS, rows, at)


def each_task(rows: pd.DataFrame) -> Iterator[Sentence]:
    """One sentence per claim that can still be helped, the soonest deadline first."""
    kept = still_open(rows)
    for at, task in enumerate(kept.get("claim_task", ())):
        no_window = task == "file" and pd.isna(kept["claim_due_on"].iloc[at])
        yield say(UNKNOWN_WINDOW if no_window else TASKS[task], CLAIMS, kept, at)


def still_open(rows: pd.DataFrame) -> pd.DataFrame:
    """Claims that can still be helped: those past the carrier's window are left out. The soonest deadline first."""
    if rows.empty:
        return rows
    kept = rows[~(rows["is_in_time"].astype("boolean").eq(False).fillna(False).to_numpy(bool))]
    return kept.sort_values(["days_left", "open_cents"], ascending=[True, False], na_position="last", kind="stable")


def text(sentence: Sentence, units: Units) -> str:
    """The sentence as plain text."""
    return "".join(part if isinstance(part, str) else _cell(part, units) for part in sentence).rstrip()


def _cell(cell: Cell, units: Units) -> str:
    return cell.spoken(units)


def report_lines(tables: Tables, units: Units, item_types: Sequence[str]) -> list[str]:
    """What `dunnage damage` prints: rates, costs and the verdict of each item type, then comparisons and claims."""
    lines = [_lag_line(tables["analysis.reporting_lag"]), LIMITS.strip(), ""]
    for item_type in item_types:
        lines += _item_lines(tables, units, item_type)
    pairs = [text(each, units) for each in each_comparison(tables[PAIRS])]
    claims = tables[CLAIMS]
    tasks = [text(each, units) for each in each_task(claims[claims["item_type"].isin(item_types)])]
    return [*lines, *_titled("Methods on the same goods", pairs), *_titled("Claims to see to", tasks)]


def _lag_line(lags: pd.DataFrame) -> str:
    first = lags.iloc[0]
    return f"Late claims are allowed for: {first['curve_source']} ({first['claim_count']} claims)."


def _item_lines(tables: Tables, units: Units, item_type: str) -> list[str]:
    rates, costs = (rows[rows["item_type"] == item_type] for rows in (tables[RATES], tables[DECISIONS]))
    lines = [item_type]
    for at in range(len(rates)):
        mark = "; too few parcels to go by" if rates["is_too_few"].iloc[at] else ""
        lines.append(text(say(RATE, RATES, rates, at), units) + mark)
    if len(costs) > 1:
        lines.append("  what a parcel costs:")
        lines += ["  " + text(say(COST, DECISIONS, costs, at), units) for at in range(len(costs))]
    verdicts = [text(each, units) for each in each_verdict(costs)]
    return [*lines, *(verdicts or ["  No packing method of these goods has a cost on record."]), ""]


def _titled(title: str, lines: Sequence[str]) -> list[str]:
    return [title, *(f"  {line}" for line in lines), ""] if lines else []


def judgement_lines(rows: pd.DataFrame, units: Units) -> list[str]:
    """What `dunnage decide --judge` prints."""
    return [text(each, units) for each in each_judgement(rows)]


def alarm_lines(rows: pd.DataFrame, units: Units) -> list[str]:
    """What `dunnage watch` prints."""
    if rows.empty:
        return ["no alarm: claims, surcharges and carriage are within what was to be expected"]
    seen = ["  (acknowledged)" if flag else "" for flag in rows["is_acknowledged"]]
    reported = zip(rows["alarm_id"], each_alarm(rows), seen, strict=True)
    return [f"{name}{mark}\n  {text(sentence, units)}" for name, sentence, mark in reported]
