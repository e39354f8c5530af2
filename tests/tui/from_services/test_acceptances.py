"""Accepted and lapsed findings as the screens show them, over a real proposal."""

from pathlib import Path

from bomtui.edit.edits.finding import WithdrawAcceptance
from bomtui.tui.from_services.source import SessionSource
from bomtui.tui.view import Finding
from tests.tui.from_services.real import SWEEPER, opened


def finding_at(source: SessionSource, place: str) -> Finding:
    """The finding of parts that are not capable enough, at a device."""
    findings = source.view("zone").findings
    return next(own for own in findings if (own.rule, own.place) == ("safety.capability", place))


def test_an_acceptance_holds_until_its_numbers_change(tmp_path: Path) -> None:
    """Accepted with name, day and reason; open again and said to have lapsed at other numbers; withdrawn for good."""
    source = opened(SWEEPER, tmp_path)
    view, first = source.view("zone"), finding_at(source, "ZREA.U6")
    assert first.can_be_accepted
    assert (first.accepted_id, first.lapsed, first.status) == ("", "", "open")
    assert source.do(view.accept(first.key, "proven in use", "M. Example")).state == "done"
    (acceptance,) = source.snapshot.proposal.variants["zone"].accepted.values()
    assert acceptance.date is not None
    held = finding_at(source, "ZREA.U6")
    assert held.status == f"accepted by M. Example {acceptance.date.isoformat()}: proven in use"
    assert (held.accepted_id, held.lapsed) == ("A01", "")
    assert source.set_text("loads.L11.safety", "C").state == "done"
    open_again = finding_at(source, "ZREA.U6")
    assert (open_again.status, open_again.accepted_id) == ("open", "")
    assert open_again.lapsed.endswith("at other numbers (A against B): proven in use")
    assert finding_at(source, "ZREA.U7").lapsed == ""
    source.undo()
    assert finding_at(source, "ZREA.U6").accepted_id == "A01"
    assert source.do(WithdrawAcceptance(variant="zone", accepted_id="A01")).state == "done"
    assert finding_at(source, "ZREA.U6").status == "open"
    source.discard()


def test_an_acceptance_without_its_finding_is_listed_and_can_be_withdrawn(tmp_path: Path) -> None:
    """When nothing of it is found any more the acceptance stands behind the findings, and counts among none of them."""
    source = opened(SWEEPER, tmp_path)
    view, first = source.view("zone"), finding_at(source, "ZREA.U6")
    assert source.do(view.accept(first.key, "proven in use", "M. Example")).state == "done"
    assert source.view("zone").settled == ()
    load_ids = [
        own for own in ("L11", "L12") if "ZREA.U6" in str(source.snapshot.proposal.variants["zone"].placements[own].on)
    ]
    assert load_ids
    assert source.set_text("loads.L11.safety", "QM").state == "done"
    assert source.set_text("loads.L12.safety", "QM").state == "done"
    after = source.view("zone")
    assert not any((own.rule, own.place) == ("safety.capability", "ZREA.U6") for own in after.findings)
    (own,) = after.settled
    assert (own.place, own.rule, own.word, own.accepted_id) == ("ZREA.U6", "safety.capability", "not found now", "A01")
    assert own.status.endswith("proven in use")
    assert (own.measured, own.limit) == (first.measured, first.limit)
    assert source.do(WithdrawAcceptance(variant="zone", accepted_id=own.accepted_id)).state == "done"
    assert source.view("zone").settled == ()
    source.undo()
    for _ in range(2):
        source.undo()
    assert source.view("zone").settled == ()
    assert finding_at(source, "ZREA.U6").accepted_id == "A01"
    source.discard()


def test_a_lapsed_acceptance_can_be_withdrawn_at_its_finding(tmp_path: Path) -> None:
    """A finding that is open again knows the acceptance that has lapsed."""
    source = opened(SWEEPER, tmp_path)
    view, first = source.view("zone"), finding_at(source, "ZREA.U6")
    assert source.do(view.accept(first.key, "proven in use", "M. Example")).state == "done"
    assert source.set_text("loads.L11.safety", "C").state == "done"
    lapsed = finding_at(source, "ZREA.U6")
    assert (lapsed.accepted_id, lapsed.lapsed_id) == ("", "A01")
    assert source.view("zone").settled == ()
    assert source.do(WithdrawAcceptance(variant="zone", accepted_id=lapsed.lapsed_id)).state == "done"
    assert finding_at(source, "ZREA.U6").lapsed == ""
    source.discard()


def test_a_fault_of_a_file_cannot_be_accepted(tmp_path: Path) -> None:
    """Only what a rule has found has numbers to accept."""
    text = (SWEEPER / "street_sweeper.toml").read_text(encoding="utf-8")
    folder = tmp_path / "broken"
    folder.mkdir()
    (folder / "broken.toml").write_text(text.replace("years = ", "yeers = ", 1), encoding="utf-8")
    source = opened(folder, tmp_path / "settings")
    problems = [finding for finding in source.view("zone").findings if finding.rule == "file"]
    assert problems
    assert not any(finding.can_be_accepted for finding in problems)
