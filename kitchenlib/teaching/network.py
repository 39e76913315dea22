"""Pages for the phones and tablets of a kitchen: a server of its own, with a password, that shows lessons and edits nothing."""
import asyncio
import getpass
import logging
import secrets
import socket
import sys
import time

import psutil
import tornado.ioloop
import tornado.web
from jupyter_server.auth import passwd
from jupyter_server.auth.decorator import allow_unauthenticated
from voila.app import Voila
from voila.tornado.handler import TornadoVoilaHandler
from voila.tornado.kernel_websocket_handler import VoilaKernelWebsocketHandler
from voila.voila_identity_provider import VoilaLoginHandler

from .start import on_ctrl_c

SHORTEST = 8                                                 # signs of a password: our own limit
ROOM = 300e6                                                 # bytes left free for a page of about 110 MB to be begun: our own limit
FREE, LONGEST_WAIT, FORGOTTEN = 3, 4.0, 300.0                # wrong passwords that cost no wait; s, s: our own limits
PROTOCOL = "v1.kernel.websocket.jupyter.org"
LESSON = r"/voila/render/(\d\d_\w+\.ipynb)"
OTHER_PLACES = ("/voila/files", "/voila/api/contents", "/voila/tree", "/voila/render", "/voila/templates", "/(")    # of the engine; none is needed by a page


class Pages(Voila):
    """The engine's server of pages, without its lists and files; the bare address leads to the first lesson."""
    name = "kitchenlib-pages"
    first = ""

    def init_settings(self):
        settings = super().init_settings()
        settings["jinja2_env"] = settings["voila_jinja2_env"]    # our own log-in page
        self.identity_provider.login_handler_class = Login
        return settings

    def init_handlers(self):
        made = super().init_handlers()
        render = next(handler for handler in made if handler[0].startswith("/voila/render"))
        made = [(handler[0], Channel, *handler[2:]) if handler[1] is VoilaKernelWebsocketHandler else handler for handler in made]
        made = [handler for handler in made if handler[0] != "/" and not handler[0].startswith(OTHER_PLACES)]
        return [*made, (LESSON, Lesson, *render[2:]), ("/", tornado.web.RedirectHandler, {"url": f"/voila/render/{self.first}", "permanent": False}),
                ("/.*", Nowhere)]

    def run(self, once_it_listens):
        """Serve until Ctrl-C."""
        loop = tornado.ioloop.IOLoop.current()
        on_ctrl_c(lambda: loop.add_callback_from_signal(loop.stop))
        loop.add_callback(once_it_listens)
        self.start()


class Lesson(TornadoVoilaHandler):
    """A lesson's page, while this machine has the memory for one more."""
    async def get(self, path=None):
        if self.current_user and psutil.virtual_memory().available < ROOM:
            raise tornado.web.HTTPError(503, "The machine that serves the lessons is full: close a page on another device and load this again.")
        await super().get(path)


class Login(VoilaLoginHandler):
    """The log-in: who goes on guessing waits longer each time. Nobody is shut out, and other addresses wait for nothing."""
    tries = {}                                               # {address: (how many without the right word, when the last came)}

    @allow_unauthenticated
    async def post(self):
        address, now = self.request.remote_ip, time.monotonic()
        for old in [other for other, (_, last) in self.tries.items() if now - last > FORGOTTEN]:
            del self.tries[old]
        count = self.tries.get(address, (0, now))[0]
        self.tries[address] = count + 1, now                 # before the wait: many at once wait too
        await asyncio.sleep(wait(count))
        super().post()
        if self.current_user:
            self.tries.pop(address, None)


def wait(tries):
    """Seconds until the next password is looked at, after so many that were wrong."""
    return 0.0 if tries < FREE else min(0.5 * 2.0 ** min(tries - FREE, 9), LONGEST_WAIT)


class Channel(VoilaKernelWebsocketHandler):
    """A page's line to its kernel. Over an older protocol than browsers speak the engine never gets done with a picture, for all pages."""
    async def get(self, kernel_id):
        if PROTOCOL not in self.request.headers.get("Sec-WebSocket-Protocol", ""):
            raise tornado.web.HTTPError(400, "This page's kernel speaks another protocol.")
        await super().get(kernel_id)


class Nowhere(tornado.web.RequestHandler):
    """Every other address."""
    def prepare(self):
        self.set_status(404)
        self.finish(self.settings["voila_jinja2_env"].get_template("404.html").render(status_code=404, base_url="/"))


def own(address=""):
    """An address of this machine: the given one, else that on the network it would use. OSError where it has none. Nothing is sent."""
    with socket.socket(socket.AF_INET, socket.SOCK_DGRAM) as asked:
        if address:
            asked.bind((address, 0))
        else:
            asked.connect(("192.0.2.1", 9))                  # an address kept for examples (RFC 5737)
        return asked.getsockname()[0]


def ask_password():
    """(password, whether it was made up): what is typed; where nothing is typed, or nobody sits there, one is made up."""
    while sys.stdin and sys.stdin.isatty():
        word = getpass.getpass("A password for your kitchen's phones (press Enter and one is made up): ")
        if not word:
            break
        if len(word) >= SHORTEST:
            return word, False
        print(f"Take {SHORTEST} signs or more, or press Enter.")
    letters = "abcdefghjkmnpqrstuvwxyz23456789"              # none that looks like another
    return "-".join("".join(secrets.choice(letters) for _ in range(4)) for _ in range(3)), True


def server(lessons, first, port, address, password, config):
    """The server of pages, ready to run: bound to one address, the password in front of every page."""
    provider, app, pages = config.PasswordIdentityProvider, config.Voila, config.VoilaConfiguration
    provider.hashed_password, provider.password_required, provider.allow_password_change = passwd(password), True, False
    app.ip, app.port, app.root_dir, app.config_file_paths = address, port, str(lessons), []
    app.open_browser, app.log_level = False, "ERROR"
    for part in ("access", "application", "general"):        # a phone that asks for what is not there is no news
        logging.getLogger(f"tornado.{part}").setLevel(logging.ERROR)
    pages.file_allowlist = []
    made = Pages(config=config)
    made.first = first
    made.initialize(argv=[])
    return made


def announce(made, folder, word, made_up, port, news):
    """Print what the instructor needs to know."""
    warning = "" if made.ip.startswith("127.") else (
        "Careful: traffic is NOT encrypted. Whoever is on this network can read along, the password too. Use the kitchen's own network and\n"
        "a password that you use nowhere else, and end this after class.")
    print(*news, *([f"Port {port} is taken; this is port {made.port}."] if made.port != port else []),
          "Type this address into the phones and tablets:", f"  http://{made.ip}:{made.port}",
          f"Password: {word if made_up else 'the one you typed'}", *filter(None, [warning]),
          f"Visitors give their own student id, which nobody checks; their answers are kept in {folder}.", "To end, press Ctrl-C here.",
          sep="\n", flush=True)
