"""The hint below what was done: of the modules that the step has touched, said to be one, and where to look."""

from dataclasses import replace

from bomtui.edit.edit import Edit, apply
from bomtui.edit.edits.device import RenameDevice
from bomtui.edit.edits.field import SetField
from bomtui.model.proposal import Snapshot
from bomtui.services.open import open_proposal
from bomtui.services.rollup import Computed, compute
from bomtui.tui.from_services.hinting import hint_text
from tests.samples.rollups import sample_path


def after(before: Computed, edit: Edit) -> Computed:
    """The variant after an edit, computed on from before."""
    snapshot = apply(edit, before.opened.snapshot)
    assert isinstance(snapshot, Snapshot)
    return compute(replace(before.opened, snapshot=snapshot), before.variant, before)


def test_a_step_hints_at_what_it_touched_only() -> None:
    """A step in the cab module hints at its transceiver; one in another module at nothing; none at all at nothing."""
    before = compute(open_proposal(sample_path("sweeper")), "zone")
    here = after(before, RenameDevice(variant="zone", module_id="ZCEN", ref="U1", new_ref="U91"))
    assert hint_text(before, here) == ("Hint, not judged; see O: ZCEN.U14 can-1 could go, ZCEN.U12 has 1 CAN port free")
    elsewhere = after(before, RenameDevice(variant="zone", module_id="ZREA", ref="U1", new_ref="U91"))
    assert hint_text(before, elsewhere) == ""
    note = after(before, SetField(place="variants.zone.note", value="x"))
    assert hint_text(before, note) == ""
    assert hint_text(None, here) == ""
    assert hint_text(before, None) == ""
