"""State what is available when the question is asked: power, water, places, people, rations."""

from collections.abc import Iterable
from dataclasses import dataclass, fields
from enum import StrEnum
from typing import Final

from daysworth.domain.errors import ScenarioRefused
from daysworth.domain.identifiers import HouseholdId, PlaceId
from daysworth.domain.needs import NeedsBasis
from daysworth.domain.snapshot import Snapshot

DEFAULT_HORIZON_DAYS: Final = 180
LONGEST_HORIZON_DAYS: Final = 730
LEAST_RATION: Final = 0.001
"""A smaller part of a need is a slip of the pen, and its days are past all counting."""


class StockScope(StrEnum):
    """Whose stock is counted: what is shared, or households' own as well (each for itself)."""

    SHARED = "shared"
    ALL = "all"


@dataclass(frozen=True, slots=True, kw_only=True)
class Scenario:
    """What is available. The default is the worst evening: no heating and no running water.

    `basis` None takes the store's. `ration` from 0.001 to 1 multiplies energy and protein needs.
    Raises ScenarioRefused where the ration or the horizon is out of range.
    """

    heating: bool = False
    running_water: bool = False
    stock: StockScope = StockScope.SHARED
    places_lost: frozenset[PlaceId] = frozenset()
    households_away: frozenset[HouseholdId] = frozenset()
    basis: NeedsBasis | None = None
    ration: float = 1.0
    horizon_days: int = DEFAULT_HORIZON_DAYS

    def __post_init__(self) -> None:
        if not LEAST_RATION <= self.ration <= 1:
            raise ScenarioRefused(f"a ration is from {LEAST_RATION} to 1")
        if not 1 <= self.horizon_days <= LONGEST_HORIZON_DAYS:
            raise ScenarioRefused(f"a horizon is 1 to {LONGEST_HORIZON_DAYS} days")

    def content(self) -> tuple[object, ...]:
        """Give all that it says, in one order: no option is left out of telling two apart."""
        values = (getattr(self, one.name) for one in fields(self))
        return tuple(sorted(one) if isinstance(one, frozenset) else one for one in values)


def check_scenario(scenario: Scenario, snapshot: Snapshot) -> None:
    """Raise ScenarioRefused where a scenario names a place or household the store lacks."""
    _known("place", named=scenario.places_lost, known=[place.id for place in snapshot.places])
    _known(
        "household",
        named=scenario.households_away,
        known=[household.id for household in snapshot.households],
    )


def _known(kind: str, *, named: Iterable[str], known: Iterable[str]) -> None:
    missing = sorted(set(named) - set(known))
    if missing:
        names = sorted(known)
        some = ", ".join(names[:12]) + (", …" if len(names) > 12 else "")
        raise ScenarioRefused(
            f"there is no {kind} {missing[0]!r} in this store (it has: {some or 'none'})"
        )
