"""The page that the code on a kit's label opens, and what can be done with the kit there."""

from collections.abc import Callable
from datetime import timedelta
from functools import partial
from typing import Final

import pytest
from sqlalchemy import select

from daysworth.db.coordinators import add_coordinator
from daysworth.db.kits import KeptKit
from daysworth.db.ledger.custody import quarantine
from daysworth.db.ledger.kits import eat_kit, unpack_kit
from daysworth.db.tables import DISCLOSURE
from daysworth.db.transactions import write_beside
from daysworth.domain.entries import KitState
from daysworth.domain.identifiers import LotId
from daysworth.domain.meal_patterns import MealRule, Waiver
from daysworth.domain.restrictions import Restriction, Substance
from tests.db.kit_grounds import kit_of, kits_balance, lots_in, pack, to_pack
from tests.grounds import (
    CELLAR,
    NOON,
    PEANUT_HOME,
    SHELF,
    STORE_ID,
    books_balance,
    box,
    change,
    look,
    put_up,
    version_of,
)
from tests.pages.browsing import Site
from tests.pages.coordinating import STORE, add_somebody, signed_in
from tests.pages.kit_pages import (
    KITS,
    open_kit,
    put_up_for_home,
    put_up_kit,
    read_another_label,
)

PASSWORD: Final = "a long enough password"
DEEDS: Final = ("move", "unpack", "eat")
HOW: Final = ("Failed:", "Waived:", "Passed:")


def test_the_code_on_a_label_opens_it_once_somebody_has_signed_in(quick_site: Site) -> None:
    kept = put_up_kit(quick_site)
    add = partial(add_coordinator, store=STORE_ID, name="Ana", password=PASSWORD, at=NOON)
    write_beside(quick_site.engine, add, store=STORE_ID)
    asked = quick_site.browser().open(f"{KITS}/{kept.id}")
    assert asked.address.startswith(f"{STORE}/sign-in?then=")
    page = asked.form("sign-in").filled(name="Ana", password=PASSWORD).submit()
    assert page.address == f"{KITS}/{kept.id}"
    assert page.root.the("h1").text == "Fish for two"


def test_it_says_for_whom_until_when_and_how_to_serve_it(quick_site: Site) -> None:
    page = open_kit(signed_in(quick_site), put_up_kit(quick_site))
    assert "2 people" in page.text
    assert "anybody it suits" in page.text
    assert "Eat or renew by September 30, 2028" in page.text
    assert [one.text for one in page.root.the("ol").each("li")] == [
        "Open the fish.",
        "Eat it from the pack.",
    ]
    assert "May be warmed: the fish, out of its pack" in page.text
    assert "It needs an opener." in page.text
    assert "3 × Pink salmon, tinned, 213 g" in page.text
    assert "1 tin opener, 2 forks, 1 bag." in page.text
    assert "kcal and" in page.text


def test_its_allergens_are_told_with_what_is_not_known(quick_site: Site) -> None:
    kept = put_up_kit(quick_site)
    page = open_kit(signed_in(quick_site), kept)
    found = page.root.the("dl").text
    assert found.startswith("Containsfish")
    assert "Not known" in found
    assert "Not every label in it was read" in page.text


def test_its_rules_have_those_that_failed_first_and_a_waiver_its_reason(quick_site: Site) -> None:
    (lot,) = put_up(quick_site.engine, box(6))
    waiver = Waiver(rule=MealRule.COMPLETE, why="Fruit is given out beside it.")
    (kept,) = pack(quick_site.engine, to_pack((lot, 2), waivers=(waiver,)))
    page = open_kit(signed_in(quick_site), kept)
    table = page.root.the("table", **{"class": "rules"})
    rules = [one.text for one in table.the("tbody").each("tr")]
    how = [next(word for word in HOW if word in one) for one in rules]
    assert how == sorted(how, key=HOW.index)
    assert set(how) == set(HOW)
    (waived,) = [one for one in rules if "Waived:" in one]
    assert "starch" in waived
    assert "too little" in waived
    assert "Why it was waived: Fruit is given out beside it." in waived


def test_what_a_household_must_mind_is_logged_before_it_is_shown(quick_site: Site) -> None:
    kept = put_up_for_home(quick_site)
    read_another_label(quick_site, kept)
    page = open_kit(signed_in(quick_site), kept)
    assert "H-peanut, parcel 2" in page.text
    assert "Pink salmon, tinned: not suitable" in page.text
    logged = look(
        quick_site.engine, lambda reading: reading.connection.execute(select(DISCLOSURE)).all()
    )
    assert [(row.what, row.household) for row in logged] == [("kit", PEANUT_HOME)]


def test_a_kit_for_anybody_tells_no_household_and_logs_nothing(quick_site: Site) -> None:
    page = open_kit(signed_in(quick_site), put_up_kit(quick_site))
    assert "What to mind for" not in page.text
    logged = look(
        quick_site.engine, lambda reading: reading.connection.execute(select(DISCLOSURE)).all()
    )
    assert logged == []


def test_it_is_moved_once_however_often_the_button_is_pressed(quick_site: Site) -> None:
    kept = put_up_kit(quick_site)
    form = open_kit(signed_in(quick_site), kept).form("move").filled(place=SHELF, why="more room")
    first, second = form.submit(), form.submit()
    assert "It is moved: it stands in Shelf now." in first.text
    assert (second.status, second.address) == (200, f"{KITS}/{kept.id}?done=move")
    assert kit_of(quick_site.engine, kept.id).kit.place == SHELF
    assert kit_of(quick_site.engine, kept.id).revision == kept.revision + 1
    assert kits_balance(quick_site.engine)
    assert books_balance(quick_site.engine)
    # Where it stands already it is not offered.
    assert [one.marks["value"] for one in first.by_id("move-place").each("option")] == [CELLAR]


def test_two_presses_at_the_same_moment_are_one_deed(quick_site: Site) -> None:
    kept = put_up_kit(quick_site)
    browser = signed_in(quick_site)
    form = open_kit(browser, kept).form("unpack")
    pages = browser.submit_together([form, form])
    assert [page.status for page in pages] == [200, 200]
    assert kit_of(quick_site.engine, kept.id).revision == kept.revision + 1
    assert kits_balance(quick_site.engine)


def test_an_unpacked_kit_says_so_and_offers_nothing(quick_site: Site) -> None:
    kept = put_up_kit(quick_site)
    page = open_kit(signed_in(quick_site), kept).form("unpack").filled(why="not wanted").submit()
    assert "It is unpacked. What was in it stands free in Cellar." in page.text
    assert "It was unpacked on September 1, 2026" in page.text
    assert "3 × Pink salmon, tinned" in page.text
    assert [form.address.rpartition("/")[2] for form in page.forms] == ["sign-out"]
    (lot,) = lots_in(quick_site.engine, kit_of(quick_site.engine, kept.id))
    assert (lot.units, lot.units_in_kits, lot.printed) == (3, 0, "2028-09")


def test_an_eaten_kit_is_eaten_whole(quick_site: Site) -> None:
    kept = put_up_kit(quick_site)
    page = open_kit(signed_in(quick_site), kept).form("eat").submit()
    assert "It is recorded as eaten." in page.text
    assert "It was eaten on September 1, 2026." in page.text
    assert kit_of(quick_site.engine, kept.id).state is KitState.EATEN
    assert books_balance(quick_site.engine)


@pytest.mark.parametrize("ended", [eat_kit, unpack_kit])
@pytest.mark.parametrize("deed", DEEDS)
def test_a_deed_on_a_kit_that_was_used_meanwhile_is_a_sentence_and_changes_nothing(
    quick_site: Site, deed: str, ended: Callable[..., KeptKit]
) -> None:
    kept = put_up_kit(quick_site)
    form = open_kit(signed_in(quick_site), kept).form(deed)
    change(quick_site.engine, partial(ended, kit=kept.id))
    version = version_of(quick_site.engine)
    page = form.submit()
    assert page.status == 409
    assert "Nothing was changed: this kit was eaten or unpacked before." in page.text
    assert page.root.the("h1").text == "Fish for two"
    assert version_of(quick_site.engine) == version


def test_a_changed_kit_is_looked_at_before_it_is_eaten(quick_site: Site) -> None:
    kept = put_up_kit(quick_site)
    browser = signed_in(quick_site)
    early = open_kit(browser, kept).form("eat")
    read_another_label(quick_site, kept)
    refused = early.submit()
    assert refused.status == 409
    assert "Something in it has changed: look at it first" in refused.text
    assert kit_of(quick_site.engine, kept.id).state is KitState.CLOSED
    page = open_kit(browser, kept)
    assert "something has changed" in page.text
    assert not [form for form in page.forms if form.address.endswith("/eat")]
    done = page.form("confirm").filled(why="Nobody here minds peanuts.").submit()
    assert "It is kept that you looked at it" in done.text
    assert "Looked at by Ada Rowe on September 1, 2026: Nobody here minds peanuts." in done.text
    assert "It is recorded as eaten." in done.form("eat").submit().text


def test_what_changed_for_its_household_is_told_in_words(quick_site: Site) -> None:
    kept = put_up_for_home(quick_site)
    add_somebody(quick_site, Restriction(allergy=Substance.FISH))
    page = open_kit(signed_in(quick_site), kept)
    changed = page.root.the("section", **{"class": "problem"})
    assert "Pink salmon, tinned is not suitable for those it is for" in changed.text
    # On paper, which lies about, no need of anybody's is told.
    assert changed.the("ul").marks["class"] == "screen"


@pytest.mark.parametrize("why", ["", " ", "x" * 401, "two\nlines", "turned \u202earound"])
def test_nobody_answers_for_a_kit_without_a_reason(quick_site: Site, why: str) -> None:
    kept = put_up_kit(quick_site)
    read_another_label(quick_site, kept)
    form = open_kit(signed_in(quick_site), kept).form("confirm")
    page = form.forged(why=why).submit()
    assert page.status == 422
    assert page.by_id("confirm-why").marks["aria-describedby"].split() == ["confirm-why-fault"]
    assert page.form("confirm")["why"] == why.strip()[:401]
    assert kit_of(quick_site.engine, kept.id).looked_why is None


def test_who_answers_second_is_told_that_it_was_changed(quick_site: Site) -> None:
    kept = put_up_kit(quick_site)
    read_another_label(quick_site, kept)
    browser = signed_in(quick_site)
    first, second = (open_kit(browser, kept).form("confirm") for _ in range(2))
    first.filled(why="I looked.").submit()
    late = second.filled(why="So did I.").submit()
    assert late.status == 412
    assert "Somebody changed it" in late.text
    assert kit_of(quick_site.engine, kept.id).looked_why == "I looked."


def test_what_is_set_aside_is_not_answered_for(quick_site: Site) -> None:
    kept = put_up_kit(quick_site)
    (lot,) = lots_in(quick_site.engine, kept)
    change(quick_site.engine, partial(quarantine, lot=LotId(lot.id), why="a recall"))
    page = open_kit(signed_in(quick_site), kept)
    assert "it was set aside" in page.text
    refused = page.form("confirm").filled(why="It looks well.").submit()
    assert refused.status == 409
    assert "quarantined" in refused.root.the("p", role="alert").text
    assert refused.form("confirm")["why"] == "It looks well."


def test_a_place_that_is_not_there_and_a_reason_that_cannot_be_kept_stand_by_their_fields(
    quick_site: Site,
) -> None:
    kept = put_up_kit(quick_site)
    page = open_kit(signed_in(quick_site), kept)
    moved = page.form("move").forged(place="P-none", why="w\u202e").submit()
    assert moved.status == 422
    assert moved.by_id("move-place-fault").text == "Choose a place."
    assert "signs in it" in moved.by_id("move-why-fault").text
    for deed in ("eat", "unpack"):
        again = page.form(deed).forged(why="w" * 500).submit()
        assert again.status == 422
        assert again.by_id(f"{deed}-why").marks["aria-invalid"] == "true"
        assert again.form("unpack" if deed == "eat" else "eat")["why"] == ""
    assert kit_of(quick_site.engine, kept.id) == kept


def test_one_key_is_not_used_for_two_deeds(quick_site: Site) -> None:
    kept = put_up_kit(quick_site)
    page = open_kit(signed_in(quick_site), kept)
    move = page.form("move").filled(place=SHELF)
    move.submit()
    other = page.form("move").forged(place=CELLAR).submit()
    assert other.status == 409
    assert "sent before" in other.text
    assert kit_of(quick_site.engine, kept.id).kit.place == SHELF


def test_what_is_past_its_date_is_marked(quick_site: Site) -> None:
    kept = put_up_kit(quick_site, line=box(6, printed="2026-10"))
    quick_site.clock.move(timedelta(days=70))
    page = open_kit(signed_in(quick_site), kept)
    assert "Its date is past." in page.text
    assert "it is past its date" in page.text


def test_a_kit_that_is_not_there_is_a_page_in_words(quick_site: Site) -> None:
    page = signed_in(quick_site).open(f"{KITS}/K-none")
    assert page.status == 404
    assert "There is no kit" in page.text
    posted = put_up_kit(quick_site)
    form = open_kit(signed_in(quick_site), posted).form("eat")
    assert form.address == f"{KITS}/{posted.id}/eat"
