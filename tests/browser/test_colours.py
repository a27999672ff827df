"""The named colours of the style sheet stand out from one another, in the light and in the dark."""

import pytest

from tests.browser.colours import (
    LEAST_FOR_EDGES,
    LEAST_FOR_TEXT,
    contrast,
    luminance,
    read_colour,
    schemes,
)

WHITE, BLACK = read_colour("#fff"), read_colour("#000000")

TEXTS = [
    *[(text, paper) for text in ("ink", "faint", "deed", "mark") for paper in ("paper", "soft")],
    ("ink", "field"),
    ("deed", "field"),
    ("on-deed", "deed"),
]
"""Which colour is written on which."""


def test_the_formula_gives_its_published_values() -> None:
    # WCAG 2.2, definition of contrast ratio: from 1:1 to 21:1; relative luminance: 0 and 1.
    assert luminance(BLACK) == 0.0
    assert luminance(WHITE) == pytest.approx(1.0)
    assert contrast(BLACK, WHITE) == pytest.approx(21.0)
    assert contrast(WHITE, WHITE) == 1.0
    # Technique G18 and its checkers: #777 on white just misses 4.5:1, and #767676 just has it.
    assert contrast(read_colour("#777"), WHITE) == pytest.approx(4.48, abs=0.005)
    assert contrast(WHITE, read_colour("#767676")) == pytest.approx(4.54, abs=0.005)


def test_both_schemes_name_the_same_colours() -> None:
    found = schemes()
    assert set(found) == {"light", "dark", "paper"}
    assert found["light"].keys() == found["dark"].keys() == found["paper"].keys()


@pytest.mark.parametrize("scheme", ["light", "dark", "paper"])
@pytest.mark.parametrize(("text", "paper"), TEXTS)
def test_text_has_its_contrast(scheme: str, text: str, paper: str) -> None:
    found = schemes()[scheme]
    assert contrast(found[text], found[paper]) >= LEAST_FOR_TEXT


@pytest.mark.parametrize("scheme", ["light", "dark"])
@pytest.mark.parametrize("beside", ["paper", "soft", "field"])
def test_the_edge_of_a_field_can_be_seen(scheme: str, beside: str) -> None:
    found = schemes()[scheme]
    assert contrast(found["edge"], found[beside]) >= LEAST_FOR_EDGES


def test_what_is_no_colour_is_not_read_as_one() -> None:
    for written in ("red", "#ff", "#12345", "rgba(0, 0, 0, 0)"):
        with pytest.raises(ValueError, match="is no colour that this reads"):
            read_colour(written)
