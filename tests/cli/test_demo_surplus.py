"""The demo gives what would spoil through the ledger, and its books agree to the unit."""

import json
from dataclasses import dataclass
from io import BytesIO
from pathlib import Path

import pytest
import typer
from pypdf import PdfReader
from sqlalchemy import update

from daysworth.cli import demo_surplus
from daysworth.cli.demo import demo
from daysworth.cli.demo_promise_agreement import PromiseBooks, promise_books_agree
from daysworth.db.ledger.promises import ToPromise, promise
from daysworth.db.promises import KeptPromise
from daysworth.db.tables import LOT
from daysworth.db.transactions import Writing
from tests.cli.kit_files import AS_OF
from tests.cli.process import done, refused
from tests.cli.test_demo_round import books

ASKED = ("demo", "--surplus", "--as-of", "2026-11-25")

Shown = dict[str, object]


@pytest.fixture(scope="module")
def shown() -> Shown:
    answer: Shown = json.loads(done(*ASKED, "--json"))
    return answer


@dataclass(frozen=True)
class Written:
    """What the demo of a leap day says, and the notes that it writes."""

    text: str
    folder: Path
    notes: list[bytes]


@pytest.fixture(scope="module")
def written(tmp_path_factory: pytest.TempPathFactory) -> Written:
    folder = tmp_path_factory.mktemp("surplus") / "new" / "notes"
    text = done("demo", "--surplus", "--as-of", "2024-02-29", "--notes", str(folder))
    return Written(text, folder, [note.read_bytes() for note in sorted(folder.iterdir())])


def listed(shown: Shown, name: str) -> list[dict[str, object]]:
    """Give a list of the answer."""
    found = shown[name]
    assert isinstance(found, list)
    return found


def part(shown: Shown, name: str) -> dict[str, object]:
    """Give a part of the answer that has names of its own."""
    found = shown[name]
    assert isinstance(found, dict)
    return found


def number(value: object) -> float:
    """Give a figure of the answer."""
    assert isinstance(value, int | float)
    return value


def test_three_partners_and_their_visits_of_twelve_weeks_are_told(shown: Shown) -> None:
    assert [one["name"] for one in listed(shown, "partners")] == [
        "Ostrey Bridge Food Bank",
        "Quillmere Soup Kitchen",
        "Tansy Lane Shared Shelf",
    ]
    visits = {str(one["partner_name"]): one["visits"] for one in listed(shown, "windows")}
    assert visits["Ostrey Bridge Food Bank"] == [
        "2026-12-05T10:00",
        "2027-01-02T10:00",
        "2027-02-06T10:00",
    ]
    assert {len(listed({"visits": one}, "visits")) for one in visits.values()} == {3, 6, 12}


def test_all_of_the_plan_is_promised_and_every_stage_is_told(shown: Shown) -> None:
    plan, promised = part(shown, "plan"), listed(shown, "promised")
    totals = part(plan, "totals")
    before = [one for one in promised if one["id"] == "R-GREENBEANS"]
    today = [one for one in promised if one not in before]
    assert len(before) == 1
    assert len(today) == totals["visits"]
    assert sum(number(part(one, "promised")["units"]) for one in today) == totals["units"]
    assert [one["aim"] for one in listed(plan, "stages")] == ["energy", "visits", "earliness"]
    assert {one["why"] for one in listed(plan, "staying")} >= {"floor", "refused", "never_goes"}


def test_a_lower_floor_lets_more_go(shown: Shown) -> None:
    floors = listed(part(shown, "floors"), "floors")
    assert [one["floor_days"] for one in floors] == [0, 7, 12, 14]
    more = [number(one["more_energy_kcal"]) for one in floors]
    assert more == sorted(more, reverse=True)
    assert more[0] > more[-1] == 0


def test_one_goes_in_part_with_a_reason_and_one_lapses(shown: Shown) -> None:
    ended = listed(shown, "ended")
    states = [part(one, "summary")["state"] for one in ended]
    assert states.count("kept_in_part") == states.count("lapsed") == 1
    assert set(states) == {"kept", "kept_in_part", "lapsed"}
    lines = [
        line
        for one in ended
        if part(one, "summary")["state"] == "kept_in_part"
        for place in listed(one, "contents")
        for line in listed(place, "lines")
    ]
    short = [line for line in lines if number(line["went"]) < number(line["units"])]
    assert [line["why"] for line in short] == ["they had no room for more: the rest came back"]
    assert number(short[0]["went"]) > 0


def test_the_books_agree_to_the_unit_in_every_way_they_are_held(shown: Shown) -> None:
    agreement = listed(shown, "agreement")
    assert shown["agrees"] is True
    assert [one["words"] for one in agreement if not one["agrees"]] == []
    assert all(one["counted"] == one["expected"] != 0 for one in agreement)
    assert len(agreement) == 16


def test_what_went_is_off_the_shelves_and_in_the_totals(shown: Shown) -> None:
    before, promised, after = listed(shown, "stood")
    went = part(part(shown, "given"), "to_partners")["units"]
    assert before["units_on_hand"] == promised["units_on_hand"]
    assert number(promised["units_on_hand"]) - number(after["units_on_hand"]) == went
    assert number(went) > 50


def test_the_text_of_a_leap_day_fits_80_columns_and_tells_its_steps_in_order(
    written: Written,
) -> None:
    text = written.text
    told, _, last = text.rstrip("\n").rpartition("\n")
    assert last == f"The {len(written.notes)} delivery notes are in {written.folder}."
    assert max(len(line) for line in told.splitlines()) <= 80
    steps = [text.index(f"\n{number}. ") for number in range(1, 10)]
    assert steps == sorted(steps)
    assert "29 February 2024" in text
    assert text.index("\n9. ") < text.index("Cautions")
    assert "Why: nobody could drive that day." in text
    said = " ".join(text.split())
    assert "a conversion of mass, not of nutrition" in said
    assert "give through a nonprofit. Not legal advice." in said


def test_it_agrees_on_a_leap_day(written: Written) -> None:
    assert "9. It agrees, to the unit: 16 counts" in written.text
    assert "had no room for more" in " ".join(written.text.split())


def test_a_delivery_note_is_written_for_each_that_goes(written: Written) -> None:
    assert len(written.notes) >= 6
    for note in written.notes:
        pages = PdfReader(BytesIO(note)).pages
        said = " ".join(" ".join(page.extract_text() for page in pages).split())
        assert "Pub. L. 117-362" in said


def test_notes_without_surplus_are_wrong_usage_and_a_bad_folder_is_refused(tmp_path: Path) -> None:
    assert "--notes goes with --surplus" in refused("demo", "--notes", str(tmp_path), code=2)
    file = tmp_path / "file"
    file.write_text("in the way")
    assert "cannot be made" in refused(*ASKED, "--notes", str(file / "notes"))


def losing_a_unit(writing: Writing, visits: list[ToPromise]) -> list[KeptPromise]:
    """Promise visits, and lose a unit of which the ledger knows nothing."""
    made = promise(writing, visits)
    lot = made[0].promise.items[0].lot
    chosen = (LOT.c.store == writing.store, LOT.c.id == lot)
    writing.connection.execute(update(LOT).where(*chosen).values(units=LOT.c.units + 1))
    return made


def test_a_unit_that_the_ledger_knows_nothing_of_is_found_and_makes_the_exit_code(
    monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]
) -> None:
    monkeypatch.setattr(demo_surplus, "promise", losing_a_unit)
    monkeypatch.setattr(demo_surplus, "OTHER_FLOORS_DAYS", ())
    with pytest.raises(typer.Exit) as ended:
        demo(as_of=AS_OF, surplus=True)
    assert ended.value.exit_code == 1
    said = capsys.readouterr()
    assert "The books do not agree:" in said.err
    assert "9. IT DOES NOT AGREE: " in said.out
    assert "1 differ" in said.out


def test_promises_that_only_add_up_to_the_same_do_not_agree() -> None:
    held = {"L1": 3, "L2": 0}
    agree = PromiseBooks(books=books(), promised=held, in_promises={"L1": 3})
    assert [one.agrees for one in promise_books_agree(agree, when="now")] == [True, True]
    other = PromiseBooks(books=books(), promised=held, in_promises={"L1": 2, "L2": 1})
    assert [one.agrees for one in promise_books_agree(other, when="now")] == [True, False]
