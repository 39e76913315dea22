"""Runs the lessons from fresh kernels and stores what they show, the same bytes each time on each machine but for pictures."""
import argparse
import base64
import difflib
import hashlib
import json
import os
import re
import sys
import tempfile
from pathlib import Path

from ..files import put
from . import commands
from .copies import LESSONS
from .hooks import VIEW, without_views

SHOWN = {"20_calcium_bath": "shell", "30_oil_in_water": "oil", "41_nitrogen_and_the_room": "room"}     # explorers that the README pictures
KERNEL = {"display_name": "Python 3", "language": "python", "name": "python3"}
KEPT = ("tags", "editable", "deletable", "jupyter")         # of a cell's metadata; the rest is what an editor left
DATA_URI = re.compile(r"data:image/[a-z+]+;base64,[A-Za-z0-9+/=]+")


def main(arguments):
    """Refresh the stored outputs, or say which are stale -> exit code."""
    parser = argparse.ArgumentParser("python -m kitchenlib refresh", description=(
        "Run lessons from a fresh kernel and an empty folder, and store what they show. A file is written only where something changed."))
    parser.add_argument("lessons", nargs="*", metavar="LESSON", help="a lesson, as 10 or 10_gel_strength; all where none is named")
    parser.add_argument("--check", action="store_true", help="write nothing; end with 1 where a stored text is stale")
    chosen = parser.parse_args(arguments)
    try:
        paths = find(chosen.lessons)
    except LookupError as error:
        print(error.args[0], file=sys.stderr)
        return 2
    bad = 0
    for path in paths:
        name = path.relative_to(LESSONS).with_suffix("").as_posix()
        try:
            troubles, changed = (check if chosen.check else refresh)(path)
            if not chosen.check and not troubles and path.parent == LESSONS:
                picture(path)
        except (OSError, ValueError) as error:
            troubles, changed = [commands.sentence(error)], False
        bad += bool(troubles)
        word = ("stale" if troubles else "fresh") if chosen.check else "not stored" if troubles else "changed" if changed else "as it was"
        print(f"{name}: {word}", flush=True)
        for trouble in troubles:
            print(f"  {trouble}")
    return 1 if bad else 0


def picture(path):
    """Write the README's picture of a lesson, as the lesson stores it, into lessons/pictures/ -> its path, or None where it has none."""
    name = SHOWN.get(path.stem)
    cells = json.loads(path.read_text(encoding="utf-8"))["cells"] if name else ()
    for cell in cells:
        if "explorer" in cell["metadata"].get("tags", ()) and "".join(cell["source"]).strip() == f"explore.{name}":
            coded = next(output["data"]["image/png"] for output in cell["outputs"] if "image/png" in output.get("data", {}))
            made = path.parent / "pictures" / f"{path.stem[:2]}_{name}.png"
            put(made, base64.b64decode("".join(coded)))
            return made
    return None


def pages(lessons=LESSONS):
    """All notebooks: the lessons, then the answers."""
    return sorted(lessons.glob("*.ipynb")) + sorted(lessons.glob("answers/*.ipynb"))


def find(names, lessons=LESSONS):
    """Paths of the named lessons and of their answers; of all where no name is given. LookupError names the nearest."""
    paths = pages(lessons)
    if not names:
        return paths
    found = []
    for name in names:
        word = Path(name).stem
        match = [path for path in paths if path.stem == word or path.stem.startswith(f"{word}_")]
        if not match:
            near = difflib.get_close_matches(word, [path.stem for path in paths], 1, 0.4)
            raise LookupError(f"There is no lesson {word[:40]!r}" + (f"; did you mean {near[0]!r}?" if near else "."))
        found += match
    return [path for path in paths if path in found]


def refresh(path):
    """Run one notebook and store its outputs -> (troubles, whether the file was written). With troubles nothing is written."""
    notebook = tidy(run(load(path), path.parent))
    troubles = spoken_troubles(notebook) + structure(notebook)
    text = written(notebook)
    if troubles or path.read_text(encoding="utf-8") == text:
        return troubles, False
    put(path, text.encode("utf-8"))
    return [], True


def check(path):
    """Run one notebook beside what is stored -> (what is stale, False). Pictures are not compared, their words are."""
    stored = load(path)
    now = tidy(run(load(path), path.parent))
    troubles = structure(stored) + spoken_troubles(now)
    for number, (old, new) in enumerate(zip(stored.cells, now.cells), 1):
        old, new = texts(old), texts(new)
        if old != new:
            at = next((i for i, (a, b) in enumerate(zip(old, new)) if a != b), min(len(old), len(new)))
            a, b = (" ".join(t[at].split()) if at < len(t) else "nothing" for t in (old, new))
            alike = max(len(os.path.commonprefix((a, b))) - 40, 0)          # the difference, with a little of what stands before it
            a, b = ("... " * bool(alike) + text[alike:alike + 120] for text in (a, b))
            troubles.append(f"cell {number}: stored is {a!r}, now it says {b!r}")
    return troubles, False


def load(path):
    """A notebook with an id in every cell: its own, or one that follows from its place and source. ValueError where it is none."""
    import nbformat
    try:
        content = json.loads(path.read_text(encoding="utf-8"))
        taken = set()
        for place, cell in enumerate(content["cells"]):
            if cell.get("id") is None or cell["id"] in taken:
                source = "".join(cell["source"])
                cell["id"] = hashlib.sha256(f"{place}{source}".encode()).hexdigest()[:8]
            taken.add(cell["id"])
        content["nbformat_minor"] = max(5, content["nbformat_minor"])
        notebook = nbformat.from_dict(content)
        for cell in notebook.cells:
            cell.source = "".join(cell.source)
            for output in cell.get("outputs", ()):
                output.update({k: "".join(v) for k, v in output.items() if k == "text" and isinstance(v, list)})
                for kind, data in output.get("data", {}).items():
                    output.data[kind] = "".join(data) if isinstance(data, list) else data
        nbformat.validate(notebook)
        return notebook
    except (ValueError, KeyError, TypeError, AttributeError, nbformat.ValidationError) as error:
        raise ValueError(f"{path.name} is not a notebook of today's format ({str(error).splitlines()[0]})") from None


def run(notebook, folder):
    """Run all cells in a fresh kernel, from their own folder and with an empty user's folder. The notebook is changed and returned."""
    from nbclient import NotebookClient
    from traitlets.config import Config
    config = Config()
    config.KernelManager.transport_encryption = "auto"       # else each kernel warns that it is without
    for cell in notebook.cells:
        if cell.cell_type == "code":
            cell.outputs, cell.execution_count = [], None
    with tempfile.TemporaryDirectory(ignore_cleanup_errors=True) as empty:
        own = Path(empty) / "own"
        own.mkdir()
        os.environ["JUPYTER_PREFER_ENV_PATH"] = "1"          # this environment's kernel, whatever else the machine has
        client = NotebookClient(notebook, kernel_name="python3", config=config, timeout=300, allow_errors=True, record_timing=False,
                                store_widget_state=False, coalesce_streams=True, resources={"metadata": {"path": str(folder)}})
        client.execute(env={**os.environ, "KITCHENLIB_HOME": str(own), "IPYTHONDIR": str(Path(empty) / "ipython")})
    return notebook


def tidy(notebook):
    """Take out all that differs from run to run or from machine to machine. The notebook is changed and returned."""
    without_views(notebook)
    own = {name: value for name, value in notebook.metadata.items() if isinstance(value, (str, int))}
    notebook.metadata.clear()
    heading = next((found[1] for cell in notebook.cells if (found := re.match(r"# +(.+?)\s*$", cell.source, re.MULTILINE))), None)
    notebook.metadata.update(own, kernelspec=dict(KERNEL), language_info={"name": "python"}, **({"title": heading} if heading else {}))
    for cell in notebook.cells:
        for name in set(cell.metadata) - set(KEPT):
            del cell.metadata[name]
        for output in cell.get("outputs", ()):
            if "metadata" in output:
                output.metadata.clear()
            if output.output_type == "error":                # a traceback names files of this machine
                output.traceback = [f"{output.ename}: {output.evalue}"]
    return notebook


def written(notebook):
    import nbformat
    return nbformat.writes(notebook).rstrip("\n") + "\n"


def texts(cell):
    """What a code cell's outputs say, pictures apart."""
    said = []
    for output in cell.get("outputs", ()):
        if output.output_type == "error":
            said.append(f"{output.ename}: {output.evalue}")
        elif output.output_type == "stream":
            said.append(output.text)
        else:
            said += [DATA_URI.sub("PICTURE", data) for kind, data in sorted(output.data.items()) if kind.startswith("text/")]
    return said


def spoken_troubles(notebook):
    """What a run said that must not be stored: errors, warnings, addresses in memory, places on this machine."""
    found = []
    for number, cell in enumerate(notebook.cells, 1):
        for output in cell.get("outputs", ()):
            if output.output_type == "error" and "raises-exception" not in cell.metadata.get("tags", ()):
                found.append(f"cell {number} stops: {output.ename}: {output.evalue}")
            if output.output_type == "stream" and output.name == "stderr":
                found.append(f"cell {number} warns: {' '.join(output.text.split())[:200]}")
        for text in texts(cell):
            for place in (r"0x[0-9a-f]{6,}", re.escape(str(LESSONS.parent)), re.escape(str(Path.home())) + r"[\\/]"):
                if strange := re.search(place, text):
                    found.append(f"cell {number} shows {strange[0]!r}, which is another one elsewhere")
    return found


def structure(notebook):
    """What is wrong with a stored page as it stands, without running it -> sentences."""
    import nbformat
    try:
        nbformat.validate(notebook)
    except nbformat.ValidationError as error:
        return [f"not valid: {str(error).splitlines()[0]}"]
    found, expected = [], 0
    if notebook.metadata.get("kernelspec") != KERNEL or notebook.metadata.get("language_info") != {"name": "python"}:
        found.append("its kernel is not the plain python3")
    if "widgets" in notebook.metadata:
        found.append("it stores the state of widgets")
    for number, cell in enumerate(notebook.cells, 1):
        if cell.cell_type != "code":
            if "\\$" in cell.source or "&#36;" in cell.source:
                found.append(f"cell {number} writes a dollar sign, which JupyterLab takes for a formula however it is escaped: write USD")
            continue
        if not cell.source.strip():
            found.append(f"cell {number} is empty")
            continue
        expected += 1
        if cell.execution_count != expected:
            found.append(f"cell {number} carries the count {cell.execution_count}, not {expected}: not run in order from a fresh kernel")
        if any(VIEW in output.get("data", ()) for output in cell.outputs):
            found.append(f"cell {number} stores a live view")
        kinds = {kind for output in cell.outputs for kind in output.get("data", ())}
        if "explorer" in cell.metadata.get("tags", ()) and not {"text/plain", "text/html", "image/png"} <= kinds:
            found.append(f"cell {number} is an explorer without a stored picture and its words")
    return found
