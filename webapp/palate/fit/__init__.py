"""The statistical model and how it is fitted."""
