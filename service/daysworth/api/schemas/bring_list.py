"""Say what is published of what to bring, and what of it anyone may read."""

from typing import Annotated

from pydantic import Field

from daysworth.api.schemas.plain import Input, Output, Ref, Why, Words
from daysworth.db.bring_lists import (
    MOST_LINES,
    BringLine,
    BringList,
    BringListAsked,
    LineAsked,
)
from daysworth.domain.cautions import Topic, cautions_on
from daysworth.domain.identifiers import FoodId
from daysworth.reference.cautions import CautionRow

MOST_UNITS = 1_000_000


class BringLineIn(Input):
    """So many units of one food: the store's own, or a generic one."""

    food: Ref
    units: Annotated[int, Field(ge=1, le=MOST_UNITS)]


class BringListIn(Input):
    """A list that anyone may read once it is published: no health facts, and no names of people.

    Food for infants tells that some are fed here, so that it is on the list is to be confirmed.
    """

    title: Words
    note: Why | None = None
    lines: Annotated[list[BringLineIn], Field(min_length=1, max_length=MOST_LINES)]
    confirms_infant_food: bool = False

    def asked(self) -> BringListAsked:
        """Give what is asked for."""
        return BringListAsked(
            title=self.title,
            note=self.note,
            lines=[LineAsked(food=FoodId(line.food), units=line.units) for line in self.lines],
            confirms_infant_food=self.confirms_infant_food,
        )


class BringLineOut(Output):
    """One line as anyone reads it. `keeps_months` null: not known."""

    food_name: str
    units: int
    unit_mass_g: float
    keeps_months: int | None
    is_water: bool


class BringListOut(Output):
    """A list as it was published: foods by name, and a coordinator's own words.

    It does not say for whom, nor why, nor how long the store lasts.
    """

    store_name: str
    title: str
    note: str | None
    lines: list[BringLineOut]
    published_at: str
    what_to_mind: list[str]
    cautions: list[CautionRow]


class PublishedOut(BringListOut):
    """A published list as coordinators see it: where anyone can read it, and who published it."""

    page: str = Field(examples=["/bring/fernhollow/wZ8r0b2Qk3T1xY5a"])
    address: str = Field(examples=["/v1/bring/fernhollow/wZ8r0b2Qk3T1xY5a"])
    published_by: str


WHAT_TO_MIND = (
    "Sealed packs only, as they came from the shop.",
    "In date, and for as long as you can find.",
    "With the whole label on: somebody has to read what is in it.",
    "Nothing canned or bottled at home.",
    "No dented, bulging or rusty tins.",
)
"""What whoever brings food minds: common practice, and the cautions."""


def public_list_out(kept: BringList, *, store_name: str) -> BringListOut:
    """Tell anyone what to bring."""
    return BringListOut(**_told(kept, store_name=store_name))  # type: ignore[arg-type]


def published_out(kept: BringList, *, store: str, store_name: str) -> PublishedOut:
    """Tell a coordinator what was published, and where it is read."""
    return PublishedOut(
        **_told(kept, store_name=store_name),  # type: ignore[arg-type]
        page=f"/bring/{store}/{kept.code}",
        address=f"/v1/bring/{store}/{kept.code}",
        published_by=kept.published_by,
    )


def _told(kept: BringList, *, store_name: str) -> dict[str, object]:
    return {
        "store_name": store_name,
        "title": kept.title,
        "note": kept.note,
        "lines": [_line(line) for line in kept.lines],
        "published_at": kept.published_at,
        "what_to_mind": list(WHAT_TO_MIND),
        "cautions": list(cautions_on({Topic.FOOD})),
    }


def _line(line: BringLine) -> BringLineOut:
    return BringLineOut(
        food_name=line.food_name,
        units=line.units,
        unit_mass_g=line.unit_mass_g,
        keeps_months=line.keeps_months,
        is_water=line.is_water,
    )
