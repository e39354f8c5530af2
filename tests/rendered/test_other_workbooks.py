"""Load lists saved by a spreadsheet program in its other forms are read as the same loads."""

from pathlib import Path

import pytest

from bomtui.services.load_import import plan_loads
from bomtui.services.sheets import SAME, Answers
from tests.rendered import office
from tests.services.package.test_read_back import path_of, sample

pytestmark = [pytest.mark.slow, pytest.mark.skipif(not office.is_there(), reason="no spreadsheet program is installed")]


@pytest.mark.parametrize("form", ["xls", "ods"])
def test_a_load_list_in_another_form(form: str, tmp_path: Path) -> None:
    """The list that the program wrote, saved as an older workbook (BIFF8) and as an OpenDocument sheet."""
    (written,) = office.recomputed(
        [path_of(tmp_path, "street_sweeper", "zone", "xlsx", "load-list")], tmp_path / "room", form
    )
    proposal = sample("street_sweeper", "zone").computed.opened.snapshot.proposal
    found = plan_loads(proposal, written, Answers(existing="replace"))
    assert found.sheet.obstacle(without_refused=False) == "", found.sheet.problems
    assert [row for row in found.sheet.rows if row.state != SAME] == []
    assert len(found.sheet.rows) == len(proposal.loads)
