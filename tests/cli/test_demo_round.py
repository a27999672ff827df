"""The demo puts up kits and works a round through the ledger, and its books agree to the unit."""

import json
import re
from dataclasses import dataclass
from io import BytesIO
from pathlib import Path

import pytest
import typer
from pypdf import PdfReader
from sqlalchemy import update

from daysworth.cli import demo_round
from daysworth.cli.demo import demo
from daysworth.cli.demo_agreement import Books, books_agree
from daysworth.db.kits import KeptKit
from daysworth.db.ledger.kits import pack_plan
from daysworth.db.tables import LOT
from daysworth.db.transactions import Writing
from tests.cli.kit_files import AS_OF
from tests.cli.process import done, refused

KIT_ID = re.compile("K-[0-9A-Z]{10}")
"""What a kit is called by chance, which may have any three signs in it."""
ASKED = ("demo", "--round", "--as-of", "2026-11-25")


LEAP_DAY = ("demo", "--round", "--as-of", "2024-02-29")


@dataclass(frozen=True)
class Written:
    """What the demo says, and the labels that it writes beside it."""

    text: str
    path: Path

    @property
    def labels(self) -> str:
        """Read all of the labels."""
        pages = PdfReader(BytesIO(self.path.read_bytes())).pages
        return " ".join(" ".join(page.extract_text() for page in pages).split())


@pytest.fixture(scope="module")
def in_json(tmp_path_factory: pytest.TempPathFactory) -> Written:
    path = tmp_path_factory.mktemp("json") / "labels.pdf"
    return Written(done(*ASKED, "--json", "--labels", str(path)), path)


@pytest.fixture(scope="module")
def in_words(tmp_path_factory: pytest.TempPathFactory) -> Written:
    path = tmp_path_factory.mktemp("words") / "labels.pdf"
    return Written(done(*LEAP_DAY, "--labels", str(path)), path)


@pytest.fixture(scope="module")
def shown(in_json: Written) -> dict[str, object]:
    answer: dict[str, object] = json.loads(in_json.text)
    return answer


def test_at_least_twenty_kits_of_several_patterns_are_put_up(shown: dict[str, object]) -> None:
    plan = shown["plan"]
    assert isinstance(plan, dict)
    made = [one for one in plan["kinds"] if one["made"]]
    assert sum(one["made"] for one in made) == plan["totals"]["kits"] >= 20
    assert len({one["pattern"] for one in made}) >= 8
    homes = {one["household"] for one in made}
    assert {"H01", "H05", "H11", "H21", None} <= homes
    assert all(one["short"] for one in plan["kinds"] if one["made"] < one["wanted"])
    assert any(one["made"] < one["wanted"] for one in plan["kinds"])


def test_what_was_planned_is_what_was_put_up(shown: dict[str, object]) -> None:
    plan, kits, older = shown["plan"], shown["kits"], shown["older"]
    assert isinstance(plan, dict)
    assert isinstance(kits, list)
    assert isinstance(older, list)
    before = {one["id"] for one in older}
    put_up = sorted((k["name"], k["persons"]) for k in kits if k["id"] not in before)
    planned = sorted((k["name"], k["persons"]) for k in plan["kits"] for _ in range(k["how_many"]))
    assert put_up == planned
    assert all(kit["pull_by_day"] > "2027-05-24" for kit in kits if kit["id"] not in before)
    picked = sum(line["units"] for place in plan["picking"] for line in place["lines"])
    packed = sum(
        kit["how_many"] * sum(one["units"] for one in (*kit["contents"], *kit["wares"]))
        for kit in plan["kits"]
    )
    assert picked == packed


def test_the_books_agree_to_the_unit_in_every_way_they_are_held(shown: dict[str, object]) -> None:
    agreement = shown["agreement"]
    assert isinstance(agreement, list)
    assert shown["agrees"] is True
    assert [one["words"] for one in agreement if not one["agrees"]] == []
    assert all(one["counted"] == one["expected"] != 0 for one in agreement)
    assert len(agreement) == 18


def test_packing_takes_no_unit_and_no_day_and_the_round_takes_what_it_records(
    shown: dict[str, object],
) -> None:
    stood, settled = shown["stood"], shown["settled"]
    assert isinstance(stood, list)
    assert isinstance(settled, dict)
    before, packed, after = stood
    assert packed["units_on_hand"] == before["units_on_hand"]
    assert packed["everyone_fed_days"] == pytest.approx(before["everyone_fed_days"], abs=1e-4)
    record = settled["record"]
    gone = record["eaten"]["units"] + record["given"]["units"] + record["discarded"]["units"]
    assert packed["units_on_hand"] - after["units_on_hand"] == gone == record["pulled"]["units"]
    assert gone > 100


def test_a_kit_is_eaten_whole_and_another_unpacked(shown: dict[str, object]) -> None:
    round_, settled, second = shown["round"], shown["settled"], shown["second_look"]
    assert isinstance(round_, dict)
    assert isinstance(settled, dict)
    assert isinstance(second, dict)
    due = [one for place in round_["worklist"] for one in place["proposals"]]
    assert {one["action"] for one in due if one["kit"]} == {"eat_whole", "unpack"}
    left = [one for place in second["worklist"] for one in place["proposals"]]
    assert {one["kit"] for one in left} == {None}
    # What is left stays for now, or came out of the kit.
    stays = {one["lot"] for one in settled["left"]}
    unpacked = {one["lot"] for one in settled["settled"] if one["outcome"] == "unpacked"}
    assert stays <= {one["lot"] for one in left} <= stays | unpacked
    assert len(left) < len(due) / 5


def test_the_text_of_a_leap_day_fits_80_columns_and_tells_its_steps_in_order(
    in_words: Written,
) -> None:
    text = in_words.text
    told, _, last = text.rstrip("\n").rpartition("\n")
    lines = told.splitlines()
    assert re.fullmatch(r"The labels of the \d\d kits put up are in .*/labels\.pdf\.", last)
    assert last.endswith(f" are in {in_words.path}.")
    assert max(len(line) for line in lines) <= 80
    assert len(lines) < 160
    steps = [text.index(f"\n{number}. ") for number in range(1, 8)]
    assert steps == sorted(steps)
    assert "29 February 2024" in text
    assert text.index("7. ") < text.index("Cautions")
    assert "Read every label every time" in text


def test_it_agrees_on_a_leap_day(in_words: Written) -> None:
    assert "7. It agrees, to the unit: 18 counts" in in_words.text


@pytest.mark.parametrize("form", ["in_json", "in_words"])
def test_each_kit_has_a_label_without_its_household(
    form: str, request: pytest.FixtureRequest
) -> None:
    printed: str = request.getfixturevalue(form).labels
    assert printed.count("In the bag:") == printed.count("How to serve") >= 20
    assert "for parcel 5" in printed
    assert "H05" not in KIT_ID.sub("", printed)


def test_json_is_the_answer_alone_where_labels_are_written(shown: dict[str, object]) -> None:
    assert shown["question"] == "round_demo"
    assert shown["as_of"] == "2026-11-25"


def test_labels_without_kits_are_wrong_usage_and_a_bad_path_is_refused(tmp_path: Path) -> None:
    path = str(tmp_path / "none" / "labels.pdf")
    assert "--labels goes with --round" in refused("demo", "--labels", path, code=2)
    assert "cannot be written" in refused(*ASKED, "--labels", path)


def losing_a_unit(writing: Writing, plan: str) -> list[KeptKit]:
    """Pack a plan, and lose a unit of which the ledger knows nothing."""
    packed = pack_plan(writing, plan)
    lot = packed[0].kit.items[0].lot
    chosen = (LOT.c.store == writing.store, LOT.c.id == lot)
    writing.connection.execute(update(LOT).where(*chosen).values(units=LOT.c.units + 1))
    return packed


def test_a_unit_that_the_ledger_knows_nothing_of_is_found_and_makes_the_exit_code(
    monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]
) -> None:
    monkeypatch.setattr(demo_round, "pack_plan", losing_a_unit)
    with pytest.raises(typer.Exit) as ended:
        demo(as_of=AS_OF, with_round=True)
    assert ended.value.exit_code == 1
    said = capsys.readouterr()
    assert "The books do not agree:" in said.err
    assert "7. IT DOES NOT AGREE: " in said.out
    assert "NO" in said.out
    assert "1 differ" in said.out


def books(**more: object) -> Books:
    """Give books that agree, one thing of them changed."""
    kept: dict[str, object] = {
        "units": {"L1": 5, "L2": 0},
        "units_entered": {"L1": 5},
        "in_kits": {"L1": 2, "L2": 0},
        "in_closed_kits": {"L1": 2},
        "wares": {("fork", "hall"): 4},
        "wares_entered": {("fork", "hall"): 4},
        "wares_in_kits": {"fork": 2},
        "taken": {},
        "kits": 1,
    }
    return Books(**(kept | more))  # type: ignore[arg-type]


def test_books_that_agree_agree() -> None:
    assert [one.agrees for one in books_agree(books(), when="now")] == [True] * 3
    assert books().all_wares == {"fork": 6}


@pytest.mark.parametrize(
    ("number", "more"),
    [
        (0, {"units": {"L1": 4, "L2": 1}}),
        (0, {"units_entered": {"L1": 5, "L9": 1}}),
        (1, {"in_kits": {"L1": 1, "L2": 1}}),
        (1, {"in_closed_kits": {}}),
        (2, {"wares": {("fork", "attic"): 4}}),
    ],
)
def test_units_that_only_add_up_to_the_same_do_not_agree(
    number: int, more: dict[str, object]
) -> None:
    found = list(books_agree(books(**more), when="now"))
    assert [one.agrees for one in found] == [at != number for at in range(3)]
