"""Where a catalog is: a SQLite file or a database of a PostgreSQL server; and what of its address may be shown."""

import re
from dataclasses import dataclass, field
from pathlib import Path
from urllib.parse import parse_qsl, unquote, urlsplit

SERVER_SCHEMES = frozenset(("postgresql", "postgres"))
EXPECTED = "its path, sqlite:///PATH or postgresql://USER@HOST:PORT/DATABASE"

_ADDRESS = re.compile(r"([A-Za-z][A-Za-z0-9+.-]*)://(.*)", re.DOTALL)
_SECRET_OPTIONS = frozenset(("password", "sslpassword"))
_HIDDEN = "***"


class PlaceError(Exception):
    """An address that names no catalog; its text is one sentence that holds nothing secret."""


@dataclass(frozen=True, slots=True)
class Place:
    """Where a catalog is.

    Attributes:
        name: What is shown of it: a path, or an address without passwords and options.
        path: The file; None where it is a server.
        address: The address of a server as it was given, passwords and all; empty where it is a file.
        secrets: What must never be shown.
    """

    name: str
    path: Path | None = None
    address: str = field(default="", repr=False)
    secrets: tuple[str, ...] = field(default=(), repr=False)

    def cleared(self, text: str) -> str:
        """Return a text of somebody else without the secrets that it may repeat."""
        for secret in sorted(self.secrets, key=len, reverse=True):
            text = text.replace(secret, _HIDDEN)
        return text


def place_of(named: str | Path) -> Place:
    """Return the place that a path or an address names.

    Raises:
        PlaceError: It is the address of something else, or none that can be read.
    """
    if isinstance(named, Path):
        return Place(str(named), named)
    address = _ADDRESS.fullmatch(named)
    if address is None:
        return Place(named, Path(named))
    scheme, rest = address[1].lower(), address[2]
    if scheme == "sqlite" and rest.startswith("/") and len(rest) > 1:
        return Place(rest[1:], Path(rest[1:]))
    if scheme in SERVER_SCHEMES:
        return _server(named)
    # Only the scheme is shown: what follows it may hold a password.
    raise PlaceError(f"a catalog is a SQLite file or a PostgreSQL database: expected {EXPECTED}, found {scheme}://")


def shown_place(named: str) -> str:
    """Return what may be shown of a place; of an address that cannot be read no more than its scheme."""
    try:
        return place_of(named).name
    except PlaceError:
        return f"{named.partition('://')[0]}://"


def _server(named: str) -> Place:
    try:
        parts = urlsplit(named)
        port, host, user = parts.port, parts.hostname or "", unquote(parts.username or "")
        options = parse_qsl(parts.query, keep_blank_values=True)
    except ValueError as error:
        raise PlaceError(f"the address of the catalog cannot be read: expected {EXPECTED}") from error
    database = unquote(parts.path.removeprefix("/"))
    # A sign that belongs into a password must be written as %NN; one that is not cuts the address elsewhere.
    if not database or "/" in database or "@" in database or parts.fragment:
        raise PlaceError(
            f"the address of the catalog cannot be read: expected {EXPECTED}, with %NN for signs such as / ? # @ in a"
            " name or password"
        )
    given = [parts.password or "", *(value for name, value in options if name in _SECRET_OPTIONS)]
    secrets = {form for secret in given if secret for form in (secret, unquote(secret))}
    host = host or next((value for name, value in options if name == "host"), "")
    at = f"{user}@" if user else ""
    return Place(
        name=f"postgresql://{at}{host}{f':{port}' if port else ''}/{database}",
        address=named,
        secrets=tuple(secrets),
    )
