"""Read the tree once for all rules: modules, and the files of the repository."""

import re
import shutil
import subprocess
from collections.abc import Iterator
from functools import cache
from pathlib import Path
from typing import Final

from tests.house.rules import ROOT, sources

OURS: Final = tuple(sources("service", "clients"))
ALL: Final = OURS + tuple(sources("tests", "migrations"))
_CAPITAL_WITHIN: Final = re.compile(r"(?<=[a-z0-9])(?=[A-Z])")
_MADE_BY_TOOLS: Final = frozenset({"__pycache__", "dist", "build"})


@cache
def words_of(name: str) -> tuple[str, ...]:
    """Split an identifier, in snake case or camel case, into its words in lower case."""
    spaced = _CAPITAL_WITHIN.sub("_", name)
    return tuple(word for word in spaced.lower().split("_") if word)


def module_names(*packages: str, under: Path = ROOT / "service") -> list[str]:
    """List the dotted names of all modules of some packages, the packages themselves too."""
    paths = sorted(path for name in packages for path in (under / name).rglob("*.py"))
    dotted = (path.relative_to(under).with_suffix("").parts for path in paths)
    return [".".join(parts[:-1] if parts[-1] == "__init__" else parts) for parts in dotted]


def repository_files(root: Path = ROOT) -> list[str]:
    """List what git tracks or would track; outside a checkout, every file of the tree as it stands.

    What is not tracked yet and not ignored counts, so that an offence shows before it is committed.
    """
    is_checkout = (root / ".git").exists() and shutil.which("git") is not None
    found = _listed(root) if is_checkout else _walked(root)
    return sorted(path for path in set(found) if path and (root / path).is_file())


def _listed(root: Path) -> Iterator[str]:
    asked = ["git", "ls-files", "-z", "--cached", "--others", "--exclude-standard"]
    # A checkout that git refuses to list is an error here: a walk would read what is ignored.
    ran = subprocess.run(asked, cwd=root, capture_output=True, text=True, check=True)
    yield from ran.stdout.split("\0")


def _walked(root: Path) -> Iterator[str]:
    for path in root.rglob("*"):
        parts = path.relative_to(root).parts
        # Tools keep their own folders hidden; the checks' own hidden folder is the one we write.
        hidden = any(part.startswith(".") and part != ".ci" for part in parts[:-1])
        if not hidden and not _MADE_BY_TOOLS.intersection(parts) and "egg-info" not in str(path):
            yield "/".join(parts)
