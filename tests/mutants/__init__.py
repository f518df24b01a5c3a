"""Mutation testing of the server: `python -m tests.mutants [PART ...]`."""
