"""Say how foods and barcodes come in and go out."""

from typing import Annotated, Self

from pydantic import Field, model_validator

from daysworth.answers.barcodes import gtin_14
from daysworth.api.schemas.plain import Input, Output, Words
from daysworth.api.schemas.words_of_lists import (
    FoodGroupIn,
    FormulaKindIn,
    MadeOfIn,
    MassBasisIn,
    MealRoleIn,
    PreparationIn,
    RegimeIn,
    SubstanceIn,
    TextureIn,
)
from daysworth.db.foods import KeptFood, Label
from daysworth.domain.barcodes import PackFacts
from daysworth.domain.errors import BarcodeRefused
from daysworth.domain.foods import (
    Food,
    FoodGroup,
    MadeOf,
    MassBasis,
    MealRole,
    Preparation,
    Texture,
)
from daysworth.domain.identifiers import FoodId
from daysworth.domain.label_dates import LabelKind
from daysworth.domain.label_figures import (
    HundredGramFigures,
    ServingFigures,
    atwater_flag,
    per_100g,
)
from daysworth.domain.labels import Regime
from daysworth.domain.restrictions import DeclaredFacts, FormulaKind, Substance

Grams = Annotated[float, Field(ge=0, le=10_000)]
KeepsDays = Annotated[int, Field(ge=0, le=20_000)]


class ServingIn(Input):
    """The nutrition figures of a label, for one serving."""

    serving_g: Annotated[float, Field(ge=0.1, le=10_000)]
    energy_kcal: Annotated[float, Field(ge=0, le=90_000)]
    protein_g: Grams
    fat_g: Grams | None = None
    carbohydrate_g: Grams | None = None
    sodium_mg: Annotated[float, Field(ge=0, le=1_000_000)] | None = None

    def figures(self) -> HundredGramFigures:
        """Give the figures for 100 g."""
        return per_100g(ServingFigures(**self.model_dump()))


class FoodIn(Input):
    """A labelled product, or a food of the store's own, with the figures of its label.

    `contains` and `may_contain` are what its recipe always or usually has; they can make it
    unsuitable, never suitable: what is free of something is read on each lot's label.
    """

    name: Words
    group: FoodGroupIn
    serving: ServingIn
    net_mass_g: Annotated[float, Field(ge=0.1, le=1_000_000)]
    gtin: Annotated[str, Field(max_length=14, examples=["036000291452"])] | None = None
    roles: Annotated[list[MealRoleIn], Field(max_length=3)] = Field(default_factory=list)
    is_extra: bool = False
    figures_for: MassBasisIn = MassBasis.NET
    drained_fraction: Annotated[float, Field(ge=0.01, le=1)] | None = None
    heating: PreparationIn = Preparation.NO
    added_water: PreparationIn = Preparation.NO
    added_water_ml_100g: Annotated[float, Field(ge=0, le=5_000)] = 0.0
    needs_opener: bool = False
    shelf_life_months: Annotated[int, Field(ge=0, le=600)] | None = None
    keeps_opened_days: KeepsDays | None = None
    keeps_repacked_days: KeepsDays | None = None
    texture: TextureIn | None = None
    made_of: MadeOfIn = MadeOf.MIXED
    contains: Annotated[list[SubstanceIn], Field(max_length=40)] = Field(default_factory=list)
    may_contain: Annotated[list[SubstanceIn], Field(max_length=40)] = Field(default_factory=list)
    regime: Annotated[
        RegimeIn | None,
        Field(description="The law that its labels follow; left out: not known."),
    ] = None
    formula: Annotated[
        FormulaKindIn | None,
        Field(description="What an infant formula is made from; for infant formula alone."),
    ] = None
    is_choking_hazard: Annotated[
        bool, Field(description="Flagged for children under four years.")
    ] = False

    @model_validator(mode="after")
    def _whole(self) -> Self:
        self.food(FoodId("new"))
        self.number()
        return self

    def number(self) -> str | None:
        """Give the trade item number, of 14 digits. Raises ValueError for a wrong one."""
        if self.gtin is None:
            return None
        try:
            return gtin_14(self.gtin)
        except BarcodeRefused as refused:
            raise ValueError(str(refused)) from refused

    def label(self) -> Label:
        """Give the label's own figures, as they were given."""
        return self.serving.model_dump()

    def food(self, food: FoodId) -> Food:
        """Give the food under an id. Raises ValueError where the figures contradict."""
        figures = self.serving.figures()
        most = max(
            figures.protein_g_100g, figures.fat_g_100g or 0, figures.carbohydrate_g_100g or 0
        )
        if most > 100 or figures.energy_kcal_100g > 902:
            raise ValueError("more than 100 g, or 902 kcal, in 100 g: read the serving again")
        if (figures.sodium_mg_100g or 0) > 50_000:
            raise ValueError("more sodium than salt has: read the label again")
        return Food(
            id=food,
            name=self.name,
            group=self.group,
            energy_kcal_100g=figures.energy_kcal_100g,
            protein_g_100g=figures.protein_g_100g,
            fat_g_100g=figures.fat_g_100g,
            carbohydrate_g_100g=figures.carbohydrate_g_100g,
            sodium_mg_100g=figures.sodium_mg_100g,
            net_mass_g=self.net_mass_g,
            roles=frozenset(self.roles),
            is_extra=self.is_extra,
            figures_for=self.figures_for,
            drained_fraction=self.drained_fraction,
            heating=self.heating,
            added_water=self.added_water,
            added_water_ml_100g=self.added_water_ml_100g,
            needs_opener=self.needs_opener,
            shelf_life_months=self.shelf_life_months,
            keeps_opened_days=self.keeps_opened_days,
            keeps_repacked_days=self.keeps_repacked_days,
            texture=self.texture,
            made_of=self.made_of,
            facts=DeclaredFacts(
                contains=frozenset(self.contains), may_contain=frozenset(self.may_contain)
            ),
            regime=self.regime,
            formula=self.formula,
            is_choking_hazard=self.is_choking_hazard,
        )


class FoodOut(Output):
    """A food of the catalogue. `flags` are what is worth a second look; nothing was changed."""

    id: str
    name: str
    is_own: bool
    group: FoodGroup
    gtin: str | None
    energy_kcal_100g: float
    protein_g_100g: float
    fat_g_100g: float | None
    carbohydrate_g_100g: float | None
    sodium_mg_100g: float | None
    label: dict[str, float | None] | None
    net_mass_g: float
    roles: list[MealRole]
    is_extra: bool
    figures_for: MassBasis
    drained_fraction: float | None
    heating: Preparation
    added_water: Preparation
    added_water_ml_100g: float
    needs_opener: bool
    shelf_life_months: int | None
    keeps_opened_days: int | None
    keeps_repacked_days: int | None
    texture: Texture | None
    made_of: MadeOf
    contains: list[Substance]
    may_contain: list[Substance]
    regime: Regime | None
    formula: FormulaKind | None
    is_choking_hazard: bool
    flags: list[str]


class BarcodeOut(Output):
    """What a barcode says, and the store's foods that have its number."""

    gtin: str | None
    label_kind: LabelKind | None
    printed: str | None
    pack_code: str | None
    foods: list[FoodOut]


def food_out(kept: KeptFood) -> FoodOut:
    """Tell of a food."""
    food = kept.food
    figures = {
        name: getattr(food, name)
        for name in FoodOut.model_fields
        if name not in ("is_own", "gtin", "label", "roles", "contains", "may_contain", "flags")
    }
    flag = None if kept.label is None else _flag(kept.label)
    return FoodOut(
        **figures,
        is_own=kept.is_own,
        gtin=kept.gtin,
        label=None if kept.label is None else dict(kept.label),
        roles=sorted(food.roles),
        contains=sorted(food.facts.contains),
        may_contain=sorted(food.facts.may_contain),
        flags=[] if flag is None else [flag],
    )


def _flag(label: Label) -> str | None:
    """Hold a label's own figures, for one serving, against Atwater's."""
    return atwater_flag(
        label["energy_kcal"] or 0.0,
        protein_g=label["protein_g"] or 0.0,
        fat_g=label["fat_g"],
        carbohydrate_g=label["carbohydrate_g"],
    )


def barcode_out(pack: PackFacts, foods: list[KeptFood]) -> BarcodeOut:
    """Tell what a barcode says."""
    return BarcodeOut(
        gtin=pack.gtin,
        label_kind=pack.label_kind,
        printed=pack.printed,
        pack_code=pack.pack_code,
        foods=[food_out(one) for one in foods],
    )
