"""The start: one server on this machine only, with JupyterLab and the same lessons as pages without code."""
import argparse
import asyncio
import logging
import os
import secrets
import signal
import sys
import webbrowser
from pathlib import Path

from tornado.ioloop import IOLoop
from traitlets.config import Config

from ..files import home
from . import copies

HERE = Path(__file__).resolve().parent
FIRST = "00_start_here.ipynb"


def options(arguments):
    parser = argparse.ArgumentParser("python -m kitchenlib", description="Open the lessons in your browser. Ctrl-C ends them.")
    parser.add_argument("--port", type=_port, default=8888, metavar="N", help="port to try first (8888); a taken one moves on to the next")
    parser.add_argument("--no-browser", action="store_true", help="open no browser: only print the address")
    parser.add_argument("--home", metavar="FOLDER", help="your own folder (kitchen-lessons in your home folder, or KITCHENLIB_HOME)")
    parser.add_argument("--here", action="store_true", help="for authors: open the lessons where they are, not a copy")
    parser.add_argument("--with-answers", action="store_true", help="for instructors: lay the worked answers beside the lessons")
    parser.add_argument("--share", nargs="?", const="", metavar="ADDRESS", help="show the lessons as pages, without code, to the phones on "
                        "your network, behind a password (ADDRESS: which of this machine's own)")
    return parser.parse_args(arguments)


def _port(text):
    if not (text.isascii() and text.isdigit() and 1 <= int(text) <= 65535):
        raise argparse.ArgumentTypeError(f"{text[:20]!r} is not a port: a whole number up to 65535, such as 8888")
    return int(text)


def main(arguments):
    """Lay the lessons, start the server, wait for Ctrl-C -> exit code."""
    chosen = options(arguments)
    if chosen.home:
        os.environ["KITCHENLIB_HOME"] = chosen.home          # for the kernels too
    own = home().resolve()
    os.environ["KITCHENLIB_HOME"] = str(own)
    try:
        own.mkdir(parents=True, exist_ok=True)
        news = [] if chosen.here else copies.lay(own, chosen.with_answers)
        lessons = copies.LESSONS if chosen.here else own
        if chosen.share is not None:
            return share(lessons, own, chosen.port, chosen.share, news)
        server = serve(lessons, own, chosen.port)
    except OSError as error:
        print(f"The lessons cannot be put into {own} ({error.strerror or error}). Name another folder: --home FOLDER", file=sys.stderr)
        return 1
    if (own / "kitchenlib").exists() or (own / "kitchenlib.py").exists():
        news.append(f"'kitchenlib' in {own} hides the library from the lessons: give it another name.")
    if server.port != chosen.port:
        news.append(f"Port {chosen.port} is taken; this is port {server.port}.")
    server.io_loop.add_callback(announce, server, news, browser=not chosen.no_browser and desktop())    # once it listens
    server.start()
    end_all(server.io_loop)
    print("Ended.")
    return 0


def end_all(loop):
    """Cancel what a stopped loop was at, such as a page half worked out: its threads would keep this process from ending."""
    tasks = asyncio.all_tasks(loop.asyncio_loop)
    for task in tasks:
        task.cancel()
    if tasks:
        loop.asyncio_loop.run_until_complete(asyncio.wait(tasks, timeout=5))


def announce(server, news, browser):
    """Print what the user needs, and open the browser where there is one."""
    lab = server.local_url.split("?")[0]
    token = server.identity_provider.token
    page = f"  {lab.replace('/lab/tree/', '/voila/render/')}?token={token}"
    pages = ["The same as a page without code:", page] if "/tree/" in lab else []
    print(*news, f"Your folder: {server.root_dir}", "Open this address in your browser:", f"  {lab}?token={token}", *pages,
          "To end, press Ctrl-C here.", sep="\n", flush=True)
    if browser:
        server.io_loop.run_in_executor(None, webbrowser.open, f"{lab}?token={token}")


def desktop():
    """Is there a desktop for a browser to open on? Without one Python would start a text browser in this very terminal."""
    return sys.platform in ("win32", "darwin") or bool(os.environ.get("DISPLAY") or os.environ.get("WAYLAND_DISPLAY"))


def only_ours(own):
    """Let the engine read our settings and keep its own files below `own`, whatever else this machine's user has set for it."""
    mine = own / ".jupyter"
    mine.mkdir(exist_ok=True)
    os.environ.update(JUPYTER_CONFIG_PATH=str(HERE / "lab"), JUPYTER_PATH=str(HERE / "share"), JUPYTER_PREFER_ENV_PATH="1",
                      JUPYTER_CONFIG_DIR=str(mine), JUPYTER_DATA_DIR=str(mine / "data"), JUPYTER_RUNTIME_DIR=str(mine / "runtime"),
                      IPYTHONDIR=str(mine / "ipython"))


def share(lessons, own, port, address, news):
    """Serve pages to the network until Ctrl-C -> exit code. OSError where a folder cannot be written."""
    only_ours(own)
    from . import network                                    # reads the paths above when imported
    try:
        address = network.own(address)
    except OSError:
        print(f"This machine has no address {address}." if address else "No network is found.",
              "Name an address that it has there: --share 192.168.1.20", file=sys.stderr)
        return 2
    os.environ["KITCHENLIB_VISITORS"] = "yes"                # for the kernels: whoever opens a page is not this machine's user
    word, made_up = network.ask_password()
    config = Config()
    for_pages(config, warm=lessons != copies.LESSONS)
    server = network.server(lessons, FIRST, port, address, word, config)
    server.run(lambda: network.announce(server, own, word, made_up, port, news))
    end_all(IOLoop.current())
    print("Ended.")
    return 0


def serve(lessons, own, port):
    """A server ready to start: loopback only, one token, and nothing taken from other Jupyter settings of this machine's user.

    OSError where its own settings cannot be kept in `own`.
    """
    only_ours(own)
    config = Config()
    for_lab(config, warm=lessons != copies.LESSONS)          # an author's pages show the library as it is now
    from jupyterlab.labapp import LabApp                     # reads the paths above when imported
    first = f"/lab/tree/{FIRST}" if (lessons / FIRST).exists() else "/lab"
    settings = {
        "ServerApp.ip": "127.0.0.1", "ServerApp.port": port, "ServerApp.port_retries": 50, "ServerApp.root_dir": str(lessons),
        "ServerApp.base_url": "/", "ServerApp.allow_root": True, "ServerApp.answer_yes": True, "ServerApp.open_browser": False,
        "ServerApp.use_redirect_file": False, "LabApp.default_url": first, "IdentityProvider.token": secrets.token_urlsafe(24)}
    server = LabApp.initialize_server(argv=[f"--{name}={value}" for name, value in settings.items()], config=config)
    on_ctrl_c(lambda: server.stop(from_signal=True))
    return server


def on_ctrl_c(stop):
    """One Ctrl-C, or the system's word to end, calls stop(), unasked; that pages in mid-work come to nothing is no news then."""
    def end(*_):
        logging.disable(logging.CRITICAL)
        stop()
    for name in ("SIGINT", "SIGTERM", "SIGBREAK"):
        if hasattr(signal, name):
            signal.signal(getattr(signal, name), end)


def for_lab(config, warm=False):
    """Set what every server of JupyterLab with pages needs; `warm` as in `for_pages`."""
    for_pages(config, warm)
    config.VoilaConfiguration.resources = {"with_code": True}
    config.ServerApp.terminals_enabled = False
    config.ServerApp.extra_template_paths = [str(HERE / "share" / "voila" / "templates" / "page")]      # an old token, no such page: our words
    config.ServerApp.log_level = config.LabApp.log_level = "ERROR"
    lab = config.LabApp
    lab.extension_manager, lab.news_url, lab.check_for_updates_class = "readonly", "", "jupyterlab.NeverCheckForUpdate"
    config.FileContentsManager.pre_save_hook = "kitchenlib.teaching.hooks.strip_views"


def for_pages(config, warm=False):
    """Set what every server of pages needs; with `warm`, their kernels are made of a process that has all imported (see `kernels`)."""
    from . import hooks
    if warm:
        from . import kernels
        kernels.warm.begin()                                 # while the server itself gets ready
        config.MappingKernelManager.kernel_manager_class = "kitchenlib.teaching.kernels.Keeper"
    pages = config.VoilaConfiguration
    pages.template, pages.allow_template_override, pages.allow_theme_override = "page", "NO", "NO"
    pages.prelaunch_hook, pages.page_config_hook = hooks.before_page, hooks.offline
    pages.show_tracebacks = True                             # the template then prints an error's sentence, and only that
    pages.http_header_envs = ["User-Agent"]
    config.VoilaExecutor.allow_errors = True
    config.KernelManager.transport_encryption = "auto"
    config.MappingKernelManager.cull_idle_timeout, config.MappingKernelManager.cull_interval = 1800, 60
