"""Hold the whole tree to the house rules; none of them lists an exception."""

import os
import subprocess
import sys
from collections.abc import Callable, Iterable

import pytest

from tests.house import rules
from tests.house.rules import ROOT, Source, sources

OURS = sources("service", "clients")
ALL = OURS + sources("tests", "migrations")


@pytest.mark.parametrize(
    ("rule", "tree"),
    [
        (rules.too_long, ALL),
        (rules.vague_names, ALL),
        (rules.second_words, ALL),
        (rules.dates_without_ending, OURS),
        (rules.figures_without_unit, OURS),
        (rules.loose_signatures, OURS),
        (rules.undocumented, OURS),
        (rules.bare_any, OURS),
        (rules.caught_all, ALL),
    ],
    ids=lambda value: getattr(value, "__name__", None),
)
def test_no_module_breaks_the_rule(
    rule: Callable[[Source], Iterable[str]], tree: list[Source]
) -> None:
    assert [offence for source in tree for offence in rule(source)] == []


def test_half_of_all_functions_fit_in_a_dozen_lines() -> None:
    assert rules.median_lines(OURS) < rules.MEDIAN_FUNCTION_LINES


def test_the_tree_that_is_held_to_the_rules_is_the_whole_tree() -> None:
    paths = {source.path for source in ALL}
    assert "service/daysworth/planners/coverage.py" in paths
    assert "clients/daysworth_client/summary.py" in paths
    assert len(paths) > 60


def test_no_file_names_an_index_a_machine_or_something_unfinished() -> None:
    offences = [
        offence
        for path in repository_files()
        for offence in rules.forbidden_text(path, (ROOT / path).read_text("utf-8"))
    ]
    assert offences == []


def repository_files() -> list[str]:
    """List the files of the repository, as git has them or, without git, as they stand."""
    listed = subprocess.run(
        ["git", "ls-files", "--cached", "--others", "--exclude-standard"],
        cwd=ROOT,
        capture_output=True,
        text=True,
        check=False,
    )
    if listed.returncode == 0:
        return [path for path in listed.stdout.splitlines() if (ROOT / path).is_file()]
    return [
        os.path.relpath(os.path.join(folder, name), ROOT)
        for top in ("service", "clients", "tests", "migrations", "deploy", ".ci")
        for folder, _, names in os.walk(ROOT / top)
        for name in names
        if not name.endswith(".pyc")
    ]


HEAVY = ("numpy", "highspy", "pydantic", "scipy", "fastapi", "sqlalchemy", "dateutil")


def loaded_by(module: str) -> set[str]:
    """Import a module in a process of its own, and list the heavy packages it brought along."""
    script = f"import sys, {module}; print(*[m for m in {HEAVY!r} if m in sys.modules])"
    ran = subprocess.run([sys.executable, "-c", script], capture_output=True, text=True, check=True)
    return set(ran.stdout.split())


def test_the_command_loads_nothing_heavy_before_it_is_asked_something() -> None:
    assert loaded_by("daysworth.cli") == set()


def test_the_client_loads_nothing_of_the_service() -> None:
    assert loaded_by("daysworth_client.summary") == set()


@pytest.mark.parametrize("module", ["snapshot", "suitability", "catalogue", "cautions", "rounds"])
def test_the_domain_loads_no_framework_and_no_solver(module: str) -> None:
    assert loaded_by(f"daysworth.domain.{module}") <= {"dateutil"}
