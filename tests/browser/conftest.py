"""Fixtures: a real JupyterLab on loopback with its token on, and the system's own Chromium, cut off from the net."""

import os
import re
import secrets
import shutil
import socket
import subprocess
import sys
import time
import urllib.error
from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path

import pytest
from playwright.sync_api import Browser, Page, Request, ViewportSize, expect, sync_playwright

from rotorkit.lab import lab_arguments
from tests.browser.driver import OWN, PATIENCE, Desk, Lab
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
SIZE: ViewportSize = {"width": 1280, "height": 1000}


def chromium() -> str | None:
    """The system's Chromium: the one named in ROTORKIT_CHROMIUM, else the first found."""
    named = os.environ.get("ROTORKIT_CHROMIUM")
    return named or next((path for name in NAMES if (path := shutil.which(name))), None)


@pytest.hookimpl(trylast=True)
def pytest_collection_modifyitems(items: list[pytest.Item]) -> None:
    """Mark the tests of this folder; without a Chromium they are skipped, which the build does not accept.

    Tests that share a notebook's one opening follow each other as they stand in their file: looking before typing.
    """
    here = Path(__file__).resolve().parent
    ours = [item for item in items if item.path.is_relative_to(here)]
    sharing = [item for item in ours if isinstance(item, pytest.Function) and "run_once" in item.fixturenames]
    places = [place for place, item in enumerate(items) if item in sharing]
    sharing.sort(key=lambda item: (item.callspec.indices["run_once"], item.function.__code__.co_firstlineno))
    for place, item in zip(places, sharing, strict=True):
        items[place] = item
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


def free_port() -> int:
    with socket.socket() as probe:
        probe.bind(("127.0.0.1", 0))
        return int(probe.getsockname()[1])


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


@contextmanager
def a_desk(lab: Lab, page: Page, name: str, shared: bool) -> Iterator[Desk]:
    """A page over an empty folder; when it is put away, it has asked nobody else for anything."""
    folder = lab.root / re.sub(r"\W+", "-", name)
    folder.mkdir()
    desk = Desk(page, lab, folder, shared=shared)

    def asked(request: Request) -> None:
        if not request.url.startswith((lab.url, *OWN)):
            desk.requests.append(request.url)

    def went_wrong(error: object) -> None:
        desk.console_errors.append(str(error))

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
    assert desk.requests == [], "the page asked another machine for something; a hangar has no net"
    assert desk.console_errors == [], "errors in the page's own scripts"


@pytest.fixture
def empty_desk(lab: Lab, shared_page: Page, request: pytest.FixtureRequest) -> Iterator[Desk]:
    """A desk over an empty folder, for notebooks that the test writes itself."""
    with a_desk(lab, shared_page, request.node.name, shared=True) as desk:
        yield desk


@pytest.fixture(scope="module")
def run_once(lab: Lab, shared_page: Page, made_folder: Path, request: pytest.FixtureRequest) -> Iterator[Desk]:
    """A notebook of the demo's folder, opened and run once for the tests of it; each leaves it as it found it."""
    with a_desk(lab, shared_page, f"once {request.param}", shared=True) as desk:
        fill(desk, made_folder)
        desk.open_notebook(request.param)
        desk.run_all()
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
