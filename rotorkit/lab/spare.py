"""A kernel kept ready: started and loaded before a notebook asks for one, so that a page need not wait for that.

It is started away from the working folder, where no file of the folder can stand in for a library, and goes there when
a notebook takes it over. One is kept at a time; the next is started a while after the last was taken, when the page
has had the computer to itself. A notebook that gets none, because none is ready, starts its own as in any JupyterLab:
that one, and one that is started again, begins in the folder, and Python looks there first for what it imports.
"""

from __future__ import annotations

import asyncio
import contextlib
import json
import sys
import uuid
from typing import Any

from jupyter_server.services.kernels.kernelmanager import AsyncMappingKernelManager
from tornado import web
from traitlets import Bool, Float

__all__ = ["Kernels"]

READY = '__import__("rotorkit.lab.ahead").lab.ahead.get_ready()'
GO = """import os as _os, sys as _sys
_os.chdir({folder!r})
_os.environ['JPY_SESSION_NAME'] = {session!r}
_sys.path.sort(key=lambda place: not place)
del _os, _sys"""
"""How a spare kernel goes to a folder. The folder comes last among the places to import from: its own files are found,
and none stands in for a library that is asked for later."""
ANSWERS_WITHIN = 20.0
"""Seconds within which a spare kernel must have gone where it is sent; a page would have waited as long for its own."""


class Kernels(AsyncMappingKernelManager):
    """JupyterLab's kernels, with one in reserve."""

    keeps_one_ready = Bool(True, config=True, help="Whether a loaded kernel is kept ready for the next notebook.")
    after = Float(3.0, config=True, help="Seconds after a notebook got its kernel until the next spare one is started.")

    def __init__(self, **given: Any) -> None:
        super().__init__(**given)
        self.spare = ""  # the kernel's id
        self._timer: asyncio.TimerHandle | None = None
        self._starting: asyncio.Task[None] | None = None

    async def _async_start_kernel(self, *, kernel_id: str | None = None, path: Any = None, **given: Any) -> str:
        """A kernel for a session: the spare one, where it fits, else a new one."""
        found = ""
        if kernel_id is None and path is not None and given.get("kernel_name") in (None, "", self.default_kernel_name):
            found = await self._taken(str(self.cwd_for_path(path, env=given.get("env", {}))), given.get("env") or {})
        if not found:
            found = await super()._async_start_kernel(kernel_id=kernel_id, path=path, **given)
        self.soon()
        return found

    start_kernel = _async_start_kernel  # type: ignore[assignment]

    def soon(self, seconds: float | None = None) -> None:
        """Have a spare kernel started in a while."""
        if self._timer is not None:
            self._timer.cancel()
        if self.keeps_one_ready:
            wait = self.after if seconds is None else seconds
            self._timer = asyncio.get_running_loop().call_later(wait, self._begin)

    def _begin(self) -> None:
        if not self.spare or self.spare not in self:
            self._starting = asyncio.get_running_loop().create_task(self._start_spare())

    async def _start_spare(self) -> None:
        ready = [f"--IPKernelApp.exec_lines={json.dumps([READY])}"]
        self.spare = str(uuid.uuid4())  # known before it is there, so that nobody is told of it
        await super()._async_start_kernel(kernel_id=self.spare, cwd=sys.prefix, extra_arguments=ready)

    async def _taken(self, folder: str, environment: dict[str, str]) -> str:
        """The spare kernel, sent to a folder; empty where there is none that answers."""
        if self._starting is not None and not self._starting.done():
            await asyncio.wait([self._starting])
        kernel_id, self.spare = self.spare, ""
        if not kernel_id or kernel_id not in self:
            return ""
        kernel = self.get_kernel(kernel_id)
        started_with: dict[str, Any] = getattr(kernel, "_launch_args", None) or {}
        session = environment.get("JPY_SESSION_NAME", "")
        if not started_with or not await self._does(kernel, GO.format(folder=folder, session=session)):
            await self.shutdown_kernel(kernel_id, now=True)
            return ""
        # started again it is one like any other
        started_with.pop("extra_arguments", None)
        started_with.update(cwd=folder, **({"env": environment} if environment else {}))
        return kernel_id

    @staticmethod
    async def _does(kernel: Any, code: str) -> bool:
        """Whether a kernel has done something, within the time that there is."""
        client = kernel.client()
        client.start_channels(iopub=False, stdin=False, hb=False, control=False)
        try:
            asked = client.execute(code, silent=True, store_history=False)
            while True:
                answer = await client.get_shell_msg(timeout=ANSWERS_WITHIN)
                if answer["parent_header"].get("msg_id") == asked:
                    return bool(answer["content"]["status"] == "ok")
        except Exception:
            return False
        finally:
            client.stop_channels()

    def list_kernels(self) -> list[Any]:
        """The kernels that somebody uses."""
        found = []
        for kernel_id in self.list_kernel_ids():
            with contextlib.suppress(web.HTTPError, KeyError):  # it has just gone
                if kernel_id != self.spare:
                    found.append(self.kernel_model(kernel_id))
        return found
