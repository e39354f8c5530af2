"""Fewer modules as a use case: what is taken together is judged together, and what does not go says why."""

from functools import cache

import jsonschema
import msgspec
import pytest

from bomtui.edit.edit import apply
from bomtui.engine.rollup import rollup
from bomtui.export.schema import published_schema
from bomtui.model.proposal import Snapshot
from bomtui.services.errors import UnknownNameError
from bomtui.services.merge_modules import ModulesMerged, ModulesWish, merge_modules
from bomtui.services.merge_modules_artefact import merge_modules_json
from bomtui.services.merge_modules_words import changes, how
from tests.services.test_merge import reviewed

# Whole variants are tried set by set.
pytestmark = pytest.mark.slow

MODULES = ("DCOO", "DENG", "DNAV")


@cache
def merged() -> ModulesMerged:
    """Three modules of the van, of which two become one."""
    return merge_modules(reviewed("van", "distributed"), ModulesWish(modules=MODULES))


def test_what_goes_and_what_it_saves_is_said() -> None:
    """Cooling into engine: what goes is named, and the elements add to the saving."""
    found = merged()
    assert [own.modules for own in found.opportunities] == [("DCOO", "DENG")]
    own = found.opportunities[0]
    assert dict(own.going) == {
        "DCOO.Q1": "fet40-1", "DCOO.U3": "mcu-24", "DCOO.U4": "sbc-lin", "DCOO.U5": "rev-1",
    }  # fmt: skip
    assert sum(own.elements.values()) == own.saving > 0
    assert own.before.devices - own.after.devices == 4
    assert next(how(own)) == "DCOO into DENG (Z1): one controller for all, mcu-engine, in case-al"
    assert next(changes(own)) == "117 devices, then 113"


def test_together_is_one_step_with_the_cost_that_was_announced() -> None:
    """The step gives the cost after it, as the rollup says it."""
    found = merged()
    assert found.together is not None
    assert (found.together.sets, found.every_set, found.tried) == ((("DCOO", "DENG"),), True, 4)
    snapshot = reviewed("van", "distributed").computed.opened.snapshot
    after = apply(found.together.edit, snapshot)
    assert isinstance(after, Snapshot)
    assert after.number == snapshot.number + 1
    assert rollup(after, "distributed").result.cost.total == found.after
    assert found.before.amount - found.after.amount == found.together.saving


def test_a_record_is_lawful_and_says_the_same() -> None:
    """The JSON follows its schema; blocked sets have their reasons, and the larger set is among them."""
    found = msgspec.json.decode(merge_modules_json(reviewed("van", "distributed"), merged()))
    jsonschema.validate(found, msgspec.json.decode(published_schema("merge-modules")))
    assert found["opportunities"][0]["saving"] == str(merged().opportunities[0].saving)
    assert [own["what"] for own in found["blocked"]] == ["DCOO+DNAV", "DENG+DNAV", "DCOO+DENG+DNAV"]
    assert all(own["reason"] and own["short"] and own["proved"] for own in found["blocked"])


def test_a_search_that_is_ended_says_how_far_it_came() -> None:
    """After the first set nobody wants more: what was tried is said, and nothing of the others."""
    tried: list[int] = []
    ended = merge_modules(
        reviewed("van", "distributed"),
        ModulesWish(modules=MODULES),
        report=lambda step: tried.append(step.tried),
        is_wanted=lambda: not tried,
    )
    assert (ended.stopped_by, ended.every_set, ended.tried) == ("cancelled", False, 1)
    assert (
        ended.words
        == "1 pair and 0 larger sets of modules were tried before the search was ended; nothing is said of others"
    )


def test_a_module_that_is_not_there_is_named() -> None:
    """An unknown module is a sentence."""
    with pytest.raises(UnknownNameError, match="there is no module 'DXXX'"):
        merge_modules(reviewed("van", "distributed"), ModulesWish(modules=("DXXX", "DENG")))
