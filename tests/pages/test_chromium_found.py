"""Where there is no Chromium, the tests in a browser are left out aloud, or fail if they must run.

None of this needs a browser.
"""

import os
import subprocess
import sys
from pathlib import Path

import pytest

from tests.chromium import (
    ASKED,
    FOLDER,
    NOT_RUN,
    REQUIRED,
    Course,
    course,
    find_chromium,
    includes_browser,
    needs_browser,
    said_first,
)

ROOT = FOLDER.parents[1]


def _put(folder: Path, name: str) -> str:
    file = folder / name
    file.write_text("#!/bin/sh\n", "utf-8")
    file.chmod(0o755)
    return str(file)


@pytest.mark.parametrize("name", ["chromium", "chromium-browser", "google-chrome"])
def test_a_browser_is_found_under_each_of_its_names(tmp_path: Path, name: str) -> None:
    assert find_chromium(str(tmp_path)) is None
    assert _put(tmp_path, name) == find_chromium(str(tmp_path))


def test_what_cannot_be_started_is_no_browser(tmp_path: Path) -> None:
    (tmp_path / "chromium").write_text("", "utf-8")
    assert find_chromium(str(tmp_path)) is None


def test_of_several_the_system_s_own_is_taken(tmp_path: Path) -> None:
    _put(tmp_path, "google-chrome")
    assert _put(tmp_path, "chromium") == find_chromium(str(tmp_path))


def test_with_a_browser_the_tests_run_however_they_were_asked_for() -> None:
    assert course("chromium", {}) is Course.RUN
    assert course("chromium", {ASKED: REQUIRED}) is Course.RUN


def test_without_a_browser_they_are_left_out_unless_they_must_run() -> None:
    assert course(None, {}) is Course.LEFT_OUT
    assert course(None, {ASKED: ""}) is Course.LEFT_OUT
    assert course(None, {ASKED: REQUIRED}) is Course.FAIL


def test_asking_for_something_else_is_a_mistake_and_leaves_nothing_out() -> None:
    for found in (None, "chromium"):
        with pytest.raises(ValueError, match="it says 'required', or is not there"):
            course(found, {ASKED: "Required"})


def test_only_what_stands_in_the_folder_needs_a_browser() -> None:
    assert needs_browser(FOLDER)
    assert needs_browser(FOLDER / "test_anything.py")
    assert not needs_browser(FOLDER.with_name("browsers"))
    assert not needs_browser(FOLDER.with_name("pages") / "test_log.py")


def test_a_run_of_other_folders_leaves_nothing_out() -> None:
    assert includes_browser([FOLDER.parent])
    assert includes_browser([FOLDER.with_name("house"), FOLDER / "test_anything.py"])
    assert not includes_browser([FOLDER.with_name("house"), FOLDER.with_name("pages")])


def test_the_head_of_a_run_says_which_browser_or_that_there_is_none() -> None:
    assert said_first("/opt/chromium", Course.RUN) == "browser: /opt/chromium"
    assert said_first(None, Course.LEFT_OUT).endswith("the tests that need it are left out")
    assert said_first(None, Course.FAIL).endswith("they will fail")


def _run_without_browser(folder: Path, *arguments: str, asked: str) -> tuple[int, list[str]]:
    # What these runs would not use is not loaded: it takes a fifth of their time.
    without = ("-p", "no:cacheprovider", "-p", "no:schemathesis")
    ran = subprocess.run(
        [sys.executable, "-m", "pytest", *without, *arguments],
        cwd=ROOT,
        env={**os.environ, "PATH": str(folder), ASKED: asked},
        capture_output=True,
        text=True,
        check=False,
    )
    return ran.returncode, ran.stdout.splitlines()


def test_a_run_that_leaves_them_out_says_so_in_its_last_lines(tmp_path: Path) -> None:
    status, said = _run_without_browser(tmp_path, "tests/browser", asked="")
    assert status == pytest.ExitCode.NO_TESTS_COLLECTED
    assert "browser: there is no Chromium; the tests that need it are left out" in said
    assert said[-3:-1] == NOT_RUN.splitlines()


def test_where_they_must_run_and_cannot_each_fails_with_that_sentence(tmp_path: Path) -> None:
    status, said = _run_without_browser(
        tmp_path, "-q", "tests/browser/test_two_phones.py", asked=REQUIRED
    )
    assert status == pytest.ExitCode.TESTS_FAILED
    assert said.count(NOT_RUN.splitlines()[0]) == 3
    assert said[-1].startswith("3 errors")
