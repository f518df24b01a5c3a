"""Bench of the first visit and the first sync over a slow network."""
