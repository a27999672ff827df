"""Describe what was read on a pack's label: statements, text, claims, and the law it follows.

A reading belongs to the lots it was made on. What it says of a substance has a presence and its
evidence: the words that fired, and where they stood. Nothing here decides for a person.
"""

from collections.abc import Mapping
from dataclasses import dataclass
from datetime import date
from enum import StrEnum
from typing import Annotated, Final

from annotated_types import Len

from daysworth.domain.restrictions import Substance


class Regime(StrEnum):
    """A law that says which substances a label must declare: a declaration regime.

    `us_fda`: foods under the US Food and Drug Administration, the nine major food allergens.
    `us_meat`: US meat, poultry and egg products, under the Department of Agriculture, to which the
    nine do not apply. `eu`: Regulation (EU) 1169/2011, the fourteen. `other`: any other law, or not
    known which.
    """

    US_FDA = "us_fda"
    US_MEAT = "us_meat"
    EU = "eu"
    OTHER = "other"


class Claim(StrEnum):
    """A claim or a mark on the label that a diet can go by. No claim is proof for an allergy."""

    GLUTEN_FREE = "gluten_free"
    VEGETARIAN = "vegetarian"
    VEGAN = "vegan"
    HALAL_CERTIFIED = "halal_certified"
    KOSHER_CERTIFIED = "kosher_certified"
    LOW_SODIUM = "low_sodium"


class Presence(StrEnum):
    """How a substance stands in a food, as far as its label tells; the strictest first.

    `contained`: stated, or an ingredient term fires. `possible`: a precautionary statement names
    it. `in_doubt`: a word stands on the label that may mean it. `not_known`: nobody read for it, or
    silence proves nothing. `not_listed`: the whole ingredient list was read and it is not in it,
    though no law obliged the maker to name it otherwise. `absent`: the law obliges the maker to
    declare it, the whole label was read, and it is not declared.
    """

    __hash__ = str.__hash__  # Members are looked up by the million.

    CONTAINED = "contained"
    POSSIBLE = "possible"
    IN_DOUBT = "in_doubt"
    NOT_KNOWN = "not_known"
    NOT_LISTED = "not_listed"
    ABSENT = "absent"


class Said(StrEnum):
    """Where on a label words stand, or who else says so."""

    __hash__ = str.__hash__  # Members are looked up by the million.

    CONTAINS_STATEMENT = "contains_statement"
    INGREDIENTS = "ingredients"
    PRECAUTION = "precaution"
    CLAIM = "claim"
    READER = "reader"
    REFERENCE_FOOD = "reference_food"
    LAW = "law"


@dataclass(frozen=True, slots=True, kw_only=True)
class Evidence:
    """One reason to believe something of a substance: the words, and the offset in the text.

    `at` is a character offset into the reading's text; None: the words stand in no text.
    """

    said: Said
    presence: Presence
    words: str
    at: int | None = None


LONGEST_TEXT: Final = 20_000
"""Characters of label text that a reading holds; no pack says more."""

Substances = Annotated[frozenset[Substance], Len(0, 60)]


@dataclass(frozen=True, slots=True, kw_only=True)
class LabelReading:
    """What one person recorded of one label: ticked facts, copied text, the law it follows.

    `contains` and `may_contain` are what its statements name. `free_from` is what the pack claims
    to be free from: a claim, and no proof. `not_declared` is what the reader looked for in the
    whole label and did not find. `text` is the label's own words, ingredient list and statements.
    `is_whole` says that the whole label was read and, where there is a text, that all of it was
    copied; without it nothing is known to be absent. `language` is a BCP 47 tag. `regime` None: the
    food's own. `packed_on` is when the pack was made, where it says so.
    """

    contains: Substances = frozenset()
    may_contain: Substances = frozenset()
    free_from: Substances = frozenset()
    not_declared: Substances = frozenset()
    claims: Annotated[frozenset[Claim], Len(0, 20)] = frozenset()
    text: Annotated[str, Len(0, LONGEST_TEXT)] = ""
    is_whole: bool = False
    language: Annotated[str, Len(2, 35)] = "en"
    regime: Regime | None = None
    packed_on: date | None = None

    def __post_init__(self) -> None:
        found = self.contains | self.may_contain
        if found & (self.free_from | self.not_declared):
            raise ValueError(
                "a label can not contain a thing, or say that it may, and be free from it"
            )


# --- what a text says, before any law and any person ---


class TextFault(StrEnum):
    """Why a text can not be taken for the whole of an ingredient list, whatever was ticked."""

    EMPTY = "empty"
    TOO_LONG = "too_long"
    BRACKETS = "brackets"
    CUT_OFF = "cut_off"
    ILLEGIBLE = "illegible"
    LETTERS = "letters"
    LANGUAGE = "language"
    NO_LIST = "no_list"
    NOT_UNDERSTOOD = "not_understood"


@dataclass(frozen=True, slots=True, kw_only=True)
class Hit:
    """One term of the terms table that stands in a text, and what it may mean.

    `fires`: contained. `may_be`: stands for it or not, whatever the law (a contains statement that
    leaves it out settles it). `hides`: an open word, which hides it only where the law lets the
    maker be silent. `exempt`: under these laws it is no sign of these substances. `is_group`: a
    word for a whole group ("nuts", "fish"), which may stand for any one of it.
    """

    term: str
    words: str
    at: int
    said: Said
    fires: frozenset[Substance] = frozenset()
    may_be: frozenset[Substance] = frozenset()
    hides: frozenset[Substance] = frozenset()
    exempt: frozenset[tuple[Regime, Substance]] = frozenset()
    is_group: bool = False


@dataclass(frozen=True, slots=True, kw_only=True)
class Ingredient:
    """One ingredient with what it is made of in turn; `words` as printed, without its brackets."""

    words: str
    at: int
    percent: float | None = None
    parts: tuple["Ingredient", ...] = ()


@dataclass(frozen=True, slots=True, kw_only=True)
class Misspelt:
    """A word that looks like a term and is none: flagged, never guessed."""

    words: str
    at: int
    looks_like: str
    substances: frozenset[Substance]


@dataclass(frozen=True, slots=True, kw_only=True)
class Phrase:
    """Words of the label in plain form, for whoever looks for words of their own.

    `plain` is casefolded, without accents, singular, British spelling made American.
    """

    plain: tuple[str, ...]
    words: str
    at: int
    said: Said


@dataclass(frozen=True, slots=True, kw_only=True)
class TextRead:
    """All that a label's text says, whatever law it follows and whoever asks.

    `free_from` and `claims` map to the words and where they stand. `faults` not empty: its silence
    proves nothing. `phrases` hold every ingredient and statement in plain words. `strange` are
    ingredients, as printed, without a word that is known here: any of them may be anything.
    """

    hits: tuple[Hit, ...] = ()
    misspelt: tuple[Misspelt, ...] = ()
    free_from: Mapping[Substance, tuple[str, int]]
    claims: Mapping[Claim, tuple[str, int]]
    ingredients: tuple[Ingredient, ...] = ()
    phrases: tuple[Phrase, ...] = ()
    strange: tuple[str, ...] = ()
    has_contains_statement: bool = False
    faults: frozenset[TextFault] = frozenset()
