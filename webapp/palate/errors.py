"""The exception of this package."""


class PalateError(ValueError):
    """The input is invalid; the message names the field, the value and the bound."""
