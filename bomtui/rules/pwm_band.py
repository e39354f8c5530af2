"""Loads dimmed at a frequency that is seen or heard."""

from collections.abc import Iterator

from bomtui.model.bound import exceeds
from bomtui.model.finding import Verdict
from bomtui.model.ids import natural_key
from bomtui.model.load import Load
from bomtui.model.quantity import display
from bomtui.rules.context import Context, Rule, not_applicable, passed, undecided, warned

LED_KINDS = frozenset(("led_lamp", "led_string"))


def ask(context: Context) -> Iterator[Verdict]:
    """A load is dimmed at a frequency that people see or hear.

    What it asks:
        For every lamp, LED and fan under PWM: is its frequency in the band for its kind, by settings: 90 to 200 Hz for
        filament lamps, from 200 Hz on for LEDs, up to 100 Hz or from 18 kHz on for fans? It cannot tell where the
        frequency is not given. Other loads are not asked.

    Why it matters:
        Below its band light flickers in the corner of the eye and on every camera; between the bands a fan sings.

    Failing example:
        A fan at 2 kHz.

    Passing example:
        The same fan at 20 kHz.

    Source:
        Common practice, no source.
    """
    limits = context.settings.limits
    for load_id in sorted(context.loads, key=natural_key):
        load = context.loads[load_id]
        frequency = load.pwm_frequency_hz
        if not _is_dimmed(load):
            yield not_applicable(load_id)
        elif load.behaviour == "filament":
            band = f"{_hz(limits.lamp_pwm_low_hz)} to {_hz(limits.lamp_pwm_high_hz)}"
            wrong = _any(exceeds(limits.lamp_pwm_low_hz, frequency), exceeds(frequency, limits.lamp_pwm_high_hz))
            yield _verdict(load_id, frequency, band, "the light of a filament", wrong=wrong)
        elif load.kind in LED_KINDS:
            band = f"{_hz(limits.led_pwm_low_hz)} and more"
            wrong = exceeds(limits.led_pwm_low_hz, frequency)
            yield _verdict(load_id, frequency, band, "the light of an LED", wrong=wrong)
        elif load.kind == "fan":
            band = f"up to {_hz(limits.fan_pwm_low_hz)} or {_hz(limits.fan_pwm_high_hz)} and more"
            slow, fast = exceeds(frequency, limits.fan_pwm_low_hz), exceeds(limits.fan_pwm_high_hz, frequency)
            wrong = None if slow is None or fast is None else slow and fast
            yield _verdict(load_id, frequency, band, "the tone of a fan", wrong=wrong)
        else:
            yield not_applicable(load_id)


def _is_dimmed(load: Load) -> bool:
    return load.pwm_frequency_hz is not None or any(duty < 1 for duty in load.pwm_duty_ratio.values())


def _any(*answers: bool | None) -> bool | None:
    if True in answers:
        return True
    return None if None in answers else False


def _verdict(load_id: str, frequency: float | None, band: str, what: str, *, wrong: bool | None) -> Verdict:
    measured = None if frequency is None else _hz(frequency)
    if wrong is None:
        return undecided(load_id, measured, band, what=what)
    return warned(load_id, measured, band, what=what) if wrong else passed(load_id, measured, band)


def _hz(value: float) -> str:
    return display(value, "frequency", unicode=False)


RULE = Rule(
    name="pwm.band",
    severity="warning",
    failed="{place} is dimmed at {measured}; for {what} it should be {limit}",
    undecided="{place} is dimmed at {measured}; for {what} it should be {limit}: whether it is is unknown",
    remedy="Choose a PWM frequency of {limit} for {place}.",
    ask=ask,
    scope="modules",
)
