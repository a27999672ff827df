"""Claims about households and members: who may read them, what is logged, what leaving erases."""

import base64
from datetime import timedelta
from urllib.parse import parse_qs, urlsplit

import httpx
import pytest
from sqlalchemy import Engine, select

from daysworth.db.tables import CREDENTIAL, DISCLOSURE, HOUSEHOLD, MEMBER, METADATA, RESTRICTION
from daysworth.db.transactions import Reading
from daysworth.domain.entries import Role
from tests.api.clients import Api, Json, problem, told
from tests.grounds import (
    OTHER_HOME,
    PEANUT_HOME,
    STORE_ID,
    books_balance,
    box,
    look,
    lots_of,
    put_up,
    version_of,
)

OURS = f"households/{PEANUT_HOME}"
OTHERS = f"households/{OTHER_HOME}"
BORN = "1988-04-02"
NAME, ADULT, CHILD = "The Quills", "Orla Quill", "Tam Quill"
ORLA = {
    "name": ADULT,
    "born_on": BORN,
    "sex": "female",
    "restrictions": [{"allergy": "sesame"}, {"diet": "vegan", "reach": "home"}],
}
TAM = {"name": CHILD, "age_band": {"from_years": 4, "to_years": 8}}
QUILLS = {"name": NAME, "pets": 2, "members": [ORLA, TAM]}

UNSAID: dict[str, Json] = {
    **dict.fromkeys(("born_on", "age_band", "sex", "height_cm", "weight_kg", "activity")),
    **dict.fromkeys(("pregnancy_due_on", "breastfeeding_since_on", "infant_feeding")),
    "appetite": 1.0,
    "prepregnancy_weight": "normal",
    "restrictions": [],
    "dislikes": [],
}
PLAIN = {
    **dict.fromkeys(("allergy", "diet", "words", "formula", "reach", "level")),
    **dict.fromkeys(("accepts_may_contain", "is_excluding"), False),
}
SESAME = {**PLAIN, "allergy": "sesame"}
VEGAN = {**PLAIN, "diet": "vegan", "reach": "home"}


def put(
    api: Api, path: str, *, to: object, tag: str, role: Role = Role.COORDINATOR, key: str = ""
) -> httpx.Response:
    headers = {"If-Match": tag, **({"Idempotency-Key": key} if key else {})}
    return api.ask("PUT", path, role=role, body=to, headers=headers)


def leave(
    api: Api, path: str, *, own_stock: str | None = None, role: Role = Role.COORDINATOR
) -> httpx.Response:
    """Let a household leave, at the revision it has now."""
    tag = str(api.get(path, role=role)["etag"])
    asked = path if own_stock is None else f"{path}?own_stock={own_stock}"
    return api.ask("DELETE", asked, role=role, headers={"If-Match": tag})


def members_of(household: dict[str, Json]) -> list[dict[str, Json]]:
    members = household["members"]
    assert isinstance(members, list)
    return [one for one in members if isinstance(one, dict)]


def logged(api: Api) -> list[tuple[Json, Json, Json]]:
    """Give who read what of whom, in order."""
    read = api.get("disclosures")["items"]
    assert isinstance(read, list)
    return [(one["by"], one["what"], one["household"]) for one in read if isinstance(one, dict)]


def everything_kept(engine: Engine) -> str:
    """Write out every row of every table that belongs to the store."""

    def rows(reading: Reading) -> str:
        written = []
        for table in METADATA.sorted_tables:
            column = table.c.id if table.name == "store" else table.c.store
            chosen = select(table).where(column == STORE_ID)
            written += [repr(tuple(row)) for row in reading.connection.execute(chosen)]
        return "\n".join(written)

    return look(engine, rows)


def rows_of_ours(engine: Engine) -> dict[str, int]:
    """Count the rows that tell of the peanut home."""

    def count(reading: Reading) -> dict[str, int]:
        ours = {
            "household": select(HOUSEHOLD).where(HOUSEHOLD.c.id == PEANUT_HOME),
            "member": select(MEMBER).where(MEMBER.c.household == PEANUT_HOME),
            "restriction": select(RESTRICTION),
            "credential": select(CREDENTIAL).where(CREDENTIAL.c.household == PEANUT_HOME),
            "disclosure": select(DISCLOSURE).where(DISCLOSURE.c.household == PEANUT_HOME),
        }
        return {name: len(reading.connection.execute(one).all()) for name, one in ours.items()}

    return look(engine, count)


def test_a_household_is_added_with_its_members_and_what_they_must_not_eat(api: Api) -> None:
    answer = api.ask("POST", "households", body=QUILLS)
    made = told(answer, 201)
    adult, child = (one["id"] for one in members_of(made))
    assert made == {
        "id": made["id"],
        "etag": '"r1"',
        "name": NAME,
        "parcel_number": 3,
        "pets": 2,
        "members": [
            {
                **UNSAID,
                "id": adult,
                "etag": '"r1"',
                "name": ADULT,
                "born_on": "1988-04-02",
                "sex": "female",
                "restrictions": [SESAME, VEGAN],
            },
            {
                **UNSAID,
                "id": child,
                "etag": '"r1"',
                "name": CHILD,
                "age_band": {"from_years": 4, "to_years": 8},
            },
        ],
    }
    assert answer.headers["ETag"] == '"r1"'
    assert answer.headers["Location"] == f"{api.store}/households/{made['id']}"
    assert api.get(answer.headers["Location"]) == made


@pytest.mark.parametrize(
    "member",
    [
        {"name": "No age"},
        {**TAM, "born_on": "2020-01-01"},
        {**TAM, "restrictions": [{}]},
        {**TAM, "restrictions": [{"allergy": "milk", "diet": "vegan"}]},
        {**TAM, "restrictions": [{"diet": "vegan", "accepts_may_contain": True}]},
        {**TAM, "restrictions": [{"allergy": "moonlight"}]},
        {"name": "Not yet", "born_on": "2026-09-02"},
    ],
)
def test_a_member_who_cannot_be_is_refused_and_nothing_is_added(
    api: Api, member: dict[str, object]
) -> None:
    before = version_of(api.engine)
    refused = problem(api.ask("POST", "households", body={**QUILLS, "members": [member]}), 422)
    assert refused["type"] == "/v1/problems/cannot-be-used"
    assert str(refused["faults"]).startswith("[{'where': 'members number 1")
    assert version_of(api.engine) == before


def test_a_birth_after_today_is_shown_where_it_stands(api: Api) -> None:
    asked = {"name": "Not yet", "born_on": "2026-09-02"}
    refused = problem(api.ask("POST", f"{OURS}/members", body=asked), 422)
    assert refused["faults"] == [{"where": "born_on", "what": "is after today"}]


def test_a_household_needs_a_member(api: Api) -> None:
    refused = problem(api.ask("POST", "households", body={"name": NAME, "members": []}), 422)
    assert refused["faults"] == [{"where": "members", "what": "needs at least 1"}]


def test_a_change_raises_the_revision_and_a_stale_one_changes_nothing(api: Api) -> None:
    changed = put(api, OURS, to={"name": NAME, "pets": 1}, tag='"r1"')
    assert (changed.headers["ETag"], told(changed, 200)["etag"]) == ('"r2"', '"r2"')
    stale = problem(put(api, OURS, to={"name": "Others", "pets": 9}, tag='"r1"'), 412)
    assert stale["detail"] == f"Household '{PEANUT_HOME}' was changed since you looked: look again."
    problem(api.ask("PUT", OURS, body={"name": "Others", "pets": 9}), 428)
    kept = api.get(OURS)
    assert (kept["name"], kept["pets"], kept["etag"]) == (NAME, 1, '"r2"')


def test_a_household_that_the_asker_has_is_not_sent_again_until_a_member_changes(api: Api) -> None:
    have = {"If-None-Match": '"r1"'}
    same = api.ask("GET", OURS, headers=have)
    assert (same.status_code, same.content, same.headers["ETag"]) == (304, b"", '"r1"')
    api.post(f"{OURS}/members", TAM)
    other = api.ask("GET", OURS, headers=have)
    assert (other.status_code, other.headers["ETag"]) == (200, '"r2"')


def test_a_member_is_added_read_changed_and_taken_out(api: Api) -> None:
    answer = api.ask("POST", f"{OURS}/members", body=TAM)
    made = told(answer, 201)
    path = answer.headers["Location"]
    assert path == f"{api.store}/{OURS}/members/{made['id']}"
    assert api.get(path) == made
    assert api.ask("GET", path, headers={"If-None-Match": '"r1"'}).status_code == 304
    changed = told(put(api, path, to=ORLA, tag='"r1"'), 200)
    assert (changed["id"], changed["etag"], changed["name"]) == (made["id"], '"r2"', ADULT)
    assert (changed["age_band"], changed["restrictions"]) == (None, [SESAME, VEGAN])
    problem(put(api, path, to=TAM, tag='"r1"'), 412)
    problem(api.ask("DELETE", path, headers={"If-Match": '"r1"'}), 412)
    problem(api.ask("DELETE", path), 428)
    assert api.get(path) == changed
    gone = api.ask("DELETE", path, headers={"If-Match": '"r2"'})
    assert (gone.status_code, gone.content) == (204, b"")
    problem(api.ask("GET", path), 404)
    assert [one["id"] for one in members_of(api.get(OURS))] == ["M-2"]


def test_the_last_member_stays(api: Api) -> None:
    refused = api.ask("DELETE", f"{OURS}/members/M-2", headers={"If-Match": '"r1"'})
    detail = "This is the last member: remove the household instead."
    assert problem(refused, 409)["detail"] == detail
    assert [one["id"] for one in members_of(api.get(OURS))] == ["M-2"]


def test_a_household_reads_and_changes_itself(api: Api) -> None:
    role = Role.HOUSEHOLD
    assert api.get(OURS, role=role)["id"] == PEANUT_HOME
    changed = told(put(api, OURS, to={"name": NAME, "pets": 3}, tag='"r1"', role=role), 200)
    assert (changed["name"], changed["pets"]) == (NAME, 3)
    child = api.post(f"{OURS}/members", TAM, role=role)
    path = f"{OURS}/members/{child['id']}"
    assert told(put(api, path, to=ORLA, tag='"r1"', role=role), 200)["name"] == ADULT
    assert api.ask("DELETE", path, role=role, headers={"If-Match": '"r2"'}).status_code == 204
    exported = api.get(f"{OURS}/export", role=role)
    assert exported == {"household": api.get(OURS), "lots": [], "acknowledgements": []}


@pytest.mark.parametrize(
    ("method", "path", "body"),
    [
        ("GET", OTHERS, None),
        ("PUT", OTHERS, {"name": NAME, "pets": 0}),
        ("DELETE", f"{OTHERS}?own_stock=given", None),
        ("GET", f"{OTHERS}/export", None),
        ("POST", f"{OTHERS}/members", TAM),
        ("GET", f"{OTHERS}/members/M-1", None),
        ("PUT", f"{OTHERS}/members/M-1", TAM),
        ("DELETE", f"{OTHERS}/members/M-1", None),
        ("GET", "households", None),
        ("POST", "households", QUILLS),
        ("GET", "parcels", None),
        ("GET", "disclosures", None),
    ],
)
def test_a_household_gets_at_no_other(api: Api, method: str, path: str, body: object) -> None:
    before = (api.get(OTHERS), version_of(api.engine), len(logged(api)))
    asked = {"role": Role.HOUSEHOLD, "body": body, "headers": {"If-Match": '"r1"'}}
    problem(api.ask(method, path, **asked), 403)  # type: ignore[arg-type]
    assert len(logged(api)) == before[2]
    assert (api.get(OTHERS), version_of(api.engine)) == before[:2]


def test_a_member_of_another_home_is_not_found_through_ones_own(api: Api) -> None:
    path = f"{OURS}/members/M-1"
    problem(api.ask("GET", path, role=Role.HOUSEHOLD), 404)
    problem(put(api, path, to=TAM, tag='"r1"', role=Role.HOUSEHOLD), 404)
    problem(api.ask("DELETE", path, role=Role.HOUSEHOLD, headers={"If-Match": '"r1"'}), 404)
    assert [one["born_on"] for one in members_of(api.get(OTHERS))] == ["1980-05-06"]


@pytest.mark.parametrize("role", [Role.VOLUNTEER, Role.SCRIPT])
def test_only_coordinators_and_the_household_read_health_facts(api: Api, role: Role) -> None:
    for path in ("households", OURS, f"{OURS}/export", f"{OURS}/members/M-2", "disclosures"):
        problem(api.ask("GET", path, role=role), 403)
    assert logged(api) == []


def test_every_reading_of_health_facts_is_logged_and_raises_no_version(api: Api) -> None:
    before = version_of(api.engine)
    for path, role in (
        ("households", Role.COORDINATOR),
        (OURS, Role.COORDINATOR),
        (OURS, Role.HOUSEHOLD),
        (f"{OURS}/members/M-2", Role.COORDINATOR),
        (f"{OTHERS}/export", Role.COORDINATOR),
        ("parcels", Role.VOLUNTEER),
        ("snapshot", Role.COORDINATOR),
    ):
        api.get(path, role=role)
        api.clock.move(timedelta(minutes=1))
    assert logged(api) == [
        ("a coordinator", "households", None),
        ("a coordinator", "household", PEANUT_HOME),
        (PEANUT_HOME, "household", PEANUT_HOME),
        ("a coordinator", "member", PEANUT_HOME),
        ("a coordinator", "household export", OTHER_HOME),
        ("a volunteer", "parcels", None),
        ("a coordinator", "snapshot", None),
    ]
    assert "2026-09-01T12:06:00.000000Z" in str(api.get("disclosures"))
    assert version_of(api.engine) == before


def test_health_facts_told_in_answer_to_a_change_are_logged(api: Api) -> None:
    changed = told(put(api, OURS, to={"name": NAME, "pets": 0}, tag='"r1"'), 200)
    assert "peanut" in str(members_of(changed)[0]["restrictions"])
    assert [(by, household) for by, _, household in logged(api)] == [("a coordinator", PEANUT_HOME)]


def test_parcels_tell_a_number_and_what_must_not_go_in(api: Api) -> None:
    advised = {"diet": "renal"}
    child = {**TAM, "restrictions": [{"allergy": "tree_nut"}, {"diet": "soft"}, advised]}
    api.post("households", {**QUILLS, "members": [ORLA, child, child]})
    parcels = api.get("parcels", role=Role.VOLUNTEER)["items"]
    assert isinstance(parcels, list)
    avoided = ["anything from animals", "anything that needs chewing", "sesame", "tree nut"]
    assert parcels == [
        {"parcel_number": 1, "must_not_contain": []},
        {"parcel_number": 2, "must_not_contain": ["peanut"]},
        {"parcel_number": 3, "must_not_contain": avoided},
    ]


def test_the_way_to_the_next_parcels_tells_nothing_of_the_household(api: Api) -> None:
    after = api.get("parcels?limit=1", role=Role.VOLUNTEER)["next"]
    cursor = parse_qs(urlsplit(str(after)).query)["cursor"][0]
    said = base64.urlsafe_b64decode(cursor + "=" * (-len(cursor) % 4))
    assert OTHER_HOME.encode() not in said


@pytest.mark.parametrize(
    ("own_stock", "left", "entry"), [("returned", 0, ("returned", -6)), ("given", 6, ("given", 0))]
)
def test_a_leaving_household_takes_its_stock_or_gives_it(
    api: Api, own_stock: str, left: int, entry: tuple[str, int]
) -> None:
    (own,) = put_up(api.engine, box(owner=PEANUT_HOME, is_shared=False))
    (ours,) = put_up(api.engine, box(4))
    assert leave(api, OURS, own_stock=own_stock).status_code == 204
    kept = lots_of(api.engine)
    assert (kept[own.id].units, kept[own.id].owner, kept[own.id].is_shared) == (left, None, True)
    assert kept[ours.id] == ours
    written = api.get(f"ledger?lot={own.id}")["items"]
    assert isinstance(written, list)
    last = written[-1]
    assert isinstance(last, dict)
    assert (last["kind"], last["units"], last["by"]) == (*entry, "a coordinator")
    assert books_balance(api.engine)


def test_a_household_with_stock_does_not_leave_until_somebody_says_whose_it_is(api: Api) -> None:
    (own,) = put_up(api.engine, box(owner=PEANUT_HOME))
    before = version_of(api.engine)
    refused = problem(leave(api, OURS), 409)
    assert refused["type"] == "/v1/problems/stock-does-not-allow"
    assert "own_stock=returned or own_stock=given" in str(refused["detail"])
    problem(leave(api, OURS, own_stock="burnt"), 422)
    assert version_of(api.engine) == before
    assert lots_of(api.engine)[own.id] == own
    assert api.get(OURS)["etag"] == '"r1"'


def test_a_household_that_was_changed_meanwhile_is_not_erased(api: Api) -> None:
    put(api, OURS, to={"name": NAME, "pets": 1}, tag='"r1"')
    problem(api.ask("DELETE", OURS, headers={"If-Match": '"r1"'}), 412)
    problem(api.ask("DELETE", OURS), 428)
    assert api.get(OURS)["name"] == NAME


def test_erasing_a_household_leaves_no_trace_of_it_in_any_table(api: Api) -> None:
    put(api, OURS, to={"name": NAME, "pets": 1}, tag='"r1"', key="the name")
    put(api, f"{OURS}/members/M-2", to=ORLA, tag='"r1"', key="the adult", role=Role.HOUSEHOLD)
    api.ask("POST", f"{OURS}/members", body=TAM, key="the child")
    put_up(api.engine, box(owner=PEANUT_HOME, is_shared=False))
    words = (NAME, ADULT, CHILD, BORN, "sesame", "vegan")
    kept = everything_kept(api.engine)
    assert [word for word in words if word not in kept] == []
    assert rows_of_ours(api.engine)["member"] == 2
    assert leave(api, OURS, own_stock="returned", role=Role.HOUSEHOLD).status_code == 204
    kept = everything_kept(api.engine)
    assert [word for word in words if word in kept] == []
    assert set(rows_of_ours(api.engine).values()) == {0}
    assert books_balance(api.engine)
    again = problem(api.ask("POST", f"{OURS}/members", body=TAM, key="the child"), 404)
    assert "has been erased since" in str(again["detail"])
    problem(api.ask("GET", OURS), 404)
    assert str(PEANUT_HOME) not in str(api.get("households")["items"])


def test_the_credential_of_an_erased_household_no_longer_works(api: Api) -> None:
    assert api.get("lots", role=Role.HOUSEHOLD) == {"items": [], "next": None}
    assert leave(api, OURS).status_code == 204
    refused = problem(api.ask("GET", "lots", role=Role.HOUSEHOLD), 401)
    assert refused["type"] == "/v1/problems/credential-refused"
