"""Run the README's requests as they are written, in one shell, against the served neighbourhood."""

import os
import re
import shutil
import subprocess
from pathlib import Path
from typing import Final

from tests.house.rules import ROOT
from tests.servers import DAYSWORTH, started

REQUESTS: Final = re.compile(r"^```bash\n(.*?)^```$", re.MULTILINE | re.DOTALL)


def written_requests() -> str:
    (requests,) = REQUESTS.findall((ROOT / "README.md").read_text("utf-8"))
    assert isinstance(requests, str)
    return requests


def test_every_request_in_the_readme_is_answered_as_written(tmp_path: Path) -> None:
    bash = shutil.which("bash")
    assert bash is not None
    assert shutil.which("curl") is not None, "the README's requests need curl"
    with started("demo", "--serve", "--port", "0") as said:
        given = dict(word.split("=", 1) for word in said if word.startswith(("STORE=", "TOKEN=")))
        ran = subprocess.run(
            [bash, "-euo", "pipefail", "-c", written_requests()],
            cwd=tmp_path,
            env={**os.environ, **given, "PATH": f"{DAYSWORTH.parent}:{os.environ['PATH']}"},
            capture_output=True,
            text=True,
            check=False,
        )
    said_of_postings = "Posted to file:notice-{week}.txt.\nPosted to standard output.\n"
    assert (ran.returncode, ran.stderr) == (0, said_of_postings), ran.stdout[-2_000:]
    answers = ran.stdout
    for said_somewhere in (
        '"everyone_fed_days"',
        '"not_in_list"',
        '"pack_code":"ABC123"',
        "counted the wrong shelf",
        "peanut allergy",
        "Everyone is fed for",
        '"below_floor_on"',
        '"question": "wish_list"',
        '"title":"For the spring round"',
        "What changed",
        '"id":"our-supper"',
        '"picking"',
        '"state":"unpacked"',
        '"question":"take_along"',
        '"question":"kit_check"',
        '"question":"round_settled"',
        '"words":"every second Tuesday at 09:00, for 2 hours (America/Chicago)"',
        '"question": "surplus_floors"',
        '"state":"lapsed"',
        '"question":"given"',
        " thrown away (",
    ):
        assert said_somewhere in answers
