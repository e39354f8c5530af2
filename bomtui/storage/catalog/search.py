"""What people type into the search box, as a condition on parts."""

from sqlalchemy import ColumnElement, and_, false, func, or_

from bomtui.storage.catalog.rows import fold, normal_mpn
from bomtui.storage.catalog.tables import PART, SEARCH

# The index knows fragments of three characters and more.
_INDEXED_LENGTH = 3
# More is not typed but pasted by mistake; the text index limits the depth of a question too.
_LONGEST_TEXT = 200


def terms_of(text: str) -> list[str]:
    """Return the terms of a search text, each once, folded: a part is found where all of them occur in it."""
    return list(dict.fromkeys(fold(text[:_LONGEST_TEXT]).split()))


def conditions(text: str) -> tuple[str, list[ColumnElement[bool]]]:
    """Turn a search text into a question to the text index and further conditions.

    A text is found by its terms, in any order, as fragments of key, part number, maker, kind, package or description;
    or as a part number whose separators are written in another way, or not at all. Signs that no text can hold are
    found nowhere.

    Args:
        text: Anything.

    Returns:
        The question to the text index, empty where no term is long enough for it; and conditions on the part itself.
    """
    terms = terms_of(text)
    if not terms and text.strip():
        return "", [false()]
    long = [term for term in terms if len(term) >= _INDEXED_LENGTH]
    short = [term for term in terms if len(term) < _INDEXED_LENGTH]
    joined = fold(normal_mpn(text[:_LONGEST_TEXT]))
    number = joined if len(joined) >= _INDEXED_LENGTH else ""
    question = ""
    if long:
        question = " AND ".join(map(_phrase, long))
        if number:
            question = f"({question}) OR {_phrase(number)}"
    if not short:
        return question, []
    all_short = and_(*(_holds(term) for term in short))
    return question, [or_(all_short, _holds(number)) if number else all_short]


def server_conditions(text: str) -> list[ColumnElement[bool]]:
    """Turn a search text into conditions on the part that answer as those for a file do.

    A server has no question to ask its index: it uses it for fragments of three characters and more by itself.

    Args:
        text: Anything.
    """
    terms = terms_of(text)
    if not terms:
        return [false()] if text.strip() else []
    all_terms = and_(*(_contains(term) for term in terms))
    joined = fold(normal_mpn(text[:_LONGEST_TEXT]))
    if len(joined) < _INDEXED_LENGTH:
        return [all_terms]
    long = [_contains(term) for term in terms if len(term) >= _INDEXED_LENGTH]
    short = [_contains(term) for term in terms if len(term) < _INDEXED_LENGTH]
    number = _contains(joined)
    # Either all of the long ones or the number, and either all of the short ones or the number: as a file is asked.
    return [or_(and_(*group), number) for group in (long, short) if group]


def matches(question: str) -> ColumnElement[bool]:
    """Return the condition that the text index answers."""
    return SEARCH.c.search_text.op("MATCH", is_comparison=True)(question)


def _phrase(term: str) -> str:
    """Quote a term for the text index, in which nothing but the quote itself has a meaning then."""
    return '"' + term.replace('"', '""') + '"'


def _holds(term: str) -> ColumnElement[bool]:
    return func.instr(PART.c.search_text, term) > 0


def _contains(term: str) -> ColumnElement[bool]:
    return PART.c.search_text.contains(term, autoescape=True)
