"""Adding, removing and renaming a record of a table that stands at the top of the file: zones, modes, pairs and others.

Kinds are named as fields name them in `refers_to`; the table of a kind is its plural.
"""

from typing import Any

import msgspec

from bomtui.edit.edit import Edit, RefusedError
from bomtui.edit.references import Mentions, followed_everywhere
from bomtui.edit.tree import check_new_id, counted, entry_of, with_entry, with_key, with_proposal, without
from bomtui.edit.values import Scope, check_record
from bomtui.model.base import Base
from bomtui.model.proposal import Proposal, Snapshot


def _table(kind: str) -> str:
    return f"{kind}s"


def _place(kind: str, key: str) -> str:
    """Place of a finding about it: pairs stand for themselves, what stands in no module is named with its table."""
    return key if kind == "pair" else f"{_table(kind)}.{key}"


def with_added(snapshot: Snapshot, kind: str, key: str, record: Base) -> Snapshot:
    """Return the snapshot with a new record.

    Args:
        snapshot: The former one.
        kind: What the record is ("zone").
        key: Its id.
        record: The record.

    Raises:
        RefusedError: The id is unlawful or taken, or the record has a value that it cannot have.
    """
    table = getattr(snapshot.proposal, _table(kind))
    check_new_id(table, key, kind)
    check_record(record, Scope(snapshot), key)
    return with_proposal(snapshot, **{_table(kind): with_entry(table, key, record)})


def with_removed(snapshot: Snapshot, kind: str, key: str, retry: Edit | None) -> Snapshot:
    """Return the snapshot without a record and without what names it.

    Args:
        snapshot: The former one.
        kind: What the record is.
        key: Its id.
        retry: The edit that goes ahead with all that goes along; None where the person has agreed, or nothing can
            name it.

    Raises:
        RefusedError: There is no such record, or other things would go along.
    """
    entry_of(getattr(snapshot.proposal, _table(kind)), key, kind)
    mentions = Mentions(kind, key, None)
    proposal = mentions.record(snapshot.proposal)
    variants = followed_everywhere(proposal, _place(kind, key), None, mentions.touched)
    if mentions.touched and retry is not None:
        raise RefusedError(
            f"with the {kind} {key} would go what names it: {counted(len(mentions.touched), 'place')}",
            tuple(mentions.touched),
            retry,
        )
    proposal = msgspec.structs.replace(proposal, variants=variants)
    table = without(getattr(proposal, _table(kind)), (key,))
    return with_proposal(snapshot, **{**_fields(proposal), _table(kind): table})


def with_renamed(snapshot: Snapshot, kind: str, key: str, new_key: str) -> Snapshot:
    """Return the snapshot with a record under another id, and all that names it following.

    Raises:
        RefusedError: There is no such record, or the id is unlawful or taken.
    """
    table = getattr(snapshot.proposal, _table(kind))
    entry_of(table, key, kind)
    check_new_id(table, new_key, kind, renamed=key)
    if new_key == key:
        return snapshot
    proposal = Mentions(kind, key, new_key).record(snapshot.proposal)
    variants = followed_everywhere(proposal, _place(kind, key), _place(kind, new_key), [])
    proposal = msgspec.structs.replace(proposal, variants=variants)
    return with_proposal(
        snapshot, **{**_fields(proposal), _table(kind): with_key(getattr(proposal, _table(kind)), key, new_key)}
    )


def _fields(proposal: Proposal) -> dict[str, Any]:
    return {name: getattr(proposal, name) for name in Proposal.__struct_fields__}
