"""The house: who may use whom, what lies at the top, what a public model says of itself, what no file may hold."""
import ast
import inspect
import re
import subprocess
import sys
from pathlib import Path

import pytest

from doors import models

ROOT = Path(__file__).resolve().parent.parent
LAYERS = (("fronts", "units"), ("files", "tables"), ("spread",), ("mixes",),
          ("weighing", "instruments", "solutions", "acidity", "calcium", "conduction", "heat", "drops", "discs"), ("room", "rules", "cautions"),
          ("gels", "setting", "pearls", "alginate", "spheres", "baths", "liquids", "emulsions", "keeping", "cryo", "pieces", "nitrogen"),
          ("bench", "fits", "order", "dish", "service"),
          ("checks",), ("teaching",))
ORDER = [room for layer in LAYERS for room in layer]                 # within a layer too only leftwards
TOP = {"README.md", "DEVELOPERS.md", "requirements.txt", "pyproject.toml", "lessons", "kitchenlib", "tests", "datasets"}
PLOTTING = {"matplotlib", "ipywidgets", "IPython", "pandas", "anywidget"}
TEXT = {".py", ".md", ".csv", ".toml", ".txt", ".js", ".css", ".j2", ".cfg", ".json", ".ipynb"}


def tracked():
    """Files that git tracks; all files where this is no repository."""
    listed = subprocess.run(["git", "-C", str(ROOT), "ls-files"], capture_output=True, text=True)
    paths = map(ROOT.joinpath, listed.stdout.splitlines()) if listed.returncode == 0 else ROOT.rglob("*")
    return [path for path in paths if path.is_file()]


def imports(path):
    """(dotted name, line) of all that a module of kitchenlib imports, relative names made whole."""
    package = path.relative_to(ROOT).with_suffix("").parts[:-1]
    for node in ast.walk(ast.parse(path.read_text(encoding="utf-8"))):
        if isinstance(node, ast.Import):
            yield from ((alias.name, node.lineno) for alias in node.names)
        elif isinstance(node, ast.ImportFrom):
            base = ".".join([*package[:len(package) - node.level + 1],
                             *([node.module] if node.module else [])]) if node.level else node.module
            yield from ((f"{base}.{alias.name}", node.lineno) for alias in node.names)


def modules():
    return sorted((ROOT / "kitchenlib").rglob("*.py"))


def test_every_module_has_its_place_in_the_order():
    rooms = {p.relative_to(ROOT / "kitchenlib").parts[0].removesuffix(".py") for p in modules()} - {"__init__", "__main__"}
    assert rooms <= set(ORDER), f"say in tests/test_house.py and DEVELOPERS.md where these belong: {sorted(rooms - set(ORDER))}"


@pytest.mark.parametrize("path", modules(), ids=lambda p: p.relative_to(ROOT).as_posix())
def test_imports_go_only_leftwards_and_plotting_stays_in_teaching(path):
    room = path.relative_to(ROOT / "kitchenlib").parts[0].removesuffix(".py")
    for name, line in imports(path):
        used = name.split(".")
        if room not in ("teaching", "__main__"):
            assert used[0] not in PLOTTING, f"{path.name} line {line}: only kitchenlib.teaching may use {used[0]}"
        if used[0] == "kitchenlib" and room in ORDER and len(used) > 1 and used[1] in ORDER and used[1] != room:
            assert ORDER.index(used[1]) < ORDER.index(room), f"{path.name} line {line}: {room} may not use {used[1]}"


def test_the_developers_page_draws_every_room_in_this_order():
    text = " ".join((ROOT / "DEVELOPERS.md").read_text(encoding="utf-8").split())
    drawn = re.search(r"Imports go only leftwards: `(.*?)`", text)[1]
    assert [room for room in re.split(r"[,<\s]+", drawn) if room] == ORDER


def test_fronts_knows_only_numpy_and_scipy():
    path = ROOT / "kitchenlib" / "fronts.py"
    if path.exists():
        assert {name.split(".")[0] for name, _ in imports(path)} <= {"numpy", "scipy", "typing", "math", "bisect"}


def test_import_pulls_in_no_plotting():
    code = ("import sys, kitchenlib.gels, kitchenlib.heat, kitchenlib.checks; "
            f"print(*sorted({PLOTTING!r} & set(sys.modules)))")
    out = subprocess.run([sys.executable, "-c", code], capture_output=True, text=True, check=True)
    assert out.stdout.split() == []


def test_top_level_holds_what_the_design_fixes():
    tops = {p.relative_to(ROOT).parts[0] for p in tracked()}
    assert {t for t in tops if not t.startswith(".")} <= TOP


def test_files_hold_no_leftovers():
    machine = re.compile(r"(?<![\w.~/-])/(work|root|tmp/w|home/\w+)/|C:\\Users\\")
    host = re.compile(r"https?://(?!127\.0\.0\.1|localhost)[\w.]*(pypi|npmjs|debian|pythonhosted)", re.I)
    unfinished = re.compile(r"\b(TO" + r"DO|FIX" + r"ME|X" + r"XX)\b")
    found = []
    for path in tracked():
        if path.suffix not in TEXT or path == Path(__file__).resolve():
            continue
        for number, line in enumerate(path.read_text(encoding="utf-8").splitlines(), 1):
            if machine.search(line) or host.search(line) or (path.suffix != ".ipynb" and unfinished.search(line)):
                found.append(f"{path.relative_to(ROOT)} line {number}: {line.strip()[:80]}")
            if path.suffix == ".py" and len(line) > 160:
                found.append(f"{path.relative_to(ROOT)} line {number}: {len(line)} characters")
    assert not found, "\n".join(found)


def test_files_are_opened_with_their_encoding():
    found = []
    for path in [*modules(), *(ROOT / "tests").rglob("*.py")]:
        for node in ast.walk(ast.parse(path.read_text(encoding="utf-8"))):
            if not isinstance(node, ast.Call):
                continue
            name = node.func.attr if isinstance(node.func, ast.Attribute) else getattr(node.func, "id", "")
            words = {k.arg for k in node.keywords}
            modes = [a.value for a in node.args if isinstance(a, ast.Constant) and isinstance(a.value, str)]
            if (name in ("read_text", "write_text") and isinstance(node.func, ast.Attribute) and "encoding" not in words
                    and getattr(node.func.value, "id", "") != "tables" and not (name == "read_text" and node.args)):
                found.append(f"{path.name} line {node.lineno}: {name}")
            if name == "open" and isinstance(node.func,
                                             ast.Name) and "encoding" not in words and not any("b" in mode for mode in modes[-1:]):
                found.append(f"{path.name} line {node.lineno}: open")
    assert not found, "\n".join(found)


MODELS = {f"{model.__module__.rpartition('.')[2]}.{model.__name__}": model for model in models()}


def spoken(key):
    """What a model's author says of it: the core's docstring; the door writes the ranges below."""
    return inspect.getdoc(MODELS[key].si) or ""


def speaks(key, name, further=2):
    """Whether a model's docstring speaks of an argument, or that of a model to which it points in backticks."""
    if re.search(rf"\b{name}\b", spoken(key)):
        return True
    pointed = {word if word in MODELS else f"{key.partition('.')[0]}.{word}" for word in re.findall(r"`([\w.]+)`", spoken(key))} - {key}
    return further > 0 and any(speaks(other, name, further - 1) for other in pointed & set(MODELS))


@pytest.mark.parametrize("key", MODELS)
def test_model_says_what_it_is_where_it_is_from_and_what_it_takes(key):
    text, model = spoken(key), MODELS[key]
    assert len(text.partition("\n")[0]) > 20, f"{key}: what does it give? Say it in the first line of its docstring"
    assert "Source" in text, f"{key}: name the Source, a key of sources.csv with its place, or the law it is"
    silent = [name for name in model.takes if not speaks(key, name)]
    assert not silent, f"{key} does not say what {', '.join(silent)} is, nor does a model that it points to"
