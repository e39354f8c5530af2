"""Supplies that drop out while the engine is cranked."""

from collections.abc import Iterator

from bomtui.engine.crank import cranked_supplies
from bomtui.model.bound import exceeds
from bomtui.model.finding import Need, Verdict
from bomtui.rules.context import Context, Rule, failed, helped_by, passed, undecided


def ask(context: Context) -> Iterator[Verdict]:
    """A supply has too little input voltage while the engine is cranked.

    What it asks:
        For every supply that makes a rail in a module with a load in use while the engine is cranked: is the voltage at
        its input, at the dip of the supply and behind the reverse-battery protection, at least its lowest operating
        voltage and, unless it steps up, its output at the low end of its tolerance plus its drop-out? It cannot tell
        where one of these, or the topology that decides, is not given.

    Why it matters:
        A controller that resets in the dip of every cold start lets go of whatever it holds: fuel pump, injectors, stop
        lamps.

    Failing example:
        A buck converter that makes 12 V from 14 V upwards, in a 24 V vehicle that dips to 8 V.

    Passing example:
        A buck-boost converter that works from 3 V upwards.

    Source:
        Definition of drop-out; dips of 6 V and 8 V are common practice, no source; where nothing says its tolerance, a
        supply counts with a setting.
    """
    for own in cranked_supplies(context.electrics):
        place, key = str(own.address), context.variant.modules[own.address.module].devices[own.address.device].part
        facts = {"part": key, "mode": own.mode}
        short = exceeds(own.needed_v, own.input_v)
        if short is None:
            yield undecided(place, own.input_v, own.needed_v, "V", **facts)
        elif short:
            least = own.input_v if isinstance(own.input_v, float) else None
            verdict = failed(place, own.input_v, own.needed_v, "V", **facts)
            need = Need(kinds=(own.part.kind,), most={"operating_min_v": least} if least is not None else {})
            yield helped_by(verdict, need)
        else:
            yield passed(place, own.input_v, own.needed_v, "V")


RULE = Rule(
    name="supply.dropout",
    severity="error",
    failed="{part} at {place} needs {limit} at its input, and has {measured} in {mode}",
    undecided="{part} at {place} needs {limit} at its input, and has {measured} in {mode}: whether it drops out is"
    " unknown",
    remedy="Choose a supply that works at a lower voltage or steps up for {place}, or have nothing in use in {mode}.",
    ask=ask,
    scope="modules",
)
