"""Find what a label says is not in the food, and what it claims.

A denial hides a word from being a sign, and no more of the label than it must: within a list of
ingredients it takes the one term beside it, never anything across a comma. What is denied is a
claim and proves nothing. A claim that stands beside one ingredient ("gluten-free oats" in a list)
is not one about the food.
"""

from collections.abc import Iterator, Sequence
from dataclasses import dataclass, field
from functools import cache
from typing import Final

from daysworth.domain.label_statements import (
    SENTENCE_ENDS,
    Scope,
    Statements,
    phrases_for,
    words_for,
)
from daysworth.domain.label_terms import TermFound, folded, shorter_terms
from daysworth.domain.label_words import LabelWords
from daysworth.domain.labels import Claim, Said
from daysworth.domain.phrase_index import PhraseIndex
from daysworth.domain.restrictions import IMPLIED, Substance
from daysworth.reference.label_words import claim_rows

_NOT_REACH_WORDS: Final = 8
_SENTENCE_REACH_WORDS: Final = 60
_BESIDE: Final = frozenset({"product", "food", "certified", "and", "or", "diet", "recipe", "claim"})


@dataclass(slots=True, kw_only=True)
class Denials:
    """The terms that are signs after all denials, what is denied, and what is claimed."""

    kept: list[TermFound]
    free_from: dict[Substance, tuple[str, int]] = field(default_factory=dict)
    claims: dict[Claim, tuple[str, int]] = field(default_factory=dict)


@cache
def _claims() -> PhraseIndex[Claim]:
    return PhraseIndex((folded(row.phrase), Claim(row.kind)) for row in claim_rows())


def deny(words: LabelWords, found: Sequence[TermFound], *, statements: Statements) -> Denials:
    """Take out the terms that are denied; the words of a denial are marked as a claim."""
    return _Denying(words, found, statements=statements).deny()


class _Denying:
    """One label while its denials and claims are found."""

    def __init__(
        self, words: LabelWords, found: Sequence[TermFound], *, statements: Statements
    ) -> None:
        self.words, self.said, self.scopes = words, statements.said, statements.scopes
        self.tokens, self.gaps = words.words, words.gaps
        self.by_first = {one.first: one for one in reversed(found)}
        self.by_last = {one.last: one for one in found}
        self.found = found
        self.headings = {scope.last for scope in self.scopes if scope.kind == "ingredients"}
        self.dropped: set[int] = set()
        self.added: list[TermFound] = []
        self.denials = Denials(kept=[])

    def deny(self) -> Denials:
        for scope in self.scopes:
            self._deny_scope(scope)
        for opener in phrases_for("no").all_in(self.tokens):
            if self._word(opener.last + 1) not in words_for("not_no"):
                self._deny_beside(opener.first, opener.last + 1)
        guarantees = self._guaranteed()
        for number, word in enumerate(self.tokens):
            if word == "free" and number not in guarantees:
                self._deny_before(number)
        self._find_claims()
        kept = [one for one in self.found if id(one) not in self.dropped]
        self.denials.kept = sorted([*kept, *self.added], key=lambda one: (one.first, -one.last))
        return self.denials

    def _guaranteed(self) -> frozenset[int]:
        return frozenset(
            number
            for scope in self.scopes
            if scope.kind == "guarantee"
            for number in range(scope.opener, scope.last + 1)
        ) | frozenset(
            number
            for scope in self.scopes
            if scope.kind == "guarantee"
            for number in self._back_in_sentence(scope.opener)
        )

    def _back_in_sentence(self, number: int) -> Iterator[int]:
        for one in range(number - 1, max(-1, number - _SENTENCE_REACH_WORDS), -1):
            if self.said[one] is not Said.PRECAUTION:
                return
            yield one

    # --- denials

    def _deny_scope(self, scope: Scope) -> None:
        if scope.kind == "free" and self.said[scope.opener] is not Said.CLAIM:
            self._deny_beside(scope.opener, scope.first)
        elif scope.kind in ("free", "unhandled", "for_allergens"):
            for number in range(scope.first, scope.last + 1):
                one = self.by_first.get(number)
                if one is None or self.said[one.last] is not Said.CLAIM:
                    continue
                self.dropped.add(id(one))
                if scope.kind != "for_allergens":
                    self._record(one, first=scope.opener, last=one.last)

    def _deny_beside(self, opener: int, number: int) -> None:
        """Deny the term right after an opener, and those joined to it by "or"."""
        filler, chain = words_for("filler_no"), words_for("chain")
        while self._word(number) in filler and number not in self.by_first:
            number += 1
        one = self.by_first.get(number)
        if one is None or self.gaps[number] == "\n\n":
            return
        while one is not None:
            one = self._shrunk(one, is_after=True)
            self._drop(one, first=opener, last=one.last)
            following = one.last + 1
            one = self.by_first.get(following + 1) if self._word(following) in chain else None

    def _deny_before(self, free: int) -> None:
        """Deny the term right before "free", and those joined to it by a hyphen left open."""
        one = self.by_last.get(free - 1)
        if one is None or self.gaps[free].startswith("\n") or self._is_other_free(free):
            return
        if self._word(one.first - 1) in words_for("not"):
            return
        one = self._shrunk(one, is_after=False)
        self._drop(one, first=one.first, last=free)
        self._mark_place(one.first, free)
        before = one.first
        while (left := self._left_open(before)) is not None:
            self._drop(left, first=left.first, last=free)
            before = left.first
        if before == one.first and (pair := self._paired(before, free)) is not None:
            self._drop(pair, first=pair.first, last=free)

    def _mark_place(self, first: int, last: int) -> None:
        """Take "made in a … kitchen" with "nut-free" between for words of the claim."""
        if self._word(last + 1) not in words_for("place"):
            return
        self.said[last + 1] = Said.CLAIM
        lead = words_for("made") | words_for("filler") | words_for("subject")
        while first > 0 and self.tokens[first - 1] in lead and not self._starts(first):
            first -= 1
            if self.said[first] is Said.INGREDIENTS and first not in self.by_first:
                self.said[first] = Said.CLAIM

    def _is_other_free(self, free: int) -> bool:
        following = self._word(free + 1)
        return following in words_for("not_free") and not self.gaps[free + 1].startswith("\n")

    def _left_open(self, before: int) -> TermFound | None:
        """Find the term of "soy- and milk-free" that an open hyphen leaves waiting."""
        number = before - 1
        while self._word(number) in ("and", "or", "&", ",", "/"):
            number -= 1
        return self.by_last.get(number - 1) if self._word(number) == "-" else None

    def _paired(self, before: int, free: int) -> TermFound | None:
        """Find the first term of a sentence that is no more than "milk and egg free"."""
        if self._word(before - 1) not in ("and", "&", "or", "/"):
            return None
        one = self.by_last.get(before - 2)
        if one is None or not self._starts(one.first):
            return None
        return one if self._ends(free + 1) else None

    def _shrunk(self, one: TermFound, *, is_after: bool) -> TermFound:
        """Take only the word beside the denial where the term means more than that word."""
        if one.first == one.last:
            return one
        edge = one.first if is_after else one.last
        beside = shorter_terms(self.tokens, first=edge, last=edge)
        if not beside or beside[0].meaning.fires >= one.meaning.fires:
            return one
        self.dropped.add(id(one))
        rest = (edge + 1, one.last) if is_after else (one.first, edge - 1)
        self.added.extend(shorter_terms(self.tokens, first=rest[0], last=rest[1]))
        return beside[0]

    def _drop(self, one: TermFound, *, first: int, last: int) -> None:
        self.dropped.add(id(one))
        for number in range(first, last + 1):
            if self.said[number] is Said.INGREDIENTS or self.said[number] is Said.PRECAUTION:
                self.said[number] = Said.CLAIM
        if self._is_of_food(first, last):
            self._record(one, first=first, last=last)

    def _record(self, one: TermFound, *, first: int, last: int) -> None:
        if not one.meaning.is_name:
            return
        implied = {less for more in one.meaning.fires for less in IMPLIED.get(more, ())}
        for substance in sorted(one.meaning.fires - implied):
            said = (self.words.printed(first, last), self.words.at(first))
            self.denials.free_from.setdefault(substance, said)
            if substance is Substance.GLUTEN and not self._is_denied_or_elsewhere(first, last):
                self.denials.claims.setdefault(Claim.GLUTEN_FREE, said)

    # --- claims

    def _find_claims(self) -> None:
        for one in _claims().all_in(self.tokens):
            if self.said[one.first] is Said.PRECAUTION or one.meaning in self.denials.claims:
                continue
            if self._is_denied_or_elsewhere(one.first, one.last):
                continue
            if self._is_of_food(one.first, one.last):
                said = (self.words.printed(one.first, one.last), self.words.at(one.first))
                self.denials.claims[one.meaning] = said

    def _is_denied_or_elsewhere(self, first: int, last: int) -> bool:
        """Tell whether "not" stands before a claim, or it is one about a place of work."""
        following = {self._word(last + 1), self._word(last + 2)}
        if following & words_for("place") or self._word(last + 1) == "containing":
            # "No gluten containing ingredients" is less than a claim to be free of gluten.
            return True
        denying = words_for("not") | words_for("place") | {"non", "unsuitable"}
        for number in range(first - 1, max(-1, first - 1 - _NOT_REACH_WORDS), -1):
            if self.tokens[number] in SENTENCE_ENDS or self.gaps[number + 1] == "\n\n":
                return False
            if self.tokens[number] in denying:
                return True
        return False

    def _is_of_food(self, first: int, last: int) -> bool:
        """Tell whether words speak of the food, and not of one ingredient beside them."""
        if self._word(first - 1) in ("(", "[", "{") or self._is_under_heading(first):
            return False
        following = self._word(last + 1)
        if not following[:1].isalnum() or self.gaps[last + 1].startswith("\n"):
            return True
        if following in _BESIDE or following in words_for("place"):
            return True
        while first > 0 and self.tokens[first - 1] in words_for("subject"):
            first -= 1
        return self._starts(first) and not self._has_list(last + 1)

    def _is_under_heading(self, number: int) -> bool:
        """Tell whether "ingredients" opens the sentence that a word is in."""
        for one in range(number, max(-1, number - _SENTENCE_REACH_WORDS), -1):
            if one in self.headings:
                return True
            if self._starts(one):
                return False
        return False

    def _has_list(self, number: int) -> bool:
        for one in range(number, min(len(self.tokens), number + _SENTENCE_REACH_WORDS)):
            if self.tokens[one] in ",;:([{":
                return True
            if self._ends(one):
                return False
        return False

    # --- places

    def _starts(self, number: int) -> bool:
        return (
            number == 0
            or self.tokens[number - 1] in SENTENCE_ENDS
            or self.gaps[number].startswith("\n")
        )

    def _ends(self, number: int) -> bool:
        return (
            number >= len(self.tokens)
            or self.tokens[number] in SENTENCE_ENDS
            or self.gaps[number].startswith("\n")
        )

    def _word(self, number: int) -> str:
        return self.tokens[number] if 0 <= number < len(self.tokens) else ""
