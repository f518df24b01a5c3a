"""Deletes for good what was deleted long enough ago."""
