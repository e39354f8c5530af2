"""The schema of the catalog, step by step; the version that a file has reached is in its table `schema_version`."""

from collections.abc import Callable

from sqlalchemy import Connection, delete, insert, inspect, select

from bomtui.storage.catalog.engine import CatalogError, Database
from bomtui.storage.catalog.tables import SCHEMA_VERSION

# Each step is frozen once released: files that have taken it are in use. A change is a further step.
_FIRST = (
    """
    CREATE TABLE part (
        id INTEGER PRIMARY KEY,
        key TEXT NOT NULL,
        kind TEXT NOT NULL,
        family TEXT NOT NULL,
        maker TEXT NOT NULL,
        mpn TEXT NOT NULL,
        mpn_normal TEXT NOT NULL,
        description TEXT NOT NULL,
        package TEXT NOT NULL,
        grade TEXT,
        life_cycle TEXT,
        safety TEXT,
        origin TEXT NOT NULL CHECK (origin IN ('shipped', 'imported', 'edited')),
        origin_version TEXT NOT NULL,
        channels INTEGER,
        current_all_a REAL,
        current_limit_min_a REAL,
        rds_on_typ_ohm REAL,
        rds_on_max_ohm REAL,
        theta_ja_k_per_w REAL,
        operating_min_v REAL,
        operating_max_v REAL,
        absolute_max_v REAL,
        standby_typ_a REAL,
        standby_max_a REAL,
        gpio_pins INTEGER,
        pwm_pins INTEGER,
        adc_pins INTEGER,
        can_ports INTEGER,
        lin_ports INTEGER,
        ports INTEGER,
        output_v REAL,
        output_current_a REAL,
        drain_source_v REAL,
        ways INTEGER,
        search_text TEXT NOT NULL,
        params TEXT NOT NULL
    )
    """,
    # Keys are ids of a proposal file, which are unique without regard to capitals.
    "CREATE UNIQUE INDEX part_key ON part (key COLLATE NOCASE)",
    "CREATE INDEX part_kind ON part (kind)",
    "CREATE INDEX part_mpn_normal ON part (mpn_normal)",
    """
    CREATE TABLE price (
        part_id INTEGER NOT NULL REFERENCES part (id) ON DELETE CASCADE,
        quantity BIGINT NOT NULL,
        micro BIGINT NOT NULL,
        currency TEXT NOT NULL,
        PRIMARY KEY (part_id, quantity)
    ) WITHOUT ROWID
    """,
    "CREATE TABLE shipped (content_hash TEXT NOT NULL PRIMARY KEY)",
    """
    CREATE VIRTUAL TABLE part_search
    USING fts5(search_text, content='part', content_rowid='id', tokenize='trigram')
    """,
    """
    CREATE TRIGGER part_search_insert AFTER INSERT ON part BEGIN
        INSERT INTO part_search (rowid, search_text) VALUES (new.id, new.search_text);
    END
    """,
    """
    CREATE TRIGGER part_search_delete AFTER DELETE ON part BEGIN
        INSERT INTO part_search (part_search, rowid, search_text) VALUES ('delete', old.id, old.search_text);
    END
    """,
    """
    CREATE TRIGGER part_search_update AFTER UPDATE OF search_text ON part BEGIN
        INSERT INTO part_search (part_search, rowid, search_text) VALUES ('delete', old.id, old.search_text);
        INSERT INTO part_search (rowid, search_text) VALUES (new.id, new.search_text);
    END
    """,
)


def first(connection: Connection) -> None:
    """Make the tables of parts and prices, and the text index."""
    for statement in _FIRST:
        connection.exec_driver_sql(statement)


MIGRATIONS: tuple[Callable[[Connection], None], ...] = (first,)
"""The steps in order; the version of a file is the number of steps that it has taken."""


def migrate(database: Database) -> None:
    """Bring a file to the version of this program; a file that is there already is not written.

    Raises:
        CatalogError: The file was written by a newer program, holds something else, or cannot be used.
    """
    with database.reading() as connection:
        version = _version(database, connection)
    if version == len(MIGRATIONS):
        return
    with database.writing() as connection:
        # Another program may have brought it further since.
        version = _version(database, connection)
        if not version:
            SCHEMA_VERSION.create(connection)
        for step in MIGRATIONS[version:]:
            step(connection)
        connection.execute(delete(SCHEMA_VERSION))
        connection.execute(insert(SCHEMA_VERSION).values(version=len(MIGRATIONS)))


def _version(database: Database, connection: Connection) -> int:
    tables = inspect(connection).get_table_names()
    if SCHEMA_VERSION.name not in tables:
        if tables:
            raise CatalogError(f"the file {database.path} is a database of something else, not a catalog")
        return 0
    version = connection.execute(select(SCHEMA_VERSION.c.version)).scalar()
    if not isinstance(version, int):
        raise CatalogError(f"the file {database.path} is a database of something else, not a catalog")
    known = len(MIGRATIONS)
    if version > known:
        raise CatalogError(
            f"the catalog {database.path} was written by a newer program (its tables have version {version}, this "
            f"program knows {known}); use that program, or name another file"
        )
    return version
