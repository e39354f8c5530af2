"""Candidates of the open proposal: places of a load, parts of a device or item, zones of a module."""

import threading
from collections.abc import Iterable, Mapping
from dataclasses import replace
from decimal import Decimal

from bomtui.edit.edit import Refusal
from bomtui.edit.edits.group import Group
from bomtui.edit.edits.item import RemoveItem
from bomtui.edit.edits.module import MoveModule
from bomtui.model.ids import natural_key
from bomtui.model.part import DRIVER_KINDS, Part
from bomtui.services.effects import Basis, Effect, basis_of, effect_of
from bomtui.services.errors import BomtuiError
from bomtui.services.part_choice import (
    PartChoice,
    PartChoices,
    choice_effect,
    device_choices,
    item_choices,
    swap_choices,
    wanted_kinds,
)
from bomtui.services.placing import COSTED, PlaceOption, PlaceOptions, place_options, with_effect
from bomtui.services.power_stage import FET
from bomtui.services.present import column_text
from bomtui.services.session import Session
from bomtui.services.stage_choice import stage_choices
from bomtui.tui.candidates import Candidate, Candidates
from bomtui.tui.from_services.effects import (
    changes_of,
    cost_cell,
    findings_of,
    junction_cell,
    standby_cell,
    state_of,
)
from bomtui.tui.marks import Mark

FEW_LOADS = 400
MANY_COSTED = 48
"""Places that are costed at once where a proposal has few loads, which is nearly always all of them; else the service's
own number, so that the list of a large proposal does not take long."""
NOT_COSTED = "fits, not costed"
NO_MODULE = "No module yet that could serve it: escape goes back, a on the sheet adds one."
NO_PLACE = "Nothing here can serve it, and the catalog has no part that could."
NO_PART = "Neither the catalog nor the frozen parts have such a part."
NO_ZONE = "No zones yet."
OPEN_WIRING = frozenset({"rail.missing", "battery.reversed"})
"""Rules about what is left to wire after a device is added; a part is not rejected for that, it is said."""
STATE_MARKS: Mapping[str, Mark] = {"fits": "ok", "undecided": "unknown", "rejected": "over"}


class SessionCandidates:
    """Candidates in the newest snapshot of a session.

    Args:
        session: The open proposal.
    """

    def __init__(self, session: Session) -> None:
        self._session = session
        self._lock = threading.Lock()
        self._basis: Basis | None = None

    def _before(self, variant: str) -> Basis:
        """Return the variant as it is, reviewed once per snapshot."""
        with self._lock:
            computed = self._session.computed(variant)
            kept = self._basis
            if (
                kept is None
                or kept.computed.variant != variant
                or kept.computed.opened.snapshot is not computed.opened.snapshot
            ):
                kept = self._basis = basis_of(computed)
            return kept

    def places(self, variant: str, load_id: str) -> Candidates:
        """Return where a load could be served."""
        before = self._before(variant)
        parts, remark = _catalog_parts(sorted(DRIVER_KINDS))
        proposal = before.computed.opened.snapshot.proposal
        costed = MANY_COSTED if len(proposal.loads) <= FEW_LOADS else COSTED
        listing = _Places(place_options(before.computed, load_id, parts, before.review, costed))
        load = proposal.loads[load_id]
        current = proposal.variants[variant].placements.get(load_id)
        served = f"served now on {', '.join(current.on)}" if current is not None else "served by nothing yet"
        has_modules = bool(proposal.variants[variant].modules)
        return Candidates(
            snapshot_number=before.computed.opened.snapshot.number,
            subject="place",
            need=(f"{load_id} {load.name}".rstrip() + f": driven {load.drive}, {served}",),
            currency=proposal.proposal.currency,
            listed=listing.listed(),
            text=_joined((f"{listing.options.text}.", remark)),
            empty=NO_PLACE if has_modules else NO_MODULE,
            cost=listing.cost,
        )

    def swaps(self, variant: str, module_id: str, ref: str) -> Candidates:
        """Return the parts that could stand in the place of a device."""
        before = self._before(variant)
        parts, remark = _catalog_parts(wanted_kinds(before.computed, module_id, ref))
        return _parts(swap_choices(before.computed, module_id, ref, parts, before.review), remark)

    def devices(self, variant: str, module_id: str, kind: str) -> Candidates:
        """Return the parts of a kind of which a device could be added."""
        before = self._before(variant)
        parts, remark = _catalog_parts((kind,))
        return _parts(device_choices(before.computed, module_id, parts, kind=kind, known=before.review), remark)

    def items(self, variant: str, module_id: str, kind: str, quantity: str) -> Candidates:
        """Return the parts of a kind that could be counted in a module."""
        before = self._before(variant)
        parts, remark = _catalog_parts((kind,))
        choices = item_choices(
            before.computed, module_id, parts, kind=kind, quantity=Decimal(quantity), known=before.review
        )
        return _parts(choices, remark)

    def item_swaps(self, variant: str, module_id: str, part: str) -> Candidates:
        """Return the parts that could be counted in the place of another one, as much of it."""
        before = self._before(variant)
        snapshot = before.computed.opened.snapshot
        amount = snapshot.proposal.variants[variant].modules[module_id].items[part].quantity
        kind = snapshot.parts[part].kind if part in snapshot.parts else ""
        parts, remark = _catalog_parts((kind,) if kind else ())
        found = item_choices(
            before.computed, module_id, parts, kind=kind, quantity=amount.quantity, known=before.review
        )
        former = RemoveItem(variant=variant, module_id=module_id, part=part)
        swapped = tuple(
            replace(own, edit=Group(edits=(former, own.edit), words=f"swap {part} in {module_id} for {own.key}"))
            for own in found.choices
            if own.key != part
        )
        need = replace(found.need, words=f"another part for {part}, counted in {module_id}")
        return _parts(replace(found, choices=swapped, need=need), remark)

    def zones(self, variant: str, module_id: str) -> Candidates:
        """Return the zones that a module could move to, each with what that changes."""
        before = self._before(variant)
        snapshot = before.computed.opened.snapshot
        module = snapshot.proposal.variants[variant].modules[module_id]
        listed = []
        for zone_id in sorted(snapshot.proposal.zones, key=natural_key):
            zone = snapshot.proposal.zones[zone_id]
            edit = MoveModule(variant=variant, module_id=module_id, zone=zone_id)
            ambient = column_text(zone.ambient_degc, "temperature", "degC")
            own = Candidate(key=zone_id, title=f"{zone_id} {zone.name}".rstrip(), cells=(), mark="", word="", edit=edit)
            costed = _costed_zone(own, ambient, effect_of(before, edit, "", module_id))
            listed.append(replace(costed, word=f"{costed.word}, here now") if zone_id == module.zone else costed)
        known = {own.key: own for own in listed}
        return Candidates(
            snapshot_number=snapshot.number,
            subject="zone",
            need=(f"module {module_id} {module.name}".rstrip() + f", now in {module.zone or 'no zone'}",),
            currency=snapshot.proposal.proposal.currency,
            listed=tuple(listed),
            text="",
            empty=NO_ZONE,
            cost=known.__getitem__,
        )

    def swaps_everywhere(self, variant: str, part: str) -> Candidates:
        """Return the parts that could stand in the place of one wherever the variant uses it."""
        from bomtui.services.swap_everywhere import everywhere_choices

        before = self._before(variant)
        snapshot = before.computed.opened.snapshot
        kind = snapshot.parts[part].kind if part in snapshot.parts else ""
        parts, remark = _catalog_parts((kind,) if kind else ())
        return _parts(everywhere_choices(before.computed, part, parts, before.review), remark)

    def modules(self, variant: str, subsystem: str) -> Candidates:
        """Return the modules that could serve all loads of a subsystem."""
        from bomtui.tui.from_services.reaching import module_candidates

        return module_candidates(self._before(variant), subsystem)

    def volumes(self, variant: str, volume: int) -> Candidates:
        """Return the volume that is asked for, and those at which prices change next."""
        from bomtui.tui.from_services.reaching import volume_candidates

        return volume_candidates(self._before(variant), volume)

    def stages(self, variant: str, load_id: str, count: int) -> Candidates:
        """Return the FETs that could be added behind the channels of a load."""
        before = self._before(variant)
        parts, remark = _catalog_parts((FET,))
        return _parts(stage_choices(before.computed, load_id, parts, count, before.review), remark)


class _Places:
    """Places of a load, costed one by one; the order of the first listing stays."""

    def __init__(self, options: PlaceOptions) -> None:
        self.options = options
        self._lock = threading.Lock()

    def listed(self) -> tuple[Candidate, ...]:
        return tuple(map(_place, (*self.options.options, *self.options.rejected)))

    def cost(self, key: str) -> Candidate:
        with self._lock:
            option = self._option(key)
            self.options = with_effect(self.options, option)
            return _place(self._option(key))

    def _option(self, key: str) -> PlaceOption:
        return next(own for own in (*self.options.options, *self.options.rejected) if _place_key(own) == key)


def _place_key(option: PlaceOption) -> str:
    return f"{option.state}\x1f{option.words}\x1f{option.part}"


def _place(option: PlaceOption) -> Candidate:
    effect = option.effect
    mark: Mark = STATE_MARKS[option.state]
    word: str = option.state
    if option.state == "fits":
        mark, word = ("note", NOT_COSTED) if effect is None else state_of(effect)
    if option.is_current:
        word += ", here now"
    free = "" if option.free_after is None else str(option.free_after)
    return _with_effect(
        Candidate(
            key=_place_key(option),
            title=option.words,
            cells=("", "", "", free) if effect is None else (
                cost_cell(effect), standby_cell(effect), junction_cell(effect), free,
            ),
            mark=mark,
            word=word,
            is_rejected=option.state == "rejected",
            reasons=tuple(own.text for own in option.reasons),
            edit=option.edit,
        ),
        effect,
    )  # fmt: skip


def _parts(choices: PartChoices, remark: str) -> Candidates:
    proposal = choices.before.computed.opened.snapshot.proposal
    known = {own.key: own for own in choices.choices}

    def cost(key: str) -> Candidate:
        return _part(known[key], choice_effect(choices, known[key]))

    return Candidates(
        snapshot_number=choices.before.computed.opened.snapshot.number,
        subject="part",
        need=(choices.need.words, *choices.need.lines),
        currency=proposal.proposal.currency,
        listed=tuple(_part(own, own.effect) for own in choices.choices),
        text=remark,
        empty=NO_PART,
        cost=cost,
    )


def _part(choice: PartChoice, effect: Effect | Refusal | None) -> Candidate:
    known = effect if isinstance(effect, Effect) else None
    mark: Mark = STATE_MARKS[choice.state]
    word: str = choice.state
    against = {own.check for own in choice.reasons if own.certain}
    is_rejected = choice.state == "rejected" and not against <= OPEN_WIRING
    if choice.state != "undecided" and not is_rejected:
        mark, word = ("note", NOT_COSTED) if known is None else state_of(known)
    if choice.is_current:
        word += ", here now"
    off = (f"would be taken off: {', '.join(choice.loads_off)}",) if choice.loads_off else ()
    refused = (effect.sentence,) if isinstance(effect, Refusal) else ()
    notes = (
        choice.part.description,
        " ".join(filter(None, (choice.part.maker, choice.part.mpn, choice.part.kind))),
        f"unit price {choice.price_text}",
        "frozen in this proposal already" if choice.is_frozen else "",
    )
    price = choice.price_text.partition(" from ")[0]
    figures = ("", "", "") if known is None else (cost_cell(known), standby_cell(known), junction_cell(known))
    description = f", {choice.part.description}" if choice.part.description else ""
    return _with_effect(
        Candidate(
            key=choice.key,
            title=choice.key + description,
            cells=(price.rpartition(" ")[0] or price, *figures),
            mark=mark,
            word=word,
            is_rejected=is_rejected,
            reasons=(*(own.text for own in choice.reasons), *off, *refused),
            notes=tuple(filter(None, notes)),
            edit=None if refused else choice.edit,
        ),
        known,
    )


def _costed_zone(own: Candidate, ambient: str, effect: Effect | Refusal) -> Candidate:
    if isinstance(effect, Refusal):
        return replace(own, cells=(ambient, "", ""), mark="over", word="refused", reasons=(effect.sentence,), edit=None)
    mark, word = state_of(effect, "no new finding")
    return _with_effect(
        replace(own, cells=(ambient, cost_cell(effect), standby_cell(effect)), mark=mark, word=word), effect
    )


def _with_effect(own: Candidate, effect: Effect | None) -> Candidate:
    if effect is None:
        return own
    return replace(
        own,
        changes=changes_of(effect),
        added=findings_of(effect.added),
        cleared=findings_of(effect.cleared),
        stirred=findings_of(effect.stirred),
        is_costed=True,
    )


def _catalog_parts(kinds: Iterable[str]) -> tuple[dict[str, Part], str]:
    """Return the catalog's parts of some kinds, and a remark where it cannot be asked: the frozen ones are left."""
    from bomtui.services.catalog import parts_of_kinds

    try:
        found = parts_of_kinds(kinds)
    except BomtuiError as error:
        return {}, f"The catalog cannot be asked, only frozen parts are offered: {error}."
    return found.parts, found.remark


def _joined(sentences: Iterable[str]) -> str:
    return " ".join(filter(None, sentences))
