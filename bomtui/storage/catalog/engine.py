"""One SQLite file: how it is opened, its transactions, and its faults in one sentence."""

import re
import sqlite3
from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path

from sqlalchemy import URL, Connection, Engine, create_engine, event
from sqlalchemy.exc import DBAPIError

_READ_ONLY = "catalog_read_only"
_PRAGMAS = ("busy_timeout=5000", "synchronous=normal", "foreign_keys=on")
_LOCKED = "is locked"
_ADDRESS = re.compile(r"([A-Za-z][A-Za-z0-9+.-]*)://(.*)", re.DOTALL)

# What SQLite says, and what it means for the person before the screen.
_REASONS = (
    (_LOCKED, "another program is writing to it; try again in a moment"),
    ("not a database", "it is not a catalog; move it away and a new one is made from the shipped parts"),
    ("malformed", "it is damaged; move it away and a new one is made from the shipped parts"),
    ("unable to open", "it cannot be opened for reading and writing; check that it is a file and may be written"),
    ("readonly", "it may not be written; check the rights of the file and its folder"),
    ("is full", "there is no room left on the disk"),
    ("fts5", "this Python's SQLite has no text search (FTS5)"),
    ("tokenizer", "this Python's SQLite is older than 3.34 and cannot search for fragments of text"),
)


class CatalogError(Exception):
    """A catalog that cannot be read or written; its text is one sentence for the person who uses it."""


class Database:
    """One SQLite file with transactions that lose nothing.

    Args:
        place: Path of the file, or an address `sqlite:///PATH`. Folders above it are made.

    Raises:
        CatalogError: The place is of another kind, or its folder cannot be made.
    """

    def __init__(self, place: str | Path) -> None:
        self.path = file_path(place)
        try:
            self.path.parent.mkdir(parents=True, exist_ok=True)
        except OSError as error:
            reason = error.strerror or str(error)
            raise CatalogError(f"the folder of the catalog {self.path} cannot be made: {reason}") from error
        self._engine = _engine(self.path)

    def close(self) -> None:
        """Close every connection."""
        self._engine.dispose()

    @contextmanager
    def reading(self) -> Iterator[Connection]:
        """Give a connection that sees one state of the file.

        Raises:
            CatalogError: The file cannot be read.
        """
        try:
            with self._engine.connect().execution_options(**{_READ_ONLY: True}) as connection:
                yield connection
        except DBAPIError as error:
            raise self.fault(error) from error

    @contextmanager
    def writing(self) -> Iterator[Connection]:
        """Give a connection inside a transaction that nobody else writes beside: all of it is kept, or nothing.

        Raises:
            CatalogError: The file cannot be written.
        """
        try:
            with self._engine.begin() as connection:
                yield connection
        except DBAPIError as error:
            raise self.fault(error) from error

    def fault(self, error: DBAPIError) -> CatalogError:
        """Word what the database library reports."""
        said = str(error.orig)
        reason = next((reason for mark, reason in _REASONS if mark in said), said)
        return CatalogError(f"the catalog {self.path} cannot be used: {reason}")


def file_path(place: str | Path) -> Path:
    """Return the file that a place names.

    Raises:
        CatalogError: The place is an address of anything but a SQLite file.
    """
    if isinstance(place, Path):
        return place
    address = _ADDRESS.fullmatch(place)
    if address is None:
        return Path(place)
    scheme, rest = address[1], address[2]
    if scheme == "sqlite" and rest.startswith("/") and len(rest) > 1:
        return Path(rest[1:])
    # Only the scheme is shown: what follows it may hold a password.
    raise CatalogError(f"a catalog is a SQLite file: expected its path or sqlite:///PATH, found an address {scheme}://")


def _engine(path: Path) -> Engine:
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
        read_only = connection.get_execution_options().get(_READ_ONLY)
        connection.exec_driver_sql("BEGIN" if read_only else "BEGIN IMMEDIATE")

    return engine


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
        if _LOCKED not in str(error):
            raise
