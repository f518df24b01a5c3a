"""What a fitted palate answers."""
