"""Hold the tables that the reader of labels goes by to what a table must be."""

import pytest

from daysworth.domain.label_terms import terms
from daysworth.domain.label_words import plain_word
from daysworth.domain.labels import Claim
from daysworth.domain.misspelt_terms import look_alike
from daysworth.domain.restrictions import Substance, with_implied
from daysworth.reference.label_terms import term_rows
from daysworth.reference.label_words import (
    claim_rows,
    language_signs,
    misspelt_words,
    plain_words,
    statement_rows,
)


def test_no_two_terms_are_the_same_words() -> None:
    assert len({term.plain for term in terms()}) == len(terms())


def test_every_substance_has_a_term_that_fires() -> None:
    assert frozenset[Substance]().union(*(term.fires for term in terms())) == set(Substance)


def test_what_a_term_fires_holds_what_that_implies() -> None:
    assert [term.term for term in terms() if with_implied(term.fires) != term.fires] == []


def test_a_term_is_not_sure_of_a_substance_and_in_doubt_of_it() -> None:
    both = [one.term for one in terms() if one.fires & one.may_be or one.may_be & one.hides]
    assert both == []


def test_an_exemption_is_of_something_that_the_term_is_a_sign_of() -> None:
    for term in terms():
        signed = term.fires | term.may_be | term.hides
        assert {substance for _, substance in term.exempt} <= signed, term.term


def test_a_word_that_names_a_substance_whole_fires_it() -> None:
    assert [term.term for term in terms() if term.is_name and not term.fires] == []


def test_every_row_has_a_source() -> None:
    phrases = [*statement_rows(), *claim_rows(), *misspelt_words()]
    assert [row for row in term_rows() if not row.source] == []
    assert [row for row in phrases if not row.source] == []


def test_every_claim_has_a_phrase() -> None:
    assert {Claim(row.kind) for row in claim_rows()} == set(Claim)


@pytest.mark.parametrize("word", [row.phrase for row in misspelt_words()])
def test_a_misspelling_is_flagged_with_what_it_may_mean(word: str) -> None:
    looks = look_alike(plain_word(word))
    assert looks is not None
    assert looks[1]


def test_a_plain_word_is_never_flagged() -> None:
    assert [word for word in plain_words() if look_alike(plain_word(word))] == []


def test_a_sign_of_another_language_is_no_word_of_an_english_term() -> None:
    english = {word for term in terms() if term.language == "en" for word in term.plain}
    assert sorted(english & {plain_word(word) for word in language_signs()}) == []
