"""Show a text that came from anywhere: what has no shape, or turns text around, becomes a sign."""

import re
from typing import Final

_UNSEEN: Final = re.compile(
    "[\x00-\x08\x0b-\x1f\x7f-\x9f\u00ad\u061c\u200b\u200e\u200f\u2028-\u202e\u2060-\u206f"
    "\ud800-\udfff\ufeff\ufff9-\ufffb\U000e0000-\U000e007f]"
)
"""Controls but for tab and line break, marks of direction, what has no width, and half letters. The
joiners stay: Persian and the languages of India are written with them."""

REPLACEMENT: Final = "\ufffd"
_BREAKS: Final = re.compile("\r\n?|[\x0b\x0c\x85\u2028\u2029]")


def harmless(text: str) -> str:
    """Give a text with a replacement sign for each letter that nobody would see as it is."""
    return _UNSEEN.sub(REPLACEMENT, _BREAKS.sub("\n", text))
