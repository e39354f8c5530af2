"""`bomtui diagram`: text and data of the same blocks."""

import jsonschema
import msgspec

from bomtui.export.schema import published_schema
from tests.cli.running import SWEEPER, Command


def test_a_module_is_drawn_with_mode_and_cautions(bomtui: Command) -> None:
    """The text carries heading, drawing, mode of the currents and the caution, within 80 columns."""
    result = bomtui("diagram", SWEEPER, "ZREA", "--variant", "zone")
    assert (result.code, result.err) == (0, [])
    assert "[U8 mcu-144]" in result.out
    assert "Currents in WORK_NIGHT" in result.out
    assert "qualified engineers decide what is built." in result.out
    assert "DEMO DATA" in result.out
    assert max(map(len, result.out.splitlines())) <= 80
    assert bomtui("diagram", SWEEPER, "ZREA", "--ascii").out.isascii()


def test_the_data_keep_to_their_schema(bomtui: Command) -> None:
    """Blocks and links of the vehicle in another mode, as the published schema has them."""
    found = bomtui("diagram", SWEEPER, "--mode", "IDLE", "--format", "json").json
    jsonschema.Draft202012Validator(msgspec.json.decode(published_schema("diagram"))).validate(found)
    assert (found["module"], found["mode"]) == ("", "IDLE")
    assert {block["kind"] for block in found["blocks"]} >= {"battery", "module"}


def test_an_unknown_module_is_a_fault_of_the_command_line(bomtui: Command) -> None:
    """It is named with the modules that there are."""
    result = bomtui("diagram", SWEEPER, "ZZZ", "--variant", "zone")
    assert (result.code, result.stdout) == (2, b"")
    assert "there is no module 'ZZZ'; the modules are ZCEN" in result.err[0]
