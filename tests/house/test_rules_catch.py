"""Show that each house rule catches what it is for."""

from collections.abc import Callable, Iterable

import pytest

from tests.house import rules
from tests.house.rules import Source

LONG = "\n".join(["def long():", *["    x = 1"] * 60])

CASES: list[tuple[Callable[[Source], Iterable[str]], str, str]] = [
    (rules.too_long, "service/a.py", "\n" * 401),
    (rules.too_long, "service/a.py", LONG),
    (rules.vague_names, "service/utils.py", ""),
    (rules.vague_names, "service/helpers/a.py", ""),
    (rules.second_words, "service/a.py", "def find(user_id): ..."),
    (rules.second_words, "service/a.py", "class Inventory: ..."),
    (rules.second_words, "service/a.py", "locations = []"),
    (rules.dates_without_ending, "service/a.py", "class A:\n    opened: date | None"),
    (rules.dates_without_ending, "service/a.py", "class A:\n    sent: datetime"),
    (rules.figures_without_unit, "service/a.py", "class A:\n    energy: float"),
    (rules.figures_without_unit, "service/a.py", "class A:\n    water_total: float"),
    (rules.loose_signatures, "service/a.py", "def f(a, b, c): ..."),
    (rules.loose_signatures, "service/a.py", "def f(a: bool): ..."),
    (rules.undocumented, "service/a.py", "'''A module.'''\ndef f(): ..."),
    (rules.undocumented, "service/a.py", "'''A module.'''\nclass A:\n    '''no sentence'''"),
    (rules.undocumented, "service/a.py", "x = 1"),
    (rules.bare_any, "service/a.py", "def f(a: Any): ..."),
    (rules.caught_all, "service/a.py", "try:\n    f()\nexcept Exception:\n    g()"),
    (rules.caught_all, "service/a.py", "try:\n    f()\nexcept:\n    g()"),
]


@pytest.mark.parametrize(("rule", "path", "text"), CASES)
def test_the_rule_catches(rule: Callable[[Source], Iterable[str]], path: str, text: str) -> None:
    assert list(rule(Source(path, text)))


@pytest.mark.parametrize(
    ("rule", "text"),
    [
        (rules.loose_signatures, "class A:\n    def f(self, a, b, *, c: bool): ..."),
        (rules.dates_without_ending, "class A:\n    opened_on: date\n    sent_at: datetime"),
        (rules.figures_without_unit, "class A:\n    energy_kcal: float\n    mass_g: float"),
        (rules.undocumented, "'''A module.'''\ndef f():\n    '''Do it.'''\ndef _g(): ..."),
        (rules.second_words, "def place(lot): ..."),
    ],
)
def test_the_rule_lets_good_code_pass(rule: Callable[[Source], Iterable[str]], text: str) -> None:
    assert list(rule(Source("service/a.py", text))) == []


@pytest.mark.parametrize(
    "line",
    [
        "https://" + "py" + "pi.org/simple",
        "/" + "work/main/x",
        "../" + "shared/facts",
        "# TO" + "DO later",
        "pytest.sk" + "ip('no')",
        "assert T" + "rue",
    ],
)
def test_forbidden_text_is_found(line: str) -> None:
    assert list(rules.forbidden_text("a.md", f"fine\n{line}\n"))
