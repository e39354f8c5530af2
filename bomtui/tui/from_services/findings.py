"""Findings and faults of the files as the screens show them, and which of them are open at which place."""

from collections.abc import Iterable, Iterator
from dataclasses import dataclass, field, replace

from bomtui.model import finding as model
from bomtui.model.ids import natural_key
from bomtui.model.variant import Acceptance
from bomtui.services.open import Problem
from bomtui.services.present import measured_text
from bomtui.services.review import Acceptances, Reviewed, RuleInfo, acceptances, rules
from bomtui.tui.from_services.names import Names
from bomtui.tui.marks import MARKS, Mark
from bomtui.tui.view import CHECKING, Finding

SEVERITY_MARKS: dict[model.Severity, Mark] = {"error": "over", "warning": "check", "hint": "note"}
UNDECIDED = "undecided"
UNKNOWN = "unknown"
UNKNOWN_COUNT = "?"
FILE = "file"
OPEN = "open"
NOT_FOUND = "not found now"

States = tuple[tuple[Mark, str, tuple[str, ...]], ...]
"""Marks and words of some findings, with the places that each is about, in an order of its own."""


@dataclass
class OpenFindings:
    """Open findings by place, each with mark and word.

    Attributes:
        are_known: Whether the rules have answered; until then nothing can be said of any place.
        words: Mark and word of each open finding, by its key, worst first.
        by_key: The open findings.
        at: Keys of the findings that are about a place.
        places: Places that each open finding is about.
    """

    are_known: bool = True
    words: dict[str, tuple[Mark, str]] = field(default_factory=dict)
    by_key: dict[str, Finding] = field(default_factory=dict)
    at: dict[str, set[str]] = field(default_factory=dict)
    places: dict[str, tuple[str, ...]] = field(default_factory=dict)

    def add(self, finding: Finding, places: Iterable[str]) -> None:
        """Take a finding with the addresses it is about; an accepted one is not counted."""
        if finding.status != OPEN:
            return
        self.words[finding.key] = (finding.mark, finding.word)
        self.by_key[finding.key] = finding
        self.places[finding.key] = tuple(places)
        for place in self.places[finding.key]:
            self.at.setdefault(place, set()).add(finding.key)

    def states_at(self, places: Iterable[str]) -> States | None:
        """Return what the findings at any of some places say; None while they are not known."""
        if not self.are_known:
            return None
        return tuple(sorted((*self.words[key], self.places[key]) for key in self.of(places)))

    def of(self, places: Iterable[str]) -> frozenset[str]:
        """Return the keys of the findings at any of some places."""
        return frozenset().union(*(self.at.get(place, ()) for place in places))

    def findings(self, places: Iterable[str]) -> tuple[Finding, ...] | None:
        """Return the findings at any of some places, worst first; None while they are not known."""
        if not self.are_known:
            return None
        wanted = self.of(places)
        return tuple(finding for key, finding in self.by_key.items() if key in wanted)

    def count(self, keys: Iterable[str]) -> str:
        """Write how many findings there are; nothing for none."""
        if not self.are_known:
            return UNKNOWN_COUNT
        number = len(list(keys))
        return str(number) if number else ""

    def state(self, keys: Iterable[str]) -> tuple[Mark, str]:
        """Return the worst mark of some findings, and how many bear its word."""
        if not self.are_known:
            return "", CHECKING
        words = [self.words[key] for key in keys]
        if not words:
            return "", ""
        mark, word = min(words, key=lambda pair: MARKS.index(pair[0]))
        count = words.count((mark, word))
        return mark, f"{count} {word}{'' if count == 1 or word == UNDECIDED else 's'}"


def shown_findings(
    names: Names, problems: Iterable[Problem], reviewed: Reviewed | None
) -> tuple[tuple[Finding, ...], OpenFindings]:
    """Return faults of the files, then findings, worst first; and which of them are open at which place."""
    shown: list[Finding] = []
    counted = OpenFindings()
    for made, places in (*_problems(names, problems), *_reviewed(names, reviewed)):
        shown.append(made)
        counted.add(made, places)
    return tuple(shown), counted


def _problems(names: Names, problems: Iterable[Problem]) -> Iterator[tuple[Finding, tuple[str, ...]]]:
    for number, problem in enumerate(problems):
        file = problem.file.replace("\\", "/").rpartition("/")[2]
        field_path = " ".join(filter(None, (problem.field, problem.column)))
        pieces = (file, "" if problem.line is None else f"line {problem.line}", field_path)
        places = names.places(problem.field)
        yield (
            Finding(
                key=f"file {number}",
                place=", ".join(filter(None, pieces)),
                mark="over",
                word="error",
                rule=FILE,
                message=problem.message,
                measured=problem.found,
                limit=problem.expected,
                remedy="Correct the file and open it again; what is faulty is left out of every figure.",
                address=places[0] if places else "",
            ),
            places,
        )


def _reviewed(names: Names, reviewed: Reviewed | None) -> Iterator[tuple[Finding, tuple[str, ...]]]:
    if reviewed is None:
        return
    known = {rule.name: rule for rule in rules()}
    given = acceptances(names.variant, reviewed.review)
    for number, finding in enumerate(reviewed.review.findings):
        places = names.places(finding.place)
        worded = _worded(rule_key(number), finding, places, known.get(finding.rule))
        yield _with_acceptance(worded, finding, given), places


def rule_key(number: int) -> str:
    """Return the key of the finding of this number in its review."""
    return f"rule {number}"


def _worded(key: str, finding: model.Finding, places: tuple[str, ...], rule: RuleInfo | None) -> Finding:
    is_undecided = finding.outcome == UNDECIDED
    compares = finding.measured is not None or finding.limit is not None
    return Finding(
        key=key,
        place=finding.place,
        mark="unknown" if is_undecided else SEVERITY_MARKS[finding.severity],
        word=UNDECIDED if is_undecided else finding.severity,
        rule=finding.rule,
        message=finding.message,
        measured=measured_text(finding.measured, finding.unit) if compares else "",
        limit=measured_text(finding.limit, finding.unit) if compares else "",
        remedy=finding.remedy,
        address=places[0] if places else "",
        about=() if rule is None else tuple(rule.text.splitlines()),
        can_be_accepted=rule is not None,
    )


def _with_acceptance(shown: Finding, finding: model.Finding, given: Acceptances) -> Finding:
    """Say who accepted a finding, or that an acceptance holds no more because the numbers changed."""
    holding, lapsed = given.of(finding), given.lapsed_of(finding)
    if holding is not None:
        key, acceptance = holding
        return replace(shown, status=f"accepted{_by(acceptance)}: {acceptance.reason}", accepted_id=key)
    if lapsed is None:
        return shown
    key, acceptance = lapsed
    then = f"{acceptance.measured or UNKNOWN} against {acceptance.limit or UNKNOWN}"
    words = f"accepted{_by(acceptance)} at other numbers ({then}): {acceptance.reason}"
    return replace(shown, lapsed=words, lapsed_id=key)


def settled(names: Names, shown: Iterable[Finding]) -> tuple[Finding, ...]:
    """Return the acceptances of a variant of which nothing is found any more, in natural order of their ids.

    Args:
        names: Where everything stands.
        shown: The findings of the variant, with the acceptances that belong to them.
    """
    belong = {key for finding in shown for key in (finding.accepted_id, finding.lapsed_id)}
    accepted = names.variant.accepted
    return tuple(
        _without_finding(names, key, accepted[key]) for key in sorted(accepted, key=natural_key) if key not in belong
    )


def _without_finding(names: Names, key: str, acceptance: Acceptance) -> Finding:
    places = names.places(acceptance.place)
    return Finding(
        key=f"accepted {key}",
        place=acceptance.place,
        mark="note",
        word=NOT_FOUND,
        rule=acceptance.rule,
        message="was accepted, and nothing of it is found any more",
        measured=acceptance.measured,
        limit=acceptance.limit,
        remedy="Withdraw the acceptance with W, or leave it for the case that the finding comes back at these numbers.",
        status=f"accepted{_by(acceptance)}: {acceptance.reason}",
        address=places[0] if places else "",
        accepted_id=key,
    )


def _by(acceptance: Acceptance) -> str:
    who = " ".join(filter(None, (acceptance.by, "" if acceptance.date is None else acceptance.date.isoformat())))
    return f" by {who}" if who else ""
