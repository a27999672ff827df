"""Claims about lots over the API: what comes in, what is done with it, what the ledger keeps."""

from collections.abc import Iterator
from datetime import timedelta
from urllib.parse import parse_qs, urlsplit

import httpx
import pytest

from daysworth.domain.entries import Role
from tests.api.clients import Api, Json, problem, told
from tests.grounds import (
    CELLAR,
    OTHER_HOME,
    PEANUT_HOME,
    SALMON,
    SHELF,
    books_balance,
    entries_by_lot,
    lots_of,
    version_of,
)

Lot = dict[str, Json]
DATED: Lot = {"label_kind": "best_by", "printed": "2028-09"}
TINS: Lot = {"place": SHELF, "food": SALMON, "units": 6, **DATED}
JARS: Lot = {"place": SHELF, "words": "jars of something red", "units": 3}
OWN: Lot = {**TINS, "owner": PEANUT_HOME, "is_shared": False}


def objects(told_of: Lot, name: str) -> list[Lot]:
    """Give the objects of a list in an answer."""
    listed = told_of[name]
    assert isinstance(listed, list)
    found = [one for one in listed if isinstance(one, dict)]
    assert len(found) == len(listed)
    return found


def log(api: Api, *boxes: Lot, role: Role = Role.COORDINATOR) -> list[Lot]:
    """Log boxes, and give their lots."""
    lines = objects(api.post("intake", {"lines": list(boxes or (TINS,))}, role=role), "lines")
    return [line["lot"] for line in lines if isinstance(line["lot"], dict)]


def do(
    api: Api, lot: Lot, *, to: str, role: Role = Role.COORDINATOR, tag: Json = None, **body: Json
) -> httpx.Response:
    """Do something with a lot; with its entity tag where one is given."""
    headers = {} if tag is None else {"If-Match": str(tag)}
    return api.ask("POST", f"lots/{lot['id']}/{to}", role=role, body=body, headers=headers)


def after(answer: httpx.Response) -> list[Lot]:
    """Give the lots that a deed was about."""
    done = told(answer, 201)
    return objects(done, "lots") if "lots" in done else [done]


def written(api: Api, lot: Lot) -> list[tuple[Json, Json, Json]]:
    """Give the kind, the units and the reason of every entry of a lot."""
    entries = objects(api.get(f"ledger?lot={lot['id']}"), "items")
    return [(entry["kind"], entry["units"], entry["why"]) for entry in entries]


def pages(api: Api, asked: str) -> Iterator[list[Lot]]:
    """Follow a list to its end, by `next` and by the Link header, which must agree."""
    link: Json = asked
    while link is not None:
        answer = api.ask("GET", str(link))
        page = told(answer, 200)
        yield objects(page, "items")
        link = page["next"]
        header = None if link is None else f'<{link}>; rel="next"'
        assert answer.headers.get("Link") == header


def test_a_box_becomes_a_lot(api: Api) -> None:
    answer = api.ask("POST", "intake", role=Role.VOLUNTEER, body={"lines": [TINS]})
    (line,) = objects(told(answer, 201), "lines")
    lot = line.pop("lot")
    assert isinstance(lot, dict)
    name = "Pink salmon, tinned"
    assert line == {"food_name": name, "last_good_day": "2028-09-30", "warnings": []}
    assert lot == {
        **TINS,
        **dict.fromkeys(("words", "owner", "net_mass_g", "opened_on", "repacked_on")),
        **dict.fromkeys(("reading", "pack_code")),
        "id": lot["id"],
        "etag": '"r1"',
        "units_free": 6,
        "is_shared": True,
        "condition": "sound",
    }
    assert api.get(f"lots/{lot['id']}", role=Role.SCRIPT) == lot
    assert written(api, lot) == [("received", 6, None)]


def test_many_boxes_are_saved_in_the_order_they_were_sent(api: Api) -> None:
    before = version_of(api.engine)
    read = {"contains": ["fish"], "free_from": ["peanut", "milk"]}
    label = {"reading": read, "pack_code": "R7", "net_mass_g": 170.5, "giver": "a neighbour"}
    cases = {"units": None, "cases": 4, "units_per_case": 12}
    lots = log(api, {**TINS, **cases}, {**TINS, **label}, {**OWN, "place": CELLAR})  # type: ignore[dict-item]
    assert [lot["units"] for lot in lots] == [48, 6, 6]
    assert (lots[1]["pack_code"], lots[1]["net_mass_g"]) == ("R7", 170.5)
    assert [lot["reading"] is None for lot in lots] == [True, False, True]
    assert (lots[2]["owner"], lots[2]["is_shared"]) == (PEANUT_HOME, False)
    (entry,) = objects(api.get(f"ledger?lot={lots[1]['id']}"), "items")
    kept = '{"contains":["fish"],"free_from":["milk","peanut"],"language":"en"}'
    assert entry["detail"] == {"giver": "a neighbour", "reading": kept}
    assert version_of(api.engine) == before + 1
    assert books_balance(api.engine)


@pytest.mark.parametrize(
    ("wrong", "fault"),
    [
        ({"food": "moonfish"}, "food: there is no food 'moonfish'"),
        ({"place": "attic"}, "place: there is no place 'attic'"),
        ({"owner": "H-none"}, "owner: there is no household 'H-none'"),
        ({"printed": "2028-13"}, "printed: "),
        ({"units": 0}, "units: must be 1 or more"),
        ({"units": True}, "units: must be a whole number"),
        ({"cases": 2}, ": give units, or cases and units_per_case"),
        ({"units": None, "cases": 2}, ": give units, or cases and units_per_case"),
        ({"words": "tins"}, ": name a food of the catalogue, or say in words what it is"),
        ({"printed": None}, ": a label has a kind and a printed date, or neither"),
        ({"is_shared": False}, ": a lot that is not shared needs an owner"),
    ],
)
def test_one_wrong_box_saves_none(api: Api, wrong: Lot, fault: str) -> None:
    before = version_of(api.engine)
    answer = api.ask("POST", "intake", body={"lines": [TINS, {**TINS, **wrong}]})
    (found,) = objects(problem(answer, 422), "faults")
    where = str(found["where"]).removeprefix("lines number 2").removeprefix(" > ")
    assert f"{where}: {found['what']}".startswith(fault)
    assert str(found["where"]).startswith("lines number 2")
    assert (lots_of(api.engine), version_of(api.engine)) == ({}, before)


@pytest.mark.parametrize(
    ("box", "day", "about"),
    [
        ({**TINS, "printed": "2027-03-01"}, "2027-03-01", []),
        ({**TINS, "printed": "2027-02"}, "2027-02-28", ["keeps_too_short"]),
        ({**TINS, "printed": "2026-09-01"}, "2026-09-01", ["keeps_too_short"]),
        ({**TINS, "printed": "2026-08-31"}, "2026-08-31", ["past_date"]),
        ({"place": SHELF, "food": SALMON, "units": 1}, None, ["undated"]),
        ({**TINS, "condition": "damaged"}, "2028-09-30", ["damaged"]),
        (JARS, None, ["not_in_list"]),
        ({**JARS, "condition": "damaged"}, None, ["damaged", "not_in_list"]),
    ],
)
def test_a_box_worth_a_second_look_is_saved_with_a_warning(
    api: Api, box: Lot, day: str | None, about: list[str]
) -> None:
    (line,) = objects(api.post("intake", {"lines": [box]}), "lines")
    assert line["last_good_day"] == day
    assert [one["about"] for one in objects(line, "warnings")] == about
    assert all(str(one["text"]) for one in objects(line, "warnings"))
    assert sum(entries_by_lot(api.engine).values()) == box["units"]


def test_a_household_logs_its_own_stock_and_no_other(api: Api) -> None:
    (lot,) = log(api, OWN, role=Role.HOUSEHOLD)
    for other in (TINS, {**TINS, "owner": OTHER_HOME}):
        problem(api.ask("POST", "intake", role=Role.HOUSEHOLD, body={"lines": [other]}), 403)
    assert list(lots_of(api.engine)) == [lot["id"]]
    (shared,) = log(api)
    problem(api.ask("GET", f"lots/{shared['id']}", role=Role.HOUSEHOLD), 404)
    problem(do(api, shared, to="use", units=1, role=Role.HOUSEHOLD), 404)
    listed = objects(api.get(f"lots?owner={OTHER_HOME}", role=Role.HOUSEHOLD), "items")
    assert listed == [lot]


def test_a_part_is_moved_and_becomes_a_lot_there(api: Api) -> None:
    (lot,) = log(api)
    left, moved = after(do(api, lot, to="move", place=CELLAR, units=2, why="it is cooler"))
    assert (left["id"], left["place"], left["units"]) == (lot["id"], SHELF, 4)
    assert moved == {**lot, "id": moved["id"], "place": CELLAR, "units": 2, "units_free": 2}
    assert written(api, lot)[1:] == [("moved", -2, "it is cooler")]
    assert written(api, moved) == [("moved", 2, "it is cooler")]
    (whole,) = after(do(api, left, to="move", place=CELLAR))
    assert (whole["id"], whole["place"], whole["units"]) == (lot["id"], CELLAR, 4)
    problem(do(api, whole, to="move", place=CELLAR), 409)
    problem(do(api, whole, to="move", place="attic"), 404)
    problem(do(api, whole, to="move", place=SHELF, units=5), 409)


def test_opened_units_become_a_lot_of_their_own(api: Api) -> None:
    (lot,) = log(api)
    left, opened = after(do(api, lot, to="open", units=2, opened_on="2026-08-31"))
    assert (left["units"], left["opened_on"]) == (4, None)
    assert (opened["units"], opened["opened_on"]) == (2, "2026-08-31")
    assert after(do(api, left, to="open"))[1]["opened_on"] == "2026-09-01"
    problem(do(api, opened, to="open"), 409)
    problem(do(api, left, to="open", opened_on="2026-09-02"), 422)
    problem(do(api, left, to="open", units=4), 409)
    assert [n for _, n, _ in written(api, lot)] == [6, -2, -1]


def test_repacked_units_become_smaller_packs(api: Api) -> None:
    lot, jars = log(api, TINS, JARS)
    packs: Lot = {"units": 2, "into_units": 5, "net_mass_g": 80.0}
    left, new = after(do(api, lot, to="repack", **packs))  # type: ignore[arg-type]
    assert (left["units"], left["net_mass_g"]) == (4, None)
    assert (new["units"], new["net_mass_g"], new["repacked_on"]) == (5, 80.0, "2026-09-01")
    assert written(api, new) == [("repacked", 5, None)]
    refused = problem(do(api, jars, to="repack", **packs), 409)  # type: ignore[arg-type]
    assert refused["detail"] == "Say first what food this is; then it can be repacked."


@pytest.mark.parametrize(
    ("deed", "body"),
    [("open", {}), ("repack", {"into_units": 4, "net_mass_g": 100.0}), ("move", {"place": CELLAR})],
)
def test_a_reason_stands_on_both_entries_where_a_lot_is_parted(
    api: Api, deed: str, body: Lot
) -> None:
    (lot,) = log(api)
    _, part = after(do(api, lot, to=deed, units=1, why="for the round", **body))  # type: ignore[arg-type]
    reasons = [why for _, _, why in (*written(api, lot)[1:], *written(api, part))]
    assert reasons == ["for the round", "for the round"]


def test_a_date_is_put_right_at_the_revision_that_was_seen(api: Api) -> None:
    (lot,) = log(api)
    new: Lot = {"label_kind": "use_by", "printed": "2027-01-05"}
    answer = do(api, lot, to="date", tag=lot["etag"], **new)  # type: ignore[arg-type]
    (dated,) = after(answer)
    assert dated == {**lot, **new, "etag": '"r2"'}
    assert answer.headers["ETag"] == '"r2"'
    problem(do(api, lot, to="date", tag='"r1"', label_kind="unlabelled"), 412)
    problem(do(api, lot, to="date", label_kind="unlabelled"), 428)
    problem(do(api, lot, to="date", tag='"r2"', label_kind="use_by"), 422)
    problem(do(api, lot, to="date", tag='"r2"', label_kind="use_by", printed="2027-02-30"), 422)
    assert api.get(f"lots/{lot['id']}") == dated
    entry = objects(api.get(f"ledger?lot={lot['id']}"), "items")[-1]
    assert entry["detail"] == {"was_kind": "best_by", "was_printed": "2028-09"}


def test_units_are_eaten_thrown_away_and_returned_and_never_more_than_there_are(api: Api) -> None:
    lot, store_own = log(api, OWN, TINS)
    assert after(do(api, lot, to="use", units=1))[0]["units"] == 5
    assert after(do(api, lot, to="discard", units=2, why="swollen"))[0]["units"] == 3
    assert after(do(api, lot, to="return", units=3, role=Role.VOLUNTEER))[0]["units"] == 0
    problem(do(api, lot, to="use", units=1), 409)
    problem(do(api, store_own, to="return", units=1), 409)
    problem(do(api, store_own, to="discard", units=1), 422)
    problem(do(api, store_own, to="use", units=7), 409)
    taken = [("eaten", -1, None), ("discarded", -2, "swollen"), ("returned", -3, None)]
    assert written(api, lot) == [("received", 6, None), *taken]
    assert written(api, store_own) == [("received", 6, None)]


def test_a_household_shares_its_lot_and_takes_it_back(api: Api) -> None:
    lot, store_own = log(api, OWN, TINS)
    assert after(do(api, lot, to="share", role=Role.HOUSEHOLD))[0]["is_shared"] is True
    problem(do(api, lot, to="share", role=Role.HOUSEHOLD), 409)
    assert after(do(api, lot, to="take-back", role=Role.HOUSEHOLD, why="guests"))[0]["units"] == 6
    assert api.get(f"lots/{lot['id']}")["is_shared"] is False
    problem(do(api, lot, to="take-back"), 409)
    problem(do(api, store_own, to="take-back"), 409)
    problem(do(api, lot, to="share", role=Role.VOLUNTEER), 403)
    assert written(api, lot)[1:] == [("shared", 0, None), ("unshared", 0, "guests")]


def test_a_lot_is_set_aside_by_anyone_on_duty_and_released_by_a_coordinator(api: Api) -> None:
    (lot,) = log(api)
    (aside,) = after(do(api, lot, to="quarantine", role=Role.VOLUNTEER, why="a recall"))
    assert aside["condition"] == "quarantined"
    problem(do(api, lot, to="quarantine", why="again"), 409)
    problem(do(api, lot, to="release", role=Role.VOLUNTEER, why="fine"), 403)
    assert after(do(api, lot, to="release", why="another code"))[0]["condition"] == "sound"
    problem(do(api, lot, to="release", why="again"), 409)
    entries = [("quarantined", 0, "a recall"), ("released", 0, "another code")]
    assert written(api, lot)[1:] == entries


def test_a_mistake_is_corrected_at_the_revision_that_was_seen(api: Api) -> None:
    (lot,) = log(api)
    right: Lot = {"units": 9, "net_mass_g": 170.0, "is_damaged": True}
    (new,) = after(do(api, lot, to="correct", tag=lot["etag"], why="miscounted", **right))  # type: ignore[arg-type]
    assert (new["units"], new["net_mass_g"], new["condition"]) == (9, 170.0, "damaged")
    problem(do(api, lot, to="correct", tag=lot["etag"], why="x", units=1), 412)
    problem(do(api, lot, to="correct", why="x", units=1), 428)
    problem(do(api, lot, to="correct", tag=new["etag"], units=1), 422)
    problem(do(api, lot, to="correct", tag=new["etag"], why="x", food="moonfish"), 422)
    problem(do(api, lot, to="correct", tag=new["etag"], why="x", role=Role.VOLUNTEER), 403)
    entry = objects(api.get(f"ledger?lot={lot['id']}"), "items")[-1]
    assert (entry["kind"], entry["units"], entry["why"]) == ("corrected", 3, "miscounted")
    assert entry["detail"] == {"was_condition": "sound", "was_net_mass_g": None}


def test_a_lot_that_waits_counts_in_no_plan_until_its_food_is_named(api: Api) -> None:
    (lot,) = log(api, {**JARS, **DATED})
    assert objects(api.get("lots?waiting=true"), "items") == [lot]
    assert api.get("snapshot")["lots"] == []
    assert api.get("coverage")["units_on_hand"] == 0
    assert str(lot["id"]) not in str(api.get("coverage"))
    (named,) = after(do(api, lot, to="correct", tag=lot["etag"], why="read it", food=SALMON))
    assert (named["food"], named["words"]) == (SALMON, JARS["words"])
    assert [one["id"] for one in objects(api.get("snapshot"), "lots")] == [lot["id"]]
    assert api.get("coverage")["units_on_hand"] == 3
    assert objects(api.get("lots?waiting=true"), "items") == []


def test_a_stock_take_records_what_was_counted_in_a_place(api: Api) -> None:
    here, there, gone = log(api, TINS, {**TINS, "place": CELLAR}, TINS)

    def counted(**units: int) -> list[Lot]:
        named = {"here": here, "there": there, "gone": gone}
        return [{"lot": named[name]["id"], "units": n} for name, n in units.items()]

    wrong = {"place": SHELF, "counts": counted(here=5, there=6)}
    (fault,) = objects(problem(api.ask("POST", "stock-take", body=wrong), 422), "faults")
    assert fault["where"] == "counts number 2 > lot"
    twice = {"place": SHELF, "counts": counted(here=5) * 2}
    problem(api.ask("POST", "stock-take", body=twice), 422)
    asked = {"place": SHELF, "counts": counted(here=8, gone=0), "why": "the autumn round"}
    answer = api.ask("POST", "stock-take", role=Role.VOLUNTEER, body=asked)
    told_of = [(lot["id"], lot["units"]) for lot in after(answer)]
    assert told_of == [(here["id"], 8), (gone["id"], 0)]
    assert written(api, here)[1:] == [("counted", 2, "the autumn round")]
    assert written(api, gone)[1:] == [("counted", -6, "the autumn round")]
    assert written(api, there) == [("received", 6, None)]


def test_the_books_balance_after_every_deed_and_each_says_who_and_when(api: Api) -> None:
    lot, jars = log(api, {**OWN, "units": 20}, JARS)
    api.clock.move(timedelta(minutes=5))
    deeds: tuple[tuple[str, Lot], ...] = (
        ("share", {}),
        ("move", {"place": CELLAR, "units": 4}),
        ("open", {"units": 3}),
        ("repack", {"units": 2, "into_units": 7, "net_mass_g": 50.0}),
        ("use", {"units": 1}),
        ("discard", {"units": 1, "why": "a dent"}),
        ("return", {"units": 1}),
        ("quarantine", {"why": "a recall"}),
        ("release", {"why": "no recall"}),
        ("take-back", {}),
    )
    for deed, body in deeds:
        after(do(api, lot, to=deed, **body))  # type: ignore[arg-type]
        assert books_balance(api.engine)
    after(do(api, jars, to="correct", tag=jars["etag"], why="named", food=SALMON, units=5))
    body = {"place": SHELF, "counts": [{"lot": lot["id"], "units": 6}]}
    api.ask("POST", "stock-take", role=Role.VOLUNTEER, body=body)
    assert books_balance(api.engine)
    units = {id_: kept.units for id_, kept in lots_of(api.engine).items()}
    assert sorted(units.values()) == [3, 4, 5, 6, 7]
    first, *others = objects(api.get(f"ledger?lot={lot['id']}"), "items")
    assert (first["at"], first["by"]) == ("2026-09-01T12:00:00.000000Z", "a coordinator")
    assert {entry["at"] for entry in others} == {"2026-09-01T12:05:00.000000Z"}
    assert [entry["by"] for entry in others] == ["a coordinator"] * 10 + ["a volunteer"]


def test_lots_are_listed_by_filter_and_a_page_at_a_time(api: Api) -> None:
    lots = log(api, *[TINS] * 5, *[{**OWN, "place": CELLAR}] * 2, JARS)
    (empty,) = after(do(api, lots[0], to="use", units=6))
    ids = sorted(str(lot["id"]) for lot in lots)
    full = [id_ for id_ in ids if id_ != empty["id"]]
    cellar = [id_ for id_ in ids if id_ in {lots[5]["id"], lots[6]["id"]}]
    shelf = [id_ for id_ in full if id_ not in {*cellar, lots[7]["id"]}]
    for asked, wanted in (
        ("", full),
        (f"place={CELLAR}", cellar),
        (f"owner={PEANUT_HOME}", cellar),
        (f"food={SALMON}&place={SHELF}", shelf),
        ("waiting=true", [lots[7]["id"]]),
        ("with_empty=true&waiting=false", [id_ for id_ in ids if id_ != lots[7]["id"]]),
        ("owner=H-none", []),
    ):
        found = list(pages(api, f"lots?{asked}&limit=3"))
        assert [lot["id"] for page in found for lot in page] == wanted
        assert all(len(page) == 3 for page in found[:-1])
    link = urlsplit(str(api.get(f"lots?place={SHELF}&limit=2")["next"]))
    assert parse_qs(link.query).keys() == {"place", "limit", "cursor"}
    problem(api.ask("GET", "lots?cursor=!"), 422)


def test_the_ledger_is_listed_in_order_a_page_at_a_time_and_for_one_lot(api: Api) -> None:
    lots = log(api, TINS, TINS, JARS)
    for lot in lots:
        after(do(api, lot, to="use", units=1))
    found = list(pages(api, "ledger?limit=4"))
    assert [len(page) for page in found] == [4, 2]
    entries = [entry for page in found for entry in page]
    first = entries[0]["version"]
    assert isinstance(first, int)
    where = [(first, 0), (first, 1), (first, 2), *((first + n, 0) for n in (1, 2, 3))]
    assert [(one["version"], one["line"]) for one in entries] == where
    assert [one["lot"] for one in entries] == [lot["id"] for lot in lots] * 2
    of_one = [one for page in pages(api, f"ledger?lot={lots[1]['id']}&limit=1") for one in page]
    assert of_one == [entries[1], entries[4]]
    problem(api.ask("GET", "ledger", role=Role.HOUSEHOLD), 403)
    problem(api.ask("GET", "ledger?cursor=TDE"), 422)
