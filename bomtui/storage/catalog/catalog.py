"""The catalog: parts by key, found by text, each with its origin."""

from collections.abc import Iterable, Iterator, Mapping, Sequence
from pathlib import Path
from types import TracebackType
from typing import Any, Self, TypeVar

from sqlalchemy import ColumnElement, Connection, RowMapping, bindparam, delete, func, insert, null, select, update

from bomtui.model.ids import ID_RULE, is_id
from bomtui.model.part import Part
from bomtui.storage.catalog.answers import BuildReport, Page, Row
from bomtui.storage.catalog.bulk import insert_all
from bomtui.storage.catalog.engine import Database
from bomtui.storage.catalog.faults import CatalogError, ConflictError, ReadOnlyError
from bomtui.storage.catalog.filters import Limit, Mark, Order, beyond, condition, expression, ordering
from bomtui.storage.catalog.history import (
    Changed,
    Former,
    Stand,
    StepRow,
    formers,
    last,
    mark_undone,
    record,
    steps,
)
from bomtui.storage.catalog.migrations import migrate
from bomtui.storage.catalog.rows import ORIGINS, keepable, normal_mpn, params_of, part_of, part_row, price_rows
from bomtui.storage.catalog.search import conditions, matches, server_conditions
from bomtui.storage.catalog.tables import PART, PRICE, SEARCH, SHIPPED
from bomtui.storage.field_text import shown
from bomtui.storage.shipped import read_shipped_catalog, shipped_catalog_hash

PAGE_ROWS = 100
"""Rows of a page where the caller names no limit."""

_SHIPPED_ORIGIN = "shipped"
_KEYS_AT_ONCE = 500
_VERSION_LENGTH = 12
_VERBS = {"imported": "import", "edited": "edit"}
_NAMES = 3
"""Keys that a sentence names."""

ItemT = TypeVar("ItemT")


class Catalog:
    """The catalog in one SQLite file, or in a database of a PostgreSQL server.

    Args:
        place: Path of the file, `sqlite:///PATH`, or `postgresql://USER@HOST/DATABASE`; what is not there is made.
        team_agrees: Whether an older database of a server may be brought to the version of this program.

    Attributes:
        shipped: What `open_catalog` did to bring the shipped parts up to date; None where they were.
        is_behind: Whether they are not, and may not be brought so.
        copy: The copy of a file whose tables were brought to a newer version; None where they were not.

    Raises:
        CatalogError: The file cannot be used; one sentence says why. So does every method.
    """

    def __init__(self, place: str | Path, *, team_agrees: bool = False) -> None:
        self._database = Database(place)
        self.shipped: BuildReport | None = None
        self.is_behind = False
        try:
            self.copy = migrate(self._database, team_agrees=team_agrees)
        except CatalogError:
            self._database.close()
            raise

    def __enter__(self) -> Self:
        return self

    def __exit__(
        self, kind: type[BaseException] | None, error: BaseException | None, trace: TracebackType | None
    ) -> None:
        self.close()

    @property
    def name(self) -> str:
        """What may be shown of where it is."""
        return self._database.name

    def close(self) -> None:
        """Close it."""
        self._database.close()

    def build(
        self,
        parts: Mapping[str, Part],
        origin: str,
        version: str = "",
        *,
        seen: Mapping[str, Part | None] | None = None,
        made_at: str = "",
    ) -> BuildReport:
        """Write parts, all or none.

        A part replaces the one of the same key, except that a shipped part never replaces an imported or edited one.

        Args:
            parts: Parts by key.
            origin: One of `ORIGINS`.
            version: What they were taken from: a version, a file name.
            seen: What the catalog held when these parts were decided on, by key, None for no part; where it holds
                something else now, nothing is written. None: whatever it holds is replaced.
            made_at: When, for the history.

        Raises:
            ConflictError: Somebody else has changed one of the parts since.
        """
        if origin not in ORIGINS:
            raise CatalogError(f"a part is {', '.join(ORIGINS)}, not {shown(origin)}")
        version = keepable(version)
        with self._database.writing() as connection:
            there = self._rows_there(connection, {**parts, **(seen or {})})
            if seen is not None:
                _check_unchanged(seen, there)
            report, changed = _write(connection, parts, there, origin, version)
            if origin != _SHIPPED_ORIGIN:
                record(connection, _label(origin, version, changed), made_at, changed)
            return report

    def remove(self, seen: Mapping[str, Part], made_at: str = "") -> None:
        """Take parts out, all or none; shipped ones stay, as the program brings them along.

        Args:
            seen: What the catalog held of them when that was decided.
            made_at: When, for the history.

        Raises:
            ConflictError: Somebody else has changed one of the parts since.
        """
        with self._database.writing() as connection:
            there = self._rows_there(connection, seen)
            _check_unchanged(seen, there)
            shipped = [key for key in seen if there[key.casefold()]["origin"] == _SHIPPED_ORIGIN]
            if shipped:
                raise CatalogError(
                    f"part {shipped[0]} comes with the program and cannot be taken out; retire it instead"
                )
            changed = [Changed(key, _stand(there[key.casefold()]), None) for key in seen]
            for some in _slices(list(seen)):
                connection.execute(delete(PART).where(PART.c.key.in_(some)))
            # What somebody had made of a shipped part gives way to that part: the next opening looks.
            connection.execute(delete(SHIPPED))
            record(connection, f"take out {_named([own.key for own in changed])}", made_at, changed)

    def history(self, limit: int = PAGE_ROWS) -> list[StepRow]:
        """Return the last steps in which people changed parts, the newest first."""
        with self._database.reading() as connection:
            return steps(connection, limit)

    def formers(self, key: str) -> list[Former]:
        """Return what a part was before each step that changed it and was not taken back, the newest first."""
        with self._database.reading() as connection:
            return formers(connection, key)

    def undo(self, step_id: int | None = None) -> StepRow | None:
        """Take the last step back, all of it or nothing.

        Args:
            step_id: The step that is meant; None for whichever is the last one.

        Returns:
            The step; None where there is none.

        Raises:
            ConflictError: A part is not any more what that step made of it, or another step is the last one.
        """
        with self._database.writing() as connection:
            found = last(connection)
            if step_id is not None and (found is None or found[0].id != step_id):
                raise ConflictError("nothing was taken back: the last step is another one by now; look again")
            if found is None:
                return None
            step, changes = found
            new = [own.key for own in changes if own.before is None]
            for some in _slices(new):
                connection.execute(delete(PART).where(PART.c.key.in_(some)))
            by_source: dict[tuple[str, str], dict[str, Part]] = {}
            for own in changes:
                if own.before is not None:
                    source = (own.before.origin, own.before.version)
                    by_source.setdefault(source, {})[own.key] = part_of(own.key, own.before.params)
            for (origin, version), parts in by_source.items():
                _write(connection, parts, self._rows_there(connection, parts), origin, version, over=True)
            # The program may bring others along by now, or some of those that go: the next opening looks.
            connection.execute(delete(SHIPPED))
            mark_undone(connection, step.id)
            return step

    def update_shipped(self, parts: Mapping[str, Part], content_hash: str) -> BuildReport:
        """Make the shipped rows those of a shipped catalog; imported and edited rows stay as they are.

        Args:
            parts: All parts of the shipped catalog by key.
            content_hash: Hash of its content, by which `shipped_hash` tells it again.
        """
        with self._database.writing() as connection:
            there = self._rows_there(connection, parts)
            report, _ = _write(connection, parts, there, _SHIPPED_ORIGIN, content_hash[:_VERSION_LENGTH])
            keys = connection.execute(select(PART.c.key).where(PART.c.origin == _SHIPPED_ORIGIN)).scalars()
            gone = [key for key in keys if key not in parts]
            for some in _slices(gone):
                connection.execute(delete(PART).where(PART.c.key.in_(some)))
            connection.execute(delete(SHIPPED))
            connection.execute(insert(SHIPPED).values(content_hash=content_hash))
        return BuildReport(report.added, report.replaced, report.unchanged, report.kept, removed=len(gone))

    def shipped_hash(self) -> str:
        """Return the hash of the shipped catalog that was taken last; empty where none was."""
        with self._database.reading() as connection:
            return connection.execute(select(SHIPPED.c.content_hash)).scalar() or ""

    def get(self, key: str) -> Part | None:
        """Return the part of a key, or None."""
        return self.get_many((key,)).get(key)

    def get_many(self, keys: Iterable[str]) -> dict[str, Part]:
        """Return the parts of those keys that the catalog has, in the order of the keys."""
        wanted = list(dict.fromkeys(keys))
        found: dict[str, str] = {}
        with self._database.reading() as connection:
            for some in _slices(wanted):
                rows = connection.execute(select(PART.c.key, PART.c.params).where(*self._are(some)))
                found.update({row.key: row.params for row in rows})
        return {key: part_of(key, found[key]) for key in wanted if key in found}

    def keys_of_mpns(self, mpns: Iterable[str]) -> dict[str, tuple[str, ...]]:
        """Return the keys of the parts that have these maker part numbers, letter by letter, by part number."""
        wanted = dict.fromkeys(mpns)
        found: dict[str, tuple[str, ...]] = {}
        with self._database.reading() as connection:
            # Only the number without separators has an index.
            for some in _slices(list(dict.fromkeys(map(normal_mpn, wanted)))):
                alike = select(PART.c.mpn, PART.c.key).where(PART.c.mpn_normal.in_(some)).order_by(PART.c.id)
                for mpn, key in connection.execute(alike):
                    if mpn in wanted:
                        found[mpn] = (*found.get(mpn, ()), key)
        return found

    def origin_of(self, key: str) -> str | None:
        """Return where the part of a key comes from, or None where there is no such part."""
        with self._database.reading() as connection:
            origin: str | None = connection.execute(select(PART.c.origin).where(*self._are((key,)))).scalar()
        return origin

    def count(self, kind: str | None = None) -> int:
        """Count the parts, or those of one kind."""
        counted = select(func.count()).select_from(PART)
        if kind is not None:
            counted = counted.where(PART.c.kind == kind)
        with self._database.reading() as connection:
            return connection.execute(counted).scalar_one()

    def find(
        self,
        text: str = "",
        kind: str | None = None,
        limit: int = PAGE_ROWS,
        after: Mark | None = None,
        *,
        limits: Iterable[Limit] = (),
        order: Order | None = None,
    ) -> Page:
        """Return one page of the parts in which all words of a text occur and that keep all limits.

        Args:
            text: Fragments of key, part number, maker, kind, package or description, in any order and without regard to
                capitals; or a part number with other separators, or none. Empty: every part.
            kind: Only parts of this kind.
            limit: Rows of the page, at least 1.
            after: `Page.after` of the page before, asked for with the same words, limits and order.
            limits: What a part must keep; one of which it is unknown does not keep it.
            order: What the answer is ordered by; None for the order in which the parts came into the catalog.
        """
        question, further = ("", server_conditions(text)) if self._database.is_server else conditions(text)
        sorted_by = null() if order is None else expression(order.of)
        chosen = select(*(PART.c[name] for name in Row._fields), PART.c.id, sorted_by.label("sorted_by"))
        identity = PART.c.id
        if question:
            identity = SEARCH.c.rowid
            chosen = chosen.select_from(SEARCH.join(PART, SEARCH.c.rowid == PART.c.id)).where(matches(question))
        if kind is not None:
            chosen = chosen.where(PART.c.kind == kind)
        chosen = chosen.where(*further, *map(condition, limits))
        if after is not None:
            chosen = chosen.where(identity > after.id if order is None else beyond(order, after))
        chosen = chosen.order_by(identity) if order is None else chosen.order_by(*ordering(order))
        with self._database.reading() as connection:
            found = connection.execute(chosen.limit(max(limit, 1) + 1)).all()
        rows = found[: max(limit, 1)]
        more = Mark(rows[-1].sorted_by, rows[-1].id) if len(found) > len(rows) else None
        return Page(tuple(Row(*own[: len(Row._fields)]) for own in rows), more)

    def mark_of(self, key: str, order: Order | None = None) -> Mark | None:
        """Return the mark of a page that ends with a part; None where there is no part of that key.

        Args:
            key: Its key.
            order: What the answer is ordered by.
        """
        sorted_by = null() if order is None else expression(order.of)
        own = select(PART.c.id, sorted_by.label("sorted_by")).where(*self._are((key,)))
        with self._database.reading() as connection:
            row = connection.execute(own).first()
        return None if row is None else Mark(row.sorted_by, row.id)

    @property
    def _folded(self) -> ColumnElement[str]:
        """Return the key without capitals, of which each kind of database has an index of its own."""
        return func.lower(PART.c.key) if self._database.is_server else PART.c.key.collate("NOCASE")

    def _are(self, keys: Sequence[str]) -> tuple[ColumnElement[bool], ...]:
        """Return the conditions of parts with these very keys; only keys without capitals have an index."""
        return (self._folded.in_([key.lower() for key in keys]), PART.c.key.in_(keys))

    def _rows_there(self, connection: Connection, keys: Iterable[str]) -> dict[str, RowMapping]:
        """Return what the catalog holds for keys, by key without capitals."""
        columns = (PART.c.id, PART.c.key, PART.c.origin, PART.c.origin_version, PART.c.params)
        there: dict[str, RowMapping] = {}
        for some in _slices([key.lower() for key in keys]):
            found = connection.execute(select(*columns).where(self._folded.in_(some))).mappings()
            there.update({row["key"].casefold(): row for row in found})
        return there


def open_catalog(place: str | Path, *, team_agrees: bool = False) -> Catalog:
    """Open the catalog, and bring its shipped parts up to date where the program brings others along.

    Who may only read a catalog reads the shipped parts that it has.

    Args:
        place: As for `Catalog`.
        team_agrees: As for `Catalog`.

    Raises:
        CatalogError: The file cannot be used, or the installation's own parts are damaged.
    """
    catalog = Catalog(place, team_agrees=team_agrees)
    try:
        bring_up_to_date(catalog)
    except CatalogError:
        catalog.close()
        raise
    return catalog


def bring_up_to_date(catalog: Catalog) -> None:
    """Make the shipped parts of a catalog those of this program, where they are not.

    Raises:
        CatalogError: The catalog cannot be used, or the installation's own parts are damaged.
    """
    content_hash = shipped_catalog_hash()
    if content_hash and content_hash == catalog.shipped_hash():
        return
    parts, problems = read_shipped_catalog()
    if problems:
        more = f" (and {len(problems) - 1} more)" if len(problems) > 1 else ""
        raise CatalogError(f"the shipped catalog cannot be read: {problems[0]}{more}")
    try:
        catalog.shipped = catalog.update_shipped(parts, content_hash)
    except ReadOnlyError:
        catalog.is_behind = True


def _write(
    connection: Connection,
    parts: Mapping[str, Part],
    there: Mapping[str, RowMapping],
    origin: str,
    version: str,
    *,
    over: bool = False,
) -> tuple[BuildReport, list[Changed]]:
    """Write parts, and tell what that changed; a shipped one over another's only where that is said."""
    _check_keys(parts, there)
    next_id = connection.execute(select(func.coalesce(func.max(PART.c.id), 0))).scalar_one() + 1
    new: list[dict[str, Any]] = []
    changed: list[dict[str, Any]] = []
    prices: list[dict[str, Any]] = []
    told: list[Changed] = []
    kept = unchanged = 0
    for key, part in parts.items():
        before = there.get(key.casefold())
        if not over and before is not None and origin == _SHIPPED_ORIGIN and before["origin"] != _SHIPPED_ORIGIN:
            kept += 1
            continue
        row = part_row(key, part, origin, version)
        if before is None:
            row["id"] = next_id + len(new)
            new.append(row)
        elif (before["origin"], before["params"]) == (origin, row["params"]):
            unchanged += 1
            continue
        else:
            row["id"] = before["id"]
            changed.append(row)
        told.append(Changed(key, _stand(before), Stand(origin, version, row["params"])))
        prices += price_rows(key, row["id"], part)
    _replace(connection, changed)
    insert_all(connection, PART, new)
    insert_all(connection, PRICE, prices)
    return BuildReport(added=len(new), replaced=len(changed), unchanged=unchanged, kept=kept), told


def _check_keys(keys: Iterable[str], there: Mapping[str, RowMapping]) -> None:
    """Refuse keys that a proposal could not name, or that a proposal could not tell apart."""
    spelling = {folded: row["key"] for folded, row in there.items()}
    for key in keys:
        if not is_id(key):
            raise CatalogError(f"{shown(key)} is no key of a part: expected {ID_RULE}")
        other = spelling.setdefault(key.casefold(), key)
        if other != key:
            raise CatalogError(f"part {key} differs only in capital letters from part {other}")


def _replace(connection: Connection, rows: list[dict[str, Any]]) -> None:
    """Write rows over those of the same id, and take their prices away."""
    if not rows:
        return
    columns: dict[str, Any] = {name: bindparam(name) for name in rows[0] if name != "id"}
    statement = update(PART).where(PART.c.id == bindparam("row_id")).values(columns)
    connection.execute(statement, [{"row_id": row["id"], **row} for row in rows])
    for some in _slices([row["id"] for row in rows]):
        connection.execute(delete(PRICE).where(PRICE.c.part_id.in_(some)))


def _stand(row: RowMapping | None) -> Stand | None:
    return None if row is None else Stand(row["origin"], row["origin_version"], row["params"])


def _label(origin: str, version: str, changes: Sequence[Changed]) -> str:
    what = _named([own.key for own in changes])
    return f"import {what} from {version}" if origin == "imported" and version else f"{_VERBS[origin]} {what}"


def _named(keys: Sequence[str]) -> str:
    return ", ".join(keys) if len(keys) <= _NAMES else f"{len(keys)} parts"


def _check_unchanged(seen: Mapping[str, Part | None], there: Mapping[str, RowMapping]) -> None:
    """Refuse to write over what somebody else has written since it was looked at."""
    changed = []
    for key, part in seen.items():
        row = there.get(key.casefold())
        if row is not None and row["key"] != key:
            continue  # Another part, whose key differs in capitals only: that has a sentence of its own.
        if (None if row is None else row["params"]) != (None if part is None else params_of(part)):
            changed.append(key)
    if changed:
        names = ", ".join(changed[:_NAMES])
        more = f" and {len(changed) - _NAMES} more" if len(changed) > _NAMES else ""
        what = "parts that were" if len(changed) > 1 else "a part that was"
        raise ConflictError(
            f"nothing was written: somebody else has changed {what} looked at ({names}{more}); look again, then decide"
        )


def _slices(items: list[ItemT]) -> Iterator[list[ItemT]]:
    """Cut a list into pieces that one statement can take."""
    for start in range(0, len(items), _KEYS_AT_ONCE):
        yield items[start : start + _KEYS_AT_ONCE]
