"""Gather the power budget of a variant."""

from collections.abc import Iterator

from bomtui.engine.calc import PLAIN
from bomtui.engine.rail_load import loaded_supplies
from bomtui.engine.reserve import free_ratio
from bomtui.engine.supply import supply_plan
from bomtui.engine.supply_range import supply_high_v, supply_low_v
from bomtui.export.package.power import VEHICLE, ConsumerRow, ModeRow, PowerBudget, SupplyRow
from bomtui.export.records import bounded, heading, single
from bomtui.model.bound import Value
from bomtui.model.ids import natural_key
from bomtui.model.part import Part
from bomtui.model.rollup import Figure, ModeCurrent
from bomtui.model.variant import BATTERY
from bomtui.services.package.subject import Subject


def power_budget(subject: Subject) -> PowerBudget:
    """Return currents per mode, supply and consumer as a record."""
    modules = sorted(subject.variant.modules, key=natural_key)
    return PowerBudget(
        **heading(subject.basis, "Power budget"),  # type: ignore[arg-type]
        modes=(
            *(_mode(subject, VEHICLE, own) for own in subject.rollup.modes),
            *(_mode(subject, module, own) for module in modules for own in subject.rollup.modules[module].modes),
        ),
        supplies=tuple(_supplies(subject)),
        consumers=tuple(row for module in modules for row in _consumers(subject, module)),
    )


def _mode(subject: Subject, module: str, own: ModeCurrent) -> ModeRow:
    mode = subject.proposal.modes[own.mode]
    low, high = (_number(end) for end in (supply_low_v(mode), supply_high_v(mode)))
    return ModeRow(
        module=module,
        mode=own.mode,
        supply_low_v=low,
        supply_high_v=high,
        list_current_a=single(own.loads_a),
        loads_a=bounded(own.loads_at_mode_voltage_a),
        electronics_a=bounded(own.electronics_a),
        supply_a=bounded(own.supply_current_a),
        alternator_a=mode.alternator_current_a if module == VEHICLE else None,
    )


def _number(value: Value) -> float | None:
    return value if isinstance(value, float) else None


def _supplies(subject: Subject) -> Iterator[SupplyRow]:
    # Rules are loaded where somebody asks for findings or reasons, not at the start of the program.
    from bomtui.rules.comparing import worst_of

    for own in loaded_supplies(subject.electrics):
        module = subject.variant.modules[own.address.module]
        worst = worst_of(own.output_a, own.part.output_current_a)
        yield SupplyRow(
            module=own.address.module,
            ref=own.address.device,
            part=module.devices[own.address.device].part,
            rails=tuple(name for name, rail in module.rails.items() if rail.source == own.address.device),
            output_v=own.part.output_v,
            mode=worst.mode,
            output_a=single(worst.value),
            limit_a=own.part.output_current_a,
            margin_ratio=single(_margin(own.part, worst.value)),
        )


def _margin(part: Part, output_a: Value) -> Value:
    return PLAIN(free_ratio, total=part.output_current_a, used=output_a)


def _consumers(subject: Subject, module_id: str) -> Iterator[ConsumerRow]:
    module = subject.variant.modules[module_id]
    electronics = subject.proposal.settings.electronics
    typ, largest = (
        supply_plan(PLAIN, module_id, module, subject.parts, electronics, worst=worst) for worst in (False, True)
    )
    rows = []
    for ref, device in module.devices.items():
        part = subject.parts.get(device.part)
        inputs = tuple(device.supply) if part is None else tuple(part.supplies)
        for name in inputs:
            rail = typ.fed_by.get((ref, name), device.supply.get(name, ""))
            current = Figure(typ=typ.own_a.get((ref, name)), max=largest.own_a.get((ref, name)))
            voltage = module.rails[rail].voltage_v if rail in module.rails else None
            rows.append(
                ConsumerRow(
                    module=module_id,
                    rail=rail,
                    voltage_v=voltage,
                    ref=ref,
                    part=device.part,
                    supply_input=name,
                    current_a=bounded(current),
                    counted_in_load=device.counted_in_load,
                )
            )
    return iter(sorted(rows, key=lambda row: (row.rail != BATTERY, natural_key(row.rail), natural_key(row.ref))))
