"""How much of the heat of a load that soon ends counts."""

from bomtui.engine.calc import Gate
from bomtui.engine.on_losses import lasting_w, repeated_ratio
from bomtui.model.bound import Range, Value, at_most, ends
from bomtui.model.load import Load


def lasting(
    calc: Gate, loss_w: Value, load_id: str, load: Load, mode: str, mode_time_s: float | None, thermal_time_s: float
) -> Value:
    """Return the steady heat that stands for that of a load in a mode [W].

    Args:
        calc: Gate.
        loss_w: Heat while the load is on.
        load_id: Id of the load.
        load: The load: its longest on-time and its time share.
        mode: Id of the mode.
        mode_time_s: How long the mode lasts at a stretch; None where it may last for ever.
        thermal_time_s: On-time from which the rise is that of steady heat.
    """
    share = load.time_share_ratio.get(mode)
    unknown = frozenset((f"time share of {load_id} in {mode}",))
    times = [time for time in (load.on_time_max_s, mode_time_s) if time is not None]
    if times:
        repeated: Value = Range(0.0, 1.0, unknown) if share is None else share
        if mode_time_s is not None:
            repeated = calc(
                repeated_ratio, time_share_ratio=repeated, mode_time_s=mode_time_s, thermal_time_s=thermal_time_s
            )
        loss_w = calc(
            lasting_w,
            power_w=loss_w,
            on_time_s=min(times),
            thermal_time_s=thermal_time_s,
            time_share_ratio=repeated,
        )
    if share is not None or loss_w is None:
        return loss_w
    # Nothing says whether it is on at all.
    return at_most(ends(loss_w)[1], unknown)
