"""The schema of the catalog, step by step; the version that a database has reached is in its table `schema_version`."""

import sqlite3
from collections.abc import Mapping
from dataclasses import dataclass
from pathlib import Path

from sqlalchemy import Connection, delete, insert, inspect, select, text
from sqlalchemy.exc import DBAPIError

from bomtui.storage.catalog.engine import Database
from bomtui.storage.catalog.faults import CatalogError
from bomtui.storage.catalog.sqlite_file import backed_up
from bomtui.storage.catalog.tables import SCHEMA_VERSION

FILE, SERVER = "sqlite", "postgresql"

_LACKING = frozenset(("42501", "42704", "58P01", "0A000"))
"""SQLSTATE of what a role may not do, and of an extension that is not installed (PostgreSQL's manual, appendix A)."""

# Each step is frozen once released: databases that have taken it are in use. A change is a further step.
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


_FIRST_ON_SERVER = (
    """
    CREATE TABLE part (
        id BIGINT PRIMARY KEY,
        key TEXT COLLATE "C" NOT NULL,
        kind TEXT COLLATE "C" NOT NULL,
        family TEXT COLLATE "C" NOT NULL,
        maker TEXT COLLATE "C" NOT NULL,
        mpn TEXT COLLATE "C" NOT NULL,
        mpn_normal TEXT COLLATE "C" NOT NULL,
        description TEXT COLLATE "C" NOT NULL,
        package TEXT COLLATE "C" NOT NULL,
        grade TEXT COLLATE "C",
        life_cycle TEXT COLLATE "C",
        safety TEXT COLLATE "C",
        origin TEXT COLLATE "C" NOT NULL CHECK (origin IN ('shipped', 'imported', 'edited')),
        origin_version TEXT COLLATE "C" NOT NULL,
        channels BIGINT,
        current_all_a DOUBLE PRECISION,
        current_limit_min_a DOUBLE PRECISION,
        rds_on_typ_ohm DOUBLE PRECISION,
        rds_on_max_ohm DOUBLE PRECISION,
        theta_ja_k_per_w DOUBLE PRECISION,
        operating_min_v DOUBLE PRECISION,
        operating_max_v DOUBLE PRECISION,
        absolute_max_v DOUBLE PRECISION,
        standby_typ_a DOUBLE PRECISION,
        standby_max_a DOUBLE PRECISION,
        gpio_pins BIGINT,
        pwm_pins BIGINT,
        adc_pins BIGINT,
        can_ports BIGINT,
        lin_ports BIGINT,
        ports BIGINT,
        output_v DOUBLE PRECISION,
        output_current_a DOUBLE PRECISION,
        drain_source_v DOUBLE PRECISION,
        ways BIGINT,
        search_text TEXT COLLATE "C" NOT NULL,
        params TEXT COLLATE "C" NOT NULL
    )
    """,
    # Order by letters is that of their code points, as in a file, whatever the server's language is.
    "CREATE UNIQUE INDEX part_key ON part (lower(key))",
    "CREATE INDEX part_kind ON part (kind)",
    "CREATE INDEX part_mpn_normal ON part (mpn_normal)",
    """
    CREATE TABLE price (
        part_id BIGINT NOT NULL REFERENCES part (id) ON DELETE CASCADE,
        quantity BIGINT NOT NULL,
        micro BIGINT NOT NULL,
        currency TEXT COLLATE "C" NOT NULL,
        PRIMARY KEY (part_id, quantity)
    )
    """,
    'CREATE TABLE shipped (content_hash TEXT COLLATE "C" NOT NULL PRIMARY KEY)',
)

_HISTORY = (
    """
    CREATE TABLE step (
        id BIGINT PRIMARY KEY,
        made_at TEXT{letters} NOT NULL,
        label TEXT{letters} NOT NULL,
        undone BIGINT NOT NULL
    )
    """,
    """
    CREATE TABLE change (
        step_id BIGINT NOT NULL REFERENCES step (id),
        key TEXT{letters} NOT NULL,
        before_origin TEXT{letters},
        before_version TEXT{letters},
        before_params TEXT{letters},
        after_digest TEXT{letters},
        PRIMARY KEY (step_id, key)
    )
    """,
    "CREATE INDEX change_key ON change (key)",
)


def _lettered(statements: tuple[str, ...], letters: str) -> tuple[str, ...]:
    return tuple(statement.format(letters=letters) for statement in statements)


@dataclass(frozen=True, slots=True)
class Step:
    """One step of the schema.

    Attributes:
        statements: What makes it, by the kind of database.
        indices: What makes searching faster and may fail, on a server whose role or installation lacks for it.
    """

    statements: Mapping[str, tuple[str, ...]]
    indices: tuple[str, ...] = ()

    def take(self, connection: Connection) -> None:
        """Take the step."""
        kind = connection.dialect.name
        for statement in self.statements[kind]:
            connection.exec_driver_sql(statement)
        if kind == SERVER and self.indices:
            _try(connection, self.indices)


MIGRATIONS: tuple[Step, ...] = (
    Step(
        {FILE: _FIRST, SERVER: _FIRST_ON_SERVER},
        # Fragments of text are found without it too, by reading every part.
        indices=(
            "CREATE EXTENSION IF NOT EXISTS pg_trgm",
            "CREATE INDEX part_search ON part USING gin (search_text gin_trgm_ops)",
        ),
    ),
    Step({FILE: _lettered(_HISTORY, ""), SERVER: _lettered(_HISTORY, ' COLLATE "C"')}),
)
"""The steps in order; the version of a database is the number of steps that it has taken."""


def migrate(database: Database, *, team_agrees: bool = False) -> Path | None:
    """Bring a database to the version of this program; one that is there already is not written.

    A file is copied before. A database of a server is everybody's: an older one is brought further only where the team
    agrees, as programs that do not know the new version can no longer use it; its backup is that of the server.

    Args:
        database: The database.
        team_agrees: Whether an older database of a server may be brought further.

    Returns:
        The copy of the file as it was; None where none was needed.

    Raises:
        CatalogError: It was written by a newer program, holds something else, may not be brought further, or cannot be
            used.
    """
    with database.reading() as connection:
        version = _version(database, connection)
        if not version and database.is_server:
            _check_encoding(database, connection)
    known = len(MIGRATIONS)
    if version == known:
        return None
    if version and database.is_server and not team_agrees:
        raise CatalogError(
            f"the catalog {database.name} has tables of version {version} and this program needs {known}: have it"
            " backed up, then `bomtui catalog build --migrate` brings it further; older programs cannot use it then"
        )
    copy = _copied(database, version) if version else None
    with database.writing() as connection:
        # Another program may have brought it further since.
        version = _version(database, connection)
        if not version:
            SCHEMA_VERSION.create(connection)
        for step in MIGRATIONS[version:]:
            step.take(connection)
        connection.execute(delete(SCHEMA_VERSION))
        connection.execute(insert(SCHEMA_VERSION).values(version=known))
    return copy


def _copied(database: Database, version: int) -> Path | None:
    path = database.place.path
    if path is None:
        return None
    try:
        return backed_up(path, version)
    except (OSError, sqlite3.Error) as error:
        message = (
            f"the catalog {database.name} is not brought to version {len(MIGRATIONS)}: no copy can be made ({error})"
        )
        raise CatalogError(message) from error


def _try(connection: Connection, statements: tuple[str, ...]) -> None:
    """Take statements for which the rights, or a part of the installation, may be lacking: all or none of them."""
    try:
        with connection.begin_nested():
            for statement in statements:
                connection.exec_driver_sql(statement)
    except DBAPIError as error:
        if getattr(error.orig, "sqlstate", None) not in _LACKING:
            raise


def _check_encoding(database: Database, connection: Connection) -> None:
    encoding = connection.execute(text("SHOW server_encoding")).scalar()
    if encoding != "UTF8":
        raise CatalogError(
            f"the database {database.name} cannot hold every sign of a text: expected the encoding UTF8, found"
            f" {encoding}"
        )


def _version(database: Database, connection: Connection) -> int:
    tables = inspect(connection).get_table_names()
    if SCHEMA_VERSION.name not in tables:
        if tables:
            raise CatalogError(f"{database.name} is a database of something else, not a catalog")
        return 0
    version = connection.execute(select(SCHEMA_VERSION.c.version)).scalar()
    if not isinstance(version, int):
        raise CatalogError(f"{database.name} is a database of something else, not a catalog")
    known = len(MIGRATIONS)
    if version > known:
        raise CatalogError(
            f"the catalog {database.name} was written by a newer program (its tables have version {version}, this "
            f"program knows {known}); use that program, or name another catalog"
        )
    return version
