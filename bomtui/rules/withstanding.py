"""What a part on the battery stands, held against the highest voltage of a test."""

from bomtui.engine.battery_side import OnBattery, stands_v
from bomtui.model.bound import exceeds
from bomtui.model.finding import Need, Verdict
from bomtui.rules.context import failed, helped_by, passed, undecided


def withstanding(own: OnBattery, limit_v: float | None) -> Verdict:
    """Tell whether a part stands a voltage, and what part would.

    Args:
        own: A device on the battery.
        limit_v: The voltage [V]; None where nobody knows it.
    """
    place, measured = str(own.address), stands_v(own.part)
    short = exceeds(limit_v, measured)
    if short is None:
        return undecided(place, measured, limit_v, "V", part=own.device.part)
    if not short or limit_v is None:
        return passed(place, measured, limit_v, "V")
    name = "drain_source_v" if own.part.kind == "fet" else "absolute_max_v"
    verdict = failed(place, measured, limit_v, "V", part=own.device.part)
    return helped_by(verdict, Need(kinds=(own.part.kind,), least={name: limit_v}))
