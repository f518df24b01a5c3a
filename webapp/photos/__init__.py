"""Photos: cleaned of metadata, kept as files."""
