"""Say how lots come in, are changed and go out, and how the ledger is told."""

from datetime import date
from typing import Annotated, Self

from pydantic import Field, model_validator

from daysworth.api.schemas.labels import ReadingIn, ReadSumOut, read_sum_out
from daysworth.api.schemas.plain import Day, Input, Output, Ref, Why, Words
from daysworth.api.schemas.words_of_lists import ConditionIn, LabelKindIn
from daysworth.db.ledger.custody import Correction
from daysworth.db.ledger.held import Held
from daysworth.db.ledger.intake import Received
from daysworth.db.readings_kept import readings_from
from daysworth.db.stock import KeptEntry
from daysworth.domain.identifiers import FoodId, HouseholdId, LotId, PlaceId
from daysworth.domain.intake import MOST_UNITS, IntakeLine, Warned
from daysworth.domain.label_dates import LabelKind
from daysworth.domain.lots import Condition

UnitsIn = Annotated[int, Field(ge=1, le=MOST_UNITS, description="Whole packs.")]
CountIn = Annotated[int, Field(ge=0, le=MOST_UNITS, description="Whole packs.")]
MassIn = Annotated[
    float, Field(ge=0.1, le=1_000_000, description="Net mass of one pack, in grams.")
]
PrintedIn = Annotated[
    str,
    Field(max_length=10, examples=["2027-04"], description="YYYY-MM-DD, YYYY-MM or YYYY."),
]
LINES_MOST = 200


class BoxIn(Input):
    """One box that came in: of a food of the catalogue, or in words of what is not in the list.

    Give `units`, or `cases` with `units_per_case`. `pack_code` is the maker's code on the pack.
    `same_label_as` is a lot of the same food whose label was read, where somebody compared the two.
    """

    place: Ref
    food: Ref | None = None
    words: Words | None = None
    units: UnitsIn | None = None
    cases: Annotated[int, Field(ge=1, le=10_000)] | None = None
    units_per_case: Annotated[int, Field(ge=1, le=10_000)] | None = None
    owner: Ref | None = None
    is_shared: bool = True
    net_mass_g: MassIn | None = None
    label_kind: LabelKindIn = LabelKind.UNLABELLED
    printed: PrintedIn | None = None
    condition: ConditionIn = Condition.SOUND
    is_home_canned: bool = False
    is_label_unreadable: bool = False
    reading: ReadingIn | None = None
    same_label_as: Ref | None = None
    pack_code: Annotated[Words, Field(max_length=40)] | None = None
    giver: Words | None = None

    @model_validator(mode="after")
    def _whole(self) -> Self:
        self.line()
        return self

    def line(self) -> IntakeLine:
        """Give the line of an intake. Raises ValueError where the facts contradict."""
        return IntakeLine(
            place=PlaceId(self.place),
            units=self._units(),
            food=None if self.food is None else FoodId(self.food),
            words=self.words,
            owner=None if self.owner is None else HouseholdId(self.owner),
            is_shared=self.is_shared,
            net_mass_g=self.net_mass_g,
            label_kind=self.label_kind,
            printed=self.printed,
            condition=self.condition,
            is_home_canned=self.is_home_canned,
            is_label_unreadable=self.is_label_unreadable,
            reading=None if self.reading is None else self.reading.reading(),
            same_label_as=None if self.same_label_as is None else LotId(self.same_label_as),
            pack_code=self.pack_code,
            giver=self.giver,
        )

    def _units(self) -> int:
        if self.units is not None and self.cases is None and self.units_per_case is None:
            return self.units
        if self.units is not None or self.cases is None or self.units_per_case is None:
            raise ValueError("give units, or cases and units_per_case")
        units = self.cases * self.units_per_case
        if units > MOST_UNITS:
            raise ValueError(f"that is {units} units, and {MOST_UNITS} are the most at once")
        return units


class IntakeIn(Input):
    """One or many boxes, saved all together or not at all."""

    lines: Annotated[list[BoxIn], Field(min_length=1, max_length=LINES_MOST)]


class TakeIn(Input):
    """Units to be taken from a lot."""

    units: UnitsIn
    why: Why | None = None


class DiscardIn(Input):
    """Units to be thrown away, and why."""

    units: UnitsIn
    why: Why


class MoveIn(Input):
    """Where to, and how many units; all of them when not given."""

    place: Ref
    units: UnitsIn | None = None
    why: Why | None = None


class OpenIn(Input):
    """How many units were opened, and when; today when not given."""

    units: UnitsIn = 1
    opened_on: Day | None = None
    why: Why | None = None


class RepackIn(Input):
    """How many units were repacked into how many smaller packs of which mass, and when."""

    units: UnitsIn
    into_units: UnitsIn
    net_mass_g: MassIn
    repacked_on: Day | None = None
    why: Why | None = None


class DateIn(Input):
    """What the label really says."""

    label_kind: LabelKindIn
    printed: PrintedIn | None = None
    why: Why | None = None


class ReasonIn(Input):
    """A reason, which is kept."""

    why: Why


class MaybeReasonIn(Input):
    """A reason, if there is one to give."""

    why: Why | None = None


class CorrectionIn(Input):
    """What was wrong about a lot, put right; what is not given stays."""

    why: Why
    units: CountIn | None = None
    food: Ref | None = None
    net_mass_g: MassIn | None = None
    reading: Annotated[
        ReadingIn | None, Field(description="It takes the place of all that stand.")
    ] = None
    is_damaged: bool | None = None

    def correction(self) -> Correction:
        """Give the correction."""
        return Correction(
            units=self.units,
            food=None if self.food is None else FoodId(self.food),
            net_mass_g=self.net_mass_g,
            reading=None if self.reading is None else self.reading.reading(),
            is_damaged=self.is_damaged,
        )


class CountLineIn(Input):
    """One lot as it was counted."""

    lot: Ref
    units: CountIn


class StockTakeIn(Input):
    """What stands in a place, lot by lot."""

    place: Ref
    counts: Annotated[list[CountLineIn], Field(min_length=1, max_length=LINES_MOST)]
    why: Why | None = None

    @model_validator(mode="after")
    def _once_each(self) -> Self:
        if len({one.lot for one in self.counts}) < len(self.counts):
            raise ValueError("a lot is counted twice: add its units up, and count it once")
        return self


class LotOut(Output):
    """Units of one food with one label date, in one place, from one owner.

    Without a food it waits for a coordinator to say what `words` stand for, and counts in no plan.
    """

    id: str
    etag: str
    food: str | None
    words: str | None
    place: str
    units: int
    units_free: int
    owner: str | None
    is_shared: bool
    net_mass_g: float | None
    label_kind: LabelKind
    printed: str | None
    opened_on: date | None
    repacked_on: date | None
    condition: Condition
    reading: ReadSumOut | None
    pack_code: str | None


class LotsOut(Output):
    """The lots that a change was about, the one it was asked of first."""

    lots: list[LotOut]


class WarningOut(Output):
    """Something worth a second look before the box is put away."""

    about: Warned
    text: str


class ReceivedOut(Output):
    """One line as it was saved."""

    lot: LotOut
    food_name: str | None
    last_good_day: date | None
    warnings: list[WarningOut]


class IntakeOut(Output):
    """Every line as it was saved, in the order it was sent."""

    lines: list[ReceivedOut]


class EntryOut(Output):
    """One line of the ledger. `units` is how many more or fewer there were after it."""

    version: int
    line: int
    kind: str
    lot: str
    units: int
    at: str
    by: str
    why: str | None
    detail: dict[str, str | int | float | bool | None]


def lot_out(lot: Held) -> LotOut:
    """Tell of a lot."""
    return LotOut(
        id=lot.id,
        etag=f'"r{lot.revision}"',
        food=lot.food,
        words=lot.words,
        place=lot.place,
        units=lot.units,
        units_free=lot.units_free,
        owner=lot.owner,
        is_shared=bool(lot.is_shared),
        net_mass_g=lot.net_mass_g,
        label_kind=LabelKind(lot.label_kind),
        printed=lot.printed,
        opened_on=lot.opened_on,
        repacked_on=lot.repacked_on,
        condition=Condition(lot.condition),
        reading=read_sum_out(readings_from(lot.reading)),
        pack_code=lot.pack_code,
    )


def lots_out(lots: list[Held]) -> LotsOut:
    """Tell of the lots that a change was about."""
    return LotsOut(lots=[lot_out(lot) for lot in lots])


def intake_out(received: list[Received]) -> IntakeOut:
    """Tell of an intake."""
    return IntakeOut(
        lines=[
            ReceivedOut(
                lot=lot_out(one.lot),
                food_name=None if one.food is None else one.food.name,
                last_good_day=one.last_good_day,
                warnings=[WarningOut(about=about, text=text) for about, text in one.warnings],
            )
            for one in received
        ]
    )


def entry_out(entry: KeptEntry) -> EntryOut:
    """Tell of an entry."""
    return EntryOut(
        version=entry.version,
        line=entry.line,
        kind=entry.kind,
        lot=entry.lot,
        units=entry.units,
        at=entry.at,
        by=entry.by,
        why=entry.why,
        detail={name: _plain(value) for name, value in entry.detail.items()},
    )


def _plain(value: object) -> str | int | float | bool | None:
    return value if isinstance(value, (str, int, float, bool)) or value is None else str(value)
