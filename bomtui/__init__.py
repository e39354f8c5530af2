"""bomtui: from vehicle loads to a costed parts list, in the terminal and from Python.

From Python: `bomtui.open(path)` gives a `Proposal` with `rollup`, `review`, `compare`, `rows` and `export`; what is
refused is a `BomtuiError`. Everything behind these names is loaded when one of them is first asked for.
"""

# What type checkers take for true; the library of types would be loaded for nothing.
TYPE_CHECKING = False
if TYPE_CHECKING:
    from bomtui.services.api import BomtuiError, Proposal
    from bomtui.services.api import open_file as open  # noqa: A004 - `bomtui.open` reads as what it does

__version__ = "0.1.0"

__all__ = ["BomtuiError", "Proposal", "__version__", "open"]

_NAMES = {"BomtuiError": "BomtuiError", "Proposal": "Proposal", "open": "open_file"}


def __getattr__(name: str) -> object:
    """Load a public name when it is first asked for, so that `import bomtui` stays quick."""
    if name not in _NAMES:
        raise AttributeError(f"module 'bomtui' has no attribute '{name}'")
    from importlib import import_module

    return getattr(import_module("bomtui.services.api"), _NAMES[name])
