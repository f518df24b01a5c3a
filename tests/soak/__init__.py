"""Many concurrent owners for a while: every response is valid, and no data is lost."""
