"""The exception of this package."""


class RuleError(ValueError):
    """The input is invalid; ``code`` is the reason and ``field`` the invalid value."""

    def __init__(self, code: str, field: str | None = None) -> None:
        super().__init__(code if field is None else f"{field}: {code}")
        self.code = code
        self.field = field
