"""Send requests as fast as they are answered, over a number of connections that stay open.

A client library would take more time than the servers that are measured, so this speaks just
enough HTTP/1.1: one prepared request after the other, answers with a Content-Length.
"""

import asyncio
from collections.abc import Iterator
from dataclasses import dataclass
from time import perf_counter


@dataclass(frozen=True)
class Load:
    """What is sent: to which port, with which request line, headers and body."""

    port: int
    path: str
    headers: str
    body: bytes

    def request(self, number: int) -> bytes:
        """Write the request of a number, under a key of its own."""
        head = (
            f"POST {self.path} HTTP/1.1\r\nHost: 127.0.0.1\r\nContent-Type: application/json\r\n"
            f"Content-Length: {len(self.body)}\r\nIdempotency-Key: {number}\r\n{self.headers}\r\n"
        )
        return head.encode() + self.body


def rate(load: Load, *, clients: int, numbers: Iterator[int], seconds: float) -> float:
    """Give the requests answered per second; each must be answered 201."""
    return asyncio.run(_rate(load, clients=clients, numbers=numbers, seconds=seconds))


async def _rate(load: Load, *, clients: int, numbers: Iterator[int], seconds: float) -> float:
    began = perf_counter()
    until = began + seconds
    sent = [_client(load, numbers=numbers, until=until) for _ in range(clients)]
    counts = await asyncio.gather(*sent)
    return sum(counts) / (perf_counter() - began)


async def _client(load: Load, *, numbers: Iterator[int], until: float) -> int:
    reader, writer = await asyncio.open_connection("127.0.0.1", load.port)
    answered = 0
    while perf_counter() < until:
        writer.write(load.request(next(numbers)))
        head = await reader.readuntil(b"\r\n\r\n")
        status, _, fields = head.partition(b"\r\n")
        if b" 201 " not in status:
            raise AssertionError(status)
        length = next(
            int(line.partition(b":")[2])
            for line in fields.split(b"\r\n")
            if line.lower().startswith(b"content-length:")
        )
        await reader.readexactly(length)
        answered += 1
    writer.close()
    return answered
