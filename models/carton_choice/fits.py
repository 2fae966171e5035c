"""Which contents fit which offers: pairs that may be priced, and the proof of those that were chosen."""

from collections.abc import Mapping, Sequence

import numpy as np
import pandas as pd
from numpy.typing import NDArray

from models.carton_choice.beaten import beats
from models.carton_choice.demand import is_single
from models.carton_choice.offers import Offers
from models.packing.boxes import Needs, fit_matrix, needs
from models.packing.boxes import Options as Geometry
from models.packing.fit import Known, Verdict, fit
from models.packing.needed import Contents
from models.packing.tables import Verdicts, fit_table, least_insides

Flags = NDArray[np.bool_]
# Largest inside that a made-to-measure carton comes into question for; most of them per contents.
LARGEST_IN = (108.0, 60.0, 60.0)
MOST_MEASURED = 4


def fits(many: Sequence[Contents], insides_in: NDArray[np.float64], known: Known) -> Flags:
    """Whether each contents fits each inside (n x m): single pieces by their sides, others by a checked placement."""
    return np.asarray(verdicts(many, insides_in, known) == Verdict.FITS)


def verdicts(many: Sequence[Contents], insides_in: NDArray[np.float64], known: Known) -> Verdicts:
    """The same as verdicts, so that open answers are told from refusals."""
    answers = np.zeros((len(many), len(insides_in)), dtype=np.int8)
    single = np.array([is_single(packed) for packed in many], dtype=np.bool_)
    alone, mixed = np.flatnonzero(single), np.flatnonzero(~single)
    if len(alone):
        wanted = needs([(many[at].lines[0][0], many[at].clearance_in) for at in alone.tolist()])
        answers[alone] = _single_fits(wanted, insides_in)
    if len(mixed):
        answers[mixed] = fit_table([many[at] for at in mixed.tolist()], insides_in, known=known)
    return answers


def _single_fits(wanted: Needs, insides_in: NDArray[np.float64]) -> Flags:
    none = np.zeros(len(insides_in), dtype=np.int64)
    plain = Geometry((), none, insides_in[:, 2], insides_in, insides_in, none.astype(np.bool_))
    return fit_matrix(wanted, plain)


def lay_before(keys: Sequence[int], rows: pd.DataFrame, used: pd.DataFrame) -> Flags:
    """Whether parcels of each contents travelled in the carton of each offer (n x m): the proof for a tube.

    used: rows of contents_key and carton_code.
    """
    seen = set(zip(used["contents_key"].tolist(), used["carton_code"].tolist(), strict=True))
    codes = rows["carton_code"].tolist()
    return np.array([[(key, code) in seen for code in codes] for key in keys], dtype=np.bool_).reshape(
        len(keys), len(codes)
    )


def without_needless(answers: Flags, rows: pd.DataFrame) -> Flags:
    """Without two cartons slid into one another where one alone holds the contents, whole or cut."""
    is_telescoped = rows["telescope_overlap_in"].notna().to_numpy(dtype=np.bool_)
    is_held = np.asarray(answers[:, ~is_telescoped].any(axis=1))
    return np.asarray(answers & ~(is_held[:, None] & is_telescoped[None, :]))


def useful(answers: Flags, geometry: Geometry) -> Flags:
    """Of each entry at most two: whole, and cut to the lowest height that fits.

    geometry: the entries' heights, lowest first. Right where a lower parcel never costs more.
    """
    kept = answers & ~geometry.is_cut[None, :]
    for entry in np.unique(geometry.carton):
        block = np.flatnonzero((geometry.carton == entry) & geometry.is_cut)
        if len(block):
            fitting = answers[:, block]
            lowest = block[fitting.argmax(axis=1)]
            rows = np.flatnonzero(fitting.any(axis=1))
            kept[rows, lowest[rows]] = True
    return kept


def unbeaten(answers: Flags, rows: pd.DataFrame) -> Flags:
    """Without the offers that another one beats which fits too (`beats`).

    rows: the offers, in the order of the columns; only offers of one kind and one period beat one another, and a carton
    taken whole beats cut ones too: it is allowed wherever they are.
    """
    fitting = np.flatnonzero(answers.any(axis=0))
    beaten_by, few = _beats(rows.iloc[fitting]), answers[:, fitting]
    for row in few:
        held = np.flatnonzero(row)
        row[held] = ~beaten_by[np.ix_(held, held)].any(axis=0)
    kept = answers.copy()
    kept[:, fitting] = few
    return kept


def _beats(rows: pd.DataFrame) -> Flags:
    """Whether the one offer beats the other where both fit (m x m)."""
    alike = pd.factorize(pd.Series(list(zip(rows["effective_from"], rows["is_rectangular"], strict=True))))[0]
    kinds = rows["option_kind"].to_numpy(dtype=object)
    may = kinds[:, None] == kinds[None, :]
    may |= (kinds == "stocked")[:, None] & (kinds == "cut")[None, :]
    cents = rows["unit_cost_cents"] + rows["cut_cents"]
    sides = rows[["length_in", "width_in", "height_in"]].to_numpy(dtype=float)
    found = beats(sides, cents.to_numpy(), rows["tare_lb"].to_numpy(dtype=float))
    return np.asarray(found & may & (alike[:, None] == alike[None, :]))


def pairs(keys: Sequence[int], answers: Flags, first_option: int = 0) -> pd.DataFrame:
    """Rows of contents_key and option_key for every true answer; options are counted from first_option."""
    rows, columns = np.nonzero(answers)
    return pd.DataFrame({"contents_key": np.asarray(keys, dtype=np.int64)[rows], "option_key": columns + first_option})


def made_to_measure(packed: Contents) -> NDArray[np.float64]:
    """Insides of the least cartons that hold the contents (n x 3), smallest volume first, at most MOST_MEASURED."""
    return least_insides(packed, LARGEST_IN)[:MOST_MEASURED]


def unproved(chosen: pd.DataFrame, contents: Mapping[int, Contents], offered: Offers, known: Known) -> pd.DataFrame:
    """The chosen pairs (contents_key, option_key) for which no placement stands the independent check.

    In a shape that is not rectangular the goods lay before; there is nothing to place.
    """
    is_box = offered.rows["is_rectangular"].to_numpy(dtype=np.bool_)
    distinct = chosen.loc[is_box[chosen["option_key"]], ["contents_key", "option_key"]].drop_duplicates()
    proved = [
        _is_proved(contents[key], offered.insides_in[option].tolist(), known)
        for key, option in zip(distinct["contents_key"].tolist(), distinct["option_key"].tolist(), strict=True)
    ]
    return distinct[~np.array(proved, dtype=np.bool_)]


def _is_proved(packed: Contents, inside_in: Sequence[float], known: Known) -> bool:
    length, width, height = inside_in
    return fit(packed, (length, width, height), known=known).verdict is Verdict.FITS
