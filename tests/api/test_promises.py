"""Claims about promises over the API: what is reserved, what really went, and what lapsed."""

from collections.abc import Callable
from datetime import timedelta

import httpx
import pytest

from daysworth.domain.entries import Role
from tests.api.clients import Api, Json, problem, told
from tests.api.partner_bodies import Body, add, partner, promise, visit, whole, window
from tests.api.test_lots import objects
from tests.grounds import CELLAR, books_balance, box, lots_of, promises_balance, put_up, version_of


def summary(read: Body) -> Body:
    """Give what a list tells of a promise."""
    found = read["summary"]
    assert isinstance(found, dict)
    return found


def id_of(read: Body) -> str:
    """Give the id of a promise."""
    return str(summary(read)["id"])


def lines(read: Body) -> dict[Json, Body]:
    """Give the lines of a promise by lot."""
    return {
        line["lot"]: line for place in objects(read, "contents") for line in objects(place, "lines")
    }


def deed(
    api: Api, read: Body, *, to: str, role: Role = Role.COORDINATOR, **body: Json
) -> httpx.Response:
    """Do something with a promise as it was read."""
    tag = {"If-Match": str(summary(read)["etag"])}
    path = f"promises/{id_of(read)}/{to}"
    return api.ask("POST", path, role=role, body=body, headers=tag)


def held(api: Api) -> dict[str, tuple[int, int]]:
    """Give the units of every lot, and how many of them are promised; the books must balance."""
    assert books_balance(api.engine)
    assert promises_balance(api.engine)
    return {id_: (lot.units, lot.units_promised) for id_, lot in lots_of(api.engine).items()}


def faults(answer: httpx.Response) -> list[str]:
    """Give the faults of a refusal, each with where it stands."""
    return [f"{one['where']}: {one['what']}" for one in objects(problem(answer, 422), "faults")]


def test_what_is_promised_is_reserved_and_told_by_place_in_walking_order(api: Api) -> None:
    add(api)
    shelf, cellar = put_up(api.engine, box(6), box(4, place=CELLAR))
    made = promise(api, {shelf.id: 2, cellar.id: 3})
    assert held(api) == {shelf.id: (6, 2), cellar.id: (4, 3)}
    assert made == api.get(f"promises/{id_of(made)}", role=Role.SCRIPT)
    assert [place["place_name"] for place in objects(made, "contents")] == ["Cellar", "Shelf"]
    line = lines(made)[shelf.id]
    assert (line["food_name"], line["units"], line["went"]) == ("Pink salmon, tinned", 2, None)
    assert (line["label_kind"], line["printed"]) == ("best_by", "2028-09")
    said = summary(made)
    assert (said["state"], said["visit_on"], said["went"]) == ("open", "2026-09-08", None)
    assert "8 September 2026" in str(said["words"])
    promised = said["promised"]
    assert isinstance(promised, dict)
    each = list(lines(made).values())
    for field in ("units", "mass_g", "energy_kcal"):
        total = sum(float(str(one[field])) for one in each)
        assert promised[field] == pytest.approx(total, abs=1e-5)
    assert made["contact"] == "ring at the side door"


def test_the_same_request_promises_once(api: Api) -> None:
    add(api)
    (lot,) = put_up(api.engine)
    body = {"visits": [visit({lot.id: 2})]}
    first = api.ask("POST", "promises", body=body, key="promise-1")
    again = api.ask("POST", "promises", body=body, key="promise-1")
    assert told(first, 201) == told(again, 201)
    assert held(api) == {lot.id: (6, 2)}
    problem(api.ask("POST", "promises", body=body, key=None), 400)


def test_promises_are_listed_by_visit_state_and_partner(api: Api) -> None:
    add(api)
    add(api, partner(id="hill-table", name="Hill Table (invented)"))
    (lot,) = put_up(api.engine)
    later = promise(api, {lot.id: 1}, opens_at="2026-09-15T09:00")
    sooner = promise(api, {lot.id: 1})
    other = promise(api, {lot.id: 1}, partner="hill-table", opens_at="2026-09-22T09:00")
    told(deed(api, later, to="lapse", why="the road is closed"), 201)

    def listed(query: str = "") -> list[Json]:
        found = objects(api.get(f"promises{query}", role=Role.VOLUNTEER), "items")
        return [one["id"] for one in found]

    assert listed() == [id_of(one) for one in (sooner, later, other)]
    assert listed("?state=open") == [id_of(one) for one in (sooner, other)]
    assert listed("?state=lapsed") == [id_of(later)]
    assert listed("?partner=hill-table") == [id_of(other)]
    first = api.get("promises?limit=2")
    rest = api.get(str(first["next"]))
    assert [one["id"] for one in objects(rest, "items")] == [id_of(other)]
    problem(api.ask("GET", "promises?state=broken"), 422)
    problem(api.ask("GET", "promises?cursor=%2F%2F"), 422)


def test_all_of_a_promise_is_handed_off_by_a_volunteer(api: Api) -> None:
    add(api)
    (lot,) = put_up(api.engine)
    made = promise(api, {lot.id: 4})
    done = told(deed(api, made, to="hand-off", role=Role.VOLUNTEER), 201)
    assert held(api) == {lot.id: (2, 0)}
    assert (summary(done)["state"], done["handed_on"]) == ("kept", "2026-09-01")
    assert summary(done)["went"] == summary(made)["promised"]
    assert summary(done)["etag"] != summary(made)["etag"]
    problem(deed(api, done, to="hand-off"), 409)
    problem(deed(api, done, to="lapse", why="again"), 409)


def test_what_the_partner_does_not_take_is_free_again_and_the_reason_stays(api: Api) -> None:
    add(api)
    some, none = put_up(api.engine, box(6), box(6))
    made = promise(api, {some.id: 4, none.id: 2})
    went: list[Json] = [
        {"lot": some.id, "units": 1, "why": "their shelf was full"},
        {"lot": none.id, "units": 0, "why": "dented on the way"},
    ]
    done = told(deed(api, made, to="hand-off", went=went), 201)
    assert held(api) == {some.id: (5, 0), none.id: (6, 0)}
    assert summary(done)["state"] == "kept_in_part"
    told_of = {lot: (one["went"], one["why"]) for lot, one in lines(done).items()}
    assert told_of == {
        some.id: (1, "their shelf was full"),
        none.id: (0, "dented on the way"),
    }


def test_nothing_taken_is_a_refusal_with_one_reason_for_all(api: Api) -> None:
    add(api)
    (lot,) = put_up(api.engine)
    made = promise(api, {lot.id: 4})
    went: list[Json] = [{"lot": lot.id, "units": 0}]
    done = told(deed(api, made, to="hand-off", went=went, why="they were shut"), 201)
    assert (summary(done)["state"], done["why"]) == ("refused", "they were shut")
    assert held(api) == {lot.id: (6, 0)}


def test_a_lapse_frees_all_of_it_and_keeps_its_reason(api: Api) -> None:
    add(api)
    (lot,) = put_up(api.engine)
    made = promise(api, {lot.id: 4})
    problem(deed(api, made, to="lapse"), 422)
    done = told(deed(api, made, to="lapse", why="no driver"), 201)
    assert (summary(done)["state"], done["why"]) == ("lapsed", "no driver")
    assert held(api) == {lot.id: (6, 0)}


def test_a_promise_is_ended_at_the_revision_that_was_seen(api: Api) -> None:
    add(api)
    (lot,) = put_up(api.engine)
    made = promise(api, {lot.id: 4})
    path = f"promises/{id_of(made)}"
    for to, body in (("hand-off", {}), ("lapse", {"why": "no driver"})):
        problem(api.ask("POST", f"{path}/{to}", body=body), 428)
        stale = api.ask("POST", f"{path}/{to}", body=body, headers={"If-Match": '"r9"'})
        problem(stale, 412)
        tag = {"If-Match": str(summary(made)["etag"])}
        problem(api.ask("POST", f"{path}/{to}", body=body, headers=tag, key=None), 400)
    assert held(api) == {lot.id: (6, 4)}


def test_a_promise_lapses_by_itself_two_days_after_its_visit(api: Api) -> None:
    add(api)
    (lot,) = put_up(api.engine)
    made = promise(api, {lot.id: 4})
    # The visit of 8 September is over at 16:00 UTC; it lapses once that is more than two days ago.
    api.clock.move(timedelta(days=9))
    before = version_of(api.engine)
    early = told(api.ask("POST", "promises/lapse-overdue", role=Role.SCRIPT), 200)
    assert (early, version_of(api.engine)) == ({"lapsed": []}, before)
    api.clock.move(timedelta(hours=5))
    first = api.ask("POST", "promises/lapse-overdue", role=Role.SCRIPT, key="daily-1")
    (lapsed,) = objects(told(first, 200), "lapsed")
    assert (id_of(lapsed), summary(lapsed)["state"]) == (id_of(made), "lapsed")
    assert held(api) == {lot.id: (6, 0)}
    again = api.ask("POST", "promises/lapse-overdue", role=Role.SCRIPT, key="daily-1")
    assert told(again, 200) == told(first, 200)


def test_a_partner_that_is_gone_is_still_named_by_what_went_there(api: Api) -> None:
    etag = str(add(api)["etag"])
    (lot,) = put_up(api.engine)
    made = promise(api, {lot.id: 4})
    told(deed(api, made, to="hand-off"), 201)
    gone = api.ask("DELETE", "partners/harbour-kitchen", headers={"If-Match": etag})
    assert gone.status_code == 204
    read = api.get(f"promises/{id_of(made)}")
    assert summary(read)["partner_name"] == "Harbour Kitchen (invented)"
    assert summary(read)["words"] == "8 September 2026 at 09:00"
    assert read["contact"] == ""


Change = Callable[[str], Body]


@pytest.mark.parametrize(
    ("change", "fault"),
    [
        (lambda lot: visit({lot: 1}, partner="nobody"), "visits number 1 > partner: there is no"),
        (lambda lot: visit({lot: 1}, window="fridays"), "visits number 1 > window: "),
        (
            lambda lot: visit({lot: 1}, opens_at="2026-09-09T09:00"),
            "visits number 1 > opens_at: window 'tuesdays' does not open",
        ),
        (
            lambda lot: visit({lot: 1}, opens_at="2026-09-08T09:00:00"),
            "visits number 1 > opens_at: must be a time on the clock there",
        ),
        (
            lambda lot: visit({lot: 1}, opens_at="2026-08-25T09:00"),
            "visits number 1 > opens_at: window 'tuesdays' does not open",
        ),
        (lambda lot: visit({lot: 7}), "visits number 1 > items number 1 > units: 7 asked for"),
        (lambda lot: visit({lot: 0}), "visits number 1 > items number 1 > units: must be 1"),
        (lambda lot: visit({"L-none": 1}), "visits number 1 > items number 1 > lot: there is no"),
        (lambda lot: visit({}), "visits number 1 > items: needs at least 1"),
        (
            lambda lot: visit({}, items=[{"lot": lot, "units": 1}, {"lot": lot, "units": 2}]),
            "visits number 1: a lot stands twice",
        ),
        (lambda _: visit({}, items=[{"lot": f"L{n}", "units": 1} for n in range(2_001)]), "visits"),
    ],
)
def test_what_cannot_be_promised_is_refused_naming_the_field(
    api: Api, change: Change, fault: str
) -> None:
    add(api)
    (lot,) = put_up(api.engine)
    before = (held(api), version_of(api.engine))
    # A visit beside it that could be promised is not, either.
    visits = [change(lot.id), visit({lot.id: 1}, opens_at="2026-09-15T09:00")]
    said = faults(api.ask("POST", "promises", body={"visits": visits}))
    assert any(one.startswith(fault) for one in said), said
    assert (held(api), version_of(api.engine)) == before


@pytest.mark.parametrize("body", [{}, {"visits": []}, {"visits": [{}]}, [], None])
def test_a_body_that_promises_nothing_is_refused(api: Api, body: Json) -> None:
    problem(api.ask("POST", "promises", body=body), 422)


def test_what_a_partner_does_not_take_is_refused_in_words(api: Api) -> None:
    add(api, partner(windows=[window(notice_days=3, most_units=5)]))
    soon, opened, good = put_up(
        api.engine, box(6, printed="2026-09-12"), box(6, condition="quarantined"), box(9)
    )
    early = visit({good.id: 1}, opens_at="2026-09-01T09:00")
    visits = [visit({soon.id: 1}), visit({opened.id: 1}), visit({good.id: 6}), early]
    said = faults(api.ask("POST", "promises", body={"visits": visits}))
    assert any("visits number 1 > items number 1 > lot" in one for one in said), said
    assert any("quarantined" in one for one in said), said
    assert any("takes 5 units" in one for one in said), said
    assert any("notice" in one for one in said), said


def test_no_more_goes_than_was_promised_and_nothing_that_has_gone_bad_since(api: Api) -> None:
    add(api)
    (lot,) = put_up(api.engine, box(6, printed="2026-09-20"))
    made = promise(api, {lot.id: 4})
    more: list[Json] = [{"lot": lot.id, "units": 5}]
    (said,) = faults(deed(api, made, to="hand-off", went=more))
    assert "5 are said to have gone" in said
    strange: list[Json] = [{"lot": "L-none", "units": 1}]
    assert "is not in promise" in faults(deed(api, made, to="hand-off", went=strange))[0]
    fewer: list[Json] = [{"lot": lot.id, "units": 1}]
    assert "say why" in faults(deed(api, made, to="hand-off", went=fewer))[0]
    api.clock.move(timedelta(days=11))
    (late,) = faults(deed(api, made, to="hand-off"))
    assert "give 0 of it, with the reason" in late
    assert held(api) == {lot.id: (6, 4)}


def test_a_changed_partner_keeps_the_promises_made_to_it(api: Api) -> None:
    etag = str(add(api)["etag"])
    (lot,) = put_up(api.engine)
    made = promise(api, {lot.id: 4})
    changed = whole(partner(name="Harbour Table (invented)"))
    tag = {"If-Match": etag}
    told(api.ask("PUT", "partners/harbour-kitchen", body=changed, headers=tag), 200)
    assert summary(api.get(f"promises/{id_of(made)}"))["partner_name"] == "Harbour Table (invented)"
