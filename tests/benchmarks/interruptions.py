"""Readings typed into a form while something cuts it off, again and again: what is lost, what old is shown as current.

The page is loaded again, its tab closed, every cell run, the kernel killed, the server stopped and started, each at a
random moment while a reading is typed or just after. Run by ``make benchmarks``; ``INTERRUPTIONS=200`` for more than a
few, and ``SECONDS=1500`` for as many as that time allows. A reading counts as taken once the form has said what it
understood; from then on it must be there again. A verdict that is to be seen must be that of the reading beside it.
"""

import contextlib
import os
import random
import re
import signal
import time
from collections import Counter
from collections.abc import Iterator
from pathlib import Path
from typing import Any

import psutil
import pytest
from playwright.sync_api import Browser, Page
from playwright.sync_api import Error as PlaywrightError

from tests.benchmarks.telling import tell
from tests.browser.conftest import Server, chromium
from tests.browser.driver import FRONT
from tests.working_folder import copy_working_folder

pytestmark = pytest.mark.skipif(chromium() is None, reason="No Chromium on this machine: nothing was interrupted.")
HOW_MANY = int(os.environ.get("INTERRUPTIONS", "5"))
SECONDS = float(os.environ.get("SECONDS", "1500"))
SEED = int(os.environ.get("SEED", "1107"))
KINDS = ("page loaded again", "tab closed", "every cell run", "kernel killed", "server stopped")
IN, OUT = ("26", "26.5", "27", "27.5", "28", "28.5"), ("32", "33", "34", "35", "22", "21", "20")
"""Dial readings that are clearly in limits, or clearly out, for the demo's left cable at 58 °F."""
WORD = {**dict.fromkeys(IN, "in limits"), **dict.fromkeys(OUT, "out of limits")}
GRACE = 2.0
"""Seconds for which what was just typed over may still be seen: a busy machine answers no sooner."""
LONGEST = 180.0
STATE = """front => {
  const panel = document.querySelector(front);
  if (!panel) return null;
  const word = panel.querySelector('.rotorkit-form .rotorkit-banner .rotorkit-word');
  const seen = word && word.checkVisibility({checkOpacity: true, checkVisibilityCSS: true});
  const line = Array.from(panel.querySelectorAll('.rotorkit-line')).find(
    e => e.textContent.includes('Dial reading'));
  const box = line && line.querySelector('input');
  return {state: panel.dataset.rotorkit || '', word: seen ? word.innerText.trim() : '',
    dial: box ? box.value : null, echo: line ? line.innerText : '',
    asked: Array.from(document.querySelectorAll('.jp-Dialog')).map(e => e.innerText).join(' | ')};
}"""


class Bench:
    """One form in one page of one server, and what became of it."""

    def __init__(self, server: Server, browser: Browser, folder: Path, draw: random.Random) -> None:
        self.server, self.browser, self.folder, self.draw = server, browser, folder, draw
        self.context = browser.new_context(viewport={"width": 1366, "height": 768}, reduced_motion="reduce")
        self.context.set_default_timeout(60_000)
        self.counts: Counter[str] = Counter()
        self.told: list[str] = []
        self.back: dict[str, list[float]] = {}
        self._wrong_since = 0.0
        self.page = self.open()

    def open(self) -> Page:
        page = self.context.new_page()
        page.on("dialog", lambda dialog: dialog.accept())
        address = f"{self.server.lab.url}lab/tree/{self.folder.name}/cable_tension.ipynb"
        page.goto(f"{address}?token={self.server.lab.token}", wait_until="commit")  # what comes then is waited for
        return page

    def look(self) -> dict[str, Any] | None:
        """What is to be seen now; a verdict that does not belong to the reading beside it is counted."""
        try:
            seen: dict[str, Any] | None = self.page.evaluate(STATE, FRONT)
        except PlaywrightError:  # between two pages
            return None
        if seen is None:
            return None
        belongs = not seen["word"] or WORD.get(reading_of(seen["dial"]), "") in seen["word"]
        current = belongs and not (seen["word"] and not self.answers() and seen["state"] == "run")
        if current:
            self._wrong_since = 0.0
        elif not self._wrong_since:
            self._wrong_since = time.monotonic()
        elif time.monotonic() - self._wrong_since > GRACE:
            self.counts["old shown as current"] += 1
            self.told.append(f"{self.now}: {seen['word']} beside {seen['dial']} in state {seen['state']}")
            self._wrong_since = time.monotonic() + 60
        return seen

    def answers(self) -> bool:
        return self.server.process.poll() is None

    def wait_back(self) -> dict[str, Any]:
        """Until the page stands there again with a verdict of its own, or with a part of a reading, which has none."""
        begun, asked = time.monotonic(), ""
        while time.monotonic() - begun < LONGEST:
            seen = self.look()
            if seen is not None and seen["asked"] and seen["asked"] != asked:
                asked = seen["asked"]
                self.counts["asked by a dialog"] += 1
                self.told.append(f"{self.now}: a dialog says {asked[:120]!r}")
                self.page.keyboard.press("Enter")
            told = seen is not None and (seen["word"] or reading_of(seen["dial"]) not in WORD)
            if seen and seen["state"] == "run" and seen["dial"] and told and not self._wrong_since:
                self.back.setdefault(self.now, []).append(time.monotonic() - begun)
                return seen
            time.sleep(0.1)
        self.counts["did not come back"] += 1
        self.told.append(f"{self.now}: not back after {LONGEST} s: {self.look()}")
        print(self.told[-1], flush=True)
        self.page.close()
        self.page = self.open()
        return self.wait_back()

    def interrupt(self, kind: str) -> None:
        self.now = kind
        if kind == "page loaded again":
            self.page.reload(wait_until="commit")
        elif kind == "tab closed":
            self.page.close()
            self.page = self.open()
        elif kind == "every cell run":
            with contextlib.suppress(PlaywrightError):
                self.page.evaluate("() => { window.jupyterapp.commands.execute('notebook:run-all-cells'); }")
        elif kind == "kernel killed":
            for process in psutil.Process(self.server.process.pid).children(recursive=True):
                with contextlib.suppress(psutil.Error):
                    if any("ipykernel" in part for part in process.cmdline()):
                        process.send_signal(signal.SIGKILL)
        else:
            self.server.stop()
            for _ in range(self.draw.randrange(5, 60)):
                self.look()
                time.sleep(0.1)
            self.server.start()

    def once(self, kind: str) -> None:
        """Type a reading, cut it off, and see what is there then."""
        self.now = kind
        before = reading_of(self.wait_back()["dial"])
        reading = self.draw.choice([one for one in (*IN, *OUT) if one != before])
        typed = f"{reading}; {reading}"
        part = self.draw.random() < 0.3
        box = self.page.locator(f"{FRONT} .rotorkit-form").get_by_label("Dial reading", exact=True).first
        box.focus()
        self.page.keyboard.press("Control+a")
        self.page.keyboard.type(typed[: self.draw.randrange(1, len(typed))] if part else typed, delay=15)
        if not part:
            self.page.keyboard.press("Enter")
        time.sleep(self.draw.choice((0.0, 0.05, 0.2, 0.5, 1.5)))
        seen = self.look()
        understood = re.escape(f"mean of 2: {float(reading):g}") + r"(?![\d.])"  # 28 is not what 28.5 says
        taken = not part and seen is not None and bool(re.search(understood, seen["echo"]))
        self.interrupt(kind)
        time.sleep(0.3)
        after = self.wait_back()
        found = reading_of(after["dial"])
        self.counts[kind] += 1
        self.counts["taken before"] += taken
        if taken and found != reading:
            self.counts["lost"] += 1
            self.told.append(f"{kind}: {reading} was taken, and {after['dial']} stands there")
        elif not part and not taken:
            self.counts["Enter pressed, not yet taken"] += 1
            self.counts["of these there again"] += found == reading
        if found not in WORD:  # a part of a reading that a pause took
            self.counts["part of a reading kept"] += 1
            self.clear()

    def clear(self) -> None:
        """A whole reading in place of a part of one, so that a verdict is there to be seen."""
        box = self.page.locator(f"{FRONT} .rotorkit-form").get_by_label("Dial reading", exact=True).first
        box.focus()
        self.page.keyboard.press("Control+a")
        self.page.keyboard.type("27; 27")
        self.page.keyboard.press("Enter")
        time.sleep(1.0)


def reading_of(text: str | None) -> str:
    """The reading that is repeated in a field; empty where it is another one each time."""
    parts = set(re.split(r"\s*;\s*", (text or "").strip()))
    return parts.pop() if len(parts) == 1 else ""


@pytest.fixture
def server(tmp_path_factory: pytest.TempPathFactory) -> Iterator[Server]:
    made = Server(tmp_path_factory.mktemp("interrupted"))
    yield made
    made.stop()


def test_interruptions(server: Server, browser: Browser, made_folder: Path) -> None:
    folder = server.lab.root / "hangar"
    copy_working_folder(made_folder, folder)
    draw = random.Random(SEED)
    bench = Bench(server, browser, folder, draw)
    bench.now = "opened"
    bench.wait_back()
    bench.clear()
    begun, done = time.monotonic(), 0
    while done < HOW_MANY and time.monotonic() - begun < SECONDS:
        bench.once(KINDS[done % len(KINDS)] if len(KINDS) >= HOW_MANY else draw.choice(KINDS))
        done += 1
        print(done, dict(bench.counts), bench.told[-3:], flush=True)
    bench.context.close()
    counts = bench.counts
    said = f"{counts['taken before']} taken readings, {counts['lost']} lost; old shown as current "
    said += f"{counts['old shown as current']}; did not come back {counts['did not come back']}"
    tell(f"{done} random interruptions while typing", said, "", "", "0, 0, 0")
    for kind, times in bench.back.items():
        told = f"median {sorted(times)[len(times) // 2]:.1f} s, worst {max(times):.1f} s"
        tell(f"back with a verdict after: {kind}", told, "", "", "")
    assert (counts["lost"], counts["old shown as current"], counts["did not come back"]) == (0, 0, 0), bench.told
