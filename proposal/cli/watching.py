"""A small server for one folder on this machine only, that tells open pages when to reload, and a watch on files."""

import http.server
import socket
import threading
import time
from collections.abc import Callable, Iterable
from functools import partial
from pathlib import Path
from typing import Any

from proposal.errors import UsageError

WATCHED = (".yaml", ".yml")
QUIET_S = 0.3
"""An editor writes a file in several steps; what comes within this time is one change."""
RELOAD_PATH = "/.changes"
RELOAD_SCRIPT = (
    b"<script>(function(){var seen=null;setInterval(function(){fetch('/.changes').then(function(r){return r.text()})"
    b".then(function(t){if(seen!==null&&t!==seen)location.reload();seen=t}).catch(function(){})},700)})()</script>"
)


class _Handler(http.server.SimpleHTTPRequestHandler):
    """Serves the folder; pages get the reload script, which their own policy lets ask this server."""

    changes: list[int]

    def __init__(self, *args: Any, changes: list[int], **named: Any) -> None:
        self.changes = changes
        super().__init__(*args, **named)

    def log_message(self, format: str, *args: Any) -> None:
        """Say nothing: the terminal is for builds."""

    def do_GET(self) -> None:
        """A file, or the count of changes so far."""
        if self.path == RELOAD_PATH:
            self._send(str(self.changes[0]).encode(), "text/plain")
            return
        path = Path(self.translate_path(self.path))
        if path.is_dir():
            path = path / "index.html"
        if path.suffix == ".html" and path.is_file():
            self._send(path.read_bytes().replace(b"</body>", RELOAD_SCRIPT + b"</body>"), "text/html; charset=utf-8")
            return
        super().do_GET()

    def _send(self, body: bytes, kind: str) -> None:
        self.send_response(200)
        self.send_header("Content-Type", kind)
        self.send_header("Content-Length", str(len(body)))
        self.send_header("Cache-Control", "no-store")
        self.end_headers()
        self.wfile.write(body)


class Server:
    """One folder at http://127.0.0.1:PORT/. Raises UsageError where the port is taken."""

    def __init__(self, folder: Path, port: int) -> None:
        self.changes = [0]
        handler = partial(_Handler, directory=str(folder), changes=self.changes)
        try:
            self.http = http.server.ThreadingHTTPServer(("127.0.0.1", port), handler)
        except (OSError, OverflowError) as error:
            raise UsageError(f"port {port} cannot be used ({error}); choose another with --port") from error
        self.http.socket.setsockopt(socket.SOL_SOCKET, socket.SO_REUSEADDR, 1)

    @property
    def address(self) -> str:
        """Where to point the browser."""
        return f"http://127.0.0.1:{self.http.server_address[1]}/"

    def serve_until_stopped(self, folders: Iterable[Path], build: Callable[[], bool]) -> None:
        """Serve, and call `build` after each change of a YAML file in the folders; pages reload where it succeeds."""
        from watchdog.events import FileSystemEvent, FileSystemEventHandler
        from watchdog.observers import Observer

        changed = threading.Event()

        class Watch(FileSystemEventHandler):
            def on_any_event(self, event: FileSystemEvent) -> None:
                paths = (str(event.src_path), str(getattr(event, "dest_path", "")))
                if event.event_type in ("modified", "created", "moved") and any(p.endswith(WATCHED) for p in paths):
                    changed.set()

        observer = Observer()
        for folder in folders:
            observer.schedule(Watch(), str(folder), recursive=False)
        observer.start()
        threading.Thread(target=self.http.serve_forever, daemon=True).start()
        try:
            while True:
                if not changed.wait(0.5):
                    continue
                time.sleep(QUIET_S)
                changed.clear()
                if build():
                    self.changes[0] += 1
        finally:
            observer.stop()
            self.http.shutdown()
