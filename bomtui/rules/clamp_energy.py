"""Coils that put more energy into a switch than it stands when they are turned off."""

from collections.abc import Iterator

from bomtui.engine.turn_off import TurnOff, allowed, energies, turn_offs
from bomtui.model.finding import Need, Verdict
from bomtui.rules.comparing import worst_of
from bomtui.rules.context import Context, Rule, failed, helped_by, not_applicable, passed, undecided


def ask(context: Context) -> Iterator[Verdict]:
    """A coil that is turned off puts more energy into its switch than the switch stands.

    What it asks:
        For every coil and every switch without a freewheel path that carries its current: is the energy of one turn-off
        at most a share, by setting, of the single energy that the part stands, and where it is turned off at every
        cycle of PWM or of the engine at most what the part stands at every cycle? The energy counts the resistance of
        the coil, the largest current at the highest supply of every mode, and the lowest clamp voltage; of channels in
        parallel one takes it all. It cannot tell where inductance, current, clamp or its energies are not given.
        Bridges, and coils with a freewheel diode of their own, are not asked.

    Why it matters:
        The energy of a coil that finds no other path melts a few square millimetres of silicon in a millisecond. On the
        bench it works for weeks.

    Failing example:
        An engine stop solenoid of 60 mH and 2.4 A in a 24 V vehicle: 209 mJ into a switch for 80 mJ.

    Passing example:
        The same solenoid with a freewheel diode.

    Source:
        Closed form of the clamp with coil resistance as in data sheets of high-side switches, seen second-hand; the
        shares are common practice and data of the part.
    """
    for own in turn_offs(context.electrics):
        yield _verdict(context, own)


def _verdict(context: Context, own: TurnOff) -> Verdict:
    if own.freewheel or not own.modes:
        return not_applicable(own.load_id)
    device = context.device(own.device)
    key = "no part" if device is None else device.part
    limit = allowed(context.electrics, own)
    worst = worst_of(energies(context.electrics, own, worst=True), limit)
    often = " at every cycle" if own.every_cycle else ""
    facts = {"device": str(own.device), "part": key, "often": often}
    if worst.over is False:
        return passed(own.load_id, worst.value, limit, "J")
    if own.freewheel is None or worst.over is None:
        why = "whether it stands that" if own.freewheel is False else "whether it has a freewheel path"
        return undecided(own.load_id, worst.value, limit, "J", **facts, why=why)
    verdict = failed(own.load_id, worst.value, limit, "J", **facts, mode=worst.mode)
    kinds = (own.part.kind,) if own.part is not None else ()
    return helped_by(verdict, Need(kinds=kinds, has=("freewheel",)))


RULE = Rule(
    name="clamp.energy",
    severity="error",
    failed="turning {place} off in {mode} puts {measured} into {device} ({part}){often}, {limit} is allowed",
    undecided="turning {place} off puts {measured} into {device} ({part}){often}, {limit} is allowed: {why} is unknown",
    remedy="Place {place} on a channel with a freewheel path, or add a freewheel diode and say so in its `freewheel`.",
    ask=ask,
    scope="modules",
)
