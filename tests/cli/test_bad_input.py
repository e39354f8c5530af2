"""Files that are broken: clear sentences with line and field, nothing written, no traceback."""

from pathlib import Path

import pytest

from tests.cli.running import SWEEPER, Command

TEN_FAULTS = """\
format = 1

[proposal]
name = "ten faults"
revison = "A"

[vehicle]
supply = "12 V"
test_voltage = "13.5 A"
volume_per_year = "many"

[zones.Z1]
ambient = "85 degC"

[modes.DAY]
supply_nominal = "13.5 V"

[subsystems.EXT]

[loads.L1]
subsystem = "EXT"
kind = "lampion"
zone = "Z9"
test_current = "-2 A"
time_share.DAY = "150 %"

[loads.L2]
subsystem = "EXT"
test_current = "1,234 A"

[loads."L 3"]
subsystem = "EXT"

[variants.V1.modules.M1]
zone = "Z1"

[variants.V1.placements.L1]
on = ["M1.U9.1"]

[settings.rates]
placement = "0.01"
"""
EXPECTED = {
    5: ("proposal.revison", "revision"),
    9: ("vehicle.test_voltage", "expected a voltage (V), found a current (A)"),
    10: ("vehicle.volume_per_year", "many"),
    22: ("loads.L1.kind", "lampion"),
    23: ("loads.L1.zone", "Z9"),
    24: ("loads.L1.test_current", "-2 A"),
    25: ("loads.L1.time_share.DAY", "150 %"),
    29: ("loads.L2.test_current", "1,234 A"),
    31: ("loads.L 3", "expected an id"),
    38: ("variants.V1.placements.L1.on", "U9"),
    41: ("settings.rates.placement", "0.01"),
}


def test_every_fault_is_listed_and_the_rest_is_computed(bomtui: Command, tmp_path: Path) -> None:
    """A proposal with many different faults opens; each fault is one line with file, line and field."""
    path = tmp_path / "broken.toml"
    path.write_text(TEN_FAULTS, encoding="utf-8")
    result = bomtui("rollup", path, "--format", "json")
    lines = {int(line.removeprefix(f"{path}:").partition(":")[0]): line for line in result.err}
    assert result.code == 0
    assert set(lines) == set(EXPECTED)
    assert len(result.err) == len(EXPECTED) == result.json["file_problems"]
    for number, (field, word) in EXPECTED.items():
        assert lines[number].startswith(f"{path}:{number}: {field}: ")
        assert word in lines[number]
    assert [problem["line"] for problem in result.json["problems"]] == list(EXPECTED)
    assert {problem["file"] for problem in result.json["problems"]} == {"broken.toml"}
    assert result.json["unplaced"] == ["L1", "L2"]
    assert [entry.name for entry in tmp_path.iterdir()] == ["broken.toml"]


def _two_in_a_folder(folder: Path) -> Path:
    for name in ("one", "two"):
        (folder / f"{name}.toml").write_text("format = 1", encoding="utf-8")
    return folder


UNREADABLE = {
    "broken syntax": (b'format = 1\n[proposal\nname = "x"\n', ":2: ", "fault of its syntax"),
    "binary": (bytes(range(256)) * 4, ": ", "binary data"),
    "empty": (b"", ": ", "found an empty file"),
    "future": (b'format = 99\n[proposal]\nname = "x"\n', ":1: ", "newer format 99"),
    "no format": (b'[proposal]\nname = "x"\n', ": ", "found no format"),
    "not UTF-8": (b'format = 1\nname = "\xe9"\n', ":2: ", "found the byte 0xe9"),
    "not a proposal": (b'format = 1\n[parts.x]\nkind = "fet"\n', ": ", "frozen parts"),
    "a key twice": (b"format = 1\nformat = 1\n", ":2: ", "each key once"),
}


@pytest.mark.parametrize("command", ["rollup", "review", "parts-list", "failures"])
@pytest.mark.parametrize("fault", UNREADABLE)
def test_an_unreadable_file_is_one_sentence(bomtui: Command, tmp_path: Path, command: str, fault: str) -> None:
    """What cannot be read at all gives one sentence with the file and exit code 3, whatever the command."""
    content, place, word = UNREADABLE[fault]
    path = tmp_path / "x.toml"
    path.write_bytes(content)
    result = bomtui(command, path)
    assert (result.code, result.stdout, len(result.err)) == (3, b"", 1)
    assert result.err[0].startswith(f"bomtui: {path}{place}")
    assert word in result.err[0]
    assert path.read_bytes() == content
    assert [entry.name for entry in tmp_path.iterdir()] == ["x.toml"]


def test_one_line_of_40_megabytes_is_refused(bomtui: Command, tmp_path: Path) -> None:
    """A file far larger than any proposal is refused before it is parsed."""
    path = tmp_path / "large.toml"
    path.write_bytes(b"x" * 40_000_000)
    result = bomtui("rollup", path)
    assert result.code == 3
    assert result.err == [f"bomtui: {path}: expected a file of at most 16 MB, found a larger one"]


def test_places_that_hold_no_proposal(bomtui: Command, tmp_path: Path) -> None:
    """A missing file, an empty folder and a folder with two proposals are refused, each in one sentence."""
    empty = tmp_path / "empty"
    empty.mkdir()
    missing, none, two = (
        bomtui("rollup", place) for place in (tmp_path / "no.toml", empty, _two_in_a_folder(tmp_path))
    )
    assert [result.code for result in (missing, none, two)] == [3, 3, 3]
    assert missing.err == [f"bomtui: {tmp_path / 'no.toml'}: there is no such file or folder"]
    assert none.err == [f"bomtui: {empty}: expected a folder with one proposal (NAME.toml), found none in it"]
    assert two.err == [f"bomtui: {tmp_path}: expected a folder with one proposal, found 2: one.toml, two.toml"]


def test_a_file_that_may_not_be_read(bomtui: Command, tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    """A file without permission is refused in one sentence (the refusal is played: root may read everything)."""
    path = tmp_path / "x.toml"
    path.write_text("format = 1", encoding="utf-8")

    def refuse(*_: object, **__: object) -> None:
        raise PermissionError(13, "Permission denied")

    monkeypatch.setattr(Path, "open", refuse)
    result = bomtui("rollup", path)
    assert (result.code, result.err) == (3, [f"bomtui: {path}: reading it is not permitted"])


def test_broken_frozen_parts_leave_a_proposal_that_opens(bomtui: Command, tmp_path: Path) -> None:
    """A parts file that cannot be read is listed, and every figure that needs it is a bound."""
    (tmp_path / "v.toml").write_bytes((SWEEPER / "street_sweeper.toml").read_bytes())
    (tmp_path / "v.parts.toml").write_text("format = [", encoding="utf-8")
    result = bomtui("rollup", tmp_path, "--format", "json")
    assert result.code == 0
    assert len(result.err) == 1
    assert result.err[0].startswith(f"{tmp_path / 'v.parts.toml'}:1: ")
    assert result.json["totals"]["parts_cost_unknown"] == result.json["totals"]["part_numbers"] > 0
    assert result.json["totals"]["standby_a"]["bound"] == "at_least"
    assert result.json["totals"]["parking_days"]["bound"] == "at_most"


def test_text_of_a_file_cannot_act_on_the_terminal(bomtui: Command, tmp_path: Path) -> None:
    """Escape sequences and direction marks in names, ids and faults reach neither stdout nor stderr, in any format."""
    path = tmp_path / "x.toml"
    nasty = "\\u001B[31mred\\u202E\\u009B0m"
    path.write_text(
        f'format = 1\n[proposal]\nname = "{nasty}"\nrevision = "{nasty}"\nwrong = "{nasty}"\n"{nasty}" = 1\n'
        f'[vehicle]\nsupply = "12 V"\n[subsystems.S]\nname = "{nasty}"\n[variants.V]\nname = "{nasty}"\n',
        encoding="utf-8",
    )
    for words in (
        ("rollup",),
        ("rollup", "--format", "json"),
        ("review",),
        ("failures",),
        ("failures", "--format", "csv"),
        ("failures", "--format", "md"),
        ("parts-list", "--format", "csv"),
        ("parts-list", "--format", "md"),
        ("parts-list", "--format", "json"),
    ):
        result = bomtui(words[0], path, *words[1:])
        shown = result.out + "\n".join(result.err)
        assert "red" in shown
        assert not {"\x1b", "\x9b", "\u202e"} & set(shown), words
    name = bomtui("rollup", path, "--format", "json").json["proposal"]
    assert name == "\x1b[31mred\u202e\x9b0m"
