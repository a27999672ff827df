"""Say how readings of labels come in and go out."""

from collections.abc import Iterable, Sequence
from datetime import date
from typing import Annotated, Final, Self

from pydantic import AfterValidator, Field, StringConstraints, model_validator

from daysworth.api.schemas.plain import Day, Input, Output, Ref, Why
from daysworth.api.schemas.words_of_lists import ClaimIn, RegimeIn, SubstanceIn
from daysworth.db.label_history import FoodLabel, LabelEntry
from daysworth.db.ledger.held import Held, as_planned
from daysworth.db.readings_kept import SignedReading, readings_from, signed_readings
from daysworth.domain.foods import Food
from daysworth.domain.label_disagreement import disagreement
from daysworth.domain.labels import LONGEST_TEXT, Claim, LabelReading, Regime
from daysworth.domain.lots import MOST_READINGS
from daysworth.domain.offers import packed_since_on
from daysworth.domain.restrictions import Substance

_LANGUAGE: Final = r"^[A-Za-z]{2,8}(-[A-Za-z0-9]{1,8})*$"

Named = Annotated[list[SubstanceIn], Field(max_length=60)]


def _without_nul(text: str) -> str:
    if "\x00" in text:
        raise ValueError("a text has no NUL in it")
    return text


Typed = Annotated[
    str,
    StringConstraints(strip_whitespace=True, max_length=LONGEST_TEXT),
    AfterValidator(_without_nul),
]
"""A label's words as somebody typed or pasted them, over as many lines as there are."""


class ReadingIn(Input):
    """What one person read on one label. What is left out was not looked for.

    `free_from` is what the pack claims to be free from: a claim, and no proof. `not_declared` is
    what was looked for in the whole label and not found. `text` is the label's own words, its
    ingredient list and every statement, kept as typed. `is_whole` says that the whole label was
    read and, where there is a text, that all of it was copied; without it nothing is known to be
    absent. `language` is a BCP 47 tag. `regime` is the law that the label follows; left out: the
    food's own.
    """

    contains: Named = Field(default_factory=list)
    may_contain: Named = Field(default_factory=list)
    free_from: Named = Field(default_factory=list)
    not_declared: Named = Field(default_factory=list)
    claims: Annotated[list[ClaimIn], Field(max_length=20)] = Field(default_factory=list)
    text: Typed = ""
    is_whole: bool = False
    language: Annotated[
        str, Field(min_length=2, max_length=35, pattern=_LANGUAGE, examples=["en"])
    ] = "en"
    regime: RegimeIn | None = None
    packed_on: Annotated[
        Day | None, Field(description="When the pack was made, where it says so; from 2000 on.")
    ] = None

    @model_validator(mode="after")
    def _whole(self) -> Self:
        self.reading()
        return self

    def reading(self) -> LabelReading:
        """Give the reading. Raises ValueError where it contradicts itself."""
        return LabelReading(
            contains=frozenset(self.contains),
            may_contain=frozenset(self.may_contain),
            free_from=frozenset(self.free_from),
            not_declared=frozenset(self.not_declared),
            claims=frozenset(self.claims),
            text=self.text,
            is_whole=self.is_whole,
            language=self.language,
            regime=self.regime,
            packed_on=self.packed_on,
        )


class LabelIn(Input):
    """What a lot's label says: a reading of it, or another lot whose label is the same."""

    reading: ReadingIn | None = None
    same_as: Annotated[
        Ref | None, Field(description="A lot of the same food whose label was read.")
    ] = None
    why: Why | None = None

    @model_validator(mode="after")
    def _one(self) -> Self:
        if (self.reading is None) == (self.same_as is None):
            raise ValueError("give what was read, or the lot with the same label, one of the two")
        return self


class SettleIn(Input):
    """Which readings of a label stand from now on: some by their numbers, or a new one alone."""

    why: Why
    keep: Annotated[
        list[Annotated[int, Field(ge=1, le=MOST_READINGS)]] | None,
        Field(
            min_length=1, max_length=MOST_READINGS, description="Numbers, as the label has them."
        ),
    ] = None
    reading: ReadingIn | None = None

    @model_validator(mode="after")
    def _one(self) -> Self:
        if (self.reading is None) == (self.keep is None):
            raise ValueError("name the readings to keep, or give a new one, one of the two")
        return self

    def standing(self) -> Sequence[int] | LabelReading:
        """Give what is to stand: numbers, or a reading."""
        return self.keep or [] if self.reading is None else self.reading.reading()


class ReadSumOut(Output):
    """What the readings that stand say together, the stricter where they disagree.

    `regime` and `language` are null where they differ; `readings` is how many stand.
    """

    contains: list[Substance]
    may_contain: list[Substance]
    free_from: list[Substance]
    not_declared: list[Substance]
    claims: list[Claim]
    is_whole: bool
    regime: Regime | None
    language: str | None
    has_text: bool
    readings: int


class ReadingOut(Output):
    """One reading of a label."""

    contains: list[Substance]
    may_contain: list[Substance]
    free_from: list[Substance]
    not_declared: list[Substance]
    claims: list[Claim]
    text: str
    is_whole: bool
    language: str
    regime: Regime | None
    packed_on: date | None


class StandingOut(Output):
    """A reading that stands, its number, who made it and when; null: kept by an earlier release."""

    number: int
    by: str | None
    at: str | None
    reading: ReadingOut


class LabelEntryOut(Output):
    """An entry in the ledger that tells of a label.

    `readings` are what was read or taken over, `no_longer` what ceased to stand by it. `lot` is the
    one it was written for: this one, or the one that this was taken from.
    """

    kind: str
    lot: str
    by: str
    at: str
    why: str | None
    readings: list[ReadingOut]
    no_longer: list[ReadingOut]


class LabelOut(Output):
    """What is known of a lot's label: the readings that stand, and all that were ever made."""

    lot: str
    food: str | None
    etag: str
    standing: list[StandingOut]
    disagree_about: list[Substance] = Field(
        description="Of these the readings that stand say different things: the stricter holds."
    )
    entries: list[LabelEntryOut]


class FoodLabelOut(Output):
    """A reading of a food's label, with a lot on whose packs it stands."""

    lot: str
    by: str | None
    at: str | None
    reading: ReadingOut


class FoodLabelsOut(Output):
    """The different labels of a food that were read here, the newest first, at most twenty."""

    food: str
    labels: list[FoodLabelOut]


def read_sum_out(readings: Sequence[LabelReading]) -> ReadSumOut | None:
    """Tell what the readings that stand say together; None where there is none."""
    if not readings:
        return None
    contains = _all(one.contains for one in readings)
    found = contains | _all(one.may_contain for one in readings)
    regimes = {one.regime for one in readings}
    languages = {one.language for one in readings}
    return ReadSumOut(
        contains=sorted(contains),
        may_contain=sorted(found - contains),
        free_from=sorted(_all(one.free_from for one in readings) - found),
        not_declared=sorted(_all(one.not_declared for one in readings) - found),
        claims=sorted({claim for one in readings for claim in one.claims}),
        is_whole=all(one.is_whole for one in readings),
        regime=regimes.pop() if len(regimes) == 1 else None,
        language=languages.pop() if len(languages) == 1 else None,
        has_text=any(one.text for one in readings),
        readings=len(readings),
    )


def _all(named: Iterable[frozenset[Substance]]) -> frozenset[Substance]:
    return frozenset().union(*named)


def reading_out(reading: LabelReading) -> ReadingOut:
    """Tell of a reading."""
    return ReadingOut(
        contains=sorted(reading.contains),
        may_contain=sorted(reading.may_contain),
        free_from=sorted(reading.free_from),
        not_declared=sorted(reading.not_declared),
        claims=sorted(reading.claims),
        text=reading.text,
        is_whole=reading.is_whole,
        language=reading.language,
        regime=reading.regime,
        packed_on=reading.packed_on,
    )


def label_out(lot: Held, *, food: Food | None, entries: Iterable[LabelEntry]) -> LabelOut:
    """Tell of a lot's label; `food` None: nobody said yet what it is."""
    standing = signed_readings(lot.reading, lot.read_by)
    return LabelOut(
        lot=lot.id,
        food=lot.food,
        etag=f'"r{lot.revision}"',
        standing=[_standing_out(number, one) for number, one in enumerate(standing, start=1)],
        disagree_about=sorted(_told_apart(lot, food)),
        entries=[_entry_out(entry) for entry in entries],
    )


def _told_apart(lot: Held, food: Food | None) -> frozenset[Substance]:
    packed = None if food is None else packed_since_on(as_planned(lot))
    return disagreement(readings_from(lot.reading), food=food, packed_since_on=packed)


def _standing_out(number: int, signed: SignedReading) -> StandingOut:
    told = reading_out(signed.reading)
    return StandingOut(number=number, by=signed.by, at=signed.at, reading=told)


def _entry_out(entry: LabelEntry) -> LabelEntryOut:
    return LabelEntryOut(
        kind=entry.kind,
        lot=entry.lot,
        by=entry.by,
        at=entry.at,
        why=entry.why,
        readings=[reading_out(one) for one in entry.readings],
        no_longer=[reading_out(one) for one in entry.no_longer],
    )


def food_labels_out(food: str, labels: Iterable[FoodLabel]) -> FoodLabelsOut:
    """Tell of the labels of a food."""
    return FoodLabelsOut(
        food=food,
        labels=[
            FoodLabelOut(
                lot=one.lot,
                by=one.signed.by,
                at=one.signed.at,
                reading=reading_out(one.signed.reading),
            )
            for one in labels
        ],
    )
