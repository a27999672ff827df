"""Say how many generated stores each claim is tried on: more than usual where that is asked for.

    DAYSWORTH_TEST_TIMES=10 pytest -q -n 2 tests/planners tests/answers

tries ten times as many, in minutes instead of seconds.
"""

import os
from typing import Final

ASKED: Final = "DAYSWORTH_TEST_TIMES"


def times(usually: int) -> int:
    """Give a number of stores or examples, as many times over as the environment asks."""
    return usually * int(os.environ.get(ASKED, "1"))
