"""Find what no file of the repository may say.

Each forbidden word is joined from pieces, so that this file does not say it.
"""

import re
from collections.abc import Iterator
from typing import Final


def joined(*pieces: str) -> str:
    """Join pieces into a word that must not stand in any file."""
    return "".join(pieces)


INDEX_HOSTS: Final = (
    joined("py", "pi.org"),
    joined("python", "hosted.org"),
    joined("npm", "js.org"),
    joined("npm", "js.com"),
    joined("ana", "conda.org"),
    joined("crates", ".io"),
)
MACHINE_FOLDERS: Final = (
    joined("wo", "rk"),
    joined("tm", "p"),
    joined("ro", "ot"),
    joined("ho", "me"),
)
UNFINISHED: Final = (joined("TO", "DO"), joined("FIX", "ME"), joined("X", "XX"))
UNCHECKED: Final = (
    joined(r"\bimportor", "skip"),
    joined(r"\b(pytest|unittest|mark)\.(sk", "ip|xf", "ail)"),
    joined(r"\.skip", r"Test\b"),
    joined(r"\bpragma:\s*no\s", "*cover"),
)

PATTERNS: Final = {
    "a package index": re.compile("|".join(map(re.escape, INDEX_HOSTS)), re.IGNORECASE),
    # After a letter or a brace it is a part of a longer path or of a URL, not a folder at the top.
    "a path of one machine": re.compile(
        rf"(?<![\w.}}/~$-])/({'|'.join(MACHINE_FOLDERS)})(?![\w.-])"
    ),
    "something unfinished": re.compile(rf"\b({'|'.join(UNFINISHED)})\b"),
    "a check that may not check": re.compile("|".join(UNCHECKED)),
}
"""What is forbidden, and how it is found."""


def forbidden_words(path: str, text: str) -> Iterator[str]:
    """Find the lines of a file that say what none may say."""
    for number, line in enumerate(text.splitlines(), start=1):
        for what, pattern in PATTERNS.items():
            if pattern.search(line):
                yield f"{path}:{number}: {what}: {line.strip()[:80]}"
