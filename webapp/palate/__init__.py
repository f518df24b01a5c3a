"""The palate learner: one person's liking from few bottles.

Numpy and scipy only. The code in this folder does no input or output and knows nothing of the web,
of databases or of records (`wine` reads plain dictionaries); it runs on any table of named
attributes with liking.
"""

from webapp.palate.data.attribute_space import AttributeSpace, Printed
from webapp.palate.errors import PalateError
from webapp.palate.model import fit_palate
from webapp.palate.use.palate import Palate
from webapp.palate.use.prediction import Prediction

__all__ = ["AttributeSpace", "Palate", "PalateError", "Prediction", "Printed", "fit_palate"]
