"""Alembic's entry point: runs the migrations on the connection from `webapp.migrations`."""

from alembic import context

from webapp.db.tables import metadata

context.configure(
    connection=context.config.attributes["connection"],
    target_metadata=metadata,
    transactional_ddl=True,
    render_as_batch=True,
)
with context.begin_transaction():
    context.run_migrations()
