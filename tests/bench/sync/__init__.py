"""Sync of 10,000 tastings against the least that the same wire and the same tables can cost."""
