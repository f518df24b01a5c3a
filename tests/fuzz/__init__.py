"""Hostile input: no response is a 500, no request hangs, and memory stays bounded.

Each module has a strategy and an invariant. `test_fuzz` runs a few cases with the other tests;
`make fuzz` (`python -m tests.fuzz`) runs more than 100,000.
"""
