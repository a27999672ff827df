"""Put pseudonyms in the place of households and members, so that a kept export names nobody.

A pseudonym is HMAC-SHA256 (RFC 2104) of an id under a store's secret key, cut to 80 bits: the same
home has the same pseudonym in every week's export, so that weeks can be compared, and nobody
without the key can find it from an id. What is guarded is an export that is read by itself: which
home has which allergy is not in it. The order of homes and of members is by pseudonym, since the
order by id would tell which is which; what members dislike, which no plan needs, is left out, and
so are the words on a kit that was put up for a home, which may name it, and whom to call or who
drives to a partner. Whoever holds the key beside the export, or the store's own tables, can tell
the homes apart.

No plan depends on an id or an order, so the coverage of what is pseudonymous is that of the
original, the households' ids aside.
"""

import hmac
from base64 import b32encode
from collections.abc import Mapping
from dataclasses import replace
from hashlib import sha256
from typing import Final

from daysworth.domain.identifiers import HouseholdId, MemberId
from daysworth.domain.lots import Lot
from daysworth.domain.meal_kits import MealKit
from daysworth.domain.partners import Partner
from daysworth.domain.people import Household, Member
from daysworth.domain.snapshot import Snapshot

KEY_BYTES: Final = 32
KIT_FOR_ONE_HOME: Final = "kit for one home"
_PSEUDONYM_BYTES: Final = 10


def household_pseudonym(id_: HouseholdId, *, key: bytes) -> HouseholdId:
    """Give the pseudonym of a household."""
    return HouseholdId("P-" + _pseudonym("household", id_, key=key))


def _member_pseudonym(id_: MemberId, *, key: bytes) -> MemberId:
    return MemberId("Q-" + _pseudonym("member", id_, key=key))


def _pseudonym(kind: str, id_: str, *, key: bytes) -> str:
    said = f"{kind}\0{id_}".encode("utf-8", "surrogatepass")
    return b32encode(hmac.digest(key, said, sha256)[:_PSEUDONYM_BYTES]).decode()


def pseudonymous(snapshot: Snapshot, *, key: bytes) -> Snapshot:
    """Give a snapshot with pseudonyms in the place of its households and members."""
    homes = [_pseudonymous(home, key=key) for home in snapshot.households]
    names = {home.id: household_pseudonym(home.id, key=key) for home in snapshot.households}
    return replace(
        snapshot,
        households=tuple(sorted(homes, key=lambda home: home.id)),
        lots=_owned_by(snapshot.lots, names),
        kits=tuple(_wordless(kit) for kit in _put_up_for(snapshot.kits, names)),
        partners=tuple(_without_people(partner) for partner in snapshot.partners),
    )


def _without_people(partner: Partner) -> Partner:
    windows = tuple(
        replace(window, driver="", appointment="", contact="") for window in partner.windows
    )
    return replace(partner, contact="", notes="", windows=windows)


def _wordless(kit: MealKit) -> MealKit:
    if kit.household is None:
        return kit
    return replace(kit, name=KIT_FOR_ONE_HOME, waivers=(), steps=(), may_be_warmed=None)


def _pseudonymous(home: Household, *, key: bytes) -> Household:
    members: list[Member] = [
        replace(member, id=_member_pseudonym(member.id, key=key), dislikes=())
        for member in home.members
    ]
    members.sort(key=lambda member: member.id)
    return replace(home, id=household_pseudonym(home.id, key=key), members=tuple(members))


def recognised(snapshot: Snapshot, *, of: Snapshot, key: bytes) -> Snapshot:
    """Give a pseudonymous snapshot with the ids of those households that another has, too.

    A household that the other does not have keeps its pseudonym, and so do all members.
    """
    names = {household_pseudonym(home.id, key=key): home.id for home in of.households}
    homes = [replace(home, id=names.get(home.id, home.id)) for home in snapshot.households]
    return replace(
        snapshot,
        households=tuple(sorted(homes, key=lambda home: home.id)),
        lots=_owned_by(snapshot.lots, names),
        kits=_put_up_for(snapshot.kits, names),
    )


def _put_up_for(
    kits: tuple[MealKit, ...], names: Mapping[HouseholdId, HouseholdId]
) -> tuple[MealKit, ...]:
    return tuple(
        kit
        if kit.household is None
        else replace(kit, household=names.get(kit.household, kit.household))
        for kit in kits
    )


def _owned_by(lots: tuple[Lot, ...], names: Mapping[HouseholdId, HouseholdId]) -> tuple[Lot, ...]:
    return tuple(
        lot if lot.owner is None else replace(lot, owner=names.get(lot.owner, lot.owner))
        for lot in lots
    )
