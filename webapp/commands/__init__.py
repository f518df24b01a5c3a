"""What the command `secondnose` does, a module for each thing; `webapp.cli` puts them together."""
