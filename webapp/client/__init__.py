"""Serves the client's files."""
