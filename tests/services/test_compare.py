"""Comparisons, bars and targets as services: what is judged, what refuses a verdict, what adds up."""

from decimal import Decimal
from functools import cache
from pathlib import Path

import msgspec
import pytest

from bomtui.export.compare_markdown import compare_markdown
from bomtui.model.money import Money, Total, exact_sum
from bomtui.model.programme import Programme
from bomtui.model.proposal import Snapshot
from bomtui.services.bars import step_bars, waterfall
from bomtui.services.compare import Comparison, compare
from bomtui.services.compare_artefact import compare_record, write_comparison
from bomtui.services.compare_words import causes_that_count
from bomtui.services.errors import BomtuiError
from bomtui.services.open import Opened, open_proposal
from bomtui.services.review import Reviewed, review
from bomtui.services.rollup import compute
from bomtui.services.target import gap_text, gap_to_target
from bomtui.services.volumes import volumes
from tests.engine.sides import having, money, start, with_, with_rates
from tests.samples.rollups import sample_path


@cache
def _sample() -> Opened:
    return open_proposal(sample_path("sweeper"))


@cache
def _reviewed(variant: str) -> Reviewed:
    return review(compute(_sample(), variant))


def _opened(snapshot: Snapshot, name: str = "lamps.toml") -> Reviewed:
    return review(compute(Opened(Path(name), snapshot, (), "")))


@cache
def _sweeper() -> Comparison:
    return compare(_reviewed("distributed"), _reviewed("zone"))


def test_printed_causes_add_to_the_printed_difference() -> None:
    """Rounded to 4 digits the causes still add to the rounded total, and the subsystems to it exactly."""
    found = _sweeper()
    assert found.difference is not None
    assert sum(causes_that_count(found.difference).values()) == Decimal("-120.5798")
    assert sum(own.difference for own in found.owners) == found.difference.total


def test_makers_add_to_the_cost_of_parts() -> None:
    """Cost by maker adds to the parts of each side, and shares to the whole."""
    makers = _sweeper().makers
    assert exact_sum(own.first.amount for own in makers) == Decimal("476.5482")
    assert exact_sum(own.second.amount for own in makers) == Decimal("439.2334")
    assert float(sum(own.second_ratio for own in makers if own.second_ratio is not None)) == pytest.approx(1.0)


def test_preferred_makers_come_first() -> None:
    """A maker whose share is wanted is marked and heads the list, however small its share."""
    snapshot = _sample().snapshot
    programme = Programme(preferred_makers=("Kembrough Circuits",))
    opened = Opened(_sample().path, having(snapshot, programme=programme), (), "")
    found = compare(_reviewed("distributed"), review(compute(opened, "zone")))
    assert (found.makers[0].maker, found.makers[0].is_preferred) == ("Kembrough Circuits", True)


def test_a_difference_of_what_is_known_only_is_no_verdict() -> None:
    """An unknown rate on one side: the verdict is refused, the difference is still shown for what is known."""
    found = compare(_opened(start()), _opened(with_rates(start(), wire_end=None), "later.toml"))
    assert found.verdict.startswith("no verdict: the totals lack 0 and ")
    cost = next(own for own in found.measures if own.id == "cost")
    assert (cost.difference, cost.better) == (None, "undecided")


def test_bounds_are_judged_only_where_they_decide() -> None:
    """At least 14.9 A against at least 14.7 A decides nothing; an exact standby does."""
    better = {own.id: own.better for own in _sweeper().measures}
    assert better["supply.WORK_DAY.typ"] == "undecided"
    assert better["standby.typ"] == "second"
    assert better["parking_days.typ"] == "second"
    assert better["spare_pins"] == ""


def test_changed_loads_are_said_beside_the_verdict() -> None:
    """The same loads in another form still get a verdict, which names them."""
    before = start()
    loads = before.proposal.loads
    after = having(before, loads={**loads, "L1": with_(loads["L1"], wire_count=2)})
    verdict = compare(_opened(before), _opened(after, "later.toml")).verdict
    assert verdict.endswith("1 load is not the same on both (L1)")


def test_the_page_says_what_it_rests_on() -> None:
    """Markdown holds verdict, causes, assumptions and cautions, and an unknown is never a bare number."""
    page = compare_markdown(compare_record(_sweeper())).decode()
    for words in (
        "**zone costs 120.5798 EUR",
        "| architecture | -125.7317 |",
        "| total | -120.5798 |",
        "A04: no attrition",
    ):
        assert words in page
    assert "\\>= 47.7818 (6 unknown)" in page


def test_a_comparison_is_written_by_its_suffix(tmp_path: Path) -> None:
    """JSON and Markdown by the name; any other ending is refused and nothing is written."""
    write_comparison(_sweeper(), tmp_path / "DEMO.json")
    assert msgspec.json.decode((tmp_path / "DEMO.json").read_bytes())["verdict"] == _sweeper().verdict
    with pytest.raises(BomtuiError):
        write_comparison(_sweeper(), tmp_path / "DEMO.xml")
    assert not (tmp_path / "DEMO.xml").exists()


def test_target_price_and_the_gap_to_it() -> None:
    """A cost above the target is a gap above 0, in the proposal's currency, also where the target is in another."""
    before = start()
    cost = compute(Opened(Path("lamps.toml"), before, (), "")).rollup.cost.total.amount
    programme = with_(before.proposal.programme, target_price=money("20"))
    euros = gap_to_target(_opened(having(before, programme=programme)).computed)
    assert euros is not None
    assert euros.gap == Total(amount=cost - 20)
    dollars = with_(programme, target_price=Money(amount=Decimal(25), currency="USD"))
    gap = gap_to_target(_opened(having(before, programme=dollars)).computed)
    assert gap is not None
    assert gap.target == Decimal("23.00")
    assert gap_text(gap, "EUR").startswith("target price 23.0000 EUR: ")
    assert gap_to_target(_opened(before).computed) is None
    unpriced = with_(programme, target_price=Money(amount=Decimal(25), currency="CHF"))
    assert gap_to_target(_opened(having(before, programme=unpriced)).computed) is None


def test_volumes_need_a_volume() -> None:
    """Without vehicles a year, or with a volume of nothing, it is said what is missing."""
    blank = having(start(), vehicle=with_(start().proposal.vehicle, volume_per_year=None))
    with pytest.raises(BomtuiError, match="does not say how many vehicles"):
        volumes([_opened(blank)])
    with pytest.raises(BomtuiError, match="above 0"):
        volumes([_opened(start())], [0])


def test_bars_follow_their_amounts() -> None:
    """The longest has the room, what is not nothing has one sign at least, nothing has none."""
    bars = step_bars({"a": Decimal(-10), "b": Decimal(5), "c": Decimal("0.001"), "d": Decimal(0)}, 20)
    assert bars == {"a": "-" * 20, "b": "+" * 10, "c": "+", "d": ""}


def test_a_waterfall_begins_where_the_step_before_ended() -> None:
    """From 100 down 40 and up 10 to 70, on a scale from 60 to 100."""
    first, bars, last = waterfall([Decimal(-40), Decimal(10)], Decimal(100), 41)
    assert (len(first) - 1, len(last) - 1) == (40, 10)
    assert bars == ["-" * 40, "+" * 10]
    assert waterfall([], Decimal(5), 10) == ("|", [], "|")
