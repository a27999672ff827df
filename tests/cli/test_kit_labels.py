"""The labels of a snapshot's kits are written into a PDF, one for each kit."""

from io import BytesIO
from pathlib import Path

import pytest
from pypdf import PdfReader

from tests.cli.documents import good_text
from tests.cli.kit_files import KITS, file_with_kits
from tests.cli.process import daysworth, done, refused

LABELS = ("kit-labels", "-", "--out")


def pages(content: bytes) -> list[str]:
    return [page.extract_text() for page in PdfReader(BytesIO(content)).pages]


def printed(path: Path, *options: str) -> list[str]:
    ran = daysworth(*LABELS, str(path), *options, given=file_with_kits())
    assert (ran.returncode, ran.stderr) == (0, b"")
    return pages(path.read_bytes())


def test_every_closed_kit_has_a_label(tmp_path: Path) -> None:
    (page,) = printed(tmp_path / "labels.pdf")
    said = " ".join(page.split())
    for kit in KITS:
        assert kit.name in said
    assert [path.name for path in tmp_path.iterdir()] == ["labels.pdf"]


def test_named_kits_alone_are_printed_on_the_sheet_and_from_the_position_asked_for(
    tmp_path: Path,
) -> None:
    found = printed(
        tmp_path / "some.pdf",
        *("--kit", "K-STEW", "--kit", "K-JERKY", "--sheet", "a4-2", "--first-position", "2"),
    )
    assert len(found) == 2
    assert "Beef stew" in found[0]
    assert "Jerky and nuts" in found[1]


def test_a_label_says_the_parcel_and_never_the_household(tmp_path: Path) -> None:
    (page,) = printed(tmp_path / "one.pdf", "--kit", "K-PEAS", "--sheet", "letter-1")
    assert "parcel 5" in page.lower()
    assert "H05" not in page


def test_how_many_were_written_is_said(tmp_path: Path) -> None:
    path = str(tmp_path / "k.pdf")
    assert done(*LABELS, path, given=file_with_kits()) == f"4 labels are in {path}.\n"
    one = done(*LABELS, path, "--kit", "K-STEW", given=file_with_kits())
    assert one == f"1 label is in {path}.\n"


def test_the_same_kits_give_the_same_bytes(tmp_path: Path) -> None:
    printed(tmp_path / "a.pdf")
    printed(tmp_path / "b.pdf")
    assert (tmp_path / "a.pdf").read_bytes() == (tmp_path / "b.pdf").read_bytes()


def test_the_sheets_are_listed_with_their_dimensions() -> None:
    text = done("kit-labels", "--sheets")
    assert text.startswith("letter-1  ")
    assert "99.1 × 67.7 mm" in text
    assert max(len(line) for line in text.splitlines()) <= 80


@pytest.mark.parametrize(
    ("options", "words"),
    [
        (("--sheet", "a5"), "'a5' is not a sheet: there are letter-1"),
        (("--first-position", "0"), "--first-position"),
        (("--as-of", "soon"), "YYYY-MM-DD"),
    ],
)
def test_labels_that_are_asked_for_wrongly_say_how_to_ask(
    tmp_path: Path, options: tuple[str, ...], words: str
) -> None:
    path = tmp_path / "k.pdf"
    said = refused(*LABELS, str(path), *options, given=file_with_kits(), code=2)
    assert words in " ".join(said.split())
    assert not path.exists()


@pytest.mark.parametrize("arguments", [(), ("-",), ("--out", "k.pdf")])
def test_without_a_file_to_read_or_to_write_nothing_is_printed(arguments: tuple[str, ...]) -> None:
    said = refused("kit-labels", *arguments, given=file_with_kits(), code=2)
    assert "name a snapshot file, and the PDF to write" in " ".join(said.split())


@pytest.mark.parametrize(
    ("options", "words"),
    [
        (("--kit", "K-NONE"), "there is no closed kit 'K-NONE' in this store"),
        (("--first-position", "5"), "4"),
    ],
)
def test_what_cannot_be_labelled_is_refused_and_leaves_the_file_as_it_was(
    tmp_path: Path, options: tuple[str, ...], words: str
) -> None:
    path = tmp_path / "k.pdf"
    path.write_bytes(b"as it was")
    assert words in refused(*LABELS, str(path), *options, given=file_with_kits())
    assert path.read_bytes() == b"as it was"


def test_a_store_without_kits_has_nothing_to_label(tmp_path: Path) -> None:
    path = tmp_path / "k.pdf"
    assert "Refused: " in refused(*LABELS, str(path), given=good_text())
    assert not path.exists()


def test_a_file_that_cannot_be_written_is_said_in_words(tmp_path: Path) -> None:
    path = tmp_path / "none" / "k.pdf"
    said = refused(*LABELS, str(path), given=file_with_kits())
    assert said == f"Refused: {str(path)!r} cannot be written: No such file or directory.\n"
    assert "cannot be written" in refused(*LABELS, str(tmp_path), given=file_with_kits())
    assert list(tmp_path.iterdir()) == []
