"""Take words from closed lists: in JSON they come as text, whatever else is strict."""

from typing import Annotated

from pydantic import Field

from daysworth.domain.foods import FoodGroup, MadeOf, MassBasis, MealRole, Preparation, Texture
from daysworth.domain.label_dates import LabelKind
from daysworth.domain.labels import Claim, Regime
from daysworth.domain.lots import Condition
from daysworth.domain.meal_patterns import MealRule, Served, SlotKind, Utensil
from daysworth.domain.needs import NeedsBasis
from daysworth.domain.people import Activity, InfantFeeding, PrepregnancyWeight, Sex
from daysworth.domain.restrictions import Diet, DietLevel, FormulaKind, Reach, Substance
from daysworth.domain.wares import WareKind

_AsText = Field(strict=False)

FoodGroupIn = Annotated[FoodGroup, _AsText]
MadeOfIn = Annotated[MadeOf, _AsText]
MassBasisIn = Annotated[MassBasis, _AsText]
MealRoleIn = Annotated[MealRole, _AsText]
PreparationIn = Annotated[Preparation, _AsText]
TextureIn = Annotated[Texture, _AsText]
LabelKindIn = Annotated[LabelKind, _AsText]
ConditionIn = Annotated[Condition, _AsText]
NeedsBasisIn = Annotated[NeedsBasis, _AsText]
ActivityIn = Annotated[Activity, _AsText]
InfantFeedingIn = Annotated[InfantFeeding, _AsText]
PrepregnancyWeightIn = Annotated[PrepregnancyWeight, _AsText]
SexIn = Annotated[Sex, _AsText]
DietIn = Annotated[Diet, _AsText]
ReachIn = Annotated[Reach, _AsText]
SubstanceIn = Annotated[Substance, _AsText]
DietLevelIn = Annotated[DietLevel, _AsText]
FormulaKindIn = Annotated[FormulaKind, _AsText]
RegimeIn = Annotated[Regime, _AsText]
ClaimIn = Annotated[Claim, _AsText]
MealRuleIn = Annotated[MealRule, _AsText]
SlotKindIn = Annotated[SlotKind, _AsText]
ServedIn = Annotated[Served, _AsText]
UtensilIn = Annotated[Utensil, _AsText]
WareKindIn = Annotated[WareKind, _AsText]
