"""LIN: frames, slots and the schedule that its commander keeps, and the capacitance of its line."""

from bomtui.engine.calc import formula


@formula("34 + 10 * (data_bytes + 1)", "", "LIN 2.x sec. 2.3.2, ISO 17987-3: header 34 bits, 10 bits a byte, checksum")
def frame_bits(data_bytes: int) -> int:
    """Bits of a frame whose sender and commander lose no time.

    Args:
        data_bytes: Data bytes, 1 to 8.

    Source: LIN 2.x sec. 2.3.2, ISO 17987-3, seen second-hand: 34 bits of header; a start and a stop bit beside each
    byte of data and checksum.
    """
    return 34 + 10 * (data_bytes + 1)


@formula("1.4 * (34 + 10 * (data_bytes + 1))", "", "LIN 2.x sec. 2.3.2, ISO 17987-3: 40 % beyond the nominal time")
def slot_bits(data_bytes: int) -> float:
    """Bit times for which a schedule must leave room for a frame.

    Args:
        data_bytes: Data bytes, 1 to 8.

    Source: LIN 2.x sec. 2.3.2, ISO 17987-3, seen second-hand: header and response may each take 1.4 times as long.
    """
    return 1.4 * (34 + 10 * (data_bytes + 1))


@formula("slot_s * per_cycle", "s", "slots of one length one after the other")
def slots_time_s(slot_s: float, per_cycle: int) -> float:
    """Time that a frame takes of one round of the schedule.

    Args:
        slot_s: One slot [s].
        per_cycle: Slots of the round that carry it.

    Source: slots of one length one after the other (definition).
    """
    return slot_s * per_cycle


@formula("cycle_s / per_cycle", "s", "slots evenly spread over the round")
def interval_s(cycle_s: float, per_cycle: int) -> float:
    """Time from one slot of a frame to its next.

    Args:
        cycle_s: One round of the schedule [s].
        per_cycle: Slots of the round that carry it, 1 or more.

    Source: slots evenly spread over the round (definition of the field).
    """
    return cycle_s / per_cycle


@formula("interval_s + slot_s", "s", "a signal that has just missed its slot waits for the next one")
def response_s(interval_s: float, slot_s: float) -> float:
    """Longest time from a changed signal to the end of the frame that carries it.

    Args:
        interval_s: Time from one slot of the frame to its next [s].
        slot_s: One slot [s].

    Source: a signal that has just missed its slot waits for the next one (derivation).
    """
    return interval_s + slot_s


@formula("length_m * cable_f_per_m", "F", "capacitance in proportion to length")
def cable_capacitance_f(length_m: float, cable_f_per_m: float) -> float:
    """Capacitance of the cable.

    Args:
        length_m: Cable with all branches [m].
        cable_f_per_m: Capacitance of one metre [F/m].

    Source: capacitance in proportion to length (definition).
    """
    return length_m * cable_f_per_m
