"""Which claims are one more of a pattern: parcels sent alike that break more than others of their item type.

Each group that had a claim is compared with the others of its item type by Fisher's exact test, one-sided. Of many
groups some look worse by chance, so chances are corrected for their number: Y. Benjamini, Y. Hochberg, "Controlling the
false discovery rate", Journal of the Royal Statistical Society B 57 (1995), 289-300.
"""

import pandas as pd

from models.analyses.question import Question, answer
from models.claims.lessons import PATTERN, at_least, needed

READS = ("damage_groups",)
WRITES = ("analysis.damage_patterns",)
GROUP = ["item_type", "packing_method", "carton_code", "carrier"]
COUNTS = ["like_count", "like_damaged_count", "other_count", "other_damaged_count"]
# Claims named in a sentence; the others are counted.
SHOWN = 5


def compute(question: Question) -> dict[str, pd.DataFrame]:
    """analysis.damage_patterns: a row per month of report and group with a claim then."""
    claims = question.table(READS[0]).assign(
        reported_month=lambda rows: pd.to_datetime(rows["reported_month"]).astype("datetime64[us]")
    )
    groups = _judged(claims[[*GROUP, *COUNTS]].drop_duplicates(GROUP))
    months = claims.groupby(["reported_month", *GROUP], as_index=False).agg(
        claim_count=("claim_id", "size"), claim_ids=("claim_id", lambda ids: ", ".join(sorted(ids)[:SHOWN]))
    )
    found = months.merge(groups, on=GROUP, how="left")
    return {WRITES[0]: answer(WRITES[0], found).sort_values(["reported_month", *GROUP], ignore_index=True)}


def _judged(groups: pd.DataFrame) -> pd.DataFrame:
    """Chance, corrected chance and parcels that would settle it; unknown where there are no others to compare with."""
    rows = list(groups[COUNTS].itertuples(index=False, name=None))
    chances = [at_least(hit, like, hit + hits, like + other) if other else None for like, hit, other, hits in rows]
    settled = [needed(hit / like, hits / other) if other else None for like, hit, other, hits in rows]
    corrected = _corrected(chances)
    return groups.assign(
        pattern_chance=pd.array(chances, dtype="Float64"),
        corrected_chance=pd.array(corrected, dtype="Float64"),
        settled_count=pd.array(settled, dtype="Int64"),
        is_pattern=[each is not None and each < PATTERN for each in corrected],
    )


def _corrected(chances: list[float | None]) -> list[float | None]:
    """The chances by Benjamini and Hochberg, in their own order."""
    known = sorted((chance, at) for at, chance in enumerate(chances) if chance is not None)
    found: list[float | None] = [None] * len(chances)
    least = 1.0
    for rank in range(len(known), 0, -1):
        chance, at = known[rank - 1]
        least = min(least, chance * len(known) / rank)
        found[at] = least
    return found
