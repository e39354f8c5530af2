"""Loads dimmed faster than their driver can switch."""

from collections.abc import Iterator

from bomtui.model.finding import Verdict
from bomtui.rules.context import Context, Rule
from bomtui.rules.fitting import verdicts


def ask(context: Context) -> Iterator[Verdict]:
    """A load has a PWM frequency above that of its driver.

    What it asks:
        For every load under PWM and every device on whose channels it is placed: is its PWM frequency at most the
        highest of the part? It cannot tell where either is not given; a load of drive code HSP, or with a duty, is
        under PWM. Amplifiers are not asked.

    Why it matters:
        Above its limit the edges of a driver fill the period: the duty is wrong, and switching heats the chip.

    Failing example:
        A fan at 18 kHz on a switch for at most 200 Hz.

    Passing example:
        The same fan on a pre-driver for at most 25 kHz.

    Source:
        Common practice, no source; the limit is that of the part's data sheet.
    """
    return verdicts(context, "pwm")


RULE = Rule(
    name="pwm.frequency",
    severity="error",
    failed="{place} is dimmed at {measured}, and {device} ({part}) switches at most at {limit}",
    undecided="the PWM frequency of {place} is {measured}, the highest of {device} ({part}) is {limit}: whether it can"
    " is unknown",
    remedy="Lower the frequency of {place}, or place it on a device that switches that fast.",
    ask=ask,
    scope="modules",
)
