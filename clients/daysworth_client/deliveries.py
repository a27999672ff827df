"""Say what a channel is to whoever posts a notice to it, and tell deliveries apart."""

import re
from hashlib import sha256
from typing import Final, NewType, Protocol

from daysworth_client.figures import one_line
from daysworth_client.store_answers import NoticePart

ChannelId = NewType("ChannelId", str)
"""What the service knows of a channel: 64 hexadecimal digits that tell no address."""

_NOT_PLAIN: Final = re.compile(r"[^A-Za-z0-9]+")


class Channel(Protocol):
    """Take a notice to where a group of people reads it."""

    @property
    def written(self) -> str:
        """Give the channel as it was written, its kind in lower case."""

    @property
    def label(self) -> str:
        """Give what the service is told of it: no address, and nothing that is secret."""

    @property
    def shown(self) -> str:
        """Give its name for whoever runs the command: nothing that is secret."""

    def deliver(self, notice: NoticePart) -> tuple[str, ...]:
        """Deliver a notice, and give those of its addresses that were refused, if not all were.

        Raises DeliveryFailed where nobody got it.
        """


def channel_id(written: str) -> ChannelId:
    """Give a channel's id: SHA-256 of the channel as it was written."""
    return ChannelId(sha256(written.encode()).hexdigest())


def delivery_digest(notice: NoticePart, written: str) -> str:
    """Tell one notice on one channel from all others: 32 hexadecimal digits, the same each time."""
    return sha256(f"{notice['id']}\n{channel_id(written)}".encode()).hexdigest()[:32]


def delivery_key(notice: NoticePart, written: str) -> str:
    """Give that digest after the notice's id: at most 97 plain letters, digits and hyphens."""
    readable = _NOT_PLAIN.sub("-", notice["id"]).strip("-")[:64]
    return f"{readable}-{delivery_digest(notice, written)}"


def terminal_text(notice: NoticePart) -> str:
    """Give a notice's text so that nothing in it moves the cursor of a terminal."""
    return "\n".join(one_line(line) for line in notice["text"].splitlines()) + "\n"
