"""Typed text, chosen parts and findings as edits."""

import datetime
from decimal import Decimal

import pytest

from bomtui.edit.edit import Refusal
from bomtui.edit.edits.device import AddDevice
from bomtui.edit.edits.field import SetField
from bomtui.edit.edits.item import SetQuantity
from bomtui.model.ids import natural_key
from bomtui.model.variant import Amount
from bomtui.services.editing import BETWEEN, accepted, field_note, field_text, lawful_ids, typed, with_parts
from bomtui.services.errors import UnknownNameError
from bomtui.services.review import acceptances, review
from bomtui.services.session import Session
from tests.services.small_session import NEW_PART, POWER, do


@pytest.mark.parametrize(
    ("place", "text", "value"),
    [
        (POWER, "55 W", 55.0),
        (POWER, "0.055 kW", 55.0),
        (POWER, "  ", None),
        (POWER, "unknown", None),
        ("loads.L1.time_share.RUN", "35 %", 0.35),
        ("loads.L1.contacts", "3", 3),
        ("loads.L1.drive", "LS", "LS"),
        ("loads.L1.name", "", ""),
        ("loads.L1.name", "unknown", "unknown"),
        ("loads.L1.needed_in_crank", "yes", True),
        ("loads.L1.diagnosis", "short; open", ("short", "open")),
        ("zones.Z1.ambient", "-40 degC", -40.0),
        ("variants.one.modules.REAR.devices.U3.supply.vio", "battery", "battery"),
        ("assumptions.A1.due", "2026-12-24", datetime.date(2026, 12, 24)),
    ],
)
def test_typed_text_becomes_a_value(place: str, text: str, value: object) -> None:
    """What a person types becomes the value that a file with that text would hold."""
    assert typed(place, text) == SetField(place=place, value=value)


@pytest.mark.parametrize(
    "place",
    [
        "loads.L1.diagnosis", "constraints.must_keep", "constraints.forbidden", "constraints.approved_makers",
        "constraints.refused_packages", "settings.standby.counted", "settings.standby.counted_when_kept_alive",
    ],
)  # fmt: skip
def test_the_example_of_a_list_can_be_typed_as_it_stands(place: str) -> None:
    """What the help of a list shows is taken as two entries, and the field's text is written like it."""
    example = field_note(place).example
    edit = typed(place, example)
    assert isinstance(edit, SetField)
    assert len(edit.value) == 2
    assert BETWEEN.join(edit.value) == example


@pytest.mark.parametrize(
    ("place", "text", "words"),
    [
        (POWER, "55", "rated power of L1: "),
        (POWER, "55 V", "power"),
        (POWER, "-5 W", "rated power of L1: expected a power (W), not negative"),
        ("loads.L1.time_share.RUN", "120 %", "time share RUN of L1: expected a share of 0 % to 100 %"),
        ("loads.L1.drive", "HX", "drive of L1: expected one of HS, HSP"),
        ("loads.L1.contacts", "2.5", "contacts of L1: "),
        ("loads.L1.wings", "2", "there is no field 'loads.L1.wings'"),
        ("loads.L1.subsystem", "NONE", "there is no 'NONE' in this proposal"),
        ("loads.L9.name", "x", "there is no 'loads.L9' in this proposal"),
        ("loads.L1.subsystem", "", "the subsystem of L1 names a subsystem"),
    ],
)
def test_a_typing_error_says_what_is_expected(session: Session, place: str, text: str, words: str) -> None:
    """One sentence names the field and what it takes; nothing is changed and no step is made."""
    start = session.snapshot
    refusal = session.set_text(place, text)
    assert isinstance(refusal, Refusal)
    assert words in refusal.sentence
    assert "\n" not in refusal.sentence
    assert session.snapshot is start
    assert session.labels == ()


def test_a_bare_number_takes_the_unit_of_its_column(session: Session) -> None:
    """Where the header shows a unit a bare number is read in it; elsewhere it is refused."""
    assert session.set_text(POWER, "55", default_unit="mW") is None
    assert session.snapshot.proposal.loads["L1"].rated_power_w == 0.055


def test_a_field_is_typed_over_as_it_stands(session: Session) -> None:
    """The text of a field reads back to its value, and its note says what it takes."""
    proposal = session.snapshot.proposal
    for place in (
        POWER,
        "loads.L1.time_share",
        "loads.L1.time_share.RUN",
        "zones.Z1.ambient",
        "settings.heat.case_rise",
    ):
        edit = typed(place, field_text(proposal, place))
        assert isinstance(edit, SetField)
        assert session.do(edit) is None
    assert session.labels == ()
    assert field_text(proposal, "loads.L2.rated_power") == field_text(proposal, "loads.L1.time_share.NONE") == ""
    note = field_note(POWER)
    assert (note.words, note.expected, note.unit) == ("rated power of L1", "a power (W)", "W")
    assert field_note("loads.L1.zone").refers_to == "zone"
    for place in ("loads.L1.wings", "loads.L9.name"):
        with pytest.raises(UnknownNameError):
            field_text(proposal, place)
    with pytest.raises(UnknownNameError):
        field_note("loads.L1.wings")


def test_a_part_that_is_frozen_keeps_its_data(session: Session) -> None:
    """Using a part again takes no newer data from the catalog."""
    edit = AddDevice(variant="one", module_id="REAR", part="hs2")
    assert with_parts(session.snapshot, edit, {"hs2": NEW_PART}) is edit


def test_an_accepted_finding_opens_again_when_its_numbers_change(session: Session) -> None:
    """A finding is accepted at the numbers it has; when they change the acceptance lapses."""

    def statuses() -> list[str]:
        found = review(session.computed("one")).review.findings
        return [finding.status for finding in found if finding.rule == "channel.short" and finding.place == "L4"]

    def held_and_lapsed() -> tuple[str, str]:
        reviewed = review(session.computed("one")).review
        given = acceptances(session.snapshot.proposal.variants["one"], reviewed)
        own = next(own for own in reviewed.findings if (own.rule, own.place) == ("channel.short", "L4"))
        holding, lapsed = given.of(own), given.lapsed_of(own)
        return "" if holding is None else holding[0], "" if lapsed is None else lapsed[0]

    assert session.do(SetField(place="settings.drives.GDF.channels", value=2)) is None
    finding = next(
        finding
        for finding in review(session.computed("one")).review.findings
        if finding.rule == "channel.short" and finding.place == "L4"
    )
    day = datetime.date(2026, 3, 2)
    assert session.do(accepted("one", finding, "one direction only", "M. Example", day)) is None
    assert statuses() == ["accepted"]
    assert held_and_lapsed() == ("A05", "")
    do(session, "settings.drives.GDF.channels", "3")
    assert statuses() == ["open"]
    assert held_and_lapsed() == ("", "A05")
    session.undo()
    assert statuses() == ["accepted"]
    assert held_and_lapsed() == ("A05", "")
    session.discard()


def test_a_field_says_what_it_takes_in_a_line_to_type_in(session: Session) -> None:
    """Texts need no quotes there, ids name what they are of, and what is not set by itself says how it is changed."""
    assert field_note("loads.L1.note").expected == "text"
    assert field_note("loads.L1.zone").expected == "the id of a zone"
    forbidden = field_note("constraints.forbidden")
    assert forbidden.expected == "one text or several, with a ';' between two: hs24-4x22; ls-2x40"
    assert forbidden.example == "hs24-4x22; ls-2x40"
    counted = field_note("settings.standby.counted")
    assert counted.expected.startswith("any of controller, ")
    assert counted.expected.endswith(f", with a ';' between two: {counted.example}")
    assert field_note("loads.L1.note").example == ""
    assert field_note("loads.L1.safety").expected == "one of QM, A, B, C, D, a, b, c, d, e, 1, 2, 3, 4"
    assert field_note("loads.L1.zone").fixed == ""
    assert "by swapping it" in field_note("variants.one.modules.REAR.devices.U1.part").fixed
    assert "by placing it" in field_note("variants.one.placements.L1.on").fixed
    session.discard()


def test_ids_that_a_field_may_name_are_those_around_it(session: Session) -> None:
    """Zones of the proposal, devices and rails of the module, frozen parts; each in the order in which people read."""
    snapshot = session.snapshot
    assert lawful_ids(snapshot, "loads.L1.zone") == ("Z1", "Z2")
    assert lawful_ids(snapshot, "pairs.P1.primary") == ("L1", "L2", "L3", "L4")
    device = "variants.one.modules.REAR.devices.U3"
    assert lawful_ids(snapshot, f"{device}.commanded_by") == ("Q1", "U1", "U2", "U3", "U4")
    assert lawful_ids(snapshot, f"{device}.supply.vio") == ("battery", "V5")
    assert lawful_ids(snapshot, f"{device}.part") == tuple(sorted(snapshot.parts, key=natural_key))
    for place in ("loads.L1.wings", "variants.one.modules.FRONT.devices.U1.commanded_by"):
        with pytest.raises(UnknownNameError):
            lawful_ids(snapshot, place)


def test_a_typed_quantity_of_an_item_is_a_step_of_its_own_kind() -> None:
    """How much of an item is set by the edit that says so."""
    edit = typed("variants.one.modules.REAR.items.board.quantity", "2.5 dm2")
    amount = Amount(quantity=Decimal("2.5"), unit="dm2")
    assert edit == SetQuantity(variant="one", module_id="REAR", part="board", quantity=amount)
