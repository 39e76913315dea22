"""The server's keeper of kernels: those of pages are made of one warm process and begin at once, for less memory."""
import asyncio
import json
import os
import signal
import sys
import threading
from contextlib import suppress
from subprocess import PIPE

import psutil
from jupyter_client.launcher import launch_kernel
from jupyter_client.provisioning import LocalProvisioner
from jupyter_server.services.kernels.kernelmanager import ServerKernelManager

from .warm import FORKS

COMMAND = [sys.executable, "-m", "kitchenlib.teaching.warm"]
PAUSE = 5.0                                                  # s until the next gets warm where none is forked: the page comes first


class Forked:
    """A fork of the warm process, as the engine knows its kernels: our process, though not our child. What is gone takes any signal."""
    stdin = stdout = stderr = None

    def __init__(self, number):
        self.pid, self.process = number, psutil.Process(number)

    def poll(self):
        """None while it runs, then 0: how it ended only its parent would be told."""
        with suppress(psutil.NoSuchProcess):
            if self.process.is_running() and self.process.status() != psutil.STATUS_ZOMBIE:
                return None
        return 0

    def wait(self, timeout=None):
        self.process.wait(timeout)
        return 0

    def send_signal(self, number):
        with suppress(psutil.NoSuchProcess):
            self.process.send_signal(number)

    def kill(self):
        self.send_signal(signal.SIGKILL)

    def terminate(self):
        self.send_signal(signal.SIGTERM)


class Warm:
    """Keeps one warm process and makes kernels of it. Any thread may ask."""
    def __init__(self):
        self.process, self.lock = None, threading.Lock()

    def begin(self):
        """Start the warm process, unless it runs."""
        with self.lock:
            self._begin()

    def _begin(self):
        if self.process is None or self.process.poll() is not None:
            env = {**os.environ, "OPENBLAS_NUM_THREADS": "1"}          # threads do not live on in a fork
            self.process = launch_kernel(COMMAND, stdin=PIPE, stdout=PIPE if FORKS else None, env=env)

    def kernel(self, arguments, env, folder):
        """A new kernel's process, or None where the warm one has failed."""
        with self.lock:
            try:
                self._begin()
                process = self.process
                process.stdin.write(json.dumps([arguments, env, folder]).encode() + b"\n")
                process.stdin.flush()
                if FORKS:
                    return Forked(int(process.stdout.readline()))
                process.stdin.close()
                self.process = None
                return process
            except (OSError, ValueError, psutil.Error):
                return None


warm = Warm()


class Keeper(ServerKernelManager):
    """Starts one kernel. JupyterLab's own start cold, so that there a restart sees what an author has changed in the library."""
    async def _async_launch_kernel(self, kernel_cmd, **kw):
        env, own = kw.get("env") or {}, self.provisioner
        if "VOILA_REQUEST_URL" in env and "ipykernel_launcher" in kernel_cmd and isinstance(own, LocalProvisioner):
            loop, arguments = asyncio.get_running_loop(), kernel_cmd[kernel_cmd.index("ipykernel_launcher") + 1:]
            process = await loop.run_in_executor(None, warm.kernel, arguments, env, kw.get("cwd"))
            if not FORKS:
                loop.call_later(PAUSE, warm.begin)
            if process:
                own.process, own.pid, own.pgid, own.cwd = process, process.pid, process.pid if hasattr(os, "killpg") else None, kw.get("cwd")
                return self._reconcile_connection_info(own.connection_info)
        await super()._async_launch_kernel(kernel_cmd, **kw)
