"""Say in words why a mail server did not take a message."""

import smtplib
import ssl
from collections.abc import Mapping
from typing import Final

from daysworth_client.figures import one_line

ANSWER_S: Final = 30.0
"""How long the mail server may take over each of its answers, in seconds."""

_LONGEST_REPLY: Final = 160
_WORDS: Final[tuple[tuple[type[Exception], str], ...]] = (
    (smtplib.SMTPNotSupportedError, "offers no STARTTLS, or no login, and that was asked for"),
    (smtplib.SMTPException, "closed the connection"),
    (ssl.SSLCertVerificationError, "has a certificate that cannot be verified"),
    (ssl.SSLError, "does not speak TLS there"),
    (TimeoutError, f"did not answer within {ANSWER_S:.0f} seconds"),
)
"""In this order: a class that is a kind of another stands before it."""


def why_not_sent(fault: Exception) -> str:
    """Say why a message was not sent; what the server says of a login is not repeated."""
    match fault:
        case smtplib.SMTPRecipientsRefused():
            why = "refused " + "; ".join(refusals(fault.recipients))
        case smtplib.SMTPAuthenticationError():
            why = "did not take the login and the password"
        case smtplib.SMTPResponseException():
            why = f"answered {_reply(fault.smtp_code, fault.smtp_error)}"
        case _:
            said = (words for kind, words in _WORDS if isinstance(fault, kind))
            why = next(said, "took no connection")
    return f"the mail server {why}"


def refusals(replies: Mapping[str, tuple[int, bytes]]) -> list[str]:
    """Name each address that was refused, with what the server said."""
    return [f"{address} ({_reply(*reply)})" for address, reply in replies.items()]


def _reply(code: int, words: bytes | str) -> str:
    said = words.decode(errors="replace") if isinstance(words, bytes) else words
    return one_line(f"{code} {' '.join(said.split())}")[:_LONGEST_REPLY].rstrip()
