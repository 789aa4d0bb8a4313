"""A notebook in a real JupyterLab in a real Chromium, driven as a person would. One `Desk`: one page, one folder."""

import json
import os
import re
import time
import urllib.request
from collections.abc import Iterator
from contextlib import contextmanager
from dataclasses import dataclass, field
from functools import cache
from importlib import resources
from pathlib import Path
from typing import Any

from playwright.sync_api import CDPSession, Locator, Page
from playwright.sync_api import Error as PlaywrightError

OWN = ("data:", "blob:", "chrome-extension:", "chrome:")
"""What a page asks of the browser itself: the last two are how Chromium shows a PDF."""
PATIENCE = 30_000
"""Milliseconds for what is waited for: a machine with much other work is slow, not wrong. Only a test that fails waits
so long."""
LOADING = 120_000
"""The same for the whole page of JupyterLab, or a kernel."""
SCREENSHOTS = Path(__file__).resolve().parent / "screenshots"
LOOKED_AT = os.environ.get("ROTORKIT_SCREENSHOTS") == "1"
"""Whether somebody wants to look at pictures of what passes too. One costs as much as typing a reading."""
OUTPUTS = ".jp-OutputArea"
FRONT = ".jp-NotebookPanel:not(.lm-mod-hidden)"

# Cells run before the kernel has answered are swallowed, so readiness is asked for, not guessed by a pause.
READY = """async () => {
  const app = window.jupyterapp;
  if (!app) return false;
  await app.restored;
  const panel = app.shell.currentWidget;
  if (!panel || !panel.sessionContext || !panel.context) return false;
  await panel.context.ready;
  await panel.revealed;
  await panel.sessionContext.ready;
  const kernel = panel.sessionContext.session && panel.sessionContext.session.kernel;
  if (!kernel) return false;
  await kernel.info;
  return kernel.connectionStatus === 'connected' && kernel.status === 'idle';
}"""
# A notebook of the working folder runs itself: then the end of that is waited for, and nothing is run a second time.
# What stands with the code alone runs when the code is shown, and is not asked for before.
RUN_ALL = """async () => {
  const app = window.jupyterapp, panel = app.shell.currentWidget;
  const state = () => panel.node.dataset.rotorkit || 'other', end = performance.now() + 120000;
  while (!['other', 'asks', 'run', 'failed'].includes(state())) {
    if (performance.now() > end) return [`the page does not run itself: it is ${state()}`];
    await new Promise(go => setTimeout(go, 50));
  }
  if (['other', 'asks'].includes(state())) await app.commands.execute('notebook:run-all-cells');
  const cells = Array.from(panel.content.model.cells);
  const found = [];
  cells.forEach((cell, index) => {
    if (cell.type !== 'code') return;
    const shared = cell.sharedModel;
    const waits = panel.content.node.classList.contains('rotorkit-plain')
      && panel.content.widgets[index].hasClass('rotorkit-later');
    if (shared.source.trim() && shared.execution_count === null && !waits) found.push(`cell ${index} did not run`);
    shared.outputs.filter(o => o.output_type === 'error')
      .forEach(o => found.push(`cell ${index}: ${o.ename}: ${o.evalue}`));
  });
  return found;
}"""
# What was open goes as it stands, unsaved or not: nobody is asked. It goes last, because in an empty page JupyterLab
# opens its launcher.
OPEN = """async path => {
  const app = window.jupyterapp;
  const before = Array.from(app.shell.widgets('main'));
  const put_away = widget => {
    if (widget.isDisposed) return;
    if (widget.context && widget.context.model) widget.context.model.dirty = false;
    widget.dispose();
  };
  before.filter(widget => widget.context && widget.context.path === path).forEach(put_away);
  if (path) await app.commands.execute('docmanager:open', {path});
  before.forEach(put_away);
  for (const button of document.querySelectorAll('.jp-Dialog button.jp-mod-accept')) button.click();
}"""
LOADED = "() => !!window.jupyterapp"
RESTART = """async () => {
  const context = window.jupyterapp.shell.currentWidget.sessionContext;
  await context.session.kernel.restart();
  await context.session.kernel.info;
}"""
TO_THE_TOP = """async () => {
  const content = window.jupyterapp.shell.currentWidget.content;
  content.activeCellIndex = 0;
  await content.scrollToItem(0, 'start');
  document.querySelector('.jp-WindowedPanel-outer').scrollTop = 0;
}"""
# Time from the key press in the field to the frame in which the picture has changed, as the person sees it.
WATCH = """([selector, front, longest]) => {
  const root = document.querySelector(front);
  const look = () => Array.from(root.querySelectorAll(selector)).map(e => e.outerHTML).join('');
  const before = look();
  window.rotorkitChange = new Promise((resolve, reject) => {
    let start = null;
    const key = () => { start = performance.now(); };
    document.addEventListener('keydown', key, {capture: true});
    const limit = setTimeout(() => { end(); reject(new Error('no change in time of ' + selector)); }, longest);
    const seen = new MutationObserver(() => {
      if (start === null || look() === before) return;
      end();
      requestAnimationFrame(() => resolve(performance.now() - start));
    });
    const end = () => {
      clearTimeout(limit); seen.disconnect(); document.removeEventListener('keydown', key, {capture: true});
    };
    seen.observe(root, {subtree: true, childList: true, characterData: true, attributes: true});
  });
}"""


# The handle of a slider gets no name from ipywidgets, and none can be given to it. Each of ours stands beside a
# labelled field that does all that it does.
NAMELESS_UPSTREAM = '<div class="noUi-handle'
# axe-core judges no contrast of what it takes for hidden. JupyterLab's page body has no height and hides its overflow,
# so that everything counts as hidden; so does whatever is scrolled out of view. Without these every page is "clean".
SEEN_BY_AXE = "html, body {height: 100vh !important}"
SMALL = 0.05
"""The scale at which a page of its whole height is drawn, since nobody looks: drawing took as long as judging."""
SCROLLED = """front => Math.max(...Array.from(document.querySelectorAll(front + ' .jp-WindowedPanel-outer'))
  .map(e => e.scrollHeight))"""

# The contrast of text takes axe-core two seconds of three for a page, and our notebooks have the same few colours. What
# has passed once in this page is not judged again where an element of the same name has the same colour, size and
# weight over the same backgrounds. Whatever is new is judged, five of a kind; every other rule is for every element.
JUDGED = """async ([scope, rules_off]) => {
  const off = Object.fromEntries([...rules_off, 'color-contrast'].map(rule => [rule, {enabled: false}]));
  const found = (await axe.run({include: [[scope]]}, {rules: off, resultTypes: ['violations']})).violations;
  if (!rules_off.includes('color-contrast')) {
    const passed = window.rotorkitPassed = window.rotorkitPassed || new Set();
    const beneath = new Map();
    const below = element => {
      if (!element) return '';
      if (!beneath.has(element)) {
        const look = getComputedStyle(element), above = below(element.parentElement);
        const own = [look.backgroundColor, look.backgroundImage, look.opacity, look.filter].join(' ');
        beneath.set(element, own === 'rgba(0, 0, 0, 0) none 1 none' ? above : own + ';' + above);
      }
      return beneath.get(element);
    };
    const looks = element => {
      const look = getComputedStyle(element);
      return [element.tagName, look.color, look.fontSize, look.fontWeight, look.textShadow, below(element)].join('|');
    };
    const text = node => node.nodeType === Node.TEXT_NODE && node.textContent.trim();
    const few = new Map();
    const fresh = Array.from(document.querySelectorAll(`:is(${scope}), :is(${scope}) *`)).filter(element => {
      if (!('value' in element || Array.from(element.childNodes).some(text))) return false;
      if (element.closest('svg, math')) return false;
      const size = element.getBoundingClientRect();
      if (size.width <= 2 || size.height <= 2 || !element.checkVisibility({visibilityProperty: true})) return false;
      const look = looks(element), met = few.get(look) || 0;
      few.set(look, met + 1);
      return met < 5 && !passed.has(look);
    });
    if (fresh.length) {
      const asked = {runOnly: ['color-contrast'], resultTypes: ['passes', 'violations'], elementRef: true,
        selectors: false};
      const judged = await axe.run({include: fresh}, asked);
      found.push(...judged.violations);
      for (const rule of judged.passes) for (const node of rule.nodes) passed.add(looks(node.element));
    }
  }
  return found.map(fault => ({...fault, nodes: fault.nodes.map(node => ({html: node.html}))}));
}"""


@cache
def session_of(page: Page) -> CDPSession:
    return page.context.new_cdp_session(page)


def show(page: Page, width: int, height: int, scale: float = 1.0) -> None:
    """Lay the page out in a window of this size, and draw it at this scale, which no part of it can tell."""
    screen = {"width": width, "height": height, "screenWidth": width, "screenHeight": height}
    asked = {**screen, "deviceScaleFactor": 1, "mobile": False, "scale": scale}
    session_of(page).send("Emulation.setDeviceMetricsOverride", asked)


class ReadyTimeoutError(AssertionError):
    """JupyterLab did not become ready to run cells."""


@dataclass
class Lab:
    """A running JupyterLab server."""

    url: str
    token: str
    root: Path

    def ask(self, method: str, path: str) -> Any:
        """One call of the server's own interface; None where it answers nothing."""
        request = urllib.request.Request(
            f"{self.url}api/{path}", method=method, headers={"Authorization": f"token {self.token}"}
        )
        with urllib.request.urlopen(request, timeout=LOADING / 1000) as answer:
            body = answer.read()
        return json.loads(body) if body else None

    def kernel_kept_ready(self) -> str:
        """The kernel that stands ready for the next notebook, once there is one."""
        request = urllib.request.Request(
            f"{self.url}rotorkit/started", headers={"Authorization": f"token {self.token}"}
        )
        end = time.monotonic() + 60
        while time.monotonic() < end:
            with urllib.request.urlopen(request, timeout=30) as answer:
                known = set(json.loads(answer.read())["kernels"])
            if spare := known - {one["id"] for one in self.ask("GET", "kernels")}:
                return str(spare.pop())
            time.sleep(0.1)
        raise AssertionError("no kernel is kept ready")

    def end_kernels(self, folder: str = "") -> None:
        """End the kernels of the notebooks in this folder, or of all."""
        for session in self.ask("GET", "sessions"):
            if not folder or session["path"].startswith(f"{folder}/"):
                self.ask("DELETE", f"sessions/{session['id']}")


@dataclass
class Desk:
    """One page of JupyterLab over one working folder.

    `folder` is this test's own copy of a builder's working folder: a test may write into it. `requests` collects what
    the page asked of any other machine, which must stay empty.
    """

    page: Page
    lab: Lab
    folder: Path
    requests: list[str] = field(default_factory=list)
    console_errors: list[str] = field(default_factory=list)
    shared: bool = False
    """Whether the page is one that tests have after each other: then a notebook opens in it as by a click in
    JupyterLab, and the page is loaded only where it is not yet. Loading is most of what opening a notebook costs."""

    # opening and running

    def open_notebook(self, name: str) -> None:
        """Open a notebook of the working folder (by its name, with or without its ending) and wait until it can run.

        No other document stays open.
        """
        found = [path for path in self.folder.rglob("*.ipynb") if name in (path.name, path.stem)]
        if len(found) != 1:
            raise AssertionError(f"{len(found)} notebooks are called {name!r} in {self.folder}")
        inside = found[0].relative_to(self.lab.root).as_posix()
        if self.shared and self._loaded():
            self.page.evaluate(OPEN, inside)
            self.wait_ready()
            return
        # a workspace of its own: otherwise the notebooks of the test before are opened again
        workspace = re.sub(r"\W+", "-", self.folder.name)
        self.page.goto(
            f"{self.lab.url}lab/workspaces/{workspace}/tree/{inside}?token={self.lab.token}&reset", timeout=LOADING
        )
        self.wait_ready()

    def wait_ready(self, seconds: float = LOADING / 1000) -> None:
        """Wait until the notebook in front has a kernel that has answered."""
        end, last = time.monotonic() + seconds, ""
        while time.monotonic() < end:
            try:
                if self.page.evaluate(READY):
                    return
            except PlaywrightError as error:  # the page is still loading or was just replaced
                last = str(error)
            self.page.wait_for_timeout(100)
        raise ReadyTimeoutError(f"no notebook with a kernel that answers within {seconds} s. {last}")

    def run_all(self, expect_errors: bool = False) -> list[str]:
        """Run every cell and return what went wrong; unless that is expected, it fails the test."""
        found: list[str] = self.page.evaluate(RUN_ALL)
        if found and not expect_errors:
            raise AssertionError("\n".join(found))
        return found

    def restart_kernel(self) -> None:
        self.page.evaluate(RESTART)
        self.wait_ready()

    def close_all(self) -> None:
        """Put away what is open in the page; one that does not answer any more is left for another to be loaded."""
        try:
            if self._loaded():
                self.page.evaluate(OPEN, "")
        except PlaywrightError:
            self.page.goto("about:blank")

    def _loaded(self) -> bool:
        return self.page.url.startswith(self.lab.url) and bool(self.page.evaluate(LOADED))

    def save(self) -> None:
        self.page.evaluate("() => window.jupyterapp.shell.currentWidget.context.save()")

    def reload(self) -> None:
        """Load the page again, as a person does who closed the lid in between.

        JupyterLab shows what was last saved; `save` first to find the outputs again.
        """
        self.page.reload(timeout=LOADING)
        self.wait_ready()

    def asked_nobody(self) -> None:
        """Fail where the page asked another machine for something, or where its own scripts went wrong."""
        assert self.requests == [], "the page asked another machine for something; a hangar has no net"
        assert self.console_errors == [], "in the page's own scripts:\n" + "\n".join(self.console_errors)

    # looking and typing

    @property
    def outputs(self) -> Locator:
        return self.page.locator(f"{FRONT} {OUTPUTS}")

    def field(self, label: str) -> Locator:
        """The form's input with this accessible label (the whole label, letter for letter)."""
        return self.outputs.get_by_label(label, exact=True)

    def fill(self, label: str, text: str) -> None:
        """Type a reading over what stands in the field, by keyboard, and confirm it with Enter."""
        box = self.field(label)
        box.focus()
        self.page.keyboard.press("Control+a")
        if not text:
            self.page.keyboard.press("Delete")
        self.page.keyboard.type(text)
        self.page.keyboard.press("Enter")

    @contextmanager
    def typed_back(self, *labels: str) -> Iterator[None]:
        """After what is done within, these fields hold again what they held before."""
        held = {label: self.field(label).input_value() for label in labels}
        yield
        for label, text in held.items():
            self.fill(label, text)

    def button(self, name: str) -> Locator:
        return self.outputs.get_by_role("button", name=name, exact=True)

    def wait_text(
        self, text: str | re.Pattern[str], within: Locator | None = None, seconds: float = PATIENCE / 1000
    ) -> Locator:
        """Wait until the text is to be seen in an output; a text, or a pattern."""
        found = (within or self.outputs).get_by_text(text).filter(visible=True).first
        found.wait_for(state="visible", timeout=seconds * 1000)
        return found

    def time_change(
        self, field: str | Locator, text: str, picture: str = f"{OUTPUTS} [role=img]", longest: float = 10.0
    ) -> float:
        """Type a reading; milliseconds from its Enter key to the frame with the changed picture. longest: seconds."""
        box = self.field(field) if isinstance(field, str) else field
        box.focus()
        self.page.keyboard.press("Control+a")
        self.page.keyboard.type(text)
        self.page.evaluate(WATCH, [picture, FRONT, 1000 * longest])
        self.page.keyboard.press("Enter")
        elapsed: float = self.page.evaluate("() => window.rotorkitChange")
        return elapsed

    def screenshot(self, name: str, of: Locator | Page | None = None) -> Path:
        """Keep a picture for looking at, in a folder that is not part of the project."""
        SCREENSHOTS.mkdir(exist_ok=True)
        path = SCREENSHOTS / f"{name}.png"
        (of or self.page).screenshot(path=path)
        return path

    def look(self, name: str, of: Locator | Page | None = None) -> None:
        """The same where it is asked for; of a test that fails a picture is kept in any case."""
        if LOOKED_AT:
            self.screenshot(name, of)

    def axe(self, scope: str = f"{FRONT} {OUTPUTS}", rules_off: tuple[str, ...] = ()) -> list[str]:
        """Faults of accessibility that axe-core finds within our own outputs (JupyterLab's own are not ours to mend).

        One line each: rule, how grave, what is wrong, and the element. axe-core does not judge the contrast of text
        inside an SVG picture.
        """
        size = self.page.viewport_size
        assert size is not None
        style = self.page.add_style_tag(content=SEEN_BY_AXE)
        show(self.page, size["width"], size["height"] + self.page.evaluate(SCROLLED, FRONT), SMALL)
        try:
            if not self.page.evaluate("() => !!window.axe"):
                self.page.evaluate(resources.files("axe_playwright_python").joinpath("axe.min.js").read_text("utf-8"))
            violations = self.page.evaluate(JUDGED, [scope, list(rules_off)])
        finally:
            show(self.page, size["width"], size["height"])
            style.evaluate("style => style.remove()")
        return [
            f"{fault['id']} ({fault['impact']}): {fault['help']}: {node['html'][:200]}"
            for fault in violations
            for node in fault["nodes"]
            if not (fault["id"] == "aria-input-field-name" and node["html"].startswith(NAMELESS_UPSTREAM))
        ]
