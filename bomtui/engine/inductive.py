"""Which kinds of load go on with their current while the switch opens."""

INDUCTIVE_KINDS = frozenset(("motor", "fan", "stepper", "solenoid", "prop_valve", "injector", "coil", "relay", "horn"))
"""Load kinds whose current goes on while the switch opens."""
COIL_KINDS = frozenset(("solenoid", "prop_valve", "injector", "coil", "relay", "horn"))
"""Of these, the ones that bring no freewheel path of their own, as motors under PWM are taken to do."""
