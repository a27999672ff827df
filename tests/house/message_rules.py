"""Hold pages and papers to the catalogue: every sentence there, every key used, none missing."""

import re
from collections.abc import Iterator
from html.parser import HTMLParser
from typing import Final

from tests.house.rules import ROOT

_SERVICE: Final = ROOT / "service" / "daysworth"
_KEY: Final = re.compile(r"^([a-z][a-z0-9_-]*) =", re.MULTILINE)
_ASKED: Final = re.compile(r"""say\(\s*["']([a-z0-9_-]+)["']\s*(~|\+)?""")
_NAMED: Final = re.compile(r"""["']([a-z][a-z0-9_]*(?:-[a-z0-9_]+)+-?)["']""")
_BUILT: Final = re.compile(r"""f["']([a-z][a-z0-9_-]*-)\{""")
_EXPRESSIONS: Final = re.compile(r"\{\{.*?\}\}|\{%.*?%\}|\{#.*?#\}", re.DOTALL)
_ATTRIBUTES: Final = re.compile(r"\{% macro [^%]*%\}([^<]*)\{% endmacro %\}")
"""A macro without a tag in it writes attributes into one."""
_WORD: Final = re.compile(r"[^\W\d_]{2,}")
_SPOKEN: Final = ("alt", "title", "placeholder", "aria-label", "content")
_MACHINE: Final = frozenset({"width=device-width, initial-scale=1", "light dark"})


def templates() -> dict[str, str]:
    """Read every template, by its path."""
    found = sorted(_SERVICE.glob("*/templates/*.html"))
    return {str(path.relative_to(ROOT)): path.read_text("utf-8") for path in found}


def keys_kept() -> list[str]:
    """List the keys of the catalogue, each as often as it stands there."""
    files = sorted((_SERVICE / "wording" / "en").glob("*.ftl"))
    return [key for file in files for key in _KEY.findall(file.read_text("utf-8"))]


def keys_asked(text: str) -> Iterator[str]:
    """Give the keys that a text asks for; one that is put together ends with a dash."""
    yield from (key for key, joined in _ASKED.findall(text) if not joined)
    yield from (key for key, joined in _ASKED.findall(text) if joined)


def keys_named() -> set[str]:
    """Give whatever may be a key anywhere in the service's modules and templates."""
    modules = [path.read_text("utf-8") for path in sorted(_SERVICE.rglob("*.py"))]
    found: set[str] = set()
    for text in [*modules, *templates().values()]:
        found.update(keys_asked(text))
        found.update(_NAMED.findall(text))
        found.update(_BUILT.findall(text))
    return found


def is_used(key: str, named: set[str]) -> bool:
    """Tell whether a key is named, or begins as one does that is put together."""
    return key in named or any(key.startswith(one) for one in named if one.endswith("-"))


def words_outside(template: str) -> list[str]:
    """List the words of a template that a reader would see and no catalogue has."""
    reader = _Words()
    reader.feed(_EXPRESSIONS.sub(" ", _ATTRIBUTES.sub(" ", template)))
    return reader.found


class _Words(HTMLParser):
    def __init__(self) -> None:
        super().__init__()
        self.found: list[str] = []
        self._inside_style = False

    def handle_starttag(self, tag: str, attrs: list[tuple[str, str | None]]) -> None:
        self._inside_style = tag == "style"
        for name, value in attrs:
            if name in _SPOKEN and value not in _MACHINE:
                self.found.extend(_WORD.findall(value or ""))

    def handle_endtag(self, tag: str) -> None:
        self._inside_style = False

    def handle_data(self, data: str) -> None:
        if not self._inside_style:
            self.found.extend(_WORD.findall(data))
