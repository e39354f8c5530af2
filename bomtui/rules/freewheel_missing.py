"""Coils under PWM whose current has nowhere to go while the switch is off."""

from collections.abc import Iterator

from bomtui.engine.turn_off import is_pulsed, turn_offs
from bomtui.model.finding import Need, Verdict
from bomtui.rules.context import Context, Rule, failed, helped_by, not_applicable, passed, undecided

PATH = "freewheel path"
NO_PATH = "no freewheel path"


def ask(context: Context) -> Iterator[Verdict]:
    """A coil under PWM has no freewheel path.

    What it asks:
        For every coil under PWM and every switch that carries its current: has the part a freewheel path of its own, or
        the coil a freewheel diode? It cannot tell where the part does not say. Injectors and ignition coils, which are
        meant to be turned off fast, are not asked, and neither are bridges.

    Why it matters:
        Without such a path the current ends in the clamp at every cycle: the coil never carries its mean current, and
        the switch turns all of its energy into heat, watts where conduction makes tenths of one.

    Failing example:
        A proportional valve at 150 Hz on a low-side switch without a freewheel path.

    Passing example:
        The same valve on a switch with a freewheel path.

    Source:
        Common practice, no source.
    """
    for own in turn_offs(context.electrics):
        load = context.loads[own.load_id]
        if not is_pulsed(load):
            yield not_applicable(own.load_id)
        elif own.freewheel:
            yield passed(own.load_id, PATH, PATH)
        else:
            device = context.device(own.device)
            facts = {
                "device": str(own.device),
                "part": "no part" if device is None else device.part,
                "frequency": "PWM" if load.pwm_frequency_hz is None else f"{load.pwm_frequency_hz:g} Hz",
            }
            if own.freewheel is None:
                yield undecided(own.load_id, None, PATH, **facts)
            else:
                need = Need(kinds=(own.part.kind,) if own.part is not None else (), has=("freewheel",))
                yield helped_by(failed(own.load_id, NO_PATH, PATH, **facts), need)


RULE = Rule(
    name="freewheel.missing",
    severity="error",
    failed="{place} is switched at {frequency}, and {device} ({part}) has {measured}",
    undecided="{place} is switched at {frequency}: whether {device} ({part}) has a {limit} is unknown",
    remedy="Place {place} on a channel with a freewheel path, or add a freewheel diode and say so in its `freewheel`.",
    ask=ask,
    scope="modules",
)
