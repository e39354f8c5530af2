"""Candidates of changes that reach through a variant: a subsystem in another module, another volume."""

from collections import Counter
from collections.abc import Callable
from dataclasses import replace

from bomtui.edit.edit import Edit, Refusal, apply
from bomtui.edit.edits.everywhere import MoveSubsystem
from bomtui.edit.edits.field import SetField
from bomtui.model.ids import natural_key
from bomtui.services.effects import Basis, effect_of
from bomtui.services.present import counted
from bomtui.services.volumes import next_volumes
from bomtui.tui.candidates import Candidate, Candidates, Subject
from bomtui.tui.from_services.effects import changes_of, cost_cell, findings_of, standby_cell, state_of

NOT_COSTED = "not costed"
NO_MODULE = "No other module yet: a on the sheet adds one."


def module_candidates(before: Basis, subsystem: str) -> Candidates:
    """Return the modules that could serve all loads of a subsystem."""
    snapshot, variant = before.computed.opened.snapshot, before.computed.variant
    known = snapshot.proposal.subsystems.get(subsystem)
    served = Counter(
        module_id
        for load_id, module_id in before.computed.memo.serving.module_of.items()
        if snapshot.proposal.loads[load_id].subsystem == subsystem
    )
    total = served.total()
    listed = []
    modules = snapshot.proposal.variants[variant].modules
    for module_id in sorted(modules, key=natural_key):
        here = served[module_id]
        edit, reasons = _agreed(before, MoveSubsystem(variant=variant, subsystem=subsystem, module_id=module_id))
        listed.append(
            Candidate(
                key=module_id,
                title=f"{module_id} {modules[module_id].name}".rstrip(),
                cells=(f"{here} of {total}", "", ""),
                mark="note",
                word=f"{NOT_COSTED}, here now" if here == total else NOT_COSTED,
                reasons=reasons,
                edit=edit,
            )
        )
    name = subsystem if known is None else f"{subsystem} {known.name}".rstrip()
    need = (f"one module for {name}: {counted(total, 'load', 'loads')} in {counted(len(served), 'module', 'modules')}",)
    return _candidates(before, "module", need, listed, NO_MODULE, lambda own, effect: (own.cells[0], *effect))


def volume_candidates(before: Basis, volume: int) -> Candidates:
    """Return a volume, and those above it at which parts reach another rung."""
    snapshot = before.computed.opened.snapshot
    now = snapshot.proposal.vehicle.volume_per_year
    listed = [
        Candidate(
            key=str(number),
            title=f"{number}{words}",
            cells=("",),
            mark="note",
            word=NOT_COSTED,
            edit=SetField(place="vehicle.volume_per_year", value=number),
        )
        for number, words in ((volume, ", as asked for"), *next_volumes(before.computed, volume))
    ]
    need = (f"vehicles built in a year, now {'unknown' if now is None else now}",)
    return _candidates(before, "volume", need, listed, "", lambda _, effect: effect[:1])


def _agreed(before: Basis, edit: Edit) -> tuple[Edit, tuple[str, ...]]:
    """Return an edit that goes ahead with what goes along, and what that is."""
    tried = apply(edit, before.computed.opened.snapshot)
    if isinstance(tried, Refusal) and tried.retry is not None:
        loads = ", ".join(place.rpartition(".")[2] for place in tried.takes)
        return tried.retry, (f"would be taken off: {loads}",)
    return edit, ()


def _candidates(
    before: Basis,
    subject: Subject,
    need: tuple[str, ...],
    listed: list[Candidate],
    empty: str,
    cells: Callable[[Candidate, tuple[str, str]], tuple[str, ...]],
) -> Candidates:
    known = {own.key: own for own in listed}

    def cost(key: str) -> Candidate:
        own = known[key]
        effect = effect_of(before, own.edit) if own.edit is not None else None
        if effect is None or isinstance(effect, Refusal):
            reasons = own.reasons if effect is None else (*own.reasons, effect.sentence)
            return replace(own, mark="over", word="refused", reasons=reasons, edit=None)
        mark, word = state_of(effect, "no new finding")
        return replace(
            own,
            cells=cells(own, (cost_cell(effect), standby_cell(effect))),
            mark=mark,
            word=f"{word}, here now" if own.word.endswith("here now") else word,
            changes=changes_of(effect),
            added=findings_of(effect.added),
            cleared=findings_of(effect.cleared),
            stirred=findings_of(effect.stirred),
            is_costed=True,
        )

    return Candidates(
        snapshot_number=before.computed.opened.snapshot.number,
        subject=subject,
        need=need,
        currency=before.computed.opened.snapshot.proposal.proposal.currency,
        listed=tuple(listed),
        text="",
        empty=empty,
        cost=cost,
    )
