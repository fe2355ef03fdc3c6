"""How alembic runs here: always on the connection it is handed, inside that connection's transaction."""

from alembic import context

from courtwright.store.schema import METADATA, VERSION_TABLE

context.configure(
    connection=context.config.attributes["connection"],
    version_table=VERSION_TABLE,
    target_metadata=METADATA,
    render_as_batch=True,
    transactional_ddl=True,  # SQLite can roll back DDL once the driver's own transaction handling is off
)
context.run_migrations()
