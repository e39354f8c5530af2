"""Real proposals behind the screens' own view of them."""

from pathlib import Path

from bomtui.tui.from_services.source import SessionSource
from bomtui.tui.from_services.workplace import ServicesWorkplace
from bomtui.tui.view import Place, RollupView
from bomtui.tui.workplace import Refusal

SAMPLES = Path(__file__).parents[3] / "sample_projects"
SWEEPER = SAMPLES / "street_sweeper"
VAN = SAMPLES / "parcel_van"
VARIANTS = [(SWEEPER, "zone"), (SWEEPER, "distributed"), (VAN, "central"), (VAN, "distributed")]


def workplace(settings_folder: Path) -> ServicesWorkplace:
    """A workplace with a list of its own of what was opened."""
    return ServicesWorkplace(settings_folder, settings_folder / "journals")


def opened(path: Path, settings_folder: Path) -> SessionSource:
    """An open proposal."""
    source = workplace(settings_folder).open(str(path))
    assert isinstance(source, SessionSource), source
    return source


def refused(path: str, settings_folder: Path) -> Refusal:
    """Why a proposal cannot be opened."""
    result = workplace(settings_folder).open(path)
    assert isinstance(result, Refusal), result
    return result


def all_places(view: RollupView) -> list[Place]:
    """Every line of both trees."""
    found: list[Place] = []
    waiting = [view.vehicle, *view.modules, *view.subsystems()]
    while waiting:
        place = waiting.pop()
        found.append(place)
        waiting += place.children
    return found
