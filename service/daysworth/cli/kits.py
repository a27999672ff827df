"""Ask about the kits of a snapshot file: is this a meal, and which to take along."""

import re
from collections.abc import Iterable, Mapping
from datetime import date
from enum import StrEnum
from math import isfinite
from typing import TYPE_CHECKING, Annotated, Final, NamedTuple

import typer

from daysworth.cli.files import read_bytes
from daysworth.cli.options import AsJson, Day, Source, day_written

if TYPE_CHECKING:
    from daysworth.domain.meal_patterns import Waiver
    from daysworth.domain.snapshot import Snapshot
    from daysworth.domain.wares import WareKind
    from daysworth.planners.kit_check import ItemAsked

_ITEM: Final = re.compile(r"(.+)=([0-9]{1,4})(?:@([0-9-]+))?")
_WARE: Final = re.compile(r"([a-z]+)=([0-9]{1,4})")
_SERVED: Final = re.compile(r"(.+)=([a-z_]+)")
MOST_UNITS: Final = 1_000


class HowServed(StrEnum):
    """From what a food is eaten."""

    OWN_PACK = "own_pack"
    PLATE = "plate"
    BOWL = "bowl"
    MIXED_IN = "mixed_in"


class ItemWritten(NamedTuple):
    """An item as it was written: a lot or a food, its units, and the food's last good day."""

    id: str
    units: int
    last_good_day: date | None


def item_written(written: str) -> ItemWritten:
    """Read an item such as L001=2 or oats=1@2027-05-31. Raises typer.BadParameter."""
    found = _ITEM.fullmatch(written)
    if found is None or not 1 <= int(found[2]) <= MOST_UNITS:
        raise typer.BadParameter(
            f"{written!r} is not a lot or a food and its packs, such as L001=2, or"
            " oats=1@2027-05-31 for a food that is not stock"
        )
    return ItemWritten(found[1], int(found[2]), day_written(found[3]) if found[3] else None)


def ware_written(written: str) -> tuple[str, int]:
    """Read a ware such as fork=4. Raises typer.BadParameter."""
    from daysworth.domain.wares import WareKind

    found = _WARE.fullmatch(written)
    if found is None or found[1] not in list(WareKind) or not 1 <= int(found[2]) <= MOST_UNITS:
        kinds = ", ".join(WareKind)
        raise typer.BadParameter(f"{written!r} is not a ware and how many, such as fork=4: {kinds}")
    return found[1], int(found[2])


def waiver_written(written: str) -> tuple[str, str]:
    """Read a rule and why it is waived, such as keeps:eaten this month. Raises BadParameter."""
    from daysworth.domain.meal_patterns import MealRule

    rule, _, why = written.partition(":")
    if rule not in list(MealRule):
        rules = ", ".join(MealRule)
        raise typer.BadParameter(f"{rule!r} is not a rule: there are {rules}")
    if not why.strip():
        raise typer.BadParameter(f"say why {rule} is waived, such as {rule}:eaten this month")
    if len(why.strip()) > 240:
        raise typer.BadParameter(f"say in 240 characters why {rule} is waived")
    return rule, why.strip()


def served_written(written: str) -> tuple[str, str]:
    """Read from what an item is eaten, such as L001=bowl. Raises typer.BadParameter."""
    found = _SERVED.fullmatch(written)
    if found is None or found[2] not in list(HowServed):
        ways = ", ".join(HowServed)
        raise typer.BadParameter(
            f"{written!r} is not an item and from what it is eaten, such as L001=bowl: {ways}"
        )
    return found[1], found[2]


Items = Annotated[
    list[str],
    typer.Option(
        "--item", metavar="LOT=UNITS", help="Packs of a lot; or FOOD=UNITS@DATE. Repeatable."
    ),
]
ServedAs = Annotated[
    list[str] | None,
    typer.Option(
        "--served",
        metavar="LOT=HOW",
        help="own_pack, plate (if not said), bowl or mixed_in; repeatable.",
    ),
]
Wares = Annotated[
    list[str] | None,
    typer.Option("--ware", metavar="WARE=UNITS", help="As fork=4, opener=1; repeatable."),
]
Waivers = Annotated[
    list[str] | None,
    typer.Option("--waive", metavar="RULE:WHY", help="Waive a rule, and say why; repeatable."),
]
Persons = Annotated[
    int | None,
    typer.Option("--persons", min=1, max=24, metavar="N", help="How many a kit serves."),
]
OfHousehold = Annotated[
    str | None, typer.Option("--household", metavar="H", help="For this household.")
]


def check_kit(
    source: Source,
    *,
    item: Items,
    persons: Persons = None,
    household: OfHousehold = None,
    served: ServedAs = None,
    ware: Wares = None,
    waive: Waivers = None,
    as_of: Day = None,
    as_json: AsJson = False,
) -> None:
    """Check any items as a kit: every rule of a complete meal, and whom it does not suit.

    A food that is not stock is named with its last good day; without one it is undated.
    """
    import json

    from daysworth.answers.kit_check import answer_kit_check, kit_check_json
    from daysworth.answers.round_plan import parcel_numbers_of
    from daysworth.answers.snapshot_file import read_snapshot
    from daysworth.domain.identifiers import HouseholdId
    from daysworth.planners.kit_check import CheckAsked
    from daysworth_client.kit_check import kit_check_text

    if (persons is None) == (household is None):
        raise typer.BadParameter("say whom it serves: --persons N or --household H, one of them.")
    if len(item) > 60:
        raise typer.BadParameter("a kit holds at most 60 different items.")
    wares, waivers = _wares(ware or ()), _waivers(waive or ())
    written, ways = [item_written(one) for one in item], dict(map(served_written, served or ()))
    store = read_snapshot(read_bytes(source))
    home = None if household is None else HouseholdId(household)
    asked = CheckAsked(
        items=tuple(_items(written, ways=ways, store=store)),
        persons=persons,
        household=home,
        wares=wares,
        waivers=waivers,
    )
    numbers = parcel_numbers_of(one.id for one in store.households)
    answer = answer_kit_check(
        store,
        as_of or store.taken_on,
        asked=asked,
        parcel_number=None if home is None else numbers.get(home),
    )
    text = kit_check_json(answer)
    typer.echo(text if as_json else kit_check_text(json.loads(text)).rstrip("\n"))


def take_along(
    source: Source,
    *,
    household: OfHousehold = None,
    most_kg: Annotated[
        float | None,
        typer.Option("--most-kg", metavar="KG", help="What can be carried, of food, net."),
    ] = None,
    as_of: Day = None,
    as_json: AsJson = False,
) -> None:
    """List which kits to take along in an evacuation, those that need no opener first."""
    import json

    from daysworth.answers.round_plan import parcel_numbers_of
    from daysworth.answers.snapshot_file import read_snapshot
    from daysworth.answers.take_along import answer_take_along, take_along_json
    from daysworth.domain.identifiers import HouseholdId
    from daysworth_client.take_along import take_along_text

    if most_kg is not None and not (isfinite(most_kg) and 0 < most_kg <= 1_000):
        raise typer.BadParameter("--most-kg is a number above 0, and 1000 at most.")
    store = read_snapshot(read_bytes(source))
    answer = answer_take_along(
        store,
        as_of or store.taken_on,
        household=None if household is None else HouseholdId(household),
        most_kg=most_kg,
        parcel_numbers=parcel_numbers_of(one.id for one in store.households),
    )
    text = take_along_json(answer)
    typer.echo(text if as_json else take_along_text(json.loads(text)).rstrip("\n"))


def _items(
    written: Iterable[ItemWritten], *, ways: Mapping[str, str], store: "Snapshot"
) -> "Iterable[ItemAsked]":
    """Find which lot or food each item is. Raises InputRefused where one can not be meant."""
    from daysworth.domain.errors import InputRefused
    from daysworth.domain.identifiers import FoodId, LotId
    from daysworth.domain.meal_patterns import Served
    from daysworth.planners.kit_check import ItemAsked

    lots = {lot.id for lot in store.lots}
    named = [one.id for one in written]
    for id_ in ways:
        if id_ not in named:
            raise InputRefused(f"--served names {id_!r}, which is no --item")
    for one in written:
        served = Served(ways.get(one.id, Served.PLATE))
        if LotId(one.id) not in lots:
            yield ItemAsked(
                units=one.units,
                food=FoodId(one.id),
                last_good_day=one.last_good_day,
                served=served,
            )
        elif one.last_good_day is None:
            yield ItemAsked(units=one.units, lot=LotId(one.id), served=served)
        else:
            raise InputRefused(f"the lot {one.id!r} has its own date: name it without @")


def _wares(written: Iterable[str]) -> "dict[WareKind, int]":
    from daysworth.domain.wares import WareKind

    found: dict[WareKind, int] = {}
    for kind, units in map(ware_written, written):
        found[WareKind(kind)] = found.get(WareKind(kind), 0) + units
    return found


def _waivers(written: Iterable[str]) -> "tuple[Waiver, ...]":
    from daysworth.domain.meal_patterns import MealRule, Waiver

    found = dict(map(waiver_written, written))
    return tuple(Waiver(rule=MealRule(rule), why=why) for rule, why in found.items())
