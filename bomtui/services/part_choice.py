"""Which part to take: the picker for a device to be swapped or added, and for an item.

    choices = swap_choices(computed, module_id, ref, parts, known)             # another part for a device
    choices = device_choices(computed, module_id, parts, load_id="L5")         # a new device that serves a load
    choices = device_choices(computed, module_id, parts, kind="sbc")           # a new device of a kind
    choices = item_choices(computed, module_id, parts, kind="passive")         # a part counted without a reference
    effect = choice_effect(choices, choice)                                    # Effect, or the Refusal of its edit

`PartChoices` says the `need` in words and lists `PartChoice`s: what meets the need first, then what may, then what does
not, each by its unit price at the rung that the quantity of the whole variant reaches with it. Where no load says what
is needed (a controller, a supply), the `JUDGED` cheapest are judged by the findings that they would bring, and what is
not judged is undecided. A choice has the two
values compared in its `reasons`, the loads that it would take off, and its `edit` ready to be done; its effect on this
proposal (cost, standby, parking days, driver devices, hottest device of the module, findings cleared and new) is
computed where it is asked for: a rollup and a review. The parts are those of the catalog by key, as
`services.catalog.parts_of_kinds(kinds)` gives them; frozen parts of the matching kinds are always among them, with
their frozen data. `wanted_kinds` names the kinds to ask the catalog for. Nothing is changed by asking.
"""

from collections.abc import Iterable, Mapping
from dataclasses import dataclass, replace
from decimal import Decimal

from bomtui.edit.edit import Edit, Refusal, apply
from bomtui.edit.edits.device import AddDevice, SwapDevice
from bomtui.edit.edits.item import AddItem, SetQuantity
from bomtui.edit.wiring import next_reference
from bomtui.engine.fit import compare_supply, meets_supply
from bomtui.model.finding import Review
from bomtui.model.ids import Address, NaturalKey, natural_key
from bomtui.model.part import DRIVER_KINDS, Part
from bomtui.model.variant import Amount, Module
from bomtui.services.editing import with_parts
from bomtui.services.effects import Basis, Effect, basis_of, effect_of
from bomtui.services.errors import UnknownNameError
from bomtui.services.fit_reasons import (
    STATES,
    Reason,
    State,
    finding_reasons,
    fit_reasons,
    part_reasons,
    reason,
    state_of,
)
from bomtui.services.part_words import kind_words
from bomtui.services.places import new_devices_in
from bomtui.services.present import money_text
from bomtui.services.rollup import Computed
from bomtui.services.rough_costs import line_at
from bomtui.services.swap_need import SwapNeed, swap_need

__all__ = [
    "Need", "PartChoice", "PartChoices", "choice_effect", "choice_of", "device_choices", "item_choices", "judged",
    "quantity_of", "ranked", "swap_choices", "wanted_kinds",
]  # fmt: skip


JUDGED = 12
"""Parts that are judged by the findings that they would bring; each is a rollup and a review of the edited variant."""


@dataclass(frozen=True, slots=True)
class Need:
    """What a part has to do.

    Attributes:
        words: In one line: `another part for ZREA.U6: 4 loads, 4 channels`.
        lines: One line per load: `L11 tail left: HSP, 489.6 mA`; empty where it serves none.
        loads: The loads.
        kinds: Kinds of part that come into question.
    """

    words: str
    lines: tuple[str, ...]
    loads: tuple[str, ...]
    kinds: tuple[str, ...]


@dataclass(frozen=True, slots=True)
class PartChoice:
    """One part that could be taken.

    Attributes:
        state: Whether it meets the need.
        key: Catalog key.
        part: Its data: the frozen ones where it is frozen.
        is_frozen: Whether the proposal has it already.
        is_current: Whether the device is made of it now.
        unit_price: At the rung that the quantity of the variant reaches with it; None where unknown.
        price_text: As printed: `1.3100 EUR from 1000`.
        reasons: What speaks against it, or may.
        loads_off: Loads that would lose their channel, in natural order.
        edit: What would be done, freezing the part where it is not frozen yet.
        device: Address of the device after it; empty for an item.
        effect: What it does, where that is computed already.
    """

    state: State
    key: str
    part: Part
    is_frozen: bool
    is_current: bool
    unit_price: Decimal | None
    price_text: str
    reasons: tuple[Reason, ...]
    loads_off: tuple[str, ...]
    edit: Edit
    device: str
    effect: Effect | None = None


@dataclass(frozen=True, slots=True)
class PartChoices:
    """Parts that could be taken, what meets the need first.

    Attributes:
        need: What the part has to do.
        module: The module.
        choices: Best first.
        before: What effects are measured against.
    """

    need: Need
    module: str
    choices: tuple[PartChoice, ...]
    before: Basis


def wanted_kinds(
    computed: Computed, module_id: str, ref: str = "", load_id: str = "", kind: str = ""
) -> tuple[str, ...]:
    """Return the kinds of part to ask the catalog for.

    Args:
        computed: The variant.
        module_id: The module.
        ref: A device to be swapped; empty for none.
        load_id: A load to be served; empty for none.
        kind: A kind that is asked for; empty for none.

    Raises:
        UnknownNameError: There is no such module or device.
    """
    if kind:
        return (kind,)
    if load_id:
        return tuple(sorted(DRIVER_KINDS))
    need = swap_need(computed, module_id, ref)
    return tuple(sorted(DRIVER_KINDS)) if need.loads else (need.kind,) if need.kind else ()


def swap_choices(
    computed: Computed, module_id: str, ref: str, parts: Mapping[str, Part], known: Review | None = None
) -> PartChoices:
    """Return the parts that a device could be made of.

    Args:
        computed: The variant as it is.
        module_id: The module.
        ref: Reference of the device.
        parts: Parts of the catalog by key.
        known: The review of the variant, where it is at hand.

    Raises:
        UnknownNameError: There is no such module or device.
    """
    need = swap_need(computed, module_id, ref)
    snapshot = computed.opened.snapshot
    offered = {**parts, **snapshot.parts}
    found = []
    for key, part in offered.items():
        if not need.comes_into_question(part):
            continue
        quantity = quantity_of(computed, key) + (0 if key == need.part else 1)
        edit, off = _swap(computed, need, key, part)
        reasons = (*need.reasons(part, off), *part_reasons(key, part, snapshot.proposal, offered))
        found.append(choice_of(computed, key, part, quantity, reasons, edit, str(need.device), off, key == need.part))
    kinds = tuple(sorted({choice.part.kind for choice in found}))
    before = basis_of(computed, known)
    listed = ranked(found) if need.loads else judged(ranked(found), before, module_id)
    return PartChoices(Need(need.words, need.lines, need.loads, kinds), module_id, listed, before)


def device_choices(
    computed: Computed,
    module_id: str,
    parts: Mapping[str, Part],
    *,
    load_id: str = "",
    kind: str = "",
    known: Review | None = None,
) -> PartChoices:
    """Return the parts of which a device could be added to a module.

    Args:
        computed: The variant as it is.
        module_id: The module.
        parts: Parts of the catalog by key.
        load_id: A load that the device has to serve: the edit places it, too; empty for none.
        kind: Kind of part that is asked for, where no load is.
        known: The review of the variant, where it is at hand.

    Raises:
        UnknownNameError: There is no such module or load.
    """
    module = _module(computed, module_id)
    if load_id:
        return _serving(computed, module_id, parts, load_id, known)
    snapshot = computed.opened.snapshot
    offered = {**parts, **snapshot.parts}
    found = []
    for key, part in offered.items():
        if part.kind != kind:
            continue
        ref = next_reference(module, part)
        edit = AddDevice(variant=computed.variant, module_id=module_id, part=key, ref=ref)
        supply = compare_supply(part, snapshot.proposal.vehicle.supply, on_battery=meets_supply(part))
        reasons = (
            *fit_reasons(() if supply is None else (supply,)),
            *part_reasons(key, part, snapshot.proposal, offered),
        )
        device = str(Address(module_id, ref))
        found.append(choice_of(computed, key, part, quantity_of(computed, key) + 1, reasons, edit, device))
    need = Need(f"a new {kind_words(kind)} in {module_id}", (), (), (kind,))
    before = basis_of(computed, known)
    return PartChoices(need, module_id, judged(ranked(found), before, module_id), before)


def item_choices(
    computed: Computed,
    module_id: str,
    parts: Mapping[str, Part],
    *,
    kind: str,
    quantity: Decimal = Decimal(1),
    known: Review | None = None,
) -> PartChoices:
    """Return the parts that could be counted in a module without a reference.

    Args:
        computed: The variant as it is.
        module_id: The module.
        parts: Parts of the catalog by key.
        kind: Kind of part that is asked for.
        quantity: How much of it; what is there already is added to.
        known: The review of the variant, where it is at hand.

    Raises:
        UnknownNameError: There is no such module.
    """
    module = _module(computed, module_id)
    snapshot = computed.opened.snapshot
    offered = {**parts, **snapshot.parts}
    where = {"variant": computed.variant, "module_id": module_id}
    found = []
    for key, part in offered.items():
        if part.kind != kind:
            continue
        edit: Edit = AddItem(**where, part=key, quantity=Amount(quantity=quantity, unit=part.sale_unit))
        there = module.items.get(key)
        if there is not None:
            more = Amount(quantity=there.quantity.quantity + quantity, unit=there.quantity.unit)
            edit = SetQuantity(**where, part=key, quantity=more)
        reasons = part_reasons(key, part, snapshot.proposal, offered)
        found.append(choice_of(computed, key, part, quantity_of(computed, key) + quantity, reasons, edit, ""))
    need = Need(f"a {kind_words(kind)} counted in {module_id}", (), (), (kind,))
    return PartChoices(need, module_id, ranked(found), basis_of(computed, known))


def choice_effect(choices: PartChoices, choice: PartChoice) -> Effect | Refusal:
    """Compute what taking a part does to this proposal; a refusal where its edit cannot be done."""
    if choice.effect is not None:
        return choice.effect
    return effect_of(choices.before, choice.edit, choice.device, choices.module)


def judged(choices: tuple[PartChoice, ...], before: Basis, module_id: str) -> tuple[PartChoice, ...]:
    """Judge the first choices by the findings that they would bring, and rank again."""
    listed = []
    left = JUDGED
    for choice in choices:
        if choice.state == "rejected" or choice.is_current:
            listed.append(choice)
            continue
        left -= 1
        if left < 0:
            listed.append(_with_reasons(choice, (reason("findings", None, "none", certain=False),)))
            continue
        effect = effect_of(before, choice.edit, choice.device, module_id)
        if isinstance(effect, Refusal):
            refused = Reason("edit", "refused", "", certain=True, text=effect.sentence)
            listed.append(_with_reasons(choice, (refused,)))
        else:
            listed.append(_with_reasons(replace(choice, effect=effect), finding_reasons(effect.added)))
    return ranked(listed)


def _with_reasons(choice: PartChoice, more: tuple[Reason, ...]) -> PartChoice:
    reasons = (*choice.reasons, *more)
    return replace(choice, reasons=reasons, state=state_of(reasons))


def _serving(
    computed: Computed, module_id: str, parts: Mapping[str, Part], load_id: str, known: Review | None
) -> PartChoices:
    snapshot = computed.opened.snapshot
    load = snapshot.proposal.loads.get(load_id)
    if load is None:
        raise UnknownNameError(f"there is no load '{load_id}'")
    offered = {**parts, **snapshot.parts}
    quantities = {line.part: line.quantity for line in computed.rollup.cost.lines}
    found = []
    for place in new_devices_in(snapshot, computed.variant, load_id, parts, quantities, module_id):
        key, part = place.part, offered[place.part]
        ref = place.place.rpartition(".")[2]
        edit = place.edit or AddDevice(variant=computed.variant, module_id=module_id, part=key, ref=ref)
        quantity = quantity_of(computed, key) + place.new_devices
        found.append(choice_of(computed, key, part, quantity, place.reasons, edit, place.place))
    name = f" {load.name}" if load.name else ""
    need = Need(f"a new device in {module_id} for {load_id}{name}, driven {load.drive}", (), (load_id,),
                tuple(sorted({choice.part.kind for choice in found})))  # fmt: skip
    return PartChoices(need, module_id, ranked(found), basis_of(computed, known))


def _swap(computed: Computed, need: SwapNeed, key: str, part: Part) -> tuple[Edit, tuple[str, ...]]:
    """Return the edit that swaps the device, and the loads that it takes off: the edit itself says which."""
    snapshot = computed.opened.snapshot
    swap = SwapDevice(variant=computed.variant, module_id=need.device.module, ref=need.device.device, part=key)
    edit = with_parts(snapshot, swap, {key: part})
    tried = apply(edit, snapshot)
    if not isinstance(tried, Refusal) or tried.retry is None:
        return edit, ()
    return tried.retry, tuple(place.rpartition(".")[2] for place in tried.takes)


def choice_of(
    computed: Computed,
    key: str,
    part: Part,
    quantity: Decimal,
    reasons: tuple[Reason, ...],
    edit: Edit,
    device: str,
    off: tuple[str, ...] = (),
    is_current: bool = False,  # noqa: FBT001, FBT002 - a mark of the row
) -> PartChoice:
    """Return a part as a choice; `quantity` is how much of it the variant has with it, for the price rung.

    For the other arguments see `PartChoice`.
    """
    snapshot = computed.opened.snapshot
    line = line_at(snapshot.proposal, key, part, quantity)
    price = money_text(line.unit_price, snapshot.proposal.proposal.currency)
    return PartChoice(
        state=state_of(reasons),
        key=key,
        part=part,
        is_frozen=key in snapshot.parts,
        is_current=is_current,
        unit_price=line.unit_price,
        price_text=price if line.rung is None else f"{price} from {line.rung}",
        reasons=reasons,
        loads_off=off,
        edit=with_parts(snapshot, edit, {key: part}),
        device=device,
    )


def ranked(choices: Iterable[PartChoice]) -> tuple[PartChoice, ...]:
    """Order parts: what meets the need first, then what drives the load, then by price, unknown prices last."""
    return tuple(sorted(choices, key=_rank))


def _rank(choice: PartChoice) -> tuple[int, bool, bool, tuple[Decimal, ...], NaturalKey]:
    price = choice.unit_price
    wrong_side = any(own.check == "side" and own.certain for own in choice.reasons)
    return STATES.index(choice.state), wrong_side, price is None, _known(price), natural_key(choice.key)


def _known(price: Decimal | None) -> tuple[Decimal, ...]:
    return () if price is None else (price,)


def quantity_of(computed: Computed, key: str) -> Decimal:
    """Return how much of a part the average vehicle has in a variant."""
    return next((line.quantity for line in computed.rollup.cost.lines if line.part == key), Decimal(0))


def _module(computed: Computed, module_id: str) -> Module:
    module = computed.opened.snapshot.proposal.variants[computed.variant].modules.get(module_id)
    if module is None:
        raise UnknownNameError(f"there is no module '{module_id}'")
    return module
