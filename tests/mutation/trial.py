"""Try mutants: each in a process of its own, in which the tests run against the changed module.

The tree is never written to. The parent has loaded what no mutant changes, so that a process needs
only the tests and the decision modules.
"""

import importlib.abc
import importlib.machinery
import importlib.util
import os
import signal
import sys
from collections.abc import Iterator, Sequence
from contextlib import redirect_stderr, redirect_stdout
from dataclasses import dataclass
from pathlib import Path
from types import ModuleType
from typing import Final

import pytest

from daysworth.domain.catalogue import generic_foods
from daysworth.domain.label_reader import read_text
from tests.mutation.mutants import Mutant

ROOT: Final = Path(__file__).parents[2]
DOMAIN: Final = ROOT / "service" / "daysworth" / "domain"
AT_ONCE: Final = 2
LONGEST_S: Final = 120
_DOMAIN_TESTS: Final = (
    *("suitability", "known", "diets", "own_words", "regimes", "eaters", "reach", "stages"),
    *("sodium", "laws_on_labels", "strange_words", "avoided_words"),
)
_CHECKS: Final = ("tests/checks/test_allergen_law.py", "tests/checks/test_diet_claims.py")
_BARE: Final = (
    *("-x", "-q", "--tb=no", "--noconftest", "-p", "no:cacheprovider"),
    *("-o", "addopts=", "--import-mode=importlib"),
)
"""The first failure ends it; no plugin, and none of the fixtures that other tests begin with."""

_FIRST: Final = {
    "known": "known",
    "label_known": "known",
    "suitability": "suitability",
    "diets": "diets",
    "own_words": "own_words",
    "regimes": "regimes",
    "eaters": "eaters",
    "demands": "avoided_words",
    "sodium": "sodium",
    "medical_facts": "diets",
    "verdicts": "suitability",
    "offers": "regimes",
}
"""The decision modules, and the tests most likely to catch a change in each."""

MODULES: Final = tuple(_FIRST)


@dataclass(frozen=True, slots=True)
class Trial:
    """One mutant of one module, and whether the tests caught it."""

    module: str
    mutant: Mutant
    is_caught: bool


class _Changed(importlib.abc.MetaPathFinder, importlib.abc.Loader):
    """Load one module from a source that is given, whatever stands in its file."""

    def __init__(self, name: str, source: str) -> None:
        self._name, self._source = name, source

    def find_spec(
        self, fullname: str, path: object, target: ModuleType | None = None
    ) -> importlib.machinery.ModuleSpec | None:
        if fullname != self._name:
            return None
        return importlib.util.spec_from_loader(fullname, self)

    def exec_module(self, module: ModuleType) -> None:
        exec(compile(self._source, self._name, "exec"), module.__dict__)


def source_of(module: str) -> str:
    """Read a decision module."""
    return (DOMAIN / f"{module}.py").read_text("utf-8")


def load_what_no_mutant_changes() -> None:
    """Read the tables and the reader of labels once, for every process to come."""
    generic_foods()
    read_text("Ingredients: penuts, wheat, ???.", language="en")
    loaded = {f"daysworth.domain.{module}" for module in MODULES} & sys.modules.keys()
    if loaded:
        raise RuntimeError(f"loaded too early to be changed: {', '.join(sorted(loaded))}")


def trials(chosen: Sequence[tuple[str, Mutant]]) -> Iterator[Trial]:
    """Try mutants, two at a time, and give each as it ends."""
    waiting = list(reversed(chosen))
    running: dict[int, tuple[str, Mutant]] = {}
    while waiting or running:
        while waiting and len(running) < AT_ONCE:
            module, mutant = waiting.pop()
            running[_begin(module, mutant.source)] = (module, mutant)
        pid, status = os.wait()
        module, mutant = running.pop(pid)
        yield Trial(module, mutant, is_caught=status != 0)


def passes_unchanged(module: str) -> bool:
    """Tell whether the tests pass on the module as it stands."""
    return os.waitpid(_begin(module, source_of(module)), 0)[1] == 0


def _begin(module: str, source: str) -> int:
    """Start a process that runs the tests on a source; it ends with 0 where all pass."""
    pid = os.fork()
    if pid == 0:
        try:
            _run(module, source)
        finally:
            os._exit(3)
    return pid


def _run(module: str, source: str) -> None:
    signal.alarm(LONGEST_S)
    os.environ["PYTEST_DISABLE_PLUGIN_AUTOLOAD"] = "1"
    os.environ["DAYSWORTH_TEST_TIMES"] = "2"
    sys.dont_write_bytecode = True
    sys.meta_path.insert(0, _Changed(f"daysworth.domain.{module}", source))
    with open(os.devnull, "w") as nowhere, redirect_stdout(nowhere), redirect_stderr(nowhere):
        code = pytest.main([*_BARE, *_tests_for(module)])
    os._exit(int(code))


def _tests_for(module: str) -> list[str]:
    first = _FIRST[module]
    names = [first, *(name for name in _DOMAIN_TESTS if name != first)]
    return [*(f"tests/domain/test_{name}.py" for name in names), *_CHECKS]
