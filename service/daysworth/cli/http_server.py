"""Listen on an address, and serve an application there until stopped."""

import socket

import uvicorn
from fastapi import FastAPI

from daysworth.domain.errors import InputRefused

BACKLOG = 2_048
"""How many connections may wait to be taken."""

GRACE_S = 20
"""How long requests under way may take to end when the service is stopped, in seconds."""


def listen(host: str, port: int) -> socket.socket:
    """Listen on an address; port 0 takes any that is free. Raises InputRefused where it cannot."""
    kind = socket.AF_INET6 if ":" in host else socket.AF_INET
    # Named a TCP socket in so many words, or asyncio leaves Nagle's delay (40 ms an answer) on.
    listener = socket.socket(kind, socket.SOCK_STREAM, socket.IPPROTO_TCP)
    listener.setsockopt(socket.SOL_SOCKET, socket.SO_REUSEADDR, 1)
    try:
        listener.bind((host, port))
        # From here on who connects waits until the application answers.
        listener.listen(BACKLOG)
    except (OSError, UnicodeError) as fault:
        listener.close()
        reason = getattr(fault, "strerror", None) or str(fault)
        raise InputRefused(f"cannot listen on {host}, port {port}: {reason}") from fault
    return listener


def serve_app(app: FastAPI, listener: socket.socket) -> None:
    """Serve an application until stopped."""
    config = uvicorn.Config(
        app,
        log_level="warning",
        server_header=False,
        timeout_graceful_shutdown=GRACE_S,
        lifespan="on",
    )
    uvicorn.Server(config).run(sockets=[listener])
