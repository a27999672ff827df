"""List what can fill what: the ways to put a kind's kits together, and the fills of every part.

A kit of a kind is put together in one way: each of its slots is filled by one food, by the two of
one choice, each for half of what the slot asks, or by a food that fills slots of other parts of the
meal as well. A way is therefore a row of parts, and a part is filled by one fill: units of a good.
"""

from collections.abc import Iterator, Sequence
from dataclasses import dataclass, replace
from functools import cached_property
from itertools import combinations
from math import ceil, inf
from typing import Final

from daysworth.domain.errors import ScenarioRefused
from daysworth.domain.foods import Food
from daysworth.domain.identifiers import FoodId
from daysworth.domain.kit_rules import pack_volume_l
from daysworth.domain.meal_patterns import Served, Slot
from daysworth.domain.servings import servings
from daysworth.planners.packing_kinds import Kind, admits
from daysworth.planners.packing_stock import Good
from daysworth.planners.stopping import check

MOST_WAYS: Final = 600
"""More ways than this to put one pattern together are no menu, and would take long to plan."""
_MOST_TRIED: Final = 20 * MOST_WAYS
_MOST_UNITS: Final = 1_000
"""As many units of a lot as one kit holds (`meal_kits.KitItem`)."""
_NEARLY: Final = 1e-9
_HUNDREDTH: Final = 1e-6
"""How much of a hundredth of a serving is none of it: what is reckoned in floats is not exact."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Fill:
    """Units of a good that fill a part of a kit.

    `over` are servings beyond those that are needed, `over_hundredths` the same in whole
    hundredths, counted up, so that sums of them are exact. `rank` is the place of its choice in the
    order of preference, summed over the slots that it fills.
    """

    good: int
    food: FoodId
    units: int
    over: float
    over_hundredths: int
    rank: int
    energy_kcal: float
    volume_l: float
    needs_opener: bool
    is_disliked: bool


@dataclass(frozen=True, slots=True, kw_only=True)
class Part:
    """The slots of a pattern that one fill fills, from what it is eaten, and what can fill them."""

    slots: tuple[int, ...]
    served: Served
    fills: tuple[Fill, ...]

    @property
    def kcals(self) -> list[float]:
        """Give the energy of each fill."""
        return [fill.energy_kcal for fill in self.fills]

    @property
    def litres(self) -> list[float]:
        """Give the volume of each fill."""
        return [fill.volume_l for fill in self.fills]


@dataclass(frozen=True, kw_only=True)
class Way:
    """A way to put kits of a kind together: any fill of each part, if together they pass.

    They pass with at least `least_kcal` and at most `most_l`, and where the parts that are paired
    in `apart` hold different foods. Each of its kits takes an opener if `takes_opener`.
    """

    kind: int
    parts: tuple[Part, ...]
    apart: tuple[tuple[int, int], ...]
    takes_opener: bool
    least_kcal: float
    most_l: float

    @cached_property
    def is_free(self) -> bool:
        """Tell whether any fills of its parts make a kit that passes."""
        return (
            sum(min(part.kcals) for part in self.parts) >= self.least_kcal
            and sum(max(part.litres) for part in self.parts) <= self.most_l
            and not any(
                {fill.food for fill in self.parts[one].fills}
                & {fill.food for fill in self.parts[other].fills}
                for one, other in self.apart
            )
        )

    def is_passed_by(self, fills: Sequence[Fill]) -> bool:
        """Tell whether a fill of each part make a kit that passes."""
        return (
            sum(fill.energy_kcal for fill in fills) >= self.least_kcal
            and sum(fill.volume_l for fill in fills) <= self.most_l
            and all(fills[one].food != fills[other].food for one, other in self.apart)
        )

    def with_fills(self, fills: Sequence[Sequence[Fill]]) -> "Way | None":
        """Keep some of the fills, less those that stand in no kit that passes; None: none does."""
        kept = [list(part) for part in fills]
        while all(kept):
            kcal = [max(fill.energy_kcal for fill in part) for part in kept]
            litres = [min(fill.volume_l for fill in part) for part in kept]
            # Summed in the order in which kits are summed: a fill that is left may be in one.
            useful = [
                [
                    fill
                    for fill in part
                    if sum(_with(kcal, n, figure=fill.energy_kcal)) >= self.least_kcal
                    and sum(_with(litres, n, figure=fill.volume_l)) <= self.most_l
                ]
                for n, part in enumerate(kept)
            ]
            if useful == kept:
                parts = zip(self.parts, kept, strict=True)
                return replace(
                    self, parts=tuple(replace(part, fills=tuple(held)) for part, held in parts)
                )
            kept = useful
        return None


def ways_of(kind: Kind, goods: Sequence[Good], *, has_few_openers: bool) -> tuple[Way, ...]:
    """List the ways to put a kind's kits together; none where some slot has nothing to fill it.

    Where openers are few, kits that take one and kits that need none are put together in ways of
    their own. Raises ScenarioRefused where a pattern leaves too many ways.
    """
    if kind.lacking:
        return ()
    filler = _Filler(kind, goods)
    found: dict[tuple[object, ...], tuple[_Drawn, ...]] = {}
    for tried, drawn in enumerate(filler.rows(tuple(range(len(kind.pattern.slots)))), start=1):
        check()
        # Slots that say the same can change places: one of the ways is enough.
        found.setdefault(tuple(sorted(filler.key(one) for one in drawn)), drawn)
        if len(found) > MOST_WAYS or tried > _MOST_TRIED:
            raise ScenarioRefused(
                f"the pattern {kind.pattern.name!r} can be put together in more than {MOST_WAYS} "
                "ways: give its slots fewer choices of two foods"
            )
    ways = [_way(kind, [filler.parts(one) for one in drawn]) for drawn in found.values()]
    pruned = (
        way.with_fills(fills) if all(fills) else None
        for way, fills in _by_openers(ways, is_parted=has_few_openers and kind.has_openers)
    )
    return tuple(way for way in pruned if way is not None)


def _with(figures: Sequence[float], position: int, *, figure: float) -> list[float]:
    return [*figures[:position], figure, *figures[position + 1 :]]


def _way(kind: Kind, drawn: Sequence[tuple[Part, ...]]) -> Way:
    parts = tuple(part for held in drawn for part in held)
    starts = [sum(map(len, drawn[:n])) for n in range(len(drawn))]
    return Way(
        kind=kind.number,
        parts=parts,
        apart=tuple((at, at + 1) for at, held in zip(starts, drawn, strict=True) if len(held) == 2),
        takes_opener=False,
        least_kcal=kind.least_kcal if kind.asked_kcal > 0 else -inf,
        most_l=kind.most_l,
    )


def _by_openers(
    ways: Sequence[Way], *, is_parted: bool
) -> Iterator[tuple[Way, list[tuple[Fill, ...]]]]:
    for way in ways:
        fills = [part.fills for part in way.parts]
        needs_one = any(fill.needs_opener for part in fills for fill in part)
        yield replace(way, takes_opener=is_parted and needs_one), fills
        if is_parted and needs_one:
            yield way, [tuple(one for one in part if not one.needs_opener) for part in fills]


@dataclass(frozen=True, slots=True)
class _Drawn:
    """Slots that are filled together, or one by the two foods of a choice."""

    slots: tuple[int, ...]
    choice: int | None = None


class _Filler:
    """Finds what can fill the slots of a kind's pattern."""

    def __init__(self, kind: Kind, goods: Sequence[Good]) -> None:
        self._kind, self._pattern = kind, kind.pattern
        self._usable = [(n, good) for n, good in enumerate(goods) if kind.number in good.kinds]
        slots = kind.pattern.slots
        self._twin = [slots.index(slot) for slot in slots]
        self._parts: dict[tuple[tuple[int, ...], int | None], tuple[Part, ...]] = {}

    def rows(self, slots: tuple[int, ...]) -> Iterator[tuple[_Drawn, ...]]:
        """List how slots can be filled, each by something."""
        if not slots:
            yield ()
            return
        for drawn in self._with(slots[0], others=slots[1:]):
            if all(part.fills for part in self.parts(drawn)):
                left = tuple(n for n in slots if n not in drawn.slots)
                yield from ((drawn, *rest) for rest in self.rows(left))

    def key(self, drawn: _Drawn) -> tuple[tuple[int, ...], int]:
        """Tell apart what is filled in another way: slots that say the same are the same."""
        choice = -1 if drawn.choice is None else drawn.choice
        return tuple(sorted(self._twin[n] for n in drawn.slots)), choice

    def parts(self, drawn: _Drawn) -> tuple[Part, ...]:
        """Give the one part, or the two halves, that slots are filled as."""
        key = drawn.slots, drawn.choice
        if key not in self._parts:
            halves = (0,) if drawn.choice is None else (0, 1)
            self._parts[key] = tuple(
                Part(
                    slots=drawn.slots,
                    served=self._pattern.slots[drawn.slots[0]].served,
                    fills=tuple(self._fills(drawn, half=half)),
                )
                for half in halves
            )
        return self._parts[key]

    def _with(self, slot: int, *, others: Sequence[int]) -> Iterator[_Drawn]:
        """List what one slot is filled with: by itself, by two foods, or with other slots."""
        yield _Drawn((slot,))
        for position, choice in enumerate(self._pattern.slots[slot].choices):
            if len(choice.foods) == 2:
                yield _Drawn((slot,), position)
        for size in (1, 2):
            tried = set[tuple[int, ...]]()
            for more in combinations(others, size):
                twins = tuple(self._twin[n] for n in more)
                if twins not in tried and self._are_other_roles((slot, *more)):
                    tried.add(twins)
                    yield _Drawn((slot, *more))

    def _are_other_roles(self, slots: Sequence[int]) -> bool:
        roles = [self._pattern.slots[n].kind.role for n in slots]
        return None not in roles and len(set(roles)) == len(roles)

    def _fills(self, drawn: _Drawn, *, half: int) -> Iterator[Fill]:
        slots = [self._pattern.slots[n] for n in drawn.slots]
        for number, good in self._usable:
            if drawn.choice is None:
                ranks = [_rank(slot, good.food) for slot in slots]
            else:
                wanted = slots[0].choices[drawn.choice].foods[half]
                # The choice of two is one choice: its place counts once.
                place = drawn.choice if half == 0 else 0
                ranks = [place if admits(slots[0], wanted, food=good.food) else None]
            known = [rank for rank in ranks if rank is not None]
            if len(known) == len(ranks):
                share = 1.0 if drawn.choice is None else 0.5
                needed = max(share * self._needed(slot, good) for slot in slots)
                fill = self._fill(number, good, needed=needed, rank=sum(known))
                if fill.units <= min(_MOST_UNITS, good.units_since(0)):
                    yield fill

    def _needed(self, slot: Slot, good: Good) -> float:
        """Give the packs that a slot asks for, with parts of packs."""
        if slot.grams_in_all is not None:
            return slot.grams_in_all / good.net_mass_g
        asked = slot.servings_each * self._kind.persons
        return asked / servings(good.food, good.net_mass_g)

    def _fill(self, number: int, good: Good, *, needed: float, rank: int) -> Fill:
        food, net_g = good.food, good.net_mass_g
        units = max(1, ceil(needed - _NEARLY))
        over = max(0.0, units - needed) * servings(food, net_g)
        return Fill(
            good=number,
            food=food.id,
            units=units,
            over=over,
            over_hundredths=ceil(100 * over - _HUNDREDTH),
            rank=rank,
            energy_kcal=units * food.energy_kcal(net_g),
            volume_l=pack_volume_l(food, units * net_g),
            needs_opener=food.needs_opener,
            is_disliked=self._kind.dislikes(food),
        )


def _rank(slot: Slot, food: Food) -> int | None:
    """Give the first choice of a slot that one food fills; None: no choice does."""
    for place, choice in enumerate(slot.choices):
        if len(choice.foods) == 1 and admits(slot, choice.foods[0], food=food):
            return place
    return None
