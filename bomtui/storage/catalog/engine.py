"""The database of a catalog: its transactions, and its faults in one sentence."""

from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path

from sqlalchemy import Connection, Engine
from sqlalchemy.exc import DBAPIError

from bomtui.storage.catalog.faults import CatalogError, fault
from bomtui.storage.catalog.sqlite_file import READ_ONLY, file_engine
from bomtui.storage.catalog_place import Place, PlaceError, place_of


class Database:
    """One database with transactions that lose nothing.

    Args:
        place: Path of a SQLite file, or an address `sqlite:///PATH` or `postgresql://USER@HOST/DATABASE`. Folders above
            a file are made.

    Attributes:
        place: Where it is.

    Raises:
        CatalogError: The place is of another kind, or its folder cannot be made.
    """

    def __init__(self, place: str | Path) -> None:
        try:
            self.place = place_of(place)
        except PlaceError as error:
            raise CatalogError(str(error)) from error
        self._engine = _engine(self.place)

    @property
    def name(self) -> str:
        """What may be shown of the place."""
        return self.place.name

    @property
    def is_server(self) -> bool:
        """Whether it is a database of a server."""
        return self.place.path is None

    def close(self) -> None:
        """Close every connection."""
        self._engine.dispose()

    @contextmanager
    def reading(self) -> Iterator[Connection]:
        """Give a connection that sees one state.

        Raises:
            CatalogError: It cannot be read.
        """
        try:
            with self._engine.connect().execution_options(**{READ_ONLY: True}) as connection:
                yield connection
        except DBAPIError as error:
            raise fault(self.place, error) from None if self.is_server else error

    @contextmanager
    def writing(self) -> Iterator[Connection]:
        """Give a connection inside a transaction that nobody else writes beside: all of it is kept, or nothing.

        Raises:
            CatalogError: It cannot be written.
        """
        keeping = False
        try:
            with self._engine.connect() as connection:
                transaction = connection.begin()
                yield connection
                keeping = True
                transaction.commit()
        except DBAPIError as error:
            raise fault(self.place, error, keeping=keeping) from None if self.is_server else error


def _engine(place: Place) -> Engine:
    if place.path is None:
        # Only who names a server waits for its driver.
        from bomtui.storage.catalog.server import server_engine

        return server_engine(place)
    try:
        place.path.parent.mkdir(parents=True, exist_ok=True)
    except OSError as error:
        reason = error.strerror or str(error)
        raise CatalogError(f"the folder of the catalog {place.name} cannot be made: {reason}") from error
    return file_engine(place.path)
