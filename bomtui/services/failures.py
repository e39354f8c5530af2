"""The failures of a variant: every single thing taken out, for commands, screens and files."""

import difflib
from collections.abc import Iterable

from bomtui.engine.failure_walk import failure_walk
from bomtui.export.failures_record import (
    CommonRecord,
    FailuresRecord,
    by_level,
    common_record,
    failures_record,
    part_of,
)
from bomtui.export.failures_table import common_text, failures_csv, failures_markdown
from bomtui.export.json import json_bytes
from bomtui.model.failure import CAUSE_KINDS, STAND_IN_CAUTION, Cause, CommonCauses, Effect, FailureWalk, StandIn
from bomtui.model.proposal import Proposal, Snapshot
from bomtui.services.artefact import basis
from bomtui.services.errors import UnknownNameError
from bomtui.services.review import Reviewed

__all__ = [
    "STAND_IN_CAUTION", "CommonRecord", "FailuresRecord", "by_level", "cause_named", "cause_title", "common_text",
    "common_words", "effect_lines", "failures", "failures_bytes", "walk_of",
]  # fmt: skip

_WRITERS = {"csv": failures_csv, "json": json_bytes, "md": failures_markdown}

STATE_WORDS = {
    "works": "goes on working",
    "lost": "is lost too",
    "unknown": "may be lost too, the proposal does not say",
}
UNGUARDED_WORDS = {
    "lost": "is lost: nothing stands in for it any more",
    "unknown": "may be lost, the proposal does not say",
}


def walk_of(snapshot: Snapshot, variant: str) -> FailureWalk:
    """Take out every single thing of a variant.

    Args:
        snapshot: Proposal and frozen parts.
        variant: Id of the variant.
    """
    return failure_walk(snapshot, variant)


def failures(reviewed: Reviewed, walk: FailureWalk, cause: Cause | None = None) -> FailuresRecord:
    """Return the failures of a variant as a record.

    Args:
        reviewed: The variant, computed and reviewed.
        walk: Its failure walk.
        cause: The one cause that is asked for; None for all.
    """
    effects = walk.effects if cause is None else (walk.effect_of(cause),)
    return failures_record(basis(reviewed), walk, effects)


def failures_bytes(record: FailuresRecord, file_format: str) -> bytes:
    """Return the failures in a file format.

    Args:
        record: The failures.
        file_format: `csv`, `json` or `md`.
    """
    return _WRITERS[file_format](record)


def cause_named(walk: FailureWalk, text: str) -> Cause:
    """Return the cause that is meant: by its id, or as `KIND:ID` where several have it.

    Raises:
        UnknownNameError: The variant has no such thing, or several.
    """
    kind, colon, rest = text.partition(":")
    known = [effect.cause for effect in walk.effects]
    found = [cause for cause in known if (cause.kind == kind and cause.id == rest if colon else cause.id == text)]
    if len(found) == 1:
        return found[0]
    if found:
        choices = ", ".join(f"{cause.kind}:{cause.id}" for cause in found)
        raise UnknownNameError(f"'{text}' is several things; say {choices}")
    near = difflib.get_close_matches(rest if colon else text, [cause.id for cause in known], n=3)
    hint = f"; near are {', '.join(near)}" if near else ""
    kinds = ", ".join(CAUSE_KINDS)
    raise UnknownNameError(f"there is no {kinds} '{text}' in this variant{hint}")


def cause_title(proposal: Proposal, variant: str, cause: Cause) -> str:
    """Name a cause, a device with its part: `controller ZREA.U8 (mcu-144)`."""
    part = part_of(proposal, variant, cause)
    return f"{cause.name} ({part})" if part else cause.name


def effect_lines(proposal: Proposal, effect: Effect) -> tuple[tuple[str, str], ...]:
    """Return what is lost with a cause as label and text, line by line."""
    groups = (
        ("outputs lost", effect.outputs),
        ("inputs lost", effect.inputs),
        ("outputs that may be lost", effect.possible_outputs),
        ("inputs that may be lost", effect.possible_inputs),
    )
    lines = [(f"{label} ({len(loads)})", _levels_text(proposal, loads)) for label, loads in groups if loads]
    lines += map(_stand_in_line, effect.stand_ins)
    return tuple(lines) or (("", "nothing that is known is lost"),)


def _stand_in_line(own: StandIn) -> tuple[str, str]:
    if own.primary_state != "works":
        role = "needed together with" if own.is_together else "stand-in of"
        return f"{role} {own.primary}", f"{own.stand_in} {STATE_WORDS[own.state]}"
    role = "needed together with it" if own.is_together else "its stand-in"
    return f"{own.primary} goes on working", f"{role} {own.stand_in} {UNGUARDED_WORDS[own.state]}"


def common_words(own: CommonCauses) -> str:
    """Say what a load has in common with its stand-in."""
    return common_text(common_record(own))


def _levels_text(proposal: Proposal, loads: Iterable[str]) -> str:
    return "; ".join(f"{level}: {' '.join(own)}" for level, own in by_level(proposal, loads).items())
