"""Hold imports to no work: nothing read, written, reached or printed, and nothing heavy loaded."""

from tests.house.import_rules import import_all, too_much
from tests.house.rules import ROOT
from tests.house.source_tree import module_names

PATHS = (ROOT / "service", ROOT / "clients")
DATEUTIL = frozenset({"dateutil"})


def test_the_command_loads_nothing_heavy() -> None:
    assert too_much(import_all(["daysworth.cli"], paths=PATHS)) == []


def test_no_module_of_the_domain_or_the_reference_loads_a_framework_or_a_solver() -> None:
    modules = module_names("daysworth/domain", "daysworth/reference")
    assert len(modules) > 15
    assert too_much(import_all(modules, paths=PATHS), allowed=DATEUTIL) == []


def test_no_planner_loads_a_framework() -> None:
    modules = module_names("daysworth/planners")
    assert "daysworth.planners.solver" in modules
    allowed = DATEUTIL | {"numpy", "highspy"}
    assert too_much(import_all(modules, paths=PATHS), allowed=allowed) == []


def test_importing_any_module_of_the_service_does_no_work() -> None:
    modules = module_names("daysworth")
    assert "daysworth.cli" in modules
    imported = import_all(modules, paths=PATHS)
    assert imported.work == []
    assert imported.printed == ""
