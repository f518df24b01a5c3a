"""The one error of this package."""


class RuleError(ValueError):
    """Input that no rule can take; ``code`` names the reason and ``field`` the value at fault."""

    def __init__(self, code: str, field: str | None = None) -> None:
        super().__init__(code if field is None else f"{field}: {code}")
        self.code = code
        self.field = field
