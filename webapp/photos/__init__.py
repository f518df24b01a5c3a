"""Photos: removes metadata, stores pictures as files."""
