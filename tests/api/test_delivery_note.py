"""The delivery note of a promise, checked again when it is printed."""

from collections.abc import Mapping
from datetime import timedelta
from functools import partial

import httpx

from daysworth.db.ledger import custody
from daysworth.db.ledger import promises as deeds
from daysworth.db.ledger.held import Held
from daysworth.db.promises import KeptPromise
from daysworth.domain.entries import Role
from daysworth.domain.identifiers import LotId
from tests.api.clients import Api, problem
from tests.api.test_foods import BISCUITS
from tests.grounds import CELLAR, PEANUT_HOME, box, change, lots_of, put_up, version_of
from tests.partner_grounds import add_kitchen, promise_to_kitchen
from tests.printing.read_labels import read


def promised(api: Api, *units: int, **about_kitchen: object) -> tuple[KeptPromise, list[Held]]:
    lots = put_up(
        api.engine,
        *(box(20, place=CELLAR if number else "shelf") for number in range(len(units))),
    )
    add_kitchen(api.engine, **about_kitchen)
    return promise_to_kitchen(api.engine, *zip(lots, units, strict=True)), lots


def note(api: Api, promise: KeptPromise, *, query: str = "", role: Role = Role.VOLUNTEER) -> str:
    answer = printed(api, promise, query=query, role=role)
    assert answer.status_code == 200, answer.text
    assert answer.headers["content-type"] == "application/pdf"
    assert answer.headers["cache-control"] == "private, no-cache"
    return " ".join(page.said() for page in read(answer.content))


def printed(
    api: Api, promise: KeptPromise, *, query: str = "", role: Role = Role.VOLUNTEER
) -> httpx.Response:
    return api.ask("GET", f"promises/{promise.id}/delivery-note{query}", role=role)


def quarantine(api: Api, lot: Held) -> None:
    change(api.engine, partial(custody.quarantine, lot=LotId(lot.id), why="A recall."))


def hand_off(api: Api, promise: KeptPromise, went: Mapping[LotId, int] | None) -> None:
    work = partial(
        deeds.hand_off, promise=promise.id, went=went, why="No room.", if_revision=promise.revision
    )
    change(api.engine, work)


def lapse(api: Api, promise: KeptPromise) -> None:
    work = partial(deeds.lapse, promise=promise.id, why="Snow.", if_revision=promise.revision)
    change(api.engine, work)


def test_a_volunteer_prints_what_is_promised(api: Api) -> None:
    promise, (first, second) = promised(api, 3, 4)
    text = note(api, promise)
    assert f"No. {promise.id}" in text
    assert "Visit: September 8, 2026, 9:00 AM to 11:00 AM (Europe/Berlin)" in text
    assert "In all: 2 lines, 7 units" in text
    assert f"Stored at room temperature: Shelf. Lot {first.id}." in text
    assert f"Stored at room temperature: Cellar. Lot {second.id}." in text
    assert "Best by September 2028" in text
    assert "Contact: Side door, 4 Mill Row" in text


def test_a_food_of_the_store_s_own_has_its_number_and_a_lot_its_pack_code(api: Api) -> None:
    # GS1 keeps prefix 952 for examples.
    own = {**BISCUITS, "net_mass_g": 200, "gtin": "9521234543213"}
    food = api.post("foods", own)["id"]
    (lot,) = put_up(api.engine, box(5, food=food, pack_code="L4 17B"))
    add_kitchen(api.engine)
    text = note(api, promise_to_kitchen(api.engine, (lot, 5)))
    assert "GTIN 09521234543213" in text
    assert "Batch L4 17B" in text
    assert "1.00" in text


def test_allergens_stand_as_they_were_read_and_by_their_kind_else(api: Api) -> None:
    promise, (first, _) = promised(api, 3, 4)
    reading = {
        "text": "Ingredients: pink salmon, mustard. May contain milk.",
        "is_whole": True,
        "regime": "us_fda",
    }
    answer = api.ask("POST", f"lots/{first.id}/label", body={"reading": reading})
    assert answer.status_code < 300, answer.text
    text = note(api, promise)
    assert "Contains: fish, mustard. May contain: milk." in text
    assert "By its kind it contains: fish. Its label was not read here" in text


def test_what_was_set_aside_since_is_struck_and_nothing_is_changed(api: Api) -> None:
    promise, (first, second) = promised(api, 3, 4)
    quarantine(api, first)
    before = version_of(api.engine), lots_of(api.engine)
    text = note(api, promise)
    assert "DO NOT BRING – TAKE THESE OUT:" in text
    assert f"(lot {first.id}, Shelf): it was set aside." in text
    assert "In all: 1 line, 4 units" in text
    assert f"Lot {second.id}." in text
    assert f"Lot {first.id}." not in text
    assert (version_of(api.engine), lots_of(api.engine)) == before


def test_what_has_passed_its_date_by_the_visit_is_struck(api: Api) -> None:
    soon, later = put_up(api.engine, box(5, printed="2026-09-20"), box(5))
    add_kitchen(api.engine)
    promise = promise_to_kitchen(api.engine, (soon, 2), (later, 2))
    assert "DO NOT BRING" not in note(api, promise)
    api.clock.move(timedelta(days=19))
    assert "DO NOT BRING" not in note(api, promise)
    api.clock.move(timedelta(days=1))
    text = note(api, promise)
    assert f"(lot {soon.id}, Shelf): the partner takes it up to its date." in text


def test_where_nothing_may_go_any_more_there_is_no_note(api: Api) -> None:
    promise, (lot,) = promised(api, 3)
    quarantine(api, lot)
    refused = problem(printed(api, promise), 409)
    assert "may go any more" in str(refused["detail"])
    assert "it was set aside" in str(refused["detail"])


def test_what_was_handed_off_in_part_is_printed_as_it_went(api: Api) -> None:
    promise, (first, second) = promised(api, 3, 4)
    api.clock.move(timedelta(days=7))
    hand_off(api, promise, {LotId(first.id): 2, LotId(second.id): 0})
    text = note(api, promise)
    assert "This was handed off." in text
    assert "In all: 1 line, 2 units" in text
    assert f"Lot {second.id}." not in text


def test_of_what_went_and_is_recalled_since_the_partner_is_to_be_told(api: Api) -> None:
    promise, (first, _) = promised(api, 3, 4)
    hand_off(api, promise, None)
    quarantine(api, first)
    text = note(api, promise)
    assert "TELL THE PARTNER" in text
    assert "3 × " in text
    assert "In all: 2 lines, 7 units" in text


def test_of_a_promise_that_lapsed_there_is_nothing_to_print(api: Api) -> None:
    promise, _ = promised(api, 3)
    lapse(api, promise)
    assert "there is nothing to write" in str(problem(printed(api, promise), 409)["detail"])


def test_a_promise_that_is_not_there_has_no_note(api: Api) -> None:
    answer = api.ask("GET", "promises/R-0000000000/delivery-note")
    assert "no promise" in str(problem(answer, 404)["detail"])


def test_a_paper_that_there_is_not_is_refused(api: Api) -> None:
    promise, _ = promised(api, 3)
    problem(printed(api, promise, query="?paper=vellum"), 422)
    assert "page 1 of 1" in note(api, promise, query="?paper=a4")


def test_a_note_tells_neither_whose_a_lot_was_nor_for_whom_it_suits(api: Api) -> None:
    (lot,) = put_up(api.engine, box(5, owner=PEANUT_HOME))
    add_kitchen(api.engine, is_nonprofit=False)
    text = note(api, promise_to_kitchen(api.engine, (lot, 5)), role=Role.COORDINATOR)
    assert PEANUT_HOME not in text
    assert "peanut" not in text.lower()
    assert "This partner was not entered as a nonprofit." in text
    assert "qualified direct donor (Pub. L. 117-362, 2023)" in text
