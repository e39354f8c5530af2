"""What people have changed in the catalog, step by step, and taking the last step back.

A step is one transaction of somebody's import or edit; what the program brings along is not among them.
"""

from collections.abc import Iterable
from dataclasses import dataclass
from hashlib import blake2b
from typing import Any

from sqlalchemy import Connection, func, insert, select, update

from bomtui.model.part import Part
from bomtui.storage.catalog.bulk import insert_all
from bomtui.storage.catalog.faults import ConflictError
from bomtui.storage.catalog.rows import part_of
from bomtui.storage.catalog.tables import CHANGE, PART, STEP

_DIGEST_BYTES = 16
_NAMES = 3


@dataclass(frozen=True, slots=True)
class Stand:
    """What the catalog held of a part.

    Attributes:
        origin: Where the row came from.
        version: What it was taken from.
        params: The part, as its text.
    """

    origin: str
    version: str
    params: str

    @property
    def digest(self) -> str:
        """What tells it from any other."""
        text = f"{self.origin}\n{self.version}\n{self.params}"
        return blake2b(text.encode(), digest_size=_DIGEST_BYTES).hexdigest()


@dataclass(frozen=True, slots=True)
class Changed:
    """One part that a step changes.

    Attributes:
        key: Its key.
        before: What the catalog held; None for a new part.
        after: What it holds then; None for one that was taken out.
    """

    key: str
    before: Stand | None
    after: Stand | None


@dataclass(frozen=True, slots=True)
class StepRow:
    """One step.

    Attributes:
        id: Its number; later ones have larger numbers.
        made_at: When it was made, as the program that made it said; empty where it said nothing.
        label: What it did, in words.
        parts: How many parts it changed.
        undone: Whether it was taken back.
    """

    id: int
    made_at: str
    label: str
    parts: int
    undone: bool


@dataclass(frozen=True, slots=True)
class Former:
    """What a part was until a step changed it.

    Attributes:
        step: The step.
        part: The part before it; None where it was new.
    """

    step: StepRow
    part: Part | None


def record(connection: Connection, label: str, made_at: str, changes: Iterable[Changed]) -> None:
    """Write a step down, inside its own transaction; nothing where it changes nothing."""
    rows: list[dict[str, Any]] = []
    number = connection.execute(select(func.coalesce(func.max(STEP.c.id), 0))).scalar_one() + 1
    for own in changes:
        before = own.before
        rows.append(
            {
                "step_id": number,
                "key": own.key,
                "before_origin": None if before is None else before.origin,
                "before_version": None if before is None else before.version,
                "before_params": None if before is None else before.params,
                "after_digest": None if own.after is None else own.after.digest,
            }
        )
    if not rows:
        return
    connection.execute(insert(STEP).values(id=number, made_at=made_at, label=label, undone=0))
    insert_all(connection, CHANGE, rows)


def steps(connection: Connection, limit: int) -> list[StepRow]:
    """Return the last steps, the newest first."""
    counted = select(func.count()).where(CHANGE.c.step_id == STEP.c.id).scalar_subquery()
    found = connection.execute(select(STEP, counted.label("parts")).order_by(STEP.c.id.desc()).limit(limit))
    return [StepRow(row.id, row.made_at, row.label, row.parts, bool(row.undone)) for row in found]


def formers(connection: Connection, key: str) -> list[Former]:
    """Return what a part was before each step that changed it and was not taken back, the newest first."""
    asked = (
        select(STEP, CHANGE.c.before_params)
        .join(CHANGE, CHANGE.c.step_id == STEP.c.id)
        .where(CHANGE.c.key == key, STEP.c.undone == 0)
        .order_by(STEP.c.id.desc())
    )
    return [
        Former(
            StepRow(row.id, row.made_at, row.label, 1, undone=False),
            None if row.before_params is None else part_of(key, row.before_params),
        )
        for row in connection.execute(asked)
    ]


def last(connection: Connection) -> tuple[StepRow, list[Changed]] | None:
    """Return the last step that was not taken back, each part with what it was; None where there is none.

    Raises:
        ConflictError: A part is not any more what that step made of it.
    """
    row = connection.execute(select(STEP).where(STEP.c.undone == 0).order_by(STEP.c.id.desc()).limit(1)).first()
    if row is None:
        return None
    changes = connection.execute(select(CHANGE).where(CHANGE.c.step_id == row.id)).all()
    there = {
        own.key: Stand(own.origin, own.origin_version, own.params)
        for own in connection.execute(
            select(PART).join(CHANGE, CHANGE.c.key == PART.c.key).where(CHANGE.c.step_id == row.id)
        )
    }
    found: list[Changed] = []
    other: list[str] = []
    for own in changes:
        now = there.get(own.key)
        # Where a step took a part out, the program may have brought its own back along.
        is_own = own.after_digest is None and now is not None and now.origin == "shipped"
        if not is_own and (None if now is None else now.digest) != own.after_digest:
            other.append(own.key)
        before = None if own.before_params is None else Stand(own.before_origin, own.before_version, own.before_params)
        found.append(Changed(own.key, before, now))
    if other:
        more = f" and {len(other) - _NAMES} more" if len(other) > _NAMES else ""
        raise ConflictError(
            f"the step '{row.label}' cannot be taken back: {', '.join(other[:_NAMES])}{more} changed again since"
        )
    return StepRow(row.id, row.made_at, row.label, len(changes), undone=False), found


def mark_undone(connection: Connection, step: int) -> None:
    """Say of a step that it was taken back."""
    connection.execute(update(STEP).where(STEP.c.id == step).values(undone=1))
