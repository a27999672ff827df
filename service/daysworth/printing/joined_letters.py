"""Join Arabic letters: choose the form of each by the letters beside it.

The forms are characters of the Unicode Standard (Arabic Presentation Forms A and B), each of which
says of which letter it is a form; so the table is read from the character database.
"""

from collections.abc import Iterator
from functools import cache
from unicodedata import category, decomposition

_Forms = dict[str, dict[str, str]]
"""Letters (or lam and alef together), and the character of each of their forms."""


def joined_letters(text: str) -> str:
    """Write Arabic letters in the forms that they have beside each other; keep all others."""
    if all(letter not in _forms() for letter in text):
        return text
    return "".join(_shaped(text))


def _shaped(text: str) -> Iterator[str]:
    at = 0
    while at < len(text):
        pair = text[at : at + 2]
        letter = pair if pair in _forms() else text[at]
        before, after = _beside(text, at, step=-1), _beside(text, at + len(letter) - 1, step=1)
        is_after = _reaches_on(before) and _is_reached(letter)
        is_before = _reaches_on(letter) and _is_reached(after)
        wanted = {
            (False, False): "isolated",
            (False, True): "initial",
            (True, False): "final",
            (True, True): "medial",
        }[is_after, is_before]
        yield _forms().get(letter, {}).get(wanted, letter)
        at += len(letter)


def _beside(text: str, at: int, *, step: int) -> str:
    """Give the next letter on one side; marks above and below letters do not part them."""
    at += step
    while 0 <= at < len(text) and category(text[at]) == "Mn":
        at += step
    return text[at] if 0 <= at < len(text) else ""


def _reaches_on(letter: str) -> bool:
    """Tell whether a letter joins the one that follows it."""
    return "initial" in _forms().get(letter, {}) or letter == "\u0640"


def _is_reached(letter: str) -> bool:
    """Tell whether a letter joins the one before it."""
    return "final" in _forms().get(letter, {}) or letter == "\u0640"


@cache
def _forms() -> _Forms:
    found: _Forms = {}
    for code in [*range(0xFB50, 0xFC00), *range(0xFE70, 0xFEFD)]:
        kind, *parts = decomposition(chr(code)).split() or [""]
        letters = "".join(chr(int(part, 16)) for part in parts)
        is_ligature = len(letters) == 2 and letters[0] == "\u0644"
        if kind in ("<isolated>", "<final>", "<initial>", "<medial>") and (
            len(letters) == 1 or is_ligature
        ):
            found.setdefault(letters, {}).setdefault(kind.strip("<>"), chr(code))
    return found
