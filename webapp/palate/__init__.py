"""The palate learner: one person's liking from few bottles.

Numpy and scipy only. The code in this folder does no input or output and knows nothing of the web,
of databases or of records (`wine` reads plain dictionaries); it runs on any table of named
attributes with liking.
"""

from .errors import PalateError
from .learning import learn
from .palate import Palate
from .scoring import Prediction
from .world import Printed, World

__all__ = ["Palate", "PalateError", "Prediction", "Printed", "World", "learn"]
