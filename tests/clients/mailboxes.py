"""Take mail on this machine, over SMTP on a port that is free, for as long as a block takes."""

import asyncio
from collections.abc import Iterator
from contextlib import contextmanager
from dataclasses import dataclass, field
from email.message import EmailMessage
from email.parser import BytesParser
from email.policy import default

from aiosmtpd.controller import Controller
from aiosmtpd.smtp import SMTP, AuthResult, Envelope, LoginPassword, Session


@dataclass
class Mailbox:
    """What came; addresses in `refuses` are taken by nobody here, nor messages if `is_full`."""

    refuses: frozenset[str] = frozenset()
    is_full: bool = False
    port: int = 0
    named: list[str] = field(default_factory=list)
    logins: list[LoginPassword] = field(default_factory=list)
    recipients: list[list[str]] = field(default_factory=list)
    messages: list[EmailMessage] = field(default_factory=list)

    @property
    def server(self) -> str:
        """Give where it is, as host:port."""
        return f"127.0.0.1:{self.port}"

    async def handle_RCPT(  # noqa: N802
        self, server: SMTP, session: Session, envelope: Envelope, address: str, options: list[str]
    ) -> str:
        """Take an address, or not."""
        if address in self.refuses:
            return "550 5.1.1 nobody of that name"
        envelope.rcpt_tos.append(address)
        return "250 OK"

    async def handle_DATA(  # noqa: N802
        self, server: SMTP, session: Session, envelope: Envelope
    ) -> str:
        """Take a message, or not."""
        if self.is_full:
            return "452 4.3.1 no room\x1b[2J now"
        assert isinstance(envelope.content, bytes)
        parsed = BytesParser(EmailMessage, policy=default).parsebytes(envelope.content)
        self.named.append(str(session.host_name))
        self.recipients.append(envelope.rcpt_tos)
        self.messages.append(parsed)
        return "250 OK"

    def authenticate(
        self, server: SMTP, session: Session, envelope: Envelope, mechanism: str, data: object
    ) -> AuthResult:
        """Let in whoever has the password."""
        assert isinstance(data, LoginPassword)
        self.logins.append(data)
        return AuthResult(success=data.password == b"opens", handled=False)


class _AnyPort(Controller):
    def _create_server(self) -> "asyncio.Future[asyncio.AbstractServer]":
        return asyncio.ensure_future(self._listen(), loop=self.loop)

    async def _listen(self) -> asyncio.AbstractServer:
        server = await super()._create_server()
        assert isinstance(server, asyncio.Server)
        self.port = server.sockets[0].getsockname()[1]
        return server


@contextmanager
def mailbox(box: Mailbox) -> Iterator[Mailbox]:
    """Take mail into the box until the block ends."""
    controller = _AnyPort(
        box, hostname="127.0.0.1", port=0, authenticator=box.authenticate, auth_require_tls=False
    )
    controller.start()
    box.port = controller.port
    try:
        yield box
    finally:
        controller.stop()
