"""Read the terms of ingredient lists: which words are a sign of which substances.

`fires`: the food contains it. `may_be`: the word stands for it or for something else. `hides`: an
open word under which a maker may put it. A row with none of the three is a shield: a phrase that
is no sign of anything although it holds a word that is ("cocoa butter"). The longest phrase wins.
`exempt` has pairs of a law and a substance under which the term is no sign. `is_group`: a word for
a whole group, any one of which it may be. `is_name`: the word names its substances whole, so that
to be free of it is to be free of them. Substances and laws are the names the domain gives them.
"""

from collections.abc import Mapping
from dataclasses import dataclass
from functools import cache

from daysworth.reference.rows import listed, read_table, yes_no


@dataclass(frozen=True, slots=True)
class TermRow:
    """One term, the language it is of, what it is a sign of, and the source."""

    term: str
    language: str
    fires: frozenset[str]
    may_be: frozenset[str]
    hides: frozenset[str]
    exempt: frozenset[tuple[str, str]]
    is_group: bool
    is_name: bool
    source: str
    note: str


@cache
def term_rows() -> tuple[TermRow, ...]:
    """Read every term. Raises ReferenceDataError for a broken table."""
    return read_table("label_terms.csv", _term)


def _term(cells: Mapping[str, str]) -> TermRow:
    row = TermRow(
        term=cells["term"],
        language=cells["language"],
        fires=listed(cells["fires"]),
        may_be=listed(cells["may_be"]),
        hides=listed(cells["hides"]),
        exempt=frozenset(_exemption(one) for one in listed(cells["exempt"])),
        is_group=yes_no(cells["is_group"]),
        is_name=yes_no(cells["is_name"]),
        source=cells["source"],
        note=cells["note"],
    )
    if not (row.term and row.language and row.source):
        raise ValueError("a term has words, a language and a source")
    return row


def _exemption(cell: str) -> tuple[str, str]:
    regime, parted, substance = cell.partition(":")
    if not parted:
        raise ValueError(f'{cell!r} is no "law:substance"')
    return regime, substance
