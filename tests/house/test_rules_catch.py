"""Show that each of the house rules catches what it is for, and lets good code pass."""

from collections.abc import Callable, Iterable
from pathlib import Path

import pytest

from tests.house import name_rules, signature_rules, size_rules
from tests.house.import_rules import import_all, too_much
from tests.house.rules import Source
from tests.house.source_tree import words_of
from tests.house.word_rules import forbidden_words, joined

Rule = Callable[[Source], Iterable[str]]
SAID = "\n".join(f"    x = {number}" for number in range(50))

CAUGHT: list[tuple[Rule, str]] = [
    (size_rules.long_modules, "x = 1\n" * 400 + "x = 1"),
    (size_rules.long_functions, f"def f():\n{SAID}\n"),
    (
        size_rules.long_functions,
        f"class A:\n    async def f(self):\n{SAID.replace('    ', ' ' * 8)}",
    ),
    (name_rules.second_words, "def find(family): ..."),
    (name_rules.second_words, "class LotInventory: ..."),
    (name_rules.second_words, "class A:\n    batches: int"),
    (name_rules.second_words, "self.location = 1"),
    (name_rules.second_words, "import a as warehouse"),
    (name_rules.second_words, "item_lots = []"),
    (name_rules.second_words, "def f(*, user_id): ..."),
    (name_rules.second_words, "families = {}"),
    (name_rules.second_words, "try:\n    f()\nexcept A as basket:\n    g()"),
    (name_rules.second_words, "match a:\n    case B() as sku: ..."),
    (name_rules.figures_without_unit, "class A:\n    energy: float"),
    (name_rules.figures_without_unit, "class A:\n    sodium: int | None"),
    (name_rules.figures_without_unit, "class A:\n    daily_protein: Annotated[float, Ge(0)]"),
    (name_rules.figures_without_unit, "class A:\n    energies: tuple[float, ...]"),
    (name_rules.figures_without_unit, "class A:\n    horizon: int = 3"),
    (name_rules.figures_without_unit, "class A:\n    kg_of_mass: float"),
    (signature_rules.many_placed, "def f(a, b, c): ..."),
    (signature_rules.many_placed, "def f(a, /, b, c): ..."),
    (signature_rules.many_placed, "def f(a, b, self): ..."),
    (signature_rules.placed_booleans, "def f(a: bool): ..."),
    (signature_rules.placed_booleans, "def f(a: 'bool'): ..."),
    (signature_rules.placed_booleans, "def f(a, b=False): ..."),
    (signature_rules.placed_booleans, "def f(*flags: bool): ..."),
    (signature_rules.placed_booleans, "class A:\n    def f(self, a: bool | None = None): ..."),
    (signature_rules.unsaid, "def f(): ..."),
    (signature_rules.unsaid, "def f():\n    '''Do it'''"),
    (signature_rules.unsaid, "def f():\n    '''Do it\n    at once.'''"),
    (signature_rules.unsaid, "class A:\n    '''A thing.'''\n    def f(self): ..."),
    (signature_rules.any_as_a_type, "from typing import Any"),
    (signature_rules.any_as_a_type, "from typing import Any as Whatever"),
    (signature_rules.any_as_a_type, "import typing\ndef f(a: typing.Any): ..."),
    (signature_rules.any_as_a_type, "def f() -> 'list[Any]': ..."),
    (signature_rules.any_as_a_type, "class A:\n    a: 'Any'"),
    (signature_rules.caught_all, "try:\n    f()\nexcept:\n    g()"),
    (signature_rules.caught_all, "try:\n    f()\nexcept (ValueError, Exception):\n    g()"),
    (signature_rules.caught_all, "try:\n    f()\nexcept builtins.BaseException:\n    g()"),
    (signature_rules.caught_all, "with contextlib.suppress(Exception):\n    g()"),
]
LET_PASS: list[tuple[Rule, str]] = [
    (size_rules.long_modules, "x = 1\n" * 400),
    (size_rules.long_functions, f"def f():\n    '''Do.\n\n    Much.\n    '''\n\n\n{SAID[:-11]}\n"),
    (name_rules.second_words, "def place(lot, household, member, food): ..."),
    (name_rules.second_words, "for item in combine(binary, familiar): ..."),
    (name_rules.figures_without_unit, "class A:\n    energy_kcal_100g: float\n    days: int"),
    (name_rules.figures_without_unit, "class A:\n    water_l_per_day: float\n    water: Water"),
    (name_rules.figures_without_unit, "class A:\n    energy_share: float"),
    (signature_rules.many_placed, "class A:\n    def f(self, a, b, *, c, d): ..."),
    (signature_rules.placed_booleans, "def f(a, b=0, *, c: bool = True): ..."),
    (signature_rules.unsaid, "def f():\n    '''Do it (3.5 kcal).\n\n    At once. Always.'''"),
    (signature_rules.unsaid, "def _f(): ..."),
    (signature_rules.any_as_a_type, "def f(a: Annotated[int, 'Any figure at all']): ..."),
    (signature_rules.caught_all, "try:\n    f()\nexcept (KeyError, OSError):\n    g()"),
]


@pytest.mark.parametrize(("rule", "text"), CAUGHT)
def test_the_closer_rule_catches(rule: Rule, text: str) -> None:
    assert list(rule(Source("service/a.py", text)))


@pytest.mark.parametrize(("rule", "text"), LET_PASS)
def test_the_closer_rule_lets_good_code_pass(rule: Rule, text: str) -> None:
    assert list(rule(Source("service/a.py", text))) == []


def test_a_module_named_by_a_second_word_is_caught() -> None:
    assert list(name_rules.second_words(Source("service/daysworth/locations.py", "")))


def test_the_median_counts_no_docstring_and_no_blank_line() -> None:
    short = Source("a.py", "def f():\n    '''Do.\n\n    It.'''\n\n    return 1\n")
    long = Source("b.py", f"def f():\n{SAID}\n")
    assert size_rules.median_read_lines([short]) == 2
    assert size_rules.median_read_lines([short, long]) == 26.5


def test_identifiers_are_split_at_capitals_and_underscores() -> None:
    assert words_of("LotInventory_id") == ("lot", "inventory", "id")
    assert words_of("_ENERGY_KCAL") == ("energy", "kcal")


@pytest.mark.parametrize(
    "line",
    [
        joined("see py", "pi.org for more"),
        joined("https://files.python", "hosted.org/x"),
        joined("cd /wo", "rk"),
        joined("open('/tm", "p/x')"),
        joined("HOME=/ro", "ot"),
        joined("in /ho", "me/ann/x"),
        joined("# TO", "DO: more"),
        joined("# FIX", "ME"),
        joined("X", "XX"),
        joined("@pytest.mark.sk", "ipif(a)"),
        joined("@pytest.mark.xf", "ail"),
        joined("pytest.importor", "skip('a')"),
        joined("@unittest.sk", "ip('a')"),
        joined("self.skip", "Test('a')"),
        joined("# pragma: no ", "cover"),
    ],
)
def test_a_forbidden_word_is_found_with_its_line(line: str) -> None:
    (offence,) = forbidden_words("a.md", f"fine\n{line}\nfine")
    assert offence.startswith("a.md:2: ")


@pytest.mark.parametrize(
    "line",
    ["https://example.org" + "/wo" + "rk/x", "$root/home", "skip_covered = true", "homework/tmpfs"],
)
def test_an_innocent_line_is_let_pass(line: str) -> None:
    assert list(forbidden_words("a.md", line)) == []


@pytest.mark.parametrize(
    ("text", "fault"),
    [
        ("open(__file__.replace('offender.py', 'foods.csv')).close()", "opens foods.csv"),
        ("open(__file__.replace('offender.py', 'new.txt'), 'w').close()", "opens new.txt"),
        ("import sqlite3\nsqlite3.connect(':memory:').close()", "sqlite3.connect"),
        ("import subprocess, sys\nsubprocess.run([sys.executable, '-V'])", "subprocess.Popen"),
    ],
)
def test_work_done_while_importing_is_caught(tmp_path: Path, text: str, fault: str) -> None:
    (tmp_path / "foods.csv").write_text("a", "utf-8")
    (tmp_path / "offender.py").write_text(text, "utf-8")
    imported = import_all(["offender"], paths=[tmp_path], root=tmp_path)
    assert f"offender: {fault}" in imported.work


def test_a_module_that_only_defines_does_no_work(tmp_path: Path) -> None:
    (tmp_path / "innocent.py").write_text("import json\n\ndef f(): ...", "utf-8")
    imported = import_all(["innocent"], paths=[tmp_path], root=tmp_path)
    assert (imported.work, imported.printed) == ([], "")


def test_what_is_printed_while_importing_is_caught(tmp_path: Path) -> None:
    (tmp_path / "offender.py").write_text("print('hello', end='')", "utf-8")
    assert import_all(["offender"], paths=[tmp_path], root=tmp_path).printed == "hello"


def test_a_heavy_package_is_laid_to_the_module_that_loads_it_first(tmp_path: Path) -> None:
    (tmp_path / "innocent.py").write_text("import json", "utf-8")
    (tmp_path / "offender.py").write_text("import numpy", "utf-8")
    imported = import_all(["innocent", "offender"], paths=[tmp_path], root=tmp_path)
    assert too_much(imported) == ["offender loads numpy"]
    assert too_much(imported, allowed=frozenset({"numpy"})) == []
