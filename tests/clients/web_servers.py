"""Answer over HTTP on this machine, on a port that is free, for as long as a block takes."""

from collections.abc import Callable, Iterator
from contextlib import contextmanager
from http.server import BaseHTTPRequestHandler, ThreadingHTTPServer
from threading import Thread
from urllib.parse import urlsplit

from tests.clients.kept_postings import Heard, Said


@contextmanager
def answering(answer: Callable[[Heard], Said]) -> Iterator[str]:
    """Answer each request so until the block ends; gives the address, without a slash."""

    class Handler(BaseHTTPRequestHandler):
        def _answer(self) -> None:
            parts = urlsplit(self.path)
            body = self.rfile.read(int(self.headers.get("Content-Length", 0)))
            headers = {name.lower(): value for name, value in self.headers.items()}
            said = answer(Heard(str(self.command), parts.path, parts.query, headers, body))
            self.send_response(said.status)
            for name, value in said.headers.items():
                self.send_header(name, value)
            self.end_headers()
            self.wfile.write(said.body)

        do_GET = do_PUT = do_POST = _answer  # noqa: N815

        def log_message(self, format: str, *args: object) -> None:
            """Keep quiet."""

    server = ThreadingHTTPServer(("127.0.0.1", 0), Handler)
    thread = Thread(target=server.serve_forever, kwargs={"poll_interval": 0.01})
    thread.start()
    try:
        yield f"http://127.0.0.1:{server.server_port}"
    finally:
        server.shutdown()
        thread.join()
        server.server_close()
