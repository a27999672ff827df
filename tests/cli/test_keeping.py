"""Claims about the commands that keep stores, as whoever runs the machine meets them."""

import json
from pathlib import Path

import pytest

from daysworth.domain.entries import Role
from tests.cli.process import daysworth, refused
from tests.databases import POSTGRESQL, empty_url
from tests.house.rules import ROOT
from tests.servers import Server, started


@pytest.fixture
def database(tmp_path: Path) -> str:
    """Name an SQLite file that is not there yet."""
    return f"sqlite:///{tmp_path / 'kept.db'}"


def did(*arguments: str, given: bytes = b"") -> str:
    ran = daysworth(*arguments, given=given)
    assert (ran.returncode, ran.stderr) == (0, b""), ran.stderr
    return ran.stdout.decode()


def made(database: str) -> None:
    did("store", "create", "fernhollow", "--name", "Fernhollow", "--database", database)


def token(database: str, role: str = "coordinator") -> str:
    return did(
        *("token", "create", "--role", role, "--store", "fernhollow"),
        *("--expires", "2090-01-01", "--database", database),
    ).strip()


def test_a_store_is_made_once(database: str) -> None:
    made(database)
    asked = ("store", "create", "fernhollow", "--name", "Another", "--database", database)
    assert "there is a store 'fernhollow' already" in refused(*asked)


def test_a_store_in_a_zone_that_does_not_exist_is_refused(database: str) -> None:
    asked = ("store", "create", "x", "--name", "X", "--timezone", "Fern/Hollow")
    assert "no time zone 'Fern/Hollow'" in refused(*asked, "--database", database)


def test_a_token_is_printed_once_and_listed_without_its_secret(database: str) -> None:
    made(database)
    secret = token(database, "volunteer")
    listed = did("token", "list", "--store", "fernhollow", "--database", database)
    assert secret.startswith("dw_")
    assert secret not in listed
    assert "volunteer" in listed
    id_ = listed.split()[0]
    did("token", "revoke", id_, "--store", "fernhollow", "--database", database)
    again = did("token", "list", "--store", "fernhollow", "--database", database)
    assert "revoked" in again


@pytest.mark.parametrize(
    ("changed", "words"),
    [
        (("--store", "stonebrook"), "there is no store 'stonebrook'"),
        (("--expires", "2020-01-01"), "expires in the future"),
        (("--role", "household"), "names the household"),
        (("--role", "household", "--household", "H-none"), "no household 'H-none'"),
    ],
)
def test_a_token_for_nobody_is_refused(database: str, changed: tuple[str, ...], words: str) -> None:
    made(database)
    asked = {"--role": "script", "--store": "fernhollow", "--expires": "2090-01-01"}
    asked |= dict(zip(changed[::2], changed[1::2], strict=True))
    flat = [word for pair in asked.items() for word in pair]
    assert words in refused("token", "create", *flat, "--database", database)


def test_a_snapshot_goes_into_a_store_and_out_of_it(database: str) -> None:
    made_up = did("snapshot", "generate", "--households", "4", "--lots", "30", "--seed", "3")
    said = did("snapshot", "import", "-", "--database", database, given=made_up.encode())
    assert "30 lots and 4 households" in said
    out = did("snapshot", "export", "--store", "synthetic-3", "--database", database)
    before, after = json.loads(made_up), json.loads(out)
    assert sorted(lot["id"] for lot in after["lots"]) == sorted(lot["id"] for lot in before["lots"])
    assert after["version"] > before["version"]
    again = ("snapshot", "import", "-", "--database", database)
    assert "holds nothing yet" in refused(*again, given=made_up.encode())


def test_a_server_answers_over_http_and_refuses_what_was_revoked(database: str) -> None:
    import httpx

    made(database)
    secret = token(database)
    with started("serve", "--database", database, "--port", "0") as said:
        address = next(word for word in said if word.startswith("http://"))
        server = Server(address, secret)
        listed = httpx.get(server.address, headers=server.headers, timeout=60)
        assert [store["id"] for store in listed.json()["items"]] == ["fernhollow"]
        id_ = did("token", "list", "--store", "fernhollow", "--database", database).split()[0]
        did("token", "revoke", id_, "--store", "fernhollow", "--database", database)
        assert httpx.get(server.address, headers=server.headers, timeout=60).status_code == 401


def test_a_port_that_is_taken_is_said_so(database: str) -> None:
    with started("serve", "--database", database, "--port", "0") as said:
        address = next(word for word in said if word.startswith("http://"))
        port = address.removesuffix("/v1/stores").rpartition(":")[2]
        assert f"port {port}" in refused("serve", "--database", database, "--port", port)


def test_postgresql_is_migrated_by_its_keeper(tmp_path: Path) -> None:
    url = empty_url(POSTGRESQL)
    assert "daysworth migrate" in refused("store", "create", "x", "--name", "X", "--database", url)
    newest = max(file.stem for file in (ROOT / "migrations" / "versions").glob("[0-9]*.py"))
    assert f"are at {newest}" in did("migrate", "--database", url)
    assert "are at base" in did("migrate", "--database", url, "--down", "--to", "base")
    did("migrate", "--database", url)
    did("store", "create", "x", "--name", "X", "--database", url)


def test_a_database_that_is_not_there_is_said_in_words() -> None:
    url = "postgresql://nobody@127.0.0.1:1/nothing"
    assert "cannot be reached" in refused("migrate", "--database", url)
    assert "SQLite or PostgreSQL" in refused("migrate", "--database", "mysql://x/y")


def test_the_published_description_is_the_one_that_is_served(tmp_path: Path) -> None:
    written = (ROOT / "deploy" / "openapi.json").read_text("utf-8")
    assert did("describe") == written


def test_the_roles_of_the_command_are_those_of_the_store() -> None:
    from daysworth.cli.keeping import RoleAsked

    assert {str(role) for role in RoleAsked} == {str(role) for role in Role}
