"""From an address to an engine that is safe to write with, on a store brought up to date."""

from __future__ import annotations

from importlib.resources import as_file, files
from pathlib import Path
from time import monotonic, sleep
from typing import Any, Final

from sqlalchemy import Connection, Engine, create_engine, event, inspect, make_url, text
from sqlalchemy.engine import URL
from sqlalchemy.exc import ArgumentError, NoSuchModuleError, OperationalError

from courtwright.errors import StoreError
from courtwright.store.schema import MIGRATIONS, VERSION_TABLE
from courtwright.store.trouble import store_error, told

FILE_NAME: Final = "courtwright.sqlite"
WRITE: Final = {"courtwright_begin": "BEGIN IMMEDIATE"}
"""Execution options of a transaction that will write: it takes the lock at once instead of failing half-way."""
OUTSIDE: Final = {"courtwright_begin": ""}
"""Outside any transaction, for the one pragma that asks for it."""

AGAIN_S: Final = 0.02
"""Between two tries at what SQLite does not wait for itself."""

_MIGRATION_LOCK: Final = 0x436F7572
"""Any fixed number: PostgreSQL's name for “one migration at a time”."""


def address_of(url: str | Path | None) -> URL:
    """Read a database URL or a file name; nothing means the file in the user's data folder."""
    if url is None:
        from courtwright.engine import DATA_DIR  # noqa: PLC0415 (loads the compiler: only where its folder is asked for)

        url = DATA_DIR / FILE_NAME
    if isinstance(url, Path) or "://" not in url:
        return URL.create("sqlite", database=str(url))
    try:
        address = make_url(url)
    except ArgumentError:
        raise StoreError(f"“{url}” is no database address; write a file name or postgresql://user@host/name") from None
    if address.get_backend_name() in ("postgres", "postgresql"):
        return address.set(drivername="postgresql+psycopg")
    return address


def name_of(address: URL) -> str:
    """The address in words, without a password."""
    return str(address.database) if address.get_backend_name() == "sqlite" else address.render_as_string()


def open_engine(address: URL, *, busy_s: float) -> Engine:
    """Connect, and bring the tables up to date."""
    engine = _sqlite(address, busy_s) if address.get_backend_name() == "sqlite" else _server(address, busy_s)
    try:
        with told(name_of(address)), engine.execution_options(**WRITE).begin() as connection:
            _bring_up_to_date(connection, name_of(address))
        with told(name_of(address)):
            _use_write_ahead_log(engine, busy_s)
    except BaseException:
        engine.dispose()
        raise
    return engine


def _sqlite(address: URL, busy_s: float) -> Engine:
    if not address.database or address.database == ":memory:":
        raise StoreError("a store needs a file; write its name")
    try:
        Path(address.database).parent.mkdir(parents=True, exist_ok=True)
    except OSError as error:
        raise store_error(address.database, "no place", error.strerror or "") from error
    engine = create_engine(address, connect_args={"timeout": busy_s})
    event.listen(engine, "connect", _prepare_sqlite)
    event.listen(engine, "begin", _begin_sqlite)
    return engine


def _prepare_sqlite(connection: Any, _record: Any) -> None:
    connection.isolation_level = None  # the driver would otherwise begin, and commit before DDL, on its own
    connection.execute("PRAGMA synchronous=FULL").close()
    connection.execute("PRAGMA foreign_keys=ON").close()


def _begin_sqlite(connection: Connection) -> None:
    if statement := connection.get_execution_options().get("courtwright_begin", "BEGIN"):
        connection.exec_driver_sql(statement)


def _use_write_ahead_log(engine: Engine, busy_s: float) -> None:
    """Readers then never wait for the writer. The file remembers it: set only once the file is known as ours.

    SQLite answers “locked” at once, without its own wait, where two programs ask for this together.
    """
    if engine.dialect.name != "sqlite":
        return
    give_up = monotonic() + busy_s
    with engine.execution_options(**OUTSIDE).connect() as connection:
        while True:
            try:
                connection.exec_driver_sql("PRAGMA journal_mode=WAL")
            except OperationalError:
                if monotonic() > give_up:
                    raise
                sleep(AGAIN_S)
            else:
                return


def _server(address: URL, busy_s: float) -> Engine:
    if address.get_backend_name() != "postgresql":
        raise StoreError(f"no store on {address.get_backend_name()}; use a SQLite file or postgresql://user@host/name")
    try:
        engine = create_engine(address, pool_pre_ping=True)
    except (ModuleNotFoundError, NoSuchModuleError):
        raise StoreError("PostgreSQL needs one more library; install courtwright[postgres]") from None

    def prepare(connection: Any, _record: Any) -> None:
        connection.execute(f"SET lock_timeout = {round(busy_s * 1000)}")
        connection.commit()

    event.listen(engine, "connect", prepare)
    return engine


def _bring_up_to_date(connection: Connection, where: str) -> None:
    if connection.dialect.name == "postgresql":
        connection.execute(text("SELECT pg_advisory_xact_lock(:lock)"), {"lock": _MIGRATION_LOCK})
    tables = inspect(connection).get_table_names()
    if VERSION_TABLE not in tables:
        if tables:
            raise store_error(where, "foreign")
        migrate(connection)
        return
    version = connection.execute(text(f"SELECT version_num FROM {VERSION_TABLE}")).scalar()
    if version not in MIGRATIONS:
        raise store_error(where, "newer")
    if version != MIGRATIONS[-1]:
        migrate(connection)


def migrate(connection: Connection, to: str = "head") -> None:
    """Run the migrations up to one."""
    from alembic import command  # noqa: PLC0415 (half a second to load; needed once per version)
    from alembic.config import Config  # noqa: PLC0415

    with as_file(files("courtwright.store") / "migrations") as folder:
        config = Config(attributes={"connection": connection})
        config.set_main_option("script_location", str(folder).replace("%", "%%"))
        command.upgrade(config, to)
