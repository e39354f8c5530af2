"""Shares of a level, and the level to which a load has to be built."""

import itertools

import pytest

from bomtui.engine.decomposition import LAWFUL_SHARES, as_built, built_to, is_lawful
from bomtui.model.load import Load
from bomtui.model.proposal import Assumption, Info, Proposal
from bomtui.model.safety import SAFETY_LEVELS
from bomtui.model.vehicle import Decomposition, Vehicle

# ISO 26262-9 clause 5, from memory: levels count 0 to 4, and two shares add to the level that is asked.
WORTH = {level: worth for worth, level in enumerate(SAFETY_LEVELS)}


@pytest.mark.parametrize("asked", SAFETY_LEVELS)
def test_shares_add_to_the_level_that_is_asked(asked: str) -> None:
    """Two shares are lawful exactly where they add to the level, in either order; QM has none."""
    for one, other in itertools.product(SAFETY_LEVELS, repeat=2):
        own = Decomposition(one="L1", other="L2", one_level=one, other_level=other)
        assert is_lawful(asked, own) is (asked != "QM" and WORTH[one] + WORTH[other] == WORTH[asked])
    assert set(LAWFUL_SHARES) == set(SAFETY_LEVELS) - {"QM"}


def proposal(own: Decomposition, status: str = "open", scheme: str = "ASIL") -> Proposal:
    """A proposal with two loads of B and a decomposition."""
    return Proposal(
        proposal=Info(name="x"),
        vehicle=Vehicle(),
        loads={"L1": Load(subsystem="S", safety="B", safety_scheme=scheme), "L2": Load(subsystem="S", safety="B")},
        decompositions={"D1": own},
        assumptions={"A1": Assumption(text="independent", status=status)},
    )


SHARED = Decomposition(one="L1", other="L2", one_level="A", other_level="A", independence="A1")


def test_a_share_counts_where_it_is_lawful_and_recorded() -> None:
    """Without a record, with a refuted one, with a level that is not given or no share the full level stays."""
    assert built_to(proposal(SHARED), "L1") == "A"
    assert as_built(proposal(SHARED), "L2").safety == "A"
    assert built_to(proposal(SHARED, "refuted"), "L1") == "B"
    for wrong in (
        Decomposition(one="L1", other="L2", one_level="A", other_level="A"),
        Decomposition(one="L1", other="L2", one_level="A", independence="A1"),
        Decomposition(one="L1", other="L2", one_level="A", other_level="QM", independence="A1"),
    ):
        assert built_to(proposal(wrong), "L1") == "B"


def test_other_schemes_have_no_shares() -> None:
    """A performance level is not divided."""
    assert built_to(proposal(SHARED, scheme="PL"), "L1") == "B"
