"""Hostile input: whatever is sent, no answer is a 500, no answer hangs, memory stays bounded.

Each module offers a strategy and one law. `test_fuzz` runs a small set of cases with the other
tests; `make fuzz` (`python -m tests.fuzz`) runs more than 100,000.
"""
