"""Edits of assumptions, own habits, ids of pairs, and variants without modules."""

import datetime
from decimal import Decimal

from bomtui.edit.edits.assumption import AddAssumption, RemoveAssumption, RenameAssumption
from bomtui.edit.edits.decomposition import AddDecomposition, RemoveDecomposition, RenameDecomposition
from bomtui.edit.edits.exchange import AddExchange, RemoveExchange
from bomtui.edit.edits.field import SetField
from bomtui.edit.edits.finding import AcceptFinding
from bomtui.edit.edits.habit import DropHabit
from bomtui.edit.edits.load import RemoveLoad, RenameLoad
from bomtui.edit.edits.variant import AddVariant
from bomtui.edit.edits.vehicle import RenamePair
from bomtui.model.money import Money
from bomtui.model.programme import Exchange
from bomtui.model.proposal import Assumption
from bomtui.model.settings import DRIVE_HABITS
from bomtui.model.variant import Variant
from bomtui.model.vehicle import Decomposition
from tests.edit.small import done, refused, small


def test_an_assumption_is_added_renamed_and_removed() -> None:
    """It begins open with its text, keeps all of it under another id, and goes alone."""
    added = done(AddAssumption(assumption_id="A1", text="the alternator is cold"), small())
    assert added.proposal.assumptions == {"A1": Assumption(text="the alternator is cold", status="open")}
    renamed = done(RenameAssumption(assumption_id="A1", new_id="A7"), added)
    assert renamed.proposal.assumptions == {"A7": Assumption(text="the alternator is cold")}
    assert done(RemoveAssumption(assumption_id="A7"), renamed).proposal == small().proposal


def test_an_assumption_without_words_or_with_a_taken_id_is_refused() -> None:
    """What is assumed must be said, and ids differ in more than capitals."""
    added = done(AddAssumption(assumption_id="A1", text="x"), small())
    assert "its text is missing" in refused(AddAssumption(assumption_id="A2", text="  "), added).sentence
    assert "A1 already" in refused(AddAssumption(assumption_id="a1", text="y"), added).sentence
    assert "no assumption 'A3'" in refused(RemoveAssumption(assumption_id="A3"), added).sentence


def test_an_assumption_goes_with_what_was_accepted_for_it_only_when_agreed() -> None:
    """An acceptance at an assumption is named before it goes, and follows a new id."""
    start = done(AddAssumption(assumption_id="A1", text="x"), small())
    accept = AcceptFinding(
        variant="one",
        rule="data.missing",
        place="assumptions.A1",
        reason="asked",
        by="M. Example",
        date=datetime.date(2026, 3, 1),
        measured="",
        limit="",
    )
    start = done(accept, start)
    assert refused(RemoveAssumption(assumption_id="A1"), start).takes == ("variants.one.accepted.A05",)
    renamed = done(RenameAssumption(assumption_id="A1", new_id="A9"), start)
    assert renamed.proposal.variants["one"].accepted["A05"].place == "assumptions.A9"
    gone = done(RemoveAssumption(assumption_id="A1", take_along=True), start).proposal
    assert "A05" not in gone.variants["one"].accepted
    assert gone.assumptions == {}


def test_a_decomposition_follows_its_loads_and_its_assumption() -> None:
    """It is added of two loads, renamed and removed; names of loads and assumption follow, and it goes with a load."""
    own = Decomposition(one="L1", other="L2", one_level="A", other_level="A", independence="A1")
    start = done(AddAssumption(assumption_id="A1", text="two modules"), small())
    added = done(AddDecomposition(decomposition_id="D1", decomposition=own), start)
    assert added.proposal.decompositions == {"D1": own}
    renamed = done(RenameAssumption(assumption_id="A1", new_id="A7"), added)
    renamed = done(RenameLoad(load_id="L2", new_id="L8"), renamed)
    renamed = done(RenameDecomposition(decomposition_id="D1", new_id="D7"), renamed)
    kept = renamed.proposal.decompositions["D7"]
    assert (kept.one, kept.other, kept.independence) == ("L1", "L8", "A7")
    assert "decompositions.D1" in refused(RemoveLoad(load_id="L1"), added).takes
    assert done(RemoveLoad(load_id="L1", take_along=True), added).proposal.decompositions == {}
    assert refused(RemoveAssumption(assumption_id="A1"), added).takes == ("decompositions.D1.independence",)
    assert done(RemoveDecomposition(decomposition_id="D1"), added).proposal == start.proposal
    alone = Decomposition(one="L1", other="L1")
    assert (
        "redundant to itself" in refused(AddDecomposition(decomposition_id="D2", decomposition=alone), start).sentence
    )
    field = "decompositions.D1.independence"
    assert "names an assumption; there is no 'A9'" in refused(SetField(place=field, value="A9"), added).sentence


def test_a_load_that_is_kept_apart_follows_the_others() -> None:
    """The loads that a load names are renamed with them, and go from the list with them when agreed to."""
    start = done(SetField(place="loads.L1.separate_from", value=("L2", "L3")), small())
    renamed = done(RenameLoad(load_id="L2", new_id="L9"), start)
    assert renamed.proposal.loads["L1"].separate_from == ("L9", "L3")
    assert "loads.L1.separate_from" in refused(RemoveLoad(load_id="L3"), start).takes
    assert done(RemoveLoad(load_id="L3", take_along=True), start).proposal.loads["L1"].separate_from == ("L2",)
    assert "there is no 'L7'" in refused(SetField(place="loads.L1.separate_from", value=("L7",)), start).sentence


def test_a_renamed_pair_keeps_what_was_accepted_for_it() -> None:
    """A finding at a pair stands at its id, and follows it."""
    after = done(RenamePair(pair_id="P1", new_id="BRAKE"), small()).proposal
    assert list(after.pairs) == ["BRAKE"]
    assert after.variants["one"].accepted["A03"].place == "BRAKE"
    assert "no pair" in refused(RenamePair(pair_id="P9", new_id="X"), small()).sentence


def test_a_dropped_habit_counts_as_the_trade_does() -> None:
    """The proposal's own habit of a drive code goes as a whole; one that it does not have cannot go."""
    own = done(SetField(place="settings.drives.HB2.wires", value=7), small())
    assert own.proposal.settings.habit("HB2").wires == 7
    dropped = done(DropHabit(drive="HB2"), own)
    assert dropped.proposal == small().proposal
    assert dropped.proposal.settings.habit("HB2") == DRIVE_HABITS["HB2"]
    assert "no own habit" in refused(DropHabit(drive="HB2"), small()).sentence


def test_a_variant_begins_without_modules() -> None:
    """An added variant serves nothing, whether others are there or not; its id must be free."""
    start = small()
    after = done(AddVariant(new_id="three", name="third"), start).proposal
    assert after.variants["three"] == Variant(name="third")
    assert after.variants["one"] is start.proposal.variants["one"]
    assert "two already" in refused(AddVariant(new_id="TWO"), start).sentence


def test_currencies_come_and_go() -> None:
    """A currency is added with nothing known of it and removed; the proposal's own and what is none are refused."""
    start = small()
    added = done(AddExchange(currency="USD"), start)
    assert added.proposal.programme.exchange == {"USD": Exchange()}
    assert done(RemoveExchange(currency="USD"), added).proposal == start.proposal
    for wrong, words in (("EUR", "itself"), ("usd", "three capital letters"), ("DOLLAR", "three capital letters")):
        assert words in refused(AddExchange(currency=wrong), start).sentence
    assert "USD" in refused(AddExchange(currency="USD"), added).sentence
    assert "CHF" in refused(RemoveExchange(currency="CHF"), added).sentence


def test_a_rate_that_may_be_upside_down_is_asked_about() -> None:
    """Beyond a fifth or five times the rate before it is asked; agreed to it is set, and near ones are set at once."""
    start = done(AddExchange(currency="USD"), small())
    place = "programme.exchange.USD.worth"

    def euros(amount: str) -> Money:
        return Money(amount=Decimal(amount), currency="EUR")

    known = done(SetField(place=place, value=euros("0.12")), start)
    refusal = refused(SetField(place=place, value=euros("8.3333")), known)
    assert "upside down" in refusal.sentence
    assert refusal.retry is not None
    assert done(refusal.retry, known).proposal.programme.exchange["USD"].worth == euros("8.3333")
    for near in ("0.024", "0.6"):
        assert done(SetField(place=place, value=euros(near)), known).proposal.programme.exchange["USD"].worth == euros(
            near
        )
    assert done(SetField(place=place), known).proposal.programme.exchange["USD"].worth is None
