"""Deliver a notice by mail: one message, as text and as HTML, to all of a channel's addresses."""

import re
import smtplib
import ssl
from contextlib import closing, suppress
from dataclasses import dataclass, field
from datetime import UTC, datetime
from email.headerregistry import Address
from email.message import EmailMessage
from email.policy import SMTP
from enum import StrEnum
from typing import Final

from daysworth_client.addresses import is_loopback
from daysworth_client.deliveries import delivery_digest
from daysworth_client.errors import ChannelRefused, DeliveryFailed, SettingRefused
from daysworth_client.figures import count, one_line
from daysworth_client.mail_faults import ANSWER_S, refusals, why_not_sent
from daysworth_client.store_answers import NoticePart

_PORT: Final = 25
_PORT_OF_TLS: Final = 465
"""RFC 8314, section 7.3: submission over TLS from the first byte."""

_WORD: Final = r"[A-Za-z0-9!#$%&'*+/=?^_`{|}~-]+"
_LABEL: Final = r"[A-Za-z0-9](?:[A-Za-z0-9-]{0,61}[A-Za-z0-9])?"
_ADDRESS: Final = re.compile(rf"{_WORD}(?:\.{_WORD})*@{_LABEL}(?:\.{_LABEL})*")
"""RFC 5322's dot-atom, at a host name of RFC 1123: no quoted names, and no letters beyond ASCII."""

_SERVER: Final = re.compile(
    rf"(?:\[(?P<number>[0-9a-fA-F:.]+)\]|(?P<host>{_LABEL}(?:\.{_LABEL})*))(?::(?P<port>[0-9]{{1,5}}))?"
)


class Security(StrEnum):
    """How what is sent to a mail server is kept from being read on the way."""

    NONE = "none"
    STARTTLS = "starttls"
    TLS = "tls"


@dataclass(frozen=True, slots=True, kw_only=True)
class MailServer:
    """The server that takes mail, the address it is from, and a login where it wants one."""

    host: str
    port: int
    sender: str
    security: Security
    login: str | None = None
    password: str | None = field(default=None, repr=False)

    @property
    def domain(self) -> str:
        """Give the domain that mail is from."""
        return self.sender.rpartition("@")[2]


def read_server(
    written: str,
    *,
    sender: str,
    security: Security | None = None,
    login: str | None = None,
    password: str | None = None,
) -> MailServer:
    """Read HOST or HOST:PORT: 25 if not given, or 465 for TLS; an IPv6 number stands in brackets.

    `security` None: STARTTLS, or none on this machine itself. Raises SettingRefused.
    """
    match = _SERVER.fullmatch(written)
    if match is None or not 0 < int(match["port"] or _PORT) < 65_536:
        raise SettingRefused("a mail server is written as its host, or as its host:port")
    host = match["number"] or match["host"]
    if not _is_address(sender):
        raise SettingRefused("mail is from one plain address, such as notices@fernhollow.example")
    if security is None:
        security = Security.NONE if is_loopback(host) else Security.STARTTLS
    _check_login(login, password)
    if login is not None and security is Security.NONE and not is_loopback(host):
        raise SettingRefused("a password is not sent to another machine without starttls or tls")
    port = int(match["port"] or (_PORT_OF_TLS if security is Security.TLS else _PORT))
    return MailServer(
        host=host, port=port, sender=sender, security=security, login=login, password=password
    )


def _check_login(login: str | None, password: str | None) -> None:
    if (login is None) is not (password is None):
        raise SettingRefused("a mail server takes a login and a password together, or neither")
    if not f"{login or ''}{password or ''}".isascii():
        raise SettingRefused("a login and a password for mail are plain ASCII letters and signs")


def _is_address(written: str) -> bool:
    # RFC 5321, section 4.5.3.1: 64 octets before the @, and 254 in all between < and >.
    name = written.partition("@")[0]
    return len(name) <= 64 and len(written) <= 254 and _ADDRESS.fullmatch(written) is not None


@dataclass(frozen=True, slots=True)
class MailChannel:
    """Mail a notice to some addresses, all in one message."""

    addresses: tuple[str, ...]
    written: str
    server: MailServer

    @property
    def label(self) -> str:
        """Give how many addresses it has, and none of them."""
        return f"smtp, {count(len(self.addresses), 'address', many='addresses')}"

    @property
    def shown(self) -> str:
        """Give it as it was written."""
        return self.written

    def deliver(self, notice: NoticePart) -> tuple[str, ...]:
        """Send the message, and give the addresses that the server refused, if not all.

        Raises DeliveryFailed.
        """
        message = compose(notice, self, at=datetime.now(UTC))
        try:
            return _send(message, self)
        except (OSError, UnicodeError) as fault:
            raise DeliveryFailed(why_not_sent(fault)) from None


def read_mail(addresses: str, *, written: str, server: MailServer | None) -> MailChannel:
    """Read addresses, with commas between them. Raises ChannelRefused."""
    listed = tuple(dict.fromkeys(addresses.split(",")))
    wrong = [number for number, one in enumerate(listed, start=1) if not _is_address(one)]
    if wrong:
        raise ChannelRefused(
            "smtp: is followed by plain addresses with commas between them, and no spaces"
            f" (number {wrong[0]} is none)"
        )
    if server is None:
        raise ChannelRefused("mail needs an address that it is from")
    return MailChannel(listed, written, server)


def compose(notice: NoticePart, channel: MailChannel, *, at: datetime) -> EmailMessage:
    """Write the message. The same notice on the same channel has the same Message-ID each time."""
    server = channel.server
    name, _, domain = server.sender.rpartition("@")
    message = EmailMessage(policy=SMTP)
    message["From"] = Address(_header_text(notice["store_name"]), name, domain)
    message["To"] = ", ".join(channel.addresses)
    message["Subject"] = _header_text(notice["subject"])
    message["Date"] = at
    # Short, so that it stands on one line: some servers look no further.
    message["Message-ID"] = f"<{delivery_digest(notice, channel.written)}@{domain}>"
    # RFC 3834: who is away does not answer it.
    message["Auto-Submitted"] = "auto-generated"
    message.set_content(notice["text"], cte="quoted-printable")
    message.add_alternative(notice["html"], subtype="html", cte="quoted-printable")
    return message


def _header_text(words: str) -> str:
    return one_line(" ".join(words.split()))


def _send(message: EmailMessage, channel: MailChannel) -> tuple[str, ...]:
    server = channel.server
    with closing(_connect(server)) as session:
        if server.security is Security.STARTTLS:
            session.starttls(context=ssl.create_default_context())
        if server.login is not None and server.password is not None:
            session.login(server.login, server.password)
        refused = session.send_message(message, server.sender, channel.addresses)
        # The server has taken the message: however it says goodbye, it is sent.
        with suppress(OSError):
            session.quit()
    return tuple(refusals(refused))


def _connect(server: MailServer) -> smtplib.SMTP:
    # Named after the domain that mail is from, it looks up no name of this machine.
    if server.security is Security.TLS:
        return smtplib.SMTP_SSL(
            server.host,
            server.port,
            local_hostname=server.domain,
            timeout=ANSWER_S,
            context=ssl.create_default_context(),
        )
    return smtplib.SMTP(server.host, server.port, local_hostname=server.domain, timeout=ANSWER_S)
