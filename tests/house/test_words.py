"""Hold the text of every file of the repository to what it may say."""

import subprocess
from pathlib import Path

from tests.house.rules import ROOT
from tests.house.source_tree import repository_files
from tests.house.word_rules import forbidden_words


def test_no_file_says_what_none_may_say() -> None:
    offences = [
        offence
        for path in repository_files()
        for offence in forbidden_words(path, (ROOT / path).read_text("utf-8", errors="replace"))
    ]
    assert offences == []


def test_the_files_that_are_read_are_the_repository() -> None:
    found = set(repository_files())
    assert {"README.md", "pyproject.toml", "deploy/dev.lock"} <= found
    assert "service/daysworth/reference/data/foods.csv" in found
    assert not [path for path in found if "__pycache__" in path]


def test_without_git_the_tree_is_walked_from_the_top(tmp_path: Path) -> None:
    for name in ("README.md", ".ci/run", "service/a.py", "service/__pycache__/a.pyc", ".venv/b.py"):
        (tmp_path / name).parent.mkdir(parents=True, exist_ok=True)
        (tmp_path / name).write_text("a", "utf-8")
    assert repository_files(tmp_path) == [".ci/run", "README.md", "service/a.py"]


def test_with_git_what_is_ignored_is_left_out_and_what_is_new_is_not(tmp_path: Path) -> None:
    subprocess.run(["git", "init", "-q"], cwd=tmp_path, check=True)
    for name, text in ((".gitignore", "left/\n"), ("new.md", "a"), ("left/out.md", "a")):
        (tmp_path / name).parent.mkdir(parents=True, exist_ok=True)
        (tmp_path / name).write_text(text, "utf-8")
    assert repository_files(tmp_path) == [".gitignore", "new.md"]
