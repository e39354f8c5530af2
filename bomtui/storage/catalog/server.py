"""A catalog in a database of a PostgreSQL server: how it is reached, and its transactions.

Writers come one after the other, by a lock that ends with the transaction: what one of them has read stays so until it
has written. Readers wait for nobody and see one state.
"""

import logging

from sqlalchemy import Connection, Engine, create_engine, event, make_url, text
from sqlalchemy.exc import ArgumentError

from bomtui.storage.catalog.faults import CatalogError
from bomtui.storage.catalog.sqlite_file import READ_ONLY
from bomtui.storage.catalog_place import Place

WRITERS_LOCK = 0x626F6D74
"""Number of the advisory lock that writers hold; any number would do that no other program takes in this database."""
_LOCK_TIMEOUT = "30s"
# The driver remarks on lost connections, which become sentences here; without a handler they would end on the screen.
logging.getLogger("psycopg").addHandler(logging.NullHandler())

_DEFAULTS = {"connect_timeout": "10", "application_name": "bomtui"}


def server_engine(place: Place) -> Engine:
    """Return an engine that finds its server again after it was away.

    Raises:
        CatalogError: The address cannot be read, or the driver is not installed.
    """
    try:
        url = make_url(place.address).set(drivername="postgresql+psycopg")
    except ArgumentError:
        # What the library says repeats the address.
        raise CatalogError(f"the address of the catalog {place.name} cannot be read") from None
    url = url.update_query_dict({name: value for name, value in _DEFAULTS.items() if name not in url.query})
    try:
        engine = create_engine(url, pool_pre_ping=True, hide_parameters=True)
    except ImportError as error:
        message = f"the catalog {place.name} needs the PostgreSQL driver: install bomtui[team]"
        raise CatalogError(message) from error

    @event.listens_for(engine, "begin")
    def begin(connection: Connection) -> None:
        if connection.get_execution_options().get(READ_ONLY):
            connection.exec_driver_sql("SET TRANSACTION ISOLATION LEVEL REPEATABLE READ, READ ONLY")
            return
        connection.exec_driver_sql(f"SET LOCAL lock_timeout = '{_LOCK_TIMEOUT}'")
        connection.execute(text("SELECT pg_advisory_xact_lock(:number)"), {"number": WRITERS_LOCK})

    return engine
