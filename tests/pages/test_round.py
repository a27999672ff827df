"""A coordinator works a round on its page: ticks what was done, and sees what was thrown away."""

from datetime import timedelta
from functools import partial
from typing import Final

import pytest
from sqlalchemy import select

from daysworth.db.households import household_names
from daysworth.db.kits import KeptKit
from daysworth.db.ledger.round_decisions import RoundDecision
from daysworth.db.ledger.rounds import settle_round
from daysworth.db.stores import change_store, read_store
from daysworth.db.tables import DISCLOSURE
from daysworth.domain.entries import KitState, RoundOutcome
from daysworth.domain.identifiers import LotId
from daysworth.domain.label_dates import LabelKind
from daysworth.domain.settings import StoreSettings
from tests.db.kit_grounds import kit_of, kits_balance, pack, to_pack
from tests.grounds import (
    NOON,
    OTHER_HOME,
    books_balance,
    box,
    change,
    look,
    lots_of,
    put_up,
    version_of,
)
from tests.pages.browsing import Browser, Form, Page, Site
from tests.pages.coordinating import PLAIN_TEXT, STORE, put_up_read, read_as, signed_in
from tests.pages.kit_pages import read_another_label

ROUND: Final = f"{STORE}/round"
SOON: Final = {"printed": "2026-11-02"}
PAST: Final = {"printed": "2026-08"}


def open_round(browser: Browser) -> Page:
    page = browser.open(ROUND)
    assert page.status == 200, page.text
    assert "Read every label every time" in page.text
    return page


def ticked(form: Form) -> set[str]:
    return {name.removeprefix("accept-") for name, value in form.fields if value == "yes"}


def due_soon(site: Site, units: int = 6) -> str:
    """Put up salmon that both households may eat, and that passes its date before March."""
    return put_up_read(site, read_as(PLAIN_TEXT), line=box(units, **SOON))


def due_kit(site: Site) -> KeptKit:
    """Put up a kit that passes its date before March, for whoever it suits."""
    (lot,) = put_up(site.engine, box(3, **SOON))
    (kept,) = pack(site.engine, to_pack((lot, 2), persons=1))
    return kept


def test_what_is_due_stands_by_place_and_the_round_is_named(quick_site: Site) -> None:
    (old,) = put_up(quick_site.engine, box(4, **PAST))
    lot = due_soon(quick_site)
    page = open_round(signed_in(quick_site))
    assert page.root.the("h1").text == "The round of September 1, 2026"
    assert "The next round is on March 1, 2027." in page.text
    assert "2 lots and kits are due." in page.text
    assert "Throw it away: it is past its date." in page.text
    assert "Eat first, by November 2, 2026: " in page.text
    assert page.link("Look at the lot") in (f"{STORE}/lots/{old.id}", f"{STORE}/lots/{lot}")


def test_at_first_only_what_throws_nothing_away_is_ticked(quick_site: Site) -> None:
    put_up(quick_site.engine, box(4, **PAST))
    lot = due_soon(quick_site)
    form = open_round(signed_in(quick_site)).form("accept")
    assert ticked(form) == {f"lot:{lot}"}


def test_what_is_ticked_is_recorded_once_and_the_rest_stays(quick_site: Site) -> None:
    (old,) = put_up(quick_site.engine, box(4, **PAST))
    lot = due_soon(quick_site)
    form = open_round(signed_in(quick_site)).form("accept")
    first, second = form.submit(), form.submit()
    assert "It is recorded." in first.text
    assert (second.status, second.address) == (200, f"{ROUND}?done=accept")
    lots = lots_of(quick_site.engine)
    assert (lots[lot].units, lots[old.id].units) == (0, 4)
    assert "1.3 kg eaten, 0 kg given, 0 kg thrown away." in first.text
    assert "eaten first, as proposed" in first.text
    assert books_balance(quick_site.engine)


def test_two_presses_at_the_same_moment_are_one_record(quick_site: Site) -> None:
    lot = due_soon(quick_site)
    browser = signed_in(quick_site)
    form = open_round(browser).form("accept")
    pages = browser.submit_together([form, form])
    assert [page.status for page in pages] == [200, 200]
    assert lots_of(quick_site.engine)[lot].units == 0
    assert books_balance(quick_site.engine)


def test_what_is_thrown_away_is_ticked_by_hand(quick_site: Site) -> None:
    (old,) = put_up(quick_site.engine, box(4, **PAST))
    form = open_round(signed_in(quick_site)).form("accept")
    page = form.filled(**{f"accept-lot:{old.id}": True}).submit()
    assert lots_of(quick_site.engine)[old.id].units == 0
    assert "0 kg eaten, 0 kg given, 0.9 kg thrown away." in page.text
    assert "Nothing is due, and nothing is to be looked at." in page.text


def test_nothing_ticked_is_said_and_records_nothing(quick_site: Site) -> None:
    lot = due_soon(quick_site)
    form = open_round(signed_in(quick_site)).form("accept")
    page = form.filled(**{f"accept-lot:{lot}": False}).submit()
    assert page.status == 422
    assert page.by_id("accept-fault").text == "Nothing is ticked that can be recorded today."
    # What was taken out stays out.
    assert ticked(page.form("accept")) == set()
    assert lots_of(quick_site.engine)[lot].units == 6


def test_a_round_that_was_read_before_the_stock_changed_records_nothing(
    quick_site: Site,
) -> None:
    (old,) = put_up(quick_site.engine, box(4, **PAST))
    lot = due_soon(quick_site)
    form = open_round(signed_in(quick_site)).form("accept")
    put_up(quick_site.engine)
    before = version_of(quick_site.engine)
    wanted = {f"accept-lot:{old.id}": True, f"accept-lot:{lot}": False}
    page = form.filled(**wanted).submit()
    assert page.status == 412
    assert "somebody changed the stock" in page.root.the("p", role="alert").text
    assert ticked(page.form("accept")) == {f"lot:{old.id}"}
    assert version_of(quick_site.engine) == before
    assert "It is recorded." in page.form("accept").submit().text


@pytest.mark.parametrize("field", ["version", "as_of", "round"])
@pytest.mark.parametrize("value", ["", "x", "0", "2026-03-02", "9" * 40])
def test_a_form_that_says_another_plan_records_nothing(
    quick_site: Site, field: str, value: str
) -> None:
    lot = due_soon(quick_site)
    form = open_round(signed_in(quick_site)).form("accept")
    page = form.forged(**{field: value}).submit()
    assert 400 <= page.status < 500
    assert lots_of(quick_site.engine)[lot].units == 6


def test_a_tick_for_what_is_not_due_is_not_heeded(quick_site: Site) -> None:
    (good,) = put_up(quick_site.engine, box(6))
    lot = due_soon(quick_site)
    form = open_round(signed_in(quick_site)).form("accept")
    page = form.forged(**{f"accept-lot:{good.id}": "yes"}).submit()
    assert "It is recorded." in page.text
    lots = lots_of(quick_site.engine)
    assert (lots[good.id].units, lots[lot].units) == (6, 0)


def test_what_may_still_be_eaten_is_not_thrown_away_today(quick_site: Site) -> None:
    # Nobody can eat so many in time, and no partner takes them.
    lot = due_soon(quick_site, 5_000)
    form = open_round(signed_in(quick_site)).form("accept")
    assert ticked(form) == set()
    page = form.filled(**{f"accept-lot:{lot}": True}).submit()
    assert "left over: It stays, and may still be eaten" in page.text
    assert 0 < lots_of(quick_site.engine)[lot].units < 5_000
    assert "0 kg thrown away." in page.text


def test_a_kit_that_is_due_is_eaten_whole(quick_site: Site) -> None:
    kept = due_kit(quick_site)
    page = open_round(signed_in(quick_site))
    assert "Kit: Fish for two" in page.text
    assert "Eat it whole, by November 2, 2026:" in page.text
    assert f"kit:{kept.id}" in ticked(page.form("accept"))
    done = page.form("accept").submit()
    assert kit_of(quick_site.engine, kept.id).state is KitState.EATEN
    assert "in a kit" in done.text
    assert kits_balance(quick_site.engine)


def test_a_kit_that_has_changed_is_not_recorded_as_eaten_before_somebody_looked(
    quick_site: Site,
) -> None:
    kept = due_kit(quick_site)
    read_another_label(quick_site, kept, text=PLAIN_TEXT)
    page = open_round(signed_in(quick_site))
    assert "Eat it whole" in page.text
    assert "Changed since it was put up: look at it before" in page.text
    (tick,) = page.root.each("input", name=f"accept-kit:{kept.id}")
    assert "disabled" in tick.marks
    forged = page.form("accept").forged(**{f"accept-kit:{kept.id}": "yes"}).submit()
    assert forged.status == 422
    assert "look at it first" in forged.by_id("accept-fault").text
    assert kit_of(quick_site.engine, kept.id).state is KitState.CLOSED


def test_what_has_no_date_is_to_be_looked_at(quick_site: Site) -> None:
    undated = {"label_kind": LabelKind.UNLABELLED, "printed": None}
    (lot,) = put_up(quick_site.engine, box(5, **undated))
    page = open_round(signed_in(quick_site))
    assert "To look at 5 × Pink salmon, tinned: it has no date." in " ".join(
        one.text for one in page.root.each("h3", "li") if "look at" in one.text or "×" in one.text
    )
    assert page.link("5 × Pink salmon") == f"{STORE}/lots/{lot.id}"


def settle(site: Site, days_on: int, *decisions: RoundDecision) -> None:
    day = NOON.date() + timedelta(days=days_on)
    change(site.engine, partial(settle_round, round_on=day, decisions=decisions))


def on(lot: str, outcome: RoundOutcome, units: int) -> RoundDecision:
    is_out = outcome is RoundOutcome.DISCARDED
    why = "past its date" if is_out else None
    return RoundDecision(outcome=outcome, lot=LotId(lot), units=units, why=why)


def test_waste_is_seen_falling_from_round_to_round(quick_site: Site) -> None:
    (lot,) = put_up(quick_site.engine, box(100, net_mass_g=500.0))
    eaten, discarded = RoundOutcome.EATEN, RoundOutcome.DISCARDED
    settle(quick_site, -184, on(lot.id, eaten, 6), on(lot.id, discarded, 4))
    settle(quick_site, 0, on(lot.id, eaten, 9), on(lot.id, discarded, 1))
    page = open_round(signed_in(quick_site))
    rows = [
        row.text for row in page.root.the("table", **{"class": "records"}).the("tbody").each("tr")
    ]
    assert ["Sep 1, 2026" in row for row in rows] == [True, False]
    assert "Mar 1, 2026" in rows[1]
    assert rows[0].endswith("5 kg0.5 kg10 %")
    assert rows[1].endswith("5 kg2 kg40 %")
    assert "30 points less thrown away than the round before." in rows[0]


def test_the_next_round_can_be_begun_a_month_early(quick_site: Site) -> None:
    quick_site.clock.move(timedelta(days=160))
    (old,) = put_up(quick_site.engine, box(4, **PAST))
    page = open_round(signed_in(quick_site))
    begun = page.browser.open(page.link("Begin the round of March 1, 2027 now"))
    assert begun.root.the("h1").text == "The round of March 1, 2027"
    done = begun.form("accept").filled(**{f"accept-lot:{old.id}": True}).submit()
    assert done.root.the("h1").text == "The round of March 1, 2027"
    assert lots_of(quick_site.engine)[old.id].units == 0


@pytest.mark.parametrize("day", ["yesterday", "2026-09-02", "1999-03-01"])
def test_a_day_of_no_round_is_a_page_in_words(quick_site: Site, day: str) -> None:
    page = signed_in(quick_site).open(f"{ROUND}?round={day}")
    assert page.status == 422
    assert "no day of a round" in page.text or "it is more than two years ago" in page.text


def test_a_store_whose_rule_has_no_round_says_so(quick_site: Site) -> None:
    settings = StoreSettings(rounds_rule="FREQ=YEARLY;INTERVAL=20;BYMONTH=3;BYMONTHDAY=1")
    name = "Fernhollow (invented)"
    revision = look(quick_site.engine, read_store).revision
    work = partial(change_store, name=name, settings=settings, if_revision=revision)
    change(quick_site.engine, work)
    (lot,) = put_up(quick_site.engine, box(4, **PAST))
    page = open_round(signed_in(quick_site))
    assert page.root.the("h1").text == "No round"
    assert "no round within two years" in page.text
    assert lots_of(quick_site.engine)[lot.id].units == 4


def test_every_reading_of_a_round_is_logged_and_paper_names_parcels_alone(
    quick_site: Site,
) -> None:
    due_soon(quick_site)
    page = open_round(signed_in(quick_site))
    logged = look(
        quick_site.engine, lambda reading: reading.connection.execute(select(DISCLOSURE)).all()
    )
    assert [row.what for row in logged] == ["round"]
    names = look(quick_site.engine, household_names)
    assert names[OTHER_HOME][1] in page.root.the("form", id="accept").text
    for one in page.root.the("form", id="accept").each("span", **{"class": "screen"}):
        one.inside.clear()
    on_paper = page.root.the("form", id="accept").text
    assert "parcel" in on_paper
    assert names[OTHER_HOME][1] not in on_paper
