"""Claims about rounds over the API: what is due, who is told what, what is recorded of it."""

import pytest

from daysworth.domain.entries import Role
from tests.api.clients import Api, Json, problem, told
from tests.api.test_lots import objects
from tests.db.kit_grounds import kits_balance, pack, to_pack
from tests.grounds import (
    CELLAR,
    OTHER_HOME,
    PEANUT_HOME,
    SHELF,
    books_balance,
    box,
    lots_of,
    put_up,
    version_of,
)
from tests.partner_grounds import add_kitchen, promise_to_kitchen

ROUND = "rounds/2026-09-01"
PEANUT_BUTTER = "peanut_butter_smooth"

Round = dict[str, Json]


def plan(api: Api) -> Round:
    """Read the plan of the round of the day."""
    found = api.get(ROUND)["plan"]
    assert isinstance(found, dict)
    return found


def proposals(read: Round) -> dict[Json, Round]:
    """Give the proposals of a plan by their names, place by place."""
    return {
        one["proposal"]: one
        for place in objects(read, "worklist")
        for one in objects(place, "proposals")
    }


def settle(api: Api, role: Role = Role.COORDINATOR, **body: Json) -> Round:
    """Settle something at the round, which must be recorded."""
    return told(api.ask("POST", f"{ROUND}/settle", role=role, body=body), 201)


def stock(api: Api) -> dict[str, str]:
    """Put up what is due, what is past, what is damaged and what keeps, and give their lots."""
    due, past, damaged, keeps = put_up(
        api.engine,
        box(4, printed="2027-01-31"),
        box(3, printed="2026-08-31"),
        box(2, condition="damaged"),
        box(5, printed="2029-01"),
    )
    return {"due": due.id, "past": past.id, "damaged": damaged.id, "keeps": keeps.id}


def test_rounds_to_come_are_listed_by_the_stores_rule(api: Api) -> None:
    found = api.get("rounds", role=Role.VOLUNTEER)
    assert found["latest_on"] == "2026-09-01"
    assert found["coming"] == ["2027-03-01", "2027-09-01", "2028-03-01", "2028-09-01"]
    assert found["records"] == []


def test_what_is_due_has_one_proposal_each_and_what_keeps_has_none(api: Api) -> None:
    lots = stock(api)
    read = plan(api)
    found = proposals(read)
    assert set(found) == {f"lot:{lots[one]}" for one in ("due", "past", "damaged")}
    assert (read["round_on"], read["next_round_on"], read["due"]) == ("2026-09-01", "2027-03-01", 3)
    assert found[f"lot:{lots['due']}"]["action"] == "eat_first"
    past = found[f"lot:{lots['past']}"]
    assert (past["action"], past["words"]) == ("discard", "throw away: it is past its date")
    discarded = next(one for one in objects(read, "totals") if one["action"] == "discard")
    assert discarded["units"] == 5
    assert all(one["text"] for one in objects(read, "cautions"))


def test_places_are_worked_in_walking_order(api: Api) -> None:
    put_up(api.engine, box(2, printed="2027-01"), box(2, printed="2026-12", place=CELLAR))
    first = [one["place"] for one in objects(plan(api), "worklist")]
    tag = api.ask("GET", f"places/{CELLAR}").headers["etag"]
    body = {"name": "Cellar", "walk_position": 9}
    told(api.ask("PUT", f"places/{CELLAR}", body=body, headers={"If-Match": tag}), 200)
    assert (first, [one["place"] for one in objects(plan(api), "worklist")]) == (
        [CELLAR, SHELF],
        [SHELF, CELLAR],
    )


def test_who_packs_is_told_parcels_and_no_household(api: Api) -> None:
    stock(api)
    put_up(api.engine, box(2, food=PEANUT_BUTTER, printed="2026-12"))
    mine = api.ask("GET", f"{ROUND}/worklist")
    theirs = api.ask("GET", f"{ROUND}/worklist", role=Role.VOLUNTEER)
    assert OTHER_HOME in mine.text
    assert OTHER_HOME not in theirs.text
    assert PEANUT_HOME not in theirs.text
    assert "parcel 1" in theirs.text
    assert mine.headers["etag"] != theirs.headers["etag"]
    problem(api.ask("GET", ROUND, role=Role.VOLUNTEER), 403)


def test_nobody_is_proposed_what_does_not_suit_them(api: Api) -> None:
    (butter,) = put_up(api.engine, box(2, food=PEANUT_BUTTER, printed="2026-12"))
    proposal = proposals(plan(api))[f"lot:{butter.id}"]
    assert {one["household"] for one in objects(proposal, "portions")} == {OTHER_HOME}


def test_an_unchanged_worklist_is_not_sent_again(api: Api) -> None:
    stock(api)
    tag = api.ask("GET", f"{ROUND}/worklist").headers["etag"]
    again = api.ask("GET", f"{ROUND}/worklist", headers={"If-None-Match": tag})
    assert (again.status_code, again.content) == (304, b"")
    put_up(api.engine)
    assert api.ask("GET", f"{ROUND}/worklist", headers={"If-None-Match": tag}).status_code == 200


def test_proposals_are_accepted_in_bulk_and_what_may_still_be_eaten_stays(api: Api) -> None:
    lots = stock(api)
    (more,) = put_up(api.engine, box(5_000, printed="2026-09-20"))
    read = plan(api)
    proposal = proposals(read)[f"lot:{more.id}"]
    assert proposal["rest_action"] == "discard"
    done = settle(api, accept="all", version=read["version"], as_of=read["as_of"])
    after = {id_: lot.units for id_, lot in lots_of(api.engine).items()}
    assert [after[lots[one]] for one in ("due", "past", "damaged", "keeps")] == [0, 0, 0, 5]
    assert after[more.id] == proposal["rest_units"]
    (left,) = objects(done, "left")
    assert left["lot"] == more.id
    assert str(left["words"]).endswith("thrown away only on 21 September 2026")
    outcomes = {(one["lot"], one["outcome"]) for one in objects(done, "settled")}
    assert (lots["due"], "eaten") in outcomes
    assert (lots["damaged"], "discarded") in outcomes
    assert books_balance(api.engine)


def test_what_finds_no_home_goes_to_a_partner_on_its_next_visit(api: Api) -> None:
    """The kitchen receives on 8 September, and what is past on that day it does not take."""
    soon, sooner = put_up(
        api.engine, box(4_000, printed="2026-09-08"), box(3_000, printed="2026-09-07")
    )
    add_kitchen(api.engine)
    read = plan(api)
    by_lot = proposals(read)
    goes, stays = by_lot[f"lot:{soon.id}"], by_lot[f"lot:{sooner.id}"]
    assert (goes["rest_action"], goes["rest_on"]) == ("hand_off", "2026-09-08")
    assert goes["partner_name"] == "Lantern Kitchen (invented)"
    assert (stays["rest_action"], stays["partner_name"]) == ("discard", None)
    done = settle(api, accept=[f"lot:{soon.id}"], version=read["version"])
    (left,) = objects(done, "left")
    assert left["units"] == goes["rest_units"] == lots_of(api.engine)[soon.id].units
    assert "can go to Lantern Kitchen (invented) on 8 September 2026" in str(left["words"])
    promise_to_kitchen(api.engine, (soon, int(str(left["units"]))))
    assert f"lot:{soon.id}" not in proposals(plan(api))


def test_some_proposals_are_accepted_and_the_others_stay(api: Api) -> None:
    lots = stock(api)
    read = plan(api)
    settle(api, Role.VOLUNTEER, accept=[f"lot:{lots['past']}"], version=read["version"])
    assert set(proposals(plan(api))) == {f"lot:{lots[one]}" for one in ("due", "damaged")}


def test_proposals_are_accepted_at_the_version_they_were_read_at(api: Api) -> None:
    stock(api)
    read = plan(api)
    put_up(api.engine)
    before = lots_of(api.engine)
    body = {"accept": "all", "version": read["version"]}
    refused = api.ask("POST", f"{ROUND}/settle", body=body)
    assert "changed since the round was read" in str(problem(refused, 412)["detail"])
    other_day = {"accept": "all", "version": plan(api)["version"], "as_of": "2026-08-31"}
    problem(api.ask("POST", f"{ROUND}/settle", body=other_day), 412)
    assert lots_of(api.engine) == before


def test_accepting_twice_with_one_key_settles_once(api: Api) -> None:
    stock(api)
    body = {"accept": "all", "version": plan(api)["version"]}
    first = api.ask("POST", f"{ROUND}/settle", body=body, key="round-1")
    again = api.ask("POST", f"{ROUND}/settle", body=body, key="round-1")
    assert told(first, 201) == told(again, 201)


def test_decisions_of_ones_own_are_recorded_with_mass_and_energy(api: Api) -> None:
    lots = stock(api)
    done = settle(
        api,
        Role.VOLUNTEER,
        decisions=[
            {"lot": lots["due"], "units": 1, "outcome": "eaten"},
            {"lot": lots["due"], "units": 2, "outcome": "given", "to": "the shelter"},
            {"lot": lots["past"], "units": 3, "outcome": "discarded", "why": "past its date"},
        ],
    )
    record = done["record"]
    assert isinstance(record, dict)
    by_way = {way: record[way]["units"] for way in ("pulled", "eaten", "given", "discarded")}  # type: ignore[call-overload, index]
    assert by_way == {"pulled": 6, "eaten": 1, "given": 2, "discarded": 3}
    assert record["discarded_share"] == 0.5
    listed = objects(api.get(f"{ROUND}/record?limit=2", role=Role.SCRIPT), "items")
    assert [one["outcome"] for one in listed] == ["eaten", "given"]
    assert {one["food_name"] for one in listed} == {"Pink salmon, tinned"}
    assert listed[1]["mass_g"] == pytest.approx(2 * float(str(listed[0]["mass_g"])))
    assert api.get(ROUND)["record"] == record


def test_waste_is_seen_falling_from_one_round_to_the_next(api: Api) -> None:
    lots = stock(api)
    of_past: Round = {
        "lot": lots["past"],
        "units": 2,
        "outcome": "discarded",
        "why": "past its date",
    }
    of_due: Round = {"lot": lots["due"], "units": 2, "outcome": "eaten"}
    spring = {"decisions": [of_past, of_due]}
    told(api.ask("POST", "rounds/2026-03-01/settle", body=spring), 201)
    settle(api, decisions=[{**of_past, "units": 1}, {**of_due, "units": 2}])
    latest, before = objects(api.get("rounds"), "records")
    assert (latest["round_on"], before["round_on"]) == ("2026-09-01", "2026-03-01")
    assert latest["discarded_share_before"] == 0.5
    assert latest["discarded_share_change"] == pytest.approx(1 / 3 - 1 / 2, abs=1e-6)
    assert before["discarded_share_change"] is None
    assert "16.7 points less than at the round of 1 March 2026" in str(latest["words"])


def test_a_due_kit_is_eaten_whole_or_unpacked(api: Api) -> None:
    (lot,) = put_up(api.engine, box(6, printed="2027-01"))
    first, second = pack(api.engine, to_pack((lot, 2), persons=1), to_pack((lot, 2)))
    found = proposals(plan(api))
    assert found[f"kit:{first.id}"]["action"] in ("eat_whole", "unpack")
    decisions: list[Json] = [
        {"kit": first.id, "outcome": "eaten"},
        {"kit": second.id, "outcome": "unpacked"},
    ]
    done = settle(api, decisions=decisions)
    assert {one["kit"] for one in objects(done, "settled")} == {first.id, second.id}
    record = done["record"]
    assert isinstance(record, dict)
    assert [record[one]["units"] for one in ("eaten", "unpacked", "pulled")] == [2, 2, 2]  # type: ignore[call-overload, index]
    assert kits_balance(api.engine)


@pytest.mark.parametrize(
    ("body", "where"),
    [
        ({}, ""),
        ({"accept": "all"}, ""),
        ({"accept": [], "version": 1}, "accept"),
        ({"accept": ["lot:none"], "version": None}, "accept number 1"),
        ({"decisions": [{"outcome": "eaten"}]}, "decisions number 1"),
        ({"decisions": [{"outcome": "sold", "lot": "L", "units": 1}]}, "decisions number 1"),
        ({"decisions": [{"outcome": "eaten", "lot": "L", "units": 0}]}, "decisions number 1"),
        ({"decisions": [{"outcome": "eaten", "lot": "none", "units": 1}]}, "decisions number 1"),
        ({"decisions": [{"outcome": "eaten", "kit": "none"}]}, "decisions number 1"),
        ({"decisions": [{"outcome": "eaten", "lot": "L", "units": 1}] * 501}, "decisions"),
    ],
)
def test_what_cannot_be_settled_is_refused_naming_the_field(
    api: Api, body: Round, where: str
) -> None:
    stock(api)
    before = (lots_of(api.engine), version_of(api.engine))
    if body.get("version", 0) is None:
        body = {**body, "version": plan(api)["version"]}
    refused = problem(api.ask("POST", f"{ROUND}/settle", body=body), 422)
    assert str(objects(refused, "faults")[0]["where"]).startswith(where)
    assert (lots_of(api.engine), version_of(api.engine)) == before


@pytest.mark.parametrize("role", [Role.COORDINATOR, Role.VOLUNTEER])
def test_what_is_handed_off_needs_a_taker_and_what_is_discarded_a_reason(
    api: Api, role: Role
) -> None:
    lots = stock(api)
    for outcome, field in (("given", "to"), ("discarded", "why")):
        body = {"decisions": [{"lot": lots["due"], "units": 1, "outcome": outcome}]}
        refused = problem(api.ask("POST", f"{ROUND}/settle", role=role, body=body), 422)
        assert objects(refused, "faults")[0]["where"] == f"decisions number 1 > {field}"


@pytest.mark.parametrize("day", ["2026-09-02", "2030-03-01", "1999-03-01", "2027-03-01"])
def test_a_day_of_no_round_is_refused_in_words(api: Api, day: str) -> None:
    problem(api.ask("GET", f"rounds/{day}"), 422)
    problem(api.ask("GET", f"rounds/{day}/worklist"), 422)
    body = {"decisions": [{"lot": "L", "units": 1, "outcome": "eaten"}]}
    problem(api.ask("POST", f"rounds/{day}/settle", body=body), 422)


@pytest.mark.parametrize("day", ["soon", "2026-13-01", "2026-9-1", "0001-01-01", "9999-12-31"])
def test_what_is_no_day_is_refused(api: Api, day: str) -> None:
    for path in (f"rounds/{day}", f"rounds/{day}/worklist"):
        problem(api.ask("GET", path), 422)


def test_a_due_kit_that_changed_since_it_was_put_up_is_not_eaten_unseen(api: Api) -> None:
    (lot,) = put_up(api.engine, box(6, printed="2027-01"))
    kit, _ = pack(api.engine, to_pack((lot, 2), persons=1), to_pack((lot, 2)))
    assert proposals(plan(api))[f"kit:{kit.id}"]["action"] == "eat_whole"
    held = kit.kit.items[0].lot
    tag = api.ask("GET", f"lots/{held}").headers["ETag"]
    body = {"label_kind": "best_by", "printed": "2027-01-15"}
    told(api.ask("POST", f"lots/{held}/date", body=body, headers={"If-Match": tag}), 201)
    read = plan(api)
    assert proposals(read)[f"kit:{kit.id}"]["action"] == "eat_whole"
    done = settle(api, accept="all", version=read["version"])
    assert f"kit:{kit.id}" in {one["proposal"] for one in objects(done, "left")}
    assert kit.id not in {one["kit"] for one in objects(done, "settled")}
    assert kits_balance(api.engine)
