"""A file that is no snapshot at all is refused in a sentence: bytes, sizes, nesting, characters."""

import json

import pytest

from daysworth.answers.snapshot_file import MOST_BYTES, read_snapshot
from daysworth.domain.errors import SnapshotRefused
from tests.cli.broken import LOT
from tests.cli.documents import changed, good, good_text, replaced_text, written
from tests.cli.process import done, refused

HOSTILE = "shelf\x1b[2J\x07\n\r\u202e\u2066\x9b31m end"
"""What clears a screen, rings, breaks a line, and turns the reading direction."""
_BIDI = "\u202a\u202b\u202c\u202d\u202e\u2066\u2067\u2068\u2069\u200e\u200f"


def faults_in(text: bytes) -> str:
    with pytest.raises(SnapshotRefused) as refused:
        read_snapshot(text)
    return "\n".join(str(fault) for fault in refused.value.faults)


def hostile_characters(text: str) -> list[str]:
    """Find what can move a cursor or turn the reading direction, line ends apart."""
    return [c for c in text if c != "\n" and (ord(c) < 32 or 127 <= ord(c) < 160 or c in _BIDI)]


NO_JSON = {
    "nothing": (b"", "is empty"),
    "blanks": (b" \n\t", "is empty"),
    "words": (b"lots of beans", "is not JSON"),
    "half an object": (good_text()[:-20], "is not JSON"),
    "more than one": (good_text() + b"{}", "is not JSON"),
    "not UTF-8": (replaced_text(b"Synthetic store", b"Synthetic \xff\xfe"), "is not JSON"),
    "UTF-16": (good_text().decode().encode("utf-16"), "is not JSON"),
    "UTF-16, big end first": (good_text().decode().encode("utf-16-be"), "is not JSON"),
    "two byte order marks": (b"\xef\xbb\xbf\xef\xbb\xbf" + good_text(), "is not JSON"),
    "a list": (b"[]", "must be an object"),
    "a number": (b"7", "must be an object"),
    "null": (b"null", "must be an object"),
    "empty words": (b'""', "must be an object"),
    "NaN": (b"NaN", "must be an object"),
    "a number of 5,000 digits": (
        replaced_text(b'"version": 1', b'"version": ' + b"9" * 5_000),
        "is not JSON",
    ),
    "a lone surrogate": (replaced_text(b"Synthetic store", b"\\ud800"), "is not JSON"),
    "a lone low surrogate": (replaced_text(b"Synthetic store", b"\\udfff x"), "is not JSON"),
    "a surrogate in a field's name": (replaced_text(b'"version"', b'"v\\ud800"'), "is not JSON"),
    "1e400": (replaced_text(b'"version": 1', b'"version": 1e400'), "version"),
    "1e400 in a lot": (replaced_text(b'"net_mass_g": null', b'"net_mass_g": 1e400'), "net_mass_g"),
    "-Infinity": (replaced_text(b'"version": 1', b'"version": -Infinity'), "version"),
    "nesting in a field": (
        replaced_text(b'"version": 1', b'"version": ' + b"[" * 100_000 + b"]" * 100_000),
        "nested too deeply",
    ),
    "nesting in a field nobody knows": (
        replaced_text(b'"version": 1', b'"version": 1, "x": ' + b'{"x":' * 50_000),
        "nested too deeply",
    ),
    "nesting that just fits": (
        replaced_text(b'"version": 1', b'"version": ' + b"[" * 100 + b"]" * 100),
        "version: must be a whole number",
    ),
}


@pytest.mark.parametrize("kind", NO_JSON)
def test_what_is_no_snapshot_is_refused_in_a_sentence(kind: str) -> None:
    text, words = NO_JSON[kind]
    assert words in faults_in(text)


def test_a_byte_order_mark_before_a_good_snapshot_is_let_pass() -> None:
    assert read_snapshot(b"\xef\xbb\xbf" + good_text()) == read_snapshot(good_text())


def test_a_snapshot_of_just_the_most_bytes_is_read() -> None:
    room = MOST_BYTES - len(good_text())
    assert read_snapshot(b" " * room + good_text()).store == "synthetic-236"
    assert "larger than 64 MB" in faults_in(b" " * (room + 1) + good_text())


ECHOED = {
    "a food's id": (*LOT, "food"),
    "a value of the wrong type": (*LOT, "units"),
    "a lot's id": (*LOT, "id"),
    "a zone": ("settings", "timezone"),
    "a label's date": (*LOT, "printed"),
    "a field's name": (*LOT, HOSTILE),
    "a field's name in the settings": ("settings", "grace_days", HOSTILE),
}


@pytest.mark.parametrize("kind", ECHOED)
def test_no_message_carries_what_disturbs_a_terminal(kind: str) -> None:
    broken = changed(good(), ECHOED[kind], HOSTILE)
    if kind == "a lot's id":
        broken = changed(broken, (*LOT, "food"), "moss")
    said = faults_in(written(broken))
    assert hostile_characters(said) == []
    assert all(line.startswith(("lots", "lot ", "settings")) for line in said.splitlines())


def test_standard_error_carries_nothing_that_disturbs_a_terminal() -> None:
    said = refused("plan", "coverage", "-", given=written(changed(good(), (*LOT, HOSTILE), 1)))
    assert hostile_characters(said) == []
    assert len(said.splitlines()) == 2


LONG = {
    "a field's name": (*LOT, "x" * 50_000),
    "a zone": ("settings", "timezone"),
    "a value": (*LOT, "units"),
    "a label's date": (*LOT, "printed"),
    "a rule for rounds": ("settings", "rounds_rule"),
}


@pytest.mark.parametrize("kind", LONG)
def test_no_message_is_as_long_as_what_was_given(kind: str) -> None:
    text = written(changed(good(), LONG[kind], "9" * 50_000))
    assert len(faults_in(text)) < 1_000


def hostile_names() -> bytes:
    document = changed(good(), ("store_name",), HOSTILE)
    for number in range(2):
        document = changed(document, ("foods", number, "name"), HOSTILE)
    return written(changed(document, ("places", 0, "name"), HOSTILE))


def test_names_that_disturb_a_terminal_do_not_disturb_the_summary() -> None:
    text = done("plan", "coverage", "-", given=hostile_names())
    assert hostile_characters(text) == []


def test_names_that_disturb_a_terminal_stand_in_json_as_they_were_given() -> None:
    answer = json.loads(done("plan", "coverage", "-", "--json", given=hostile_names()))
    assert answer["store_name"] == HOSTILE
