"""An address becomes a QR code that scales, black on white, in a file of its own."""

from xml.etree import ElementTree

import pytest

from daysworth.printing.qr import qr_svg

ADDRESS = "https://elm-row.example/lots/17"


def test_the_picture_scales_and_is_black_on_white() -> None:
    root = ElementTree.fromstring(qr_svg(ADDRESS))
    assert root.tag == "{http://www.w3.org/2000/svg}svg"
    assert root.get("width") is None
    assert root.get("height") is None
    # 31 letters want version 3: 29 modules, with four light ones on either side.
    assert root.get("viewBox") == "0 0 37 37"
    paper, ink = root
    assert (paper.get("fill"), ink.get("stroke")) == ("#fff", "#000")
    assert paper.get("d") == "M0 0h37v37h-37z"


def test_there_is_nothing_in_the_file_but_two_paths() -> None:
    tags = [element.tag.partition("}")[2] for element in ElementTree.fromstring(qr_svg(ADDRESS))]
    assert tags == ["path", "path"]


def test_the_same_address_gives_the_same_bytes() -> None:
    assert qr_svg(ADDRESS) == qr_svg(ADDRESS)
    assert qr_svg(ADDRESS) != qr_svg(ADDRESS + "1")


def test_a_letter_beyond_ascii_can_be_drawn() -> None:
    assert qr_svg("https://elm-row.example/плаце").startswith(b"<?xml")


@pytest.mark.parametrize("length", [2332, 10_000])
def test_an_address_that_a_code_cannot_hold_is_refused(length: int) -> None:
    with pytest.raises(ValueError, match="longer than a QR code holds"):
        qr_svg("a" * length)


def test_no_address_is_refused() -> None:
    with pytest.raises(ValueError, match="no address"):
        qr_svg("")
