"""Values taken away one by one, and what figures and findings make of it."""

from collections import Counter
from collections.abc import Iterator, Mapping
from dataclasses import dataclass
from decimal import Decimal
from typing import Any

import msgspec

from bomtui.engine.figures import all_figures
from bomtui.engine.rollup import Computed, rollup
from bomtui.model.base import Base
from bomtui.model.bound import Range, Value
from bomtui.model.constraints import Constraints
from bomtui.model.fields import FieldInfo, field_table
from bomtui.model.finding import Finding, Review
from bomtui.model.limits import Levels
from bomtui.model.money import Total
from bomtui.model.parameter import Parameter
from bomtui.model.proposal import Snapshot
from bomtui.rules.memo import Memo
from bomtui.rules.run import review

SAYS_SOMETHING = frozenset((
    "alternates", "diagnosis", "duration_s", "exclusive_group", "function", "name", "note", "pwm_duty_ratio",
    "pwm_frequency_hz", "rated_power_max_w", "separate_from", "together_group",
))  # fmt: skip
"""Fields that say something where they are empty, beside those whose help says what: no other part can replace it, no
fault must be seen, it lasts for ever, it is in no group, nothing is asked of it, its name is its id, nothing is noted,
it is fully on or switched only, its largest power is its power, it is kept apart from none."""

ASK_NOTHING: tuple[type[Base], ...] = (Constraints, Levels)
"""Records of which an empty field says something: nothing is asked, or the voltage is that of the supply class."""

WIRING = frozenset(("counted_in_load", "feeds", "joined", "on", "stage", "supply"))
"""Fields that say what hangs on what: without them a variant is another one, and rules of wiring say what is wrong."""


TABLES = ("zones", "modes", "subsystems", "loads", "pairs", "decompositions")
OF_VARIANT = ("modules", "placements", "feeds", "networks")


@dataclass(frozen=True)
class Given:
    """One value that somebody gave.

    Attributes:
        path: Attribute names and keys from the snapshot to its record, such as `parts`, `hs12-2x5`.
        info: Its field.
        record: Type of its record.
    """

    path: tuple[str, ...]
    info: FieldInfo
    record: type[Base]

    @property
    def field(self) -> tuple[str, str]:
        """Its record type and field."""
        return self.record.__name__, self.info.name


@dataclass(frozen=True)
class Effect:
    """What it does to take a value away.

    Attributes:
        better: Figures that became another exact value.
        lost: Figures that are not known exactly any more.
        silent: Rule and place of findings that vanished, none being there that names the value in its place.
        told: Findings that were not there before.
    """

    better: tuple[str, ...]
    lost: tuple[str, ...]
    silent: tuple[tuple[str, str], ...]
    told: tuple[Finding, ...]

    @property
    def shows(self) -> bool:
        """Whether a figure became a bound or unknown, or a finding says what was not said before."""
        return bool(self.lost or self.told)


def can_be_unknown(record: type[Base], info: FieldInfo) -> bool:
    """Tell whether a field without its value is one that nobody knows; others say something by being absent."""
    if record in ASK_NOTHING or "absent" in info.help or info.name in SAYS_SOMETHING | WIRING:
        return False
    if info.required or info.informational or info.shape in ("record", "records"):
        return False
    return info.default in (None, "", (), {}, Parameter())


def values_of(path: tuple[str, ...], record: Base) -> Iterator[Given]:
    """Yield every value of a record, and of the records in it, that could as well be unknown."""
    for info in field_table(type(record)):
        value = getattr(record, info.name)
        if info.shape == "record" and value is not None:
            yield from values_of((*path, info.name), value)
        elif info.shape == "records":
            for key, own in value.items():
                yield from values_of((*path, info.name, key), own)
        elif can_be_unknown(type(record), info) and value != info.default:
            yield Given(path, info, type(record))


def all_values(sample: Snapshot, variant: str) -> Iterator[Given]:
    """Yield every value of parts, vehicle and a variant that could as well be unknown."""
    for key, part in sample.parts.items():
        yield from values_of(("parts", key), part)
    proposal = sample.proposal
    for name in ("vehicle", "settings"):
        yield from values_of(("proposal", name), getattr(proposal, name))
    for table in TABLES:
        for key, record in getattr(proposal, table).items():
            yield from values_of(("proposal", table, key), record)
    for table in OF_VARIANT:
        for key, record in getattr(proposal.variants[variant], table).items():
            yield from values_of(("proposal", "variants", variant, table, key), record)


class Walk:
    """A variant of which values are taken away one at a time.

    Args:
        sample: Proposal and parts.
        variant: Id of the variant.
    """

    def __init__(self, sample: Snapshot, variant: str) -> None:
        self._sample = sample
        self._variant = variant
        self._memo = Memo()
        self._before = rollup(sample, variant)
        self._figures = all_figures(self._before.result)
        self._findings = self._reviewed(self._before).findings
        self._answers = self._memo.known

    def without(self, given: Given) -> Effect:
        """Take one value away, and put it back."""
        computed = rollup(_without(self._sample, given.path, given.info), self._variant, self._before)
        # The answers of the complete variant, not those of the value that was taken away before.
        self._memo.known = self._answers
        findings = self._reviewed(computed).findings
        after = all_figures(computed.result)
        known = {name: value for name, value in self._figures.items() if _is_exact(value)}
        vanished = Counter(map(_place, self._findings)) - Counter(map(_place, findings))
        sentences = {finding.message for finding in self._findings}
        told = tuple(finding for finding in findings if finding.message not in sentences)
        is_named = any(_is_named(given, finding) for finding in told)
        return Effect(
            better=tuple(name for name, old in known.items() if _is_exact(after.get(name)) and after[name] != old),
            lost=tuple(name for name in known if not _is_exact(after.get(name))),
            silent=() if is_named else tuple(own for own in vanished if not _speaks_of(own, told)),
            told=told,
        )

    def _reviewed(self, computed: Computed) -> Review:
        asked = (computed.snapshot, self._variant, computed.result, computed.serving)
        return review(*asked, outputs=computed.modules, memo=self._memo)


def _place(finding: Finding) -> tuple[str, str]:
    return finding.rule, finding.place


def _speaks_of(vanished: tuple[str, str], told: tuple[Finding, ...]) -> bool:
    """Tell whether the same rule says, at the module, that it cannot tell of the place of a finding that vanished."""
    rule, place = vanished
    words = (finding.message.replace("(", " ").split() for finding in told if _is_open(finding, rule))
    return any(place in sentence for sentence in words)


def _is_open(finding: Finding, rule: str) -> bool:
    return finding.rule == rule and finding.outcome == "undecided"


def _is_named(given: Given, finding: Finding) -> bool:
    """Tell whether a finding names a value, or says at its record that something cannot be told.

    Tables of loads, modules and devices stand in no finding, nor does that of pairs.
    """
    table, key = given.path[-2:]
    owner = key if table in ("loads", "modules", "pairs", "placements", "proposal") else f"{table}.{key}"
    is_open = finding.outcome == "undecided" and f".{finding.place}".endswith(f".{owner}")
    return is_open or finding.place.startswith(f"{owner}.{given.info.key}")


def _is_exact(value: Value | Decimal | Total | None) -> bool:
    if isinstance(value, Total):
        return not value.unknown
    return value is not None and not isinstance(value, Range)


def _without(value: Any, path: tuple[str, ...], info: FieldInfo) -> Any:  # noqa: ANN401 - a snapshot, record or table
    if not path:
        return msgspec.structs.replace(value, **{info.name: info.default})
    head, rest = path[0], path[1:]
    if isinstance(value, Mapping):
        return {**value, head: _without(value[head], rest, info)}
    if isinstance(value, Snapshot):
        tables = {"proposal": value.proposal, "parts": value.parts}
        return Snapshot(**{**tables, head: _without(tables[head], rest, info)})
    return msgspec.structs.replace(value, **{head: _without(getattr(value, head), rest, info)})
