"""Say how wares come in, and how they are counted."""

from typing import Annotated, Self

from pydantic import Field, model_validator

from daysworth.api.schemas.plain import Input, Ref, Why
from daysworth.api.schemas.words_of_lists import WareKindIn
from daysworth.db.wares import MOST_UNITS

LINES_MOST = 100


class WareLineIn(Input):
    """So many of a ware that came in, and where they stand."""

    kind: WareKindIn
    place: Ref
    units: Annotated[int, Field(ge=1, le=MOST_UNITS)]


class WaresIn(Input):
    """Wares that came in, saved all together or not at all."""

    lines: Annotated[list[WareLineIn], Field(min_length=1, max_length=LINES_MOST)]
    why: Why | None = None


class WareCountIn(Input):
    """So many of a ware as they were counted."""

    kind: WareKindIn
    units: Annotated[int, Field(ge=0, le=MOST_UNITS)]


class WareStockTakeIn(Input):
    """What stands in a place, ware by ware; what is not named stays as it is."""

    place: Ref
    counts: Annotated[list[WareCountIn], Field(min_length=1, max_length=LINES_MOST)]
    why: Why | None = None

    @model_validator(mode="after")
    def _once_each(self) -> Self:
        if len({one.kind for one in self.counts}) < len(self.counts):
            raise ValueError("a ware is counted twice: add its units up, and count it once")
        return self
