"""Current that keeps the contacts of switches clean."""

from bomtui.engine.calc import formula


@formula("test_current_a / contacts", "A", "equal shares of the contacts on a row (definition)")
def contact_a(test_current_a: float, contacts: int) -> float:
    """Current of one contact of a row of switches.

    Args:
        test_current_a: Current of the row [A].
        contacts: Contacts on it, above 0.

    Source: definition.
    """
    return test_current_a / contacts
