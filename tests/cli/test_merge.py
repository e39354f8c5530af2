"""`bomtui merge`: the saving, its proof and the reasons why not, as text and JSON."""

import jsonschema
import msgspec
import pytest

from bomtui.export.schema import published_schema
from tests.cli.running import SWEEPER, VAN, Command


def test_a_module_is_packed_with_proof(bomtui: Command) -> None:
    """The text names what changes, what it saves by the rollup's own cost, and of what it is the cheapest."""
    text = " ".join(bomtui("merge", SWEEPER, "--module", "ZHMI").out.split())
    assert "cost per vehicle: 641.1634 EUR, then 640.9234 EUR" in text
    assert "at least (lower bound): 640.9234 EUR, checked in whole numbers" in text
    assert "proved: cheapest for these 7 parts, these rules, this load list (7 loads)" in text
    assert "ZHMI.U2 hs24-8x220 becomes hs24-4x100" in text
    assert "on one amp-2x10: needs 3 channels, has 2" in text
    assert "ZHMI.U10 can-2 becomes can-1 to be checked: 1 port in place of 2" in text
    assert "DEMO DATA" in text


def test_json_follows_its_schema(bomtui: Command) -> None:
    """The JSON is lawful by the published schema and says the same numbers."""
    found = msgspec.json.decode(bomtui("merge", SWEEPER, "--module", "ZHMI", "--format", "json").out)
    jsonschema.validate(found, msgspec.json.decode(published_schema("merge")))
    assert (found["before"]["total"], found["after"]["total"]) == ("641.1634", "640.9234")
    assert (found["proved"], found["gap_ratio"], found["stopped_by"]) == (True, 0.0, "matched")
    assert [own["module"] for own in found["opportunities"] if own["kind"] == "drivers"] == ["ZHMI"]
    # can-2 at 0.7900 and can-1 at 0.4400: one of its two ports is used.
    (other,) = (own for own in found["opportunities"] if own["kind"] == "family")
    assert (other["what"], other["saving"], other["pieces"]) == ("ZHMI.U10 can-2 becomes can-1", "0.3500", 0)
    assert other["unsure"] == ["1 port in place of 2"]
    assert {"channels": 1.0} in [own["short"] for own in found["blocked"]]


def test_wrong_arguments_are_one_sentence(bomtui: Command) -> None:
    """A module or zone that does not exist, and a time that is none, are refused by name."""
    for words, said in (
        (("--module", "ZZZ"), "there is no module 'ZZZ'; the modules are"),
        (("--zone", "Z9"), "there is no zone 'Z9'; the zones are"),
        (("--seconds", "-1"), "expected a number of seconds above 0"),
    ):
        answer = bomtui("merge", SWEEPER, *words)
        assert answer.code in (2, 3)
        assert said in " ".join(answer.err)
        assert answer.out == ""


@pytest.mark.slow
def test_modules_that_become_one(bomtui: Command) -> None:
    """The text says what goes, what is saved and why others stay apart; the JSON is lawful."""
    words = ("merge", VAN, "--variant", "distributed", "--modules", "--module", "DCOO", "--module", "DENG")
    text = " ".join(bomtui(*words).out.split())
    assert "DCOO+DENG saves +11.5708 EUR DCOO into DENG (Z1): one controller for all, mcu-engine" in text
    assert "cost per vehicle: 669.3095 EUR, then 657.7387 EUR" in text
    found = msgspec.json.decode(bomtui(*words, "--format", "json").out)
    jsonschema.validate(found, msgspec.json.decode(published_schema("merge-modules")))
    assert (found["before"]["total"], found["after"]["total"]) == ("669.3095", "657.7387")


def test_modules_need_two_and_cost(bomtui: Command) -> None:
    """One module alone, or another aim, is refused in a sentence."""
    for words, said in (
        (("--module", "ZHMI"), "expected two modules or more for --modules, found 1"),
        (("--aim", "standby"), "--modules goes with --aim cost only"),
    ):
        answer = bomtui("merge", SWEEPER, "--modules", *words)
        assert (answer.code, answer.out) == (2, "")
        assert said in " ".join(answer.err)
