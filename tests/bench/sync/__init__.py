"""Benchmark of syncing 10,000 tastings against a minimal server and minimal tables."""
