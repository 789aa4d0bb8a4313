"""What JupyterLab is given so that a notebook of the working folder runs itself: a part of its page, one of its server.

The page's part is `extension/`, one script without a build. It runs a notebook that opens, hides the code of what only
shows, folds the checks, and never leaves old figures standing as if they were today's. Before it runs anything it shows
what the cells say to the server's part, which alone knows what rotorkit ships: what a file says of itself counts for
nothing, and a stranger's code is not run by opening it.
"""

from __future__ import annotations

from pathlib import Path
from typing import Any

__all__ = ["EXTENSIONS", "lab_arguments"]

EXTENSIONS = Path(__file__).resolve().parent / "extension"
"""The folder of the page's part, as JupyterLab takes it."""
ENCRYPTION = "transport_encryption"
"""The setting by which Jupyter's server and kernels encrypt what they say to each other."""
LARGEST_MESSAGE = 512 * 1024 * 1024
"""Bytes that a page may send to its kernel at once. The web server's own bound of 10 MiB ends the connection without a
word when a few photographs are chosen in a form."""


def lab_arguments(spare: bool = True) -> list[str]:
    """The arguments by which JupyterLab loads both parts. spare: whether a loaded kernel is kept ready."""
    return [
        f"--LabApp.extra_labextensions_path={EXTENSIONS}",
        f"--ServerApp.jpserver_extensions={__name__}=True",
        # a kernel whose port another program took would be started again at the same ports, until it is given up
        "--KernelManager.cache_ports=False",
        *([f"--ServerApp.kernel_manager_class={__name__}.spare.Kernels"] if spare else []),
        *([f"--KernelManager.{ENCRYPTION}=auto"] if _can_encrypt() else []),
    ]


def _can_encrypt() -> bool:
    """Whether server and kernels can talk so that no other user of this computer is able to listen. A kernel that can
    be listened to says so in the terminal, in a programmer's words."""
    from jupyter_server.services.kernels.kernelmanager import ServerKernelManager
    from traitlets import TraitError

    try:
        return ENCRYPTION in ServerKernelManager.class_trait_names() and bool(
            ServerKernelManager(**{ENCRYPTION: "auto"})
        )
    except TraitError:  # what it takes was left out of the libraries on this computer
        return False


def _jupyter_server_extension_points() -> list[dict[str, str]]:
    return [{"module": __name__}]


def _load_jupyter_server_extension(server: Any) -> None:
    from rotorkit.lab.handlers import handlers

    server.web_app.settings.setdefault("websocket_max_message_size", LARGEST_MESSAGE)
    # Each page that opens would ask whether JupyterLab is to be built anew, which starts Node where there is one, just
    # when a form is waited for. Nothing here is ever built.
    server.web_app.settings.setdefault("page_config_data", {}).update(buildCheck=False)
    # JupyterLab takes an extension's script for one whose name changes with what it says. A browser would run that of
    # before an update for a year.
    kept = server.web_app.settings.get("static_immutable_cache", [])
    kept[:] = [place for place in kept if not place.endswith("/rotorkit/static")]
    server.web_app.add_handlers(".*$", handlers(server.web_app.settings["base_url"]))
    if hasattr(server.kernel_manager, "soon"):
        server.io_loop.add_callback(server.kernel_manager.soon, 0.0)  # the first page asks for one at once
