"""Write what is asked of a store's summary as its service reads it."""

from dataclasses import dataclass
from datetime import date
from enum import StrEnum
from typing import Final


class Stock(StrEnum):
    """Whose stock is counted."""

    SHARED = "shared"
    ALL = "all"


class Basis(StrEnum):
    """How needs are reckoned: by published tables, or 2,100 kcal for everyone."""

    REFERENCE = "reference"
    FLAT = "flat"


@dataclass(frozen=True, slots=True, kw_only=True)
class SummaryAsked:
    """What is taken to be available. The default is the worst evening, today.

    `without_place` and `away` are ids; `basis` None takes the store's way, `as_of` None its today.
    `ration` is the part of needs to be met, above 0 and up to 1.
    """

    heating: bool = False
    running_water: bool = False
    stock: Stock = Stock.SHARED
    without_place: tuple[str, ...] = ()
    away: tuple[str, ...] = ()
    basis: Basis | None = None
    ration: float = 1.0
    horizon_days: int = 180
    as_of: date | None = None

    def parameters(self) -> list[tuple[str, str]]:
        """Give the parameters of the question, in one order."""
        asked = [
            ("heating", "true" if self.heating else "false"),
            ("running_water", "true" if self.running_water else "false"),
            ("stock", str(self.stock)),
            *(("without_place", place) for place in self.without_place),
            *(("away", home) for home in self.away),
            ("ration", repr(self.ration)),
            ("horizon_days", str(self.horizon_days)),
        ]
        if self.basis is not None:
            asked.append(("basis", str(self.basis)))
        if self.as_of is not None:
            asked.append(("as_of", self.as_of.isoformat()))
        return asked


AS_THE_STORE_STANDS: Final = SummaryAsked()
