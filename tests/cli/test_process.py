"""A run that is a fork is like one that begins with nothing: what is said, and how it ends."""

import os
import sys
from pathlib import Path

import pytest

from tests.cli.documents import good_text
from tests.cli.process import DAYSWORTH, begun, forked

ENDS = {
    "in no way of its own": "print('done')",
    "with a code": "import sys; print('half'); sys.exit(3)",
    "with a code that no process has": "import sys; sys.exit(259)",
    "with words": "import sys; sys.exit('It cannot be.')",
    "with nothing to say": "import sys; sys.exit(None)",
    "with a signal": "import os, signal; os.kill(os.getpid(), signal.SIGKILL)",
    "at once": "import os; print('never written'); os._exit(4)",
    "when its thread ends": (
        "import threading, time\n"
        "threading.Thread(target=lambda: (time.sleep(0.1), print('last'))).start()"
    ),
    "with what it does at its end": "import atexit; atexit.register(print, 'last'); print('first')",
}

FAILS = {
    "in what it does": "def take():\n    raise LookupError('no tin')\nprint('half')\ntake()",
    "in what it calls": "import json; json.loads('{')",
    "before it begins": "print('half'",
    "as it is interrupted": "print('half'); raise KeyboardInterrupt",
    "where it writes": (
        "import os; os.dup2(os.open('/dev/full', os.O_WRONLY), 1); print('lost' * 9_999)"
    ),
    "where it writes at its end": (
        "import os; os.dup2(os.open('/dev/full', os.O_WRONLY), 1); print('lost')"
    ),
}

SEES = {
    "its arguments": "import sys; print(sys.argv)",
    "its environment": "import os; print(sorted(os.environ.items()))",
    "its folder": "import os; print(os.getcwd())",
    "all of its input": "import sys; print(len(sys.stdin.read())); print(sys.stdin.read())",
    "the first line of its input": "print(input())",
    "its files": "import sys; print([f.isatty() for f in (sys.stdin, sys.stdout, sys.stderr)])",
    "how its files are written": (
        "import sys\nfor f in (sys.stdin, sys.stdout, sys.stderr): print(f.encoding, f.errors)"
    ),
    "its hash seed": "print(hash('tin of peas'))",
    "where it is": "import sys; print(__name__, __file__, sys.path)",
    "its zone": "import time; print(time.tzname, time.localtime(0).tm_hour)",
    "what interrupts it": "import signal; print(signal.getsignal(signal.SIGINT))",
    "no file of another": "import os; print(sorted(os.listdir('/dev/fd')))",
}


def program(folder: Path, text: str) -> Path:
    """Write a program that can be started."""
    file = folder / "program"
    file.write_text(f"#!{sys.executable}\n{text}\n", "utf-8")
    file.chmod(0o755)
    return file


@pytest.mark.parametrize("text", [*ENDS.values(), *SEES.values()], ids=[*ENDS, *SEES])
def test_any_program_in_a_fork_sees_and_says_the_same_and_ends_alike(
    text: str, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setenv("TZ", "America/Chicago")
    monkeypatch.chdir(tmp_path)
    asked = program(tmp_path, text)
    given = b"first line\nsecond line\n"
    alone = begun(asked, "one", "two words", given=given)
    fork = forked(asked, "one", "two words", given=given)
    assert (fork.returncode, fork.stdout, fork.stderr) == (
        alone.returncode,
        alone.stdout,
        alone.stderr,
    )


@pytest.mark.parametrize("text", FAILS.values(), ids=FAILS)
def test_a_program_that_fails_in_a_fork_says_why_and_ends_alike(text: str, tmp_path: Path) -> None:
    asked = program(tmp_path, text)
    alone, fork = begun(asked), forked(asked)
    assert fork.returncode == alone.returncode != 0
    assert fork.stdout == alone.stdout
    assert fork.stderr.splitlines()[-1] == alone.stderr.splitlines()[-1]


def test_what_a_fork_does_is_not_there_for_the_next(tmp_path: Path) -> None:
    asked = program(
        tmp_path,
        "import json, os\nprint(hasattr(json, 'left'), 'LEFT' in os.environ, os.getpid())\n"
        "json.left = os.environ['LEFT'] = 'behind'",
    )
    first, second = (forked(asked).stdout.split() for _ in range(2))
    assert first[:2] == second[:2] == [b"False", b"False"]
    assert len({*first[2:], *second[2:], str(os.getpid()).encode()}) == 3


@pytest.mark.parametrize("seed", ["0", "99"])
def test_a_hash_seed_that_is_asked_for_is_had(seed: str, tmp_path: Path) -> None:
    asked = program(tmp_path, "print(hash('tin of peas'))")
    had = forked(asked, hash_seed=seed).stdout
    assert had == begun(asked, hash_seed=seed).stdout
    assert had != begun(asked, hash_seed="1").stdout


@pytest.mark.parametrize(
    ("arguments", "code"),
    [
        (("--help",), 0),
        (("plan", "coverage", "-"), 0),
        (("plan", "surplus", "-"), 0),
        (("kit-labels", "--sheets"), 0),
        (("snapshot", "schema"), 0),
        (("store", "create", "x", "--name", "X", "--database", "mysql://x/y"), 1),
        (("plan", "coverage", "none.json"), 1),
        (("plan", "coverage", "-", "--horizon", "0"), 2),
        (("no-such-command",), 2),
    ],
)
def test_the_command_begun_with_nothing_says_what_it_says_in_a_fork(
    arguments: tuple[str, ...], code: int
) -> None:
    alone = begun(DAYSWORTH, *arguments, given=good_text())
    fork = forked(DAYSWORTH, *arguments, given=good_text())
    assert alone.returncode == code, alone.stderr
    assert (fork.returncode, fork.stdout, fork.stderr) == (code, alone.stdout, alone.stderr)
