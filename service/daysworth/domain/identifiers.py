"""Keep the ids of different things apart, so that a lot is never taken for a food."""

import re
from typing import Annotated, Final, NewType

from annotated_types import Len

StoreId = NewType("StoreId", str)
HouseholdId = NewType("HouseholdId", str)
MemberId = NewType("MemberId", str)
FoodId = NewType("FoodId", str)
LotId = NewType("LotId", str)
PlaceId = NewType("PlaceId", str)
KitId = NewType("KitId", str)
PatternId = NewType("PatternId", str)
PartnerId = NewType("PartnerId", str)
WindowId = NewType("WindowId", str)
PromiseId = NewType("PromiseId", str)

_UNPLAIN: Final = re.compile(
    "[\x00-\x1f\x7f-\x9f\u2028\u2029\u202a-\u202e\u2066-\u2069\ud800-\udfff\ufeff]"
)
"""What no name and no reason has in it: controls, line breaks, and marks that turn text around."""


def is_plain(text: str) -> bool:
    """Tell whether a text is words on one line, in any language's letters."""
    return _UNPLAIN.search(text) is None


def is_addressable(id_: str) -> bool:
    """Tell whether an id can stand in an address: plain, no slash, and no dots alone."""
    return "/" not in id_ and id_ not in (".", "..") and _UNPLAIN.search(id_) is None


IdLength = Len(1, 64)
"""How long an id may be, in characters."""

Name = Annotated[str, Len(1, 120)]
"""Words a person reads, in characters."""
