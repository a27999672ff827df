"""A store's calendar over HTTP: its addresses, and what is read there."""

from dataclasses import dataclass
from datetime import date, datetime, timedelta
from functools import partial

import httpx
import icalendar
import recurring_ical_events

from daysworth.db.ledger import kits as kit_deeds
from daysworth.db.ledger import promises as deeds
from daysworth.db.ledger import taking
from daysworth.domain.entries import Role
from daysworth.domain.identifiers import KitId, LotId
from tests.api.clients import Api, Json, problem, told
from tests.db.kit_grounds import pack, to_pack
from tests.grounds import PEANUT_HOME, box, change, put_up, version_of
from tests.partner_grounds import FIRST_TUESDAY, add_kitchen, promise_to_kitchen


def made(api: Api, *, role: Role = Role.VOLUNTEER) -> dict[str, Json]:
    return told(api.ask("POST", "calendar-links", role=role, body={"label": "telephone"}), 201)


def path_of(link: dict[str, Json]) -> str:
    address = str(link["address"])
    assert address.startswith("http://store.test/calendar/dw_")
    return address.removeprefix("http://store.test")


def fetched(api: Api, path: str, **headers: str) -> httpx.Response:
    sent = {name.replace("_", "-"): value for name, value in headers.items()}
    return api.ask("GET", path, role=None, headers=sent)


@dataclass(frozen=True)
class Read:
    """An event as an independent program reads it; a whole day begins and ends with days."""

    uid: str
    sequence: int
    summary: str
    description: str
    where: str
    stamped_at: datetime
    begins: date
    ends: date


def events(api: Api, path: str) -> list[Read]:
    answer = fetched(api, path)
    assert answer.status_code == 200, answer.text
    assert answer.headers["content-type"] == "text/calendar; charset=utf-8"
    calendar = icalendar.Calendar.from_ical(answer.content)
    assert calendar["NAME"] == "Fernhollow (invented)"
    found = recurring_ical_events.of(calendar).between(date(2026, 1, 1), date(2029, 12, 31))
    return [
        Read(
            uid=str(one["UID"]),
            sequence=int(str(one["SEQUENCE"])),
            summary=str(one["SUMMARY"]),
            description=str(one.get("DESCRIPTION", "")),
            where=str(one.get("LOCATION", "")),
            stamped_at=one.DTSTAMP,
            begins=one.start,
            ends=one.end,
        )
        for one in found
    ]


def first_visit(api: Api, path: str) -> Read:
    (visit,) = (
        one
        for one in events(api, path)
        if "Lantern" in one.summary and f"{one.begins:%Y-%m-%d}" == f"{FIRST_TUESDAY}"
    )
    return visit


def test_an_address_is_shown_once_and_opens_the_calendar_without_a_credential(api: Api) -> None:
    link = made(api)
    add_kitchen(api.engine)
    assert len(events(api, path_of(link))) > 12
    listed = api.get("calendar-links", role=Role.VOLUNTEER)["items"]
    assert isinstance(listed, list)
    (one,) = listed
    assert isinstance(one, dict)
    assert set(one) == {"id", "label", "made_by", "created_at", "revoked_at"}
    assert (one["id"], one["label"], one["made_by"]) == (link["id"], "telephone", "a volunteer")


def test_a_visit_says_what_to_bring_and_a_round_its_day(api: Api) -> None:
    (lot,) = put_up(api.engine, box(9))
    add_kitchen(api.engine)
    promise_to_kitchen(api.engine, (lot, 4))
    path = path_of(made(api))
    visit = first_visit(api, path)
    assert visit.summary.startswith("Bring 4 units (")
    assert f"4, best by 2028-09 (lot {lot.id})" in visit.description
    assert visit.where == "Lantern Kitchen (invented), Side door, 4 Mill Row"
    assert f"{visit.begins:%H:%M %z} {visit.ends:%H:%M}" == "09:00 +0200 11:00"
    rounds = [one for one in events(api, path) if one.summary == "Rotation round"]
    assert date(2027, 3, 1) in [one.begins for one in rounds]


def test_a_sequence_rises_with_a_change_and_the_uid_stays(api: Api) -> None:
    lot, other = put_up(api.engine, box(9), box(9))
    add_kitchen(api.engine)
    path = path_of(made(api))
    plain = first_visit(api, path)
    promise = promise_to_kitchen(api.engine, (lot, 4))
    api.clock.move(timedelta(hours=1))
    promised = first_visit(api, path)
    change(api.engine, partial(taking.eat, lot=LotId(other.id), units=1))
    api.clock.move(timedelta(hours=1))
    same = first_visit(api, path)
    lapse = partial(deeds.lapse, promise=promise.id, why=None, if_revision=promise.revision)
    change(api.engine, lapse)
    api.clock.move(timedelta(hours=1))
    lapsed = first_visit(api, path)
    every = (plain, promised, same, lapsed)
    assert {one.uid for one in every} == {plain.uid}
    assert [one.sequence for one in every] == [0, 1, 1, 2]
    assert promised.stamped_at == same.stamped_at
    assert plain.stamped_at < promised.stamped_at < lapsed.stamped_at
    assert lapsed.summary == plain.summary


def test_everybody_s_address_shows_the_same_calendar(api: Api) -> None:
    add_kitchen(api.engine)
    mine, theirs = (path_of(made(api, role=one)) for one in (Role.VOLUNTEER, Role.COORDINATOR))
    first = fetched(api, mine)
    api.clock.move(timedelta(minutes=5))
    assert fetched(api, theirs).content == first.content


def test_who_has_the_calendar_already_is_told_so_until_it_changes(api: Api) -> None:
    (lot,) = put_up(api.engine, box(9))
    add_kitchen(api.engine)
    path = path_of(made(api))
    tag = fetched(api, path).headers["etag"]
    again = fetched(api, path, If_None_Match=tag)
    assert (again.status_code, again.content) == (304, b"")
    assert again.headers["etag"] == tag
    promise_to_kitchen(api.engine, (lot, 4))
    changed = fetched(api, path, If_None_Match=tag)
    assert changed.status_code == 200
    assert changed.headers["etag"] != tag


def test_to_read_a_calendar_changes_no_version(api: Api) -> None:
    add_kitchen(api.engine)
    path = path_of(made(api))
    before = version_of(api.engine)
    fetched(api, path)
    assert version_of(api.engine) == before


def test_a_revoked_or_unknown_address_opens_nothing(api: Api) -> None:
    link = made(api)
    path = path_of(link)
    gone = api.ask("DELETE", f"calendar-links/{link['id']}", role=Role.VOLUNTEER)
    assert (gone.status_code, gone.content) == (204, b"")
    for closed in (
        path,
        "/calendar/dw_nothing.ics",
        "/calendar/x.ics",
        f"/calendar/{'x' * 90}.ics",
    ):
        answer = fetched(api, closed)
        assert answer.status_code in (404, 422), closed
        assert b"BEGIN" not in answer.content
    assert "no calendar at this address" in str(problem(fetched(api, path), 404)["detail"])
    assert path.removesuffix(".ics").rpartition("/")[2] not in fetched(api, path).text


def test_a_sixth_address_is_refused_in_words(api: Api) -> None:
    for _ in range(5):
        made(api)
    answer = api.ask("POST", "calendar-links", role=Role.VOLUNTEER, body={"label": "one more"})
    assert "revoke one" in str(problem(answer, 409)["detail"])


def test_what_makes_an_address_is_not_kept_to_be_answered_again(api: Api) -> None:
    body = {"label": "telephone"}
    first, second = (api.ask("POST", "calendar-links", body=body, key="the same") for _ in range(2))
    assert told(first, 201)["address"] != told(second, 201)["address"]
    assert first.headers["cache-control"] == "no-store"


def test_an_address_needs_a_label_that_is_words(api: Api) -> None:
    for body in ({}, {"label": ""}, {"label": "a\nb"}, {"label": 3}, {"label": "x", "more": 1}):
        problem(api.ask("POST", "calendar-links", body=body), 422)
    assert api.get("calendar-links")["items"] == []


def test_kits_are_shown_by_their_last_day_and_a_home_s_without_its_name(api: Api) -> None:
    (lot,) = put_up(api.engine, box(9))
    ours, theirs = pack(
        api.engine,
        to_pack((lot, 1)),
        to_pack((lot, 1), name="For the Quimbys", household=PEANUT_HOME),
    )
    path = path_of(made(api))
    (due,) = (one for one in events(api, path) if "2 kits" in one.summary)
    assert due.begins == date(2028, 9, 30)
    told_of = (f"- {ours.id}: Fish for two (Cellar)", f"- {theirs.id}")
    assert due.description == "\n".join(sorted(told_of))
    assert b"Quimby" not in fetched(api, path).content
    change(api.engine, partial(kit_deeds.unpack_kit, kit=KitId(ours.id)))
    (left,) = (one for one in events(api, path) if "1 kit" in one.summary)
    assert (left.uid, left.sequence) == (due.uid, due.sequence + 1)


def test_the_calendar_tells_nothing_of_any_household(api: Api) -> None:
    (lot,) = put_up(api.engine, box(9, owner=PEANUT_HOME))
    add_kitchen(api.engine)
    promise_to_kitchen(api.engine, (lot, 4))
    content = fetched(api, path_of(made(api))).text
    for private in (PEANUT_HOME, "peanut", "M-2", "allerg"):
        assert private not in content


def test_a_credential_that_expired_takes_its_address_along(api: Api) -> None:
    path = path_of(made(api))
    assert fetched(api, path).status_code == 200
    api.clock.move(timedelta(days=366))
    problem(fetched(api, path), 404)


def test_a_calendar_is_kept_by_no_crawler_and_no_shared_cache(api: Api) -> None:
    headers = fetched(api, path_of(made(api))).headers
    assert headers["x-robots-tag"] == "noindex, nofollow"
    assert headers["cache-control"] == "private, no-cache"
