"""`proposal serve` as a process of its own, spoken to over HTTP."""

from __future__ import annotations

import os
import queue
import re
import shutil
import signal
import socket
import subprocess
import sys
import threading
import time
import urllib.error
import urllib.request
from collections.abc import Iterator
from pathlib import Path

import pytest

from proposal.cli.watching import RELOAD_PATH, RELOAD_SCRIPT
from tests.cli.conftest import Command, change
from tests.cli.test_build import QUICK
from tests.cli.test_main import CONSOLE

pytestmark = [
    pytest.mark.slow,
    pytest.mark.skipif(sys.platform == "win32", reason="stops the server by a signal of Unix"),
]

PATIENCE_S = 120.0
LISTENS = "import signal; signal.signal(signal.SIGINT, signal.default_int_handler); "
"""A test run in the background ignores Ctrl-C, and so would what it starts."""


class Serving:
    """A server under way, and what it has said so far."""

    def __init__(self, project: Path) -> None:
        environment = {**os.environ, "PYTHONPATH": os.pathsep.join(filter(None, sys.path)), "PYTHONUNBUFFERED": "1"}
        self.process = subprocess.Popen(
            [sys.executable, "-c", LISTENS + QUICK + CONSOLE, "serve", str(project), "--port", "0", "--without-days"],
            env=environment, stdout=subprocess.PIPE, stderr=subprocess.STDOUT, text=True,
        )  # fmt: skip
        self.said: list[str] = []
        self._lines: queue.Queue[str] = queue.Queue()
        self._listener = threading.Thread(target=self._listen, daemon=True)
        self._listener.start()
        self.address = re.search(r"http://127\.0\.0\.1:\d+/", self.wait_for("open http"))[0]  # type: ignore[index]

    def _listen(self) -> None:
        assert self.process.stdout is not None
        for line in self.process.stdout:
            self._lines.put(line)

    def wait_for(self, text: str) -> str:
        """The next line that holds a text."""
        end = time.monotonic() + PATIENCE_S
        while True:
            try:
                line = self._lines.get(timeout=max(0.01, end - time.monotonic()))
            except queue.Empty:
                raise AssertionError(f"never said {text!r}: {self.said}") from None
            self.said.append(line)
            if text in line:
                return line

    def get(self, path: str) -> str:
        with urllib.request.urlopen(self.address + path.removeprefix("/"), timeout=30) as answer:  # noqa: S310 - http
            return str(answer.read().decode())

    def wait_for_changes(self, count: int) -> None:
        """Until the counter by which pages reload stands there."""
        end = time.monotonic() + PATIENCE_S
        while self.get(RELOAD_PATH) != str(count):
            assert time.monotonic() < end, f"{self.get(RELOAD_PATH)} changes; {self.said}"
            time.sleep(0.1)

    def end(self) -> None:
        """Whatever it is doing."""
        self.process.kill()
        self.process.wait()
        self._listener.join()
        assert self.process.stdout is not None
        self.process.stdout.close()

    def stop(self) -> int:
        self.process.send_signal(signal.SIGINT)
        return self.process.wait(timeout=30)


@pytest.fixture
def serving(projects: Path) -> Iterator[Serving]:
    server = Serving(projects / "skarn")
    yield server
    server.end()


def test_a_saved_spec_is_built_again_and_the_page_told(serving: Serving, projects: Path) -> None:
    spec = projects / "skarn" / "spec.yaml"
    page = serving.get("/")
    assert page.count(RELOAD_SCRIPT.decode()) == 1
    assert serving.get(RELOAD_PATH) == "0"
    # The folder itself stays as it was published.
    assert RELOAD_SCRIPT not in (projects / "skarn" / "output" / "index.html").read_bytes()
    assert "Frost watch" in serving.get("/option-a.html")

    change(spec, "title: Frost watch and router", "title: Ice sentinel")
    serving.wait_for_changes(1)
    assert "Ice sentinel" in serving.get("/option-a.html")

    change(spec, "voltage: 24 V", "voltage: 24")
    assert serving.wait_for("spec.yaml:").strip().startswith(f"{spec}:")
    serving.wait_for("the last good pages stay")
    assert serving.get(RELOAD_PATH) == "1"
    assert "Ice sentinel" in serving.get("/option-a.html")

    # Editors write a new file and move it over the old one.
    aside = spec.with_name("spec.yaml.tmp~")
    text = spec.read_text(encoding="utf-8")
    aside.write_text(text.replace("voltage: 24\n", "voltage: 24 V\n").replace("Ice sentinel", "Rime guard"))
    aside.replace(spec)
    serving.wait_for_changes(2)
    assert "Rime guard" in serving.get("/option-a.html")

    # The files that all projects share count too.
    change(projects / "installer.yaml", "tax_name: VAT", "tax_name: Levy")
    serving.wait_for_changes(3)
    assert "Levy" in serving.get("/price.html")

    for path in ("nothing.html", "../spec.yaml", "%2e%2e/spec.yaml", "..%2f..%2finstaller.yaml", "//etc/passwd"):
        with pytest.raises(urllib.error.HTTPError, match="404"):
            serving.get(path)
    assert serving.stop() == 0
    assert "Traceback" not in "".join(serving.said)


@pytest.mark.browser
def test_an_open_page_reloads_itself(serving: Serving, projects: Path) -> None:
    from playwright.sync_api import sync_playwright  # noqa: PLC0415 - only where there is a browser

    with sync_playwright() as playwright:
        browser = playwright.chromium.launch(executable_path=shutil.which("chromium"), args=["--no-sandbox"])
        page = browser.new_page()
        said: list[str] = []
        page.on("console", lambda message: said.append(message.text))
        page.goto(serving.address)
        page.get_by_text("Skarn").first.wait_for()
        page.wait_for_timeout(1500)  # the page asks for the counter once, before there is a change to be seen
        change(projects / "skarn" / "spec.yaml", "name: Skarn", "name: Skarnsund")
        page.get_by_text("Skarnsund").first.wait_for(timeout=PATIENCE_S * 1000)
        assert said == []
        browser.close()


@pytest.mark.usefixtures("bare_site")
def test_a_port_that_is_taken_ends_in_3(command: Command, projects: Path) -> None:
    with socket.socket() as holder:
        holder.bind(("127.0.0.1", 0))
        holder.listen()
        ended = command("serve", projects / "skarn", "--port", str(holder.getsockname()[1]))
    assert ended.code == 3
    assert "choose another with --port" in ended.err


@pytest.mark.usefixtures("bare_site")
@pytest.mark.parametrize("port", ["-1", "65536", "99999999999"])
def test_a_port_that_is_none_ends_in_3(command: Command, projects: Path, port: str) -> None:
    assert command("serve", projects / "skarn", f"--port={port}").code == 3
