"""The one error of this layer."""


class PalateError(ValueError):
    """Input that the learner cannot take; the text names the field, the value and the bound."""
