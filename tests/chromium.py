"""Find the Chromium of this machine, and decide what becomes of the tests in a real browser.

No browser is ever downloaded: the one that the system's packages bring is driven. Where there is
none those tests are left out, and the run says so; a run that must not leave them out asks for
them by `DAYSWORTH_TEST_BROWSER=required`, and then each of them fails.
"""

import shutil
from collections.abc import Iterable, Mapping
from enum import Enum, auto
from pathlib import Path
from typing import Final

FOLDER: Final = Path(__file__).with_name("browser")
"""Where the tests are that need a browser."""

ASKED: Final = "DAYSWORTH_TEST_BROWSER"
REQUIRED: Final = "required"

NOT_RUN: Final = (
    "The tests in a real browser were NOT RUN: there is no Chromium on this machine.\n"
    "To run them: apt-get install chromium, then python -m pytest tests/browser"
)

_NAMES: Final = ("chromium", "chromium-browser", "google-chrome")


class Course(Enum):
    """What becomes of the tests in a browser."""

    RUN = auto()
    LEFT_OUT = auto()
    FAIL = auto()


def find_chromium(path: str | None = None) -> str | None:
    """Give the file that starts Chromium, None where there is none.

    `path` lists the folders to look in, as PATH does; None: those of PATH.
    """
    found = (shutil.which(name, path=path) for name in _NAMES)
    return next((file for file in found if file is not None), None)


def course(chromium: str | None, environment: Mapping[str, str]) -> Course:
    """Decide, by what was found and what was asked. Raises ValueError for what cannot be asked."""
    asked = environment.get(ASKED, "")
    if asked not in ("", REQUIRED):
        raise ValueError(f"{ASKED} is {asked!r}: it says {REQUIRED!r}, or is not there")
    if chromium is not None:
        return Course.RUN
    return Course.FAIL if asked == REQUIRED else Course.LEFT_OUT


def needs_browser(path: Path) -> bool:
    """Tell whether a file or a folder of tests is among those that need a browser."""
    return path.is_relative_to(FOLDER)


def includes_browser(asked: Iterable[Path]) -> bool:
    """Tell whether a run of these files and folders would include tests that need a browser."""
    return any(needs_browser(path) or FOLDER.is_relative_to(path) for path in asked)


def said_first(chromium: str | None, decided: Course) -> str:
    """Say, at the head of a run, what becomes of the tests in a browser."""
    if chromium is not None:
        return f"browser: {chromium}"
    if decided is Course.FAIL:
        return "browser: there is no Chromium, and the tests that need it must run: they will fail"
    return "browser: there is no Chromium; the tests that need it are left out"
