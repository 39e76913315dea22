"""The warm process: it has imported all that a page needs, and run and read nothing of anybody's; kernels for pages are made of it.

Where processes are safely forked (Linux) each kernel is a fork; elsewhere the process becomes the kernel itself, and `kernels` starts the next.
"""
import gc
import importlib
import io
import json
import logging
import os
import pkgutil
import signal
import sys
from pathlib import Path

FORKS = sys.platform == "linux"


def become(arguments, env, folder):
    """Be a kernel with these arguments, in this environment and folder, until it is shut down."""
    from ipykernel.kernelapp import IPKernelApp
    os.environ.clear()
    os.environ.update(env)
    if folder:
        os.chdir(folder)
    quiet = ("--HistoryManager.enabled=False", f"--IPKernelApp.log_level={logging.CRITICAL}")        # the page tells its errors
    sys.argv = ["ipykernel_launcher", *arguments, *quiet]
    IPKernelApp.launch_instance()


def get_warm():
    """Import what lessons and their kernel need, and draw a figure, so that fonts and layout are at hand."""
    sys.modules["debugpy"] = None                            # as if it were not there: no page is debugged, and it is large
    import ipykernel.kernelapp                               # noqa: F401
    import kitchenlib.teaching
    from kitchenlib.teaching.figures import Look, Picture
    for name in ("explorers", "bank"):
        package = importlib.import_module(f"{kitchenlib.teaching.__name__}.{name}")
        for module in pkgutil.iter_modules(package.__path__):
            importlib.import_module(f"{package.__name__}.{module.name}")
    for module in ("lesson", "answer_box", "own_readings", "own_things", "form", "cards"):
        importlib.import_module(f"{kitchenlib.teaching.__name__}.{module}")
    Picture(lambda look: (look.panels()[0], ()), Look()).show(lambda *_: False, {})


def main():
    """Take orders, a line each, from the server until it ends; of each fork the number is told."""
    if Path(sys.path[0]) == Path.cwd():
        del sys.path[0]                                      # as the engine's own launcher does: a file there hides no module
    get_warm()
    orders = sys.stdin.buffer
    if not FORKS:
        line = orders.readline()
        return become(*json.loads(line)) if line else None
    signal.signal(signal.SIGCHLD, signal.SIG_IGN)            # nobody waits for the forks
    gc.collect()
    gc.freeze()                                              # what is shared stays shared: the collector does not touch it
    for line in orders:
        number = os.fork()
        if number:
            print(number, flush=True)
            continue
        signal.signal(signal.SIGCHLD, signal.SIG_DFL)
        os.setsid()                                          # as the engine starts kernels: signals go to one, with what it has begun
        os.dup2(os.open(os.devnull, os.O_RDONLY), 0)
        os.dup2(2, 1)
        sys.stdin = sys.__stdin__ = io.TextIOWrapper(open(0, "rb", closefd=False))
        arguments, env, folder = json.loads(line)
        become([*arguments, f"--IPKernelApp.parent_handle={os.getppid()}"], env, folder)
        os._exit(0)                                          # what the warm process would tidy up at its end is not this one's


if __name__ == "__main__":
    main()
