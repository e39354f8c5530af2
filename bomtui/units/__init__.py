"""Text to number with units; the other direction is `bomtui.model.quantity`."""

from bomtui.units.grammar import QuantityError
from bomtui.units.pint_units import use_cache_folder, warm_up
from bomtui.units.reading import check_unit, parse, parse_count, parse_exact, parse_number

__all__ = [
    "QuantityError",
    "check_unit",
    "parse",
    "parse_count",
    "parse_exact",
    "parse_number",
    "use_cache_folder",
    "warm_up",
]
