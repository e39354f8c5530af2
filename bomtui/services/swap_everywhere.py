"""Which parts could stand in the place of one wherever a variant uses it."""

from collections.abc import Mapping

from bomtui.edit.edit import Edit, Refusal, apply
from bomtui.edit.edits.everywhere import SwapPart, places_of
from bomtui.engine.fit import compare_supply, meets_supply
from bomtui.model.finding import Review
from bomtui.model.part import Part
from bomtui.services.editing import with_parts
from bomtui.services.effects import basis_of
from bomtui.services.fit_reasons import fit_reasons, part_reasons
from bomtui.services.part_choice import Need, PartChoices, choice_of, quantity_of, ranked
from bomtui.services.rollup import Computed


def everywhere_choices(
    computed: Computed, part: str, parts: Mapping[str, Part], known: Review | None = None
) -> PartChoices:
    """Return the parts of the same kind, each swapped for one in every place; what may do first.

    What loads ask of each place is told by the effect: the findings that come.

    Args:
        computed: The variant as it is.
        part: The part that goes.
        parts: Parts of the catalog by key.
        known: The review of the variant, where it is at hand.
    """
    snapshot = computed.opened.snapshot
    kind = snapshot.parts[part].kind if part in snapshot.parts else ""
    offered = {**parts, **snapshot.parts}
    quantity = quantity_of(computed, part)
    found = []
    for key, own in offered.items():
        if own.kind != kind or key == part:
            continue
        supply = compare_supply(own, snapshot.proposal.vehicle.supply, on_battery=meets_supply(own))
        reasons = (
            *fit_reasons(() if supply is None else (supply,)),
            *part_reasons(key, own, snapshot.proposal, offered),
        )
        edit, off = _swap(computed, part, key, own)
        found.append(choice_of(computed, key, own, quantity_of(computed, key) + quantity, reasons, edit, "", off))
    words = f"another part for {part} everywhere in {computed.variant}: "
    need = Need(words + places_of(snapshot, computed.variant, part), (), (), (kind,))
    return PartChoices(need, "", ranked(found), basis_of(computed, known))


def _swap(computed: Computed, part: str, key: str, own: Part) -> tuple[Edit, tuple[str, ...]]:
    """Return the edit that swaps it everywhere, and the loads that it takes off: the edit itself says which."""
    snapshot = computed.opened.snapshot
    edit = with_parts(snapshot, SwapPart(variant=computed.variant, part=part, new_part=key), {key: own})
    tried = apply(edit, snapshot)
    if not isinstance(tried, Refusal) or tried.retry is None:
        return edit, ()
    return tried.retry, tuple(place.rpartition(".")[2] for place in tried.takes)
