"""Keeping the catalog: adding, editing, retiring and taking out parts, its history, doubles, and its export.

The catalog has a history of its own: undo in a proposal never reaches it, and `undo` here never reaches a proposal.
"""

import datetime
import tomllib
from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass
from pathlib import Path
from typing import TYPE_CHECKING, Any

import msgspec

from bomtui.model.part import PART_KINDS, Part
from bomtui.services.catalog import opened
from bomtui.services.errors import BomtuiError, UnknownNameError
from bomtui.services.refresh import FieldChange, field_changes
from bomtui.storage import atomic
from bomtui.storage.frozen_parts import parts_text
from bomtui.storage.problems import Fault, Problem
from bomtui.storage.records import read_record
from bomtui.storage.tabular.own_parts import EXPORT_SUFFIX

if TYPE_CHECKING:
    from bomtui.storage.catalog import Catalog, Row
    from bomtui.storage.catalog.history import StepRow

_PAGE_ROWS = 1000
RETIRED = "obsolete"
_ORIGIN = "edited"
_PRICE = frozenset(("breaks", "currency"))
_ALIKE = str.maketrans({"O": "0", "I": "1", "L": "1"})
"""Letters that are written for digits, and the other way round."""


@dataclass(frozen=True, slots=True)
class PastChange:
    """What one step changed in one part.

    Attributes:
        made_at: When.
        label: What the step did.
        is_new: Whether the part was not there before.
        changes: What differs, prices first.
    """

    made_at: str
    label: str
    is_new: bool
    changes: tuple[FieldChange, ...]


@dataclass(frozen=True, slots=True)
class Double:
    """Parts that may be one and the same.

    Attributes:
        number: Their part number without what is written in several ways.
        keys: Their keys.
        mpns: Their part numbers as written.
        makers: Their makers.
    """

    number: str
    keys: tuple[str, ...]
    mpns: tuple[str, ...]
    makers: tuple[str, ...]


def add_part(key: str, kind: str, fields: Mapping[str, str], place: str | None = None) -> tuple[FieldChange, ...]:
    """Add a part, as one step of the catalog's history.

    Args:
        key: Its key.
        kind: Its kind.
        fields: Texts of fields by name, as `rds_on.typ`.
        place: Where the catalog is; None for the usual place.

    Returns:
        What it says.

    Raises:
        UnknownNameError: There is such a part already, or no such kind.
        BomtuiError: A field cannot be read, or the catalog cannot be written.
    """
    with opened(place) as catalog:
        if catalog.get(key) is not None:
            raise UnknownNameError(f"the catalog has a part '{key}' already")
        if kind not in PART_KINDS:
            raise UnknownNameError(f"there is no kind '{kind}'; the kinds are {', '.join(PART_KINDS)}")
        start = Part(kind=kind)
        part = _edited(key, start, fields)
        catalog.build({key: part}, _ORIGIN, seen={key: None}, made_at=_now())
    return field_changes(start, part)


def edit_parts(
    keys: Sequence[str], fields: Mapping[str, str], place: str | None = None
) -> dict[str, tuple[FieldChange, ...]]:
    """Change the same fields of some parts, all or none, as one step of the catalog's history.

    Args:
        keys: Their keys.
        fields: Texts of fields by name, as `rds_on.typ`; an empty text takes a field away.
        place: Where the catalog is; None for the usual place.

    Returns:
        What changed in each.

    Raises:
        UnknownNameError: There is no part of one of the keys.
        BomtuiError: A field cannot be read, or the catalog cannot be written.
    """
    with opened(place) as catalog:
        before = catalog.get_many(keys)
        for key in keys:
            if key not in before:
                raise UnknownNameError(f"the catalog has no part '{key}'; a new one needs its kind")
        after = {key: _edited(key, part, fields) for key, part in before.items()}
        changed = {key: part for key, part in after.items() if part != before[key]}
        if changed:
            seen = {key: before[key] for key in changed}
            catalog.build(changed, _ORIGIN, seen=seen, made_at=_now())
    return {key: field_changes(before[key], part) for key, part in after.items()}


def retire_parts(keys: Sequence[str], place: str | None = None) -> dict[str, tuple[FieldChange, ...]]:
    """Say of parts that they are not made any more; they stay, for proposals that use them."""
    return edit_parts(keys, {"life_cycle": RETIRED}, place)


def take_out(keys: Sequence[str], place: str | None = None, seen: Mapping[str, Part] | None = None) -> None:
    """Take parts out of the catalog, all or none; proposals keep their own copies.

    Args:
        keys: Their keys.
        place: Where the catalog is; None for the usual place.
        seen: The parts as they were looked at; None: whatever the catalog holds of them goes.

    Raises:
        UnknownNameError: The catalog lacks one of them.
        BomtuiError: One comes with the program or has changed since it was looked at, or the catalog cannot be written.
    """
    with opened(place) as catalog:
        there = catalog.get_many(keys)
        for key in keys:
            if key not in there:
                raise UnknownNameError(f"the catalog has no part '{key}'")
        catalog.remove(there if seen is None else seen, made_at=_now())
        _bring_up_to_date(catalog)


def history(limit: int, place: str | None = None) -> tuple["StepRow", ...]:
    """Return the last steps in which people changed parts, the newest first."""
    with opened(place) as catalog:
        return tuple(catalog.history(limit))


def part_history(key: str, place: str | None = None) -> tuple[PastChange, ...]:
    """Return what every step changed in one part, prices with their dates among it, the newest first."""
    with opened(place) as catalog:
        later, formers = catalog.get(key), catalog.formers(key)
    found = []
    for own in formers:
        before = own.part
        # A step after which it was gone changed no field.
        start = before if before is not None or later is None else Part(kind=later.kind)
        changes = () if start is None or later is None else field_changes(start, later)
        found.append(PastChange(own.step.made_at, own.step.label, before is None, changes))
        later = before
    return tuple(found)


def undo(place: str | None = None, step_id: int | None = None) -> str:
    """Take the last step of the catalog's history back, all of it or nothing.

    Args:
        place: Where the catalog is; None for the usual place.
        step_id: The step that is meant; None for whichever is the last one.

    Returns:
        What the step had done; empty where there is none.

    Raises:
        BomtuiError: A part has changed again since, another step is the last one, or the catalog cannot be written.
    """
    with opened(place) as catalog:
        step = catalog.undo(step_id)
        _bring_up_to_date(catalog)
    return "" if step is None else step.label


def doubles(place: str | None = None) -> tuple[Double, ...]:
    """Return parts whose numbers differ only in separators, capitals, or letters written for digits."""
    from bomtui.storage.catalog import normal_mpn

    by_number: dict[str, list[Row]] = {}
    with opened(place) as catalog:
        for row in _all_rows(catalog):
            number = normal_mpn(row.mpn).translate(_ALIKE)
            if number:
                by_number.setdefault(number, []).append(row)
    return tuple(
        Double(
            number,
            tuple(row.key for row in rows),
            tuple(row.mpn for row in rows),
            tuple(dict.fromkeys(row.maker for row in rows)),
        )
        for number, rows in sorted(by_number.items())
        if len(rows) > 1
    )


def export_parts(path: Path, origin: str | None = None, place: str | None = None) -> int:
    """Write the parts of the catalog into a file that `catalog import` takes back equal.

    Args:
        path: The file; one that is there is replaced as a whole.
        origin: Only parts of this origin; None for all.
        place: Where the catalog is; None for the usual place.

    Returns:
        How many there are.

    Raises:
        BomtuiError: The name is that of another form, the catalog cannot be read, or the file cannot be written.
    """
    if path.suffix.lower() != EXPORT_SUFFIX:
        raise BomtuiError(f"expected a name that ends in {EXPORT_SUFFIX}, found {path}")
    with opened(place) as catalog:
        parts = catalog.get_many(row.key for row in _all_rows(catalog) if origin is None or row.origin == origin)
    try:
        atomic.write(path, parts_text(parts).encode())
    except OSError as error:
        raise BomtuiError(f"{path} cannot be written: {error.strerror or error}") from error
    return len(parts)


def _all_rows(catalog: "Catalog") -> Iterator["Row"]:
    after = None
    while True:
        page = catalog.find(limit=_PAGE_ROWS, after=after)
        yield from page.rows
        after = page.after
        if after is None:
            return


def _bring_up_to_date(catalog: "Catalog") -> None:
    """Let shipped parts stand again where what somebody had made of them is gone."""
    from bomtui.storage.catalog import bring_up_to_date

    bring_up_to_date(catalog)


def _edited(key: str, part: Part, fields: Mapping[str, str]) -> Part:
    after = with_fields(key, part, fields)
    if after.kind != part.kind:
        raise BomtuiError(f"the kind of a part does not change: expected {part.kind}, found {after.kind}")
    return after


def with_fields(key: str, part: Part, fields: Mapping[str, str]) -> Part:
    """Return a part with other texts in some fields, read as its file is."""
    table: dict[str, Any] = tomllib.loads(parts_text({key: part}))["parts"][key]
    for name, text in fields.items():
        _put(table, name.split("."), text)
    faults: list[Fault] = []
    found = read_record(Part, table, (key,), faults)
    problems = tuple(Problem("catalog", fault.message, field=".".join(fault.path)) for fault in faults)
    if problems or found is None:
        raise BomtuiError(f"part {key} cannot be kept", problems)
    if _PRICE & fields.keys() and "price_date" not in fields:
        # A price that was typed now is not of the day of the former one.
        found = msgspec.structs.replace(found, price_date=None)
    given = tuple(name for name in found.invented if name not in fields)
    return msgspec.structs.replace(found, invented=given)


def _put(table: dict[str, Any], path: list[str], text: str) -> None:
    *above, last = path
    for number, name in enumerate(above):
        inner = table.setdefault(name, {})
        if not isinstance(inner, dict):
            # One value for all sides of a parameter is written without them.
            inner = table[name] = {"typ": inner} if number == len(above) - 1 else {}
        table = inner
    if text:
        table[last] = text
    else:
        table.pop(last, None)


def _now() -> str:
    return datetime.datetime.now(datetime.UTC).isoformat(timespec="seconds")
