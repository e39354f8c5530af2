"""The heading and the end of every text result: what it is of, and what a reader must know."""

from collections.abc import Iterable, Iterator, Sequence

from bomtui.cli.layout import wrapped
from bomtui.model.ids import natural_key
from bomtui.services.artefact import ASSUMPTION, PACKAGE_FACTS, facts
from bomtui.services.program import ESTIMATES
from bomtui.services.review import Reviewed, checked_text, findings_text

Labelled = tuple[str, str]

_OWN_LINES = ("title", "notice", "caution")


def heading_lines(reviewed: Reviewed, what: str) -> list[str]:
    """Return title, notice, and revision, hash, program, price date and open errors in few lines."""
    known = facts(reviewed, what)
    own = [text for label, text in known if label in {"title", "notice"}]
    rest = ", ".join(
        f"{label} {text}"
        for label, text in known
        if label not in _OWN_LINES and label not in PACKAGE_FACTS and not _is_assumption(label)
    )
    return [line for text in own for line in wrapped(text)] + wrapped(rest)


def checks_lines(reviewed: Reviewed) -> list[str]:
    """Return how many findings there are, what was checked and what was not."""
    rules = ", ".join(count.rule for count in reviewed.review.counts)
    return [
        f"Findings: {findings_text(reviewed.review)}",
        *wrapped(checked_text(reviewed.review), 2),
        *wrapped(f"rules: {rules}", 2, 4),
    ]


def assumption_lines(*variants: Reviewed) -> list[str]:
    """Return what is taken for granted, who confirms it until when, and what changes if it is wrong; each once.

    What only one of two sides says, or says in other words, is marked with its side.
    """
    sides = [{fact for fact in facts(reviewed, "") if _is_assumption(fact[0])} for reviewed in variants]
    rows = [
        (natural_key(label), number, f"{_bare(label)}{mark}  {text}")
        for number, (mark, known) in enumerate(_marked(sides))
        for label, text in known
    ]
    if not rows:
        return []
    return ["Assumptions and open points", *(line for _, _, text in sorted(rows) for line in wrapped(text, 2, 6))]


def _marked(sides: Sequence[set[Labelled]]) -> Iterator[tuple[str, set[Labelled]]]:
    shared = set[Labelled]().union(*sides[:1]).intersection(*sides)
    yield "", shared
    for mark, own in zip((" (first side)", " (second side)"), sides, strict=False):
        yield mark, own - shared


def _is_assumption(label: str) -> bool:
    return label.startswith(f"{ASSUMPTION} ")


def _bare(label: str) -> str:
    return label.removeprefix(f"{ASSUMPTION} ")


def caution_lines() -> list[str]:
    """Return the caution that ends every text result."""
    return wrapped(ESTIMATES)


def page(*sections: Iterable[str]) -> str:
    """Join sections with an empty line between them, empty ones left out."""
    return "\n\n".join(text for section in sections if (text := "\n".join(section))) + "\n"
