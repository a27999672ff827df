"""Read the words of labels that are no terms: spellings, misspellings, plain words, statements.

Every table has a source beside each row; "common practice" is what packs print, "from memory" what
no document was at hand for.
"""

from collections.abc import Mapping
from dataclasses import dataclass
from functools import cache
from types import MappingProxyType

from daysworth.reference.rows import read_table


@dataclass(frozen=True, slots=True)
class PhraseRow:
    """A phrase as packs print it, what it is for a reader of labels, and its source."""

    phrase: str
    kind: str
    source: str


@cache
def spellings() -> Mapping[str, str]:
    """Map a word to the one spelling it is brought to. Raises ReferenceDataError."""
    rows = read_table(
        "label_spellings.csv", lambda cells: _phrase(cells, phrase="word", kind="plain")
    )
    return MappingProxyType({row.phrase: row.kind for row in rows})


@cache
def misspelt_words() -> tuple[PhraseRow, ...]:
    """Read misspellings seen on typed labels and the word meant. Raises ReferenceDataError."""
    return read_table(
        "misspelt_words.csv", lambda cells: _phrase(cells, phrase="word", kind="meant")
    )


@cache
def plain_words() -> frozenset[str]:
    """Read the words that only look like terms. Raises ReferenceDataError."""
    rows = read_table("plain_words.csv", lambda cells: _phrase(cells, phrase="word", kind="kind"))
    return frozenset(row.phrase for row in rows)


@cache
def label_vocabulary() -> frozenset[str]:
    """Read the ordinary words of lists that are no sign of anything. Raises ReferenceDataError."""
    rows = read_table(
        "label_vocabulary.csv", lambda cells: _phrase(cells, phrase="word", kind="word")
    )
    return frozenset(row.phrase for row in rows)


@cache
def statement_rows() -> tuple[PhraseRow, ...]:
    """Read the phrases that open statements and the words within. Raises ReferenceDataError."""
    return read_table(
        "label_statements.csv", lambda cells: _phrase(cells, phrase="phrase", kind="kind")
    )


@cache
def claim_rows() -> tuple[PhraseRow, ...]:
    """Read the phrases that claim something. Raises ReferenceDataError."""
    return read_table(
        "label_claims.csv", lambda cells: _phrase(cells, phrase="phrase", kind="claim")
    )


@cache
def language_signs() -> Mapping[str, str]:
    """Map a word of another language to its tag. Raises ReferenceDataError."""
    rows = read_table(
        "language_signs.csv", lambda cells: _phrase(cells, phrase="word", kind="language")
    )
    return MappingProxyType({row.phrase: row.kind for row in rows})


def _phrase(cells: Mapping[str, str], *, phrase: str, kind: str) -> PhraseRow:
    row = PhraseRow(cells[phrase], cells[kind], cells["source"])
    if not (row.phrase and row.kind and row.source):
        raise ValueError("every cell is filled")
    return row
