"""Gather channels and controller pins of a variant."""

from collections.abc import Iterator, Mapping, Sequence

from bomtui.engine.pins import load_needs, pins_by_controller
from bomtui.export.package.channels import ChannelList, ChannelRow, PinRow
from bomtui.export.records import heading
from bomtui.model.ids import natural_key, parse_address
from bomtui.model.load import Load
from bomtui.model.part import DRIVER_KINDS, Part
from bomtui.model.variant import Device
from bomtui.services.package.subject import Subject

USED, SPARE, UNKNOWN = "used", "spare", "unknown"


def channel_list(subject: Subject) -> ChannelList:
    """Return channels and pins of a variant as a record."""
    modules = sorted(subject.variant.modules, key=natural_key)
    return ChannelList(
        **heading(subject.basis, "Channel and pin list"),  # type: ignore[arg-type]
        channels=tuple(row for module in modules for row in _Module(subject, module).rows()),
        pins=tuple(row for module in modules for row in _pins(subject, module)),
        pins_unknown=tuple(
            f"{module}.{name}" for module in modules for name in subject.rollup.modules[module].pins.unknown
        ),
    )


class _Module:
    """Channels of one module."""

    def __init__(self, subject: Subject, module_id: str) -> None:
        self._subject = subject
        self._id = module_id
        self._module = subject.variant.modules[module_id]
        self._on: dict[str, dict[int | None, list[str]]] = {}
        """Loads and feeds per device and channel; None stands for a device that is named without a channel."""
        self._without: list[str] = []
        for load_id in sorted(subject.variant.placements, key=natural_key):
            for address in map(parse_address, subject.variant.placements[load_id].on):
                if address.module != module_id:
                    continue
                if address.device:
                    self._on.setdefault(address.device, {}).setdefault(address.channel or None, []).append(load_id)
                else:
                    self._without.append(load_id)
        for feed_id, feed in subject.variant.feeds.items():
            if feed.switch:
                switch = parse_address(feed.switch)
                if switch.module == module_id and switch.device:
                    self._on.setdefault(switch.device, {}).setdefault(switch.channel or None, []).append(feed_id)

    def rows(self) -> Iterator[ChannelRow]:
        """Yield the channels device by device, then the loads without a channel."""
        for ref in sorted({*self._module.devices, *self._on}, key=natural_key):
            device = self._module.devices.get(ref)
            yield from self._device(ref, device)
        for load_id in self._without:
            yield self._row("", None, None, load_id, USED)

    def _device(self, ref: str, device: Device | None) -> Iterator[ChannelRow]:
        on = self._on.get(ref, {})
        part = None if device is None else self._subject.parts.get(device.part)
        count = None if part is None else part.channels
        numbers: list[int | None] = [number for number in on if number is not None]
        numbers = sorted({*numbers, *range(1, 1 if count is None else count + 1)}, key=lambda number: number or 1)
        for number in numbers:
            for load_id in on.get(number, ()):
                yield self._row(ref, device, number, load_id, USED)
            if number not in on and _drives(part):
                yield self._row(ref, device, number, "", SPARE)
        for load_id in on.get(None, ()):
            yield self._row(ref, device, None, load_id, USED)
        if device is not None and count is None and not on and (part is None or part.kind in DRIVER_KINDS):
            yield self._row(ref, device, None, "", UNKNOWN)

    def _row(self, ref: str, device: Device | None, channel: int | None, owner: str, state: str) -> ChannelRow:
        load = self._subject.proposal.loads.get(owner)
        placement = self._subject.variant.placements.get(owner) if load is not None else None
        function, pins = "", None
        if load is not None and not ref:
            function, pins = load_needs(load, self._module.zone, self._subject.proposal.settings)
        return ChannelRow(
            module=self._id,
            ref=ref,
            part="" if device is None else device.part,
            channel=channel,
            state=state,
            load=owner if load is not None or not owner else f"feed {owner}",
            name="" if load is None else load.name,
            drive="" if load is None else load.drive,
            joined="" if placement is None or placement.joined is None else placement.joined,
            pin_function=function if pins else "",
            pins=pins,
            commanded_by="" if device is None else device.commanded_by,
            wires=None if load is None else load.wire_count,
            wire_area_m2=None if placement is None else placement.circuit.wire_area_m2,
        )


def _drives(part: Part | None) -> bool:
    return part is not None and part.kind in DRIVER_KINDS


def _pins(subject: Subject, module_id: str) -> Iterator[PinRow]:
    module = subject.variant.modules[module_id]
    served = subject.serving.per_module[module_id]
    device_loads: dict[str, list[Load]] = {}
    for own in served:
        for ref, _ in own.devices:
            device_loads.setdefault(ref, []).append(subject.proposal.loads[own.load_id])
    loads: Sequence[Load] = [subject.proposal.loads[own.load_id] for own in served]
    entries, _ = pins_by_controller(module, subject.parts, device_loads, loads, subject.proposal.settings)
    for entry in entries:
        needs: Mapping[str, int] = entry.needs
        short: Mapping[str, int] = entry.short
        for function in sorted({*needs, *short}):
            yield PinRow(
                module=module_id,
                controller=entry.ref,
                part=module.devices[entry.ref].part if entry.ref else "",
                function=function,
                needed=needs.get(function),
                short=short.get(function),
                pins_of_controller=entry.total,
            )
