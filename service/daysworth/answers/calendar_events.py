"""Gather what a calendar shows of a store: visits to partners, rounds, and when kits are due.

Nothing in it tells of a household: of a kit that is for a home the calendar has its id alone. Where
a lot comes from, and whose it was, is in none of it.
"""

from collections import defaultdict
from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass
from datetime import date, datetime, timedelta
from math import fsum
from typing import Final
from zoneinfo import ZoneInfo

from daysworth.domain.foods import Food
from daysworth.domain.identifiers import FoodId, LotId, PlaceId
from daysworth.domain.label_dates import LabelKind
from daysworth.domain.lots import Lot, Place
from daysworth.domain.meal_kits import MealKit
from daysworth.domain.partners import Partner, Window
from daysworth.domain.promises import Promise, PromisedLot
from daysworth.domain.rounds import round_days
from daysworth.domain.snapshot import Snapshot
from daysworth.planners.kit_contents import pull_by_day
from daysworth.planners.kit_view import contents_of

OPENINGS_AHEAD_DAYS: Final = 12 * 7
ROUNDS_AHEAD_DAYS: Final = 366

VISIT: Final = "visit"
ROUND: Final = "round"
KITS: Final = "kits"

_DATE_WORDS: Final[Mapping[LabelKind, str]] = {
    LabelKind.USE_BY: "use by",
    LabelKind.BEST_BY: "best by",
    LabelKind.SELL_BY: "sell by",
    LabelKind.PACKED_ON: "packed on",
}


@dataclass(frozen=True, slots=True, kw_only=True)
class CalendarEvent:
    """One entry of the calendar; `key` names it for as long as it is the same thing.

    `opens_at` carries its own zone, and it lasts so many `minutes`; None: all of `on_day`.
    `is_busy` where somebody has to be there.
    """

    key: tuple[str, ...]
    title: str
    lines: tuple[str, ...] = ()
    where: str = ""
    on_day: date
    opens_at: datetime | None = None
    minutes: int = 0
    is_busy: bool = False


def calendar_events(snapshot: Snapshot, today: date) -> tuple[CalendarEvent, ...]:
    """Give everything that the calendar shows on a day, in the order of days and keys."""
    found = (*_visits(snapshot, today), *_rounds(snapshot, today), *_kits_due(snapshot, today))
    return tuple(sorted(found, key=lambda event: (event.on_day, event.key)))


def _visits(snapshot: Snapshot, today: date) -> Iterator[CalendarEvent]:
    """Give the visits that something is promised for, and what else opens soon."""
    promised: dict[tuple[str, str], dict[datetime, list[Promise]]]
    promised = defaultdict(lambda: defaultdict(list))
    for promise in snapshot.promises:
        promised[promise.partner, promise.window][promise.opens_at].append(promise)
    shelves = _Shelves(snapshot)
    until_on = today + timedelta(days=OPENINGS_AHEAD_DAYS)
    for partner in snapshot.partners:
        for window in partner.windows:
            here = promised.get((partner.id, window.id), {})
            zone = ZoneInfo(window.recurrence.timezone)
            opening = {
                at.replace(tzinfo=None, fold=0)
                for at in window.opens(from_on=today, to_on=until_on)
            }
            for opens_at in opening | here.keys():
                yield _visit(
                    partner,
                    window,
                    opens_at=opens_at.replace(tzinfo=zone),
                    packing=shelves.packing(here.get(opens_at, [])),
                )


@dataclass(frozen=True, slots=True, kw_only=True)
class _Packing:
    """What is brought to a visit, in words, with how much it is."""

    units: int
    mass_g: float
    lines: tuple[str, ...]


class _Shelves:
    """Where the lots of a store stand, and what they are."""

    def __init__(self, snapshot: Snapshot) -> None:
        self._lots: Mapping[LotId, Lot] = {lot.id: lot for lot in snapshot.lots}
        self._foods: Mapping[FoodId, Food] = {food.id: food for food in snapshot.foods}
        self._places: Mapping[PlaceId, Place] = {place.id: place for place in snapshot.places}

    def packing(self, promises: Sequence[Promise]) -> _Packing | None:
        """List what promises for one visit hold, by place as one walks; None: there is none."""
        items = [item for promise in promises for item in promise.items]
        if not items:
            return None
        by_place: dict[PlaceId, list[PromisedLot]] = defaultdict(list)
        for item in items:
            by_place[self._lots[item.lot].place].append(item)
        lines: list[str] = []
        for place in sorted(by_place, key=self._turn):
            lines.append(f"{self._places[place].name}:")
            lines.extend(sorted(self._line(item) for item in by_place[place]))
        return _Packing(
            units=sum(item.units for item in items),
            mass_g=fsum(item.units * self._unit_mass_g(item) for item in items),
            lines=tuple(lines),
        )

    def _turn(self, place: PlaceId) -> tuple[int, str, str]:
        there = self._places[place]
        return there.walk_position, there.name, there.id

    def _unit_mass_g(self, item: PromisedLot) -> float:
        lot = self._lots[item.lot]
        return lot.net_mass_g or self._foods[lot.food].net_mass_g

    def _line(self, item: PromisedLot) -> str:
        lot = self._lots[item.lot]
        dated = f", {_DATE_WORDS[lot.label_kind]} {lot.printed}" if lot.printed else ""
        return f"- {self._foods[lot.food].name}: {item.units}{dated} (lot {lot.id})"


def _visit(
    partner: Partner, window: Window, *, opens_at: datetime, packing: _Packing | None
) -> CalendarEvent:
    title = f"{partner.name} receives"
    lines = _beforehand(partner, window)
    if packing is not None:
        title = f"Bring {packing.units} units ({_kg(packing.mass_g)} kg net) to {partner.name}"
        lines = (*lines, "To bring:", *packing.lines)
    return CalendarEvent(
        key=(VISIT, partner.id, window.id, f"{opens_at:%Y-%m-%dT%H:%M}"),
        title=title,
        lines=lines,
        where=", ".join(filter(None, (partner.name, window.contact or partner.contact))),
        on_day=opens_at.date(),
        opens_at=opens_at,
        minutes=window.minutes,
        is_busy=packing is not None,
    )


def _beforehand(partner: Partner, window: Window) -> tuple[str, ...]:
    """Say what there is to know before driving there."""
    bounds = [
        None if window.most_kg is None else f"{window.most_kg:g} kg",
        None if window.most_units is None else f"{window.most_units} units",
    ]
    said = (
        ("Contact", window.contact or partner.contact),
        ("Appointment", window.appointment),
        ("Who drives", window.driver),
        ("Takes at most", " and ".join(bound for bound in bounds if bound)),
        ("Our vehicle carries", "" if window.vehicle_kg is None else f"{window.vehicle_kg:g} kg"),
        ("Notice", f"{window.notice_days} days before" if window.notice_days else ""),
    )
    return tuple(f"{name}: {words}" for name, words in said if words)


def _kg(mass_g: float) -> str:
    return f"{mass_g / 1000:.1f}"


def _rounds(snapshot: Snapshot, today: date) -> Iterator[CalendarEvent]:
    until_on = today + timedelta(days=ROUNDS_AHEAD_DAYS)
    for day in round_days(snapshot.settings.rounds_rule, from_on=today, to_on=until_on):
        yield CalendarEvent(
            key=(ROUND, day.isoformat()),
            title="Rotation round",
            lines=("Eat, give, discard or unpack what is due before the round after.",),
            on_day=day,
        )


def _kits_due(snapshot: Snapshot, today: date) -> Iterator[CalendarEvent]:
    """Give one entry for each day by which kits are to be eaten or put up anew."""
    contents = contents_of(snapshot, today)
    places = {place.id: place.name for place in snapshot.places}
    by_day: dict[date, list[MealKit]] = defaultdict(list)
    for kit in snapshot.kits:
        day = pull_by_day(contents[kit.id])
        if day is not None:
            by_day[day].append(kit)
    for day, kits in by_day.items():
        many = "1 kit" if len(kits) == 1 else f"{len(kits)} kits"
        yield CalendarEvent(
            key=(KITS, day.isoformat()),
            title=f"Last day of {many}: eat or renew",
            lines=tuple(sorted(_kit_line(kit, place=places[kit.place]) for kit in kits)),
            on_day=day,
        )


def _kit_line(kit: MealKit, *, place: str) -> str:
    """Name a kit; of one that is for a home its id alone: its name or place may be people's."""
    return f"- {kit.id}" if kit.household is not None else f"- {kit.id}: {kit.name} ({place})"
