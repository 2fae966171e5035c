"""Published tables used by more than one test."""

from __future__ import annotations

import numpy as np
import pandas as pd

from models.damage.arrays import FloatArray
from models.damage.comparison import STRATUM

# G. C. Taylor, F. R. Ashe, Journal of Econometrics 23 (1983), as used by T. Mack, "Distribution-free calculation of the
# standard error of chain ladder reserve estimates", ASTIN Bulletin 23 (1993), Table 1. Typed from memory; Mack's
# reserves, which the tests hold to the unit, would not come out of a mistyped triangle.
TAYLOR_ASHE_ROWS = (
    (357848, 1124788, 1735330, 2218270, 2745596, 3319994, 3466336, 3606286, 3833515, 3901463),
    (352118, 1236139, 2170033, 3353322, 3799067, 4120063, 4647867, 4914039, 5339085),
    (290507, 1292306, 2218525, 3235179, 3985995, 4132918, 4628910, 4909315),
    (310608, 1418858, 2195047, 3757447, 4029929, 4381982, 4588268),
    (443160, 1136350, 2128333, 2897821, 3402672, 3873311),
    (396132, 1333217, 2180715, 2985752, 3691712),
    (440832, 1288463, 2419861, 3483130),
    (359480, 1421128, 2864498),
    (376686, 1363294),
    (344014,),
)
MACK_FACTORS = (3.4906, 1.7473, 1.4574, 1.1739, 1.1038, 1.0863, 1.0539, 1.0766, 1.0177)


def taylor_ashe() -> FloatArray:
    triangle = np.full((10, 10), np.nan)
    for row, amounts in enumerate(TAYLOR_ASHE_ROWS):
        triangle[row, : len(amounts)] = amounts
    return triangle


def strata(*rows: tuple[object, float, float, float, float]) -> pd.DataFrame:
    """Rows of (stratum, claims_a, exposure_a, claims_b, exposure_b)."""
    return pd.DataFrame(list(rows), columns=list(STRATUM))


def admissions() -> pd.DataFrame:
    """P. J. Bickel, E. A. Hammel, J. W. O'Connell, Science 187 (1975): six largest departments, men against women."""
    cells = (
        ("A", 512, 89, 313, 19),
        ("B", 353, 17, 207, 8),
        ("C", 120, 202, 205, 391),
        ("D", 138, 131, 279, 244),
        ("E", 53, 94, 138, 299),
        ("F", 22, 24, 351, 317),
    )
    return strata(*((name, men, men + no_m, women, women + no_w) for name, men, women, no_m, no_w in cells))


def vaccine_trials() -> pd.DataFrame:
    """G. A. Colditz et al., JAMA 271 (1994), 698-702: thirteen trials (cases, others; vaccinated, then control)."""
    cells = (
        (4, 119, 11, 128),
        (6, 300, 29, 274),
        (3, 228, 11, 209),
        (62, 13536, 248, 12619),
        (33, 5036, 47, 5761),
        (180, 1361, 372, 1079),
        (8, 2537, 10, 619),
        (505, 87886, 499, 87892),
        (29, 7470, 45, 7232),
        (17, 1699, 65, 1600),
        (186, 50448, 141, 27197),
        (5, 2493, 3, 2338),
        (27, 16886, 29, 17825),
    )
    return strata(*((number, a, a + b, c, c + d) for number, (a, b, c, d) in enumerate(cells)))


# R. E. Tarone, Biometrics 38 (1982): 70 historical control groups of laboratory rats and the current experiment (last),
# as printed in A. Gelman et al., Bayesian Data Analysis, Table 5.1: animals with tumours out of animals in the group.
RATS = (
    *((0, 20),) * 7, *((0, 19),) * 4, *((0, 18),) * 2, (0, 17), *((1, 20),) * 4, *((1, 19),) * 2, *((1, 18),) * 2,
    (2, 25), (2, 24), (2, 23), *((2, 20),) * 6, (1, 10), (5, 49), (2, 19), (5, 46), (3, 27), (2, 17), (7, 49), (7, 47),
    *((3, 20),) * 2, (2, 13), (9, 48), (10, 50), *((4, 20),) * 7, (10, 48), *((4, 19),) * 3, (5, 22), (11, 46),
    (12, 49), *((5, 20),) * 2, (6, 23), (5, 19), (6, 22), *((6, 20),) * 3, (16, 52), (15, 47), (15, 46), (9, 24),
    (4, 14),
)  # fmt: skip
