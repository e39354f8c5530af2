"""Lawful ids made from what people call things."""

import re
import unicodedata

from bomtui.model.ids import is_id

_LONGEST = 32
_SPELT_OUT = str.maketrans({"ä": "ae", "ö": "oe", "ü": "ue", "Ä": "Ae", "Ö": "Oe", "Ü": "Ue", "ß": "ss"})
_NOT_IN_IDS = re.compile(r"[^A-Za-z0-9_]+")


def made_id(text: str) -> str:
    """Return the id that is nearest to a text: `Exterior lighting` is Exterior-lighting; empty where none is.

    A text that would have to be cut has none, because two such texts could become one.
    """
    spelt = unicodedata.normalize("NFKD", text.translate(_SPELT_OUT))
    plain = "".join(sign for sign in spelt if not unicodedata.combining(sign))
    found = _NOT_IN_IDS.sub("-", plain).strip("-_")
    return found if len(found) <= _LONGEST and is_id(found) else ""
