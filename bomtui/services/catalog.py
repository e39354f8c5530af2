"""The catalog of parts: built from the parts that the program brings along, searched, and shown part by part.

Nothing here enters a figure: a proposal is computed with its frozen parts only.
"""

import os
from collections.abc import Iterable, Iterator
from contextlib import contextmanager
from dataclasses import dataclass
from typing import TYPE_CHECKING

from bomtui.engine.price import rung_of
from bomtui.model.fields import field_table
from bomtui.model.ids import natural_key
from bomtui.model.part import PART_KINDS, Part
from bomtui.services.catalog_query import HOT, PRICE, asked_of, hot_rds_on_ohm, limit_of, order_of
from bomtui.services.errors import BomtuiError, UnknownNameError
from bomtui.services.part_words import kind_words
from bomtui.services.present import value_text
from bomtui.storage.catalog_place import shown_place
from bomtui.storage.field_writing import is_left_out, write_field
from bomtui.storage.shipped import read_shipped_catalog, shipped_catalog_hash

if TYPE_CHECKING:
    from bomtui.storage.catalog import Catalog
    from bomtui.storage.catalog.filters import Mark

PLACE_VARIABLE = "BOMTUI_CATALOG"
"""Environment variable that names another catalog: a file, or a database of a PostgreSQL server."""

PAGE_ROWS = 100

BEHIND = (
    "The shipped parts of this catalog are those of another version of the program, and you may not write it: who may"
    " brings them up to date with `bomtui catalog build`."
)

KIND_ROWS = 1000
"""Parts of one kind that a choice of parts starts from."""


@dataclass(frozen=True, slots=True)
class BuildResult:
    """What a build did.

    Attributes:
        catalog: What may be shown of where the catalog is.
        parts: Parts in it.
        added: Parts that were not there before.
        replaced: Shipped parts that are others now.
        unchanged: Shipped parts that were there already.
        kept: Imported or edited parts that a shipped one of the same key left alone.
        removed: Shipped parts that the program no longer brings along.
        copy: Copy of a file whose tables were brought to a newer version; empty where they were not.
    """

    catalog: str
    parts: int
    added: int
    replaced: int
    unchanged: int
    kept: int
    removed: int
    copy: str


@dataclass(frozen=True, slots=True)
class FoundPart:
    """What a list shows of a part.

    Attributes:
        key: Its key.
        kind: Its kind.
        maker: Its maker.
        mpn: Its maker part number.
        description: One line.
        life_cycle: Its life cycle; empty where it is unknown.
        origin: Where the row comes from.
        asked: What the wish wants shown, and what its filters and its order name, with its value as written; empty
            where it is unknown.
    """

    key: str
    kind: str
    maker: str
    mpn: str
    description: str
    life_cycle: str
    origin: str
    asked: tuple[tuple[str, str], ...]


@dataclass(frozen=True, slots=True)
class FoundParts:
    """Some parts of an answer.

    Attributes:
        parts: The parts.
        after: Where the parts that follow begin; None where there are none.
        remark: What is to be known of the catalog, in one sentence; empty for nothing.
    """

    parts: tuple[FoundPart, ...]
    after: "Mark | None"
    remark: str

    @property
    def more(self) -> bool:
        """Whether there are more."""
        return self.after is not None


@dataclass(frozen=True, slots=True)
class ShownPart:
    """A part of the catalog.

    Attributes:
        key: Its key.
        origin: Where the row comes from: shipped, imported or edited.
        part: The part.
        fields: Key and text of every field that says something, in the order of the field table.
    """

    key: str
    origin: str
    part: Part
    fields: tuple[tuple[str, str], ...]


@dataclass(frozen=True, slots=True)
class PartsOfKinds:
    """Parts that a choice starts from.

    Attributes:
        parts: The parts by catalog key.
        cut: Kinds of which the catalog has more than these.
        limit: How many of each kind there are at most.
        catalog_remark: What is to be known of the catalog, in one sentence; empty for nothing.
    """

    parts: dict[str, Part]
    cut: tuple[str, ...]
    limit: int
    catalog_remark: str

    @property
    def remark(self) -> str:
        """That not all parts are offered, and what is to be known of the catalog; empty for nothing."""
        if not self.cut:
            return self.catalog_remark
        kinds = ", ".join(map(kind_words, self.cut))
        limited = f"Only the first {self.limit} parts of a kind are offered: the catalog has more of {kinds}."
        return f"{limited} {self.catalog_remark}".rstrip()


def catalog_place() -> str:
    """Return where the catalog is: what the environment names, or a file in the person's data folder.

    It may hold a password; `catalog_name` is what may be shown.
    """
    named = os.environ.get(PLACE_VARIABLE, "")
    if named:
        return named
    from platformdirs import user_data_path

    return str(user_data_path("bomtui", appauthor=False) / "catalog.sqlite")


def catalog_name(place: str | None = None) -> str:
    """Return what may be shown of where a catalog is; of the usual place where none is named."""
    return shown_place(place or catalog_place())


def build(place: str | None = None, *, team_agrees: bool = False) -> BuildResult:
    """Make the catalog's shipped parts those of this program; imported and edited parts stay as they are.

    Args:
        place: Where the catalog is; None for the usual place.
        team_agrees: Whether an older database of a server may be brought to the version of this program, after which
            older programs cannot use it.

    Raises:
        BomtuiError: The catalog, or the program's own parts, cannot be used.
    """
    with opened(place, team_agrees=team_agrees) as catalog:
        report = catalog.shipped
        if report is None:
            parts, problems = read_shipped_catalog()
            if problems:
                raise BomtuiError("the shipped catalog is damaged", problems)
            report = catalog.update_shipped(parts, shipped_catalog_hash())
        return BuildResult(
            catalog=catalog.name,
            parts=catalog.count(),
            added=report.added,
            replaced=report.replaced,
            unchanged=report.unchanged,
            kept=report.kept,
            removed=report.removed,
            copy="" if catalog.copy is None else str(catalog.copy),
        )


@dataclass(frozen=True, slots=True)
class Wish:
    """What is looked for in the catalog.

    Attributes:
        text: Fragments of key, part number, maker, kind, package or description; empty for every part.
        kind: Only parts of this kind.
        where: Filters as people write them, each of which a part must keep.
        sort: Name that the answer is ordered by, with a minus before it where the largest comes first; empty for the
            order in which the parts came into the catalog.
        quantity: Pieces of an order, at which prices are read.
        currency: Currency in which prices are ordered.
        shown: Further names whose values are given with each part.
    """

    text: str = ""
    kind: str | None = None
    where: tuple[str, ...] = ()
    sort: str = ""
    quantity: int = 1
    currency: str = "EUR"
    shown: tuple[str, ...] = ()


def find(wish: Wish, limit: int = PAGE_ROWS, after: "Mark | str | None" = None, place: str | None = None) -> FoundParts:
    """Find one page of parts.

    Args:
        wish: What is looked for.
        limit: How many at most.
        after: `FoundParts.after` of the page before, or the key of its last part, for the same wish.
        place: Where the catalog is; None for the usual place.

    Raises:
        UnknownNameError: There is no such kind, or no part of the key.
        BomtuiError: A filter or order cannot be read, or the catalog cannot be used.
    """
    kind = wish.kind
    if kind is not None and kind not in PART_KINDS:
        raise UnknownNameError(f"there is no kind '{kind}'; the kinds are {', '.join(PART_KINDS)}")
    asked = tuple(dict.fromkeys((*wish.shown, *asked_of(wish.where, wish.sort))))
    limits = [limit_of(text, wish.quantity) for text in wish.where]
    order = order_of(wish.sort, wish.quantity, wish.currency) if wish.sort else None
    with opened(place) as catalog:
        mark = catalog.mark_of(after, order) if isinstance(after, str) else after
        if isinstance(after, str) and mark is None:
            raise UnknownNameError(f"the catalog has no part '{after}' after which a page could begin")
        page = catalog.find(wish.text, kind, limit, mark, limits=limits, order=order)
        there = catalog.get_many(row.key for row in page.rows) if asked else {}
        remark = _remark(catalog)
    parts = tuple(
        FoundPart(
            key=row.key,
            kind=row.kind,
            maker=row.maker,
            mpn=row.mpn,
            description=row.description,
            life_cycle=row.life_cycle or "",
            origin=row.origin,
            asked=_asked(there[row.key], asked, wish.quantity) if asked else (),
        )
        for row in page.rows
    )
    return FoundParts(parts, after=page.after, remark=remark)


def _asked(part: Part, names: tuple[str, ...], quantity: int) -> tuple[tuple[str, str], ...]:
    fields = dict(part_fields(part))
    rung, _ = rung_of(part.breaks, quantity)
    fields[PRICE] = "" if rung is None else f"{rung.price} {part.currency}"
    hot_ohm = hot_rds_on_ohm(part)
    fields[HOT] = "" if hot_ohm is None else value_text(hot_ohm, "resistance")
    # Of a parameter the value that the filter looked at: its side, or the one value that is given.
    return tuple((name, next((fields[key] for key in _sides(name) if fields.get(key)), "")) for name in names)


def _sides(name: str) -> tuple[str, ...]:
    field, _, side = name.partition(".")
    if name == HOT:
        return (name,)
    return (name, f"{field}.typ", f"{field}.max") if side in {"", "max"} else (name, f"{field}.max")


def _remark(catalog: "Catalog") -> str:
    return BEHIND if catalog.is_behind else ""


def parts_of_kinds(kinds: Iterable[str], limit: int = KIND_ROWS, place: str | None = None) -> PartsOfKinds:
    """Return parts of some kinds, whole, by catalog key.

    Args:
        kinds: The kinds.
        limit: How many of each kind at most.
        place: Where the catalog is; None for the usual place.

    Raises:
        BomtuiError: The catalog cannot be used.
    """
    with opened(place) as catalog:
        pages = {kind: catalog.find(kind=kind, limit=limit) for kind in dict.fromkeys(kinds)}
        parts = catalog.get_many(row.key for page in pages.values() for row in page.rows)
        remark = _remark(catalog)
    return PartsOfKinds(parts, tuple(kind for kind, page in pages.items() if page.after is not None), limit, remark)


def parts_of_keys(keys: Iterable[str], place: str | None = None) -> dict[str, Part]:
    """Return the parts of those keys that the catalog has, in the order of the keys.

    Raises:
        BomtuiError: The catalog cannot be used.
    """
    with opened(place) as catalog:
        return catalog.get_many(keys)


def show(key: str, place: str | None = None) -> ShownPart:
    """Return a part by its key.

    Raises:
        UnknownNameError: There is none of that key.
        BomtuiError: The catalog cannot be used.
    """
    with opened(place) as catalog:
        part, origin = catalog.get(key), catalog.origin_of(key)
        if part is None or origin is None:
            near = sorted((row.key for row in catalog.find(key, limit=3).rows), key=natural_key)
            hint = f"; near are {', '.join(near)}" if near else ""
            raise UnknownNameError(f"the catalog has no part '{key}'{hint}")
    return ShownPart(key, origin, part, part_fields(part))


def part_fields(part: Part) -> tuple[tuple[str, str], ...]:
    """Return key and text of every field of a part that says something."""
    rows: list[tuple[str, str]] = []
    for info in field_table(Part):
        value = getattr(part, info.name)
        if is_left_out(info, value):
            continue
        if info.record is not None and info.shape == "records":
            for name in sorted(value, key=natural_key):
                for inner in field_table(info.record):
                    entry = getattr(value[name], inner.name)
                    if not is_left_out(inner, entry):
                        rows.extend(_rows(f"{info.key}.{name}.{inner.key}", write_field(inner, entry)))
            continue
        rows.extend(_rows(info.key, write_field(info, value)))
    return tuple(rows)


def _rows(key: str, written: object) -> Iterator[tuple[str, str]]:
    if isinstance(written, dict):
        for name, entry in written.items():
            yield from _rows(f"{key}.{name}", entry)
    elif isinstance(written, list):
        yield key, ", ".join(map(str, written))
    elif isinstance(written, bool):
        yield key, "yes" if written else "no"
    else:
        yield key, str(written)


@contextmanager
def opened(place: str | None, *, team_agrees: bool = False) -> Iterator["Catalog"]:
    """Open the catalog for as long as a block of code works with it.

    Args:
        place: Where the catalog is; None for the usual place.
        team_agrees: Whether an older database of a server may be brought to the version of this program.

    Raises:
        BomtuiError: The catalog cannot be used.
    """
    # Only who asks for the catalog waits for the database library.
    from bomtui.storage.catalog import CatalogError, open_catalog

    try:
        with open_catalog(place or catalog_place(), team_agrees=team_agrees) as catalog:
            yield catalog
    except CatalogError as error:
        raise BomtuiError(str(error)) from error
