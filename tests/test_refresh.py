"""Stored pages: what refreshing writes, and that every page in the repository is fresh in its make. nbval compares its words."""
import json

import nbformat
import pytest

from kitchenlib.teaching import refresh
from kitchenlib.teaching.hooks import VIEW

text, code = nbformat.v4.new_markdown_cell, nbformat.v4.new_code_cell
STORED = refresh.pages()


def write(path, *cells, **metadata):
    notebook = nbformat.v4.new_notebook(cells=list(cells), metadata=metadata)
    path.write_text(nbformat.writes(notebook), encoding="utf-8")
    return path


@pytest.fixture(scope="module")
def refreshed(tmp_path_factory):
    """A lesson with all that must not be stored, refreshed once -> (path, what the first refresh gave, its notebook)."""
    path = write(
        tmp_path_factory.mktemp("lessons") / "10_sample.ipynb", text("# Sample"),
        code("import os, ipywidgets\nfrom kitchenlib.files import home\n(sorted(os.listdir(home())), 'KITCHENLIB_HOME' in os.environ)"),
        code("class Panel:\n    def _repr_mimebundle_(self, **_):\n"
             "        return {'text/plain': '3 kPa', 'text/html': '<p>3 kPa</p>', 'image/png': 'iVBORw0KGgo=',\n"
             f"                '{VIEW}': {{'version_major': 2, 'version_minor': 0, 'model_id': ipywidgets.IntText().model_id}}}}\nPanel()",
             metadata={"tags": ["explorer"], "ExecuteTime": {"end_time": "2020"}, "scrolled": True}),
        code("print('a'); print('b')"), code("1 / 0", metadata={"tags": ["raises-exception"]}),
        title="Some other lesson", kernelspec={"name": "venv-of-mine", "display_name": "mine"}, widgets={"state": {}}, toc={"base": 1})
    content = json.loads(path.read_text(encoding="utf-8"))
    del content["cells"][0]["id"]
    content["cells"][2]["id"] = content["cells"][1]["id"]
    path.write_text(json.dumps(content), encoding="utf-8")
    return path, refresh.refresh(path), refresh.load(path)


def test_a_refreshed_page_is_sound(refreshed):
    path, given, notebook = refreshed
    assert given == ([], True)
    assert refresh.structure(notebook) == []
    nbformat.validate(notebook)
    assert [cell.execution_count for cell in notebook.cells if cell.cell_type == "code"] == [1, 2, 3, 4]


def test_what_differs_from_machine_to_machine_is_not_stored(refreshed):
    notebook = refreshed[2]
    assert notebook.metadata == {"title": "Sample", "kernelspec": refresh.KERNEL, "language_info": {"name": "python"}}
    assert [dict(cell.metadata) for cell in notebook.cells] == [{}, {}, {"tags": ["explorer"]}, {}, {"tags": ["raises-exception"]}]
    assert set(notebook.cells[2].outputs[0].data) == {"text/plain", "text/html", "image/png"}
    assert notebook.cells[4].outputs[0].traceback == ["ZeroDivisionError: division by zero"]


def test_lessons_run_with_an_empty_folder_of_their_own(refreshed):
    assert refreshed[2].cells[1].outputs[0].data["text/plain"] == "([], True)"


def test_prints_are_one_output(refreshed):
    assert [output.text for output in refreshed[2].cells[3].outputs] == ["a\nb\n"]


def test_ids_are_one_each_and_the_same_at_every_load(refreshed):
    ids = [cell.id for cell in refreshed[2].cells]
    assert len(set(ids)) == len(ids) and ids == [cell.id for cell in refresh.load(refreshed[0]).cells]


def test_a_second_refresh_writes_nothing(refreshed):
    path = refreshed[0]
    before = path.read_bytes(), path.stat().st_mtime_ns
    assert refresh.refresh(path) == ([], False)
    assert (path.read_bytes(), path.stat().st_mtime_ns) == before


def test_check_names_the_stale_cell_and_writes_nothing(refreshed, tmp_path):
    content = refreshed[0].read_text(encoding="utf-8")
    path = tmp_path / "10_sample.ipynb"
    path.write_text(content.replace('"3 kPa"', '"4 kPa"').replace("iVBORw0KGgo=", "AAAA"), encoding="utf-8")
    stale = path.read_text(encoding="utf-8")
    assert refresh.check(path) == (["cell 3: stored is '4 kPa', now it says '3 kPa'"], False)
    assert path.read_text(encoding="utf-8") == stale
    path.write_text(content.replace("iVBORw0KGgo=", "AAAA"), encoding="utf-8")         # another picture alone is not stale
    assert refresh.check(path) == ([], False)


def test_of_long_words_check_shows_where_they_differ(tmp_path):
    path = write(tmp_path / "a.ipynb", code("print(100 * 'long ' + '3 kPa')"))
    assert refresh.refresh(path) == ([], True)
    path.write_text(path.read_text(encoding="utf-8").replace("long 3 kPa", "long 4 kPa"), encoding="utf-8")
    (said,), _ = refresh.check(path)
    assert "long 4 kPa', now it says '... " in said and said.endswith("long 3 kPa'") and len(said) < 150


def test_what_must_not_be_shown_stops_the_refresh(tmp_path):
    path = write(tmp_path / "a.ipynb", code("raise ValueError('too hot')"), code("import warnings; warnings.warn('soon gone')"),
                 code("object()"), code("import kitchenlib; kitchenlib.__file__"))
    before = path.read_bytes()
    troubles, changed = refresh.refresh(path)
    assert not changed and path.read_bytes() == before
    assert [" ".join(t.replace(":", "").split()[:3]) for t in troubles] == ["cell 1 stops", "cell 2 warns", "cell 3 shows", "cell 4 shows"]
    assert "too hot" in troubles[0] and "soon gone" in troubles[1]


@pytest.mark.parametrize("content", [
    "", "{", "[]", '{"cells": []}', '{"cells": [{"source": "x"}], "nbformat": 4, "nbformat_minor": 5, "metadata": {}}'])
def test_what_is_no_notebook_is_one_sentence(tmp_path, content):
    path = tmp_path / "10_torn.ipynb"
    path.write_text(content, encoding="utf-8")
    with pytest.raises(ValueError, match="10_torn.ipynb is not a notebook"):
        refresh.load(path)


@pytest.mark.parametrize("change, said", [
    (lambda nb: nb.cells[1].update(execution_count=None), "cell 2 carries the count None, not 1"),
    (lambda nb: nb.cells[2].update(execution_count=7), "cell 3 carries the count 7, not 2"),
    (lambda nb: nb.cells[2].outputs[0].data.update({VIEW: {}}), "stores a live view"),
    (lambda nb: nb.cells[2].outputs[0].data.pop("image/png"), "without a stored picture"),
    (lambda nb: nb.metadata.kernelspec.update(name="mine"), "plain python3"),
    (lambda nb: nb.metadata.update(widgets={}), "state of widgets"),
    (lambda nb: nb.cells[3].update(source=" "), "cell 4 is empty"),
    (lambda nb: nb.cells[0].update(source="costs \\$3"), "dollar sign"),
    (lambda nb: nb.cells[0].pop("source"), "not valid"),
])
def test_a_stale_page_is_noticed_without_running_it(refreshed, change, said):
    notebook = refresh.load(refreshed[0])
    change(notebook)
    troubles = refresh.structure(notebook)
    assert any(said in trouble for trouble in troubles), troubles


def test_lessons_are_found_by_number_and_name(tmp_path):
    (tmp_path / "answers").mkdir()
    for name in ("10_gel_strength", "11_setting", "answers/10_gel_strength"):
        write(tmp_path / f"{name}.ipynb")
    found = {word: [path.relative_to(tmp_path).as_posix() for path in refresh.find([word], tmp_path)]
             for word in ("10", "10_gel_strength", "11_setting")}
    assert found["10"] == found["10_gel_strength"] == ["10_gel_strength.ipynb", "answers/10_gel_strength.ipynb"]
    assert found["11_setting"] == ["11_setting.ipynb"] and len(refresh.find([], tmp_path)) == 3
    with pytest.raises(LookupError, match="did you mean '10_gel_strength'"):
        refresh.find(["10_gel_strenth"], tmp_path)


@pytest.mark.parametrize("path", STORED, ids=[f"{path.parent.name}/{path.stem}" for path in STORED])
def test_every_page_in_the_repository_is_fresh_in_its_make(path):
    notebook = refresh.load(path)
    assert refresh.structure(notebook) + refresh.spoken_troubles(notebook) == []
    assert refresh.written(refresh.tidy(notebook)) == path.read_text(encoding="utf-8"), f"run: python -m kitchenlib refresh {path.stem}"
