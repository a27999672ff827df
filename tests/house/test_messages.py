"""Every sentence of pages and papers is in the catalogue, and the catalogue has no other."""

import pytest

from tests.house.message_rules import (
    is_used,
    keys_asked,
    keys_kept,
    keys_named,
    templates,
    words_outside,
)


def test_every_key_stands_once() -> None:
    kept = keys_kept()
    assert sorted(kept) == sorted(set(kept))


def test_every_message_is_used() -> None:
    named = keys_named()
    assert [key for key in keys_kept() if not is_used(key, named)] == []


@pytest.mark.parametrize("path", templates())
def test_a_template_asks_for_messages_that_are_there(path: str) -> None:
    kept = set(keys_kept())
    asked = list(keys_asked(templates()[path]))
    missing = [key for key in asked if not key.endswith("-") and key not in kept]
    baseless = [
        key for key in asked if key.endswith("-") and not any(one.startswith(key) for one in kept)
    ]
    assert missing + baseless == []


@pytest.mark.parametrize("path", templates())
def test_a_template_has_no_sentence_of_its_own(path: str) -> None:
    assert words_outside(templates()[path]) == []


def test_words_in_a_template_are_found() -> None:
    assert words_outside('<p title="Look">Save {{ say("x") }} <b>now</b></p>') == [
        "Look",
        "Save",
        "now",
    ]
    assert words_outside("<style>p { color: red }</style><p>{{ a }}, 12</p>") == []


def test_a_key_that_is_put_together_counts_for_all_that_begin_so() -> None:
    assert list(keys_asked('say("kind-" ~ one) say("save")')) == ["save", "kind-"]
    assert is_used("kind-use_by", {"kind-"})
    assert not is_used("kinder", {"kind-", "kin"})
