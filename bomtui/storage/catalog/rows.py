"""A part as rows of the catalog, and back."""

import re
from decimal import ROUND_HALF_UP, Decimal
from functools import cache
from operator import attrgetter
from typing import Any

import msgspec

from bomtui.model.base import Base
from bomtui.model.parameter import Parameter
from bomtui.model.part import Part
from bomtui.storage.catalog.faults import CatalogError
from bomtui.storage.catalog.tables import FILTERS

ORIGINS = ("shipped", "imported", "edited")
"""Where a row comes from: the program, a file of the engineer, or the engineer's own hand."""

_MICRO = Decimal(1_000_000)
# Databases keep whole numbers in 64 bits.
_LARGEST_INTEGER = 2**63 - 1

# Control characters, and halves of characters that no file can hold.
_BLANK = re.compile("[\x00-\x1f\x7f-\x9f\ud800-\udfff]")

# Signs that PostgreSQL, or UTF-8, cannot hold.
_UNKEPT = re.compile("[\x00\ud800-\udfff]")

_PLAIN = frozenset((str, int, float, Decimal))

_filter_fields = attrgetter(*(field for field, _ in FILTERS.values()))

_encoder = msgspec.json.Encoder(order="sorted")
_decoder = msgspec.json.Decoder(Part)


def part_row(key: str, part: Part, origin: str, version: str) -> dict[str, Any]:
    """Return the row of a part, without its id.

    Raises:
        CatalogError: A number of the part is larger than the database can keep.
    """
    row = {
        "key": key,
        "kind": part.kind,
        "family": part.family,
        "maker": part.maker,
        "mpn": part.mpn,
        "mpn_normal": normal_mpn(part.mpn),
        "description": part.description,
        "package": part.package,
        "grade": part.grade,
        "life_cycle": part.life_cycle,
        "safety": part.safety,
        "origin": origin,
        "origin_version": version,
        **_filter_values(part),
        "search_text": search_text(key, part),
        "params": params_of(part),
    }
    for column, value in row.items():
        if isinstance(value, int):
            _check_size(key, column, value)
        elif isinstance(value, str):
            # A column is for lists and filters; `params` holds the text letter by letter.
            row[column] = keepable(value)
    return row


def price_rows(key: str, part_id: int, part: Part) -> list[dict[str, Any]]:
    """Return the price rungs of a part in whole micro-units of its currency.

    Raises:
        CatalogError: A number is larger than the database can keep, or two rungs begin at one quantity.
    """
    currency = keepable(part.currency)
    rows = []
    for rung in part.breaks:
        micro = int((rung.price * _MICRO).to_integral_value(rounding=ROUND_HALF_UP))
        _check_size(key, "quantity", rung.quantity)
        _check_size(key, "price", micro)
        rows.append({"part_id": part_id, "quantity": rung.quantity, "micro": micro, "currency": currency})
    if len({row["quantity"] for row in rows}) < len(rows):
        raise CatalogError(f"part {key} has two prices from the same quantity")
    return rows


def params_of(part: Part) -> str:
    """Write a part as its canonical JSON text: fields that say nothing are left out, names are sorted."""
    return _encoder.encode(_without_defaults(part)).decode()


def part_of(key: str, params: str) -> Part:
    """Read a part from its JSON text.

    Raises:
        CatalogError: The text is not one of a part.
    """
    try:
        return _decoder.decode(params)
    except (msgspec.MsgspecError, ValueError) as error:
        raise CatalogError(f"part {key} of the catalog cannot be read: {error}") from error


def normal_mpn(mpn: str) -> str:
    """Return a part number without separators, in capitals."""
    return "".join(filter(str.isalnum, mpn)).upper()


def search_text(key: str, part: Part) -> str:
    """Return what the text search looks through, folded as `search.terms_of` folds what people type."""
    # A normalised part number of its own line keeps a fragment from reaching over two fields.
    lines = (
        key, part.mpn, normal_mpn(part.mpn), part.maker, part.kind.replace("_", " "), part.family, part.package,
        part.description,
    )  # fmt: skip
    return "\n".join(fold(line) for line in lines)


def fold(text: str) -> str:
    """Fold capitals away and make control characters and halves of characters blank."""
    return _BLANK.sub(" ", text).casefold()


def _filter_values(part: Part) -> dict[str, Any]:
    return {
        column: getattr(value, side) if isinstance(value, Parameter) else value
        for (column, (_, side)), value in zip(FILTERS.items(), _filter_fields(part), strict=True)
    }


def keepable(text: str) -> str:
    """Make blank what no database of ours can hold."""
    return text if text.isascii() and "\0" not in text else _UNKEPT.sub(" ", text)


def _check_size(key: str, what: str, value: int) -> None:
    if abs(value) > _LARGEST_INTEGER:
        raise CatalogError(f"part {key} cannot be kept: its {what} is too large a number")


def _without_defaults(value: Any) -> Any:  # noqa: ANN401 - any value of a record
    if isinstance(value, Base):
        return {
            name: entry if type(entry) in _PLAIN else _without_defaults(entry)
            for (name, default), entry in zip(_defaults(type(value)), msgspec.structs.astuple(value), strict=True)
            if entry is not default and entry != default
        }
    if isinstance(value, dict):
        return {key: _without_defaults(entry) for key, entry in value.items()}
    if isinstance(value, tuple):
        return [_without_defaults(entry) for entry in value]
    return value


@cache
def _defaults(record: type[Base]) -> tuple[tuple[str, Any], ...]:
    """Return the fields of a record with what their absence means; a required field equals nothing."""
    return tuple(
        (field.name, field.default if field.default_factory is msgspec.NODEFAULT else field.default_factory())
        for field in msgspec.structs.fields(record)
    )
