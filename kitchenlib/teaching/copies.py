"""Lays the lessons into the user's own folder, and keeps apart there what the user wrote and what was shipped."""
import hashlib
import json
import os
import re
import sys
from pathlib import Path

from filelock import FileLock

from ..files import put

LESSONS = Path(__file__).resolve().parents[2] / "lessons"
RECORD = ".shipped.json"            # {path in the folder: {"words": what was shipped, "file": its very bytes, and for which place}}


def all_lessons():
    """The shipped lessons' paths in teaching order, without answers/."""
    return sorted(LESSONS.glob("[0-9][0-9]_*.ipynb"))


def name(stem):
    """What a lesson goes by: 01_weighing_and_percent is '01 Weighing and percent'."""
    return f"{stem[:2]} {stem[3:].replace('_', ' ').capitalize()}"


def _below():
    """Where this server stands: empty, or below a hub /user/NAME."""
    return os.environ.get("JUPYTERHUB_SERVICE_PREFIX", "").rstrip("/")


def _page_links(source, below=""):
    """A cell's text with its links to pages below that; JupyterLab follows only whole addresses to them."""
    return re.sub(r"\]\((/[^)\s]*)?/voila/render/", f"]({below}/voila/render/", "".join(source))


def words(path):
    """Fingerprint of what a person writes in a file: of a notebook its cells' kinds and sources, of other files all; None if broken."""
    try:
        data = path.read_bytes()
        if path.suffix == ".ipynb":
            data = json.dumps([[cell["cell_type"], _page_links(cell["source"])] for cell in json.loads(data)["cells"]]).encode()
    except (OSError, ValueError, KeyError, TypeError, RecursionError):
        return None
    return hashlib.sha256(data).hexdigest()


def shipped(lessons, answers):
    """Paths below `lessons`, as text with /, in teaching order; `answers/` only where asked for."""
    found = []
    for path in sorted(lessons.rglob("*")):
        parts = path.relative_to(lessons).parts
        hidden = parts[0] == "pictures" or any(part.startswith((".", "__")) for part in parts)     # pictures are the README's
        if path.is_file() and not hidden and (answers or parts[0] != "answers"):
            found.append("/".join(parts))
    return found


def lay(into, answers=False, lessons=LESSONS):
    """Lay the shipped lessons into a folder -> what the user should hear, a sentence each.

    A file whose words are still those once shipped is replaced when the shipped one changes. A file that the user edited, or that
    cannot be read, stays; the new version is laid beside it, once, as NAME.new.ipynb. All other files in the folder are left alone.

    Raises OSError where the folder cannot be made or written.
    """
    if into.exists() and into.resolve() == lessons.resolve():
        return []
    into.mkdir(parents=True, exist_ok=True)
    with FileLock(into / f"{RECORD}.lock", timeout=30):
        return _lay(into, lessons, shipped(lessons, answers))


def _lay(into, lessons, names):
    record, said, laid, renewed = _read(into / RECORD), [], [], []
    first = not record
    for name in names:
        source, target = lessons / name, into / name
        now = {"words": words(source), "file": hashlib.sha256(source.read_bytes() + _below().encode()).hexdigest()}
        before = record.get(name, {})
        have = words(target)
        try:
            if not target.exists():
                _copy(source, target)
                laid.append(name)
            elif have is not None and have in (now["words"], before.get("words"), before.get("beside")):
                if have != now["words"] or before.get("file") not in (None, now["file"]):
                    _copy(source, target)
                    renewed.append(name)
            else:
                if now["words"] != before.get("beside") and (have is None or now["words"] != before.get("words")):
                    beside = _beside(target, before.get("beside"))
                    _copy(source, beside)
                    said.append(f"{name} in your folder {'cannot be read' if have is None else 'was edited'} and stays as it is; "
                                f"the new version lies beside it as {beside.name}.")
                now = {**before, "beside": now["words"]}
        except OSError as error:
            said.append(f"{name} could not be brought up to date ({error.strerror}): close it elsewhere and start again.")
            continue
        record[name] = now
    for name in sorted(set(record) - set(shipped(lessons, answers=True))):
        if (into / name).exists():
            said.append(f"{name} is no longer among the lessons; your copy stays.")
        del record[name]
    put(into / RECORD, json.dumps(record, indent=1).encode())
    if renewed:
        said.insert(0, f"Brought up to date, as you had not edited them: {', '.join(renewed)}.")
    if laid and not first:
        said.insert(0, f"New in your folder: {', '.join(laid)}.")
    return said


def _read(path):
    try:
        record = json.loads(path.read_bytes())
        return {name: dict(entry) for name, entry in record.items()}
    except (OSError, ValueError, TypeError, AttributeError):
        return {}


def _copy(source, target):
    data = source.read_bytes()
    if source.suffix == ".ipynb":
        notebook = json.loads(data)
        notebook["metadata"] |= _kernel()
        for cell in notebook["cells"]:
            cell["source"] = _page_links(cell["source"], _below()).splitlines(keepends=True)
        data = (json.dumps(notebook, indent=1, ensure_ascii=False) + "\n").encode()
    put(target, data)                                        # written anew: the copy of a read-only file must be writable


def _kernel():
    """What JupyterLab would write into a notebook on opening it; written here, so that looking at a lesson does not change it."""
    language = {"codemirror_mode": {"name": "ipython", "version": 3}, "file_extension": ".py", "mimetype": "text/x-python",
                "name": "python", "nbconvert_exporter": "python", "pygments_lexer": "ipython3", "version": ".".join(map(str, sys.version_info[:3]))}
    return {"kernelspec": {"display_name": "Python 3 (ipykernel)", "language": "python", "name": "python3"}, "language_info": language}


def _beside(target, laid):
    """NAME.new.ipynb, or NAME.new2.ipynb ...: the first that is free, or that still holds the words once laid there."""
    numbers = ("" if n == 1 else n for n in range(1, 1000))
    paths = (target.with_name(f"{target.stem}.new{n}{target.suffix}") for n in numbers)
    return next(path for path in paths if not path.exists() or (laid and words(path) == laid))
