"""Pictures of every screen, to be looked at: `python -m tests.screenshots`."""
