"""Date what a program eats up: who eats which food of which date, and what that breaks.

Of each pile the program says what is eaten of each date and how much goes to each seat. Each day's
food goes to the emptiest of the seats that still want it, or to all that want it alike; at a seat
it goes to the emptiest class. The one minds the dates, the other the mean of what a pile holds of
protein. Both are good ways and not always the best: where they break something, the program is made
finer, which costs rows and never exactness.
"""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from typing import Final

import numpy as np

from daysworth.planners.solver import Floats
from daysworth.planners.spoilage_piles import Pile, Table
from daysworth.planners.spoilage_program import Eaten

_LEAST: Final = 1e-12
_ROOM: Final = 1e-7
_MOST_ALIKE: Final = 12
"""When so many seats are served alike, no more are: each costs another dating."""
_HAIR: Final = 1e-5
"""How much less than its days a class may eat: they were proved to a hair themselves."""


@dataclass(frozen=True, slots=True)
class Broken:
    """What a dated plan breaks: classes out of date or with too many extras, protein and water.

    `short` gives the density, in grams to a mean person-day, of classes that lack protein for
    their neediest.
    """

    late: frozenset[int]
    short: Mapping[int, float]
    is_dry: bool

    @property
    def is_sound(self) -> bool:
        """Tell whether nothing is broken."""
        return not (self.late or self.short or self.is_dry)


class _Plates:
    """Hold what each of some eaters has so far and may have in all, in mean person-days."""

    def __init__(self, needs: Sequence[float], days: Sequence[float]) -> None:
        self.so_far = [0.0] * len(needs)
        self._needs, self._days = needs, days

    def serve(self, energy: float, *, day: int, limits: dict[int, float]) -> dict[int, float]:
        """Give energy good only to a day, the emptiest first; who wants most takes what is over."""
        given: dict[int, float] = {}
        left = energy
        emptiest = sorted((self.so_far[one] / self._needs[one], one) for one in limits)
        for _, one in emptiest:
            if left <= 0:
                return given
            room = self._needs[one] * min(day, self._days[one]) - self.so_far[one]
            left -= self._give(one, min(left, room, limits[one]), given=given)
        if left > _LEAST:
            for one in sorted(limits, key=lambda one: (-self._needs[one], one)):
                left -= self._give(one, min(left, limits[one] - given.get(one, 0.0)), given=given)
                if left <= _LEAST:
                    break
        return given

    def _give(self, one: int, energy: float, *, given: dict[int, float]) -> float:
        if energy <= 0:
            return 0.0
        given[one] = given.get(one, 0.0) + energy
        self.so_far[one] += energy
        return energy


@dataclass(frozen=True, slots=True)
class _Event:
    """What is eaten of one date of a pile."""

    day: int
    pile: int
    place: int
    person_days: float


class Dating:
    """Date one solution of one table, and hold it against the whole question."""

    def __init__(self, table: Table, eaten: Eaten, *, alike: frozenset[int]) -> None:
        self._table, self._eaten, self._alike = table, eaten, alike
        classes = len(table.classes)
        self._by_day = np.zeros((classes, table.horizon_days + 1))
        self._extras, self._protein = np.zeros(classes), np.zeros(classes)
        self._water_l = np.zeros(classes)
        self._at_seat: list[list[tuple[_Event, float]]] = [[] for _ in table.seats]
        self._serve_seats()
        for e, seat in enumerate(table.seats):
            self._serve_classes(e, seat)

    def broken(self) -> Broken:
        """Say what the dated plan breaks of the whole question."""
        return Broken(self._late(), self._short(), self._is_dry())

    def _events(self) -> list[_Event]:
        events: list[_Event] = []
        for p, pile in enumerate(self._table.piles):
            eaten = self._used(p, pile)
            events.extend(
                _Event(day, p, i, energy)
                for i, (day, energy) in enumerate(zip(pile.days, eaten, strict=True))
                if energy > _LEAST
            )
        piles = self._table.piles
        return sorted(events, key=lambda one: (one.day, len(piles[one.pile].classes), one.pile))

    def _used(self, p: int, pile: Pile) -> list[float]:
        """Give what is eaten of each date; what is left of lasting food is nobody's loss."""
        used = list(pile.person_days)
        for i, left in enumerate(self._eaten.left[p].tolist()):
            used[i] = max(0.0, used[i] - left)
        served = sum(self._eaten.at_seat[p].values()) + sum(self._eaten.dated[p].values())
        over = sum(used) - served
        for i in range(pile.can_spoil, len(used)):
            used[i] = max(0.0, used[i] - over)
        return used

    def _serve_seats(self) -> None:
        table = self._table
        needs = [float(sum(table.supply.needs[c] for c in seat)) for seat in table.seats]
        days = [table.energy_at(e) / need for e, need in enumerate(needs)]
        plates = _Plates(needs, days)
        wanted = [dict(here) for here in self._eaten.at_seat]
        events = self._events()
        freely = self._freely(events)
        for event in events:
            energy = event.person_days
            bucket = table.piles[event.pile].bucket_of(event.place)
            ratio = freely[event.pile, bucket]
            for (c, b), amount in self._eaten.dated[event.pile].items():
                if b == bucket and amount > _LEAST:
                    e = table.seat_of(c)
                    share = energy * (1 - ratio) * amount / self._dated_in(event.pile, bucket)
                    plates.so_far[e] += share
                    self._at_seat[e].append((event, share))
            given = self._shared_out(
                event, energy * ratio, wanted=wanted[event.pile], plates=plates
            )
            for e, amount in given.items():
                wanted[event.pile][e] -= amount
                self._at_seat[e].append((event, amount))

    def _shared_out(
        self,
        event: _Event,
        energy: float,
        *,
        wanted: dict[int, float],
        plates: _Plates,
    ) -> dict[int, float]:
        """Give the seats served alike their part, and the rest by room."""
        here = self._eaten.at_seat[event.pile]
        whole = sum(here.values())
        given: dict[int, float] = {}
        for e in here.keys() & self._alike:
            given[e] = min(wanted[e], energy * here[e] / whole) if whole > 0 else 0.0
            plates.so_far[e] += given[e]
        limits = {e: want for e, want in wanted.items() if e not in given}
        left = energy - sum(given.values())
        served = plates.serve(left, day=event.day, limits=limits)
        over = left - sum(served.values())
        if over > _LEAST:
            rest = {e: wanted[e] - given[e] for e in given}
            served |= {
                e: given[e] + amount
                for e, amount in plates.serve(over, day=event.day, limits=rest).items()
            }
        return given | served

    def _dated_in(self, p: int, bucket: int) -> float:
        return sum(amount for (_, b), amount in self._eaten.dated[p].items() if b == bucket)

    def _freely(self, events: Sequence[_Event]) -> dict[tuple[int, int], float]:
        """Give the part of each bucket that is not bound to dated classes."""
        eaten: dict[tuple[int, int], float] = {}
        for event in events:
            key = event.pile, self._table.piles[event.pile].bucket_of(event.place)
            eaten[key] = eaten.get(key, 0.0) + event.person_days
        return {key: max(0.0, 1.0 - self._dated_in(*key) / energy) for key, energy in eaten.items()}

    def _serve_classes(self, e: int, seat: tuple[int, ...]) -> None:
        table = self._table
        if len(seat) == 1:
            for event, energy in self._at_seat[e]:
                self._note(event, energy, to=seat[0])
            return
        plates = _Plates(
            [float(table.supply.needs[c]) for c in seat], [table.days_of(c) for c in seat]
        )
        room = [table.energy_of(c) - self._own_alone(e, c) for c in seat]
        extras = [table.energy_of(c) * table.extras_share for c in seat]
        for event, energy in self._at_seat[e]:
            pile = table.piles[event.pile]
            limits = {
                n: min(room[n], extras[n]) if pile.is_extra else room[n]
                for n, c in enumerate(seat)
                if c in pile.classes
            }
            if len(pile.classes) == 1:
                limits = dict.fromkeys(limits, energy)
            if e in self._alike:
                # In proportion to what each still wants, so that their mixes differ little.
                whole = sum(limits.values())
                parts = {n: limit / whole for n, limit in limits.items() if limit > _LEAST}
                limits = {n: min(limits[n], energy * part) for n, part in parts.items()}
            for n, amount in plates.serve(energy, day=event.day, limits=limits).items():
                if len(pile.classes) > 1:
                    room[n] -= amount
                if pile.is_extra:
                    extras[n] -= amount
                self._note(event, amount, to=seat[n])

    def _own_alone(self, e: int, c: int) -> float:
        piles = self._table.piles
        return sum(energy for event, energy in self._at_seat[e] if piles[event.pile].classes == {c})

    def _note(self, event: _Event, energy: float, *, to: int) -> None:
        pile = self._table.piles[event.pile]
        self._by_day[to, event.day] += energy
        self._protein[to] += energy * pile.protein_g_by_day[event.place]
        self._water_l[to] += energy * pile.water_l_by_day[event.place]
        if pile.is_extra:
            self._extras[to] += energy

    def _late(self) -> frozenset[int]:
        """Give the classes that eat what is past, too many extras, or not what they are to eat."""
        table = self._table
        by = np.cumsum(self._by_day, axis=1)
        needs = table.supply.needs
        days = np.array([table.days_of(c) for c in range(len(needs))])
        days_by = np.minimum(np.arange(by.shape[1])[None, :], days[:, None])
        most = needs[:, None] * days_by
        is_late = (by > most + _ROOM * np.maximum(1.0, by)).any(axis=1)
        whole: Floats = needs * days
        is_hungry = by[:, -1] < whole * (1 - _HAIR) - _ROOM
        over = self._extras > table.extras_share * whole + _ROOM * np.maximum(1.0, whole)
        return frozenset(np.flatnonzero(is_late | is_hungry | over).tolist())

    def _short(self) -> dict[int, float]:
        short = {}
        for c, one in enumerate(self._table.classes):
            energy = float(self._by_day[c].sum())
            if energy > _ROOM:
                density = float(self._protein[c]) / energy
                if density < one.highest_ratio * self._table.supply.mean_kcal * (1 - _HAIR):
                    short[c] = density
        return short

    def _is_dry(self) -> bool:
        table, water = self._table, self._table.water
        if water is None or not self._water_l.any():
            return False
        drawn: dict[object, float] = {None: 0.0}
        for c, one in enumerate(table.classes):
            keeper = one.keeper if one.keeper in water.kept_l else None
            litres = table.litres_of(c) + float(self._water_l[c])
            drawn[keeper] = drawn.get(keeper, 0.0) + litres
        shared = drawn[None]
        for keeper, kept_l in water.kept_l.items():
            shared += max(0.0, drawn.get(keeper, 0.0) - kept_l)
        return shared > water.shared_l + _ROOM * max(1.0, water.shared_l)


def broken_by(table: Table, eaten: Eaten) -> Broken:
    """Date what is eaten, and say what is broken.

    Whom room leaves short of protein is served alike, as far as that goes.
    """
    alike: frozenset[int] = frozenset()
    while True:
        broken = Dating(table, eaten, alike=alike).broken()
        short = {table.seat_of(c) for c in broken.short} - alike
        if not short or len(alike) > _MOST_ALIKE:
            return broken
        alike |= short
