"""Keep the ids of different things apart, so that a lot is never taken for a food."""

from typing import Annotated, NewType

from annotated_types import Len

StoreId = NewType("StoreId", str)
HouseholdId = NewType("HouseholdId", str)
MemberId = NewType("MemberId", str)
FoodId = NewType("FoodId", str)
LotId = NewType("LotId", str)
PlaceId = NewType("PlaceId", str)

IdLength = Len(1, 64)
"""How long an id may be, in characters."""

Name = Annotated[str, Len(1, 120)]
"""Words a person reads, in characters."""
