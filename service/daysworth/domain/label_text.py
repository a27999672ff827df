"""Turn a label's characters into plain ones, keeping where each stood in the text as given.

Plain characters are lower-case Latin letters without accents, digits, and a few signs. What the
eye does not see (soft hyphens, zero-width and direction marks, controls) is taken out, and letters
of another script that look like Latin ones become the Latin ones: a word that a person reads as
"milk" is read as "milk" here. That they were there is kept, since a text with such letters was
not simply copied from a pack.
"""

import re
import unicodedata
from dataclasses import dataclass
from functools import lru_cache
from typing import Final

# Unicode Technical Standard 39 (confusables) has these pairs; the choice of them is from memory.
_LOOK_ALIKE: Final = dict(
    zip(
        "абвгдеёзијклмнорсԁԛѕтухһіїјԝьѵαβγδεζηικμνορτυχωϲϳɑɡɩɪᴀʙᴄᴅᴇꜰɢʜᴊᴋʟᴍɴᴏᴘʀꜱᴛᴜᴠᴡʏᴢո",
        "abbgdee3ujkjmhopcdqstyxhiijwbvabydezniku" + "voptuxwcjagiiabcdefghjklmnoprstuvwyzn",
        strict=True,
    )
)
_CAPITALS_ALIKE: Final = dict(
    zip(
        "АВЕЗКМНОРСТУХІЈЅҮԌԚԜΑΒΕΖΗΙΚΜΝΟΡΤΥΧᏟᎪᏴᎬ",
        "abe3kmhopctyxijsygqwabezhikmnoptyxcabe",
        strict=True,
    )
)
_LATIN: Final = {"æ": "ae", "œ": "oe", "ø": "o", "ł": "l", "đ": "d", "ð": "d", "þ": "th", "ı": "i"}
_SIGNS: Final = {
    **dict.fromkeys("‐‑‒–—―−﹘﹣－", "-"),
    **dict.fromkeys("‘’‛′`´ʼ", "'"),
    **dict.fromkeys("•·∙‣◦●▪■|،、､‚¦・", ","),
    **dict.fromkeys('*†‡^~®©™℠¹²³"“”«»„_', " "),
    **dict.fromkeys("。｡", "."),
    **dict.fromkeys("\r\x0b\x0c\x1c\x1d\x1e\x85\u2028\u2029", "\n"),
    **dict.fromkeys("⁄∕＼\\", "/"),
    **dict.fromkeys("【〔⟨", "["),
    **dict.fromkeys("】〕⟩", "]"),
    "؛": ";",
    "\t": " ",
    "\n": "\n",
    "\u00ad": "",
}
_NAMED_BY_A_LETTER: Final = re.compile(r"(?<![^\W\d_])[αβγδωµμΑΒΓΔΩ](?![^\W\d_])")
_PLAIN: Final = re.compile(r"[ -~\n]*\Z")
_PLAIN_SIGNS: Final = str.maketrans({**dict.fromkeys('*^~"_', " "), "`": "'", "|": ",", "\\": "/"})


@dataclass(frozen=True, slots=True, kw_only=True)
class LabelText:
    """A label's text in plain characters.

    `offsets` holds, for each plain character, where it stood in `given`; None: in the same place.
    `has_strange_letters` says that other scripts, look-alikes or unseen marks were in it.
    """

    given: str
    plain: str
    offsets: tuple[int, ...] | None = None
    has_strange_letters: bool = False

    def at(self, place: int) -> int:
        """Tell where a plain character stood in the text as given."""
        return place if self.offsets is None else self.offsets[place]

    def words(self, start: int, end: int) -> str:
        """Give the text as it was given between two places of the plain text, the end excluded."""
        if end <= start:
            return ""
        return self.given[self.at(start) : self.at(end - 1) + 1]


def clean(text: str) -> LabelText:
    """Make a text plain. Any text at all can be made so."""
    if _PLAIN.match(text):
        return LabelText(given=text, plain=text.lower().translate(_PLAIN_SIGNS))
    # The line break of a form is two characters and one break.
    letters = [_plain_character(character) for character in text.replace("\r\n", " \n")]
    named = {found.start() for found in _NAMED_BY_A_LETTER.finditer(text)}
    offsets = [at for at, (plain, _) in enumerate(letters) for _ in plain]
    return LabelText(
        given=text,
        plain="".join(plain for plain, _ in letters),
        offsets=tuple(offsets),
        has_strange_letters=any(
            is_strange and at not in named for at, (_, is_strange) in enumerate(letters)
        ),
    )


@lru_cache(maxsize=4096)
def _plain_character(character: str) -> tuple[str, bool]:
    if character in _SIGNS:
        return _SIGNS[character], False
    if character in _CAPITALS_ALIKE:
        return _CAPITALS_ALIKE[character], True
    kind = unicodedata.category(character)
    if kind in ("Cc", "Cf", "Co", "Cs", "Cn"):
        return "", True
    if kind in ("Zs", "Zl", "Zp"):
        return " ", False
    parted = unicodedata.normalize("NFKD", character).casefold()
    parted = unicodedata.normalize("NFKD", parted)
    plain, is_strange = [], False
    for one in parted:
        if unicodedata.combining(one) or unicodedata.category(one) in ("Mn", "Me"):
            continue
        latin = _SIGNS.get(one) or _LATIN.get(one) or one
        if not latin.isascii():
            is_strange = is_strange or latin.isalpha()
            latin = _LOOK_ALIKE.get(latin, latin)
        plain.append(latin)
    return "".join(plain), is_strange
