"""The server's part: what the cells of an opened notebook are, and that the server is the one it was."""

from __future__ import annotations

import json
import secrets
from typing import Any

from jupyter_server.base.handlers import APIHandler
from jupyter_server.utils import url_path_join
from tornado import web

from rotorkit.folder.notebooks import Origin, origin_of

LARGEST = 2_000_000
"""Letters of what a notebook's cells say, beyond which it is none of ours."""
STARTED = secrets.token_hex(8)
"""What this run of the server is known by: another after a restart."""


class OriginHandler(APIHandler):
    """Told what the cells of a notebook say, answers whether rotorkit ships it so."""

    @web.authenticated
    async def post(self) -> None:
        self.finish(json.dumps({"origin": self._origin(), "started": STARTED}))

    def _origin(self) -> str:
        if len(self.request.body) > LARGEST:
            return Origin.OTHER
        asked: Any = self.get_json_body()
        try:
            cells = [{"cell_type": str(kind), "source": str(said)} for kind, said in asked["cells"]]
            return origin_of({"cells": cells}, str(asked["path"]), bool(asked.get("shipped_as")))
        except (KeyError, TypeError, ValueError):
            raise web.HTTPError(400, "needs the notebook's path and its cells") from None


class StartedHandler(APIHandler):
    """Answers which run of the server this is, which kernels it has, and which of them have nothing left to do."""

    @web.authenticated
    async def get(self) -> None:
        idle = [one["id"] for one in self.kernel_manager.list_kernels() if one["execution_state"] == "idle"]
        kernels = list(self.kernel_manager.list_kernel_ids())
        self.finish(json.dumps({"started": STARTED, "kernels": kernels, "idle": idle}))


def handlers(base: str) -> list[tuple[str, Any]]:
    """The addresses of this part, below the server's own."""
    return [
        (url_path_join(base, "rotorkit", "origin"), OriginHandler),
        (url_path_join(base, "rotorkit", "started"), StartedHandler),
    ]
