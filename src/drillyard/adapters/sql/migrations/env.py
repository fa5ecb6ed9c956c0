"""Run by Alembic.  The connection is handed over by ``migrate.py``; there is no other way in."""

from alembic import context

from drillyard.adapters.sql.schema import METADATA

context.configure(
    connection=context.config.attributes["connection"],
    target_metadata=METADATA,
    render_as_batch=True,
    transactional_ddl=True,
    compare_type=True,
)
with context.begin_transaction():
    context.run_migrations()
