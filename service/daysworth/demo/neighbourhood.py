"""Build an invented neighbourhood: its homes, its people, and what stands on its shelves.

Nothing in it is a real place, person, maker or label. It shows, with figures that can be followed,
what a real store looks like: most labels were never read, so the home with the strictest allergy
is fed for the fewest days; dry staples count on paper and not on an evening without a stove.

Every date in its tables is an offset from the as-of date (see `offsets`), so the neighbourhood is
the same on any day: the infant is as old, and the overdue water as far overdue.
"""

import re
from collections.abc import Mapping
from dataclasses import dataclass, replace
from datetime import date
from functools import partial
from typing import Final

from daysworth.demo import receiving
from daysworth.demo.offsets import offset
from daysworth.domain.catalogue import generic_foods
from daysworth.domain.errors import DateRefused
from daysworth.domain.identifiers import (
    FoodId,
    HouseholdId,
    LotId,
    MemberId,
    PlaceId,
    StoreId,
)
from daysworth.domain.label_dates import LabelKind
from daysworth.domain.labels import Claim, LabelReading, Regime
from daysworth.domain.lots import Condition, Lot, Place
from daysworth.domain.people import Activity, AgeBand, Household, InfantFeeding, Member, Sex
from daysworth.domain.restrictions import Diet, Reach, Restriction, Substance
from daysworth.domain.settings import StoreSettings
from daysworth.domain.snapshot import Snapshot
from daysworth.domain.wares import WareKind, WareStock
from daysworth.reference.rows import listed, optional_int, optional_number, read_table, yes_no

FIRST_AS_OF_YEAR: Final = 2010
LAST_AS_OF_YEAR: Final = 2090
"""Within these years every label date falls between 2000 and 2099, as label dates must."""

_PACKAGE: Final = "daysworth.demo"
_BAND: Final = re.compile(r"([0-9]+)-([0-9]+)")
_LINE_BREAK: Final = " / "
_PRINTED_LENGTH: Final = {"day": 10, "month": 7, "year": 4}

TIMEZONE: Final = "America/Chicago"

PEANUT_HOME: Final = HouseholdId("H05")
COELIAC_HOME: Final = HouseholdId("H21")
"""Two homes whose warnings the demonstration prints."""

_PROMISED_LOT: Final = LotId("L103")
_PROMISED_UNITS: Final = 8


def neighbourhood(as_of: date) -> Snapshot:
    """Build the invented neighbourhood as it stands on a date, which is the day it is taken on.

    Raises DateRefused where the date lies outside 2010 to 2090, ReferenceDataError where one of
    its tables is broken.
    """
    if not FIRST_AS_OF_YEAR <= as_of.year <= LAST_AS_OF_YEAR:
        raise DateRefused(
            f"the invented neighbourhood is for {FIRST_AS_OF_YEAR} to {LAST_AS_OF_YEAR}"
        )
    return Snapshot(
        store=StoreId("larkmoss-lane"),
        store_name="Larkmoss Lane (an invented neighbourhood)",
        version=1,
        taken_on=as_of,
        settings=StoreSettings(timezone=TIMEZONE),
        households=_households(as_of),
        foods=tuple(generic_foods().values()),
        places=read_table("places.csv", _place, package=_PACKAGE),
        lots=_lots("lots.csv", "labels.csv", as_of=as_of),
        wares=read_table("wares.csv", _ware, package=_PACKAGE),
        partners=receiving.partners(as_of, timezone=TIMEZONE),
    )


def with_shop_lots(made: Snapshot) -> Snapshot:
    """Add what a shop gave the other day, most of it near its date, and what is promised since."""
    given = _lots("shop_lots.csv", "shop_labels.csv", as_of=made.taken_on)
    promised = receiving.promised(
        made.partners, made.taken_on, lot=_PROMISED_LOT, units=_PROMISED_UNITS
    )
    return replace(made, lots=(*made.lots, *given), promises=(promised,))


def _lots(lots: str, labels: str, *, as_of: date) -> tuple[Lot, ...]:
    read = read_table(labels, partial(_label, as_of=as_of), package=_PACKAGE)
    return read_table(lots, partial(_lot, as_of=as_of, read=read), package=_PACKAGE)


@dataclass(frozen=True, slots=True)
class _HomeMember:
    household: HouseholdId
    member: Member


def _households(as_of: date) -> tuple[Household, ...]:
    at_home = read_table("members.csv", partial(_home_member, as_of=as_of), package=_PACKAGE)
    return read_table("households.csv", partial(_household, at_home=at_home), package=_PACKAGE)


def _household(cells: Mapping[str, str], *, at_home: tuple[_HomeMember, ...]) -> Household:
    id_ = HouseholdId(cells["household"])
    return Household(
        id=id_,
        members=tuple(one.member for one in at_home if one.household == id_),
        pets=int(cells["pets"]),
    )


def _home_member(cells: Mapping[str, str], *, as_of: date) -> _HomeMember:
    band = _BAND.fullmatch(cells["age"])
    member = Member(
        id=MemberId(cells["member"]),
        born_on=None if band else as_of - offset(cells["age"]),
        age_band=AgeBand(from_years=int(band[1]), to_years=int(band[2])) if band else None,
        sex=Sex(cells["sex"]) if cells["sex"] else None,
        height_cm=optional_number(cells["height_cm"]),
        weight_kg=optional_number(cells["weight_kg"]),
        activity=Activity(cells["activity"]) if cells["activity"] else None,
        pregnancy_due_on=as_of + offset(cells["due_in"]) if cells["due_in"] else None,
        breastfeeding_since_on=as_of - offset(cells["nursing_for"])
        if cells["nursing_for"]
        else None,
        infant_feeding=InfantFeeding(cells["infant_feeding"]) if cells["infant_feeding"] else None,
        restrictions=tuple(_restriction(words) for words in sorted(listed(cells["restrictions"]))),
    )
    return _HomeMember(HouseholdId(cells["household"]), member)


def _restriction(words: str) -> Restriction:
    """Read "allergy peanut", "diet halal", "words kiwi", each of them with the reach or without."""
    kind, name, *reach = words.split()
    return Restriction(
        allergy=Substance(name) if kind == "allergy" else None,
        diet=Diet(name) if kind == "diet" else None,
        words=name if kind == "words" else None,
        reach=Reach(reach[0]) if reach else None,
    )


def _place(cells: Mapping[str, str]) -> Place:
    return Place(
        id=PlaceId(cells["place"]),
        name=cells["name"],
        walk_position=int(cells["walk_position"]),
    )


def _ware(cells: Mapping[str, str]) -> WareStock:
    return WareStock(
        kind=WareKind(cells["ware"]), place=PlaceId(cells["place"]), units=int(cells["units"])
    )


def _lot(cells: Mapping[str, str], *, as_of: date, read: tuple["_LotRead", ...]) -> Lot:
    kind = LabelKind(cells["label"])
    repacked_ago = cells["repacked_ago"]
    return Lot(
        id=LotId(cells["lot"]),
        food=FoodId(cells["food"]),
        place=PlaceId(cells["place"]),
        units=int(cells["units"]),
        owner=HouseholdId(cells["owner"]) if cells["owner"] else None,
        is_shared=yes_no(cells["shared"]),
        units_promised=optional_int(cells["promised"], most=1_000_000) or 0,
        net_mass_g=optional_number(cells["net_mass_g"]),
        label_kind=kind,
        printed=None if kind is LabelKind.UNLABELLED else _printed(cells, as_of=as_of),
        repacked_on=as_of - offset(repacked_ago) if repacked_ago else None,
        condition=Condition(cells["condition"]),
        readings=tuple(one.reading for one in read if one.lot == cells["lot"]),
    )


def _printed(cells: Mapping[str, str], *, as_of: date) -> str:
    day = as_of + offset(cells["printed_in"])
    return day.isoformat()[: _PRINTED_LENGTH[cells["precision"]]]


@dataclass(frozen=True, slots=True)
class _LotRead:
    lot: LotId
    reading: LabelReading


def _label(cells: Mapping[str, str], *, as_of: date) -> _LotRead:
    """Read what somebody copied from a lot's label; a lot that two people read stands twice."""
    packed_in = cells["packed_in"]
    reading = LabelReading(
        claims=frozenset(Claim(word) for word in listed(cells["claims"])),
        text=cells["text"].replace(_LINE_BREAK, "\n"),
        is_whole=yes_no(cells["is_whole"]),
        regime=Regime(cells["regime"]),
        packed_on=as_of + offset(packed_in) if packed_in else None,
    )
    return _LotRead(LotId(cells["lot"]), reading)
