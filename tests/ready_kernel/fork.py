"""One process that has imported what notebooks import, and forks a kernel for each that asks."""

import contextlib
import gc
import importlib
import json
import os
import pkgutil
import select
import signal
import socket
import sys
import threading

# what the library loads when it is first needed, and a notebook's own cells
LATER = ("matplotlib.figure", "matplotlib.backends.backend_agg", "matplotlib_inline.backend_inline", "scipy.optimize")
KERNEL = ("ipykernel.kernelapp", "ipykernel.ipkernel", "ipykernel.zmqshell", "ipywidgets")


def import_all() -> None:
    import rotorkit.notebook
    import rotorkit.sheets

    ours = [one.name for one in pkgutil.walk_packages(rotorkit.sheets.__path__, "rotorkit.sheets.")]
    for name in [*KERNEL, *LATER, *ours]:
        importlib.import_module(name)


def exactly(door: socket.socket, size: int) -> bytes:
    found = b""
    while len(found) < size:
        part = door.recv(size - len(found))
        if not part:
            raise EOFError
        found += part
    return found


def bury(*_: object) -> None:
    """Take note of kernels that have ended: otherwise they stay in the table of processes."""
    with contextlib.suppress(ChildProcessError):
        while os.waitpid(-1, os.WNOHANG)[0]:
            pass


def serve(door: int) -> None:
    """Until standard input is closed: whoever started this is gone then."""
    with socket.socket(fileno=door) as asked:  # it listens already: those that ask before the imports are done wait
        import_all()
        assert threading.active_count() == 1, "a fork has the thread that forks and no other"
        gc.collect()
        gc.freeze()
        signal.signal(signal.SIGCHLD, bury)
        while True:
            readable, _, _ = select.select([asked, 0], [], [])
            if 0 in readable:
                return
            door, _ = asked.accept()
            try:
                size, (*streams,), _, _ = socket.recv_fds(door, 8, 3)
                wanted = json.loads(exactly(door, int.from_bytes(size, "big")))
            except (EOFError, OSError, ValueError):
                door.close()
                continue
            kernel = os.fork()
            if kernel == 0:
                asked.close()
                become_a_kernel(door, streams, wanted)
            door.sendall(str(kernel).encode())
            for stream in streams:
                os.close(stream)
            door.close()


def become_a_kernel(door: socket.socket, streams: list[int], wanted: dict) -> None:
    signal.signal(signal.SIGCHLD, signal.SIG_DFL)
    os.setsid()
    for number, stream in enumerate(streams):
        os.dup2(stream, number)
        os.close(stream)
    os.chdir(wanted["folder"])
    os.environ.clear()
    os.environ.update(wanted["environment"])
    sys.argv = ["ipykernel_launcher", *wanted["arguments"]]

    def watch() -> None:
        door.recv(1)  # nothing is sent: that this returns means that the asker was killed
        os._exit(1)

    threading.Thread(target=watch, daemon=True).start()
    from ipykernel.kernelapp import IPKernelApp

    try:
        IPKernelApp.launch_instance()
    finally:
        os._exit(0)


if __name__ == "__main__":
    serve(int(sys.argv[1]))
