"""Running commands inside the test process, with what they print."""

from pathlib import Path

import msgspec
import pytest

from bomtui.cli.main import main
from bomtui.model.variant import Acceptance
from bomtui.rules.wording import printed
from bomtui.services.open import open_proposal
from bomtui.services.review import review
from bomtui.services.rollup import compute
from bomtui.storage.frozen_parts import parts_text
from bomtui.storage.proposal.write import proposal_text
from tests.cli.running import SWEEPER, Command, Outcome


@pytest.fixture
def bomtui(capfdbinary: pytest.CaptureFixture[bytes]) -> Command:
    """Run the program with some words and catch what it prints."""

    def run(*words: object) -> Outcome:
        capfdbinary.readouterr()
        code = main([str(word) for word in words])
        printed = capfdbinary.readouterr()
        return Outcome(code, printed.out, printed.err.decode().splitlines())

    return run


@pytest.fixture
def accepted_sweeper(tmp_path: Path) -> str:
    """A copy of the sweeper in which every error of the variant `zone` is accepted at its present numbers."""
    opened = open_proposal(SWEEPER)
    errors = [finding for finding in review(compute(opened, "zone")).review.findings if finding.severity == "error"]
    accepted = {
        f"A{number}": Acceptance(
            rule=finding.rule,
            place=finding.place,
            reason="for this test",
            measured=printed(finding.measured, finding.unit),
            limit=printed(finding.limit, finding.unit),
        )
        for number, finding in enumerate(errors)
    }
    proposal = opened.snapshot.proposal
    variant = msgspec.structs.replace(proposal.variants["zone"], accepted=accepted)
    changed = msgspec.structs.replace(proposal, variants={**proposal.variants, "zone": variant})
    (tmp_path / "sweeper.toml").write_text(proposal_text(changed), encoding="utf-8")
    (tmp_path / "sweeper.parts.toml").write_text(parts_text(opened.snapshot.parts), encoding="utf-8")
    return str(tmp_path)
