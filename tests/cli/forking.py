"""Begin the command many times, each time in a fork of one process that has read its modules.

This is run as a program: `forking.py SOCKET`, with the number of an open socket. A byte on it comes
with four open files: what is asked for (an `Asked` in JSON), and the standard input, output and
error of the run. The exit code goes back, negative for a signal. It ends with the socket.

A fork becomes what it would be if it had been started from nothing: arguments, environment, folder
and files are its own, and it ends as Python ends. What Python reads only as it starts (the hash
seed, the locale) is that of the process which forks.
"""

import atexit
import gc
import json
import os
import pkgutil
import runpy
import signal
import socket
import struct
import sys
import threading
import time
from contextlib import suppress
from importlib import import_module
from typing import Final, NoReturn, TypedDict

CODE: Final = struct.Struct("i")
_FAILED: Final = 1
BEGAN_WITH: Final = signal.getsignal(signal.SIGINT)
"""What an interrupt does: whoever begins something in the background may have it ignored."""


class Asked(TypedDict):
    """What a run is asked for with; the command is the file of a program in Python."""

    command: str
    arguments: list[str]
    environment: dict[str, str]
    folder: str


def read_ahead() -> None:
    """Read what takes a run long to read and is the same for all of them: modules, and tables.

    Raises RuntimeError where that began a thread, which a fork would lack.
    """
    package = import_module("daysworth")
    for module in pkgutil.walk_packages(package.__path__, "daysworth."):
        import_module(module.name)
    import_module("fpdf")
    # The first label that is read has the tables of what labels say read.
    import_module("daysworth.domain.label_reader").read_text("Ingredients: water", language="en")
    tasks = "/proc/self/task"
    if os.path.isdir(tasks) and len(os.listdir(tasks)) > 1:
        raise RuntimeError("what was imported has begun a thread")
    # Otherwise a fork that looks for lost cycles looks through all of this.
    gc.collect()
    gc.freeze()


def forks(requests: socket.socket) -> Asked:
    """Fork for each request, and tell how it ended; give what is asked for in a fork alone."""
    while True:
        _, files, _, _ = socket.recv_fds(requests, 1, 4)
        if not files:
            sys.exit()
        fork = os.fork()
        if not fork:
            requests.close()
            return become(*files)
        for file in files:
            os.close(file)
        _, status = os.waitpid(fork, 0)
        requests.sendall(CODE.pack(os.waitstatus_to_exitcode(status)))


def become(question: int, *files: int) -> Asked:
    """Become the process that is asked for, and give what it is asked for with."""
    with os.fdopen(question, "rb") as text:
        asked: Asked = json.load(text)
    for standard, file in enumerate(files):
        os.dup2(file, standard)
        os.close(file)
    signal.signal(signal.SIGINT, BEGAN_WITH)
    os.environ.clear()
    os.environ.update(asked["environment"])
    time.tzset()
    os.chdir(asked["folder"])
    sys.argv = [asked["command"], *asked["arguments"]]
    sys.path.insert(0, os.path.dirname(asked["command"]))
    return asked


def ran(command: str) -> int:
    """Run a file of Python as a program, and give the code that it ends with.

    What it does not catch is not caught here, so that Python shows it and ends.
    """
    try:
        runpy.run_path(command, run_name="__main__")
    except SystemExit as end:
        if end.code is None or isinstance(end.code, int):
            return end.code or 0
        print(end.code, file=sys.stderr)
        return _FAILED
    return 0


def end(code: int) -> NoReturn:
    """End as Python does, but with nothing taken apart: that takes longer than most runs."""
    threading._shutdown()  # type: ignore[attr-defined]
    atexit._run_exitfuncs()
    with suppress(OSError):
        sys.stdout.flush()
        os._exit(code)
    sys.exit(code)


def main(number: str) -> NoReturn:
    """Fork for every request on a socket, until it is closed."""
    read_ahead()
    signal.signal(signal.SIGINT, signal.SIG_IGN)
    asked = forks(socket.socket(fileno=int(number)))
    end(ran(asked["command"]))


if __name__ == "__main__":
    main(*sys.argv[1:])
