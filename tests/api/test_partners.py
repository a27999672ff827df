"""Claims about partners over the API: windows by choice or rule, in words, and what is refused."""

import pytest

from daysworth.domain.entries import Role
from tests.api.clients import Api, Json, problem, told
from tests.api.partner_bodies import HARBOUR, Body, add, opening, partner, promise, whole, window
from tests.api.test_lots import objects, pages
from tests.grounds import put_up, version_of


def first_window(body: Body) -> Body:
    """Give the first window of a partner."""
    return objects(body, "windows")[0]


def opens(body: Body) -> list[Json]:
    """Give when the next visits of an opening are."""
    return [one["opens_at"] for one in objects(body, "next_visits")]


def opening_of(body: Body) -> Body:
    """Give when the first window of a partner opens."""
    found = first_window(body)["opening"]
    assert isinstance(found, dict)
    return found


def test_a_partner_is_told_with_its_windows_in_words_and_the_next_five_visits(api: Api) -> None:
    made = add(api)
    assert made == api.get("partners/harbour-kitchen", role=Role.VOLUNTEER)
    told_opening = opening_of(made)
    assert "Tuesday" in str(told_opening["words"])
    assert "09:00" in str(told_opening["words"])
    assert told_opening["rule"] == "FREQ=WEEKLY;BYDAY=TU"
    assert opens(told_opening) == [
        "2026-09-01T09:00",
        "2026-09-08T09:00",
        "2026-09-15T09:00",
        "2026-09-22T09:00",
        "2026-09-29T09:00",
    ]
    assert all(one["words"] for one in objects(told_opening, "next_visits"))
    (rule,) = objects(made, "rules")
    assert rule["words"] == "fish: with at least 10 days left, at most 50 kg a visit"
    assert "nothing past its date" in str(made["without_rule"])


def test_a_rule_says_what_a_plain_choice_does(api: Api) -> None:
    by_rule = opening(choice=None, rule="FREQ=MONTHLY;BYDAY=1SA", starts_at="2026-09-05T09:00")
    choice: Body = {"kind": "monthly_weekday", "weekdays": ["saturday"], "nths": [1]}
    by_choice = opening(choice=choice, starts_at="2026-09-02T09:00")
    found = [told(api.ask("POST", "window-preview", body=one), 200) for one in (by_rule, by_choice)]
    assert found[0] == found[1]
    assert found[0]["choice"] == {**choice, "every": 1, "month_days": []}
    # The first Saturdays of five months, by the calendar.
    assert opens(found[0]) == [
        "2026-09-05T09:00",
        "2026-10-03T09:00",
        "2026-11-07T09:00",
        "2026-12-05T09:00",
        "2027-01-02T09:00",
    ]


def test_a_preview_changes_nothing_and_keeps_the_time_on_the_clock(api: Api) -> None:
    before = version_of(api.engine)
    # In New York clocks go back on 1 November 2026 (the Energy Policy Act of 2005).
    body = opening(starts_at="2026-10-27T09:00", timezone="America/New_York")
    found = told(api.ask("POST", "window-preview", body=body, key=None), 200)
    assert opens(found)[:2] == ["2026-10-27T09:00", "2026-11-03T09:00"]
    assert version_of(api.engine) == before


def test_in_months_in_which_it_does_not_open_there_is_no_visit(api: Api) -> None:
    body = opening(open_months=[1, 12])
    found = told(api.ask("POST", "window-preview", body=body), 200)
    assert opens(found)[0] == "2026-12-01T09:00"
    assert found["open_months"] == [1, 12]


def test_what_opens_once_has_no_rule(api: Api) -> None:
    body = opening(choice=None, also_at=["2026-10-05T14:30"])
    found = told(api.ask("POST", "window-preview", body=body), 200)
    assert (found["rule"], opens(found)) == (None, ["2026-09-01T09:00", "2026-10-05T14:30"])


def test_a_partner_that_is_no_nonprofit_is_told_with_the_law(api: Api) -> None:
    assert add(api)["law"] is None
    other = add(api, partner(id="corner-club", name="Corner Club (invented)", is_nonprofit=False))
    assert "Pub. L. 117-362" in str(other["law"])
    assert "Not legal advice" in str(other["law"])


def test_a_partner_is_changed_and_removed_at_the_revision_that_was_seen(api: Api) -> None:
    etag = str(add(api)["etag"])
    changed = whole(partner(name="Harbour Table (invented)"))
    problem(api.ask("PUT", "partners/harbour-kitchen", body=changed), 428)
    answer = api.ask("PUT", "partners/harbour-kitchen", body=changed, headers={"If-Match": etag})
    assert told(answer, 200)["name"] == "Harbour Table (invented)"
    assert answer.headers["etag"] != etag
    for method, body in (("PUT", changed), ("DELETE", None)):
        stale = api.ask(method, "partners/harbour-kitchen", body=body, headers={"If-Match": etag})
        problem(stale, 412)
    tag = {"If-Match": answer.headers["etag"]}
    assert api.ask("DELETE", "partners/harbour-kitchen", headers=tag).status_code == 204
    problem(api.ask("GET", "partners/harbour-kitchen"), 404)
    problem(api.ask("DELETE", "partners/harbour-kitchen", headers=tag), 404)


def test_a_partner_with_an_open_promise_keeps_its_window(api: Api) -> None:
    etag = str(add(api)["etag"])
    (lot,) = put_up(api.engine)
    promise(api, {lot.id: 2})
    before = version_of(api.engine)
    moved = partner(windows=[window(choice={"kind": "weekly", "weekdays": ["friday"]})])
    for method, body in (
        ("DELETE", None),
        ("PUT", whole(partner(windows=[]))),
        ("PUT", whole(moved)),
    ):
        answer = api.ask(method, "partners/harbour-kitchen", body=body, headers={"If-Match": etag})
        assert "2026-09-08" in str(problem(answer, 409)["detail"])
    assert version_of(api.engine) == before
    named = whole(partner(name="Harbour Table (invented)"))
    answer = api.ask("PUT", "partners/harbour-kitchen", body=named, headers={"If-Match": etag})
    assert told(answer, 200)["name"] == "Harbour Table (invented)"


def test_partners_are_listed_page_by_page(api: Api) -> None:
    ids = ["a-kitchen", "b-kitchen", "c-kitchen"]
    for id_ in reversed(ids):
        add(api, partner(id=id_, name=f"{id_} (invented)"))
    read = list(pages(api, "partners?limit=2"))
    assert [[one["id"] for one in page] for page in read] == [ids[:2], ids[2:]]


def test_the_same_request_adds_a_partner_once(api: Api) -> None:
    first = api.ask("POST", "partners", body=HARBOUR, key="partner-1")
    again = api.ask("POST", "partners", body=HARBOUR, key="partner-1")
    assert (first.status_code, first.content) == (again.status_code, again.content)
    refused = problem(api.ask("POST", "partners", body=HARBOUR), 422)
    assert "already" in str(objects(refused, "faults")[0]["what"])


WEEKLY = "FREQ=WEEKLY;BYDAY=TU"


@pytest.mark.parametrize(
    ("changed", "words"),
    [
        ({"choice": None, "rule": "FREQ=MINUTELY"}, "not more often"),
        ({"choice": None, "rule": "FREQ=SECONDLY;COUNT=5"}, "not more often"),
        ({"choice": None, "rule": "every Tuesday"}, "RFC 5545"),
        ({"choice": None, "rule": "FREQ=YEARLY;BYMONTH=2;BYMONTHDAY=30"}, "never occurs"),
        ({"choice": None, "rule": "FREQ=WEEKLY;BYDAY=WE"}, "2026-09-02"),
        ({"rule": WEEKLY}, "a plain choice or a rule, one of them"),
        ({"choice": {"kind": "weekly"}}, "weekdays"),
        ({"choice": {"kind": "once"}, "except_at": ["2026-09-01T09:00"]}, "never occurs"),
        ({"timezone": "Nowhere/Land"}, "no time zone"),
        ({"timezone": ""}, "no time zone"),
        ({"starts_at": "2026-09-01T09:00Z"}, "without an offset"),
        ({"starts_at": "2026-09-31T09:00"}, "no such day"),
        ({"starts_at": "9999-12-31T09:00"}, "is not between"),
        ({"starts_at": 5}, ""),
        ({"minutes": 0}, "must be 5 or more"),
        ({"minutes": 60 * 24 * 365}, "must be 1440 or less"),
        ({"minutes": 1440, "choice": {"kind": "weekly", "weekdays": ["monday"]}, "id": "x"}, "id"),
        ({"open_months": []}, "needs at least"),
        ({"open_months": [13]}, "must be 12 or less"),
    ],
)
def test_a_window_that_cannot_be_is_refused_in_words(api: Api, changed: Body, words: str) -> None:
    body = opening(**changed)
    if "id" in changed:
        body["id"] = changed["id"]
    before = version_of(api.engine)
    refused = problem(api.ask("POST", "window-preview", body=body), 422)
    said = [f"{one['where']}: {one['what']}" for one in objects(refused, "faults")]
    assert any(words in one for one in said), said
    assert version_of(api.engine) == before


@pytest.mark.parametrize(
    ("changed", "fault"),
    [
        ({"id": "a/b"}, "id: must be letters, digits and hyphens"),
        ({"name": ""}, "name: needs at least 1 character"),
        ({"contact": "a\nb"}, "contact: must be plain words on one line"),
        ({"windows": [window(timezone="Nowhere")]}, "windows number 1: there is no time zone"),
        ({"windows": [window(), window()]}, ": a window stands once with a partner"),
        ({"windows": [window(), window(id="more")]}, ": two windows overlap on 2026-09-01"),
        ({"windows": [window()] * 21}, "windows: has room for at most 20"),
        ({"windows": [window(most_kg=0)]}, "windows number 1 > most_kg: must be more than 0"),
        ({"windows": [window(notice_days=-1)]}, "windows number 1 > notice_days: must be 0"),
        ({"rules": [{"group": "fish"}, {"group": "fish"}]}, ": a food group has one rule at most"),
        ({"rules": [{"group": "moonshine"}]}, "rules number 1 > group: must be"),
        ({"rules": [{"least_days_left": 10**9}]}, "rules number 1 > least_days_left: must be"),
        ({"colour": "blue"}, "colour: is not a field"),
    ],
)
def test_a_partner_that_cannot_be_is_refused_naming_the_field(
    api: Api, changed: Body, fault: str
) -> None:
    before = version_of(api.engine)
    refused = problem(api.ask("POST", "partners", body=partner(**changed)), 422)
    said = [f"{one['where']}: {one['what']}" for one in objects(refused, "faults")]
    assert any(one.startswith(fault) for one in said), said
    assert version_of(api.engine) == before
