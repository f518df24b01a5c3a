"""How far the attributes of a world overlap, that is, tell the same thing more than once.

With z centred and of variance 1, let c^2 = sum over j, k of corr(z_j, z_k)^2 / K. Independent
attributes have c = 1, and K copies of one attribute c = sqrt(K); K / c^2 is the number of effective
attributes. For normal attributes c is also the sd of sum(z^2 - 1) / sqrt(2 K) over the bottles: how
far the curvature of all attributes adds up against an unusual bottle.
"""

from __future__ import annotations

import numpy as np

from webapp.palate.data.attribute_space import Floats

# The overlap of the styles of wine, for which the prior curvature was chosen.
USUAL_OVERLAP = 1.45
# The usual overlap counts as much as so many pairs of bottles.
PRIOR_PAIRS = 6.0


def overlap(styles: Floats, bottles: Floats) -> float:
    """Estimate c from the usual profiles (S, K) of the styles, or from the bottles (n, K), in z.

    The styles describe their world if they are more than its attributes. The mean of (z_i . z_j)^2
    over pairs of different bottles has no bias from how few they are; it is divided by the square
    of the mean of z . z, because uncertain attributes are estimated nearer to 0.
    """
    z = styles if len(styles) > styles.shape[1] else bottles
    n, k = z.shape
    length = (z**2).sum(1)
    typical = float(length.mean()) if n else 0.0
    if typical <= 0:
        return USUAL_OVERLAP
    squares = float(((z.T @ z) ** 2).sum() - (length**2).sum()) * k / typical**2
    total = squares + PRIOR_PAIRS * USUAL_OVERLAP**2
    return float(np.sqrt(total / (n * (n - 1) + PRIOR_PAIRS)))
