"""All that the result of one module depends on."""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass

from bomtui.engine.serving import Served
from bomtui.model.load import Load
from bomtui.model.part import Part
from bomtui.model.proposal import Proposal
from bomtui.model.variant import Module


@dataclass(frozen=True, slots=True)
class ModuleInputs:
    """All that one module's result depends on.

    Attributes:
        id: Id of the module.
        module: The module.
        served: Loads that it serves.
        loads: All loads by id.
        parts: Frozen parts by key.
        proposal: For vehicle, modes, zones and settings.
    """

    id: str
    module: Module
    served: Sequence[Served]
    loads: Mapping[str, Load]
    parts: Mapping[str, Part]
    proposal: Proposal
