"""Runs the command `secondnose` as `python -m webapp`."""

from webapp.cli import main

main()
