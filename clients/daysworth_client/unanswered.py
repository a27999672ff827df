"""Say in words why no answer came over HTTP."""

import httpx

CONNECT_S = 5.0
"""How long a connection may take to be made, in seconds."""

ANSWER_S = 60.0
"""How long an answer may take, in seconds: a hard question of a large store takes some."""


def timeouts() -> httpx.Timeout:
    """Give how long each part of a question may take."""
    return httpx.Timeout(ANSWER_S, connect=CONNECT_S)


def why_unanswered(fault: httpx.RequestError) -> str:
    """Say in words why no answer came; nothing of a URL or a header is in them."""
    match fault:
        case httpx.ConnectTimeout():
            return f"it took no connection within {CONNECT_S:.0f} seconds"
        case httpx.TimeoutException():
            return f"no answer came within {ANSWER_S:.0f} seconds"
        case httpx.ProxyError():
            return "the proxy did not let it through"
        case httpx.ConnectError() if "CERTIFICATE" in str(fault):
            return "its certificate cannot be verified"
        case httpx.ConnectError():
            return "it took no connection"
        case _:
            return "the connection broke off"
