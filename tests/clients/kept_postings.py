"""Answer as the service of one store does, with its postings kept in memory."""

import json
from dataclasses import dataclass, field
from typing import Final

import httpx

from daysworth_client.store_answers import NoticePart, StoreSummary
from tests.clients.written_answers import a_notice, a_summary
from tests.clients.written_comparisons import a_comparison

ADDRESS: Final = "http://127.0.0.1:8017/v1/stores/elm-row"
TOKEN: Final = "a-token-of-the-tests"
UNDER: Final = "/v1/stores/elm-row"
POSTED_AT: Final = "2026-11-24T06:00:05+00:00"


@dataclass(frozen=True)
class Heard:
    """One request, as it came."""

    method: str
    path: str
    query: str = ""
    headers: dict[str, str] = field(default_factory=dict)
    body: bytes = b""


@dataclass(frozen=True)
class Said:
    """One answer: a status and what is written as JSON, or bytes as they are."""

    status: int
    content: object
    headers: dict[str, str] = field(default_factory=dict)

    @property
    def body(self) -> bytes:
        """Give the answer's bytes."""
        return (
            self.content if isinstance(self.content, bytes) else json.dumps(self.content).encode()
        )


@dataclass
class Store:
    """A store whose notice is of one week; a posting is begun, then posted or free again."""

    notice: NoticePart = field(default_factory=a_notice)
    summary: StoreSummary = field(default_factory=a_summary)
    keeps_outcomes: bool = True
    state: dict[str, str] = field(default_factory=dict)
    labels: list[str] = field(default_factory=list)
    heard: list[Heard] = field(default_factory=list)

    def free_all(self) -> None:
        """Let ten minutes pass: what was begun and not reported may be begun again."""
        self.state = {id_: kept for id_, kept in self.state.items() if kept == "posted"}

    def answer(self, asked: Heard) -> Said:
        """Answer one request."""
        self.heard.append(asked)
        if asked.headers.get("authorization") != f"Bearer {TOKEN}":
            return problem(401, title="Nobody whom the store knows")
        match asked.method, asked.path.removeprefix(UNDER).strip("/").split("/"):
            case "GET", path:
                return self._told("/".join(path))
            case "PUT", ["notices", "current" | "2026-W48", "postings", channel]:
                return self._begin(channel, json.loads(asked.body))
            case "PUT", ["notices", "2026-W48", "postings", channel, "outcome"]:
                return self._end(channel, json.loads(asked.body))
        return _not_there()

    def _told(self, path: str) -> Said:
        told = {
            "summary": self.summary,
            "kept-weeks/2026-W45/comparison": a_comparison(),
            "notices/current": self.notice,
            "notices/2026-W48": self.notice,
        }
        return Said(200, told[path]) if path in told else _not_there()

    def _begin(self, channel: str, body: dict[str, object]) -> Said:
        self.labels.append(str(body["label"]))
        if channel in self.state:
            return Said(200, self._posting(channel, claim=None))
        self.state[channel] = "under_way"
        begun = self._posting(channel, claim="claim-1") | {"state": "begun", "notice": self.notice}
        return Said(200, begun)

    def _end(self, channel: str, body: dict[str, object]) -> Said:
        if not self.keeps_outcomes:
            return problem(503, title="The store is busy", detail="Try again in a minute.")
        assert body["claim"] == "claim-1"
        if body["is_posted"] is True:
            self.state[channel] = "posted"
        else:
            del self.state[channel]
        return Said(200, self._posting(channel, claim=None))

    def _posting(self, channel: str, *, claim: str | None) -> dict[str, object]:
        state = self.state.get(channel, "begun")
        return {
            "week": "2026-W48",
            "channel": channel,
            "state": state,
            "claim": claim,
            "posted_at": POSTED_AT if state == "posted" else None,
            "notice": None,
        }

    def transport(self) -> httpx.MockTransport:
        """Give what takes a client's requests to this store."""
        return httpx.MockTransport(self._over_http)

    def _over_http(self, request: httpx.Request) -> httpx.Response:
        said = self.answer(
            Heard(
                request.method,
                request.url.path,
                request.url.query.decode(),
                {name.lower(): value for name, value in request.headers.items()},
                request.content,
            )
        )
        return httpx.Response(said.status, content=said.body, headers=said.headers)


def _not_there() -> Said:
    return problem(404, title="The store has no such thing", detail="Nothing was changed.")


def problem(
    status: int, *, title: str, detail: str = "", faults: tuple[tuple[str, str], ...] = ()
) -> Said:
    """Give a problem document."""
    document = {
        "type": "/v1/problems/some",
        "title": title,
        "status": status,
        "detail": detail,
        "faults": [{"where": where, "what": what} for where, what in faults],
    }
    return Said(status, document, {"Content-Type": "application/problem+json"})
