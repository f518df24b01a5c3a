"""The subcommands of `secondnose`; `webapp.cli` combines them."""
