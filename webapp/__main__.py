"""`python -m webapp` is `secondnose`."""

from webapp.cli import main

main()
