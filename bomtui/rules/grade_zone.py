"""Parts whose ambient grade does not suit the place of their module."""

from collections.abc import Iterator

from bomtui.engine.grade import GRADE_MAX_DEGC, with_margin_degc
from bomtui.model.bound import exceeds
from bomtui.model.finding import Verdict
from bomtui.model.ids import natural_key
from bomtui.model.variant import Module
from bomtui.rules.context import Context, Rule, failed, passed, undecided, warned
from bomtui.rules.wording import listed

NO_GRADE = "no grade"


def ask(context: Context) -> Iterator[Verdict]:
    """A part's ambient grade is too low for the air around it.

    What it asks:
        For every module and every ambient grade among its parts, boards left out: is the air at the board, that is the
        zone and a rise by setting, or by the heat of the module in its housing where that is more, at most the highest
        ambient temperature of the grade? Closer than a setting is a warning. It cannot tell where the temperature of
        the zone, or the grade of a part, is not given.

    Why it matters:
        A part outside of its grade has not been tested: it may start, and drift or fail on the first hot day.

    Failing example:
        A controller of grade G3, up to 85 degC, in a module of an engine bay of 105 degC.

    Passing example:
        A controller of grade G1, up to 125 degC, in a cab of 65 degC.

    Source:
        Grades of AEC-Q100, 150, 125, 105 and 85 degC, seen second-hand; rise and margin are common practice, no source.
    """
    for module_id in sorted(context.variant.modules, key=natural_key):
        grades = _grades(context, context.variant.modules[module_id])
        for grade in sorted(grades):
            yield _verdict(context, module_id, grade, grades[grade])


def _grades(context: Context, module: Module) -> dict[str, list[str]]:
    keys = dict.fromkeys([*[device.part for device in module.devices.values()], *module.items])
    found: dict[str, list[str]] = {}
    for key in sorted(keys, key=natural_key):
        part = context.parts.get(key)
        if part is None or part.kind != "board":
            grade = None if part is None else part.grade
            found.setdefault(grade or NO_GRADE, []).append(key)
    return found


def _verdict(context: Context, module_id: str, grade: str, keys: list[str]) -> Verdict:
    air = context.electrics.air_degc[module_id]
    limit = GRADE_MAX_DEGC.get(grade)
    close = context.electrics.calc(with_margin_degc, air_degc=air, margin_k=context.settings.limits.grade_margin_k)
    facts = {"parts": listed(keys), "grade": grade}
    over = exceeds(air, limit)
    if over is None:
        return undecided(module_id, air, limit, "degC", **facts)
    if over:
        return failed(module_id, air, limit, "degC", **facts)
    # Exactly at the margin is a warning: the trade asks for more than it.
    if exceeds(limit, close):
        return passed(module_id, air, limit, "degC")
    return warned(module_id, air, limit, "degC", **facts)


RULE = Rule(
    name="grade.zone",
    severity="error",
    failed="the air at the boards of {place} is {measured}, grade {grade} of {parts} ends at {limit}",
    undecided="the air at the boards of {place} is {measured}, grade {grade} of {parts} ends at {limit}: whether it"
    " suits"
    " is unknown",
    remedy="Choose parts of a better grade in {place}, move it to a cooler zone, or ventilate it.",
    ask=ask,
    scope="modules",
)
