"""The site, served on this machine only, as a good static host would: right types, compressed, revalidated."""

import gzip
import io
import os
import threading
from collections.abc import Iterator
from contextlib import contextmanager
from functools import partial
from http import HTTPStatus
from http.server import SimpleHTTPRequestHandler, ThreadingHTTPServer
from pathlib import Path

HOST = "127.0.0.1"
TYPES = {
    ".css": "text/css; charset=utf-8",
    ".csv": "text/csv; charset=utf-8",
    ".html": "text/html; charset=utf-8",
    ".ico": "image/vnd.microsoft.icon",
    ".js": "text/javascript; charset=utf-8",
    ".json": "application/json",
    ".map": "application/json",
    ".mjs": "text/javascript; charset=utf-8",
    ".png": "image/png",
    ".py": "text/plain; charset=utf-8",
    ".svg": "image/svg+xml",
    ".toml": "application/toml",
    ".txt": "text/plain; charset=utf-8",
    ".wasm": "application/wasm",
    ".webmanifest": "application/manifest+json",
    ".woff2": "font/woff2",
    ".xml": "application/xml",
    ".zip": "application/zip",
}
# Already compressed: another round costs time and saves nothing.
PACKED = frozenset({".gz", ".ico", ".jpg", ".png", ".webp", ".woff2", ".zip"})


class Handler(SimpleHTTPRequestHandler):
    """Answer one request from a folder of files."""

    protocol_version = "HTTP/1.1"
    packed: dict[tuple[int, int, int], bytes] = {}  # noqa: RUF012 -- shared on purpose: a file is compressed once, not once a request

    def send_head(self) -> io.BytesIO | None:
        """Send status and headers; return the body, or nothing when the answer has none."""
        asked = Path(self.translate_path(self.path))
        if asked.is_dir() and not self.path.partition("?")[0].endswith("/"):
            return super().send_head()  # type: ignore[return-value]  # it answers with the address that has the slash
        file, status = ((asked / "index.html" if asked.is_dir() else asked), HTTPStatus.OK)
        if not file.is_file():
            file, status = Path(self.directory) / "404.html", HTTPStatus.NOT_FOUND
        if not file.is_file():
            self.send_error(HTTPStatus.NOT_FOUND)
            return None
        return self._answer(file, status)

    def _answer(self, file: Path, status: HTTPStatus) -> io.BytesIO | None:
        """Send one file, compressed where that helps, or word that the copy the browser has still stands."""
        state = file.stat()
        mark = f'"{state.st_mtime_ns:x}"'
        if status == HTTPStatus.OK and self.headers.get("If-None-Match") == mark:
            self.send_response(HTTPStatus.NOT_MODIFIED)
            self.send_header("ETag", mark)
            self.end_headers()
            return None
        body = file.read_bytes()
        self.send_response(status)
        if file.suffix not in PACKED and "gzip" in self.headers.get("Accept-Encoding", ""):
            body = self._packed((state.st_dev, state.st_ino, state.st_mtime_ns), body)
            self.send_header("Content-Encoding", "gzip")
        self.send_header("Content-Type", TYPES.get(file.suffix, "application/octet-stream"))
        self.send_header("Content-Length", str(len(body)))
        self.send_header("Cache-Control", "no-cache")
        self.send_header("Vary", "Accept-Encoding")
        self.send_header("ETag", mark)
        self.send_header("X-Content-Type-Options", "nosniff")
        self.end_headers()
        return io.BytesIO(body)

    def _packed(self, which: tuple[int, int, int], body: bytes) -> bytes:
        """The body of a file compressed: at its first request, also where it stands in several folders by a link."""
        packed = self.packed.get(which)
        if packed is None:
            packed = self.packed[which] = gzip.compress(body)
        return packed

    def log_message(self, format: str, *args: object) -> None:  # noqa: A002 -- the name in what it replaces
        """Stay quiet: the address is the only line that matters to the person at the terminal."""


class Server(ThreadingHTTPServer):
    """A server whose threads end with it."""

    daemon_threads = True
    allow_reuse_address = os.name != "nt"  # there it would let two programs share one port

    def handle_error(self, request: object, client_address: object) -> None:
        """Say nothing when a browser goes away in the middle of an answer."""


def open_server(folder: Path, port: int = 0) -> Server:
    """Open a server on the wanted port, or on a free one when that is taken; 0 asks for a free one."""
    handler = partial(Handler, directory=str(folder))
    try:
        return Server((HOST, port), handler)
    except OSError:
        return Server((HOST, 0), handler)


def address_of(server: Server) -> str:
    """Return the address at which the server answers."""
    return f"http://{HOST}:{server.server_port}/"


@contextmanager
def serving(folder: Path) -> Iterator[str]:
    """Serve a folder in the background and give its address; it ends with the block."""
    with open_server(folder) as server:
        threading.Thread(target=server.serve_forever, daemon=True).start()
        try:
            yield address_of(server)
        finally:
            server.shutdown()
