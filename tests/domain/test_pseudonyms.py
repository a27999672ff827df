"""Claims about pseudonyms: they name nobody, the same home has the same one, and no order tells."""

import hashlib
import json
from base64 import b32encode
from dataclasses import replace

import pytest

from daysworth.answers.coverage import answer_coverage, to_json
from daysworth.demo.neighbourhood import neighbourhood
from daysworth.domain.identifiers import HouseholdId
from daysworth.domain.pseudonyms import household_pseudonym, pseudonymous, recognised
from daysworth.domain.snapshot import Snapshot
from daysworth.planners.scenario import Scenario
from tests.db.promise_grounds import PARTNER
from tests.planners.how_many import times
from tests.planners.small_stores import AS_OF, small_store

KEY = bytes(range(32))
OTHER_KEY = bytes(range(1, 33))


def ids_of(snapshot: Snapshot) -> set[str]:
    """Give every id of a household or a member that stands anywhere in a snapshot."""
    homes = {str(home.id) for home in snapshot.households}
    members = {str(member.id) for home in snapshot.households for member in home.members}
    return homes | members | {str(lot.owner) for lot in snapshot.lots if lot.owner is not None}


def test_a_pseudonym_is_hmac_sha256_cut_to_80_bits() -> None:
    # RFC 2104, written out: H(K xor opad, H(K xor ipad, text)) with blocks of 64 bytes.
    block = KEY.ljust(64, b"\0")
    inner = hashlib.sha256(bytes(b ^ 0x36 for b in block) + b"household\0H-1").digest()
    outer = hashlib.sha256(bytes(b ^ 0x5C for b in block) + inner).digest()
    expected = "P-" + b32encode(outer[:10]).decode()
    assert household_pseudonym(HouseholdId("H-1"), key=KEY) == expected


def test_no_household_and_no_member_is_named() -> None:
    before = neighbourhood(AS_OF)
    after = pseudonymous(before, key=KEY)
    assert len(ids_of(after)) == len(ids_of(before))
    assert not ids_of(after) & ids_of(before)


def test_whom_to_call_and_who_drives_to_a_partner_is_left_out() -> None:
    window = replace(
        PARTNER.windows[0], driver="Wren Ashdown", appointment="ask Wren", contact="Wren"
    )
    partner = replace(PARTNER, contact="Wren", notes="Wren has the key", windows=(window,))
    before = replace(neighbourhood(AS_OF), partners=(partner,), promises=())
    (after,) = pseudonymous(before, key=KEY).partners
    assert "Wren" not in repr(after)
    assert (after.id, after.name, after.rules) == (partner.id, partner.name, partner.rules)
    assert after.windows[0].recurrence == window.recurrence
    assert after.windows[0].most_kg == window.most_kg


def test_the_same_home_has_the_same_pseudonym_and_under_another_key_another() -> None:
    before = neighbourhood(AS_OF)
    again, other = pseudonymous(before, key=KEY), pseudonymous(before, key=OTHER_KEY)
    assert again == pseudonymous(before, key=KEY)
    assert not ids_of(again) & ids_of(other)


def test_neither_homes_nor_members_stand_in_the_order_of_their_ids() -> None:
    after = pseudonymous(neighbourhood(AS_OF), key=KEY)
    homes = [home.id for home in after.households]
    assert homes == sorted(homes)
    for home in after.households:
        members = [member.id for member in home.members]
        assert members == sorted(members)
        assert not any(member.dislikes for member in home.members)


@pytest.mark.parametrize("seed", range(times(12)))
def test_the_coverage_is_that_of_the_original_but_for_the_households_ids(seed: int) -> None:
    snapshot, scenario = small_store(seed)
    names = {home.id: household_pseudonym(home.id, key=KEY) for home in snapshot.households}
    hidden = Scenario(
        heating=scenario.heating,
        running_water=scenario.running_water,
        stock=scenario.stock,
        places_lost=scenario.places_lost,
        households_away=frozenset(names[home] for home in scenario.households_away),
        basis=scenario.basis,
        ration=scenario.ration,
        horizon_days=scenario.horizon_days,
    )
    first = answer_coverage(snapshot, AS_OF, scenario=scenario)
    second = answer_coverage(pseudonymous(snapshot, key=KEY), AS_OF, scenario=hidden)
    assert renamed(to_json(first), names) == renamed(to_json(second), {})


def renamed(written: str, names: dict[HouseholdId, HouseholdId]) -> str:
    """Put pseudonyms in an answer, where it names households, and order ties by them."""
    answer = json.loads(written)
    for home in answer["households"]:
        home["household"] = names.get(home["household"], home["household"])
    answer["households"].sort(
        key=lambda one: (one["days"] is None, one["days"] or 0.0, one["household"])
    )
    for lot in answer["will_spoil"]["lots"]:
        lot["kept_by"] = names.get(lot["kept_by"], lot["kept_by"])
    away = answer["scenario"]["households_away"]
    answer["scenario"]["households_away"] = sorted(names.get(home, home) for home in away)
    return json.dumps(answer)


@pytest.mark.parametrize("seed", range(40, 40 + times(6)))
def test_recognised_again_the_coverage_is_the_originals_to_the_byte(seed: int) -> None:
    snapshot, scenario = small_store(seed)
    back = recognised(pseudonymous(snapshot, key=KEY), of=snapshot, key=KEY)
    first = answer_coverage(snapshot, AS_OF, scenario=scenario)
    assert to_json(answer_coverage(back, AS_OF, scenario=scenario)) == to_json(first)


def test_a_home_that_another_snapshot_does_not_have_keeps_its_pseudonym() -> None:
    whole = neighbourhood(AS_OF)
    gone = whole.households[0].id
    fewer, _ = small_store(1)
    back = recognised(pseudonymous(whole, key=KEY), of=fewer, key=KEY)
    assert household_pseudonym(gone, key=KEY) in {home.id for home in back.households}
    assert not {home.id for home in back.households} & {home.id for home in whole.households}
