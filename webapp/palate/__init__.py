"""The palate model: learns what one person likes from few rated bottles.

It uses numpy and scipy only, does no input or output, and works on any table of named attributes
with liking. `data.from_records` converts records, as plain dictionaries, to such a table.
"""

from webapp.palate.data.attribute_space import AttributeSpace, Printed
from webapp.palate.errors import PalateError
from webapp.palate.fit_model import fit_palate
from webapp.palate.use.palate import Palate
from webapp.palate.use.prediction import Prediction

__all__ = ["AttributeSpace", "Palate", "PalateError", "Prediction", "Printed", "fit_palate"]
