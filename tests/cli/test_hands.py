"""Claims about letting people in on the command line: coordinators, and links for logging."""

from collections.abc import Iterator
from dataclasses import dataclass
from datetime import UTC, datetime, timedelta
from pathlib import Path
from typing import Final

import pytest
from sqlalchemy import Engine

from daysworth.db.coordinators import Found, SignIn, find_coordinator, fits, list_coordinators
from daysworth.db.engine import open_engine
from daysworth.db.links import follow_link, list_links
from daysworth.domain.errors import AccessRefused
from tests.cli.process import daysworth
from tests.databases import SQLITE, migrated_url
from tests.grounds import SHELF, STORE_ID, begin_ground, look, small_store

PASSWORD: Final = "twelve small tins"


@dataclass(frozen=True)
class Said:
    """What one command answered."""

    code: int
    out: str
    complaints: str


@pytest.fixture
def engine() -> Iterator[Engine]:
    """Keep the small store in an SQLite file that the command opens too."""
    opened = open_engine(migrated_url(SQLITE))
    begin_ground(opened, small_store())
    yield opened
    opened.dispose()


def here(engine: Engine, store: str = STORE_ID) -> tuple[str, ...]:
    return ("--store", store, "--database", f"sqlite:///{engine.url.database}")


def commands(*asked: tuple[str, ...], given: str = "") -> list[Said]:
    """Run commands, each with the same standard input."""
    every = [daysworth(*arguments, given=given.encode()) for arguments in asked]
    return [Said(ran.returncode, ran.stdout.decode(), ran.stderr.decode()) for ran in every]


def now() -> datetime:
    return datetime.now(UTC)


def found(engine: Engine, name: str = "Ada Rowe") -> Found:
    asked = SignIn(store=STORE_ID, name=name, password="", address="")
    return look(engine, lambda one: find_coordinator(one.connection, asked, at=now()))


def test_a_coordinator_is_let_in_barred_and_let_in_again(engine: Engine, tmp_path: Path) -> None:
    file = tmp_path / "password"
    # The first line alone, whatever ends it, with the spaces within and around it.
    file.write_bytes(b" twelve small tins \r\nanother line\n")
    first, again, barred, listed = commands(
        ("coordinator", "create", "Ada Rowe", *here(engine), "--password-file", str(file)),
        ("coordinator", "create", "ADA ROWE", *here(engine), "--password-file", str(file)),
        ("coordinator", "bar", "ada rowe", *here(engine)),
        ("coordinator", "list", *here(engine)),
    )
    assert (first.code, first.complaints) == (0, "")
    assert first.out == "Ada Rowe can sign in to 'fernhollow', at /stores/fernhollow/sign-in.\n"
    assert (again.code, again.out) == (1, "")
    assert again.complaints == "Refused; nothing was changed:\n  name: signs in here already\n"
    assert (barred.code, barred.out) == (0, "ada rowe signs in no more.\n")
    assert listed.out.split()[1:] == ["barred", "Ada", "Rowe"]
    assert found(engine).who is None

    changed, after = commands(
        ("coordinator", "password", "Ada Rowe", *here(engine), "--password-file", "-"),
        ("coordinator", "list", *here(engine)),
        given="thirteen small tins\nnever read\n",
    )
    assert (changed.code, changed.out) == (0, "Ada Rowe has another password now.\n")
    assert after.out.split()[1:] == ["since", f"{now():%Y-%m-%d}", "Ada", "Rowe"]
    passwords = (" twelve small tins ", "thirteen small tins")
    assert [fits(found(engine), one) for one in passwords] == [False, True]


def test_a_password_too_short_or_in_no_file_lets_nobody_in(engine: Engine, tmp_path: Path) -> None:
    (tmp_path / "latin").write_bytes(b"twelve small t\xffns\n")
    # The first line is the password, and it is empty.
    (tmp_path / "short").write_text("\n" + PASSWORD)
    create = ("coordinator", "create", "Ada Rowe", *here(engine), "--password-file")
    missing, folder, latin, short = commands(
        (*create, str(tmp_path / "none")),
        (*create, str(tmp_path)),
        (*create, str(tmp_path / "latin")),
        (*create, str(tmp_path / "short")),
    )
    assert "No such file or directory" in missing.complaints
    assert "Is a directory" in folder.complaints
    assert "it is not text in UTF-8" in latin.complaints
    assert short.complaints == (
        "Refused; nothing was changed:\n  password: has 12 to 200 characters\n"
    )
    assert [one.code for one in (missing, folder, latin, short)] == [2, 2, 2, 1]
    assert look(engine, list_coordinators) == []


def test_what_is_not_there_is_said_so(engine: Engine) -> None:
    typed = ("--password-file", "-")
    link = ("link", "create", *here(engine), "--place")
    far = ("--expires", "2090-01-01")
    answers = commands(
        ("coordinator", "create", "Ada Rowe", *here(engine, "nowhere"), *typed),
        ("coordinator", "password", "Bo Rowe", *here(engine), *typed),
        ("coordinator", "bar", "Bo Rowe", *here(engine)),
        ("link", "create", "--place", "shelf", *far, *here(engine, "nowhere")),
        ("link", "withdraw", "V-none", *here(engine)),
        (*link, "attic", *far),
        (*link, "shelf", "--expires", "2020-01-01"),
        given=f"{PASSWORD}\n",
    )
    assert [one.complaints for one in answers] == [
        "Refused: there is no store 'nowhere' here.\n",
        "Refused: nobody signs in to this store as 'Bo Rowe'.\n",
        "Refused: nobody signs in to this store as 'Bo Rowe'.\n",
        "Refused: there is no store 'nowhere' here.\n",
        "Refused: there is no link 'V-none' in this store.\n",
        "Refused; nothing was changed:\n  place: there is no place 'attic'\n",
        "Refused; nothing was changed:\n  expires: must be in the future\n",
    ]
    assert {(one.code, one.out) for one in answers} == {(1, "")}
    assert look(engine, list_links) == []


def test_a_link_is_printed_once_listed_without_its_secret_and_withdrawn(engine: Engine) -> None:
    last = f"{now() + timedelta(days=30):%Y-%m-%d}"
    create = ("link", "create", "--place", "shelf", "--expires", last, *here(engine))
    made, listed, unnamed = commands(
        (*create, "--label", "Tuesday table", "--site", "https://door.test/"),
        ("link", "list", *here(engine)),
        create,
    )
    assert made.out.startswith("https://door.test/log/dw_")
    assert unnamed.out.startswith("http://127.0.0.1:8017/log/dw_")
    secret = made.out.strip().rpartition("/")[2]
    opened = follow_link(engine, secret, at=now())
    assert (opened.place, opened.label) == (SHELF, "Tuesday table")
    assert secret not in listed.out
    words = listed.out.split()
    assert (words[:2], words[-2:]) == ([opened.id, "shelf"], ["Tuesday", "table"])
    kept = {one.label: one for one in look(engine, list_links)}
    assert set(kept) == {"Tuesday table", "volunteers"}
    assert {one.made_by for one in kept.values()} == {"command line"}
    # The end of the last day where the store is, which is in UTC.
    after = datetime.fromisoformat(f"{last}T00:00:00+00:00") + timedelta(days=1)
    assert {datetime.fromisoformat(one.expires_at) for one in kept.values()} == {after}

    withdraw = ("link", "withdraw", opened.id, *here(engine))
    once, twice, left = commands(withdraw, withdraw, ("link", "list", *here(engine)))
    assert (once.code, once.out) == (0, f"{opened.id} is withdrawn.\n")
    assert once == twice
    states = {line.split()[0]: "withdrawn" in line for line in left.out.splitlines()}
    assert (len(states), states[opened.id], sum(states.values())) == (2, True, 1)
    with pytest.raises(AccessRefused, match="withdrawn"):
        follow_link(engine, secret, at=now())
