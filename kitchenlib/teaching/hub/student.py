"""One student's server, started by JupyterHub as that student's system user: JupyterLab and pages over a copy of the lessons of his own.

The copy is laid here and not by the hub: what stands in a home is its owner's to choose, and no link there may lead root to write elsewhere.
"""
import os
import sys

from traitlets.config import Config

from ...files import home
from .. import copies, start


def main():
    """Lay the lessons, serve until the hub ends it."""
    os.umask(0o077)                                          # for the kernels too: what a student keeps is his alone
    own = home().resolve()
    try:
        own.mkdir(parents=True, exist_ok=True)
        own.chmod(0o700)                                     # an older folder may stand open
        for sentence in copies.lay(own):
            print(f"{os.environ['USER']}: {sentence}", file=sys.stderr)
        start.only_ours(own)
    except OSError as error:
        sys.exit(f"{os.environ['USER']}: the lessons cannot be put into {own} ({error.strerror or error}).")
    from jupyterhub.singleuser.extension import JupyterHubSingleUser      # reads the paths above when imported
    config = Config()
    start.for_lab(config, warm=True)
    config.ServerApp.root_dir = str(own)
    config.ServerApp.shutdown_no_activity_timeout = 3600     # s; a forgotten server gives its memory back
    JupyterHubSingleUser.initialize_server(argv=[], config=config).start()


if __name__ == "__main__":
    main()
