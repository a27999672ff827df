"""Lay out promises for reading, and read the form that says what really went."""

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass, field
from datetime import date, timedelta
from typing import Final, Self

from starlette.datastructures import FormData

from daysworth.answers.promises import PromiseAnswer, PromiseLineAnswer, PromiseSummary
from daysworth.domain.errors import FieldsRefused, StoreRefused
from daysworth.domain.identifiers import LotId, is_plain
from daysworth.domain.promises import LAPSES_AFTER_DAYS, PromiseState
from daysworth.pages.lot_deeds import MOST_WHY, sentence
from daysworth.pages.typed_box import Faults, whole_number
from daysworth.pages.typed_days import read_day

WENT: Final = "went-"
WHY: Final = "why-"

MOST_LINES: Final = 190
"""How many lots of a promise have fields: each has two, and a form has 400 at most."""


def problems_of(refused: StoreRefused | FieldsRefused) -> list[str]:
    """Say what stood in the way, a sentence each, and each once."""
    if isinstance(refused, FieldsRefused):
        return list(dict.fromkeys(sentence(fault.what) for fault in refused.faults))
    return [sentence(str(refused))]


@dataclass(frozen=True, slots=True, kw_only=True)
class PromiseShown:
    """A promise in the list. `is_past`: its day is over, and nobody said what became of it."""

    promise: PromiseSummary
    is_past: bool


def promises_shown(promises: Sequence[PromiseSummary], *, today_day: date) -> list[PromiseShown]:
    """Lay out a list of promises."""
    return [
        PromiseShown(
            promise=one, is_past=one.state == PromiseState.OPEN and one.visit_on < today_day
        )
        for one in promises
    ]


def is_any_overdue(promises: Sequence[PromiseSummary], *, today_day: date) -> bool:
    """Tell whether any visit was so long ago that what was promised for it may lapse by itself."""
    last_day = today_day - timedelta(days=LAPSES_AFTER_DAYS)
    return any(one.state == PromiseState.OPEN and one.visit_on < last_day for one in promises)


@dataclass(frozen=True, slots=True, kw_only=True)
class ReadHandOff:
    """What a form says of a hand-off, understood."""

    went: Mapping[LotId, int]
    whys: Mapping[LotId, str]
    why: str | None
    handed_on: date | None


@dataclass(frozen=True, slots=True, kw_only=True)
class TypedHandOff:
    """What was typed of a hand-off: units and reasons by lot, the reason for all, and the day."""

    went: Mapping[str, str] = field(default_factory=dict)
    whys: Mapping[str, str] = field(default_factory=dict)
    why: str = ""
    day: str = ""

    @classmethod
    def of(cls, form: FormData) -> Self:
        """Read the form."""
        said = {name: str(value).strip() for name, value in form.items()}
        return cls(
            went={
                name.removeprefix(WENT): value[:12]
                for name, value in said.items()
                if name.startswith(WENT)
            },
            whys={
                name.removeprefix(WHY): value[: MOST_WHY + 1]
                for name, value in said.items()
                if name.startswith(WHY)
            },
            why=said.get("why", "")[: MOST_WHY + 1],
            day=said.get("day", "")[:12],
        )

    def __str__(self) -> str:
        """Write all that was said, so that a form's key is not used for two things."""
        return f"{sorted(self.went.items())} {sorted(self.whys.items())} {self.why} {self.day}"

    def read(self, promise: PromiseAnswer, faults: Faults) -> ReadHandOff:
        """Understand the form; what cannot be is noted by the number of its line."""
        why = self.why or None
        went: dict[LotId, int] = {}
        whys: dict[LotId, str] = {}
        for number, line in enumerate(lines_of(promise), start=1):
            if line.lot not in self.went:
                continue
            own = _reason(self.whys.get(line.lot, ""), f"why-{number}", faults=faults)
            units = whole_number(self.went[line.lot])
            if units is None or units > line.units:
                faults[f"went-{number}"] = "fault-promise-units"
                continue
            went[LotId(line.lot)] = units
            if own is not None:
                whys[LotId(line.lot)] = own
            elif units < line.units and why is None:
                faults.setdefault(f"why-{number}", "fault-promise-why")
        handed_on = read_day(self.day)
        if handed_on is None:
            faults["day"] = "fault-promise-day"
        _reason(self.why, "hand-off-why", faults=faults)
        return ReadHandOff(went=went, whys=whys, why=why, handed_on=handed_on)


def _reason(text: str, where: str, *, faults: Faults) -> str | None:
    if not is_plain(text) or len(text) > MOST_WHY:
        faults[where] = "fault-words"
    return text or None


def lines_of(promise: PromiseAnswer) -> Iterator[PromiseLineAnswer]:
    """Give the lines of a promise in the order of the page."""
    for place in promise.contents:
        yield from place.lines


@dataclass(frozen=True, slots=True, kw_only=True)
class LineShown:
    """One line of a promise, its number on the page, and what was typed for it.

    `has_fields` is false where there are more lines than a form takes: those go as promised.
    """

    number: int
    line: PromiseLineAnswer
    went: str
    why: str
    has_fields: bool


@dataclass(frozen=True, slots=True, kw_only=True)
class PlaceShown:
    """What is taken from one place."""

    place_name: str
    lines: Sequence[LineShown]


def places_shown(promise: PromiseAnswer, typed: TypedHandOff) -> list[PlaceShown]:
    """Lay out what was promised in walking order; until somebody types, all of it went."""
    number, shown = 0, []
    for place in promise.contents:
        lines = []
        for line in place.lines:
            number += 1
            lines.append(
                LineShown(
                    number=number,
                    line=line,
                    went=typed.went.get(line.lot, str(line.units)),
                    why=typed.whys.get(line.lot, ""),
                    has_fields=number <= MOST_LINES,
                )
            )
        shown.append(PlaceShown(place_name=place.place_name, lines=lines))
    return shown


def revision_of(etag: str) -> int:
    """Give the revision that an entity tag names."""
    return int(etag.strip('"').removeprefix("r"))
