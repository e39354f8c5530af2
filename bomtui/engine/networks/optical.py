"""Optical rings: what is left of the light at the next node."""

from bomtui.engine.calc import formula


@formula(
    "power_dbm - fibre_m * fibre_loss_db_per_m - bends * bend_loss_db - connectors * connector_loss_db",
    "dBm",
    "sum of losses in decibels (common practice, no source)",
)
def received_light_dbm(
    power_dbm: float,
    fibre_m: float,
    fibre_loss_db_per_m: float,
    bends: int,
    bend_loss_db: float,
    connectors: int,
    connector_loss_db: float,
) -> float:
    """Lowest power of the light that reaches the next node.

    Args:
        power_dbm: Lowest launched power [dBm].
        fibre_m: Length of the fibre [m].
        fibre_loss_db_per_m: Its loss [dB/m].
        bends: Tight bends.
        bend_loss_db: Loss of one [dB].
        connectors: Connectors.
        connector_loss_db: Loss of one [dB].

    Source: sum of losses in decibels (common practice, no source).
    """
    return power_dbm - fibre_m * fibre_loss_db_per_m - bends * bend_loss_db - connectors * connector_loss_db


@formula("received_dbm - sensitivity_dbm", "dB", "definition of a power budget")
def margin_db(received_dbm: float, sensitivity_dbm: float) -> float:
    """What a receiver gets beyond the least that it needs.

    Args:
        received_dbm: Power that reaches it [dBm].
        sensitivity_dbm: Least power at which it works [dBm].

    Source: definition of a power budget.
    """
    return received_dbm - sensitivity_dbm
