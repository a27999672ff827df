"""Tell, word by word, where on a label it stands: ingredients, a statement, a precaution, a claim.

Whatever is not plainly something else is taken for ingredients, the strict side. A precaution or
a list of what is not in the food ends with its sentence, its line or its bracket, at the next
opener, and where words of an ordinary recipe (sugar, salt, water) show that a list has begun.
"""

from collections.abc import Sequence
from dataclasses import dataclass
from functools import cache
from typing import Final

from daysworth.domain.label_terms import TermFound, folded
from daysworth.domain.label_words import LabelWords
from daysworth.domain.labels import Said
from daysworth.domain.phrase_index import Found, PhraseIndex
from daysworth.reference.label_words import statement_rows

OPENERS: Final = frozenset(
    {"ingredients", "contains", "precaution", "guarantee", "present", "free", "for_allergens"}
    | {"unhandled", "recipe"}
)
SENTENCE_ENDS: Final = frozenset({".", "!", "?", "…"})
PARTERS: Final = frozenset({",", ";", "and", "or", "&", "/", "+"})
_OPENING: Final = frozenset("([{")
_CLOSING: Final = frozenset(")]}")
_LONGEST_POINTER_WORDS: Final = 30
_SITE_REACH_WORDS: Final = 10


@dataclass(frozen=True, slots=True, kw_only=True)
class Scope:
    """The words from `first` to `last` that an opener (`opener` to `first`) speaks of.

    `is_whole` says that the sentence begins with the opener.
    """

    kind: str
    opener: int
    first: int
    last: int
    is_whole: bool


@dataclass(frozen=True, slots=True, kw_only=True)
class Statements:
    """Where each word of a label stands, and the scopes of its statements."""

    said: list[Said]
    scopes: tuple[Scope, ...]


@cache
def words_for(kind: str) -> frozenset[str]:
    """List the single plain words that the statements table has of a kind."""
    rows = [folded(row.phrase) for row in statement_rows() if row.kind == kind]
    return frozenset(words[0] for words in rows if len(words) == 1)


@cache
def phrases_for(kind: str) -> PhraseIndex[str]:
    """Index the phrases that the statements table has of a kind."""
    return PhraseIndex((folded(row.phrase), kind) for row in statement_rows() if row.kind == kind)


@cache
def _openers() -> PhraseIndex[str]:
    return PhraseIndex(
        (folded(row.phrase), row.kind) for row in statement_rows() if row.kind in OPENERS
    )


def split(words: LabelWords, found: Sequence[TermFound]) -> Statements:
    """Tell of each word where on the label it stands."""
    return _Splitting(words, found).split()


class _Splitting:
    """One label's words while they are told apart."""

    def __init__(self, words: LabelWords, found: Sequence[TermFound]) -> None:
        self.words, self.gaps = words.words, words.gaps
        self.said = [Said.INGREDIENTS] * len(words.words)
        self.in_term = bytearray(len(words.words))
        self.in_single_term = bytearray(len(words.words))
        self.goes_on = bytearray(len(words.words))
        for one in found:
            for number in range(one.first, one.last + 1):
                self.in_term[number] = 1
                self.in_single_term[number] = not one.meaning.is_group
                self.goes_on[number] = number > one.first
        self.scopes: list[Scope] = []

    def split(self) -> Statements:
        openers = self._find_openers()
        behind = 0
        for number, opener in enumerate(openers):
            limit = openers[number + 1].first if number + 1 < len(openers) else len(self.words)
            scope = self._scope(opener, limit)
            if scope.kind in ("present", "guarantee"):
                self._mark_before(opener.first, behind)
            self._mark(scope)
            self.scopes.append(scope)
            behind = scope.last + 1
        return Statements(said=self.said, scopes=tuple(self.scopes))

    # --- openers

    def _find_openers(self) -> list[Found[str]]:
        found: list[Found[str]] = []
        number = 0
        index, sites = _openers(), words_for("site")
        while number < len(self.words):
            one = index.at(self.words, number)
            if one is None and self.words[number] in sites and self._is_shared_site(number):
                one = Found(number, number, "precaution")
            opener = one and self._judged(one)
            if opener is not None:
                found.append(self._with_lead(opener, behind=found[-1].last if found else -1))
            number = one.last + 1 if one else number + 1
        return found

    def _with_lead(self, found: Found[str], *, behind: int) -> Found[str]:
        """Begin a precaution where its sentence does: "This food is made on shared equipment"."""
        if found.meaning not in ("precaution", "unhandled"):
            return found
        lead = words_for("made") | words_for("filler") | words_for("subject")
        first = found.first
        while first - 1 > behind and self.words[first - 1] in lead and not self.in_term[first - 1]:
            if self.gaps[first] == "\n\n":
                break
            first -= 1
        return Found(first, found.last, found.meaning)

    def _judged(self, found: Found[str]) -> Found[str] | None:
        """Give an opener the kind it has where it stands; None: it opens nothing."""
        match found.meaning:
            case "ingredients" if not self._is_header(found):
                return None
            case "contains" | "precaution" if self._is_amount(found):
                return Found(found.first, found.last, "ingredients")
            case "contains" if not self._is_contains(found):
                return None
            case "precaution" if self._is_unsuited(found) and not self._speaks_of_allergy(found):
                return None
            case "for_allergens" if self._pointer_end(found) is None:
                return None if self.words[found.first] != "allergen" else _as_contains(found)
        return found

    def _is_header(self, found: Found[str]) -> bool:
        if self._word(found.last + 1) in (":", "-", "(", "[", "="):
            return True
        return self.starts_sentence(found.first) and not self._tells_where(found.last + 1)

    def _tells_where(self, number: int) -> bool:
        return self._word(number) in ("in", "see", "listed", "are", "shown", "above", "with", ".")

    def _is_amount(self, found: Found[str]) -> bool:
        """Tell whether "contains" goes on with how much, so that the list of ingredients does."""
        number = found.last + 1
        if self._word(number) == ":":
            return False
        following = self._word(number)
        if following[:1].isdigit():
            return True
        index = phrases_for("amount").at(self.words, number) if following else None
        if index is None:
            return False
        return self._word(index.last + 1) not in ("allergen", "allergens")

    def _is_contains(self, found: Found[str]) -> bool:
        before, following = self._word(found.first - 1), self._word(found.last + 1)
        if before in _OPENING:
            # "margarine (contains milk)" speaks of one ingredient.
            return False
        if self._word(found.first) in words_for("allergy_names"):
            is_named_before = before in words_for("named_before")
            return not is_named_before and (following == ":" or self.starts_sentence(found.first))
        return following == ":" or before not in words_for("also")

    def _is_unsuited(self, found: Found[str]) -> bool:
        return self._word(found.last) == "for" or self._word(found.last - 1) == "not"

    def _speaks_of_allergy(self, found: Found[str]) -> bool:
        allergy = words_for("allergy")
        for number in range(found.last + 1, min(len(self.words), found.last + 25)):
            if self.words[number] in allergy:
                return True
            if self.words[number] in SENTENCE_ENDS:
                return False
        return False

    def _is_shared_site(self, number: int) -> bool:
        """Tell whether a place of work is named as one where other foods are handled too."""
        following = {self._word(number + 1), self._word(number + 2)}
        if not following & (words_for("also") | words_for("with")):
            return False
        is_kitchen = self.words[number] in ("kitchen", "bakery", "area", "plant", "site", "mill")
        if is_kitchen and not following & words_for("also"):
            return False
        made = words_for("made") | {"in", "on", "at", "same", "shared", "our", "this", "the"}
        before = self.words[max(0, number - _SITE_REACH_WORDS) : number]
        return self.starts_sentence(number) or any(word in made for word in before)

    # --- scopes

    def _scope(self, opener: Found[str], limit: int) -> Scope:
        first = opener.last + 1
        if opener.meaning == "for_allergens":
            last = self._pointer_end(opener) or opener.last
        elif opener.meaning in ("ingredients", "recipe"):
            last = opener.last
        else:
            last = self._scope_end(opener, limit)
        is_whole = self.starts_sentence(opener.first)
        return Scope(
            kind=opener.meaning, opener=opener.first, first=first, last=last, is_whole=is_whole
        )

    def _pointer_end(self, opener: Found[str]) -> int | None:
        shown = words_for("shown")
        most = min(len(self.words), opener.last + _LONGEST_POINTER_WORDS)
        for number in range(opener.last + 1, most):
            if self.words[number] in shown:
                return number
            # A pointer may name a group of allergens; what it names one by one is in the food.
            if self.words[number] in SENTENCE_ENDS or self.in_single_term[number]:
                return None
        return None

    def _scope_end(self, opener: Found[str], limit: int) -> int:
        depth, has_begun = 0, False
        filler, stops = words_for("filler"), words_for("stop")
        is_free = opener.meaning in ("free", "unhandled")
        for number in range(opener.last + 1, limit):
            word = self.words[number]
            if word in SENTENCE_ENDS or (is_free and word in stops):
                return number - 1
            if is_free and word in _OPENING and self._word(number + 1) == "contain":
                # "Free from nuts (contains milk)" goes on to what is in the food.
                return number - 1
            if word in _OPENING:
                depth += 1
            elif word in _CLOSING:
                depth -= 1
                if depth < 0:
                    return number - 1
            if self._breaks_off(number, has_begun=has_begun):
                return number - 1
            if not has_begun and word not in filler and word not in (":", "(", "-", ","):
                has_begun = True
        return limit - 1

    def _breaks_off(self, number: int, *, has_begun: bool) -> bool:
        gap = self.gaps[number]
        if not gap.startswith("\n") or self.goes_on[number]:
            return False
        before, word = self.words[number - 1], self.words[number]
        if gap == "\n\n":
            return before != ":"
        if not has_begun:
            return False
        goes_on = words_for("continues")
        return not (
            before in goes_on or before in ",;:([{-" or word in ("and", "or", "&", ",", "/")
        )

    # --- marking

    def _mark(self, scope: Scope) -> None:
        match scope.kind:
            case "contains":
                self._say(scope.opener, scope.last, said=Said.CONTAINS_STATEMENT)
            case "precaution" | "guarantee" | "present":
                last = self._plain_end(scope)
                self._say(scope.opener, last, said=Said.PRECAUTION)
            case "free" if scope.is_whole or self._is_subject_before(scope.opener):
                self._say(scope.opener, self._plain_end(scope), said=Said.CLAIM)
            case "for_allergens":
                self._say(scope.opener, scope.last, said=Said.CLAIM)
            case "unhandled":
                self._say(scope.opener, self._plain_end(scope), said=Said.CLAIM)

    def _mark_before(self, opener: int, behind: int) -> None:
        """Mark what stands before "may be present": its sentence, or its last entry in a list."""
        first, has_bulk = opener, False
        bulk = words_for("bulk")
        while first > behind and self.words[first - 1] not in SENTENCE_ENDS:
            if self.gaps[first].startswith("\n") and not self.goes_on[first]:
                break
            has_bulk = has_bulk or (self.words[first - 1] in bulk and not self.in_term[first - 1])
            first -= 1
        is_list = has_bulk or (first == behind and behind > 0)
        if is_list:
            first = opener
            while first > behind and self.words[first - 1] not in ",;:.()[]{}":
                first -= 1
        self._say(first, opener - 1, said=Said.PRECAUTION)

    def _plain_end(self, scope: Scope) -> int:
        """Give the end of a scope, or of its first entry where it seems to run into a recipe."""
        bulk = words_for("bulk")
        numbers = range(scope.first, scope.last + 1)
        if not any(self.words[one] in bulk and not self.in_term[one] for one in numbers):
            return scope.last
        if scope.opener and self.words[scope.opener - 1] in _OPENING:
            return scope.opener - 1
        has_term = False
        for number in numbers:
            has_term = has_term or bool(self.in_term[number])
            # "Contains no preservatives, milk, rice": what follows such a word is a list again.
            has_begun = has_term or (scope.kind == "free" and self.words[number - 1] in bulk)
            if has_begun and not self.in_term[number] and self.words[number] in PARTERS:
                return number - 1
        return scope.last

    def _say(self, first: int, last: int, *, said: Said) -> None:
        for number in range(first, last + 1):
            self.said[number] = said

    def _is_subject_before(self, opener: int) -> bool:
        subject, number = words_for("subject"), opener
        while number > 0 and self.words[number - 1] in subject:
            if self.starts_sentence(number):
                return True
            number -= 1
        return self.starts_sentence(number)

    # --- places

    def starts_sentence(self, number: int) -> bool:
        """Tell whether a sentence or a line starts with a word."""
        if number == 0 or self.words[number - 1] in SENTENCE_ENDS:
            return True
        return self.gaps[number].startswith("\n") and not self.goes_on[number]

    def _word(self, number: int) -> str:
        return self.words[number] if 0 <= number < len(self.words) else ""


def _as_contains(found: Found[str]) -> Found[str]:
    return Found(found.first, found.last, "contains")
