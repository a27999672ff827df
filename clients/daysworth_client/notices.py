"""Post a week's notice to channels, each once, and say of each what came of it.

A posting is begun with the service, delivered, and reported: whoever begins it alone may deliver
it, for ten minutes. A run that ends between delivery and report is thus followed by a second
delivery, which bears the same key or Message-ID; nothing short of that is sent twice.
"""

from collections.abc import Iterable, Iterator
from dataclasses import dataclass

from daysworth_client.connection import Begun, Connection, Posted, Posting, UnderWay
from daysworth_client.deliveries import Channel, channel_id
from daysworth_client.errors import AskFailed, DeliveryFailed
from daysworth_client.figures import day_in_words
from daysworth_client.weeks import Week


@dataclass(frozen=True, slots=True)
class Told:
    """What came of one channel, in words."""

    words: str
    has_failed: bool = False


def post(connection: Connection, channels: Iterable[Channel], *, week: Week) -> Iterator[Told]:
    """Post a week's notice to each channel in turn; one that fails does not stop the others."""
    for channel in channels:
        try:
            posting = connection.begin_posting(
                week, channel=channel_id(channel.written), label=channel.label
            )
        except AskFailed as fault:
            yield Told(f"Not posted to {channel.shown}: {in_words(fault)}.", has_failed=True)
            continue
        yield _posted(connection, channel, posting=posting)


def in_words(fault: AskFailed) -> str:
    """Say why the store gave no answer, with each fault it named."""
    faults = "; ".join(str(one) for one in getattr(fault, "faults", ()))
    said = str(fault).rstrip(".")
    return f"{said} ({faults})" if faults else said


def _posted(connection: Connection, channel: Channel, *, posting: Posting) -> Told:
    match posting:
        case Posted(at):
            on = day_in_words(at.date().isoformat())
            return Told(f"Already posted to {channel.shown} on {on}.")
        case UnderWay():
            return Told(f"Another run is posting to {channel.shown} now.")
        case Begun():
            return _delivered(connection, channel, begun=posting)


def _delivered(connection: Connection, channel: Channel, *, begun: Begun) -> Told:
    id_ = channel_id(channel.written)
    try:
        refused = channel.deliver(begun.notice)
    except DeliveryFailed as fault:
        return _freed(connection, channel, begun=begun, why=str(fault))
    try:
        connection.end_posting(begun, channel=id_, is_posted=True)
    except AskFailed as fault:
        words = (
            f"Delivered to {channel.shown}, but not recorded, so that a later run may deliver it"
            f" again: {in_words(fault)}."
        )
        return Told(words, has_failed=True)
    if refused:
        # The others have it: to try again would send it to them twice.
        left_out = "; ".join(refused)
        return Told(f"Posted to {channel.shown}, except to {left_out}.", has_failed=True)
    return Told(f"Posted to {channel.shown}.")


def _freed(connection: Connection, channel: Channel, *, begun: Begun, why: str) -> Told:
    said = f"Not posted to {channel.shown}: {why}."
    try:
        connection.end_posting(begun, channel=channel_id(channel.written), is_posted=False)
    except AskFailed as fault:
        said += f" It can be tried again in ten minutes, not sooner: {in_words(fault)}."
    return Told(said, has_failed=True)
