"""Begin a proposal from a customer's load list."""

from dataclasses import dataclass
from pathlib import Path

from bomtui.model.ids import ID_RULE, is_id
from bomtui.model.money import is_currency
from bomtui.model.proposal import Assumption, Info, Proposal
from bomtui.model.variant import Variant
from bomtui.model.vehicle import SUPPLY_CLASSES, Mode, Subsystem, Vehicle, Zone
from bomtui.services.errors import BomtuiError
from bomtui.services.open import Problem
from bomtui.storage.atomic import NO_FILE, ChangedOutsideError, write
from bomtui.storage.proposal.write import proposal_text
from bomtui.storage.tabular.answers import EMPTY, Answers, Question
from bomtui.storage.tabular.loads import LoadsResult, read_loads

FIRST_VARIANT = "V1"


@dataclass(frozen=True, slots=True)
class NewReport:
    """What became of a load list.

    Attributes:
        path: The proposal file that was written.
        loads: How many loads it holds.
        zones: Zones that the list names; all that the list does not say of them is unknown.
        modes: Modes that the list names.
        subsystems: Subsystems that the list names.
        problems: Every row and column that was not taken.
        questions: What the list leaves open.
        doubts: Values that can hardly be meant, with their likely cause.
        notices: What was decided in reading the list.
        assumed: What was taken for granted and stands as an assumption in the proposal.
    """

    path: Path
    loads: int
    zones: tuple[str, ...]
    modes: tuple[str, ...]
    subsystems: tuple[str, ...]
    problems: tuple[Problem, ...]
    questions: tuple[Question, ...]
    doubts: tuple[Problem, ...]
    notices: tuple[str, ...]
    assumed: tuple[str, ...]


def new_proposal(
    name: str,
    loads_list: Path,
    folder: Path,
    supply: str | None = None,
    currency: str | None = None,
    answers: Answers = EMPTY,
) -> NewReport:
    """Write a new proposal `NAME/NAME.toml` with the loads of a list.

    Zones, modes and subsystems that the list names are made with unknown values; one variant without modules is made.

    Args:
        name: Name of the new folder and file, and first title of the proposal.
        loads_list: The load list.
        folder: Where the new folder is made.
        supply: Supply class of the vehicle; None to assume 12 V, which is then listed as an assumption.
        currency: Currency of the proposal (ISO 4217); None to assume EUR, likewise.
        answers: What was said of the list.

    Raises:
        BomtuiError: The name is unlawful or taken, no load could be taken, or the file cannot be written. Nothing was
            written then.
    """
    if not is_id(name):
        raise BomtuiError(f"expected a name of {ID_RULE}, found '{name}'")
    if supply is not None and supply not in SUPPLY_CLASSES:
        raise BomtuiError(f"expected a supply class, one of {', '.join(SUPPLY_CLASSES)}, found '{supply}'")
    if currency is not None and not is_currency(currency):
        raise BomtuiError(f"expected a currency of three capital letters (ISO 4217), found '{currency}'")
    home = folder / name
    _check_free(home, name)
    found = read_loads(loads_list, answers)
    if not found.loads:
        asked = tuple(Problem(str(loads_list), f"open: {question.sentence}") for question in found.questions)
        raise BomtuiError(f"{loads_list}: no load could be taken; nothing was written", (*found.problems, *asked))
    proposal, assumed = _proposal(name, found, supply, currency)
    path = home / f"{name}.toml"
    _write(home, path, proposal_text(proposal).encode())
    return NewReport(
        path=path,
        loads=len(found.loads),
        zones=found.zones,
        modes=found.modes,
        subsystems=found.subsystems,
        problems=found.problems,
        questions=found.questions,
        doubts=found.doubts,
        notices=found.notices,
        assumed=assumed,
    )


def _check_free(home: Path, name: str) -> None:
    try:
        if not home.parent.is_dir():
            raise BomtuiError(f"{home}: there is no folder {home.parent}; nothing was written")
        if home.exists() and not home.is_dir():
            raise BomtuiError(f"{home}: expected a name that is free, found a file; nothing was written")
        if home.is_dir():
            there = sorted(entry.name for entry in home.glob("*.toml"))
            if there:
                raise BomtuiError(f"{home}: it holds {there[0]} already; nothing was written")
    except OSError as error:
        raise BomtuiError(f"{home}: the folder for {name} cannot be looked at ({error.strerror})") from error


def _proposal(
    name: str, found: LoadsResult, supply: str | None, currency: str | None
) -> tuple[Proposal, tuple[str, ...]]:
    assumed = []
    if currency is None:
        currency = Info(name=name).currency
        assumed.append(f"the currency is {currency}")
    proposal = Proposal(
        proposal=Info(name=name, currency=currency, default_variant=FIRST_VARIANT),
        vehicle=Vehicle(supply=supply),
        zones={key: Zone(name=found.names.get(key, "")) for key in found.zones},
        modes={key: Mode() for key in found.modes},
        subsystems={key: Subsystem(name=found.names.get(key, "")) for key in found.subsystems},
        loads=found.loads,
        assumptions={
            f"A{number}": Assumption(text=text, effect="taken for granted when the proposal was begun")
            for number, text in enumerate(assumed, start=1)
        },
        variants={FIRST_VARIANT: Variant(name="first variant")},
    )
    return proposal, tuple(assumed)


def _write(home: Path, path: Path, data: bytes) -> None:
    """Write the file; a folder that was made for it does not outlive a failure."""
    is_new = not home.exists()
    try:
        home.mkdir(exist_ok=True)
        write(path, data, expected_hash=NO_FILE)
    except ChangedOutsideError:
        raise BomtuiError(f"{path}: somebody else has just made this file; nothing was written") from None
    except OSError as error:
        if is_new and home.is_dir():
            home.rmdir()
        raise BomtuiError(f"{path}: it cannot be written ({error.strerror or error}); nothing was written") from error
