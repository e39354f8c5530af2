"""`bomtui draft`: what was placed and what not, as text and JSON, and a new file where asked."""

from pathlib import Path

import jsonschema
import msgspec

from bomtui.export.schema import published_schema
from bomtui.services.open import open_proposal
from tests.cli.running import SWEEPER, Command

BARE = """format = 1

[proposal]
name = "Bare"

[vehicle]
supply = "24 V"

[zones.Z1]
name = "cab"

[modes.ON]
supply_low = "27 V"
supply_nominal = "28 V"
supply_high = "29 V"

[subsystems.S]
name = "signals"

[loads.L1]
subsystem = "S"
zone = "Z1"
drive = "DI"

[loads.L2]
subsystem = "S"
zone = "Z9"
drive = "DI"

[variants.V.modules.M]
zone = "Z1"
"""


def test_inputs_need_a_module_only(bomtui: Command, tmp_path: Path) -> None:
    """A switch goes to the module of its zone; a load at no known distance is said to go nowhere."""
    path = tmp_path / "bare.toml"
    path.write_text(BARE, encoding="utf-8")
    saved = tmp_path / "drafted.toml"
    found = msgspec.json.decode(bomtui("draft", path, "--parts", "frozen", "--format", "json", "--save", saved).out)
    jsonschema.validate(found, msgspec.json.decode(published_schema("draft")))
    assert found["placed"] == {"L1": "M"}
    assert [own["what"] for own in found["not_placed"]] == ["L2"]
    assert list(open_proposal(saved).snapshot.proposal.variants["V"].placements) == ["L1"]


def test_what_is_complete_is_left_alone(bomtui: Command) -> None:
    """A variant that serves every load has nothing to draft."""
    text = bomtui("draft", SWEEPER, "--variant", "zone", "--parts", "frozen").out
    assert "0 loads are placed" in text


def test_a_file_is_never_overwritten(bomtui: Command, tmp_path: Path) -> None:
    """Saving over a file that is there is refused in one sentence."""
    path = tmp_path / "bare.toml"
    path.write_text(BARE, encoding="utf-8")
    answer = bomtui("draft", path, "--parts", "frozen", "--save", path)
    assert answer.code != 0
    assert "nothing was written" in " ".join(answer.err)
    assert path.read_text(encoding="utf-8") == BARE
