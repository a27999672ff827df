"""Page lists by cursor, with RFC 8288 links. A cursor is opaque to whoever follows it."""

import base64
import binascii
from typing import Annotated, Generic, TypeVar
from urllib.parse import quote, urlencode

from fastapi import Depends, Query, Request
from pydantic import BaseModel, Field

from daysworth.db.pages_of_rows import MOST_A_PAGE
from daysworth.domain.errors import Fault, FieldsRefused

Item = TypeVar("Item")


class ListOut(BaseModel, Generic[Item]):
    """One page of a list; `next` is the address of the next one, null on the last."""

    items: list[Item]
    next: str | None = Field(examples=["/v1/stores/larkmoss-lane/lots?limit=100&cursor=TDE"])


class Paging:
    """Which page of a list is asked for."""

    def __init__(self, request: Request, *, limit: int, cursor: str | None) -> None:
        self.limit = limit
        self.after = "" if cursor is None else _read(cursor)
        self._request = request

    def after_number(self) -> int:
        """Give the number after which this page begins. Raises FieldsRefused where it is none."""
        if not self.after:
            return 0
        if not (self.after.isascii() and self.after.isdecimal() and len(self.after) <= 9):
            raise _not_ours()
        return int(self.after)

    def after_entry(self) -> tuple[int, int]:
        """Give the version and line after which this page begins. Raises FieldsRefused."""
        if not self.after:
            return (-1, -1)
        parts = self.after.partition(".")[::2]
        if not all(part.isdecimal() and part.isascii() and len(part) < 16 for part in parts):
            raise _not_ours()
        version, line = map(int, parts)
        return (version, line)

    def link_to(self, next_after: str | None) -> str | None:
        """Give the address of the next page; None: this was the last."""
        if next_after is None:
            return None
        asked = [
            (name, value)
            for name, value in self._request.query_params.multi_items()
            if name != "cursor"
        ]
        asked.append(("cursor", _write(next_after)))
        return f"{quote(self._request.scope['path'])}?{urlencode(asked)}"


# Asynchronous, as every dependency here: the framework would run another in a thread.
async def _page_asked(
    request: Request,
    *,
    limit: Annotated[int, Query(ge=1, le=MOST_A_PAGE, description="Items a page.")] = 100,
    cursor: Annotated[
        str | None, Query(max_length=400, description="Where the last page ended.")
    ] = None,
) -> Paging:
    return Paging(request, limit=limit, cursor=cursor)


PageAsked = Annotated[Paging, Depends(_page_asked)]


def _write(key: str) -> str:
    return base64.urlsafe_b64encode(key.encode()).decode().rstrip("=")


def _read(cursor: str) -> str:
    try:
        padded = cursor.encode("ascii") + b"=" * (-len(cursor) % 4)
        key = base64.b64decode(padded, altchars=b"-_", validate=True).decode()
    except (binascii.Error, UnicodeError) as fault:
        raise _not_ours() from fault
    if "\x00" in key:
        raise _not_ours()
    return key


def _not_ours() -> FieldsRefused:
    return FieldsRefused((Fault("cursor", "is none that this list gave: begin without one"),))
