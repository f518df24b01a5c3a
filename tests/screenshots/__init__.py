"""Screenshots of every screen, for review by eye: `python -m tests.screenshots`."""
