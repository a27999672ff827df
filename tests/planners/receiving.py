"""Invented partners who receive on one day, and take what their rules say."""

from collections.abc import Collection
from datetime import date, datetime, time
from typing import Final

from daysworth.domain.foods import FoodGroup
from daysworth.domain.identifiers import PartnerId, WindowId
from daysworth.domain.partners import AcceptanceRule, Partner, Window
from daysworth.domain.recurrence import Recurrence

MORNING: Final = WindowId("morning")


def window_on(*days: date, id_: str = MORNING, hour: int = 9, **more: object) -> Window:
    """Make a window of two hours that opens on some days."""
    first, *others = [datetime.combine(day, time(hour)) for day in days]
    recurrence = Recurrence(starts_at=first, timezone="Etc/UTC", also_at=tuple(others))
    return Window(id=WindowId(id_), recurrence=recurrence, minutes=120, **more)  # type: ignore[arg-type]


def partner_on(
    *days: date,
    name: str = "Night shelter",
    only: Collection[FoodGroup] | None = None,
    rules: tuple[AcceptanceRule, ...] = (),
    **more: object,
) -> Partner:
    """Make a partner who receives on some days; `only` names the food groups that it takes."""
    if only is not None:
        rules = (
            AcceptanceRule(takes=False),
            *(AcceptanceRule(group=group) for group in sorted(only)),
        )
    return Partner(
        id=PartnerId(name.lower().replace(" ", "-")),
        name=name,
        rules=rules,
        windows=(window_on(*days, **more),),  # type: ignore[arg-type]
    )
