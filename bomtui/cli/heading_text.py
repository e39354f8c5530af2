"""The heading and the end of every text result: what it is of, and what a reader must know."""

from collections.abc import Iterable

from bomtui.cli.layout import wrapped
from bomtui.services.artefact import facts
from bomtui.services.program import ESTIMATES
from bomtui.services.review import Reviewed, checked_text, findings_text

_OWN_LINES = ("title", "notice", "caution")


def heading_lines(reviewed: Reviewed, what: str) -> list[str]:
    """Return title, notice, and revision, hash, program, price date and open errors in few lines."""
    known = facts(reviewed, what)
    own = [text for label, text in known if label in {"title", "notice"}]
    rest = ", ".join(f"{label} {text}" for label, text in known if label not in _OWN_LINES)
    return [line for text in own for line in wrapped(text)] + wrapped(rest)


def checks_lines(reviewed: Reviewed) -> list[str]:
    """Return how many findings there are, what was checked and what was not."""
    rules = ", ".join(count.rule for count in reviewed.review.counts)
    return [
        f"Findings: {findings_text(reviewed.review)}",
        *wrapped(checked_text(reviewed.review), 2),
        *wrapped(f"rules: {rules}", 2, 4),
    ]


def caution_lines() -> list[str]:
    """Return the caution that ends every text result."""
    return wrapped(ESTIMATES)


def page(*sections: Iterable[str]) -> str:
    """Join sections with an empty line between them, empty ones left out."""
    return "\n\n".join(text for section in sections if (text := "\n".join(section))) + "\n"
