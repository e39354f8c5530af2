"""Chips that get too hot while their loads are on."""

from collections.abc import Iterator

from bomtui.engine.calc import PLAIN
from bomtui.engine.on_heat import OnHeat, needed_theta_k_per_w
from bomtui.model.bound import Value, ends
from bomtui.model.finding import Need, Verdict
from bomtui.model.ids import Address, natural_key
from bomtui.model.part import Part
from bomtui.model.quantity import display
from bomtui.model.rollup import DeviceMode
from bomtui.rules.comparing import worst_of
from bomtui.rules.context import Context, Rule, failed, helped_by, not_applicable, passed, undecided, warned

KINDS_WITHOUT_JUNCTION = frozenset(("passive", "connector", "board", "housing", "display", "sensor"))
"""Kinds whose data sheets give no junction temperature: they are judged by the air around them alone (common practice,
no source)."""
RUNAWAY = "no balance"
UNKNOWN = "unknown"
NO_FETS = "unknown, as nothing says what it carries"


def ask(context: Context) -> Iterator[Verdict]:
    """A chip gets hotter than it may.

    What it asks:
        For every device: is its junction at most the maximum of its part in every mode, and a setting below it for a
        warning? Drivers are judged with all loads on that may be on, at full current, PWM and clamping of coils
        counted, a longest on-time by the square root of its share of the thermal time; of loads that are never on
        together the largest counts. All other chips are judged at their largest supply currents. All is worst: highest
        supply, largest on-resistance, a single chip on its reference board, in air that is warmer than the zone by a
        setting, or by what the heat of its module makes of its housing where that is more. It cannot tell where heat,
        thermal resistance or maximum are not given, nor where nothing says what a FET carries. Panels, sensors and
        parts without silicon are not asked.

    Why it matters:
        Above its maximum a chip switches off or fails, in summer and under full load, after every test in the
        laboratory has passed. The mean over a mode hides it: a heater that is on for ten minutes heats as if it were on
        for ever.

    Failing example:
        A fan of 11 A at 100 Hz on a switch with slow edges: 3.7 W of switching at 48 K/W is over 150 degC.

    Passing example:
        The same fan behind a pre-driver with FETs at 18 kHz.

    Source:
        Definition of thermal resistance as in JESD51, on-resistance rising in a straight line; margin, thermal time and
        rise of the air are common practice, no source.
    """
    for module_id in sorted(context.variant.modules, key=natural_key):
        module = context.variant.modules[module_id]
        means = {own.ref: own.modes for own in context.results[module_id].devices}
        driving = {**context.electrics.heat_max[module_id], **context.electrics.fet_heat_max[module_id]}
        for ref in sorted(module.devices, key=natural_key):
            place = Address(module_id, ref)
            part = context.parts.get(module.devices[ref].part)
            if part is None:
                yield undecided(str(place), None, None, "degC", part=module.devices[ref].part, reading=UNKNOWN)
            elif part.kind in KINDS_WITHOUT_JUNCTION or module.devices[ref].carries == "converter":
                yield not_applicable(str(place))
            elif ref in driving:
                yield _driver(context, place, part, driving[ref], means[ref])
            else:
                yield _other(context, place, part)


def _driver(
    context: Context, place: Address, part: Part, heats: tuple[OnHeat, ...], means: tuple[DeviceMode, ...]
) -> Verdict:
    limit = part.junction_max_degc
    wild = next((heat for heat in heats if heat.runaway), None)
    if wild is not None:
        reading = f"{RUNAWAY} of heat and temperature"
        facts = {"part": _key(context, place), "mode": wild.mode, "reading": reading}
        return failed(str(place), RUNAWAY, limit, "degC", **facts)
    worst = worst_of({heat.mode: heat.junction_degc for heat in heats}, limit)
    heat = next((heat for heat in heats if heat.mode == worst.mode), None)
    mean = next((own for own in means if own.mode == worst.mode), None)
    verdict = _judged(context, place, part, worst.mode, worst.value, mean)
    if verdict.outcome != "failed" or heat is None:
        return verdict
    theta = PLAIN(
        needed_theta_k_per_w,
        limit_degc=limit,
        air_degc=context.electrics.air_degc[place.module],
        constant_w=heat.constant_w,
        cold_conduction_w=heat.conduction_w,
        slope_per_k=heat.slope_per_k,
    )
    if not isinstance(theta, float) or theta <= 0:
        return verdict
    return helped_by(verdict, Need(kinds=(part.kind,), most={"theta_ja_k_per_w": theta}))


def _other(context: Context, place: Address, part: Part) -> Verdict:
    worst = worst_of(context.electrics.chip_degc_max[place.module][place.device], part.junction_max_degc)
    return _judged(context, place, part, worst.mode, worst.value, None)


def _judged(
    context: Context, place: Address, part: Part, mode: str, junction: Value, mean: DeviceMode | None
) -> Verdict:
    limit, key = part.junction_max_degc, _key(context, place)
    if limit is None or junction is None:
        why = NO_FETS if part.kind == "fet" else UNKNOWN
        return undecided(str(place), junction, limit, "degC", part=key, reading=why)
    margin_k = context.settings.limits.junction_margin_k
    low, high = ends(junction)
    facts = {"part": key, "mode": mode}
    # Above its maximum a chip has no temperature any more: the model has a figure.
    if low > limit:
        reading = f"over {_degc(limit)} (model {_degc(low)}){_mean(mean, limit)}"
        return failed(str(place), junction, limit, "degC", **facts, reading=reading)
    warm_degc = limit - margin_k
    if low > warm_degc:
        reading = f"{_degc(low)}, closer than {display(margin_k, 'temperature_difference')} to its maximum"
        return warned(str(place), junction, warm_degc, "degC", **facts, reading=reading)
    if high > warm_degc:
        return undecided(str(place), junction, limit, "degC", part=key, reading=f"at least {_degc(low)}")
    return passed(str(place), junction, limit, "degC")


def _mean(mean: DeviceMode | None, limit: float) -> str:
    value = None if mean is None else mean.junction_degc.max
    if not isinstance(value, float):
        return ""
    words = f"over {_degc(limit)} (model {_degc(value)})" if value > limit else _degc(value)
    return f", by the mean heat of the mode {words}"


def _key(context: Context, place: Address) -> str:
    return context.variant.modules[place.module].devices[place.device].part


def _degc(value: float) -> str:
    return display(value, "temperature", unicode=False)


RULE = Rule(
    name="heat.junction",
    severity="error",
    failed="the junction of {place} ({part}) in {mode}: {reading}; {limit} is allowed",
    undecided="the junction of {place} ({part}) is {reading}, {limit} is allowed: whether it gets too hot is unknown",
    remedy=(
        "Choose a part with a larger die for {place}, give it more copper, spread its loads, cut its losses or move it"
        " to a cooler zone."
    ),
    ask=ask,
    scope="modules",
)
