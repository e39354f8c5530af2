"""A changed copy of a record or table that shares everything that does not change."""

from collections.abc import Iterable, Mapping
from typing import Any, TypeVar

import msgspec

from bomtui.edit.edit import RefusedError
from bomtui.model.ids import ID_RULE, is_id
from bomtui.model.plain_text import clean
from bomtui.model.proposal import Snapshot
from bomtui.model.variant import Module, Variant

ValueT = TypeVar("ValueT")


def with_proposal(snapshot: Snapshot, **fields: Any) -> Snapshot:  # noqa: ANN401 - fields of a proposal
    """Return a snapshot with some tables of its proposal replaced; the same one where they are the very same."""
    proposal = snapshot.proposal
    changed = {name: value for name, value in fields.items() if value is not getattr(proposal, name)}
    if not changed:
        return snapshot
    return msgspec.structs.replace(snapshot, proposal=msgspec.structs.replace(proposal, **changed))


def with_entry(table: Mapping[str, ValueT], key: str, value: ValueT) -> dict[str, ValueT]:
    """Return a table with one entry added or replaced."""
    return {**table, key: value}


def without(table: Mapping[str, ValueT], keys: Iterable[str]) -> dict[str, ValueT]:
    """Return a table without some entries."""
    gone = frozenset(keys)
    return {key: value for key, value in table.items() if key not in gone}


def with_key(table: Mapping[str, ValueT], old: str, new: str) -> dict[str, ValueT]:
    """Return a table in which one entry stands under another key, at the same place."""
    return {new if key == old else key: value for key, value in table.items()}


def check_new_id(table: Iterable[str], key: str, what: str, renamed: str = "") -> None:
    """Refuse an id that is unlawful or taken; ids differ in more than capital letters.

    Args:
        table: Ids that are taken.
        key: The new id.
        what: What it names, for the sentence ("load").
        renamed: The id that it replaces; empty where it replaces none.

    Raises:
        RefusedError: It cannot be used.
    """
    if not is_id(key):
        raise RefusedError(f"expected an id of {ID_RULE}, found {quoted(key)}")
    taken = next((other for other in table if other != renamed and other.casefold() == key.casefold()), None)
    if taken is not None:
        article = "an" if what[0] in "aeiou" else "a"
        raise RefusedError(f"there is {article} {what} {taken} already; ids differ in more than capital letters")


def variant_of(snapshot: Snapshot, variant_id: str) -> Variant:
    """Return a variant.

    Raises:
        RefusedError: There is none of that id.
    """
    return entry_of(snapshot.proposal.variants, variant_id, "variant")


def module_of(snapshot: Snapshot, variant_id: str, module_id: str) -> Module:
    """Return a module.

    Raises:
        RefusedError: There is none of that id.
    """
    return entry_of(variant_of(snapshot, variant_id).modules, module_id, "module", f"variant {variant_id}")


def entry_of(table: Mapping[str, ValueT], key: str, what: str, where: str = "this proposal") -> ValueT:
    """Return an entry of a table.

    Raises:
        RefusedError: There is none of that id.
    """
    if key not in table:
        raise RefusedError(f"there is no {what} {quoted(key)} in {where}")
    return table[key]


def with_variant(snapshot: Snapshot, variant_id: str, **fields: Any) -> Snapshot:  # noqa: ANN401 - fields of a variant
    """Return a snapshot with some fields of an existing variant replaced; the same one where they are the very same."""
    variants = snapshot.proposal.variants
    former = variants[variant_id]
    if all(value is getattr(former, name) for name, value in fields.items()):
        return snapshot
    changed = msgspec.structs.replace(former, **fields)
    return with_proposal(snapshot, variants=with_entry(variants, variant_id, changed))


def with_module(snapshot: Snapshot, variant_id: str, module_id: str, module: Module) -> Snapshot:
    """Return a snapshot with one module added or replaced."""
    modules = with_entry(snapshot.proposal.variants[variant_id].modules, module_id, module)
    return with_variant(snapshot, variant_id, modules=modules)


def quoted(text: str) -> str:
    """Write what somebody typed into a sentence: harmless, in quotes."""
    return f"'{clean(text)}'"


def listed(names: Iterable[str], most: int = 8) -> str:
    """Write names in a row: `L1`, `L1 and L2`, `L1, L2 and 12 more`."""
    names = list(names)
    shown, rest = names[:most], len(names) - most
    last = f"{rest} more" if rest > 0 else shown.pop()
    return f"{', '.join(shown)} and {last}" if shown else last


def counted(number: int, one: str, many: str = "") -> str:
    """Write how many there are: `1 load`, `3 loads`."""
    return f"{number} {one if number == 1 else many or one + 's'}"
