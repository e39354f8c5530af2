"""What passes between the program and its solver: one line of JSON each."""

from bomtui.model.base import Base
from bomtui.packing.problem import Packing, Problem
from bomtui.packing.proof import Certificate


class Effort(Base, frozen=True):
    """How far a search may go; see `packing.solver.improve.Work`."""

    rounds: int = 60
    column_rounds: int = 200
    nodes: int = 2_000
    dives: int = 8
    packing_steps: int = 60_000


class Question(Base, frozen=True):
    """A problem, a packing to begin with, and how far to go."""

    problem: Problem
    start: Packing | None
    effort: Effort


class News(Base, frozen=True, tag="news"):
    """How far a search has come.

    Attributes:
        round: Counts of chips asked so far.
        best: Cost of its best packing; None while it has none.
        bound: Its bound, not checked.
        packing: Its best packing where that is a new one, so that nothing is lost when the search is ended.
        certificate: What the bound rests on so far.
    """

    round: int
    best: int | None
    bound: int
    packing: Packing | None = None
    certificate: Certificate | None = None


class Found(Base, frozen=True, tag="found"):
    """What a search has found in the end."""

    packing: Packing | None
    certificate: Certificate
    bound: int
    stopped_by: str


class Failed(Base, frozen=True, tag="failed"):
    """Why a search broke off."""

    reason: str


Message = News | Found | Failed
