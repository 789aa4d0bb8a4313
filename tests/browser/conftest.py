"""Fixtures: a real JupyterLab on loopback with its token on, and the system's own Chromium, cut off from the net."""

import contextlib
import json
import os
import re
import secrets
import shutil
import socket
import subprocess
import sys
import time
import urllib.error
from collections import Counter
from collections.abc import Iterator
from contextlib import ExitStack, contextmanager
from pathlib import Path
from typing import Any

import pytest
from playwright.sync_api import Browser, Page, Request, ViewportSize, expect, sync_playwright
from playwright.sync_api import Error as PlaywrightError
from xdist.scheduler import LoadScopeScheduling

from rotorkit.lab import lab_arguments
from tests.browser.driver import FRONT, OWN, PATIENCE, TO_THE_TOP, Desk, Lab
from tests.browser.plain_form import FORM_NOTEBOOK, write_form
from tests.ready_kernel import plain_kernel, use_plain_kernels
from tests.working_folder import copy_working_folder, make_working_folder

REQUIRED = os.environ.get("ROTORKIT_REQUIRE_BROWSER") == "1"
NAMES = ["chromium", "chromium-browser", "google-chrome", "google-chrome-stable"]
FLAGS = [
    "--disable-gpu",
    "--disable-quic",
    "--no-first-run",
    "--disable-background-networking",
    "--disable-component-update",
    "--disable-sync",
    "--force-color-profile=srgb",
    # Offline by force: a page that wants anything from the net fails here as it would in a hangar.
    "--host-resolver-rules=MAP * ~NOTFOUND, EXCLUDE 127.0.0.1",
]
expect.set_options(timeout=PATIENCE)
# What a test that shares a notebook may have changed: its fields, its verdict and pictures, and which parts are open.
SEEN = """front => Array.from(document.querySelectorAll(front)).map(panel => [
  window.jupyterapp.shell.currentWidget.node === panel,
  ...Array.from(panel.querySelectorAll('.jp-OutputArea :is(input, select, textarea)'), box => box.value),
  ...Array.from(panel.querySelectorAll('.rotorkit-word'), word => word.textContent),
  panel.querySelectorAll('.rotorkit-panel > *').length,
  ...Array.from(panel.querySelectorAll('[role=img]'), picture => picture.getAttribute('aria-label'))])"""
WRITTEN = {FORM_NOTEBOOK: write_form}
SIZE: ViewportSize = {"width": 1280, "height": 1000}


def chromium() -> str | None:
    """The system's Chromium: the one named in ROTORKIT_CHROMIUM, else the first found."""
    named = os.environ.get("ROTORKIT_CHROMIUM")
    return named or next((path for name in NAMES if (path := shutil.which(name))), None)


@pytest.hookimpl(trylast=True)
def pytest_collection_modifyitems(items: list[pytest.Item]) -> None:
    """Mark the tests of this folder; without a Chromium they are skipped, which the build does not accept.

    Tests with an opening of their own come first, being the longest. Those that share a notebook's one opening
    (`run_once`) follow each other as they stand in their files, looking before typing.
    """
    here = Path(__file__).resolve().parent
    ours = [item for item in items if item.path.is_relative_to(here)]
    if ours:
        first = items.index(ours[0])
        share = Counter(notebook_of(item.nodeid) for item in ours)
        order = sorted(share, key=lambda notebook: (bool(notebook), -share[notebook]))
        others = [item for item in items if item not in ours]
        items[:] = [
            *others[:first],
            *sorted(ours, key=lambda one: order.index(notebook_of(one.nodeid))),
            *others[first:],
        ]
    for item in ours:
        item.add_marker(pytest.mark.browser)
    if ours and chromium() is None:
        if REQUIRED:
            raise pytest.UsageError(
                "The browser tests are required (ROTORKIT_REQUIRE_BROWSER=1) and there is no Chromium."
            )
        reason = "No Chromium on this machine: the browser tests were skipped. Install Chromium to run them."
        for item in ours:
            item.add_marker(pytest.mark.skip(reason=reason))


@pytest.hookimpl(wrapper=True)
def pytest_runtest_makereport(item: pytest.Item, call: pytest.CallInfo[None]) -> Iterator[None]:
    """Of a test that fails a picture is kept, as the page stood then."""
    report = yield
    if call.when == "call" and call.excinfo is not None:
        for desk in getattr(item, "funcargs", {}).values():
            if isinstance(desk, Desk):
                with contextlib.suppress(PlaywrightError):
                    desk.screenshot("failed-" + re.sub(r"\W+", "-", item.name))
    return report


def notebook_of(test: str) -> str:
    """The notebook whose one opening a test shares with others; empty where it has its own."""
    found = re.search(r"\[(\w+)\]$", test)
    return found[1] if found else ""


class ByNotebook(LoadScopeScheduling):  # type: ignore[misc]
    """Tests given to workers one by one, but for those that share a notebook: they go to one worker together."""

    def _split_scope(self, nodeid: str) -> str:
        return notebook_of(nodeid) or str(nodeid)


@pytest.hookimpl(optionalhook=True)
def pytest_xdist_make_scheduler(config: pytest.Config, log: Any) -> ByNotebook | None:
    """For `--dist loadgroup`. The groups by marks that it has itself pytest-xdist 3.8 does not see with pytest 9.2."""
    if config.getvalue("dist") != "loadgroup":
        return None
    config.option.loadscopereorder = False  # as they were put in order above
    return ByNotebook(config, log)


def free_port() -> int:
    """A port that nobody has, and that the system gives to nobody who asks it for any.

    A kernel takes five of those, and might take this one while the server is still starting. Each worker looks from a
    place of its own.
    """
    for step in range(1000):
        port = 20_000 + (7 * os.getpid() + step) % 12_000
        with socket.socket() as probe, contextlib.suppress(OSError):
            probe.bind(("127.0.0.1", port))
            return port
    raise RuntimeError("no free port from 20000 to 31999")


class Server:
    """JupyterLab of this environment, with settings, kernels and workspaces of nobody else's; it can be stopped and
    started again at the same address."""

    def __init__(self, base: Path, spare: bool = True) -> None:
        self.base, self.spare = base, spare
        root, home = base / "root", base / "home"
        root.mkdir()
        home.mkdir()
        own = {
            name: str(home / name.lower())
            for name in ("JUPYTER_CONFIG_DIR", "JUPYTER_DATA_DIR", "JUPYTER_RUNTIME_DIR", "IPYTHONDIR")
        }
        self._environment = {**os.environ, **own, "JUPYTER_PREFER_ENV_PATH": "1"}
        self._port, self._token = free_port(), secrets.token_hex(16)
        self.lab = Lab(f"http://127.0.0.1:{self._port}/", self._token, root)
        self.process: subprocess.Popen[bytes]
        self.start()

    def start(self) -> None:
        """Start it, and wait until it answers."""
        command = [
            *(sys.executable, "-m", "jupyterlab", "--no-browser", "--allow-root"),
            f"--ServerApp.root_dir={self.lab.root}",
            "--ServerApp.ip=127.0.0.1",
            f"--ServerApp.port={self._port}",
            "--ServerApp.port_retries=0",
            f"--IdentityProvider.token={self._token}",
            "--LabApp.expose_app_in_browser=True",
            *lab_arguments(self.spare),
            # what a builder's notebooks ask for, and of which one is kept ready, starts from nothing
            *([f"--MultiKernelManager.default_kernel_name={plain_kernel()}"] if plain_kernel() else []),
        ]
        with (self.base / "server.log").open("ab") as log:
            self.process = subprocess.Popen(
                command, cwd=self.lab.root, env=self._environment, stdout=log, stderr=log, stdin=subprocess.DEVNULL
            )
        end = time.monotonic() + 180  # a laptop with much other work; only a server that hangs is given up
        while True:
            try:
                self.lab.ask("GET", "status")
                return
            except (urllib.error.URLError, ConnectionError):
                if self.process.poll() is not None or time.monotonic() > end:
                    told = (self.base / "server.log").read_text()
                    raise RuntimeError("JupyterLab did not start:\n" + told) from None
                time.sleep(0.1)

    def stop(self) -> None:
        """Stop it, its kernels with it."""
        self.process.terminate()
        try:
            self.process.wait(timeout=10)
        except subprocess.TimeoutExpired:
            self.process.kill()


@pytest.fixture(scope="session")
def lab(tmp_path_factory: pytest.TempPathFactory) -> Iterator[Lab]:
    """A running JupyterLab for all tests."""
    server = Server(tmp_path_factory.mktemp("lab"))
    try:
        yield server.lab
        server.lab.end_kernels()
    finally:
        server.stop()


@pytest.fixture(scope="session")
def browser() -> Iterator[Browser]:
    with sync_playwright() as playwright:
        # Chromium's own sandbox does not run as root.
        flags = [*FLAGS, *(["--no-sandbox"] if getattr(os, "geteuid", lambda: 1)() == 0 else [])]
        started = playwright.chromium.launch(executable_path=chromium(), args=flags)
        yield started
        started.close()


@pytest.fixture(scope="session")
def made_folder(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """A working folder as `rotorkit new DIR --demo` makes it, to copy from."""
    return make_working_folder(tmp_path_factory.mktemp("made") / "demo")


def a_page(browser: Browser) -> Page:
    context = browser.new_context(viewport=SIZE, reduced_motion="reduce")
    context.set_default_timeout(PATIENCE)
    page = context.new_page()
    page.on("dialog", lambda dialog: dialog.accept())
    return page


@pytest.fixture(scope="session")
def shared_page(browser: Browser) -> Iterator[Page]:
    """The page that most tests have after each other: JupyterLab is loaded in it once."""
    page = a_page(browser)
    yield page
    page.context.close()


TOO_LATE = "Cannot read properties of null (reading 'promise')"
STARTING = re.compile(r"\b(startKernel|restartKernel|_changeKernel|Page\.restart)\b")


def closed_meanwhile(stack: str) -> bool:
    """Whether JupyterLab's own scripts went wrong over a notebook that is closed already, which nobody sees.

    Its toolbar, shown for a moment while what stood before it is put away, asks for its width to be looked at after it
    has gone itself (`onAfterShow` of the ReactiveToolbar). And a start of a kernel that is still under way ends so.
    """
    if "/rotorkit/" not in stack and TOO_LATE in stack and ".invoke (" in stack:
        return True
    return any(one in stack for one in (TOO_LATE, "Error: Disposed")) and bool(STARTING.search(stack))


@contextmanager
def a_desk(lab: Lab, page: Page, name: str, shared: bool) -> Iterator[Desk]:
    """A page over an empty folder; when it is put away, it has asked nobody else for anything."""
    folder = lab.root / re.sub(r"\W+", "-", name)
    folder.mkdir()
    desk = Desk(page, lab, folder, shared=shared)

    def asked(request: Request) -> None:
        if not request.url.startswith((lab.url, *OWN)):
            desk.requests.append(request.url)

    def went_wrong(error: PlaywrightError) -> None:
        stack = error.stack or ""
        if not closed_meanwhile(stack):
            desk.console_errors.append(stack or error.message)

    page.on("request", asked)
    page.on("pageerror", went_wrong)
    page.set_viewport_size(SIZE)
    try:
        yield desk
    finally:
        desk.close_all()
        page.remove_listener("request", asked)
        page.remove_listener("pageerror", went_wrong)
        lab.end_kernels(folder.name)
    desk.asked_nobody()


class Kept:
    """The notebook that is open, and run, for the tests after each other that only look at it or put back what they
    typed."""

    def __init__(self, lab: Lab, page: Page, made_folder: Path) -> None:
        self._lab, self._page, self._made_folder = lab, page, made_folder
        self._open = ExitStack()
        self._desk: Desk | None = None
        self._name, self._found = "", ""
        self._openings = 0

    def desk(self, name: str) -> Desk:
        """The notebook of this name as it is after it was run: still open from the test before, or opened now."""
        if self._desk is not None and self._name == name and self._as_found():
            return self._desk
        self.put_away()
        self._openings += 1
        desk = self._open.enter_context(a_desk(self._lab, self._page, f"once {self._openings} {name}", shared=True))
        self._desk, self._name = desk, name
        if name in WRITTEN:
            WRITTEN[name](desk.folder)
        else:
            fill(desk, self._made_folder)
        desk.open_notebook(name)
        desk.run_all()
        self._found = self._seen()
        return desk

    def put_away(self) -> None:
        """The page is another's now."""
        self._desk = None
        self._open.close()

    def _as_found(self) -> bool:
        """Whether the page says what it said at first, once what was typed last has been worked."""
        end = time.monotonic() + 5
        while time.monotonic() < end:
            if self._seen() == self._found:
                return True
            self._page.wait_for_timeout(100)
        return False

    def _seen(self) -> str:
        return json.dumps(self._page.evaluate(SEEN, FRONT))


@pytest.fixture(scope="session")
def kept(lab: Lab, shared_page: Page, made_folder: Path) -> Iterator[Kept]:
    """What `run_once` opens; put away when another test wants the page."""
    found = Kept(lab, shared_page, made_folder)
    yield found
    found.put_away()


@pytest.fixture
def run_once(kept: Kept, request: pytest.FixtureRequest) -> Iterator[Desk]:
    """A notebook of the demo's folder, opened and run once for all tests that name it; each leaves it as it found it.

    One that does not costs the next an opening, and nothing else: what stands in the fields is compared.
    """
    desk = kept.desk(request.param)
    desk.page.evaluate(TO_THE_TOP)
    yield desk
    desk.asked_nobody()


@pytest.fixture
def empty_desk(lab: Lab, shared_page: Page, kept: Kept, request: pytest.FixtureRequest) -> Iterator[Desk]:
    """A desk over an empty folder, for notebooks that the test writes itself."""
    kept.put_away()
    with a_desk(lab, shared_page, request.node.name, shared=True) as desk:
        yield desk


@pytest.fixture
def desk(empty_desk: Desk, made_folder: Path) -> Desk:
    """A desk over this test's own copy of the demo's working folder: `desk.open_notebook("blade_angles")`.

    Its page is the one that the test before had; what a test changes of JupyterLab itself (a setting, a theme) it puts
    back.
    """
    return fill(empty_desk, made_folder)


@pytest.fixture
def fresh_desk(lab: Lab, browser: Browser, made_folder: Path, request: pytest.FixtureRequest) -> Iterator[Desk]:
    """The same with a page that nobody had before, loaded from its address as a builder does, and plain kernels."""
    page = a_page(browser)
    try:
        with a_desk(lab, page, request.node.name, shared=False) as desk:
            fill(desk, made_folder)
            use_plain_kernels(desk.folder)
            yield desk
    finally:
        page.context.close()


def fill(desk: Desk, made_folder: Path) -> Desk:
    """Put a copy of the demo's working folder in the place of the empty one."""
    desk.folder.rmdir()
    copy_working_folder(made_folder, desk.folder)
    return desk
