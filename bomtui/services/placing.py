"""Where a load could be served, ranked by what each place really costs.

    options = place_options(computed, load_id, parts, known_review)     # PlaceOptions
    options.options      # what fits or may fit, best first: PlaceOption
    options.rejected     # what does not, each with its reasons: PlaceOption
    options.text         # "12 places are costed; 28 more were not costed"
    options = with_effect(options, option)                              # costs one more and ranks again
    free_channels(computed, module_id, ref)                             # int, or None where nobody knows

A `PlaceOption` has the `edit` ready to be done, `words` for people, `reasons` (each `Reason` with check, measured and
limit as printed), and, where it was costed, its `effect`: cost, standby, parking days, junction and findings, now and
after (`services/effects.py`). The parts are those that a new device may be made of, by catalog key: what
`services.catalog.parts_of_kinds` gives; frozen parts are always among them, with their frozen data.

Ranking: what fits before what is undecided; among them what is costed before what is not; what brings no new error (too
few controller pins, say) before what does; a device within its junction limit before one of which that is unknown
before one too hot; fewer unknown amounts before more; then the change of cost at this volume; then fewer new
devices, whose price may be what is unknown; then more free channels; then natural order of the address. An effect
is a whole rollup, so only the `COSTED` most promising places, by wire and chip price, are costed, and as many again
where none of these fits without a new error or too much heat; the text says how many were not. Nothing is changed by
asking.
"""

from collections.abc import Mapping
from dataclasses import dataclass, replace
from decimal import Decimal

from bomtui.edit.edit import Refusal
from bomtui.model.finding import Review
from bomtui.model.ids import Address, NaturalKey, natural_key
from bomtui.model.part import Part
from bomtui.services.effects import Basis, Warmth, basis_of, effect_of
from bomtui.services.errors import UnknownNameError
from bomtui.services.fit_reasons import STATES
from bomtui.services.free_channels import free_numbers
from bomtui.services.places import PlaceOption, places_of
from bomtui.services.present import counted
from bomtui.services.rollup import Computed

__all__ = ["COSTED", "PlaceOption", "PlaceOptions", "free_channels", "place_options", "with_effect"]

COSTED = 12
"""Places that are costed at first; the price of each is a rollup and a review of the edited variant."""

_Room = tuple[int, bool, tuple[int, ...], NaturalKey]
_WARMTHS: tuple[Warmth, ...] = ("within", "unknown", "over")


@dataclass(frozen=True, slots=True)
class PlaceOptions:
    """Places where a load could be served.

    Attributes:
        load_id: The load.
        options: What fits or may fit, best first.
        rejected: What does not fit, near misses first: what drives the load before what does not, free channels before
            none, places before parts of which a new device would not do.
        costed: How many of the options are costed.
        text: How many are costed and how many are not, in words.
        before: What the effects are measured against.
    """

    load_id: str
    options: tuple[PlaceOption, ...]
    rejected: tuple[PlaceOption, ...]
    costed: int
    text: str
    before: Basis


def place_options(
    computed: Computed, load_id: str, parts: Mapping[str, Part], known: Review | None = None, costed: int = COSTED
) -> PlaceOptions:
    """Return every place where a load could be served, the most promising ones costed.

    Args:
        computed: The variant as it is; its effects are rolled up from it incrementally.
        load_id: The load, placed or not.
        parts: Parts of which a new device may be made, by catalog key.
        known: Its review, where that is at hand.
        costed: How many places to cost.

    Raises:
        UnknownNameError: There is no such load.
    """
    snapshot = computed.opened.snapshot
    if load_id not in snapshot.proposal.loads:
        raise UnknownNameError(f"there is no load '{load_id}'")
    quantities = {line.part: line.quantity for line in computed.rollup.cost.lines}
    found = places_of(snapshot, computed.variant, load_id, parts, quantities)
    possible = sorted((option for option in found if option.state != "rejected"), key=_promise)
    before = basis_of(computed, known)
    chosen: list[PlaceOption] = []
    for option in possible[: 2 * costed]:
        if len(chosen) >= costed and any(map(_is_good, chosen)):
            break
        chosen.append(_costed(before, option))
    rejected = tuple(sorted((option for option in found if option.state == "rejected"), key=_nearness))
    return _ranked(load_id, (*chosen, *possible[len(chosen) :]), rejected, before)


def with_effect(options: PlaceOptions, option: PlaceOption) -> PlaceOptions:
    """Cost one more of the options, and rank them again; the same options where it is costed or cannot be."""
    if option.effect is not None or option not in options.options:
        return options
    costed = _costed(options.before, option)
    others = tuple(costed if own is option else own for own in options.options)
    return _ranked(options.load_id, others, options.rejected, options.before)


def free_channels(computed: Computed, module_id: str, ref: str) -> int | None:
    """Return how many channels of a device carry no load; None where nobody knows how many it has.

    Raises:
        UnknownNameError: The variant has no such device.
    """
    snapshot = computed.opened.snapshot
    variant = snapshot.proposal.variants[computed.variant]
    module = variant.modules.get(module_id)
    if module is None or ref not in module.devices:
        raise UnknownNameError(f"there is no device '{module_id}.{ref}'")
    numbers = free_numbers(snapshot, variant, Address(module_id, ref))
    return None if numbers is None else len(numbers)


def _costed(before: Basis, option: PlaceOption) -> PlaceOption:
    if option.edit is None:
        return option
    effect = effect_of(before, option.edit, option.place if option.part else "", option.module)
    if isinstance(effect, Refusal):
        # What the search offers exists and is free; a refusal would be a fault of the search.
        raise RuntimeError(f"{option.words}: {effect.sentence}")  # noqa: TRY004 - no matter of types
    return replace(option, effect=effect)


def _ranked(
    load_id: str, options: tuple[PlaceOption, ...], rejected: tuple[PlaceOption, ...], before: Basis
) -> PlaceOptions:
    costed = sum(option.effect is not None for option in options)
    more = len(options) - costed
    text = f"{counted(costed, 'place is', 'places are')} costed"
    if more:
        text += f"; {more} more {'was' if more == 1 else 'were'} not costed"
    return PlaceOptions(load_id, tuple(sorted(options, key=_rank)), rejected, costed, text, before)


def _promise(option: PlaceOption) -> tuple[int, bool, tuple[Decimal, ...], *_Room]:
    """Order before costing: what fits, cheap by wire and chip, with channels to spare."""
    return STATES.index(option.state), option.rough is None, _known(option.rough), *_room(option)


def _rank(option: PlaceOption) -> tuple[int, bool, bool, int, tuple[int, ...], bool, tuple[Decimal, ...], *_Room]:
    effect = option.effect
    missing = () if effect is None else (effect.cost_after.unknown,)
    change = option.rough if effect is None else effect.cost_change
    money = (change is None, _known(change))
    state = STATES.index(option.state)
    return (state, effect is None, _brings_errors(option), _warmth(option), missing, *money, *_room(option))


def _known(amount: Decimal | None) -> tuple[Decimal, ...]:
    """Return an amount as a sort key; unknown ones are set apart by the key before it."""
    return () if amount is None else (amount,)


def _brings_errors(option: PlaceOption) -> bool:
    return option.effect is not None and any(
        finding.severity == "error" and finding.outcome == "failed" for finding in option.effect.added
    )


def _is_good(option: PlaceOption) -> bool:
    return option.state == "fits" and not _brings_errors(option) and _warmth(option) < _WARMTHS.index("over")


def _nearness(option: PlaceOption) -> tuple[bool, bool, bool, int, NaturalKey]:
    checks = {own.check for own in option.reasons if own.certain}
    return "side" in checks, "channels" in checks, not option.module, len(checks), natural_key(option.words)


def _warmth(option: PlaceOption) -> int:
    """Order by heat; a module alone has no device to be too hot, and an option that is not costed is unknown."""
    if option.effect is None:
        return _WARMTHS.index("unknown")
    heat = option.effect.heat
    if heat is None:
        return _WARMTHS.index("unknown" if option.part else "within")
    return _WARMTHS.index(heat.warmth)


def _room(option: PlaceOption) -> _Room:
    """Order of what costs the same."""
    free = option.free_after
    return option.new_devices, free is None, () if free is None else (-free,), natural_key(option.words)
