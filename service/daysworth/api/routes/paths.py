"""Name the parts of addresses."""

from typing import Annotated

from fastapi import Path

_Id = Path(min_length=1, max_length=64)

PlacePath = Annotated[str, _Id]
HouseholdPath = Annotated[str, _Id]
MemberPath = Annotated[str, _Id]
FoodPath = Annotated[str, _Id]
LotPath = Annotated[str, _Id]
PatternPath = Annotated[str, _Id]
KitPath = Annotated[str, _Id]
PlanPath = Annotated[str, _Id]
PartnerPath = Annotated[str, _Id]
PromisePath = Annotated[str, _Id]
CalendarLinkPath = Annotated[str, _Id]
