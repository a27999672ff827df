"""A week's notice is posted once to each channel, and one that fails is free for another try."""

import inspect
from collections.abc import Sequence
from dataclasses import dataclass, field

import httpx
import pytest

from daysworth_client.addresses import StoreAddress
from daysworth_client.channels import read_channel
from daysworth_client.connection import Connection
from daysworth_client.deliveries import Channel, channel_id, terminal_text
from daysworth_client.errors import DeliveryFailed
from daysworth_client.notices import Told, post
from daysworth_client.store_answers import NoticePart
from daysworth_client.weeks import CURRENT
from tests.clients.kept_postings import ADDRESS, TOKEN, Said, Store, problem
from tests.clients.mailboxes import Mailbox, mailbox
from tests.clients.written_answers import a_notice


class Crashed(BaseException):
    """The process ends here."""


@dataclass
class Board:
    """A channel of the tests' own: it keeps what it is given, or ends as it is told to."""

    written: str = "board:1"
    label: str = "board"
    shown: str = "the board"
    ends: BaseException | None = None
    refused: tuple[str, ...] = ()
    kept: list[NoticePart] = field(default_factory=list)

    def deliver(self, notice: NoticePart) -> tuple[str, ...]:
        if self.ends is not None:
            raise self.ends
        self.kept.append(notice)
        return self.refused


def posted(store: Store, *channels: Channel) -> Sequence[Told]:
    with Connection(StoreAddress.read(ADDRESS), TOKEN, transport=store.transport()) as connection:
        return list(post(connection, channels, week=CURRENT))


def test_posting_twice_sends_once() -> None:
    store, board = Store(), Board()
    assert posted(store, board) == [Told("Posted to the board.")]
    assert posted(store, board) == [Told("Already posted to the board on 24 November 2026.")]
    assert board.kept == [a_notice()]


def test_posting_mail_twice_sends_one_message() -> None:
    from daysworth_client.mail import read_server

    store = Store()
    with mailbox(Mailbox()) as box:
        server = read_server(box.server, sender="notices@fernhollow.example")
        channel = read_channel("smtp:ann@elm.example", mail=server)
        first, second = posted(store, channel), posted(store, channel)
    assert len(box.messages) == 1
    assert first == [Told("Posted to smtp:ann@elm.example.")]
    assert second[0].words.startswith("Already posted")
    assert store.labels == ["smtp, 1 address"] * 2


def test_a_channel_named_twice_in_one_run_gets_one_notice() -> None:
    board = Board()
    told = posted(Store(), board, board)
    assert [one.words.split()[0] for one in told] == ["Posted", "Already"]
    assert len(board.kept) == 1


def test_channels_are_posted_to_in_the_order_given_each_for_itself() -> None:
    store = Store()
    boards = [Board(f"board:{n}", shown=f"board {n}") for n in (3, 1, 2)]
    told = posted(store, *boards)
    assert [one.words for one in told] == [f"Posted to board {n}." for n in (3, 1, 2)]
    assert list(store.state) == [channel_id(f"board:{n}") for n in (3, 1, 2)]
    assert set(store.state.values()) == {"posted"}


def test_one_channel_that_fails_does_not_stop_the_others() -> None:
    broken = Board("board:0", shown="the first", ends=DeliveryFailed("it is full"))
    board = Board()
    told = posted(Store(), broken, board)
    assert told == [
        Told("Not posted to the first: it is full.", has_failed=True),
        Told("Posted to the board."),
    ]
    assert len(board.kept) == 1


def test_a_delivery_that_failed_may_be_tried_again_at_once() -> None:
    store, board = Store(), Board(ends=DeliveryFailed("it is full"))
    posted(store, board)
    assert store.state == {}
    board.ends = None
    assert posted(store, board) == [Told("Posted to the board.")]


def test_a_run_that_ends_before_delivery_is_made_up_for_once_the_service_frees_it() -> None:
    store, board = Store(), Board(ends=Crashed())
    with pytest.raises(Crashed):
        posted(store, board)
    board.ends = None
    assert posted(store, board) == [Told("Another run is posting to the board now.")]
    assert board.kept == []
    store.free_all()
    assert posted(store, board) == [Told("Posted to the board.")]
    assert board.kept == [a_notice()]


def test_what_is_delivered_and_not_recorded_is_said_to_be_so() -> None:
    store, board = Store(keeps_outcomes=False), Board()
    (told,) = posted(store, board)
    assert told == Told(
        "Delivered to the board, but not recorded, so that a later run may deliver it again:"
        " The store is busy: Try again in a minute.",
        has_failed=True,
    )
    assert board.kept == [a_notice()]


def test_what_cannot_be_freed_is_said_to_wait() -> None:
    store = Store(keeps_outcomes=False)
    (told,) = posted(store, Board(ends=DeliveryFailed("it is full")))
    assert told == Told(
        "Not posted to the board: it is full. It can be tried again in ten minutes, not sooner:"
        " The store is busy: Try again in a minute.",
        has_failed=True,
    )


def test_addresses_that_are_refused_are_named_and_the_others_get_nothing_twice() -> None:
    store, board = Store(), Board(refused=("bo@elm.example (550 no)", "cy@elm.example (550 no)"))
    assert posted(store, board) == [
        Told(
            "Posted to the board, except to bo@elm.example (550 no); cy@elm.example (550 no).",
            has_failed=True,
        )
    ]
    posted(store, board)
    assert len(board.kept) == 1


def test_a_store_that_refuses_to_begin_is_quoted_with_its_faults_and_nothing_is_delivered() -> None:
    said: Said = problem(
        422, title="It cannot be used", detail="Nothing was changed.", faults=(("week", "is over"),)
    )
    board = Board()
    transport = httpx.MockTransport(lambda _: httpx.Response(said.status, content=said.body))
    with Connection(StoreAddress.read(ADDRESS), TOKEN, transport=transport) as connection:
        told = list(post(connection, [board, board], week=CURRENT))
    words = "Not posted to the board: It cannot be used: Nothing was changed (week: is over)."
    assert told == [Told(words, has_failed=True)] * 2
    assert board.kept == []


def test_the_text_for_a_terminal_keeps_its_lines_and_ends_with_one() -> None:
    notice = a_notice() | {"text": "a\r\nb\u202ec\td"}
    assert terminal_text(notice) == "a\nb\ufffdc\ufffdd\n"


def test_posting_takes_any_channel_that_says_what_it_is() -> None:
    wanted = {name for name, _ in inspect.getmembers(Channel) if not name.startswith("_")}
    assert wanted == {"written", "label", "shown", "deliver"}
