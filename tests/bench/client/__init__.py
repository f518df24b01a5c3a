"""Benchmark of the pages on a throttled processor: `python -m tests.bench.client`."""
