"""Claims about keys and revisions: sent twice is done once, and stale is refused."""

from datetime import timedelta

from daysworth.domain.entries import Role
from tests.api.clients import Api, problem
from tests.grounds import SALMON, SHELF, books_balance, box, lots_of, put_up, version_of

BOX = {
    "lines": [
        {
            "food": SALMON,
            "place": SHELF,
            "units": 3,
            "label_kind": "best_by",
            "printed": "2028-01",
        }
    ]
}


def test_the_same_request_again_is_given_the_same_bytes_and_logs_nothing(api: Api) -> None:
    first = api.ask("POST", "intake", body=BOX, key="box 7")
    before = version_of(api.engine)
    api.clock.move(timedelta(hours=5))
    again = api.ask("POST", "intake", body=BOX, key="box 7")
    assert (again.status_code, again.content) == (201, first.content)
    assert version_of(api.engine) == before
    assert len(lots_of(api.engine)) == 1


def test_the_order_of_fields_makes_no_other_request(api: Api) -> None:
    line = dict(reversed(list(BOX["lines"][0].items())))
    first = api.ask("POST", "intake", body=BOX, key="box 7")
    again = api.ask("POST", "intake", body={"lines": [line]}, key="box 7")
    assert again.content == first.content


def test_a_key_with_another_body_is_refused(api: Api) -> None:
    api.ask("POST", "intake", body=BOX, key="box 7")
    before = version_of(api.engine)
    other = {"lines": [{**BOX["lines"][0], "units": 4}]}
    refused = problem(api.ask("POST", "intake", body=other, key="box 7"), 422)
    assert refused["type"] == "/v1/problems/key-used"
    assert version_of(api.engine) == before


def test_a_key_for_another_address_is_refused(api: Api) -> None:
    one, two = put_up(api.engine, box(3), box(3))
    api.ask("POST", f"lots/{one.id}/use", body={"units": 1}, key="k")
    refused = problem(api.ask("POST", f"lots/{two.id}/use", body={"units": 1}, key="k"), 422)
    assert refused["type"] == "/v1/problems/key-used"
    assert lots_of(api.engine)[two.id].units == 3


def test_keys_belong_to_the_store_and_not_to_who_sent_them(api: Api) -> None:
    first = api.ask("POST", "intake", body=BOX, key="box 7", role=Role.VOLUNTEER)
    again = api.ask("POST", "intake", body=BOX, key="box 7", role=Role.COORDINATOR)
    assert again.content == first.content
    assert len(lots_of(api.engine)) == 1


def test_a_refused_request_leaves_its_key_free(api: Api) -> None:
    (lot,) = put_up(api.engine, box(1))
    problem(api.ask("POST", f"lots/{lot.id}/use", body={"units": 2}, key="k"), 409)
    assert api.ask("POST", f"lots/{lot.id}/use", body={"units": 1}, key="k").status_code == 201


def test_what_makes_something_needs_a_key(api: Api) -> None:
    refused = problem(api.ask("POST", "intake", body=BOX, key=None), 400)
    assert refused["type"] == "/v1/problems/key-missing"
    assert lots_of(api.engine) == {}


def test_a_key_is_checked_before_the_revision(api: Api) -> None:
    (lot,) = put_up(api.engine, box(5))
    body = {"units": 9, "why": "counted again"}
    tag = {"If-Match": '"r1"'}
    first = api.ask("POST", f"lots/{lot.id}/correct", body=body, key="k", headers=tag)
    again = api.ask("POST", f"lots/{lot.id}/correct", body=body, key="k", headers=tag)
    assert (first.status_code, again.content) == (201, first.content)
    assert again.headers["etag"] == first.headers["etag"] == '"r2"'


def test_a_change_with_a_key_is_done_once_too(api: Api) -> None:
    body, tag = {"name": "Upper shelf"}, {"If-Match": '"r1"', "Idempotency-Key": "k"}
    first = api.ask("PUT", f"places/{SHELF}", body=body, headers=tag)
    again = api.ask("PUT", f"places/{SHELF}", body=body, headers=tag)
    assert (first.status_code, again.status_code) == (200, 200)
    assert again.headers["etag"] == '"r2"'


def test_stale_is_refused_and_absent_is_asked_for(api: Api) -> None:
    (lot,) = put_up(api.engine, box(5))
    api.post(f"lots/{lot.id}/use", {"units": 1})
    body = {"units": 9, "why": "counted again"}
    stale = api.ask("POST", f"lots/{lot.id}/correct", body=body, headers={"If-Match": '"r1"'})
    assert problem(stale, 412)["type"] == "/v1/problems/not-as-it-was"
    absent = api.ask("POST", f"lots/{lot.id}/correct", body=body)
    assert problem(absent, 428)["type"] == "/v1/problems/revision-missing"
    assert lots_of(api.engine)[lot.id].units == 4
    assert books_balance(api.engine)
