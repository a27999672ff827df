"""Deliver a notice to a hook: an address that takes JSON. The address itself is the secret."""

from dataclasses import dataclass, field

import httpx

from daysworth_client.addresses import is_loopback, origin, takes_proxies, web_address
from daysworth_client.deliveries import delivery_key
from daysworth_client.errors import ChannelRefused, DeliveryFailed
from daysworth_client.store_answers import NoticePart
from daysworth_client.unanswered import timeouts, why_unanswered


@dataclass(frozen=True, slots=True)
class HookChannel:
    """Post the notice as JSON, its HTML left out, under a key that is the same at each try."""

    url: httpx.URL = field(repr=False)
    written: str = field(repr=False)

    @property
    def label(self) -> str:
        """Give its host."""
        return f"hook at {self.url.host}"

    @property
    def shown(self) -> str:
        """Give it without its path."""
        return f"hook:{origin(self.url)}/…"

    def deliver(self, notice: NoticePart) -> tuple[str, ...]:
        """Post the notice; an answer of 200 to 299 takes it. Raises DeliveryFailed."""
        told = {name: value for name, value in notice.items() if name != "html"}
        status = self._status(told, headers={"Idempotency-Key": delivery_key(notice, self.written)})
        if not httpx.codes.is_success(status):
            raise DeliveryFailed(f"it answered {status}")
        return ()

    def _status(self, told: dict[str, object], *, headers: dict[str, str]) -> int:
        try:
            with (
                httpx.Client(
                    timeout=timeouts(), follow_redirects=False, trust_env=takes_proxies(self.url)
                ) as client,
                # The answer's body is nobody's business here, and may be of any length.
                client.stream("POST", self.url, json=told, headers=headers) as answer,
            ):
                return answer.status_code
        except httpx.RequestError as fault:
            raise DeliveryFailed(why_unanswered(fault)) from None


def read_hook(address: str, *, written: str) -> HookChannel:
    """Read the address of a hook. Raises ChannelRefused, showing nothing of it."""
    try:
        url = web_address(address)
    except ValueError as fault:
        raise ChannelRefused(f"the address of a hook {fault}") from None
    if url.scheme == "http" and not is_loopback(url.host):
        raise ChannelRefused("a hook on another machine begins with https://")
    return HookChannel(url, written)
