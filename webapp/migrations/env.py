"""Alembic's entry: runs the steps on the connection that `webapp.migrations` hands over."""

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
