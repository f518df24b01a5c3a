"""How fast the pages are on a slowed processor: `python -m tests.bench.client`."""
