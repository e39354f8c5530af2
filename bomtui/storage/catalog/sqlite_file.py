"""A catalog in one SQLite file: how it is opened, and its transactions."""

import sqlite3
from pathlib import Path

from sqlalchemy import URL, Connection, Engine, create_engine, event

from bomtui.storage.catalog.faults import LOCKED

READ_ONLY = "catalog_read_only"
_PRAGMAS = ("busy_timeout=30000", "synchronous=normal", "foreign_keys=on")


def file_engine(path: Path) -> Engine:
    """Return an engine whose transactions begin and end as written.

    The driver's own default begins a transaction only at the first write, so that two read-then-write transactions
    overwrite each other; and it commits before a change of the schema.
    """
    engine = create_engine(URL.create("sqlite", database=str(path)))

    @event.listens_for(engine, "connect")
    def prepare(connection: sqlite3.Connection, _: object) -> None:
        connection.isolation_level = None
        for pragma in _PRAGMAS:
            connection.execute(f"pragma {pragma}")
        _use_write_ahead_log(connection)

    @event.listens_for(engine, "begin")
    def begin(connection: Connection) -> None:
        read_only = connection.get_execution_options().get(READ_ONLY)
        connection.exec_driver_sql("BEGIN" if read_only else "BEGIN IMMEDIATE")

    return engine


def backed_up(path: Path, version: int) -> Path:
    """Copy a file that is in use, whole, beside itself, and return the copy; one that is there already stays.

    Raises:
        sqlite3.Error: It cannot be read, or the copy cannot be written.
        OSError: The copy cannot be put in its place.
    """
    number = 1
    while (
        copy := path.with_name(f"{path.name}.version-{version}{f'-{number}' if number > 1 else ''}.backup")
    ).exists():
        number += 1
    unfinished = copy.with_name(f"{copy.name}.unfinished")
    unfinished.unlink(missing_ok=True)
    source, target = sqlite3.connect(path), sqlite3.connect(unfinished)
    try:
        source.backup(target)
    finally:
        target.close()
        source.close()
    unfinished.replace(copy)
    return copy


def _use_write_ahead_log(connection: sqlite3.Connection) -> None:
    """Put the file into the mode in which people read while somebody writes; the file then stays in it."""
    (mode,) = connection.execute("pragma journal_mode").fetchone()
    if mode == "wal":
        return
    try:
        connection.execute("pragma journal_mode=wal")
    except sqlite3.OperationalError as error:
        # Two programs that make one file at the same moment do not wait for each other here: one of them switches it,
        # and the other need not. Until then transactions are just as safe, only readers wait for a writer.
        if LOCKED not in str(error):
            raise
