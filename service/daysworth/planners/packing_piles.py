"""Say how a program tells the stock apart: aims, how finely dates count, and the piles of a way.

A pile is a fill of a part from packs that are good until a day or longer. Its level is the day that
it counts as: no kit of a way is pulled later than the best fills of its scarcest part allow, so all
beyond that day count as it.
"""

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass
from enum import StrEnum
from typing import Final, NamedTuple

from daysworth.domain.wares import WareKind
from daysworth.planners.packing_fills import Fill, Way
from daysworth.planners.packing_kinds import Kind
from daysworth.planners.packing_stock import Good

Key = tuple[int, int, int, int]
"""A part, a good, a level and a day; the kits of a level have no part and no good."""
NO_PART: Final = -1
NO_DAY: Final = -1
ALL_DAYS: Final = 1_000_000
"""A day until which nothing is good that is not past, and one until which nothing is good."""


class Aim(StrEnum):
    """What is asked for, in the order in which it is asked for.

    Each comes to a whole number: so each program has whole figures, and the solver's are exact.
    Servings over are in hundredths.
    """

    KITS = "kits"
    DISLIKED = "disliked"
    PULL_BY = "pull_by"
    OVER = "over"
    DAYS = "days"
    PREFERENCE = "preference"


@dataclass(frozen=True, slots=True, kw_only=True)
class Grain:
    """How finely dates are told apart: for each kind, packs good beyond the day of `floors` are.

    What is good until that day or less is one pile that is taken to be good until it
    (`is_relaxed`), or is left out. `is_dated`: fills carry their own dates, beyond the last day by
    which a kit can be pulled too.
    """

    floors: tuple[int, ...]
    is_relaxed: bool
    is_dated: bool = False


@dataclass(frozen=True, slots=True, kw_only=True)
class Shelf:
    """What kits are made from: the kinds, the goods and all wares in the store."""

    kinds: tuple[Kind, ...]
    goods: tuple[Good, ...]
    wares: Mapping[WareKind, int]
    from_days: tuple[int, ...]
    last_day: int


class Pile(NamedTuple):
    """A fill of a part, from packs good until `day` or longer; `level` is what counts of it."""

    part: int
    fill: Fill
    day: int
    level: int

    def key(self, *, is_dated: bool) -> Key:
        """Give what it is known by: by its level alone, where fills do not carry their dates."""
        return self.part, self.fill.good, self.level, self.day if is_dated else NO_DAY

    def is_closed(self, closed: frozenset[Key]) -> bool:
        """Tell whether it is among what is closed, in whichever way that was found."""
        return any(self.key(is_dated=one) in closed for one in (False, True))


def kits_key(level: int) -> Key:
    """Give what the kits of a level are known by."""
    return NO_PART, NO_PART, level, NO_DAY


@dataclass(frozen=True, slots=True, kw_only=True)
class Counts:
    """How many fills of each pile, and how many kits by the day they are pulled, one way has."""

    piles: tuple[tuple[Pile, float], ...]
    kits: tuple[tuple[int, float], ...]


def top_of(way: Way, shelf: Shelf) -> int:
    """Give the last day by which a kit of a way can be pulled; before the first: there is none."""
    from_day = shelf.from_days[way.kind]
    return min(
        max(_last_day(shelf.goods[fill.good], fill, from_day=from_day) for fill in part.fills)
        for part in way.parts
    )


def piles_of(way: Way, *, top: int, shelf: Shelf, grain: Grain) -> list[Pile]:
    """List the piles that the fills of a way come from; none where some part has none.

    What is good beyond `top` counts as that: no kit of the way is pulled later.
    """
    from_day, floor = shelf.from_days[way.kind], grain.floors[way.kind]
    if top < from_day or (top <= floor and not grain.is_relaxed):
        return []
    found = []
    for number, part in enumerate(way.parts):
        piles = []
        for fill in part.fills:
            good = shelf.goods[fill.good]
            last = _last_day(good, fill, from_day=from_day)
            days = [day for day, _ in good.by_day if from_day <= day <= last]
            for day, level in _levels(days, floor=floor, top=max(top, floor), grain=grain):
                piles.append(Pile(number, fill, day, level))
        if not piles:
            return []
        found += piles
    return found


def _last_day(good: Good, fill: Fill, *, from_day: int) -> int:
    day = good.last_day_of(fill.units)
    return NO_DAY if day is None or day < from_day else day


def _levels(
    days: Sequence[int], *, floor: int, top: int, grain: Grain
) -> Iterator[tuple[int, int]]:
    """Pair the days that are told apart with what they count as: beyond the top is the top."""
    if grain.is_relaxed and days and days[0] <= floor:
        yield days[0], floor
    is_beyond = False
    for day in days:
        if day <= floor or (is_beyond and not grain.is_dated):
            continue
        is_beyond = day >= top
        yield day, min(day, top)


def pile_loss(aim: Aim, pile: Pile) -> float:
    """Give what one fill of a pile takes from an aim."""
    match aim:
        case Aim.DISLIKED:
            return float(pile.fill.is_disliked)
        case Aim.OVER:
            return float(pile.fill.over_hundredths)
        case Aim.DAYS:
            return float(pile.day - pile.level)
        case Aim.PREFERENCE:
            return float(pile.fill.rank)
        case Aim.KITS | Aim.PULL_BY:
            return 0.0
