"""An answer is computed once for each question, kept as long as there is room, and never stale."""

import json
import os
import shutil
import subprocess
import sys
import tomllib
from concurrent.futures import ThreadPoolExecutor
from importlib.resources import as_file, files
from pathlib import Path
from threading import Event
from typing import Final

import pytest

from daysworth.answers.answer_cache import AnswerCache, Sized
from daysworth.answers.reference_data import reference_fingerprint, release
from daysworth.db.pages_of_rows import Page, page_of

LONGEST_WAIT_SECONDS: Final = 30
"""After this a thread that should have gone on is given up, and the test fails."""


class NotComputed(Exception):
    """Stand for whatever may go wrong in a computation."""


class Reckoner:
    """Computes answers, and counts how often it was asked to."""

    def __init__(self, cache: AnswerCache[str]) -> None:
        self.cache = cache
        self.computed: list[str] = []

    def ask(self, question: str, *, size_bytes: int = 1) -> str:
        """Ask the cache, which asks back where it has no answer."""

        def compute() -> Sized[str]:
            self.computed.append(question)
            return Sized(f"answer to {question}", size_bytes)

        return self.cache.get(question, compute=compute)

    def kept(self, *questions: str) -> list[str]:
        """Tell which of some questions are answered without computing, dropping none of them."""

        class NotKept(Exception):
            pass

        def refuse() -> Sized[str]:
            raise NotKept

        found = []
        for question in questions:
            try:
                self.cache.get(question, compute=refuse)
            except NotKept:
                continue
            found.append(question)
        return found


def reckoner(most_bytes: int = 10) -> Reckoner:
    return Reckoner(AnswerCache(most_bytes=most_bytes))


def test_a_question_that_is_asked_again_is_not_computed_again() -> None:
    asker = reckoner()
    assert [asker.ask("a"), asker.ask("a"), asker.ask("b")] == [
        "answer to a",
        "answer to a",
        "answer to b",
    ]
    assert asker.computed == ["a", "b"]


def test_the_answer_that_is_given_again_is_the_same_one() -> None:
    cache: AnswerCache[list[int]] = AnswerCache()
    first = cache.get("a", compute=lambda: Sized([1], 1))
    assert cache.get("a", compute=lambda: Sized([1], 1)) is first


def test_what_fills_the_bound_to_the_byte_is_kept() -> None:
    asker = reckoner(10)
    asker.ask("a", size_bytes=6)
    asker.ask("b", size_bytes=4)
    assert asker.kept("a", "b") == ["a", "b"]


def test_one_byte_more_drops_the_oldest() -> None:
    asker = reckoner(10)
    asker.ask("a", size_bytes=6)
    asker.ask("b", size_bytes=5)
    assert asker.kept("a", "b") == ["b"]


def test_the_longest_unused_falls_out_and_not_the_first_computed() -> None:
    asker = reckoner(10)
    for question in ("a", "b"):
        asker.ask(question, size_bytes=4)
    asker.ask("a")
    asker.ask("c", size_bytes=4)
    assert asker.kept("a", "b", "c") == ["a", "c"]


def test_as_many_fall_out_as_it_takes_and_no_more() -> None:
    asker = reckoner(10)
    for question in ("a", "b", "c", "d"):
        asker.ask(question, size_bytes=2)
    asker.ask("e", size_bytes=5)
    assert asker.kept("a", "b", "c", "d", "e") == ["c", "d", "e"]


def test_what_fell_out_is_computed_again() -> None:
    asker = reckoner(1)
    for question in ("a", "b", "a"):
        assert asker.ask(question) == f"answer to {question}"
    assert asker.computed == ["a", "b", "a"]


def test_an_answer_larger_than_the_bound_is_given_and_drops_nothing() -> None:
    asker = reckoner(10)
    asker.ask("a", size_bytes=10)
    assert asker.ask("large", size_bytes=11) == "answer to large"
    assert asker.kept("a", "large") == ["a"]


def test_after_many_questions_as_many_are_kept_as_there_is_room_for() -> None:
    asker = reckoner(10)
    questions = [f"{number}" for number in range(500)]
    for question in questions:
        asker.ask(question, size_bytes=3)
    assert asker.kept(*questions) == questions[-3:]


def test_no_question_waits_for_another_nor_for_the_same() -> None:
    cache: AnswerCache[str] = AnswerCache()
    cache.get("kept", compute=lambda: Sized("kept before", 1))
    began, let_go = Event(), Event()

    def slow() -> Sized[str]:
        began.set()
        assert let_go.wait(LONGEST_WAIT_SECONDS)
        return Sized("slow", 1)

    with ThreadPoolExecutor(1) as thread:
        first = thread.submit(cache.get, "a", compute=slow)
        assert began.wait(LONGEST_WAIT_SECONDS)
        assert cache.find("kept") == "kept before"
        assert cache.find("a") is None
        assert cache.get("a", compute=lambda: Sized("quick", 1)) == "quick"
        let_go.set()
        assert first.result(LONGEST_WAIT_SECONDS) == "slow"


def test_what_was_computed_twice_at_once_is_counted_once() -> None:
    asker = reckoner(10)

    def computed_meanwhile() -> Sized[str]:
        asker.ask("a", size_bytes=6)
        return Sized("answer to a", 6)

    asker.cache.get("a", compute=computed_meanwhile)
    asker.ask("b", size_bytes=4)
    assert asker.kept("a", "b") == ["a", "b"]


def test_what_is_found_is_what_was_kept_and_counts_as_used() -> None:
    asker = reckoner(10)
    for question in ("a", "b"):
        asker.ask(question, size_bytes=4)
    assert (asker.cache.find("a"), asker.cache.find("c")) == ("answer to a", None)
    asker.ask("c", size_bytes=4)
    assert asker.kept("a", "b", "c") == ["a", "c"]


def test_a_failure_is_not_kept() -> None:
    cache: AnswerCache[str] = AnswerCache()

    def fail() -> Sized[str]:
        raise NotComputed("no")

    for _ in range(2):
        with pytest.raises(NotComputed):
            cache.get("a", compute=fail)
    assert cache.get("a", compute=lambda: Sized("at last", 1)) == "at last"


def test_a_failure_drops_no_other_answer() -> None:
    asker = reckoner(2)
    asker.ask("a")
    asker.ask("b")
    assert asker.kept("c", "a", "b") == ["a", "b"]


def test_the_release_is_the_one_that_the_project_states() -> None:
    stated = tomllib.loads(Path(__file__).parents[2].joinpath("pyproject.toml").read_text())
    assert release() == stated["project"]["version"]


FINGERPRINTS: Final = """
import json, sys
from pathlib import Path
from daysworth.answers.reference_data import reference_fingerprint as fingerprint
tables = Path(sys.argv[1])
found = {"untouched": fingerprint.__wrapped__()}
for table in sorted(tables.iterdir()):
    before = table.read_bytes()
    table.write_bytes(before + b" ")
    found[table.name] = fingerprint.__wrapped__()
    table.write_bytes(before)
last = max(tables.iterdir())
last.rename(last.with_suffix(".table"))
found["renamed"] = fingerprint.__wrapped__()
print(json.dumps(found))
"""
"""Change each table of a copied package, each alone; then rename the last, which stays last."""


def test_a_change_to_any_reference_table_changes_the_fingerprint(tmp_path: Path) -> None:
    with as_file(files("daysworth")) as package:
        shutil.copytree(
            package, tmp_path / "daysworth", ignore=shutil.ignore_patterns("__pycache__")
        )
    tables = tmp_path / "daysworth" / "reference" / "data"
    ran = subprocess.run(
        [sys.executable, "-c", FINGERPRINTS, str(tables)],
        env={**os.environ, "PYTHONPATH": str(tmp_path)},
        capture_output=True,
        text=True,
        check=True,
        timeout=LONGEST_WAIT_SECONDS,
    )
    found = json.loads(ran.stdout)
    assert found["untouched"] == reference_fingerprint()
    # Each table changed, none changed, and one renamed.
    assert len(set(found.values())) == len(found) == len(list(tables.iterdir())) + 2


ROWS: Final = ["ant", "bee", "cat", "dog", "elk"]


def page_after(after: str, *, limit: int) -> Page[str]:
    """Read as a query does: in order, beyond a key, one more than is shown."""
    rows = [row for row in ROWS if row > after][: limit + 1]
    return page_of([row.upper() for row in rows], keys=rows, limit=limit)


@pytest.mark.parametrize(
    ("limit", "pages"),
    [
        (1, [["ANT"], ["BEE"], ["CAT"], ["DOG"], ["ELK"]]),
        (2, [["ANT", "BEE"], ["CAT", "DOG"], ["ELK"]]),
        (4, [["ANT", "BEE", "CAT", "DOG"], ["ELK"]]),
        (5, [["ANT", "BEE", "CAT", "DOG", "ELK"]]),
        (6, [["ANT", "BEE", "CAT", "DOG", "ELK"]]),
    ],
)
def test_pages_give_every_row_once_and_the_last_one_says_so(
    limit: int, pages: list[list[str]]
) -> None:
    read, after = [], ""
    for _ in pages:
        page = page_after(after, limit=limit)
        read.append(list(page.items))
        after = page.next_after or "at the end"
    assert read == pages
    assert after == "at the end"


def test_a_page_names_the_key_of_the_last_row_that_it_shows() -> None:
    assert page_after("", limit=2) == Page(["ANT", "BEE"], "bee")


def test_a_list_with_nothing_in_it_is_one_empty_page() -> None:
    assert page_after("elk", limit=3) == Page([], None)
