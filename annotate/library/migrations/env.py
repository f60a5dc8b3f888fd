"""Alembic's entry: runs the migrations on the connection the store hands over."""

from alembic import context

from annotate.library.schema import metadata

connection = context.config.attributes["connection"]
context.configure(connection=connection, target_metadata=metadata, transactional_ddl=True)
with context.begin_transaction():
    context.run_migrations()
