"""Gather the thermal sheet of a variant."""

from collections.abc import Iterator, Mapping

from bomtui.engine.calc import PLAIN
from bomtui.engine.heat import junction_margin_k
from bomtui.engine.on_heat import OnHeat
from bomtui.export.package.thermal import State, ThermalRow, ThermalSheet
from bomtui.export.records import bounded, heading, single
from bomtui.model.bound import Value, exceeds
from bomtui.model.ids import natural_key
from bomtui.model.part import Part
from bomtui.model.rollup import DeviceResult, Figure
from bomtui.services.package.subject import Subject


def thermal_sheet(subject: Subject) -> ThermalSheet:
    """Return heat and junction of every device as a record."""
    modules = sorted(subject.variant.modules, key=natural_key)
    return ThermalSheet(
        **heading(subject.basis, "Thermal sheet"),  # type: ignore[arg-type]
        devices=tuple(row for module in modules for row in _module(subject, module)),
    )


def _module(subject: Subject, module_id: str) -> Iterator[ThermalRow]:
    # Rules are loaded where somebody asks for findings or reasons, not at the start of the program.
    from bomtui.rules.heat_junction import KINDS_WITHOUT_JUNCTION

    rows = []
    for device in subject.rollup.modules[module_id].devices:
        part = subject.parts.get(device.part)
        # What has a thermal resistance is listed, and what should have one.
        if part is None or part.theta_ja_k_per_w is not None or part.kind not in KINDS_WITHOUT_JUNCTION:
            rows.append(_row(subject, module_id, device, part))
    return iter(sorted(rows, key=lambda row: natural_key(row.ref)))


def _row(subject: Subject, module_id: str, device: DeviceResult, part: Part | None) -> ThermalRow:
    from bomtui.rules.comparing import worst_of

    limit = None if part is None else part.junction_max_degc
    junctions, powers, runaway = _with_loads_on(subject, module_id, device)
    worst = worst_of(junctions, limit)
    mean = device.worst
    return ThermalRow(
        module=module_id,
        ref=device.ref,
        part=device.part,
        kind="" if part is None else part.kind,
        theta_k_per_w=None if part is None else part.theta_ja_k_per_w,
        air_degc=single(subject.electrics.air_degc[module_id]),
        mode=runaway or worst.mode,
        power_on_w=single(None if runaway else powers.get(worst.mode)),
        junction_on_degc=single(None if runaway else worst.value),
        junction_max_degc=limit,
        margin_k=single(None if runaway else PLAIN(junction_margin_k, limit_degc=limit, junction_degc=worst.value)),
        state="runaway" if runaway else _state(worst.value, limit),
        power_mean_w=bounded(Figure(typ=None, max=None) if mean is None else mean.power_w),
        junction_mean_degc=bounded(Figure(typ=None, max=None) if mean is None else mean.junction_degc),
    )


def _state(junction: Value, limit: float | None) -> State:
    over = exceeds(junction, limit)
    return "unknown" if over is None else "over" if over else "within"


def _with_loads_on(
    subject: Subject, module_id: str, device: DeviceResult
) -> tuple[Mapping[str, Value], Mapping[str, Value], str]:
    """Return junction and heat per mode at the worst values, and a mode in which there is no balance of the two."""
    electrics = subject.electrics
    heats: tuple[OnHeat, ...] | None = {
        **electrics.heat_max[module_id],
        **electrics.fet_heat_max[module_id],
    }.get(device.ref)
    if heats is not None:
        runaway = next((heat.mode for heat in heats if heat.runaway), "")
        return (
            {heat.mode: heat.junction_degc for heat in heats},
            {heat.mode: heat.power_w for heat in heats},
            runaway,
        )
    powers = {mode.mode: mode.power_w.max for mode in device.modes}
    return electrics.chip_degc_max[module_id].get(device.ref, {}), powers, ""
