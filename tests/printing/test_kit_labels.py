"""Labels of kits: what stands on them, that it stays there, and that it is the same every time."""

import subprocess
import sys
from collections.abc import Iterator
from concurrent.futures import ThreadPoolExecutor
from dataclasses import replace
from functools import cache
from io import BytesIO
from pathlib import Path
from typing import Final

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from pypdf import PdfReader

from daysworth.domain.errors import InputRefused
from daysworth.printing.kit_label import KitLabel
from daysworth.printing.kit_labels import MOST_LABELS, kit_labels_pdf
from daysworth.printing.label_sheets import LabelSheet
from tests.printing.read_labels import Box, Sheet, Text, fonts, read
from tests.printing.written_labels import CAUTIONS, LITTLE, MUCH, USUAL

ROOT: Final = Path(__file__).parents[2]
SHEETS: Final = tuple(LabelSheet)
PAGES: Final = (LabelSheet.LETTER_1, LabelSheet.A4_1)
NEVER_HEAT: Final = "Never heat an unopened tin: it can burst."
MORE: Final = "More at the QR code."


def printed(
    *labels: KitLabel,
    sheet: LabelSheet = LabelSheet.LETTER_1,
    locale: str = "en-GB",
    first_position: int = 1,
) -> bytes:
    return kit_labels_pdf(labels, sheet=sheet, locale=locale, first_position=first_position)


@cache
def page(label: str, sheet: LabelSheet = LabelSheet.LETTER_1) -> Sheet:
    named = {"usual": USUAL, "little": LITTLE, "much": MUCH}
    (one,) = read(printed(named[label], sheet=sheet))
    return one


def said(label: KitLabel, *, sheet: LabelSheet = LabelSheet.LETTER_1, locale: str = "en-GB") -> str:
    (one,) = read(printed(label, sheet=sheet, locale=locale))
    return one.said()


def place(sheet: LabelSheet, position: int) -> tuple[float, float, float, float]:
    """Give the area of a label: left, top, right and bottom."""
    geometry = sheet.geometry
    left, top = geometry.corner_mm(position)
    return left, top, left + geometry.label_width_mm, top + geometry.label_height_mm


def outside(one: Sheet, area: tuple[float, float, float, float]) -> Iterator[Text | Box]:
    """Find what is drawn beyond an area, by more than the file's rounding of a hundredth point."""
    left, top, right, bottom = area
    drawn: list[Text | Box] = [*one.texts, *one.frames, *one.bars]
    for piece in drawn:
        begins, above, ends, below = piece.box
        if min(begins - left, above - top, right - ends, bottom - below) < -0.01:
            yield piece


@pytest.mark.parametrize("sheet", PAGES)
def test_a_page_has_everything_in_words(sheet: LabelSheet) -> None:
    text = page("usual", sheet).said()
    for words in (
        "Chickpea and rice supper Eat or renew by 1 March 2027",
        "For 4 people – for parcel 12",
        "NEEDS A CAN OPENER",
        "Contains: wheat, milk. May contain: soya.",
        "• 2 × Chickpeas in water, 400 g • 2 × Cooked rice, pouch, 250 g",
        "• 1 × Peaches in juice, 1.02 kg",
        "With it: 4 forks, 4 plates",
        "1. Open the rice pouches along the top and shake the rice loose. 2. Open the chickpeas",
        f"May be warmed: The rice, in its open pouch, stood in hot water for five minutes. "
        f"{NEVER_HEAT}",
        "Set aside for this kit: No heating: this kit is for a cold evening",
        "Packed 3 September 2026. The whole kit weighs 3.18 kg.",
        "Each person has 642 kcal and 24 g of protein.",
        *CAUTIONS,
    ):
        assert words in text
    assert MORE not in text


def test_the_day_is_written_as_the_store_writes_days() -> None:
    assert "Eat or renew by March 1, 2027" in said(USUAL, locale="en-US")


def test_one_person_and_no_parcel_are_said_so() -> None:
    assert "For 1 person No opener needed" in page("little").said()
    one = replace(USUAL, persons=1, parcel_number=4_217)
    assert "For 1 person – for parcel 4217" in said(one)


def test_a_kit_that_needs_an_opener_says_so_in_the_heaviest_frame_but_the_day_s() -> None:
    one = page("usual")
    (needs,) = [text for text in one.texts if text.text == "NEEDS A CAN OPENER"]
    around = [frame for frame in one.frames if frame.top < needs.foot < frame.box[3]]
    assert len(around) == 1
    assert sorted(one.frames, key=lambda frame: -frame.line).index(around[0]) <= 1
    assert "OPENER" not in page("little").said()


@pytest.mark.parametrize(
    ("allergens", "may_contain", "not_known", "words"),
    [
        ((), (), True, "Allergens not known: read every label."),
        (("milk",), (), True, "Contains: milk. Other allergens not known: read every label."),
        ((), ("nuts",), False, "May contain: nuts."),
        ((), (), False, "No allergen was found on its labels. Read every label all the same."),
    ],
)
@pytest.mark.parametrize("sheet", [LabelSheet.LETTER_1, LabelSheet.A4_8])
def test_allergens_stand_in_words_and_silence_is_never_safety(
    allergens: tuple[str, ...],
    may_contain: tuple[str, ...],
    not_known: bool,
    words: str,
    sheet: LabelSheet,
) -> None:
    label = replace(USUAL, allergens=allergens, may_contain=may_contain, not_known=not_known)
    text = said(label, sheet=sheet)
    assert words in text
    assert ("Contains:" in text) == bool(allergens)
    assert ("May contain:" in text) == bool(may_contain)


@pytest.mark.parametrize("warmed", [None, "The beans, once they are in a pan."])
def test_what_may_be_warmed_always_has_the_caution_on_unopened_tins_and_once(
    warmed: str | None,
) -> None:
    text = said(replace(USUAL, may_be_warmed=warmed))
    assert text.count(NEVER_HEAT) == 1
    assert f"{warmed or 'Nothing in it is to be warmed.'} {NEVER_HEAT}" in text


@pytest.mark.parametrize("sheet", SHEETS)
def test_what_may_never_be_left_out_stays_on_every_sheet(sheet: LabelSheet) -> None:
    text = page("much", sheet).said()
    for words in (
        MUCH.name,
        "Eat or renew by 1 March 2027",
        "For 24 people – for parcel 4217",
        "NEEDS A CAN OPENER",
        f"Contains: {', '.join(MUCH.allergens)}. May contain: buckwheat, coconut.",
        "Other allergens not known: read every label.",
        MORE,
    ):
        assert words in text
    assert MUCH.kit_id in text.replace(" ", "")
    assert page("much", sheet).bars


def test_figures_and_cautions_are_left_out_before_contents_and_those_before_steps() -> None:
    cautious = replace(USUAL, cautions=CAUTIONS * 2)
    text = said(cautious, sheet=LabelSheet.LETTER_6)
    assert ("kcal" in text, CAUTIONS[-1] in text) == (False, False)
    assert ("In the bag" in text, "1. Open" in text, MORE in text) == (True, True, True)
    full = replace(USUAL, contents=MUCH.contents)
    text = said(full, sheet=LabelSheet.LETTER_6)
    assert ("In the bag" in text, "1. Open" in text, NEVER_HEAT in text) == (False, True, True)


@pytest.mark.parametrize("sheet", SHEETS)
@pytest.mark.parametrize("label", ["usual", "little", "much"])
def test_nothing_is_drawn_outside_the_padding_of_a_label(label: str, sheet: LabelSheet) -> None:
    left, top, right, bottom = place(sheet, 1)
    pad = sheet.geometry.padding_mm
    area = (left + pad, top + pad, right - pad, bottom - pad)
    assert list(outside(page(label, sheet), area)) == []


@pytest.mark.parametrize("sheet", SHEETS)
@pytest.mark.parametrize("label", ["usual", "little", "much"])
def test_no_text_is_written_over_another(label: str, sheet: LabelSheet) -> None:
    texts = page(label, sheet).texts
    over = [
        (one.text, other.text)
        for number, one in enumerate(texts)
        for other in texts[:number]
        if min(one.box[2], other.box[2]) - max(one.box[0], other.box[0]) > 0.05
        and min(one.box[3], other.box[3]) - max(one.box[1], other.box[1]) > 0.05
    ]
    assert over == []


@pytest.mark.parametrize("sheet", SHEETS)
def test_no_letter_is_smaller_than_six_points_and_a_half(sheet: LabelSheet) -> None:
    sizes = [text.size_pt for label in ("usual", "much") for text in page(label, sheet).texts]
    assert min(sizes) >= 6.5


@pytest.mark.parametrize("sheet", PAGES)
def test_on_a_page_the_name_and_the_day_are_read_across_a_room(sheet: LabelSheet) -> None:
    # An inch of capital letters for every 25 feet is common practice for signs; a capital is 0.73
    # of the size, so 36 points are read from 9 feet and more.
    large = " ".join(text.text for text in page("usual", sheet).texts if text.size_pt >= 36)
    assert large == "Chickpea and rice supper 1 March 2027"


def test_a_long_name_is_broken_into_lines_and_kept_whole() -> None:
    one = page("much")
    largest = max(text.size_pt for text in one.texts if text.text.startswith("Supper"))
    lines = [text for text in one.texts if text.size_pt == largest]
    assert len(lines) > 1
    assert " ".join(line.text for line in lines) == MUCH.name


def test_a_name_of_one_endless_word_is_broken_between_letters() -> None:
    (one,) = read(printed(replace(USUAL, name="W" * 120), sheet=LabelSheet.A4_8))
    assert sum(text.text.count("W") for text in one.texts) == 120
    assert list(outside(one, place(LabelSheet.A4_8, 1))) == []


@pytest.mark.parametrize("sheet", SHEETS)
def test_the_first_label_goes_where_it_was_asked_to_and_the_rest_follow(sheet: LabelSheet) -> None:
    on_sheet = sheet.geometry.labels
    labels = [replace(LITTLE, name=f"Kit{n}") for n in range(on_sheet + 1)]
    pages = read(printed(*labels, sheet=sheet, first_position=on_sheet))
    names = []
    for one in pages:
        for position in range(1, on_sheet + 1):
            left, top, right, below = place(sheet, position)
            words = one.said(left=left, top=top, right=right, below=below).split()
            names.append(words[0] if words else "")
    before = on_sheet - 1
    after = 2 * on_sheet - before - len(labels)
    assert names == [*[""] * before, *(label.name for label in labels), *[""] * after]


@pytest.mark.parametrize(("first", "on_sheet"), [(0, 8), (9, 8), (-1, 8)])
def test_a_position_that_the_sheet_does_not_have_is_refused(first: int, on_sheet: int) -> None:
    with pytest.raises(InputRefused, match=f"from 1 to {on_sheet} on this sheet"):
        printed(USUAL, sheet=LabelSheet.A4_8, first_position=first)


def test_no_label_is_refused() -> None:
    with pytest.raises(InputRefused, match="no kit to print a label for"):
        printed()


def test_many_labels_are_printed_in_their_order_and_more_than_five_hundred_are_refused() -> None:
    labels = [replace(USUAL, kit_id=f"kit-{n}") for n in range(61)]
    pages = read(printed(*labels, sheet=LabelSheet.A4_8))
    assert len(pages) == 8
    text = " ".join(one.said() for one in pages).split()
    assert [word for word in text if word.startswith("kit-")] == [one.kit_id for one in labels]
    with pytest.raises(InputRefused, match="At most 500 labels are printed at once; there are 501"):
        printed(*[USUAL] * (MOST_LABELS + 1), sheet=LabelSheet.A4_8)


def test_what_may_not_be_left_out_and_does_not_fit_is_refused_with_the_kit_named() -> None:
    label = replace(USUAL, allergens=tuple(f"allergen number {n}" for n in range(200)))
    with pytest.raises(
        InputRefused, match="label of kit kit-17 does not fit on this sheet"
    ) as caught:
        printed(label, sheet=LabelSheet.A4_8)
    assert "allergen number" not in str(caught.value)
    assert "allergen number 199." in said(label)


@pytest.mark.parametrize("length", [300, 10_000])
def test_an_address_too_long_for_the_code_is_refused(length: int) -> None:
    label = replace(USUAL, address="https://elm-row.example/" + "a" * length)
    with pytest.raises(InputRefused, match="address of kit kit-17 is too long"):
        printed(label, sheet=LabelSheet.A4_8)


@cache
def elsewhere() -> subprocess.CompletedProcess[bytes]:
    """Print in a process of its own, which tells what it loaded, and when."""
    program = (
        "import sys; from tests.printing.test_kit_labels import MUCH, USUAL, kit_labels_pdf,"
        " LabelSheet;"
        "before = 'fpdf.fpdf' in sys.modules, 'matplotlib' in sys.modules;"
        "pdf = kit_labels_pdf([USUAL, MUCH], sheet=LabelSheet.A4_4, locale='en-GB');"
        "sys.stdout.buffer.write(pdf); after = 'fpdf.fpdf' in sys.modules;"
        "print(*before, after, 'matplotlib.pyplot' in sys.modules, file=sys.stderr)"
    )
    return subprocess.run(
        [sys.executable, "-W", "error", "-c", program], capture_output=True, check=True, cwd=ROOT
    )


def test_the_same_labels_give_the_same_bytes_in_any_process() -> None:
    alone = printed(USUAL, MUCH, sheet=LabelSheet.A4_4)
    assert printed(USUAL, MUCH, sheet=LabelSheet.A4_4) == alone
    assert elsewhere().stdout == alone
    assert printed(USUAL, LITTLE, sheet=LabelSheet.A4_4) != alone


def test_the_library_is_loaded_by_the_first_label() -> None:
    assert elsewhere().stderr.split() == [b"False", b"False", b"True", b"False"]


def test_labels_printed_at_once_are_as_those_printed_alone() -> None:
    labels = [replace(USUAL, name=f"Supper {n}") for n in range(8)]
    alone = [printed(label) for label in labels]
    with ThreadPoolExecutor(8) as pool:
        assert list(pool.map(printed, labels)) == alone


def test_the_file_is_black_on_white_with_its_letters_in_it() -> None:
    reader = PdfReader(BytesIO(printed(USUAL, MUCH)))
    for one in reader.pages:
        # No operator but those that `read` knows stands in a page: none sets a colour.
        assert all(font.is_embedded for font in fonts(one).values())
        assert sorted(font.is_bold for font in fonts(one).values()) == [False, True]
    assert reader.metadata is not None
    assert reader.metadata.title == "Labels of kits"


STRANGE: Final = (
    "حمص مع أرز",
    "米饭和鹰嘴豆",
    "🍎🍏 supper",
    "a\x00\x1b\nb\u2028c",
    "\ud800",
    "e\u0301\u0301\u0301",
    "\u202egnorw",
    "\ue000",
    "\U0001d7ff",
)


@pytest.mark.parametrize("name", STRANGE)
@pytest.mark.parametrize("sheet", [LabelSheet.LETTER_1, LabelSheet.LETTER_6])
def test_a_strange_name_is_printed_within_its_label(name: str, sheet: LabelSheet) -> None:
    label = replace(USUAL, name=name, steps=(name,), allergens=(name,), wares=(name,))
    (one,) = read(printed(label, sheet=sheet))
    assert list(outside(one, place(sheet, 1))) == []
    assert "Eat or renew by 1 March 2027" in one.said()


@settings(max_examples=20, deadline=None, derandomize=True, database=None)
@given(st.text(min_size=1, max_size=120), st.sampled_from(SHEETS))
def test_any_name_is_printed_within_its_label(name: str, sheet: LabelSheet) -> None:
    (one,) = read(printed(replace(USUAL, name=name), sheet=sheet))
    assert list(outside(one, place(sheet, 1))) == []
    assert "Eat or renew by 1 March 2027" in one.said()
