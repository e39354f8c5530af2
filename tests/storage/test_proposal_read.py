"""Reading proposals: every fault at once with its line, and whatever can be kept is kept."""

import os
import random
import re
from pathlib import Path

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from bomtui.model.variant import Placement
from bomtui.storage.proposal.read import ReadResult, read_proposal
from bomtui.storage.proposal.toml_file import MAX_BYTES
from bomtui.storage.proposal.write import proposal_text

GOOD = """\
# bomtui proposal
# first reading

format = 1

[proposal]
name = "Yard tractor"
default_variant = "zone"

[vehicle]
supply = "24 V"
test_voltage = "28 V"
battery_zone = "Z1"

[zones.Z1]
ambient = "105 degC"
distance.Z2 = "2.4 m"

[zones.Z2]
ambient = "85 degC"

[modes.PARK]
electronics = "asleep"

[modes.RUN]
supply_nominal = "28 V"

[subsystems.EXT]
name = "exterior lighting"

[loads.L1]
subsystem = "EXT"
zone = "Z1"
drive = "HSP"
test_current = "2 A"
time_share.PARK = "0 %"
time_share.RUN = "30 %"

[loads.L2]
subsystem = "EXT"
zone = "Z2"
drive = "LS"
test_current = "500 mA"
time_share.RUN = "100 %"

[pairs.P1]
primary = "L1"
stand_in = "L2"

[variants.zone]

[variants.zone.modules.ZREA]
zone = "Z2"

[variants.zone.modules.ZREA.rails.V5]
voltage = "5 V"
source = "U2"

[variants.zone.modules.ZREA.devices.U1]
part = "hs24-4x50"
supply.vbat = "battery"
supply.vdd = "V5"
commanded_by = "U3"

[variants.zone.modules.ZREA.devices.U2]
part = "ldo-5"

[variants.zone.modules.ZREA.devices.U3]
part = "mcu-48"

[variants.zone.modules.ZREA.items.board-4]
quantity = "1.8 dm2"

[variants.zone.placements.L1]
on = ["ZREA.U1.1", "ZREA.U1.2"]
joined = "parallel"

[variants.zone.placements.L2]
on = ["ZREA"]
"""


@pytest.fixture
def read(tmp_path: Path) -> "Reader":
    """Read a proposal from a text or bytes."""
    return Reader(tmp_path / "yard.toml")


class Reader:
    """Writes a file and reads it."""

    def __init__(self, path: Path) -> None:
        self.path = path

    def __call__(self, content: str | bytes) -> ReadResult:
        """Read the content as the proposal file."""
        self.path.write_bytes(content if isinstance(content, bytes) else content.encode())
        return read_proposal(self.path)


def line_of(text: str, start: str) -> int:
    """Line of the first line that starts so."""
    return next(number for number, line in enumerate(text.split("\n"), start=1) if line.startswith(start))


def only_problem(result: ReadResult) -> str:
    """The one problem of a result, without the file's name."""
    assert len(result.problems) == 1, list(map(str, result.problems))
    return str(result.problems[0]).removeprefix(result.problems[0].file)


def test_a_good_file_has_no_problem(read: Reader) -> None:
    """The example reads without a problem, with its comment, and its canonical text is itself."""
    result = read(GOOD)
    assert result.problems == ()
    assert result.proposal is not None
    assert result.leading_comment == "# first reading"
    assert result.lost_comments == ()
    assert proposal_text(result.proposal, result.leading_comment) == GOOD


def test_a_byte_order_mark_and_windows_line_ends_are_read(read: Reader) -> None:
    """A file saved by an editor with BOM and CRLF is the same proposal."""
    same = read(b"\xef\xbb\xbf" + GOOD.replace("\n", "\r\n").encode())
    assert same.problems == ()
    assert same.proposal == read(GOOD).proposal


def test_other_comments_are_named_before_they_are_lost(read: Reader) -> None:
    """Comments that a save cannot keep are listed by line; a # in a text is none."""
    text = GOOD.replace('name = "exterior lighting"', 'name = "no # comment" # but this is one').replace(
        "[loads.L1]", "# lamps\n[loads.L1]"
    )
    result = read(text)
    assert result.problems == ()
    assert result.lost_comments == (line_of(text, 'name = "no #'), line_of(text, "# lamps"))


TEN_FAULTS = (
    ('name = "Yard tractor"', "titel = 3", "proposal.titel", "unknown key"),
    ('test_voltage = "28 V"', 'test_voltage = "28 A"', "vehicle.test_voltage", "expected a voltage (V), found a curr"),
    ('ambient = "105 degC"', "ambient = 105", "zones.Z1.ambient", "a number without its unit"),
    ('electronics = "asleep"', 'electronics = "aslep"', "modes.PARK.electronics", "(did you mean asleep?)"),
    ('zone = "Z1"\ndrive', 'zone = "z1"\ndrive', "loads.L1.zone", 'found "z1" (did you mean Z1?)'),
    ('time_share.PARK = "0 %"', 'time_share.PRAK = "0 %"', "loads.L1.time_share.PRAK", "(did you mean PARK?)"),
    ('test_current = "500 mA"', 'test_curent = "500 mA"', "loads.L2.test_curent", "(did you mean test_current?)"),
    ('stand_in = "L2"', 'stand_in = "L3"', "pairs.P1.stand_in", 'found "L3"'),
    ('quantity = "1.8 dm2"', "", "variants.zone.modules.ZREA.items.board-4", "found no such key"),
    ('on = ["ZREA"]', 'on = ["ZREB"]', "variants.zone.placements.L2.on", "(did you mean ZREA?)"),
)  # fmt: skip


def test_ten_faults_are_reported_at_once_with_their_lines(read: Reader) -> None:
    """Ten different faults give their ten places and sentences in one reading, and the proposal opens."""
    text = GOOD
    for good, bad, _, _ in TEN_FAULTS:
        assert good in text
        text = text.replace(good, bad, 1)
    result = read(text)
    found = {problem.field: problem for problem in result.problems}
    for _, bad, field, sentence in TEN_FAULTS:
        assert sentence in found[field].message
        line = found[field].line
        assert line is not None
        assert text.split("\n")[line - 1].startswith(bad.split("\n")[0] or "[variants.zone.modules.ZREA.items.board-4]")
    # The title is missing as well, because its key was the one misspelt.
    assert set(found) == {field for _, _, field, _ in TEN_FAULTS} | {"proposal.name"}
    assert result.proposal is not None
    assert result.proposal.zones["Z1"].ambient_degc is None
    assert result.proposal.loads["L2"].test_current_a is None
    assert result.proposal.loads["L1"].zone == ""
    assert result.proposal.loads["L1"].time_share_ratio == {"RUN": 0.3}
    assert result.proposal.pairs == {}
    module = result.proposal.variants["zone"].modules["ZREA"]
    assert module.items == {}
    assert list(result.proposal.variants["zone"].placements) == ["L1"]


@pytest.mark.parametrize(
    ("good", "bad", "sentence"),
    [
        ("[loads.L2]", "[loads.L.2]", "loads.L: expected subsystem = text in quotes, found no such key; it is left"),
        ("[loads.L2]", '[loads."L 2"]', "expected an id of letters, digits"),
        ("[zones.Z2]", "[zones.z1]", "expected ids that differ in more than capital letters (zones.Z1 exists)"),
        ('subsystem = "EXT"\nzone = "Z2"', 'subsystem = "INT"\nzone = "Z2"', 'found "INT"; an empty one is added'),
        ('source = "U2"', 'source = "U9"', 'expected a device of this module, found "U9"; it is left out'),
        ('supply.vdd = "V5"', 'supply.vdd = "V3"', 'expected a rail of this module, found "V3"'),
        ('commanded_by = "U3"', 'commanded_by = "X"', 'expected a device of this module, found "X"'),
        ('"ZREA.U1.2"', '"ZREA.U8.2"', 'found "U8" in "ZREA.U8.2"; the load counts as not placed'),
        ('"ZREA.U1.2"', '"ZREA/U1/2"', "expected an address MODULE, MODULE.REF or MODULE.REF.CHANNEL"),
        ('joined = "parallel"', 'stage = ["ZREA"]', 'expected a power stage MODULE.REF, found "ZREA"'),
        ('joined = "parallel"', 'fail_safe = "ZREA"', 'expected a device MODULE.REF, found "ZREA"; the load counts'),
        ('joined = "parallel"', 'fail_safe = "ZREA.U8"', 'found "U8" in "ZREA.U8"; the load counts as having no'),
        ('joined = "parallel"', 'commanded_over = "X"', 'expected a network of this variant, found "X"; nothing'),
        ("[loads.L2]", '[decompositions.D]\none = "L2"\nother = "L2"\nindependence = "A9"\n\n[loads.L2]',
         'expected an assumption of this proposal, found "A9"'),
        ("[loads.L2]", '[loads.L2]\nseparate_from = ["L2", "L9"]', 'expected a load, found "L9"; it is left out'),
        ('default_variant = "zone"', 'default_variant = "zones"', "expected a variant of this proposal"),
        ("[subsystems.EXT]", "[settings.drives.HX]\nwires = 2\n\n[subsystems.EXT]", "expected one of HS, HSP"),
        ("[loads.L2]", '[loads.L2]\nfitment = "130 %"', 'expected a share of 0 % to 100 %, found "130 %"'),
        ("[loads.L2]", '[loads.L2]\nfitment = "-1 %"', "a ratio (%), not negative"),
        ("[zones.Z2]", '[constraints]\nminimum_grade = "G9"\n\n[zones.Z2]', "expected one of G0, G1, G2, G3"),
        ("[zones.Z2]", '[constraints]\nforbiden = ["x"]\n\n[zones.Z2]', "(did you mean forbidden?)"),
        ("[zones.Z2]", '[zones.Z2]\ndistance.Z1 = "2.5 m"', "expected one length per pair of zones (2.4 m stands at"),
        ('part = "ldo-5"', 'note = ""', "expected part = text in quotes, found no such key"),
        ("[modes.PARK]\n", "[modes]\nPARK = 3\n", "expected a table [modes.PARK], found the number 3"),
    ],
)  # fmt: skip
def test_faults_of_names_and_tables(read: Reader, good: str, bad: str, sentence: str) -> None:
    """Each fault of an id, a reference or a table is one sentence, and the proposal still opens."""
    assert good in GOOD
    result = read(GOOD.replace(good, bad, 1))
    assert result.proposal is not None
    assert any(sentence in str(problem) for problem in result.problems), list(map(str, result.problems))


def test_a_load_of_an_unknown_subsystem_stays_in_the_sums(read: Reader) -> None:
    """The load is kept, and an empty subsystem stands for the one that is missing."""
    proposal = read(GOOD.replace('subsystem = "EXT"', 'subsystem = "INT"', 1)).proposal
    assert proposal is not None
    assert proposal.loads["L1"].subsystem == "INT"
    assert set(proposal.subsystems) == {"EXT", "INT"}


def test_distances_that_contradict_each_other_are_both_unknown(read: Reader) -> None:
    """Neither of two lengths for one pair of zones is taken; the same length twice is no fault."""
    result = read(GOOD.replace("[zones.Z2]", '[zones.Z2]\ndistance.Z1 = "2.5 m"'))
    assert result.proposal is not None
    assert result.proposal.zones["Z1"].distance_m == {}
    assert result.proposal.zones["Z2"].distance_m == {}
    assert read(GOOD.replace("[zones.Z2]", '[zones.Z2]\ndistance.Z1 = "240 cm"')).problems == ()


def test_a_placement_with_one_lost_channel_is_not_half_taken(read: Reader) -> None:
    """Of two parallel channels one that leads nowhere leaves the load unplaced instead of on the other alone."""
    proposal = read(GOOD.replace('"ZREA.U1.2"', '"ZREA.U8.2"')).proposal
    assert proposal is not None
    assert proposal.variants["zone"].placements == {"L2": Placement(on=("ZREA",))}


def test_a_channel_that_the_part_does_not_have_is_no_fault_of_the_file(read: Reader) -> None:
    """The reader knows no parts: a channel number beyond them is left to the rules."""
    assert read(GOOD.replace("ZREA.U1.2", "ZREA.U1.99")).problems == ()


def test_feeds_that_lead_nowhere_are_left_out(read: Reader) -> None:
    """Names of feeds that do not exist, and switches that are no channel, are listed; what is left is taken."""
    feeds = """
[variants.zone.feeds.F1]
fuse_current = "15 A"
fuse_zone = "Z9"
switch = "ZREA.U8.1"

[variants.zone.feeds.F2]
switch = "ZREA"

[variants.zone.modules.ZREA]
feeds = ["F1", "F9"]
"""
    result = read(GOOD.replace("[variants.zone.modules.ZREA]", feeds.strip()))
    assert result.proposal is not None
    variant = result.proposal.variants["zone"]
    assert [feed.switch for feed in variant.feeds.values()] == ["", ""]
    assert variant.feeds["F1"].fuse_zone == ""
    assert variant.modules["ZREA"].feeds == ("F1",)
    assert [problem.field for problem in result.problems] == [
        "variants.zone.feeds.F1.fuse_zone",
        "variants.zone.feeds.F1.switch",
        "variants.zone.feeds.F2.switch",
        "variants.zone.modules.ZREA.feeds",
    ]


def test_an_unlawful_supply_class_is_unknown_and_listed(read: Reader) -> None:
    """A supply class that does not exist is read as unknown; it is listed with the other faults."""
    result = read(GOOD.replace('supply = "24 V"', 'supply = "23 V"').replace('"2 A"', '"2 V"'))
    assert result.proposal is not None
    assert result.proposal.vehicle.supply is None
    assert [problem.field for problem in result.problems] == ["vehicle.supply", "loads.L1.test_current"]


def test_a_proposal_without_a_name_opens_and_says_so(read: Reader) -> None:
    """Even what every proposal must have does not keep the rest from opening; its absence is listed."""
    result = read(GOOD.replace('name = "Yard tractor"\n', "").replace('"2 A"', '"2 V"'))
    assert result.proposal is not None
    assert [problem.field for problem in result.problems] == ["proposal.name", "loads.L1.test_current"]


@pytest.mark.parametrize(
    ("content", "sentence"),
    [
        (b"", ": expected a proposal, found an empty file"),
        (b" \n", ": expected a proposal, found an empty file"),
        (bytes(range(256)), ": expected a proposal, found binary data"),
        (b"\x89PNG\r\n\x1a\n\x01\x02", ":1: expected text in UTF-8, found the byte 0x89"),
        ("format = 1".encode("utf-16"), ": expected text in UTF-8, found UTF-16"),
        (b'format = 1\nname = "\xe4"', ":2: expected text in UTF-8, found the byte 0xe4"),
        (b"[proposal]", ": expected format = 1 at the top of a proposal, found no format"),
        (b"format = 7\nwhatever = 3", ":1: expected format = 1 at the top of a proposal, found the newer format 7"),
        (b'# x\nformat = "1"', ":2: expected format = 1 at the top of a proposal, found another kind of format"),
        (b'format = 1\n[parts.x]\nkind = "fet"', ": expected a proposal, found the frozen parts of one"),
        (b"format = 1\nprice = 1,12\n", ":2: column 10: expected TOML, found a fault of its syntax (expected newline"),
        (b"format = 1\n[a]\nb = 1\nb = 2", ":4: expected each key once in a table, found one twice: b = 2"),
        (b"format = 1\n[a]\n[b]\n[a]\n", ":4: column 3: expected each table once, found one twice: [a]"),
        (b'format = 1\na = "x', ":2: expected TOML"),
        (b"a = " + b"[" * 100_000, ": expected a proposal, found brackets nested too deeply"),
        (b"format = " + b"1" * 5000, ": expected TOML, found a fault of its syntax"),
    ],
)
def test_files_of_which_nothing_can_be_taken(read: Reader, content: bytes, sentence: str) -> None:
    """Each gives one sentence with its line where there is one, and no proposal."""
    result = read(content)
    assert result.proposal is None
    assert sentence in only_problem(result)


def test_a_file_over_the_limit_is_refused_before_it_is_parsed(tmp_path: Path) -> None:
    """40 MB of one line are refused by their size, and the sentence says the limit."""
    path = tmp_path / "large.toml"
    with path.open("wb") as file:
        file.write(b'format = 1\nnote = "')
        file.truncate(40_000_000)
    result = read_proposal(path)
    assert result.proposal is None
    assert only_problem(result) == f": expected a file of at most {MAX_BYTES // 10**6} MB, found a larger one"


def test_a_folder_that_holds_one_proposal_is_taken(read: Reader) -> None:
    """A folder stands for its only proposal; frozen parts and other files beside it do not count."""
    read(GOOD)
    read.path.with_name("yard.parts.toml").write_text("format = 1\n")
    read.path.with_name("expected.csv").write_text("x\n")
    result = read_proposal(read.path.parent)
    assert result.path == read.path
    assert result.proposal is not None


def test_a_folder_with_none_or_several_is_refused(read: Reader, tmp_path: Path) -> None:
    """The sentence says how many were found, and which."""
    assert ": expected a folder with one proposal (NAME.toml), found none in it" in only_problem(
        read_proposal(tmp_path)
    )
    read(GOOD)
    read.path.with_name("other.toml").write_text(GOOD)
    assert "found 2: other.toml, yard.toml" in only_problem(read_proposal(tmp_path))


@pytest.mark.parametrize("name", ["missing.toml", "missing/deeper.toml", "nul\0.toml"])
def test_a_path_that_leads_nowhere_is_one_sentence(tmp_path: Path, name: str) -> None:
    """A missing file, folder, or a name that no system takes is a problem and no exception."""
    result = read_proposal(tmp_path / name)
    assert result.proposal is None
    assert only_problem(result) in {
        ": there is no such file or folder",
        ": expected a file name, found one with a NUL character",
    }


def test_a_file_without_permission_is_one_sentence(read: Reader, monkeypatch: pytest.MonkeyPatch) -> None:
    """Where the system refuses to open the file, the sentence says so."""
    read(GOOD)

    def refuse(*_: object, **__: object) -> None:
        raise PermissionError(13, "Permission denied")

    monkeypatch.setattr(Path, "open", refuse)
    assert only_problem(read_proposal(read.path)) == ": reading it is not permitted"


@pytest.mark.skipif(os.name != "posix", reason="only POSIX systems have such devices")
def test_a_device_is_refused() -> None:
    """A device without an end is not read."""
    assert only_problem(read_proposal(Path("/dev/zero"))) == ": expected a plain file, found a device or pipe"


def test_control_characters_of_a_file_do_not_reach_the_messages(read: Reader) -> None:
    """What a message repeats of a file, and of its name, is harmless for a terminal."""
    text = GOOD.replace('\nzone = "Z1"', "\n" r'zone = "\u001b[2J\u202eZ1"').replace(
        "[modes.RUN]", '[modes."\\u001b]0;x"]'
    )
    result = read(text)
    assert len(result.problems) == 4
    assert not re.search("[\x00-\x1f\x7f\u202e]", "".join(map(str, result.problems)))


@given(st.binary(max_size=300))
@settings(max_examples=200)
def test_random_bytes_never_raise(tmp_path_factory: pytest.TempPathFactory, content: bytes) -> None:
    """Any bytes give a result with a problem."""
    path = tmp_path_factory.getbasetemp() / "random.toml"
    path.write_bytes(content)
    result = read_proposal(path)
    assert result.proposal is None
    assert result.problems


@given(st.integers(0, 2**32 - 1))
@settings(max_examples=120)
def test_mutated_files_never_raise_and_what_is_taken_is_lawful(
    tmp_path_factory: pytest.TempPathFactory, seed: int
) -> None:
    """After random damage whatever is read is a proposal that can be written and read back without a problem."""
    path = tmp_path_factory.getbasetemp() / "mutated.toml"
    text = mutated(GOOD, random.Random(seed))
    path.write_text(text, encoding="utf-8", newline="")
    result = read_proposal(path)
    lines = text.count("\n") + 1
    assert all(problem.line is None or 1 <= problem.line <= lines for problem in result.problems)
    assert result.problems or result.proposal is not None
    if result.proposal is not None:
        path.write_text(proposal_text(result.proposal, result.leading_comment), encoding="utf-8", newline="")
        again = read_proposal(path)
        assert again.proposal == result.proposal
        # Two ids that differ only in capital letters are both kept until somebody renames one.
        left = [problem for problem in again.problems if "more than capital letters" not in problem.message]
        assert left == []


PIECES = (
    '"',
    "[",
    "]",
    ".",
    "=",
    "nan",
    "-",
    "é",
    "\0",
    "0",
    "Z2",
    "L1",
    "unknown",
    "{}",
    "[]",
    "true",
    "\n",
    "# x",
    "1979-05-27",
)


def mutated(text: str, chance: random.Random) -> str:
    """Damage a text at a few places: words swapped, lines dropped, doubled or moved, characters put in."""
    lines = text.split("\n")
    for _ in range(chance.randint(1, 5)):
        number = chance.randrange(len(lines))
        line = lines[number]
        kind = chance.randrange(5)
        if kind == 0:
            del lines[number]
        elif kind == 1:
            lines.insert(chance.randrange(len(lines)), line)
        elif kind == 2 and "=" in line:
            other = chance.choice([other for other in lines if "=" in other])
            lines[number] = line.split("=")[0] + "=" + other.split("=", 1)[1]
        elif kind == 3 and "=" in line:
            lines[number] = f"{line.split('=')[0]}= {chance.choice(PIECES)}"
        else:
            place = chance.randint(0, len(line))
            lines[number] = line[:place] + chance.choice(PIECES) + line[place + chance.randint(0, 2) :]
    return "\n".join(lines)
