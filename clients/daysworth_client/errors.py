"""Name everything that asking a store, or delivering its notice, can end in.

    ClientError
    ├── SettingRefused         an address, a token or a mail server that cannot be used
    ├── ChannelRefused         a channel that is none, or is written wrongly; nothing was posted
    ├── AskFailed              the store gave no answer that can be used
    │   ├── Unreachable        no answer came; what was asked may have been done or not
    │   ├── Refused            the store said no, and why
    │   └── NotUnderstood      what came is not the answer expected
    └── DeliveryFailed         a channel did not take a notice

No message of these holds a token, a password, or the path of a hook.
"""

from collections.abc import Sequence
from dataclasses import dataclass


class ClientError(Exception):
    """Stand at the root of every error that is meant to be shown to a person."""


class SettingRefused(ClientError, ValueError):
    """Say that an address, a token or a mail server cannot be used as it is written."""


class ChannelRefused(ClientError, ValueError):
    """Say that a channel is none that there is, or is written wrongly."""


class AskFailed(ClientError):
    """Say that the store gave no answer that can be used."""


class Unreachable(AskFailed):
    """Say that no answer came; what was asked may have been done or not."""


class NotUnderstood(AskFailed):
    """Say that what came is not the answer expected."""


@dataclass(frozen=True, slots=True)
class Fault:
    """Locate one thing wrong in what was asked: `where` in the reader's words, and `what`."""

    where: str
    what: str

    def __str__(self) -> str:
        return f"{self.where}: {self.what}" if self.where else self.what


class Refused(AskFailed):
    """Say that the store said no: a problem document (RFC 9457) in an error's form.

    `status` is that of HTTP; `faults` may be none.
    """

    def __init__(
        self, status: int, *, title: str, detail: str = "", faults: Sequence[Fault] = ()
    ) -> None:
        super().__init__(f"{title}: {detail}" if detail else title)
        self.status = status
        self.title = title
        self.detail = detail
        self.faults = tuple(faults)


class DeliveryFailed(ClientError):
    """Say why a channel did not take a notice."""
