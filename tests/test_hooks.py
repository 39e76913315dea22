"""What is done to a notebook before it is saved, and before it becomes a page."""
import nbformat
import pytest
import tornado.web

from kitchenlib.teaching.hooks import VIEW, before_page, mathml, offline, strip_views


def test_a_stored_view_goes_and_picture_and_words_stay():
    outputs = [nbformat.v4.new_output("display_data", {"text/plain": "3 kPa", "image/png": "AAAA", VIEW: {"model_id": "x"}})]
    cells = [nbformat.v4.new_code_cell("x", outputs=outputs)]
    content = nbformat.v4.new_notebook(cells=cells, metadata={"widgets": {"state": {}}, "title": "t"})
    strip_views({"type": "notebook", "content": content}, path="a.ipynb", contents_manager=None)
    assert dict(content.cells[0].outputs[0].data) == {"text/plain": "3 kPa", "image/png": "AAAA"}
    assert content.metadata == {"title": "t"}


def test_a_view_that_is_all_there_is_stays():
    content = nbformat.v4.new_notebook(cells=[nbformat.v4.new_code_cell("x", outputs=[nbformat.v4.new_output("display_data", {VIEW: {}})])])
    strip_views({"type": "notebook", "content": content})
    assert VIEW in content.cells[0].outputs[0].data


@pytest.mark.parametrize("model", [{"type": "file", "content": "x"}, {"type": "directory", "content": None},
                                   {"type": "notebook", "content": {"nbformat": 3, "worksheets": []}}])
def test_other_files_pass(model):
    before = repr(model)
    strip_views(model)
    assert repr(model) == before


@pytest.mark.parametrize("text", [
    "`$x$`", "``a ` $x$``", "```\n$x$\n```", "~~~ python\n$x$ and `$y$`\n~~~", "```\n$never closed$", "price \\$3 and \\$5", "one $ only",
    "$ a\n\nb $", "no formula"])
def test_code_prices_and_plain_text_stay_as_written(text):
    assert mathml(text) == text


@pytest.mark.parametrize("text, parts", [
    ("$x^2$", ['display="inline"', "<msup>"]),
    ("$$\nE = \\frac{a}{b}\n$$", ['display="block"', "<mfrac>"]),
    ("`$x$` $y$ `$z$`", ["`$x$` <math", "<mi>y</mi>", "</math> `$z$`"]),
    ("a $x$\n```\n$y$\n```\n$z$", ["<mi>x</mi>", "\n```\n$y$\n```\n", "<mi>z</mi>"]),
    ("costs \\$3, $x$", ["costs \\$3, <math"])])
def test_formulas_become_mathml(text, parts):
    made = mathml(text)
    assert [part for part in parts if part not in made] == []


def test_what_markdown_would_read_inside_a_formula_is_written_as_entities():
    made = mathml("| $|x|$ | $a_1 * b_2 * c$ |")
    assert made.count("|") == 3 and "*" not in made and "_" not in made


def test_a_formula_that_cannot_be_read_stays():
    assert mathml("$\\frac{$ then $x$").startswith("$\\frac{$ then <math")


class Visit:
    """Stands for the request's handler: reading its token sets the cookie."""
    cookie = False

    @property
    def xsrf_token(self):
        self.cookie = True


def test_a_page_gets_cookie_title_and_formulas():
    visit, text = Visit(), nbformat.v4.new_markdown_cell
    cells = [text("# Gel *strength*\n\n$x$"), text("# Second"), nbformat.v4.new_code_cell("a = '$x$'")]
    page = before_page(visit, nbformat.v4.new_notebook(cells=cells), "")
    assert visit.cookie and page.metadata.title == "Gel *strength*"
    assert "<math" in page.cells[0].source and page.cells[2].source == "a = '$x$'"


def test_a_title_in_the_notebook_comes_first():
    made = nbformat.v4.new_notebook(cells=[nbformat.v4.new_markdown_cell("# Heading")], metadata={"title": "Own"})
    assert before_page(Visit(), made, "").metadata.title == "Own"


def test_answers_have_no_page():
    with pytest.raises(tornado.web.HTTPError) as refused:
        before_page(Visit(), nbformat.v4.new_notebook(), "answers")
    assert refused.value.status_code == 404


def test_a_page_asks_the_net_for_no_formula_script():
    assert "http" not in offline({"fullMathjaxUrl": "https://example.org/x.js", "baseUrl": "/"})["fullMathjaxUrl"]
