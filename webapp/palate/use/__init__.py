"""Results computed from a fitted palate."""
