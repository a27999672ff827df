"""Import modules in a process of their own, and tell what that loaded and what work it did."""

import json
import os
import subprocess
import sys
from collections.abc import Sequence
from dataclasses import dataclass
from pathlib import Path
from typing import Final

from tests.house.rules import ROOT

HEAVY: Final = (
    "numpy", "scipy", "highspy", "pydantic", "pydantic_core", "fastapi", "starlette", "sqlmodel",
    "sqlalchemy", "httpx", "dateutil",
)  # fmt: skip
WORK: Final = ("socket.connect", "socket.bind", "subprocess.Popen", "os.system", "sqlite3.connect")

PROBE: Final = """
import importlib, json, os, sys
modules, root, heavy, work = json.loads(sys.argv[1])
loaded, did, current = {}, [], [""]

def watch(event, args):
    if event in work:
        did.append(f"{current[0]}: {event}")
    if event == "open" and isinstance(args[0], str):
        path, mode, flags = os.path.abspath(args[0]), args[1] or "r", args[2] or 0
        # An environment may stand inside the repository; what it installs is not ours.
        ours = path.startswith(root + os.sep) and not path.endswith((".py", ".pyc"))
        ours = ours and os.sep + "site-packages" + os.sep not in path
        cached = os.sep + "__pycache__" + os.sep in path
        writes = flags & (os.O_WRONLY | os.O_RDWR) and not cached
        if (ours and not cached) or writes:
            did.append(f"{current[0]}: opens {os.path.basename(path)}")

sys.addaudithook(watch)
for name in modules:
    current[0] = name
    before = set(sys.modules)
    importlib.import_module(name)
    loaded[name] = sorted(set(heavy) & (set(sys.modules) - before))
# On a line of its own, whatever a module may have printed without ending its line.
print()
print(json.dumps([loaded, did]))
"""


@dataclass(frozen=True)
class Imported:
    """What came of importing some modules, one after the other, in one process."""

    loaded: dict[str, list[str]]
    """By module, the heavy packages that were first loaded by it."""
    work: list[str]
    """Files of ours read, anything written, connections and processes: what import must not do."""
    printed: str
    """What was printed, which must be nothing."""


def import_all(modules: Sequence[str], *, paths: Sequence[Path], root: Path = ROOT) -> Imported:
    """Import modules in the order given, and report; an import that fails is an error."""
    asked = json.dumps([list(modules), str(root), HEAVY, WORK])
    ran = subprocess.run(
        [sys.executable, "-c", PROBE, asked],
        capture_output=True,
        text=True,
        check=True,
        env={**os.environ, "PYTHONPATH": os.pathsep.join(map(str, paths))},
    )
    *printed, answer = ran.stdout.splitlines()
    loaded, work = json.loads(answer)
    return Imported(loaded=loaded, work=work, printed=("\n".join(printed) + ran.stderr).strip())


def too_much(imported: Imported, *, allowed: frozenset[str] = frozenset()) -> list[str]:
    """List the heavy packages that each module brought along, but for those it may."""
    return [
        f"{module} loads {package}"
        for module, packages in imported.loaded.items()
        for package in packages
        if package not in allowed
    ]
