"""A channel is read strictly, shows nothing secret, and delivers a notice whole or says why not."""

import json
import socket
from hashlib import sha256
from pathlib import Path

import pytest

from daysworth_client.channels import read_channel
from daysworth_client.deliveries import channel_id, delivery_key
from daysworth_client.errors import ChannelRefused, DeliveryFailed
from daysworth_client.mail import read_server
from tests.clients.kept_postings import Heard, Said
from tests.clients.web_servers import answering
from tests.clients.written_answers import a_notice

SERVER = read_server("localhost", sender="notices@fernhollow.example")


@pytest.mark.parametrize(
    ("given", "written", "label", "shown"),
    [
        ("-", "-", "standard output", "standard output"),
        ("file:out/n.txt", "file:out/n.txt", "file", "file:out/n.txt"),
        ("FILE:Out", "file:Out", "file", "file:Out"),
        (
            "Hook:https://hooks.example/Secret?k=1",
            "hook:https://hooks.example/Secret?k=1",
            "hook at hooks.example",
            "hook:https://hooks.example/…",
        ),
        (
            "hook:http://127.0.0.1:9/s",
            "hook:http://127.0.0.1:9/s",
            "hook at 127.0.0.1",
            "hook:http://127.0.0.1:9/…",
        ),
        (
            "smtp:Ann@elm.example,b@elm.example",
            "smtp:Ann@elm.example,b@elm.example",
            "smtp, 2 addresses",
            "smtp:Ann@elm.example,b@elm.example",
        ),
        ("SMTP:b@elm.example", "smtp:b@elm.example", "smtp, 1 address", "smtp:b@elm.example"),
    ],
)
def test_a_channel_is_known_as_it_was_written_and_labelled_without_an_address(
    given: str, written: str, label: str, shown: str
) -> None:
    channel = read_channel(given, mail=SERVER)
    assert (channel.written, channel.label, channel.shown) == (written, label, shown)
    assert "Secret" not in repr(channel)


def test_the_id_of_a_channel_is_the_digest_of_how_it_was_written() -> None:
    assert channel_id("file:é") == sha256("file:é".encode()).hexdigest()


@pytest.mark.parametrize(
    ("given", "said"),
    [
        ("", "a channel is smtp:"),
        ("post:office", "a channel is smtp:"),
        ("secret", "a channel is smtp:"),
        ("--", "a channel is smtp:"),
        ("file:", "path of a file"),
        ("file:out/", "path of a file"),
        ("file:..", "path of a file"),
        ("file:a\x00b", "without control characters"),
        ("file:\udcff", "without control characters"),
        ("hook:", "begins with https://"),
        ("hook:hooks.example/secret", "begins with https://"),
        ("hook:http://hooks.example/secret", "begins with https://"),
        ("hook:https://hooks.example:x/secret", "is a URL"),
        ("hook:https://hooks.example/sec ret", "no spaces"),
        ("smtp:", "number 1 is none"),
        ("smtp:a@elm.example,", "number 2 is none"),
        ("smtp:a@elm.example, b@elm.example", "number 2 is none"),
        ("smtp:a@elm.example\r\nBcc: b@elm.example", "without control characters"),
        ("smtp:Ann <a@elm.example>", "number 1 is none"),
        ("smtp:.a@elm.example", "number 1 is none"),
        ("smtp:a@-elm.example", "number 1 is none"),
        ("smtp:jörg@elm.example", "number 1 is none"),
        ("smtp:" + "a" * 65 + "@elm.example", "number 1 is none"),
        ("smtp:a", "number 1 is none"),
    ],
)
def test_what_is_no_channel_is_refused_and_not_repeated(given: str, said: str) -> None:
    with pytest.raises(ChannelRefused) as refused:
        read_channel(given, mail=SERVER)
    assert said in str(refused.value)
    assert "secret" not in str(refused.value)
    assert "elm.example" not in str(refused.value)


def test_mail_needs_an_address_that_it_is_from() -> None:
    with pytest.raises(ChannelRefused, match="an address that it is from"):
        read_channel("smtp:a@elm.example", mail=None)


def test_an_address_that_is_named_twice_gets_one_message() -> None:
    channel = read_channel("smtp:a@elm.example,a@elm.example", mail=SERVER)
    assert channel.label == "smtp, 1 address"


def test_a_delivery_has_a_key_of_its_own_in_plain_letters_and_the_same_each_time() -> None:
    notice, long = a_notice(), a_notice()
    long["id"] = "Straße 'x'\n" * 20
    key = delivery_key(notice, "-")
    assert key.startswith("elm-row-2026-W48-")
    assert key == delivery_key(notice, "-") != delivery_key(notice, "file:a")
    assert delivery_key(notice, "-") != delivery_key(notice | {"id": "elm-row-2026/W48"}, "-")
    assert len(delivery_key(long, "-")) <= 97
    assert delivery_key(long, "-").replace("-", "").isalnum()
    assert delivery_key(long, "-").isascii()


def test_a_hook_gets_the_notice_as_json_without_html_under_a_key() -> None:
    heard: list[Heard] = []

    def take(asked: Heard) -> Said:
        heard.append(asked)
        return Said(202, b"taken")

    notice = a_notice()
    with answering(take) as address:
        written = f"hook:{address}/path?key=k"
        assert read_channel(written, mail=None).deliver(notice) == ()
    (asked,) = heard
    assert (asked.method, asked.path, asked.query) == ("POST", "/path", "key=k")
    assert asked.headers["content-type"] == "application/json"
    assert asked.headers["idempotency-key"] == delivery_key(notice, written)
    assert "authorization" not in asked.headers
    assert json.loads(asked.body) == {k: v for k, v in notice.items() if k != "html"}


@pytest.mark.parametrize("status", [300, 302, 400, 410, 500])
def test_a_hook_that_answers_anything_but_success_has_not_taken_the_notice(status: int) -> None:
    heard: list[Heard] = []

    def refuse(asked: Heard) -> Said:
        heard.append(asked)
        return Said(status, b"secret words", {"Location": "/elsewhere"})

    with answering(refuse) as address, pytest.raises(DeliveryFailed) as failed:
        read_channel(f"hook:{address}/secret", mail=None).deliver(a_notice())
    assert str(failed.value) == f"it answered {status}"
    assert len(heard) == 1


def test_a_hook_that_is_not_there_is_said_without_its_path() -> None:
    with socket.socket() as deaf:
        deaf.bind(("127.0.0.1", 0))
        channel = read_channel(f"hook:http://127.0.0.1:{deaf.getsockname()[1]}/secret", mail=None)
        with pytest.raises(DeliveryFailed) as failed:
            channel.deliver(a_notice())
    assert str(failed.value) == "it took no connection"


def test_a_file_gets_the_text_and_its_week(tmp_path: Path) -> None:
    written = f"file:{tmp_path}/notice-{{week}}.txt"
    assert read_channel(written, mail=None).deliver(a_notice()) == ()
    assert [path.name for path in tmp_path.iterdir()] == ["notice-2026-W48.txt"]
    assert (tmp_path / "notice-2026-W48.txt").read_text("utf-8") == a_notice()["text"]


def test_a_file_whose_name_ends_in_html_gets_the_html(tmp_path: Path) -> None:
    read_channel(f"file:{tmp_path}/notice.html", mail=None).deliver(a_notice())
    assert (tmp_path / "notice.html").read_text("utf-8") == a_notice()["html"]


def test_a_file_is_replaced_whole_and_may_be_read_by_whom_it_could(tmp_path: Path) -> None:
    old = tmp_path / "notice.txt"
    old.write_text("last week's, and much longer " * 20, "utf-8")
    old.chmod(0o640)
    with old.open("rb") as reader:
        read_channel(f"file:{old}", mail=None).deliver(a_notice())
        # Whoever has it open goes on reading what it was.
        assert reader.read(11) == b"last week's"
    assert old.read_text("utf-8") == a_notice()["text"]
    assert old.stat().st_mode & 0o777 == 0o640


def test_a_link_to_a_file_stays_a_link(tmp_path: Path) -> None:
    (tmp_path / "link.txt").symlink_to(tmp_path / "real.txt")
    read_channel(f"file:{tmp_path}/link.txt", mail=None).deliver(a_notice())
    assert (tmp_path / "link.txt").is_symlink()
    assert (tmp_path / "real.txt").read_text("utf-8") == a_notice()["text"]


def test_a_file_that_cannot_be_written_leaves_nothing_behind(tmp_path: Path) -> None:
    (tmp_path / "folder").mkdir()
    for path, why in (("none/n.txt", "No such file or directory"), ("folder", "Is a directory")):
        with pytest.raises(DeliveryFailed, match=f"cannot be written: {why}"):
            read_channel(f"file:{tmp_path}/{path}", mail=None).deliver(a_notice())
    assert [path.name for path in tmp_path.rglob("*")] == ["folder"]


def test_a_week_that_is_none_leads_to_no_other_folder(tmp_path: Path) -> None:
    channel = read_channel(f"file:{tmp_path}/in/{{week}}", mail=None)
    with pytest.raises(DeliveryFailed, match="makes no name of a file"):
        channel.deliver(a_notice() | {"week": "../out"})
    assert list(tmp_path.iterdir()) == []


def test_standard_output_gets_the_text_and_nothing_that_moves_the_cursor(
    capsys: pytest.CaptureFixture[str],
) -> None:
    channel = read_channel("-", mail=None)
    assert channel.deliver(a_notice()) == ()
    channel.deliver(a_notice() | {"text": "a\x1b[2Jb\nc"})
    assert capsys.readouterr().out == a_notice()["text"] + "a\ufffd[2Jb\nc\n"
