"""A person who has a keyboard and nothing else: types, and looks where the focus is."""

from dataclasses import dataclass
from typing import Final

from playwright.sync_api import Page

from tests.browser.visiting import wait_until_drawn

KEYS: Final = frozenset(
    {"Tab", "Shift+Tab", "Space", "Enter", "ArrowUp", "ArrowDown", "ArrowLeft", "ArrowRight"}
)
MOST_TABS: Final = 90

_FOCUS: Final = """() => {
    const at = document.activeElement;
    if (!at || at === document.body) return ["nowhere", []];
    const what = at.type === "radio" || at.type === "checkbox"
        ? `${at.name}=${at.value}`
        : at.id || at.innerText.replace(/\\s+/g, " ").trim();
    const missing = [];
    const shown = getComputedStyle(at);
    if (!at.matches(":focus-visible")) missing.push("not shown as focused");
    if (shown.outlineStyle === "none" || parseFloat(shown.outlineWidth) < 2)
        missing.push("without an outline");
    const around = at.getBoundingClientRect();
    if (around.top < -1 || around.bottom > innerHeight + 1) missing.push("out of sight");
    const over = document.elementFromPoint(
        around.left + around.width / 2, around.top + around.height / 2);
    if (over === null || !(at.contains(over) || over.contains(at))) missing.push("covered");
    return [what, missing];
}"""
"""Where the focus is: an id, a name and its value, or words; and what keeps it from being seen."""


@dataclass(frozen=True)
class Keyboard:
    """A page, and a keyboard to use it with. Wherever the focus goes, it must be seen."""

    page: Page

    @property
    def focus(self) -> str:
        """Give what has the focus, which must be in sight and show that it has it."""
        found: tuple[str, list[str]] = self.page.evaluate(_FOCUS)
        what, missing = found
        assert missing == [], f"the focus on {what!r} is {' and '.join(missing)}"
        return what

    def types(self, text: str) -> None:
        """Type into whatever has the focus."""
        self.page.keyboard.type(text)

    def presses(self, *keys: str) -> str:
        """Press keys that stay on the page, and give what has the focus then."""
        for key in keys:
            assert key in KEYS, f"{key} is not among the keys that this takes"
            self.page.keyboard.press(key)
        return self.focus

    def sends(self, key: str = "Enter") -> str:
        """Press a key that leads to another page, and give what has the focus there."""
        assert key in KEYS, f"{key} is not among the keys that this takes"
        with self.page.expect_navigation():
            self.page.keyboard.press(key)
        wait_until_drawn(self.page)
        return self.focus

    def tabs_to(self, what: str) -> None:
        """Press Tab until something has the focus; everything on the way must be seen, too."""
        passed = []
        at = self.focus
        while at != what:
            passed.append(at)
            assert len(passed) < MOST_TABS, f"{what!r} is not among {passed}"
            at = self.presses("Tab")
