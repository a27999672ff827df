"""From a real server with a real store to a real mailbox: the notice, read; and the summary."""

import json
import os
import subprocess
from collections.abc import Iterator
from contextlib import contextmanager
from datetime import UTC, date, datetime, timedelta

from daysworth.domain.entries import Role
from daysworth.domain.iso_weeks import Week
from tests.clients.mailboxes import Mailbox, mailbox
from tests.databases import SQLITE, migrated
from tests.grounds import begin_ground, box, put_up, small_store, token_for
from tests.servers import DAYSWORTH, serving

SOON = date.today() + timedelta(days=3)  # noqa: DTZ011 - what a pack says has no zone
TO = "smtp:ana@fernhollow.test,ben@fernhollow.test"


@contextmanager
def asking() -> Iterator[dict[str, str]]:
    """Serve the small store with a box that passes its date soon; give what a client needs."""
    engine = migrated(SQLITE)
    begin_ground(engine, small_store())
    put_up(engine, box(12, printed=SOON.isoformat()), box(5, printed="2020-01"))
    year_on = datetime.now(UTC) + timedelta(days=365)
    script = token_for(engine, Role.SCRIPT, expires_at=year_on)
    with serving(engine, token=script) as server:
        yield {
            **os.environ,
            "DAYSWORTH_ADDRESS": f"{server.address}/v1/stores/fernhollow",
            "DAYSWORTH_TOKEN": server.token,
            "DAYSWORTH_MAIL_FROM": "store@fernhollow.test",
        }
    engine.dispose()


def run(env: dict[str, str], *arguments: str) -> subprocess.CompletedProcess[str]:
    ran = subprocess.run(
        [DAYSWORTH, *arguments], env=env, capture_output=True, text=True, check=False
    )
    assert ran.returncode == 0, ran.stderr
    return ran


def test_the_notice_is_received_by_mail_once_and_says_what_to_do() -> None:
    with asking() as env, mailbox(Mailbox()) as box_of_theirs:
        env["DAYSWORTH_MAIL_SERVER"] = box_of_theirs.server
        first = run(env, "notices", "post", "--week", "current", "--to", TO)
        again = run(env, "notices", "post", "--to", TO)
        shown = run(env, "notices", "show").stdout
        kept = json.loads(run(env, "notices", "show", "--json").stdout)
    assert "Posted to smtp:ana@fernhollow.test,ben@fernhollow.test." in first.stderr
    assert "Already posted" in again.stderr
    (letter,) = box_of_theirs.messages
    assert box_of_theirs.recipients == [["ana@fernhollow.test", "ben@fernhollow.test"]]
    assert letter["Subject"] == kept["subject"]
    assert letter["From"] == '"Fernhollow (invented)" <store@fernhollow.test>'
    assert letter["Auto-Submitted"] == "auto-generated"
    plain, html = letter.get_body(("plain",)), letter.get_body(("html",))
    assert plain is not None
    assert html is not None
    text = plain.get_content()
    assert text.replace("\r\n", "\n").rstrip("\n") == shown.rstrip("\n")
    assert "Past its last good day: take it off the shelf" in text
    assert "5 × Pink salmon, tinned" in text
    assert "Eat first: last good day within 7 days" in text
    assert "12 × Pink salmon, tinned" in text
    assert "Read every label every time" in text
    assert "peanut allergy" not in text.casefold() + html.get_content().casefold()
    assert "Pink salmon, tinned" in html.get_content()
    assert kept["id"] == f"fernhollow-{Week.of(date.fromisoformat(kept['as_of']))}"
    assert kept["made_at"] is not None


def test_the_summary_in_the_terminal_is_that_of_the_store() -> None:
    with asking() as env:
        text = run(env, "summary", "--running-water").stdout
        answer = json.loads(run(env, "summary", "--running-water", "--json").stdout)
    assert max(map(len, text.splitlines())) <= 80
    assert "Everyone is fed for" in text
    assert "running water" in text.splitlines()[1]
    assert answer["coverage"]["scenario"]["running_water"] is True
    assert answer["coverage"]["person_days"] > 0
    assert answer["waiting"] == []
