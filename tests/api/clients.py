"""Ask the API as each role does, without a socket in between."""

import asyncio
import json
from collections.abc import Mapping
from datetime import datetime, timedelta
from itertools import count
from typing import Final

import httpx
from fastapi import FastAPI
from sqlalchemy import Engine

from daysworth.domain.entries import Role
from tests.grounds import NOON, STORE_ID, token_for

Json = dict[str, "Json"] | list["Json"] | str | int | float | bool | None

_keys: Final = count(1)


class Clock:
    """A clock that stands still until it is moved."""

    def __init__(self) -> None:
        self._at = NOON

    def now(self) -> datetime:
        """Give the instant."""
        return self._at

    def move(self, by: timedelta) -> None:
        """Move on."""
        self._at += by


class Api:
    """One service, and requests to it."""

    def __init__(self, app: FastAPI, *, engine: Engine, clock: Clock) -> None:
        self.app = app
        self.engine = engine
        self.clock = clock
        self.store = f"/v1/stores/{STORE_ID}"
        self._tokens: dict[Role, str] = {}

    def token(self, role: Role) -> str:
        """Give a role's token, made when it is first asked for."""
        if role not in self._tokens:
            self._tokens[role] = token_for(self.engine, role)
        return self._tokens[role]

    def ask(
        self,
        method: str,
        path: str,
        *,
        role: Role | None = Role.COORDINATOR,
        body: object = None,
        raw: bytes | None = None,
        headers: Mapping[str, str] | None = None,
        key: str | None = "new",
    ) -> httpx.Response:
        """Send one request; a path that begins with no slash is under the store.

        A POST gets a key of its own unless one, or None, is given.
        """
        sent: dict[str, str] = {}
        if role is not None:
            sent["Authorization"] = f"Bearer {self.token(role)}"
        if method == "POST" and key is not None:
            sent["Idempotency-Key"] = f"key-{next(_keys)}" if key == "new" else key
        sent.update(headers or {})
        content = raw
        if body is not None:
            content = json.dumps(body).encode()
        if content is not None:
            sent.setdefault("Content-Type", "application/json")
        whole = path if path.startswith("/") else f"{self.store}/{path}"
        return asyncio.run(_send(self.app, method, whole, headers=sent, content=content))

    def get(self, path: str, *, role: Role = Role.COORDINATOR) -> dict[str, Json]:
        """Get JSON, which must be there."""
        return told(self.ask("GET", path, role=role), 200)

    def post(
        self, path: str, body: object, *, role: Role = Role.COORDINATOR, **headers: str
    ) -> dict[str, Json]:
        """Post JSON under a new key, which must make something."""
        sent = {name.replace("_", "-"): value for name, value in headers.items()}
        return told(self.ask("POST", path, role=role, body=body, headers=sent), 201)


async def _send(
    app: FastAPI, method: str, path: str, *, headers: Mapping[str, str], content: bytes | None
) -> httpx.Response:
    transport = httpx.ASGITransport(app, raise_app_exceptions=False)
    async with httpx.AsyncClient(transport=transport, base_url="http://store.test") as client:
        return await client.request(method, path, headers=dict(headers), content=content)


def told(answer: httpx.Response, status: int) -> dict[str, Json]:
    """Read an answer's JSON object; it must have a status."""
    assert answer.status_code == status, answer.text
    read = answer.json()
    assert isinstance(read, dict)
    return read


def problem(answer: httpx.Response, status: int) -> dict[str, Json]:
    """Read an answer's problem document; it must have a status, and be one."""
    assert answer.headers["content-type"] == "application/problem+json", answer.text
    read = told(answer, status)
    assert set(read) == {"type", "title", "status", "detail", "faults"}
    assert read["status"] == status
    return read
