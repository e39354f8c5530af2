"""`bomtui failures`: what is lost with each thing, the same in every format."""

import csv
import io
from functools import cache
from pathlib import Path
from typing import Any

import jsonschema
import msgspec

from bomtui.cli.failures import failures_text
from bomtui.export.schema import published_schema
from bomtui.services.failures import FailuresRecord, failures, failures_bytes, walk_of
from bomtui.services.open import open_proposal
from bomtui.services.review import Reviewed, review
from bomtui.services.rollup import compute
from tests.cli.running import SWEEPER, Command

CONTROLLER = "ZREA.U8"


def causes(found: Any) -> dict[str, Any]:  # noqa: ANN401 - any JSON
    """Causes of a record by id."""
    return {cause["id"]: cause for cause in found["causes"]}


def test_one_cause_is_told_with_levels_stand_ins_and_what_is_not_known(bomtui: Command) -> None:
    """The text names losses by level, stand-ins, what pairs share, and that only electricity was looked at."""
    text = " ".join(bomtui("failures", SWEEPER, CONTROLLER, "--variant", "zone").out.split())
    assert "controller ZREA.U8 (mcu-144) outputs lost (18): ASIL B: L09 L10" in text
    assert "inputs lost (6): ASIL B: T06 T07; QM: C04 W12 W13 W15" in text
    assert "stand-in of L11: L13 is lost too" in text
    assert "L20 goes on working: its stand-in L21 is lost: nothing stands in for it any more" in text
    assert "L11, stand-in L13: controller ZREA.U8, device ZREA.U9, module ZREA" in text
    assert "Electrically possible; type approval not checked." in text
    assert "DEMO DATA" in text
    assert "A04 no attrition, freight, customs duty and one-off cost; open; no owner" in text


@cache
def reviewed() -> Reviewed:
    """The sweeper's zone modules, computed and reviewed once."""
    return review(compute(open_proposal(SWEEPER), "zone"))


@cache
def record() -> FailuresRecord:
    """All its failures."""
    return failures(reviewed(), walk_of(reviewed().computed.opened.snapshot, "zone"))


def test_every_format_holds_the_same_losses() -> None:
    """JSON, CSV and Markdown name the same loads for each cause; JSON keeps to its schema."""
    found = msgspec.json.decode(failures_bytes(record(), "json"))
    jsonschema.Draft202012Validator(msgspec.json.decode(published_schema("failures"))).validate(found)
    table = failures_bytes(record(), "csv").decode()
    rows = [row for row in csv.DictReader(io.StringIO(table)) if row["kind"] != "about"]
    page = failures_bytes(record(), "md").decode()
    for key, cause in causes(found).items():
        own = [row for row in rows if row["cause"] == key]
        for what, state, name in (
            ("output", "lost", "outputs"),
            ("input", "lost", "inputs"),
            ("output", "unknown", "possible_outputs"),
            ("input", "unknown", "possible_inputs"),
        ):
            assert [row["load"] for row in own if (row["is"], row["state"]) == (what, state)] == cause[name]
        assert page.count(f"| {cause['kind']} | {key} | ") == len(own)
    assert causes(found)[CONTROLLER]["lost_by_level"]["ASIL A"] == ["L15", "L16", "L25", "W05"]


def test_a_cause_that_takes_nothing_is_listed_and_counted() -> None:
    """A memory takes no load with it: files list it, the text counts such things."""
    found = {cause.id: cause for cause in record().causes}
    assert found["ZREA.U11"].outputs == found["ZREA.U11"].inputs == ()
    harmless = sum(not cause.lost_by_level and not cause.possible_by_level for cause in found.values())
    text = failures_text(reviewed(), walk_of(reviewed().computed.opened.snapshot, "zone"), None)
    assert f"{harmless} other things taken out: nothing that is known is lost" in " ".join(text.split())


def test_a_cause_that_is_not_there_names_near_ones(bomtui: Command) -> None:
    """An unknown name is a fault of the command line, with the nearest names."""
    result = bomtui("failures", SWEEPER, "ZREA.U88", "--variant", "zone")
    assert (result.code, result.stdout, len(result.err)) == (2, b"", 1)
    assert "'ZREA.U88' in this variant; near are ZREA.U8" in result.err[0]


def test_a_kind_tells_two_things_of_one_name_apart(bomtui: Command, tmp_path: Path) -> None:
    """A feed that is named like a module is asked for with its kind."""
    path = tmp_path / "two.toml"
    path.write_text(
        'format = 1\n[proposal]\nname = "two"\n[vehicle]\n[subsystems.S]\n[loads.L1]\nsubsystem = "S"\n'
        '[variants.V.feeds.M]\nground = "M"\n[variants.V.modules.M]\nfeeds = ["M"]\n'
        '[variants.V.placements.L1]\non = ["M"]\n',
        encoding="utf-8",
    )
    result = bomtui("failures", path, "M")
    assert result.code == 2
    assert "say module:M, feed:M, ground:M" in result.err[0]
    found = bomtui("failures", path, "ground:M", "--format", "json").json
    assert [cause["kind"] for cause in found["causes"]] == ["ground"]


def test_exit_code_follows_findings_about_stand_ins(bomtui: Command) -> None:
    """The demo has stand-ins on a common device in one variant only; a lower threshold takes warnings too."""
    assert bomtui("failures", SWEEPER, "--variant", "distributed", "--fail-on", "warning").code == 1
