"""Ask a store that is served somewhere, and post its weekly notice. Needs no extra."""

from collections.abc import Iterator
from contextlib import contextmanager
from enum import StrEnum
from typing import TYPE_CHECKING, Annotated

import typer

from daysworth.cli.options import (
    AsJson,
    Away,
    BasisAsked,
    Day,
    Heating,
    Horizon,
    Ration,
    Running,
    Stock,
    StockAsked,
    WithoutPlace,
)

if TYPE_CHECKING:
    from daysworth_client.connection import Connection
    from daysworth_client.deliveries import Channel
    from daysworth_client.mail import MailServer
    from daysworth_client.weeks import Week

notices = typer.Typer(no_args_is_help=True, help="Show a week's notice, and post it.")

_FAILED = 1


class MailSecurity(StrEnum):
    """How what is sent to a mail server is kept from being read on the way."""

    NONE = "none"
    STARTTLS = "starttls"
    TLS = "tls"


Address = Annotated[
    str,
    typer.Option(
        "--address",
        metavar="URL",
        envvar="DAYSWORTH_ADDRESS",
        help="Where the store is: https://HOST/v1/stores/STORE.",
    ),
]
TokenFile = Annotated[
    str | None,
    typer.Option(
        "--token-file",
        metavar="FILE",
        help="A file with the token in it; DAYSWORTH_TOKEN if not given.",
    ),
]
WeekAsked = Annotated[
    str, typer.Option("--week", metavar="WEEK", help="A week such as 2026-W48, or current.")
]
KeptWeekAsked = Annotated[
    str, typer.Option("--week", metavar="WEEK", help="A week that was kept, such as 2026-W47.")
]

Channels = Annotated[
    list[str],
    typer.Option(
        "--to",
        metavar="CHANNEL",
        help="smtp:ADDRESS,ADDRESS or hook:URL or file:PATH or -; may be repeated.",
    ),
]
MailServerAsked = Annotated[
    str,
    typer.Option(
        "--mail-server",
        metavar="HOST:PORT",
        envvar="DAYSWORTH_MAIL_SERVER",
        help="Port 25 if not given, 465 for tls.",
    ),
]
MailFrom = Annotated[
    str | None,
    typer.Option(
        "--mail-from",
        metavar="ADDRESS",
        envvar="DAYSWORTH_MAIL_FROM",
        help="The address that mail is from; smtp needs it.",
    ),
]
MailSecurityAsked = Annotated[
    MailSecurity | None,
    typer.Option(
        "--mail-security",
        metavar="HOW",
        envvar="DAYSWORTH_MAIL_SECURITY",
        help="none, starttls or tls; starttls if not given, or none on this machine.",
    ),
]


def summary(
    *,
    address: Address,
    token_file: TokenFile = None,
    as_of: Day = None,
    heating: Heating = False,
    running_water: Running = False,
    stock: StockAsked = Stock.SHARED,
    without_place: WithoutPlace = None,
    away: Away = None,
    basis: BasisAsked = None,
    ration: Ration = 1.0,
    horizon: Horizon = 180,
    as_json: AsJson = False,
) -> None:
    """Ask a store for how many days everyone can eat, and what waits for a coordinator.

    Day 1 is today where the store is, unless another is given.
    """
    from daysworth_client import questions
    from daysworth_client.summary import store_summary

    asked = questions.SummaryAsked(
        heating=heating,
        running_water=running_water,
        stock=questions.Stock(stock),
        without_place=tuple(without_place or ()),
        away=tuple(away or ()),
        basis=None if basis is None else questions.Basis(basis),
        ration=ration,
        horizon_days=horizon,
        as_of=as_of,
    )
    with connected(address, token_file) as connection:
        answer = connection.summary(asked)
    typer.echo(in_json(answer) if as_json else store_summary(answer).rstrip("\n"))


def compare(
    *,
    week: KeptWeekAsked,
    address: Address,
    token_file: TokenFile = None,
    as_of: Day = None,
    heating: Heating = False,
    running_water: Running = False,
    stock: StockAsked = Stock.SHARED,
    as_json: AsJson = False,
) -> None:
    """Ask a store what changed since a week that was kept.

    A week is kept when its notice is first posted. It is logged as a reading of health facts.
    """
    from daysworth_client import questions
    from daysworth_client.comparison import comparison_summary

    asked = questions.SummaryAsked(
        heating=heating,
        running_water=running_water,
        stock=questions.Stock(stock),
        as_of=as_of,
    )
    kept = _week(week)
    with connected(address, token_file) as connection:
        answer = connection.comparison(kept, asked)
    typer.echo(in_json(answer) if as_json else comparison_summary(answer).rstrip("\n"))


def warnings(
    household: Annotated[str, typer.Argument(metavar="HOUSEHOLD", help="The household's id.")],
    *,
    address: Address,
    token_file: TokenFile = None,
    as_json: AsJson = False,
) -> None:
    """Ask a store what a household must not have, and what nobody knows of yet.

    It is logged as a reading of health facts.
    """
    from daysworth_client.warnings import household_warnings

    with connected(address, token_file) as connection:
        answer = connection.warnings(household)
    typer.echo(in_json(answer) if as_json else household_warnings(answer).rstrip("\n"))


@notices.command()
def show(
    *,
    week: WeekAsked = "current",
    address: Address,
    token_file: TokenFile = None,
    as_json: AsJson = False,
) -> None:
    """Print a week's notice. One that was not posted yet is a preview, and is not kept."""
    from daysworth_client.deliveries import terminal_text

    asked = _week(week)
    with connected(address, token_file) as connection:
        notice = connection.notice(asked)
    typer.echo(in_json(notice) if as_json else terminal_text(notice).rstrip("\n"))


@notices.command()
def post(
    *,
    to: Channels,
    week: WeekAsked = "current",
    address: Address,
    token_file: TokenFile = None,
    mail_server: MailServerAsked = "localhost:25",
    mail_from: MailFrom = None,
    mail_security: MailSecurityAsked = None,
) -> None:
    """Post a week's notice to each channel, once.

    A channel that has it already is left alone; one that fails does not stop the others. A {week}
    in a file's path stands for the week, and a path that ends in .html gets the HTML. A mail
    server's login is in DAYSWORTH_MAIL_USER and DAYSWORTH_MAIL_PASSWORD.
    """
    from daysworth_client import notices as client

    asked = _week(week)
    channels = _channels(to, mail=_mail(mail_server, mail_from, security=mail_security))
    has_failed = False
    with connected(address, token_file) as connection:
        for told in client.post(connection, channels, week=asked):
            typer.echo(told.words, err=True)
            has_failed = has_failed or told.has_failed
    if has_failed:
        raise typer.Exit(_FAILED)


@contextmanager
def connected(address: str, token_file: str | None) -> Iterator["Connection"]:
    """Connect to a store, and say in words what fails. Raises typer.BadParameter, typer.Exit."""
    from daysworth_client.addresses import StoreAddress
    from daysworth_client.connection import Connection
    from daysworth_client.errors import AskFailed, SettingRefused
    from daysworth_client.notices import in_words

    try:
        connection = Connection(StoreAddress.read(address), _token(token_file))
    except SettingRefused as fault:
        raise typer.BadParameter(f"{fault}.") from None
    if connection.address.is_in_the_clear:
        typer.echo("The token travels in the clear: use an address with https://.", err=True)
    try:
        with connection:
            yield connection
    except AskFailed as fault:
        typer.echo(f"No answer: {in_words(fault)}.", err=True)
        raise typer.Exit(_FAILED) from None


def _token(file: str | None) -> str:
    import os
    from pathlib import Path

    if file is None:
        token = os.environ.get("DAYSWORTH_TOKEN", "").strip()
        if not token:
            raise typer.BadParameter("a token is needed: DAYSWORTH_TOKEN, or --token-file.")
        return token
    if file == "-":
        raise typer.BadParameter("a token is read from a file, not from standard input.")
    try:
        return Path(file).read_text("utf-8").strip()
    except (OSError, ValueError) as fault:
        reason = getattr(fault, "strerror", None) or "it is no text"
        raise typer.BadParameter(f"the token's file cannot be read: {reason}.") from None


def _week(written: str) -> "Week":
    from daysworth_client.weeks import read_week

    try:
        return read_week(written)
    except ValueError as fault:
        raise typer.BadParameter(f"{fault}.") from None


def _mail(server: str, sender: str | None, *, security: MailSecurity | None) -> "MailServer | None":
    import os

    from daysworth_client.errors import SettingRefused
    from daysworth_client.mail import Security, read_server

    if sender is None:
        return None
    try:
        return read_server(
            server,
            sender=sender,
            security=None if security is None else Security(security),
            login=os.environ.get("DAYSWORTH_MAIL_USER") or None,
            password=os.environ.get("DAYSWORTH_MAIL_PASSWORD") or None,
        )
    except SettingRefused as fault:
        raise typer.BadParameter(f"{fault}.") from None


def _channels(written: list[str], *, mail: "MailServer | None") -> "list[Channel]":
    from daysworth_client.channels import read_channel
    from daysworth_client.errors import ChannelRefused

    channels: list[Channel] = []
    for number, one in enumerate(written, start=1):
        try:
            channels.append(read_channel(one, mail=mail))
        except ChannelRefused as fault:
            raise typer.BadParameter(f"channel {number}: {fault}.") from None
    return channels


def in_json(answer: object) -> str:
    """Write an answer as JSON, two spaces deep."""
    import json

    return json.dumps(answer, indent=2, ensure_ascii=False)
