"""How late claims come, how often goods break by packing method, by month and like with like, and what it costs."""

from dataclasses import replace
from typing import Any

import numpy as np
import pandas as pd
from scipy.stats import norm

from models.analyses.damage_losses import READS as WORTHS
from models.analyses.damage_losses import damage_losses
from models.analyses.damage_model import damage_model
from models.analyses.damage_records import CELL, DamageRecords, by_month, damage_records, named
from models.analyses.damage_records import READS as RECORDS
from models.analyses.question import Question
from models.damage.arrays import floats
from models.damage.comparison import compare_methods, hold_together, reach_of_chosen, strata_of
from models.damage.confounding import LEAST_LEFT, share_left
from models.damage.logistic import check_by_logistic
from models.damage.rates import jeffreys_interval, raw_rates, too_few
from models.fields import MOST_RATIO

READS = (*RECORDS, *WORTHS)
WRITES = (
    *("analysis.reporting_lag", "analysis.damage_rates", "analysis.monthly_damage", "analysis.method_comparison"),
    "analysis.severity",
)
REACH = 1.959963984540054
# Goods are compared with goods of the same item type that went to the same band of zones.
POOLED = ("pooled_ratio", "pooled_low", "pooled_high")
ADJUSTED = ["shrunk_rate", "shrunk_low", "shrunk_high"]
STRATUM = ["item_type", "zone_band"]
WENT_WITH = ("carrier", "service", "shipped_month")
# Share of shops in which any pair of methods may be said to differ the wrong way round.
WRONG_WAY = 0.0125


def compute(question: Question) -> dict[str, pd.DataFrame]:
    """The tables of WRITES."""
    records = damage_records(question)
    recent = records.recent()
    answers = (
        _lags(records),
        rates(question, recent),
        months(question, records),
        comparisons(question, recent),
        severities(question, recent),
    )
    return dict(zip(WRITES, answers, strict=True))


def _lags(records: DamageRecords) -> pd.DataFrame:
    curve = records.curve
    reach, stated = REACH * curve.standard_error, records.settings.claims_to
    return pd.DataFrame(
        {
            "age_days": np.arange(curve.window_days + 1),
            "reported_share": curve.cumulative,
            "reported_low": (curve.cumulative - reach).clip(0.0, 1.0),
            "reported_high": (curve.cumulative + reach).clip(0.0, 1.0),
            "curve_source": curve.source,
            "is_default": curve.is_default,
            "is_drifting": curve.is_drifting,
            "claim_count": curve.claims,
            "late_claim_count": curve.late_claims,
            "impossible_claim_count": curve.impossible_claims,
            "claims_to": records.claims_to,
            "claims_to_source": records.end.source,
            "claims_to_stated": pd.NaT if stated is None else pd.Timestamp(stated),
            "last_claim_on": pd.Timestamp(records.end.reported_on),
            "records_to": records.as_of,
            "window_days": curve.window_days,
            "wanted_days": records.settings.window_days,
        }
    )


def rates(question: Question, records: DamageRecords) -> pd.DataFrame:
    """analysis.damage_rates: one row per item type and packing method used."""
    cells = records.summed(CELL)
    types = cells.groupby("item_type")[["claims", "exposure"]].transform("sum")
    usual = raw_rates(floats(types["claims"]), floats(types["exposure"]))
    is_too_few = too_few(floats(cells["claims"]), floats(cells["exposure"]), usual)
    rows = _with_rates(cells).assign(is_too_few=is_too_few)
    if cells.empty:
        return rows.reindex(columns=[*rows.columns, *ADJUSTED])
    return rows.join(damage_model(question, records).of_cells(), on=CELL)


def months(question: Question, records: DamageRecords) -> pd.DataFrame:
    """analysis.monthly_damage: every month of shipping in the records; adjusted as far back as rates look."""
    dated = replace(records, cells=by_month(records.cells), claims=by_month(records.claims))
    rows = dated.summed(["shipped_month"])
    share = dated.cells.groupby("shipped_month")[["exposure", "parcel_count"]].sum()
    shares = (share["exposure"] / share["parcel_count"]).reindex(rows["shipped_month"]).to_numpy(float)
    rows = _with_rates(rows).assign(reported_share=shares.clip(0.0, 1.0))
    recent = records.recent()
    if recent.cells.empty:
        return rows.reindex(columns=[*rows.columns, *ADJUSTED])
    return rows.join(damage_model(question, recent).of_months(), on="shipped_month")


def _with_rates(rows: pd.DataFrame) -> pd.DataFrame:
    claims, exposure = floats(rows["claims"]), floats(rows["exposure"])
    low, high = jeffreys_interval(claims, exposure)
    return rows.drop(columns="claims").assign(
        claim_count=claims.astype(np.int64),
        crude_claim_rate=raw_rates(claims, floats(rows["parcel_count"])),
        damage_rate=raw_rates(claims, exposure),
        damage_rate_low=low,
        damage_rate_high=high,
    )


def comparisons(question: Question, records: DamageRecords) -> pd.DataFrame:
    """analysis.method_comparison: every pair of packing methods that were used on the same goods.

    A difference stands where the goods' own strata show it and the model of all that happened holds to it.
    """
    cells = named(records.summed([*STRATUM, "packing_method"]))
    cells = cells.assign(item_type=cells["item_type"] + " / " + cells["zone_band"])
    pairs = compare_methods(cells, false_discovery_rate=records.settings.false_discovery_rate)
    checks = [_logistic(cells, a, b) for a, b in zip(pairs["method_a"], pairs["method_b"], strict=True)]
    counted = [_claims(cells, a, b) for a, b in zip(pairs["method_a"], pairs["method_b"], strict=True)]
    rows = pairs.rename(columns=_PAIR_NAMES).assign(claim_count=counted)
    rows = pd.concat([rows, pd.DataFrame(checks, index=rows.index, columns=list(_LOGISTIC))], axis=1)
    rows = _with_pooled(rows, question, records)
    flags = {str(name): rows[name].astype(bool) for name in rows if str(name).startswith("is_")}
    return rows.assign(homogeneity_p=rows["homogeneity_p"].astype("float64"), **flags)


def _with_pooled(rows: pd.DataFrame, question: Question, records: DamageRecords) -> pd.DataFrame:
    """The pooled ratio of each pair, and whether the difference stands there too, so that of all pairs that are said to
    differ none is the other way round but in one shop of many (WRONG_WAY). Its limits are as wide as several pairs to
    choose from ask for: where they are said to differ, they lie on one side of one."""
    pairs = list(zip(rows["method_a"], rows["method_b"], strict=True))
    if not pairs:
        return rows.assign(**dict.fromkeys(POOLED, rows["adjusted_ratio"]), is_entangled=rows["is_different"])
    model = damage_model(question, records)
    logs = np.log(np.column_stack([model.ratio(*pair) for pair in pairs]))
    middle, error = logs.mean(axis=0), logs.std(axis=0).clip(1e-9)
    stands = hold_together(norm.sf(np.sign(np.log(floats(rows["adjusted_ratio"]))) * middle / error), WRONG_WAY)
    shown = rows["is_different"].to_numpy(bool)
    is_separable = np.array([_is_separable(model.cells, pair) for pair in pairs])
    reach = error * reach_of_chosen(int((shown & stands).sum()), len(pairs), WRONG_WAY)
    limits = dict(zip(POOLED, np.exp([middle, middle - reach, middle + reach]), strict=True))
    return rows.assign(**limits, is_different=shown & stands, is_entangled=shown & ~stands & ~is_separable)


def _is_separable(cells: pd.DataFrame, pair: tuple[str, str]) -> bool:
    """Whether both methods went by the same carriers and services and in the same months."""
    return all(share_left(cells, pair, STRATUM, factor) >= LEAST_LEFT for factor in WENT_WITH)


_LOGISTIC = ("logistic_ratio", "logistic_low", "logistic_high")
_PAIR_NAMES = {
    "risk_ratio": "adjusted_ratio",
    "risk_ratio_low": "ratio_low",
    "risk_ratio_high": "ratio_high",
    "adjusted_p": "q_value",
    "disagrees": "is_unlike",
    "strata_used": "strata_count",
}


def _logistic(cells: pd.DataFrame, method_a: str, method_b: str) -> tuple[float | None, ...]:
    """Odds ratio with limits; unknown where the model cannot say."""
    found = check_by_logistic(strata_of(cells, method_a, method_b))
    if found is None:
        return (None, None, None)
    ratio = found.odds_ratio
    interval = (ratio.value, ratio.low, ratio.high)
    return interval if all(np.isfinite(interval)) and max(interval) < MOST_RATIO else (None, None, None)


def _claims(cells: pd.DataFrame, method_a: str, method_b: str) -> int:
    strata = strata_of(cells, method_a, method_b)
    both = (strata["exposure_a"] > 0) & (strata["exposure_b"] > 0)
    return int((strata["claims_a"] + strata["claims_b"])[both].sum())


def severities(question: Question, records: DamageRecords) -> pd.DataFrame:
    """analysis.severity: one row per item type and packing method used."""
    found = damage_losses(question, records)
    gross, recovered, net = (found.losses.gross, found.losses.recovered, found.losses.net)
    low, high = np.quantile(net, [0.025, 0.975], axis=0)
    return found.cells[CELL].assign(
        claim_count=floats(found.cells["claims"]).astype(np.int64),
        gross_loss_cents=_whole(gross.mean(axis=0)),
        recovered_share=recovered.mean(axis=0),
        severity_cents=_whole(net.mean(axis=0)),
        severity_low_cents=_whole(low),
        severity_high_cents=_whole(high),
    )


def _whole(values: Any) -> Any:
    return np.rint(np.asarray(values, dtype=float)).astype(np.int64)
