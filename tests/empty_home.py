"""Keeps tests and their kernels out of the user's own folder. Loaded by name before anything else (addopts in pyproject.toml), so
that a single notebook and each xdist worker get it too."""
import atexit
import os
import shutil
import tempfile

_folder = tempfile.mkdtemp(prefix="kitchen-test-")
atexit.register(shutil.rmtree, _folder, ignore_errors=True)
os.environ.update(KITCHENLIB_HOME=os.path.join(_folder, "home"), IPYTHONDIR=os.path.join(_folder, "ipython"), JUPYTER_PREFER_ENV_PATH="1")
os.mkdir(os.environ["KITCHENLIB_HOME"])
