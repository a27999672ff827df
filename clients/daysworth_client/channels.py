"""Read the channels that a notice is posted to."""

from typing import Final

from daysworth_client.deliveries import Channel
from daysworth_client.errors import ChannelRefused
from daysworth_client.files import StandardOutput, read_file
from daysworth_client.hooks import read_hook
from daysworth_client.mail import MailServer, read_mail

KINDS: Final = "smtp: and addresses, hook: and a URL, file: and a path, or - for standard output"


def read_channel(written: str, *, mail: MailServer | None) -> Channel:
    """Read a channel as it is written on the command line, its kind in either case.

    `mail` None: there is no address to send from. Raises ChannelRefused, showing nothing of what
    stands after the kind, for that may be a secret.
    """
    if written == "-":
        return StandardOutput()
    if not written.isprintable():
        raise ChannelRefused("a channel is written on one line, without control characters")
    kind, _, rest = written.partition(":")
    kind = kind.lower()
    match kind:
        case "smtp":
            return read_mail(rest, written=f"{kind}:{rest}", server=mail)
        case "hook":
            return read_hook(rest, written=f"{kind}:{rest}")
        case "file":
            return read_file(rest, written=f"{kind}:{rest}")
        case _:
            raise ChannelRefused(f"a channel is {KINDS}")
