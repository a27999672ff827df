"""Find what a partner says that no store can keep: window ids in no address, words on two lines."""

from collections.abc import Iterator
from typing import Final

from daysworth.domain.errors import Fault
from daysworth.domain.identifiers import is_addressable, is_plain
from daysworth.domain.partners import Partner

_NO_ADDRESS: Final = "an id has no slash, line break or control sign in it"
_NOT_PLAIN: Final = "has no line break or control sign in it"


def partner_faults(partner: Partner) -> Iterator[Fault]:
    """Find every such fault; a window is named by its number, from 1."""
    for where, words in (
        ("name", partner.name),
        ("contact", partner.contact),
        ("notes", partner.notes),
    ):
        if not is_plain(words):
            yield Fault(where, _NOT_PLAIN)
    for number, window in enumerate(partner.windows, start=1):
        if not is_addressable(window.id):
            yield Fault(f"windows number {number} > id", _NO_ADDRESS)
        for where, words in (
            ("driver", window.driver),
            ("appointment", window.appointment),
            ("contact", window.contact),
        ):
            if not is_plain(words):
                yield Fault(f"windows number {number} > {where}", _NOT_PLAIN)
