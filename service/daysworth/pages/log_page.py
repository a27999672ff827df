"""Gather what the logging page shows: the place, the foods by name, and what was just logged."""

from collections.abc import Mapping, Sequence, Set
from dataclasses import dataclass, replace
from datetime import datetime
from typing import Final
from zoneinfo import ZoneInfo

from daysworth.db.foods import every_food, foods_read
from daysworth.db.ledger.intake import look_over
from daysworth.db.ledger.just_logged import MOST_LISTED, Logged, just_logged
from daysworth.db.places import read_place
from daysworth.db.stores import KeptStore
from daysworth.db.transactions import Reading, day_there
from daysworth.domain.entries import Credential
from daysworth.domain.foods import Food
from daysworth.domain.identifiers import FoodId, PlaceId
from daysworth.domain.intake import IntakeLine, Warned
from daysworth.domain.label_dates import LabelKind
from daysworth.domain.lots import Condition
from daysworth.pages.typed_box import TypedBox

MOST_OF_A_DAY: Final = 400
MOST_NAMES: Final = 600
"""How many foods the form offers by name as one types; any other is found when it is sent."""


@dataclass(frozen=True, slots=True, kw_only=True)
class ShownBox:
    """One box as it is listed; `printed` is the label's date, None without one."""

    lot: str
    name: str
    units: int
    kind: str
    printed: str | None
    giver: str | None
    logged_at: datetime
    notes: tuple[Warned, ...]
    is_taken_back: bool
    can_be_taken_back: bool
    is_label_read: bool

    def typed_again(self, typed: TypedBox) -> TypedBox:
        """Fill a form with the same food, date and giver once more."""
        return replace(
            typed,
            what=self.name,
            units=str(self.units),
            kind=self.kind,
            date=self.printed or "",
            giver=self.giver or "",
        )


@dataclass(frozen=True, slots=True)
class LogShown:
    """What the page shows beside the form."""

    place_name: str
    food_names: Sequence[str]
    boxes: Sequence[ShownBox]
    has_older: bool

    def find(self, lot: str | None) -> ShownBox | None:
        """Find a box that was just logged, None where it is not among them."""
        return next((box for box in self.boxes if box.lot == lot), None)


def load_log(
    reading: Reading,
    *,
    place: PlaceId,
    link: Credential,
    store: KeptStore,
    at: datetime,
    with_older: bool = False,
) -> LogShown:
    """Gather what the page shows, in one read. Raises NotThere without the place.

    A day's boxes are too many for a slow phone, so the newest are listed unless all are asked for.
    """
    most = MOST_OF_A_DAY if with_older else MOST_LISTED
    foods = {kept.food.id: kept.food for kept in every_food(reading)}
    logged = just_logged(reading, link.id, at=at, most=most + 1)
    named = {FoodId(one.lot.food) for one in logged if one.lot.food is not None}
    read = foods_read(reading, named, owner=None)
    return LogShown(
        place_name=read_place(reading, place).name,
        food_names=[food.name for food in foods.values()][:MOST_NAMES],
        boxes=[_shown(one, foods, store=store, at=at, read=read) for one in logged[:most]],
        has_older=len(logged) > most,
    )


def _shown(
    logged: Logged,
    foods: Mapping[FoodId, Food],
    *,
    store: KeptStore,
    at: datetime,
    read: Set[str],
) -> ShownBox:
    lot = logged.lot
    food = None if lot.food is None else foods.get(FoodId(lot.food))
    line = IntakeLine(
        place=PlaceId(lot.place),
        units=logged.units,
        food=None if food is None else food.id,
        words=(lot.words or lot.food) if food is None else None,
        label_kind=LabelKind(lot.label_kind),
        printed=lot.printed,
        condition=Condition(lot.condition),
        is_home_canned=logged.is_home_canned,
        is_label_unreadable=logged.is_label_unreadable,
    )
    today = day_there(store.settings, at=at)
    seen = look_over(
        line,
        food=food,
        settings=store.settings,
        today=today,
        # What was read of this box itself stands on its lot, and leaves nothing to compare.
        is_food_read=lot.reading is None and lot.food in read,
    )
    return ShownBox(
        lot=lot.id,
        name=(lot.words or "") if food is None else food.name,
        units=logged.units,
        kind=lot.label_kind,
        printed=lot.printed,
        giver=logged.giver,
        logged_at=datetime.fromisoformat(logged.at).astimezone(ZoneInfo(store.settings.timezone)),
        notes=tuple(kind for kind, _ in seen.warnings),
        is_taken_back=logged.is_taken_back,
        can_be_taken_back=logged.can_be_taken_back,
        is_label_read=lot.reading is not None,
    )
