"""What a database library reports, in one sentence for the person before the screen."""

from sqlalchemy.exc import DBAPIError

from bomtui.storage.catalog_place import Place

LOCKED = "is locked"
_WAIT = "another program is writing to it; try again in a moment"
_GONE = "the connection to its server was lost; nothing of this step was kept, try again"
_UNSURE = (
    "the connection to its server was lost while the last step was being kept; look whether it was before you repeat it"
)
_MAY_NOT = "you may read it but not write it; ask who keeps it for the right to do so"

# What SQLite says, and what it means.
_OF_FILE = (
    (LOCKED, _WAIT),
    ("not a database", "it is not a catalog; move it away and a new one is made from the shipped parts"),
    ("malformed", "it is damaged; move it away and a new one is made from the shipped parts"),
    ("unable to open", "it cannot be opened for reading and writing; check that it is a file and may be written"),
    ("readonly", "it may not be written; check the rights of the file and its folder"),
    ("is full", "there is no room left on the disk"),
    ("fts5", "this Python's SQLite has no text search (FTS5)"),
    ("tokenizer", "this Python's SQLite is older than 3.34 and cannot search for fragments of text"),
)
# SQLSTATE of PostgreSQL (its manual, appendix A), longest first, and what it means.
_OF_SERVER = (
    ("42501", _MAY_NOT),
    ("25006", _MAY_NOT),
    ("55P03", _WAIT),
    ("40001", _WAIT),
    ("40P01", _WAIT),
    ("53100", "there is no room left on the disk of its server"),
    ("22021", "its database cannot hold every sign of a text; it must have been made with the encoding UTF8"),
    ("22P05", "its database cannot hold every sign of a text; it must have been made with the encoding UTF8"),
    ("57P", _GONE),
    ("08", _GONE),
)
_READ_ONLY_STATES = frozenset(("42501", "25006"))


class CatalogError(Exception):
    """A catalog that cannot be read or written; its text is one sentence for the person who uses it."""


class ReadOnlyError(CatalogError):
    """A catalog that may be read and not written."""


class ConflictError(CatalogError):
    """A part that somebody else has changed since it was looked at."""


def fault(place: Place, error: DBAPIError, *, keeping: bool = False) -> CatalogError:
    """Word what the database library reports.

    Args:
        place: Where the catalog is.
        error: What the library raised.
        keeping: Whether it was raised while a transaction was being kept.
    """
    said = place.cleared(str(error.orig)).strip()
    if place.path is not None:
        reason = next((reason for mark, reason in _OF_FILE if mark in said), said)
        kind: type[CatalogError] = ReadOnlyError if "readonly" in said else CatalogError
        return kind(f"the catalog {place.name} cannot be used: {reason}")
    state = getattr(error.orig, "sqlstate", None) or ""
    reason = next((reason for mark, reason in _OF_SERVER if state.startswith(mark)), "")
    if error.connection_invalidated or (not state and _was_lost(said)):
        reason = _GONE
    if reason == _GONE and keeping:
        reason = _UNSURE
    if not reason:
        # The first line says what is wrong; what follows are hints to who keeps the server.
        first = next(iter(said.splitlines()), "it gives no reason").strip()
        reason = first if state else f"its server cannot be reached ({first})"
    kind = ReadOnlyError if state in _READ_ONLY_STATES else CatalogError
    return kind(f"the catalog {place.name} cannot be used: {reason}")


def _was_lost(said: str) -> bool:
    return "server closed the connection" in said or "connection is closed" in said or "connection is lost" in said
