"""A draft as a file: JSON with a published schema."""

from bomtui.export.draft_record import DraftRecord
from bomtui.export.json import json_bytes
from bomtui.export.merge_record import plain_blocked
from bomtui.export.records import heading, rounded
from bomtui.services.artefact import basis
from bomtui.services.draft import Drafted
from bomtui.services.merge_artefact import findings_of, pairs_of, served_by
from bomtui.services.review import Reviewed


def draft_json(reviewed: Reviewed, drafted: Drafted) -> bytes:
    """Return a draft as JSON; its heading is that of the proposal as it is."""
    merged = drafted.merged
    record = DraftRecord(
        **heading(basis(reviewed), "Draft"),  # type: ignore[arg-type]
        placed=dict(drafted.modules),
        drivers=() if merged is None else served_by(merged.chips),
        not_placed=plain_blocked(pairs_of(drafted.not_placed)),
        added=tuple(findings_of(drafted.added)),
        proved=merged is not None and merged.proved,
        gap_ratio=None if merged is None or merged.gap_ratio is None else rounded(merged.gap_ratio),
        proof="no load needs a driver" if merged is None else merged.proof,
        stopped_by="matched" if merged is None else merged.stopped_by,
    )
    return json_bytes(record)
