"""Read the addresses that are asked or told something, and tell which are this machine's own."""

import re
from dataclasses import dataclass
from ipaddress import ip_address
from typing import Final

import httpx

from daysworth_client.errors import SettingRefused

_OF_A_STORE: Final = re.compile(r"/v1/stores/[^/]+/?$")
_LIKE: Final = "such as https://fernhollow.example/v1/stores/elm-row"


@dataclass(frozen=True, slots=True)
class StoreAddress:
    """Where a store is, as a URL that ends in a slash."""

    url: httpx.URL

    @classmethod
    def read(cls, written: str) -> "StoreAddress":
        """Read the address of a store. Raises SettingRefused, in words, where it is none."""
        try:
            url = web_address(written)
        except ValueError as fault:
            raise SettingRefused(f"the address of a store {fault}, {_LIKE}") from None
        if url.userinfo or url.query or url.fragment:
            raise SettingRefused(
                f"the address of a store has no name before @, no ? and no #: it is written {_LIKE}"
            )
        if not _OF_A_STORE.search(url.path):
            raise SettingRefused(f"the address of a store ends in /v1/stores/ and its id, {_LIKE}")
        return cls(httpx.URL(str(url).rstrip("/") + "/"))

    @property
    def origin(self) -> str:
        """Give its scheme, host and port, for messages."""
        return origin(self.url)

    @property
    def is_in_the_clear(self) -> bool:
        """Tell whether what is sent there can be read on the way."""
        return self.url.scheme == "http" and not is_loopback(self.url.host)


def web_address(written: str) -> httpx.URL:
    """Read a URL of http or https with a host; what it says of a wrong one holds no part of it.

    Raises ValueError.
    """
    if not written.isprintable() or " " in written:
        raise ValueError("has no spaces and no line breaks")
    try:
        url = httpx.URL(written)
    except httpx.InvalidURL:
        raise ValueError("is a URL") from None
    if url.scheme not in ("http", "https") or not url.host:
        raise ValueError("begins with https:// or http:// and a host")
    return url


def origin(url: httpx.URL) -> str:
    """Give a URL's scheme, host and port."""
    host = f"[{url.host}]" if ":" in url.host else url.host
    return f"{url.scheme}://{host}" + (f":{url.port}" if url.port else "")


def is_loopback(host: str) -> bool:
    """Tell whether a host is this machine itself, by its number or as localhost."""
    try:
        return ip_address(host).is_loopback
    except ValueError:
        return host.lower() == "localhost"


def takes_proxies(url: httpx.URL) -> bool:
    """Tell whether a proxy set in the environment is for this URL: never for one of loopback.

    What is asked of this machine in the clear, token and all, would leave it.
    """
    return not (url.scheme == "http" and is_loopback(url.host))
