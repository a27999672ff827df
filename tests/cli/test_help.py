"""Help is there for every command, and names every option it takes."""

import re
from functools import cache

import pytest

from tests.cli.process import daysworth, done, refused

COMMANDS: dict[tuple[str, ...], set[str]] = {
    (): {"--version"},
    ("demo",): {
        "--as-of",
        "--json",
        "--serve",
        "--port",
        "--warnings",
        "--round",
        "--labels",
        "--surplus",
        "--notes",
    },
    ("serve",): {"--database", "--host", "--port"},
    ("migrate",): {"--database", "--to", "--down"},
    ("describe",): set(),
    ("store",): set(),
    ("store", "create"): {"--name", "--timezone", "--database"},
    ("token",): set(),
    ("token", "create"): {
        "--role",
        "--store",
        "--expires",
        "--label",
        "--household",
        "--database",
    },
    ("token", "list"): {"--store", "--database"},
    ("token", "revoke"): {"--store", "--database"},
    ("snapshot", "export"): {"--store", "--database"},
    ("snapshot", "import"): {"--store", "--database"},
    ("plan",): set(),
    ("plan", "coverage"): {
        "--as-of",
        "--heating",
        "--running-water",
        "--stock",
        "--without-place",
        "--away",
        "--basis",
        "--ration",
        "--horizon",
        "--json",
    },
    ("plan", "compare"): {
        "--as-of",
        "--heating",
        "--running-water",
        "--stock",
        "--without-place",
        "--away",
        "--ration",
        "--horizon",
        "--other-as-of",
        "--other-heating",
        "--other-running-water",
        "--other-stock",
        "--other-without-place",
        "--other-away",
        "--json",
    },
    ("plan", "timeline"): {
        "--household",
        "--months",
        "--as-of",
        "--heating",
        "--running-water",
        "--stock",
        "--without-place",
        "--away",
        "--ration",
        "--horizon",
        "--json",
    },
    ("plan", "wish-list"): {
        "--target",
        "--least",
        "--food",
        "--price",
        "--usual",
        "--keeps-past-target",
        "--household",
        "--as-of",
        "--heating",
        "--running-water",
        "--stock",
        "--without-place",
        "--away",
        "--ration",
        "--horizon",
        "--json",
    },
    ("plan", "warnings"): {"--household", "--as-of", "--json"},
    ("plan", "round"): {"--round-on", "--as-of", "--json"},
    ("plan", "surplus"): {
        "--floor-days",
        "--until",
        "--partner",
        "--what-if",
        "--as-of",
        "--json",
    },
    ("plan", "patterns"): {"--json"},
    ("plan", "kits"): {"--kit", "--persons", "--place", "--as-of", "--json"},
    ("plan", "check-kit"): {
        "--item",
        "--persons",
        "--household",
        "--served",
        "--ware",
        "--waive",
        "--as-of",
        "--json",
    },
    ("plan", "take-along"): {"--household", "--most-kg", "--as-of", "--json"},
    ("kit-labels",): {
        "--out",
        "--sheet",
        "--sheets",
        "--kit",
        "--first-position",
        "--site",
        "--as-of",
    },
    ("rounds",): {"--address", "--token-file", "--json"},
    ("partners",): {"--address", "--token-file", "--json"},
    ("promises",): {"--state", "--address", "--token-file", "--json"},
    ("kits",): {"--due-before", "--address", "--token-file", "--json"},
    ("compare",): {
        "--week",
        "--address",
        "--token-file",
        "--as-of",
        "--heating",
        "--running-water",
        "--stock",
        "--json",
    },
    ("warnings",): {"--address", "--token-file", "--json"},
    ("summary",): {
        "--address",
        "--token-file",
        "--as-of",
        "--heating",
        "--running-water",
        "--stock",
        "--without-place",
        "--away",
        "--basis",
        "--ration",
        "--horizon",
        "--json",
    },
    ("notices",): set(),
    ("notices", "show"): {"--week", "--address", "--token-file", "--json"},
    ("notices", "post"): {
        "--to",
        "--week",
        "--address",
        "--token-file",
        "--mail-server",
        "--mail-from",
        "--mail-security",
    },
    ("coordinator",): set(),
    ("coordinator", "create"): {"--store", "--password-file", "--database"},
    ("coordinator", "password"): {"--store", "--password-file", "--database"},
    ("coordinator", "bar"): {"--store", "--database"},
    ("coordinator", "list"): {"--store", "--database"},
    ("link",): set(),
    ("link", "create"): {"--store", "--place", "--expires", "--label", "--site", "--database"},
    ("link", "list"): {"--store", "--database"},
    ("link", "withdraw"): {"--store", "--database"},
    ("snapshot",): set(),
    ("snapshot", "schema"): set(),
    ("snapshot", "generate"): {
        "--households",
        "--lots",
        "--seed",
        "--as-of",
        "--dates",
        "--own-share",
    },
}
"""Every command with its options, `--help` apart."""


@cache
def help_of(*command: str) -> str:
    return done(*command, "--help")


def options_in(text: str) -> set[str]:
    return set(re.findall(r"^  (--[a-z-]+)", text, flags=re.MULTILINE))


def listed_in(text: str) -> set[str]:
    """Give the names under "Commands:"."""
    _, _, listed = text.partition("Commands:\n")
    return set(re.findall(r"^  ([a-z-]+)\s", listed, flags=re.MULTILINE))


@pytest.mark.parametrize("command", COMMANDS, ids=lambda words: " ".join(words) or "daysworth")
def test_every_command_has_help_that_names_just_the_options_it_takes(
    command: tuple[str, ...],
) -> None:
    text = help_of(*command)
    assert options_in(text) == COMMANDS[command] | {"--help"}
    assert max(len(line) for line in text.splitlines()) <= 80


@pytest.mark.parametrize(
    "command",
    [
        (),
        ("plan",),
        ("snapshot",),
        ("store",),
        ("token",),
        ("notices",),
        ("coordinator",),
        ("link",),
    ],
    ids=" ".join,
)
def test_help_lists_just_the_commands_there_are(command: tuple[str, ...]) -> None:
    below = {words[-1] for words in COMMANDS if words[:-1] == command and words}
    assert listed_in(help_of(*command)) == below


def test_every_option_is_explained() -> None:
    for command in COMMANDS:
        lines = help_of(*command).splitlines()
        bare = [line for line in lines if re.fullmatch(r"  --[a-z-]+( [A-Z<>|a-z-]+)?", line)]
        assert bare == []


def test_the_argument_of_coverage_says_that_a_dash_reads_standard_input() -> None:
    assert "SNAPSHOT|-" in help_of("plan", "coverage")


def test_the_release_is_printed_and_nothing_else() -> None:
    assert re.fullmatch(r"daysworth \d+\.\d+\.\d+\n", done("--version"))


@pytest.mark.parametrize("words", [("cook",), ("plan", "cook"), ("snapshot", "cook")])
def test_a_command_that_does_not_exist_is_wrong_usage(words: tuple[str, ...]) -> None:
    assert "cook" in refused(*words, code=2)


def test_no_command_at_all_shows_help_and_is_wrong_usage() -> None:
    ran = daysworth()
    assert ran.returncode == 2
    assert b"Commands:" in ran.stdout + ran.stderr
