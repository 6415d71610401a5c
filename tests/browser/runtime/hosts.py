"""A copy of the built site on a host of its own, which a test may change, slow down, cut short or switch off."""

import os
import shutil
import threading
import time
from functools import partial
from pathlib import Path

from benches.starting import Counting
from floor.server import HOST, Server

PROBE = """<!doctype html><html lang="en"><head><meta charset="utf-8">{policy}<title>Probe</title>
<script type="module" src="probe.mjs"></script><script type="module" src="{page}"></script></head>
<body><h1>Probe</h1><p id="stays">What stands here stays.</p></body></html>"""
CLIENT = 'import * as client from "./{client}";\nwindow.client = client;\nwindow.heard = [];\n'


def copied(site: Path, target: Path) -> Path:
    """A copy of the site that costs no room, with a page that drives the calculation as a page of the site would."""
    shutil.copytree(site, target, copy_function=os.link)
    start = (target / "index.html").read_text("utf-8")
    policy = start[start.index("<meta http-equiv") : start.index(">", start.index("<meta http-equiv")) + 1]
    client, page = (f"runtime/{one(target, f'{name}.*.mjs').name}" for name in ("client", "page"))
    (target / "probe.html").write_text(PROBE.format(policy=policy, page=page), "utf-8")
    (target / "probe.mjs").write_text(CLIENT.format(client=client), "utf-8")
    return target


def one(site: Path, pattern: str) -> Path:
    """The one file of the runtime that a pattern fits."""
    (file,) = (site / "runtime").glob(pattern)
    return file


def rewrite(file: Path, content: bytes) -> None:
    """Change a file of a copy and not the original, with which it shares its bytes."""
    file.unlink()
    file.write_bytes(content)


class Slow(Counting):
    """A host that sends no faster than its server says, and stops in the middle when it is switched off."""

    def copyfile(self, source, outputfile):
        """Send a body piece by piece."""
        pace = self.server.bytes_a_second
        if not pace:
            super().copyfile(source, outputfile)
            return
        while piece := source.read(max(1, pace // 20)):
            if self.server.over:
                self.close_connection = True
                return
            outputfile.write(piece)
            self.server.sent.append((self.path, len(piece)))
            time.sleep(1 / 20)


class Host:
    """A host that can be switched off and on again at the same address."""

    def __init__(self, folder: Path) -> None:
        self.folder, self.port, self.server = folder, 0, None
        self.on()

    @property
    def address(self) -> str:
        """The address of the site."""
        return f"http://{HOST}:{self.port}/"

    @property
    def sent(self) -> list[tuple[str, int]]:
        """The paths that were asked for and how many bytes went out for each."""
        return self.server.sent

    def on(self) -> None:
        """Answer again."""
        self.server = Server((HOST, self.port), partial(Slow, directory=str(self.folder)))
        self.server.sent, self.server.over, self.server.bytes_a_second = [], False, 0
        self.port = self.server.server_port
        threading.Thread(target=self.server.serve_forever, daemon=True).start()

    def off(self) -> None:
        """Be as far away as a host is without a network."""
        self.server.over = True
        self.server.shutdown()
        self.server.server_close()
