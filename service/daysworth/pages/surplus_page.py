"""Lay out what can go to partners before it spoils: visits to tick, and why the rest stays.

A tick says that a visit is to be promised as it is planned. At first all of them are ticked.
"""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from datetime import date, datetime
from hashlib import sha256
from math import ceil
from typing import Final, Self
from urllib.parse import parse_qs, urlencode

from starlette.datastructures import FormData, QueryParams

from daysworth.answers.surplus import (
    PlannedVisitAnswer,
    StayingAnswer,
    SurplusAnswer,
    SurplusStageAnswer,
    surplus_json,
)
from daysworth.answers.surplus_floors import MOST_FLOORS
from daysworth.api.routes.surplus import MOST_FLOOR_DAYS
from daysworth.db.ledger.promises import ToPromise
from daysworth.domain.errors import NotAsItWas
from daysworth.domain.identifiers import LotId, PartnerId, WindowId
from daysworth.domain.promises import PromisedLot
from daysworth.pages.coverage_shown import Said
from daysworth.pages.typed_box import CHECKED, Faults, whole_number
from daysworth.pages.typed_days import read_day
from daysworth.planners.surplus_plan import SurplusAim, SurplusAsked, WhyStays
from daysworth.printing.figures import tenths

VISIT: Final = "visit-"
"""How the box of a visit is called, before what names the visit."""

FIRST_ROWS: Final = 10
"""How many lots that stay a list shows at once; those after them are unfolded."""

MOST_ROWS: Final = 200

MOST_TICKED: Final = 300
"""How many visits can be ticked at once: a form has 400 fields at most."""

_MOST_PARTNERS: Final = 100
_LONGEST_ASKED: Final = 20_000
_LONGEST_SEEN: Final = 32
_GRAIN: Final = 1e-6


@dataclass(frozen=True, slots=True, kw_only=True)
class TypedSurplus:
    """What a plan was asked for, as typed; what is empty is the store's own."""

    floor_days: str = ""
    until: str = ""
    partners: tuple[str, ...] = ()

    @classmethod
    def of(cls, query: QueryParams) -> Self:
        """Read the question."""
        return cls._from({name: query.getlist(name) for name in ("floor_days", "until", "partner")})

    @classmethod
    def again(cls, asked: str) -> Self:
        """Read the question back as a form carries it."""
        return cls._from(parse_qs(asked))

    @classmethod
    def _from(cls, said: Mapping[str, Sequence[str]]) -> Self:
        def one(name: str) -> str:
            return (said.get(name) or [""])[0].strip()[:12]

        partners = sorted({each for each in said.get("partner", ()) if each})
        return cls(
            floor_days=one("floor_days"),
            until=one("until"),
            partners=tuple(partners[:_MOST_PARTNERS]),
        )

    def __str__(self) -> str:
        """Write the question as an address carries it."""
        said = [("floor_days", self.floor_days), ("until", self.until)]
        said += [("partner", one) for one in self.partners]
        return urlencode([pair for pair in said if pair[1]])

    def asked(self, faults: Faults) -> SurplusAsked:
        """Understand the question; what cannot be is noted."""
        floor_days = whole_number(self.floor_days) if self.floor_days else None
        if self.floor_days and (floor_days is None or floor_days > MOST_FLOOR_DAYS):
            faults["floor_days"] = "fault-surplus-floor"
        return SurplusAsked(
            floor_days=floor_days,
            until_on=_until(self.until, faults),
            partners=frozenset(map(PartnerId, self.partners)) or None,
        )


def _until(text: str, faults: Faults) -> date | None:
    if not text:
        return None
    day = read_day(text)
    if day is None:
        faults["until"] = "fault-surplus-until"
    return day


def read_floors(text: str, faults: Faults) -> list[int]:
    """Read the floors that are to be tried, in days; what cannot be is noted."""
    found = [whole_number(one) for one in text.replace(",", " ").split()]
    floors = sorted({one for one in found if one is not None and one <= MOST_FLOOR_DAYS})
    if len(floors) < len(set(found)) or not 1 <= len(floors) <= MOST_FLOORS:
        faults["floors"] = "fault-surplus-floors"
    return floors


def usual_floors(own_days: int) -> str:
    """Give floors that are worth trying beside a store's own."""
    return ", ".join(map(str, sorted({0, own_days // 2, 2 * own_days} - {own_days})))


@dataclass(frozen=True, slots=True, kw_only=True)
class TypedPromises:
    """Which visits were ticked, as the form said it; `ticked` None: nothing was sent.

    `asked`, `version` and `seen` say which plan the form was made from.
    """

    ticked: frozenset[str] | None = None
    asked: str = ""
    seen: str = ""
    version: int | None = None

    @classmethod
    def of(cls, form: FormData) -> Self:
        """Read the form."""
        said = {name: str(value) for name, value in form.items()}
        return cls(
            ticked=frozenset(
                name.removeprefix(VISIT)
                for name, value in said.items()
                if name.startswith(VISIT) and value == CHECKED
            ),
            asked=said.get("asked", "")[:_LONGEST_ASKED],
            seen=said.get("seen", "")[:_LONGEST_SEEN],
            version=whole_number(said.get("version", "")),
        )

    def __str__(self) -> str:
        """Write all that was said, so that a form's key is not used for two things."""
        return f"promise {sorted(self.ticked or ())} of {self.asked} {self.seen} {self.version}"

    def check(self, plan: SurplusAnswer) -> None:
        """Raise NotAsItWas where a plan is not the one that the form was made from."""
        # A plan changes with the store, and as the day and its visits go by.
        if (self.version, self.seen) != (plan.version, seen_as(plan)):
            raise NotAsItWas("the store was changed since the plan was read")

    def to_promise(self, plan: SurplusAnswer) -> list[ToPromise]:
        """Give what is to be promised: the visits that are ticked, each as it is planned."""
        ticked = self.ticked or frozenset()
        return [_to_promise(one) for one in plan.visits if name_of_visit(one) in ticked]


def seen_as(plan: SurplusAnswer) -> str:
    """Give a digest of all that a plan says."""
    return sha256(surplus_json(plan).encode()).hexdigest()[:_LONGEST_SEEN]


def _to_promise(visit: PlannedVisitAnswer) -> ToPromise:
    return ToPromise(
        partner=PartnerId(visit.partner),
        window=WindowId(visit.window),
        opens_at=datetime.fromisoformat(visit.opens_at),
        items=tuple(
            PromisedLot(lot=LotId(line.lot), units=line.units)
            for place in visit.packing
            for line in place.lines
        ),
    )


def name_of_visit(visit: PlannedVisitAnswer) -> str:
    """Name a visit as its box does: by the partner, the window, and when it opens there."""
    return f"{visit.partner}/{visit.window}/{visit.opens_at}"


@dataclass(frozen=True, slots=True, kw_only=True)
class VisitShown:
    """One visit of the plan: its number on the page, and whether it can be and is ticked."""

    number: int
    name: str
    visit: PlannedVisitAnswer
    can_be_ticked: bool
    is_ticked: bool


@dataclass(frozen=True, slots=True, kw_only=True)
class StayingShown:
    """Lots that stay for one reason; `more` are those that are only counted.

    `said_once` are words that hold for all of them; None: each has its own.
    """

    why: str
    units: int
    lots: Sequence[StayingAnswer]
    more: int
    said_once: str | None


def visits_shown(plan: SurplusAnswer, typed: TypedPromises) -> list[VisitShown]:
    """Lay out the visits in the order of the plan."""
    shown = []
    for number, visit in enumerate(plan.visits, start=1):
        name = name_of_visit(visit)
        can_be_ticked = number <= MOST_TICKED
        shown.append(
            VisitShown(
                number=number,
                name=f"{VISIT}{name}",
                visit=visit,
                can_be_ticked=can_be_ticked,
                is_ticked=can_be_ticked and (typed.ticked is None or name in typed.ticked),
            )
        )
    return shown


def staying_shown(plan: SurplusAnswer) -> list[StayingShown]:
    """Group what stays by why, what could still be done about it first; the soonest date first."""
    shown = []
    for why in _WHYS_IN_ORDER:
        lots = sorted(
            (one for one in plan.staying if one.why == why),
            key=lambda one: (one.last_good_day or date.max, one.food_name, one.lot),
        )
        if lots:
            words = {one.words for one in lots}
            shown.append(
                StayingShown(
                    why=why,
                    units=sum(one.units for one in lots),
                    lots=lots[:MOST_ROWS],
                    more=max(0, len(lots) - MOST_ROWS),
                    said_once=words.pop() if len(words) == 1 else None,
                )
            )
    return shown


_WHYS_IN_ORDER: Final = (
    WhyStays.CAPACITY,
    WhyStays.REFUSED,
    WhyStays.NO_WINDOW,
    WhyStays.FLOOR,
    WhyStays.NEVER_GOES,
)


def stage_shown(stage: SurplusStageAnswer) -> Said:
    """Say what an aim reaches, and what of it is not ruled out: a message and its values."""
    key = f"surplus-aim-{stage.aim}"
    match stage.aim:
        case SurplusAim.ENERGY:
            off = max(0.01, round(stage.gap * 100, 2))
            said: dict[str, str | int | float] = {"figure": round(stage.value), "percent": off}
        case SurplusAim.VISITS:
            # A part of a visit is none: the bound is the next whole one.
            said = {"figure": round(stage.value), "least": ceil(stage.bound - _GRAIN)}
        case _:
            said = {"figure": tenths(stage.value)}
    return (key if stage.gap == 0 else f"{key}-within"), said
