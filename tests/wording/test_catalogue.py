"""Messages, days and months are given in the words of a locale, and nothing is said half."""

from collections.abc import Iterator
from datetime import date
from importlib.resources import files

import pytest
from fluent.syntax import FluentParser, ast
from fluent.syntax.visitor import Visitor

from daysworth.domain.typed_dates import DateOrder
from daysworth.wording.catalogue import LANGUAGE, Catalogue, catalogue

DAY = date(2027, 3, 4)


class _Values(Visitor):
    """Collect the values that a message names outright, not through another message."""

    def __init__(self) -> None:
        super().__init__()
        self.names: set[str] = set()

    def visit_VariableReference(self, node: ast.VariableReference) -> None:  # noqa: N802 - fluent.syntax calls it so
        self.names.add(node.id.name)


def keys_by_whether_they_name_a_value() -> Iterator[tuple[str, bool]]:
    for entry in (files("daysworth.wording") / LANGUAGE).iterdir():
        if entry.name.endswith(".ftl"):
            for message in FluentParser().parse(entry.read_text("utf-8")).body:
                if isinstance(message, ast.Message) and message.value is not None:
                    values = _Values()
                    values.visit(message.value)
                    yield message.id.name, bool(values.names)


@pytest.mark.parametrize(
    ("locale", "written", "month"),
    [
        ("en-US", "March 4, 2027", "March 2027"),
        ("en-GB", "4 March 2027", "March 2027"),
        ("es-MX", "4 de marzo de 2027", "marzo de 2027"),
        ("de-DE", "4. März 2027", "März 2027"),
        ("fr-FR", "4 mars 2027", "mars 2027"),
        ("ja-JP", "2027年3月4日", "2027年3月"),
    ],
)
def test_a_date_is_written_in_the_locale_with_its_month_in_words_as_far_as_it_was_printed(
    locale: str, written: str, month: str
) -> None:
    said = catalogue(locale)
    assert said.day(DAY) == written
    assert said.printed("2027-03-04") == written
    assert said.printed("2027-03") == month
    assert said.printed("2027") == "2027"


@pytest.mark.parametrize(
    ("locale", "written"),
    [("en-US", "Thursday, March 4, 2027"), ("en-GB", "Thursday, 4 March 2027")],
)
def test_a_day_is_written_with_its_weekday_as_the_locale_does(locale: str, written: str) -> None:
    assert catalogue(locale).full_day(DAY) == written


@pytest.mark.parametrize(
    ("locale", "order"),
    [
        ("en-US", DateOrder.MONTH),
        ("en-GB", DateOrder.DAY),
        ("en-CA", DateOrder.YEAR),
        ("ko-KR", DateOrder.YEAR),
        ("ar-EG", DateOrder.DAY),
    ],
)
def test_the_order_of_figures_is_the_locales(locale: str, order: DateOrder) -> None:
    assert catalogue(locale).date_order is order


@pytest.mark.parametrize("locale", ["", "xx-YY", "zzz-Latn-ZZ", "a-b-c-d", "not a locale"])
def test_a_locale_that_nobody_knows_is_read_as_the_catalogues_language(locale: str) -> None:
    said = catalogue(locale)
    assert said.locale == locale
    assert said.day(DAY) == catalogue(LANGUAGE).day(DAY) == "March 4, 2027"
    assert said.date_order is DateOrder.MONTH


def test_a_country_that_nobody_knows_leaves_the_language() -> None:
    assert catalogue("fr-ZZ").day(DAY) == catalogue("fr").day(DAY) == "4 mars 2027"


def test_a_locale_has_one_catalogue() -> None:
    assert catalogue("en-GB") is catalogue("en-GB")
    assert catalogue("en-GB") is not catalogue("en-US")


def test_a_key_without_a_message_is_a_key_error() -> None:
    with pytest.raises(KeyError, match="no-such-message"):
        catalogue("en-US").say("no-such-message")


def test_a_message_is_not_said_without_a_value_that_it_names() -> None:
    asked = [key for key, names_values in keys_by_whether_they_name_a_value() if names_values]
    assert asked
    for key in asked:
        with pytest.raises(ValueError, match=f"^{key}: "):
            catalogue("en-US").say(key)


def test_a_message_that_names_no_value_is_said_whole() -> None:
    plain = [key for key, names_values in keys_by_whether_they_name_a_value() if not names_values]
    assert plain
    words = Catalogue("en-GB")
    for key in plain:
        assert "{" not in words.say(key)
