"""What a merge of modules does, in words for text and screens."""

from collections.abc import Iterator

from bomtui.services.merge_modules import ModuleOpportunity
from bomtui.services.present import corners_text, signed_amount_text, value_text


def how(own: ModuleOpportunity) -> Iterator[str]:
    """Yield how modules become one, a sentence each."""
    others = ", ".join(module for module in own.modules if module != own.into)
    zone = f" ({own.zone})" if own.zone else ""
    head = f"one controller for all, {own.controller}" if own.controller else "each keeps its controller"
    housing = f", in {own.housing}" if own.housing else ""
    yield f"{others} into {own.into}{zone}: {head}{housing}"
    if own.separate:
        yield f"not one controller: {own.separate}"
    if own.going:
        yield f"goes: {', '.join(f'{device} {part}' for device, part in own.going)}"
    if own.further is not None:
        housing, saving, condition = own.further
        yield f"in {housing} it saves {signed_amount_text(saving)}: {condition}"
    yield from (f"taken for granted: {text}" for text in own.conditions)


def elements(own: ModuleOpportunity) -> str:
    """Say what is saved by cost element."""
    return ", ".join(f"{name.replace('_', ' ')} {signed_amount_text(amount)}" for name, amount in own.elements.items())


def changes(own: ModuleOpportunity) -> Iterator[str]:
    """Yield the other figures that change."""
    now, then = own.before, own.after
    yield f"{now.devices} devices, then {then.devices}"
    yield f"pins {now.pins_used} of {now.pins}, then {then.pins_used} of {then.pins}"
    wire = tuple(value_text(float(side.wire_length_m), "length") for side in (now, then))
    yield f"wire {wire[0]}, then {wire[1]}"
    standby = tuple(corners_text(side.standby_a, "current") for side in (now, then))
    yield f"standby of the vehicle {standby[0]}, then {standby[1]}"
