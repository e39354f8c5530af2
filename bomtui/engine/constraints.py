"""Whether a part breaks what the customer asks of parts: the one comparison that rules and candidate lists ask."""

import re
from collections.abc import Iterable, Mapping
from dataclasses import dataclass
from typing import Literal

from bomtui.model.constraints import Constraints
from bomtui.model.part import GRADES, Part

Check = Literal["forbidden", "maker", "grade", "package"]

KINDS_WITHOUT_PACKAGE = frozenset(("connector", "board", "housing"))
"""Kinds that come in no package, so that an absent one is no gap (common practice, no source)."""


@dataclass(frozen=True, slots=True)
class Breach:
    """One thing in which a part breaks what the customer asks.

    Attributes:
        check: forbidden: it is one of the forbidden parts; maker: its maker is not approved; grade: its ambient grade
            is below the lowest that is accepted; package: its package is of a family that is not accepted.
        measured: What the part has: key, maker, grade or package; None where that is not known.
        limit: What the customer asks, in words.
        certain: False where something unknown decides whether it breaks it.
    """

    check: Check
    measured: str | None
    limit: str
    certain: bool = True


def breaches(key: str, part: Part | None, constraints: Constraints, parts: Mapping[str, Part]) -> tuple[Breach, ...]:
    """Return everything in which a part breaks the customer's constraints; empty where it breaks none.

    Which parts a variant must keep is no property of one part; see `is_used`.

    Args:
        key: Catalog key of the part.
        part: Its data; None where nothing is known of it, which leaves all but its key undecided.
        constraints: What the customer asks.
        parts: Frozen parts by catalog key, for what is known of the forbidden ones.

    Source: the constraints are the customer's; grades as in AEC-Q100, G0 best.
    """
    found = (
        _forbidden(key, part, constraints, parts),
        _maker(part, constraints),
        _grade(part, constraints),
        _package(part, constraints),
    )
    return tuple(breach for breach in found if breach is not None)


def is_used(key: str, used: Iterable[str], parts: Mapping[str, Part]) -> bool | None:
    """Tell whether a part is among those that a variant uses; None where something unknown decides.

    Args:
        key: Catalog key of the part.
        used: Catalog keys of the parts that the variant uses.
        parts: Frozen parts by catalog key.
    """
    answers = {_is_same(key, parts.get(key), other, parts.get(other)) for other in used}
    if True in answers:
        return True
    return None if None in answers else False


def in_package_family(package: str, family: str) -> bool:
    """Tell whether a package belongs to a family.

    It does where the family's text stands anywhere in the package's name, capital letters or not, and no letter
    follows it there: BGA is found in BGA121, LBGA-100 and FCBGA, and SO in SO8P but not in SOT3 or TSSOP16. A package
    that a maker names without these letters is not recognised. A blank family holds no package.

    Source: common practice, no source: makers write the family as letters and the terminals as a number behind it.
    """
    letters = family.strip()
    return bool(letters) and re.search(re.escape(letters) + r"(?![^\W\d_])", package, re.IGNORECASE) is not None


def _forbidden(key: str, part: Part | None, constraints: Constraints, parts: Mapping[str, Part]) -> Breach | None:
    answers = {other: _is_same(key, part, other, parts.get(other)) for other in constraints.forbidden}
    for answer in (True, None):
        for other, found in answers.items():
            if found is answer:
                return Breach("forbidden", key, f"not {other}", certain=answer is True)
    return None


def _maker(part: Part | None, constraints: Constraints) -> Breach | None:
    approved = {_plain(name): name for name in constraints.approved_makers if name.strip()}
    if not approved:
        return None
    limit = " or ".join(approved.values())
    if part is None or not part.maker.strip():
        return Breach("maker", None, limit, certain=False)
    return None if _plain(part.maker) in approved else Breach("maker", part.maker, limit)


def _grade(part: Part | None, constraints: Constraints) -> Breach | None:
    lowest = constraints.minimum_grade
    if lowest is None:
        return None
    if part is None or part.grade is None:
        return Breach("grade", None, lowest, certain=False)
    return Breach("grade", part.grade, lowest) if GRADES.index(part.grade) > GRADES.index(lowest) else None


def _package(part: Part | None, constraints: Constraints) -> Breach | None:
    families = [family for family in constraints.refused_packages if family.strip()]
    if not families or (part is not None and part.kind in KINDS_WITHOUT_PACKAGE and not part.package.strip()):
        return None
    if part is None or not part.package.strip():
        return Breach("package", None, f"no {' or '.join(families)}", certain=False)
    refused = [family for family in families if in_package_family(part.package, family)]
    return Breach("package", part.package, f"no {' or '.join(refused)}") if refused else None


def _is_same(key: str, part: Part | None, other_key: str, other: Part | None) -> bool | None:
    """Tell whether two keys stand for one part: the same key, or the same part number of the same maker.

    Where the part numbers are the same and one maker is unknown, that is not decided. Without a part number the keys
    decide.
    """
    if key.casefold() == other_key.casefold():
        return True
    if part is None or other is None or not part.mpn.strip() or _plain(part.mpn) != _plain(other.mpn):
        return False
    if not part.maker.strip() or not other.maker.strip():
        return None
    return _plain(part.maker) == _plain(other.maker)


def _plain(name: str) -> str:
    return " ".join(name.split()).casefold()
