"""Words that people write above a column, for the fields that they mean.

English and German, as load lists and parts lists of the trade have them (common practice, no source). A word under two
fields is asked. The keys of the field table themselves are always known.
"""

from collections.abc import Iterable, Mapping

LOAD_WORDS: Mapping[str, str] = {
    "id": "load id|load no|load number|no|nr|pos|position|item|item no|lfd nr|kennung|kennzeichen|reference",
    "name": "load|load name|description|consumer|verbraucher|last|bezeichnung|benennung",
    "customer_ref": "customer reference|customer no|kundenreferenz|kundennummer|sachnummer",
    "subsystem": "system|group|function group|gruppe|funktionsgruppe|teilsystem|baugruppe",
    "kind": "type|load type|load kind|art|typ|lastart",
    "zone": "location|place|mounting place|einbauort|einbauraum|ort",
    "drive": "drive type|driver type|ansteuerung",
    "rated_power": "power|nominal power|leistung|nennleistung",
    "rated_voltage": "voltage|nominal voltage|supply|supply voltage|spannung|nennspannung|versorgung",
    "test_current": "current|nominal current|operating current|rated current|strom|nennstrom|betriebsstrom",
    "peak_current": "peak|inrush|inrush current|stall current|starting current|spitzenstrom|anlaufstrom|einschaltstrom",
    "peak_time": "inrush time|peak duration|spitzendauer|anlaufzeit",
    "pwm_frequency": "pwm|pwm frequenz",
    "resistance": "coil resistance|winding resistance|widerstand|spulenwiderstand",
    "inductance": "coil inductance|induktivitaet|induktivität",
    "behaviour": "behavior|verhalten",
    "safety": "asil|safety level|integrity level|sicherheitsstufe",
    "time_share": "duty|duty cycle|on share|einschaltdauer|zeitanteil",
    "pieces": "qty|quantity|pieces|pcs|count|menge|anzahl|stück|stueck|stk",
    "contacts": "kontakte",
    "note": "notes|remark|remarks|comment|comments|bemerkung|bemerkungen|kommentar|hinweis",
}
"""Words of a load list by field key."""

PART_WORDS: Mapping[str, str] = {
    "part": "key|part key|catalog key",
    "mpn": "part number|part no|partnumber|manufacturer part number|maker number|maker part number|number"
    "|herstellernummer|herstellerteilenummer|bestellbezeichnung|part",
    "maker": "manufacturer|mfr|mfg|hersteller",
    "description": "bezeichnung|beschreibung|benennung|name",
    "quantity": "qty|pieces|pcs|count|menge|anzahl|stück|stueck|stk",
    "refs": "ref|reference|references|designator|designators|refdes|bezeichner|referenz|referenzen",
    "value": "wert",
    "kind": "category|kategorie",
    "package": "footprint|outline|case|gehäuse|gehaeuse|bauform",
    "unit_price": "price|price each|price per piece|cost|stückpreis|stueckpreis|einzelpreis|preis|prices|preise",
    "currency": "währung|waehrung",
    "moq": "minimum order|minimum order quantity|min order|mindestmenge|mindestbestellmenge",
    "multiple": "order multiple|package quantity|packaging unit|verpackungseinheit|ve",
    "not_fitted": "dnp|dnf|dni|not placed|do not place|nicht bestückt",
    "fitted": "placed|populate|populated|bestückt|bestueckt",
    "sku": "offer number|order number|order code|bestellnummer|supplier number",
    "supplier": "lieferant|distributor",
    "line_price": "line total|total price|line cost|gesamtpreis|positionspreis",
    "alternates": "alternate|alternative|alternatives|second source|ersatz|alternativen",
    "lead_weeks": "lead time|lieferzeit",
    "life_cycle": "lifecycle|status|life cycle status",
    "symbol": "type|typ",
    "section": "group|gruppe|section",
    "note": "notes|remark|remarks|comment|comments|bemerkung|bemerkungen|kommentar|hinweis",
    "line": "pos|position|item|item no|no|nr|lfd nr",
}
"""Words of a parts list or price list by field key."""

OFFER_WORDS: Mapping[str, str] = {
    "price_date": "date|price as of|date of price|datum|stand|preisstand",
    "price_valid_to": "valid to|valid until|gültig bis|gueltig bis",
}
"""Further words of a column that is of one source among several, by field key."""

TOTAL_WORDS = frozenset(
    (
        "total", "totals", "sum", "subtotal", "grand total", "summe", "gesamt", "gesamtsumme", "zwischensumme",
        "endsumme",
    )
)  # fmt: skip
"""A cell that holds only this marks a row of sums."""

NOT_FITTED_WORDS = frozenset(
    (
        "dnp", "dnf", "dni", "dns", "nf", "n/f", "not fitted", "not placed", "do not place", "do not fit",
        "do not populate", "no pop", "nopop", "nicht bestückt", "nicht bestuecken", "nicht bestücken", "unbestückt",
    )
)  # fmt: skip
"""A cell that holds only this says that the row is not fitted."""


def keys_by_word(words: Mapping[str, str], fold: Iterable[tuple[str, str]] = ()) -> dict[str, tuple[str, ...]]:
    """Turn a table of words round: the fields that a word can mean.

    Args:
        words: Words by field key, separated by `|`.
        fold: Further pairs of word and key.
    """
    pairs = [(word, key) for key, line in words.items() for word in line.split("|")]
    found: dict[str, tuple[str, ...]] = {}
    for word, key in (*pairs, *fold):
        known = found.setdefault(word, ())
        if key not in known:
            found[word] = (*known, key)
    return found
