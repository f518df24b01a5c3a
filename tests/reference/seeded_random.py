"""The client's generator of random numbers (``static/lib/seeded_random.js``)."""

import numpy as np
import numpy.typing as npt


def seeded_random(seed: int, count: int) -> npt.NDArray[np.float64]:
    """Return the first ``count`` numbers in [0, 1) of the client's generator (mulberry32)."""
    with np.errstate(over="ignore"):
        steps = np.arange(1, count + 1, dtype=np.uint32)
        state = np.uint32(seed) + steps * np.uint32(0x6D2B79F5)
        mixed = (state ^ (state >> np.uint32(15))) * (state | np.uint32(1))
        mixed ^= mixed + (mixed ^ (mixed >> np.uint32(7))) * (mixed | np.uint32(61))
    shares: npt.NDArray[np.float64] = (mixed ^ (mixed >> np.uint32(14))) / 2**32
    return shares
