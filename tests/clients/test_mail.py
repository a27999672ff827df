"""A notice is mailed once to all its addresses, and what a mail server refuses is said in words."""

import socket
from datetime import UTC, datetime
from email.message import EmailMessage

import pytest

from daysworth_client.channels import read_channel
from daysworth_client.deliveries import Channel, delivery_digest
from daysworth_client.errors import DeliveryFailed, SettingRefused
from daysworth_client.mail import MailServer, Security, compose, read_mail, read_server
from daysworth_client.store_answers import NoticePart
from tests.clients.mailboxes import Mailbox, mailbox
from tests.clients.written_answers import a_notice

SENDER = "notices@fernhollow.example"
TO = "ann@elm.example,bo@elm.example"
AT = datetime(2026, 11, 24, 6, 0, tzinfo=UTC)


def mailed(box: Mailbox, notice: NoticePart, *, to: str = TO) -> tuple[str, ...]:
    server = read_server(box.server, sender=SENDER)
    return read_channel(f"smtp:{to}", mail=server).deliver(notice)


def failure(channel: Channel) -> str:
    """Deliver a notice, which must fail, and give why."""
    with pytest.raises(DeliveryFailed) as failed:
        channel.deliver(a_notice())
    return str(failed.value)


def part(message: EmailMessage, kind: str) -> str:
    found = message.get_body((kind,))
    assert found is not None
    return str(found.get_content())


def test_a_notice_arrives_as_text_and_as_html_with_all_its_letters() -> None:
    with mailbox(Mailbox()) as box:
        assert mailed(box, a_notice()) == ()
    (message,) = box.messages
    assert message.get_content_type() == "multipart/alternative"
    assert [one.get_content_type() for one in message.iter_parts()] == ["text/plain", "text/html"]
    assert part(message, "plain").replace("\r\n", "\n") == a_notice()["text"]
    assert part(message, "html").strip() == a_notice()["html"]
    assert {one.get_content_charset() for one in message.iter_parts()} == {"utf-8"}


def test_one_message_goes_to_all_addresses_from_the_store() -> None:
    with mailbox(Mailbox()) as box:
        mailed(box, a_notice())
    (message,) = box.messages
    assert box.recipients == [["ann@elm.example", "bo@elm.example"]]
    assert [one.addr_spec for one in message["To"].addresses] == box.recipients[0]
    (sender,) = message["From"].addresses
    assert (sender.display_name, sender.addr_spec) == ("Ulmenstraße Süd", SENDER)
    assert message["Subject"] == "Ulmenstraße Süd: 9 days for everyone"
    assert message["Auto-Submitted"] == "auto-generated"
    assert message["Date"].datetime.tzinfo is not None
    assert box.named == ["fernhollow.example"]


def test_the_message_of_a_notice_and_a_channel_has_the_same_id_at_every_try() -> None:
    with mailbox(Mailbox()) as box:
        mailed(box, a_notice())
        mailed(box, a_notice())
        mailed(box, a_notice(), to="ann@elm.example")
    first, second, other = (str(message["Message-ID"]) for message in box.messages)
    assert first == second == f"<{delivery_digest(a_notice(), f'smtp:{TO}')}@fernhollow.example>"
    assert other != first


def composed(notice: NoticePart, *, to: str = TO, sender: str = SENDER) -> bytes:
    channel = read_mail(to, written=f"smtp:{to}", server=read_server("localhost", sender=sender))
    return compose(notice, channel, at=AT).as_bytes()


def test_names_from_a_store_make_no_headers_of_their_own() -> None:
    notice = a_notice() | {
        "subject": "Nine days\r\nBcc: cy@elm.example\u2028x\x00",
        "store_name": "Elm\r\nBcc: cy@elm.example",
    }
    with mailbox(Mailbox()) as box:
        mailed(box, notice)
    (message,) = box.messages
    assert message["Bcc"] is None
    assert message["Subject"] == "Nine days Bcc: cy@elm.example x\ufffd"
    assert box.recipients == [["ann@elm.example", "bo@elm.example"]]


def test_a_message_is_plain_ascii_in_short_lines_whatever_is_in_it() -> None:
    notice = a_notice() | {
        "text": "ü" * 2_000 + "\n.\n..\nlast\n",
        "html": "<p>" + "豆" * 5_000,
        "subject": "豆" * 300,
        "store_name": "ß" * 120,
        "id": "Süd" * 40,
    }
    many = ",".join(f"someone{number}@{'elm' * 9}.example" for number in range(40))
    written = composed(notice, to=many, sender=f"notices@{'fern' * 12}.example")
    assert written.isascii()
    assert max(len(line) for line in written.split(b"\r\n")) <= 998
    with mailbox(Mailbox()) as box:
        mailed(box, notice, to=many)
    assert part(box.messages[0], "plain").replace("\r\n", "\n") == notice["text"]
    assert box.messages[0]["Subject"] == notice["subject"]


def test_a_server_that_refuses_one_address_has_sent_to_the_others() -> None:
    with mailbox(Mailbox(refuses=frozenset({"bo@elm.example"}))) as box:
        refused = mailed(box, a_notice())
    assert refused == ("bo@elm.example (550 5.1.1 nobody of that name)",)
    assert box.recipients == [["ann@elm.example"]]


def test_a_server_that_refuses_every_address_has_sent_to_nobody() -> None:
    with (
        mailbox(Mailbox(refuses=frozenset(TO.split(",")))) as box,
        pytest.raises(DeliveryFailed) as failed,
    ):
        mailed(box, a_notice())
    assert str(failed.value) == (
        "the mail server refused ann@elm.example (550 5.1.1 nobody of that name);"
        " bo@elm.example (550 5.1.1 nobody of that name)"
    )
    assert box.messages == []


def test_a_server_that_refuses_the_message_is_quoted_on_one_line() -> None:
    with mailbox(Mailbox(is_full=True)) as box, pytest.raises(DeliveryFailed) as failed:
        mailed(box, a_notice())
    assert str(failed.value) == "the mail server answered 452 4.3.1 no room\ufffd[2J now"


def test_a_login_is_used_where_there_is_one() -> None:
    with mailbox(Mailbox()) as box:
        server = read_server(box.server, sender=SENDER, login="elm", password="opens")
        read_channel(f"smtp:{TO}", mail=server).deliver(a_notice())
    assert [one.login for one in box.logins] == [b"elm"]
    assert len(box.messages) == 1


def test_a_login_that_is_not_taken_is_said_without_the_password() -> None:
    with mailbox(Mailbox()) as box:
        server = read_server(box.server, sender=SENDER, login="elm", password="wr0ng")
        said = failure(read_channel(f"smtp:{TO}", mail=server))
    assert said == "the mail server did not take the login and the password"
    assert "wr0ng" not in repr(server)
    assert box.messages == []


def test_where_starttls_was_asked_for_nothing_is_sent_without_it() -> None:
    with mailbox(Mailbox()) as box:
        server = read_server(box.server, sender=SENDER, security=Security.STARTTLS)
        said = failure(read_channel(f"smtp:{TO}", mail=server))
    assert "offers no STARTTLS" in said
    assert box.messages == []


def test_where_tls_was_asked_for_a_server_without_it_is_told_apart() -> None:
    with mailbox(Mailbox()) as box:
        server = read_server(box.server, sender=SENDER, security=Security.TLS)
        said = failure(read_channel(f"smtp:{TO}", mail=server))
    assert said == "the mail server does not speak TLS there"
    assert box.messages == []


def test_a_server_that_is_not_there_takes_no_connection() -> None:
    with socket.socket() as deaf:
        deaf.bind(("127.0.0.1", 0))
        box = Mailbox(port=deaf.getsockname()[1])
        with pytest.raises(DeliveryFailed, match=r"^the mail server took no connection$"):
            mailed(box, a_notice())


@pytest.mark.parametrize(
    ("written", "security", "is_read"),
    [
        ("localhost:25", None, ("localhost", 25, Security.NONE)),
        ("127.0.0.1", None, ("127.0.0.1", 25, Security.NONE)),
        ("[::1]:2525", None, ("::1", 2525, Security.NONE)),
        ("localhost", Security.STARTTLS, ("localhost", 25, Security.STARTTLS)),
        ("mail.elm.example", None, ("mail.elm.example", 25, Security.STARTTLS)),
        ("mail.elm.example:587", None, ("mail.elm.example", 587, Security.STARTTLS)),
        ("mail.elm.example", Security.TLS, ("mail.elm.example", 465, Security.TLS)),
        ("mail.elm.example", Security.NONE, ("mail.elm.example", 25, Security.NONE)),
    ],
)
def test_a_server_elsewhere_is_spoken_to_in_secret_unless_told_otherwise(
    written: str, security: Security | None, is_read: tuple[str, int, Security]
) -> None:
    server = read_server(written, sender=SENDER, security=security)
    assert (server.host, server.port, server.security) == is_read


@pytest.mark.parametrize(
    "written", ["", "mail elm", "smtp://elm.example", "elm:0", "elm:65536", "elm:x", "-elm", "a/b"]
)
def test_what_is_no_mail_server_is_refused(written: str) -> None:
    with pytest.raises(SettingRefused, match="a mail server is written as its host"):
        read_server(written, sender=SENDER)


@pytest.mark.parametrize("sender", ["", "elm", "Elm <a@elm.example>", "a@elm.example\nBcc: b@c"])
def test_mail_is_from_one_plain_address(sender: str) -> None:
    with pytest.raises(SettingRefused, match="mail is from one plain address"):
        read_server("localhost", sender=sender)


def with_login(
    host: str, login: str | None, *, password: str | None, security: Security | None = None
) -> MailServer:
    return read_server(host, sender=SENDER, login=login, password=password, security=security)


def test_a_password_is_not_sent_to_another_machine_in_the_clear() -> None:
    with pytest.raises(SettingRefused, match="not sent to another machine"):
        with_login("mail.elm.example", "elm", password="opens", security=Security.NONE)
    assert with_login("mail.elm.example", "elm", password="opens").security is Security.STARTTLS


def test_a_login_and_a_password_come_together_in_ascii() -> None:
    with pytest.raises(SettingRefused, match="together, or neither"):
        with_login("localhost", "elm", password=None)
    with pytest.raises(SettingRefused, match="together, or neither"):
        with_login("localhost", None, password="opens")
    with pytest.raises(SettingRefused, match="plain ASCII"):
        with_login("localhost", "elm", password="öffnet")
