"""Kinds of part as people write them."""

KIND_WORDS = {
    "high_side": "high-side switch", "low_side": "low-side switch", "half_bridge": "half bridge",
    "full_bridge": "full bridge", "gate_driver": "gate driver", "led_driver": "LED driver",
    "ignition_driver": "ignition driver", "injector_driver": "injector driver", "fet": "FET",
    "transceiver_lin": "LIN transceiver", "transceiver_can": "CAN transceiver",
    "transceiver_eth": "Ethernet transceiver", "transceiver_optical": "optical transceiver",
    "transceiver_rf": "radio transceiver", "sbc": "system-basis chip", "ldo": "linear regulator", "dcdc": "converter",
    "reverse": "reverse-battery protection", "passive": "passive part",
}  # fmt: skip
"""Kinds of part in words; the others are words themselves."""


def kind_words(kind: str) -> str:
    """Return a kind of part as people write it."""
    return KIND_WORDS.get(kind, kind)
