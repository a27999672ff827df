"""The command asks a store over HTTP and posts its notice, in words and by its exit code."""

import json
import subprocess
import sys
from collections.abc import Iterator
from dataclasses import dataclass
from pathlib import Path
from typing import Final

import pytest

from daysworth_client.comparison import comparison_summary
from daysworth_client.deliveries import channel_id
from daysworth_client.summary import store_summary
from tests.cli.process import daysworth
from tests.clients.kept_postings import TOKEN, UNDER, Heard, Said, Store
from tests.clients.mailboxes import Mailbox, mailbox
from tests.clients.web_servers import answering
from tests.clients.written_answers import a_notice, a_summary, a_waiting_lot
from tests.clients.written_comparisons import a_comparison

SETTINGS: Final = (
    "ADDRESS", "MAIL_SERVER", "MAIL_FROM", "MAIL_USER", "MAIL_PASSWORD", "MAIL_SECURITY"
)  # fmt: skip

WITHOUT_EXTRA: Final = """
import sys
absent = (
    "alembic babel biip dateutil fastapi fluent highspy jinja2 matplotlib numpy"
    " psycopg pwdlib pydantic_settings python_multipart segno sqlmodel sqlalchemy"
    " starlette uvicorn"
)
sys.modules.update(dict.fromkeys(absent.split()))
from daysworth.cli import main
main()
"""


@dataclass(frozen=True)
class Ran:
    """How a command ended, and what it said."""

    code: int
    out: str
    err: str


@pytest.fixture(autouse=True)
def _no_settings(monkeypatch: pytest.MonkeyPatch) -> None:
    for name in SETTINGS:
        monkeypatch.delenv(f"DAYSWORTH_{name}", raising=False)
    monkeypatch.setenv("DAYSWORTH_TOKEN", TOKEN)


@pytest.fixture
def store(monkeypatch: pytest.MonkeyPatch) -> Iterator[Store]:
    """Serve a store on this machine; the environment says where."""
    store = Store(summary=a_summary(a_waiting_lot("a tin without a label")))
    with answering(store.answer) as address:
        monkeypatch.setenv("DAYSWORTH_ADDRESS", address + UNDER)
        yield store


def run(*arguments: str) -> Ran:
    ran = daysworth(*arguments)
    said = Ran(ran.returncode, ran.stdout.decode(), ran.stderr.decode())
    assert "Traceback" not in said.err
    assert TOKEN not in said.out + said.err
    return said


def test_summary_prints_the_text_of_what_the_store_answers(store: Store) -> None:
    ran = run("summary", "--heating", "--away", "H2", "--as-of", "2026-11-25")
    assert ran == Ran(0, store_summary(store.summary), "")
    assert store.heard[0].query == (
        "heating=true&running_water=false&stock=shared&away=H2&ration=1.0&horizon_days=180"
        "&as_of=2026-11-25"
    )


def test_summary_prints_json_and_nothing_else_with_a_token_from_a_file(
    store: Store, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setenv("DAYSWORTH_TOKEN", "another")
    (tmp_path / "token").write_text(f"{TOKEN}\n", "utf-8")
    ran = run("summary", "--json", "--token-file", str(tmp_path / "token"))
    assert (ran.code, ran.err) == (0, "")
    assert json.loads(ran.out) == store.summary


def test_a_kept_week_is_compared_with_the_store_as_it_is_now(store: Store) -> None:
    ran = run("compare", "--week", "2026-W45", "--running-water", "--as-of", "2026-11-25")
    assert ran == Ran(0, comparison_summary(a_comparison()), "")
    (heard,) = store.heard
    assert heard.path == f"{UNDER}/kept-weeks/2026-W45/comparison"
    assert heard.query == (
        "heating=false&running_water=true&stock=shared&ration=1.0&horizon_days=180&as_of=2026-11-25"
    )
    assert json.loads(run("compare", "--week", "2026-W45", "--json").out) == a_comparison()
    unkept = run("compare", "--week", "2026-W44")
    assert (unkept.code, unkept.out) == (1, "")
    assert run("compare", "--week", "last").code == 2


def test_a_notice_is_shown_as_text_or_as_json_with_all_its_figures(store: Store) -> None:
    ran = run("notices", "show", "--week", "2026-W48")
    assert ran == Ran(0, a_notice()["text"], "")
    shown = run("notices", "show", "--json")
    assert json.loads(shown.out) == a_notice()
    assert [heard.path for heard in store.heard] == [
        f"{UNDER}/notices/2026-W48",
        f"{UNDER}/notices/current",
    ]


def test_a_notice_is_posted_to_each_channel_once(store: Store, tmp_path: Path) -> None:
    taken: list[Heard] = []

    def take(asked: Heard) -> Said:
        taken.append(asked)
        return Said(200, b"")

    with answering(take) as hook, mailbox(Mailbox()) as box:
        written = (f"file:{tmp_path}/{{week}}.html", "-", f"hook:{hook}/s", "smtp:ann@elm.example")
        to = [word for channel in written for word in ("--to", channel)]
        mail = ("--mail-server", box.server, "--mail-from", "notices@fernhollow.example")
        first = run("notices", "post", *to, *mail)
        second = run("notices", "post", *to, *mail)
    shown = (written[0], "standard output", f"hook:{hook}/…", written[3])
    assert first == Ran(0, a_notice()["text"], "".join(f"Posted to {one}.\n" for one in shown))
    assert second == Ran(
        0, "", "".join(f"Already posted to {one} on 24 November 2026.\n" for one in shown)
    )
    assert (tmp_path / "2026-W48.html").read_text("utf-8") == a_notice()["html"]
    assert (len(taken), len(box.messages)) == (1, 1)
    assert store.labels[:4] == ["file", "standard output", "hook at 127.0.0.1", "smtp, 1 address"]
    assert store.state == {channel_id(one): "posted" for one in written}


def test_one_channel_that_fails_makes_the_exit_code_and_does_not_stop_the_next(
    store: Store, tmp_path: Path
) -> None:
    broken, sound = f"file:{tmp_path}/none/n.txt", f"file:{tmp_path}/n.txt"
    ran = run("notices", "post", "--to", broken, "--to", sound)
    assert ran == Ran(
        1,
        "",
        f"Not posted to {broken}: it cannot be written: No such file or directory.\n"
        f"Posted to {sound}.\n",
    )
    assert store.state == {channel_id(sound): "posted"}


def test_what_another_run_is_posting_is_left_to_it(store: Store) -> None:
    store.state[channel_id("-")] = "under_way"
    ran = run("notices", "post", "--to", "-")
    assert ran == Ran(0, "", "Another run is posting to standard output now.\n")


@pytest.mark.parametrize(
    ("arguments", "said"),
    [
        (("--to", "-", "--to", "post:office"), "channel 2: a channel is"),
        (("--to", "-", "--week", "2026-48"), "a week is current, or"),
        (("--to", "-", "--mail-from", "nobody"), "mail is from one plain address"),
    ],
)
def test_what_is_written_wrongly_is_refused_before_anything_is_posted(
    store: Store, arguments: tuple[str, ...], said: str
) -> None:
    ran = run("notices", "post", *arguments)
    assert (ran.code, ran.out) == (2, "")
    assert said in " ".join(ran.err.split())
    assert store.heard == []


def test_a_token_comes_from_the_environment_or_a_file(
    store: Store, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.delenv("DAYSWORTH_TOKEN")
    for arguments, said in (
        ((), "a token is needed"),
        (("--token-file", "-"), "not from standard input"),
        (("--token-file", str(tmp_path / "none")), "cannot be read: No such file"),
    ):
        ran = daysworth("summary", *arguments)
        assert (ran.returncode, ran.stdout) == (2, b"")
        assert said in " ".join(ran.stderr.decode().split())
    assert store.heard == []


def test_a_store_that_knows_nobody_of_that_token_says_so(
    store: Store, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setenv("DAYSWORTH_TOKEN", "another")
    assert run("summary") == Ran(1, "", "No answer: Nobody whom the store knows.\n")


def test_an_address_is_needed_and_must_be_one_of_a_store() -> None:
    assert "DAYSWORTH_ADDRESS" in run("summary").err
    ran = run("summary", "--address", "http://127.0.0.1:8017")
    assert ran.code == 2
    assert "ends in /v1/stores/ and its id" in " ".join(ran.err.split())


def test_a_token_that_travels_in_the_clear_is_warned_of(monkeypatch: pytest.MonkeyPatch) -> None:
    # A proxy that cannot be: nothing is looked up, and nothing leaves this machine.
    monkeypatch.setenv("HTTP_PROXY", "http://127.0.0.1:1")
    ran = run("summary", "--address", "http://fernhollow.example/v1/stores/elm-row")
    assert (ran.code, ran.out) == (1, "")
    assert ran.err.splitlines() == [
        "The token travels in the clear: use an address with https://.",
        "No answer: http://fernhollow.example: it took no connection.",
    ]


def test_asking_and_posting_need_nothing_of_the_services_extra(store: Store) -> None:
    posted = "Posted to standard output.\n"
    for arguments in (("summary",), ("notices", "post", "--to", "-")):
        ran = subprocess.run(
            [sys.executable, "-c", WITHOUT_EXTRA, *arguments], capture_output=True, check=False
        )
        assert (ran.returncode, ran.stderr.decode()) in ((0, ""), (0, posted))
    assert store.state == {channel_id("-"): "posted"}


def test_what_is_asked_of_this_machine_takes_no_proxy(
    store: Store, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setenv("HTTP_PROXY", "http://127.0.0.1:1")
    assert run("notices", "show") == Ran(0, a_notice()["text"], "")
