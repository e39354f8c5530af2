"""The fields of one record of the proposal."""

from typing import ClassVar

from textual.binding import BindingType

from bomtui.tui.screens.fields.editing import FieldEditing
from bomtui.tui.user_commands import bindings


class FieldsScreen(FieldEditing):
    """The fields of a load, module, device, item or subsystem."""

    SCOPES = ("fields", "keep", "find", "sheet")
    BINDINGS: ClassVar[list[BindingType]] = [*bindings("fields")]
