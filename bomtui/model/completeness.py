"""What a load list of the trade usually has, per function of a subsystem, so that it can be asked for."""

PROMPTS: dict[str, dict[str, str]] = {
    "exterior_lighting": {
        "plate_lamp": "a plate lamp",
        "reversing_lamp": "a reversing lamp",
        "rear_fog_lamp": "a rear fog lamp",
        "hazard_switch": "a hazard switch",
    },
    "climate": {
        "cabin_sensor": "a temperature sensor of the cabin",
        "evaporator_sensor": "a temperature sensor of the evaporator",
        "recirculation_flap": "a flap for recirculated air",
    },
    "engine": {
        "starter_relay": "a starter relay",
        "main_relay": "a main relay",
        "pedal": "a pedal sensor",
        "crank_sensor": "a crankshaft sensor",
    },
    "body": {
        "horn": "a horn",
        "washer_pump": "a washer pump",
        "wiper_park": "a contact that tells where the wiper parks",
    },
    "doors": {
        "door_contact": "a contact that tells whether a door is open",
        "interior_lamp": "an interior lamp",
    },
    "audio": {
        "aerial_feed": "a feed of its aerial",
        "microphone": "a microphone",
    },
}
"""Questions per function: what a load answers, and what is asked for where none does (common practice, no source)."""

FUNCTIONS = tuple(PROMPTS)
ANSWERS = tuple(answer for prompts in PROMPTS.values() for answer in prompts)
