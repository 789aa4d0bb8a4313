"""The notebooks' kernels: each begins away from the working folder, and one is kept ready.

A kernel starts in the environment's own place and then goes to the notebook's folder, so that no file of a folder that
somebody sent can stand in for a library: neither while the kernel starts nor later. One is kept in reserve, started and
loaded before a notebook asks for it, so that a page need not wait for that; the next is started a while after the last
was taken, when the page has had the computer to itself. A notebook that finds none ready waits for its own.
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

from rotorkit.lab import ENCRYPTION

READY = '__import__("rotorkit.lab.ahead").lab.ahead.get_ready()'
GO = """import os as _os, sys as _sys
_os.chdir({folder!r})
_sys.path.sort(key=lambda place: not place)
{more}del _os, _sys"""
"""How a kernel goes to a folder. The folder comes last among the places to import from: its own files are found, and
none stands in for a library that is asked for later."""
NAMED = "_os.environ['JPY_SESSION_NAME'] = {session!r}\n"
"""What a kernel that was started before its notebook asked is told besides."""
ANSWERS_WITHIN = 20.0
"""Seconds within which a spare kernel must have gone where it is sent; a page would have waited as long for its own."""


def first_of_all(code: str) -> str:
    """The argument by which a kernel does something before anybody asks it."""
    return f"--IPKernelApp.exec_lines={json.dumps([code])}"


class Kernels(AsyncMappingKernelManager):
    """JupyterLab's kernels, away from the folder as they start, with one in reserve."""

    keeps_one_ready = Bool(True, config=True, help="Whether a loaded kernel is kept ready for the next notebook.")
    after = Float(3.0, config=True, help="Seconds after a notebook got its kernel until the next spare one is started.")

    def __init__(self, **given: Any) -> None:
        super().__init__(**given)
        self.spare = ""  # the kernel's id
        self._timer: asyncio.TimerHandle | None = None
        self._starting: asyncio.Task[None] | None = None

    @property
    def _quiet(self) -> list[str]:
        """Where server and kernels cannot encrypt what they say to each other: that the kernel does not tell of it in
        the terminal each time."""
        return [] if ENCRYPTION in self.config.KernelManager else ["--IPKernelApp.log_level=ERROR"]

    async def _async_start_kernel(self, *, kernel_id: str | None = None, path: Any = None, **given: Any) -> str:
        """A kernel for a session: the spare one, where it fits, else a new one."""
        found = ""
        if path is not None and given.get("kernel_name") in (None, "", self.default_kernel_name):
            folder = str(self.cwd_for_path(path, env=given.get("env", {})))
            if kernel_id is None:
                found = await self._taken(folder, given.get("env") or {})
            path = None
            going = first_of_all(GO.format(folder=folder, more=""))
            more = [*(given.get("extra_arguments") or []), going, *self._quiet]
            given |= {"cwd": sys.prefix, "extra_arguments": more}
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
        self.spare = str(uuid.uuid4())  # known before it is there, so that nobody is told of it
        arguments = [first_of_all(READY), *self._quiet]
        await super()._async_start_kernel(kernel_id=self.spare, cwd=sys.prefix, extra_arguments=arguments)

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
        going = GO.format(folder=folder, more=NAMED.format(session=session))
        if not started_with or not await self._does(kernel, going):
            await self.shutdown_kernel(kernel_id, now=True)
            return ""
        # started again it goes there at once
        going = first_of_all(GO.format(folder=folder, more=""))
        started_with.update(extra_arguments=[going, *self._quiet], **({"env": environment} if environment else {}))
        return kernel_id

    async def _async_shutdown_all(self, now: bool = False) -> None:
        """End all kernels: the spare one at once, since nobody's work is in it and it may be starting still."""
        if self._timer is not None:
            self._timer.cancel()
        if self.spare and self.spare in self:
            await self.shutdown_kernel(self.spare, now=True)
        await super()._async_shutdown_all(now=now)

    shutdown_all = _async_shutdown_all  # type: ignore[assignment]

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
