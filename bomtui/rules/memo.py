"""Answers of rules about shares of a variant, kept from one review to the next."""

from collections import Counter
from collections.abc import Mapping, Sequence
from dataclasses import dataclass, field
from operator import is_

from bomtui.model.finding import Finding
from bomtui.rules.shares import Share


@dataclass(frozen=True, slots=True)
class Answer:
    """What one rule says of one share.

    Attributes:
        findings: What it has found, as if nothing were accepted.
        said: How often it said what.
    """

    findings: tuple[Finding, ...]
    said: Counter[str]


@dataclass(frozen=True, slots=True)
class Known:
    """What rules have said of one share.

    Attributes:
        made_of: Everything in the share.
        answers: Answer by name of the rule, filled as rules are asked.
    """

    made_of: tuple[object, ...]
    answers: dict[str, Answer] = field(default_factory=dict)


@dataclass
class Memo:
    """The answers of one variant. Several threads may use it: an answer is taken for the very same records only.

    Attributes:
        known: What is known by the names of a share.
    """

    known: Mapping[tuple[str, ...], Known] = field(default_factory=dict)

    def answers_of(self, shares: Sequence[Share]) -> list[dict[str, Answer]]:
        """Return the answers about each share that hold, to be filled up, and forget all others."""
        former = self.known
        now = {share.names: _holding(share, former.get(share.names)) for share in shares}
        self.known = now
        return [now[share.names].answers for share in shares]


def _holding(share: Share, known: Known | None) -> Known:
    if known is not None and len(known.made_of) == len(share.made_of) and all(map(is_, known.made_of, share.made_of)):
        return known
    return Known(share.made_of)
