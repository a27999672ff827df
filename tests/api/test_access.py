"""Walk every route with every role, with no credential, and with another store's."""

from collections.abc import Iterator
from dataclasses import dataclass
from datetime import timedelta
from typing import Final

import pytest
from fastapi.routing import APIRoute

from daysworth.api.access import GuardedRoute, roles
from daysworth.api.routes import store_router
from daysworth.domain.entries import Role
from tests.api.clients import Api, problem
from tests.grounds import OTHER_STORE, begin_ground, put_up, small_store, token_for

C, V, H, S = Role.COORDINATOR, Role.VOLUNTEER, Role.HOUSEHOLD, Role.SCRIPT
ALL: Final = frozenset(Role)

ALLOWED: Final[dict[str, frozenset[Role]]] = {
    "GET /v1/stores": ALL,
    "GET /v1/stores/{store}": ALL,
    "PUT /v1/stores/{store}": frozenset({C}),
    "GET /v1/stores/{store}/places": ALL,
    "POST /v1/stores/{store}/places": frozenset({C}),
    "GET /v1/stores/{store}/places/{place}": ALL,
    "PUT /v1/stores/{store}/places/{place}": frozenset({C}),
    "GET /v1/stores/{store}/households": frozenset({C}),
    "POST /v1/stores/{store}/households": frozenset({C}),
    "GET /v1/stores/{store}/households/{household}": frozenset({C, H}),
    "PUT /v1/stores/{store}/households/{household}": frozenset({C, H}),
    "DELETE /v1/stores/{store}/households/{household}": frozenset({C, H}),
    "GET /v1/stores/{store}/households/{household}/export": frozenset({C, H}),
    "POST /v1/stores/{store}/households/{household}/members": frozenset({C, H}),
    "GET /v1/stores/{store}/households/{household}/members/{member}": frozenset({C, H}),
    "PUT /v1/stores/{store}/households/{household}/members/{member}": frozenset({C, H}),
    "DELETE /v1/stores/{store}/households/{household}/members/{member}": frozenset({C, H}),
    "GET /v1/stores/{store}/households/{household}/warnings": frozenset({C, H}),
    "POST /v1/stores/{store}/households/{household}/acknowledgements": frozenset({C}),
    "GET /v1/stores/{store}/parcels": frozenset({C, V}),
    "GET /v1/stores/{store}/parcels/{parcel}/check": frozenset({C, V}),
    "GET /v1/stores/{store}/foods": ALL,
    "POST /v1/stores/{store}/foods": frozenset({C, V}),
    "GET /v1/stores/{store}/foods/{food}": ALL,
    "GET /v1/stores/{store}/foods/{food}/labels": ALL,
    "GET /v1/stores/{store}/foods/{food}/suitability": frozenset({C, V, H}),
    "PUT /v1/stores/{store}/foods/{food}": frozenset({C}),
    "GET /v1/stores/{store}/barcodes": frozenset({C, V, H}),
    "POST /v1/stores/{store}/intake": frozenset({C, V, H}),
    "POST /v1/stores/{store}/stock-take": frozenset({C, V}),
    "GET /v1/stores/{store}/lots": ALL,
    "GET /v1/stores/{store}/lots/{lot}": ALL,
    "GET /v1/stores/{store}/lots/{lot}/label": ALL,
    "POST /v1/stores/{store}/lots/{lot}/label": frozenset({C, V, H}),
    "POST /v1/stores/{store}/lots/{lot}/label/settle": frozenset({C}),
    "POST /v1/stores/{store}/lots/{lot}/move": frozenset({C, V, H}),
    "POST /v1/stores/{store}/lots/{lot}/open": frozenset({C, V, H}),
    "POST /v1/stores/{store}/lots/{lot}/repack": frozenset({C, V, H}),
    "POST /v1/stores/{store}/lots/{lot}/date": frozenset({C, V, H}),
    "POST /v1/stores/{store}/lots/{lot}/use": frozenset({C, V, H}),
    "POST /v1/stores/{store}/lots/{lot}/discard": frozenset({C, V, H}),
    "POST /v1/stores/{store}/lots/{lot}/return": frozenset({C, V, H}),
    "POST /v1/stores/{store}/lots/{lot}/share": frozenset({C, H}),
    "POST /v1/stores/{store}/lots/{lot}/take-back": frozenset({C, H}),
    "POST /v1/stores/{store}/lots/{lot}/quarantine": frozenset({C, V}),
    "POST /v1/stores/{store}/lots/{lot}/release": frozenset({C}),
    "POST /v1/stores/{store}/lots/{lot}/correct": frozenset({C}),
    "GET /v1/stores/{store}/ledger": frozenset({C, V, S}),
    "GET /v1/stores/{store}/disclosures": frozenset({C}),
    "GET /v1/stores/{store}/snapshot": frozenset({C}),
    "POST /v1/stores/{store}/snapshot": frozenset({C}),
    "GET /v1/stores/{store}/coverage": ALL,
    "GET /v1/stores/{store}/timeline": ALL,
    "GET /v1/stores/{store}/summary": frozenset({C, S}),
    "GET /v1/stores/{store}/wish-list": frozenset({C, S}),
    "GET /v1/stores/{store}/bring-list": frozenset({C}),
    "POST /v1/stores/{store}/bring-list": frozenset({C}),
    "DELETE /v1/stores/{store}/bring-list": frozenset({C}),
    "GET /v1/stores/{store}/comparison": frozenset({C}),
    "GET /v1/stores/{store}/kept-weeks": frozenset({C}),
    "GET /v1/stores/{store}/kept-weeks/{week}/comparison": frozenset({C}),
    "GET /v1/stores/{store}/patterns": frozenset({C, V, S}),
    "POST /v1/stores/{store}/patterns": frozenset({C}),
    "GET /v1/stores/{store}/patterns/{pattern}": frozenset({C, V, S}),
    "PUT /v1/stores/{store}/patterns/{pattern}": frozenset({C}),
    "DELETE /v1/stores/{store}/patterns/{pattern}": frozenset({C}),
    "POST /v1/stores/{store}/patterns/{pattern}/copy": frozenset({C}),
    "GET /v1/stores/{store}/wares": frozenset({C, V, S}),
    "POST /v1/stores/{store}/wares/receive": frozenset({C, V}),
    "POST /v1/stores/{store}/wares/count": frozenset({C, V}),
    "POST /v1/stores/{store}/kit-plans": frozenset({C, V}),
    "GET /v1/stores/{store}/kit-plans/{plan}": frozenset({C, V}),
    "POST /v1/stores/{store}/kit-plans/{plan}/pack": frozenset({C, V}),
    "GET /v1/stores/{store}/kits": frozenset({C, V, H}),
    "POST /v1/stores/{store}/kits/check": frozenset({C, V}),
    "GET /v1/stores/{store}/kits/take-along": frozenset({C, V, H}),
    "GET /v1/stores/{store}/kits/labels": frozenset({C, V}),
    "GET /v1/stores/{store}/kits/{kit}": frozenset({C, V, H}),
    "GET /v1/stores/{store}/kits/{kit}/label": frozenset({C, V}),
    "POST /v1/stores/{store}/kits/{kit}/move": frozenset({C, V}),
    "POST /v1/stores/{store}/kits/{kit}/unpack": frozenset({C, V}),
    "POST /v1/stores/{store}/kits/{kit}/eat": frozenset({C, V}),
    "POST /v1/stores/{store}/kits/{kit}/confirm": frozenset({C}),
    "GET /v1/stores/{store}/rounds": frozenset({C, V, S}),
    "GET /v1/stores/{store}/rounds/{round}": frozenset({C}),
    "GET /v1/stores/{store}/rounds/{round}/worklist": frozenset({C, V}),
    "GET /v1/stores/{store}/rounds/{round}/record": frozenset({C, V, S}),
    "POST /v1/stores/{store}/rounds/{round}/settle": frozenset({C, V}),
    "GET /v1/stores/{store}/partners": frozenset({C, V}),
    "POST /v1/stores/{store}/partners": frozenset({C}),
    "GET /v1/stores/{store}/partners/{partner}": frozenset({C, V}),
    "PUT /v1/stores/{store}/partners/{partner}": frozenset({C}),
    "DELETE /v1/stores/{store}/partners/{partner}": frozenset({C}),
    "POST /v1/stores/{store}/window-preview": frozenset({C}),
    "GET /v1/stores/{store}/surplus": frozenset({C, V, S}),
    "GET /v1/stores/{store}/surplus/floors": frozenset({C, V, S}),
    "GET /v1/stores/{store}/promises": frozenset({C, V, S}),
    "POST /v1/stores/{store}/promises": frozenset({C}),
    "POST /v1/stores/{store}/promises/lapse-overdue": frozenset({C, S}),
    "GET /v1/stores/{store}/promises/{promise}": frozenset({C, V, S}),
    "POST /v1/stores/{store}/promises/{promise}/hand-off": frozenset({C, V}),
    "POST /v1/stores/{store}/promises/{promise}/lapse": frozenset({C}),
    "GET /v1/stores/{store}/promises/{promise}/delivery-note": frozenset({C, V}),
    "GET /v1/stores/{store}/given": frozenset({C, S}),
    "GET /v1/stores/{store}/calendar-links": frozenset({C, V}),
    "POST /v1/stores/{store}/calendar-links": frozenset({C, V}),
    "DELETE /v1/stores/{store}/calendar-links/{link}": frozenset({C, V}),
    "GET /v1/stores/{store}/notices/{week}": frozenset({C, S}),
    "PUT /v1/stores/{store}/notices/{week}/postings/{channel}": frozenset({C, S}),
    "PUT /v1/stores/{store}/notices/{week}/postings/{channel}/outcome": frozenset({C, S}),
}
"""Who may do what. It is written down here, apart from the routes, as the store means it."""

PUBLIC: Final = {
    "GET /v1/ready",
    "GET /v1/problems/{slug}",
    "GET /v1/bring/{store}/{code}",
    "GET /calendar/{secret}.ics",
}

PARTS: Final = {
    "{store}": "fernhollow",
    "{household}": "H-peanut",
    "{member}": "M-2",
    "{place}": "shelf",
    "{parcel}": "1",
    "{food}": "salmon_pink_tinned",
    "{week}": "2026-W36",
    "{channel}": "0" * 64,
    "{pattern}": "our-own",
    "{plan}": "N-0000000000",
    "{kit}": "K-0000000000",
    "{round}": "2026-09-01",
    "{partner}": "harbour-kitchen",
    "{promise}": "R-0000000000",
    "{link}": "A-0000000000",
}


@dataclass(frozen=True)
class Walked:
    """One operation of the API, with an address that stands for all of its addresses."""

    name: str
    method: str
    path: str


def described(api: Api) -> Iterator[Walked]:
    """Give every operation of the API but those that are open to anyone."""
    (lot,) = put_up(api.engine)
    for path, operations in api.app.openapi()["paths"].items():
        whole = path.replace("{lot}", lot.id)
        for part, value in PARTS.items():
            whole = whole.replace(part, value)
        for method in operations:
            name = f"{method.upper()} {path}"
            if name not in PUBLIC:
                yield Walked(name, method.upper(), whole)


def test_every_route_is_in_the_table_and_none_beside(api: Api) -> None:
    assert {walked.name for walked in described(api)} == set(ALLOWED)


@pytest.mark.parametrize("role", Role)
def test_a_route_is_open_to_the_roles_in_the_table_alone(api: Api, role: Role) -> None:
    for walked in described(api):
        answer = api.ask(walked.method, walked.path, role=role, body={})
        if role in ALLOWED[walked.name]:
            assert answer.status_code not in (401, 403), walked.name
        else:
            assert problem(answer, 403)["type"] == "/v1/problems/not-allowed", walked.name


def test_without_a_credential_every_route_is_closed(api: Api) -> None:
    for walked in described(api):
        answer = api.ask(walked.method, walked.path, role=None, body={})
        assert problem(answer, 401)["type"] == "/v1/problems/credential-refused", walked.name
        assert answer.headers["www-authenticate"].startswith("Bearer"), walked.name


@pytest.mark.parametrize("role", Role)
def test_another_stores_credential_opens_nothing_here(api: Api, role: Role) -> None:
    begin_ground(api.engine, small_store(OTHER_STORE))
    theirs = {"Authorization": f"Bearer {token_for(api.engine, role, store=OTHER_STORE)}"}
    for walked in described(api):
        if "{store}" not in walked.name:
            continue
        answer = api.ask(walked.method, walked.path, role=None, body={}, headers=theirs)
        if walked.name != "GET /v1/stores":
            problem(answer, 403)


def test_a_credential_lists_its_own_store_alone(api: Api) -> None:
    begin_ground(api.engine, small_store(OTHER_STORE))
    listed = api.get("/v1/stores")["items"]
    assert isinstance(listed, list)
    assert [one["id"] for one in listed if isinstance(one, dict)] == ["fernhollow"]


def test_an_expired_credential_opens_nothing(api: Api) -> None:
    api.get("lots", role=Role.VOLUNTEER)
    api.clock.move(timedelta(days=365))
    answer = api.ask("GET", "lots", role=Role.VOLUNTEER)
    assert "expired" in str(problem(answer, 401)["detail"])


def test_a_route_that_names_no_roles_can_not_be_built() -> None:
    router = store_router()

    async def unguarded() -> str:
        return "anything"

    with pytest.raises(ValueError, match="does not say whom it is open to"):
        router.add_api_route("/unguarded", unguarded)


def test_every_route_of_the_service_is_guarded(api: Api) -> None:
    operations = [
        operation for path in api.app.openapi()["paths"].values() for operation in path.values()
    ]
    assert all(operation["x-roles"] for operation in operations)
    assert issubclass(GuardedRoute, APIRoute)
    assert roles(Role.SCRIPT)["x-roles"] == ["script"]


def test_who_asks_is_seen_to_before_anything_sent_is_read(api: Api) -> None:
    answer = api.ask("POST", "intake", role=Role.SCRIPT, raw=b"{ this is no JSON")
    problem(answer, 403)
    answer = api.ask("POST", "intake", role=None, raw=b"{ this is no JSON")
    problem(answer, 401)
