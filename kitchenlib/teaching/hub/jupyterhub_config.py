"""JupyterHub for a school. How to start it stands in README.md, 'A whole school at once'. It runs as root, each server as its student."""
import sys

import psutil

from kitchenlib.teaching.start import FIRST

c = get_config()                                             # noqa: F821; JupyterHub puts it there

# Real system users, each with a password of his own. One shared password would let everybody in as everybody, and the spawner that needs
# no system users runs all servers as one: either way a student reads another's answers.
c.JupyterHub.authenticator_class = "pam"
c.LocalAuthenticator.allowed_groups = {"kitchen"}            # who is not in this system group stays outside, root too
c.JupyterHub.spawner_class = "localprocess"
c.Spawner.cmd = [sys.executable, "-P", "-m", "kitchenlib.teaching.hub.student"]      # -P: a student's own random.py hides nothing
c.Spawner.default_url = f"/lab/tree/{FIRST}"                 # f"/voila/render/{FIRST}" for a class that begins with pages
c.Spawner.start_timeout = c.Spawner.http_timeout = 180       # s; a whole class begins at once

# Measured: 250 MB a student, 330 with a page open, 70 for each page more. Who would be one too many is told so; the spawner limits nothing.
c.JupyterHub.active_server_limit = int(psutil.virtual_memory().total / 400e6)

# This machine only: the school's web server stands before it with its certificate, for passwords must not travel unencrypted.
c.JupyterHub.bind_url = "http://127.0.0.1:8000"
c.ConfigurableHTTPProxy.command = [sys.executable, "-m", "kitchenlib.teaching.hub.proxy"]
c.ConfigurableHTTPProxy.log_level = "error"
c.JupyterHub.log_level = "WARN"
