"""What JupyterLab calls before it saves a notebook, and a page before it starts its kernel."""
import re

import tornado.web
from latex2mathml.converter import convert

from ..units import PARTED

VIEW = "application/vnd.jupyter.widget-view+json"


def strip_views(model, **_):
    """Keep live widget views out of a saved notebook: without their kernel they would only show 'model not found'."""
    if model.get("type") == "notebook" and model["content"].get("nbformat") == 4:
        without_views(model["content"])


def without_views(notebook):
    """Take the views, and the widgets' state, out of a notebook (dict or node); picture and words stay. The notebook is changed."""
    notebook["metadata"].pop("widgets", None)
    for cell in notebook["cells"]:
        for output in cell.get("outputs", ()):
            if len(output.get("data", ())) > 1:
                output["data"].pop(VIEW, None)


# --- pages ---------------------------------------------------------------------------------------------------------------------
# Code first, so that a price or a variable inside it stays as written; a `$` is a formula only where JupyterLab takes it for one too.
_PARTS = re.compile(
    r"(?P<fence>^[ ]{0,3}(?P<mark>`{3,}|~{3,})[^\n]*\n(?:.*?^[ ]{0,3}(?P=mark)[`~]*[ \t]*$|.*\Z))"
    r"|(?P<span>(?<!`)(?P<ticks>`+)(?!`).+?(?<!`)(?P=ticks)(?!`))"
    r"|(?P<escaped>\\[\\$`])"
    r"|\$\$(?P<block>.+?)\$\$"
    r"|\$(?P<inline>(?:\\.|(?!\n\s*\n)[^$\\])+?)\$",
    re.DOTALL | re.MULTILINE)
# Markdown would read these inside the MathML as emphasis, code, links or table cells.
_LITERAL = {ord(mark): f"&#{ord(mark)};" for mark in "*_`~[]|\\$"}


def mathml(text):
    """Markdown with its $formulas$ as MathML, which browsers draw without a script; code stays, and a formula that cannot be read too."""
    def formula(found):
        tex = found["block"] or found["inline"]
        if tex is None:
            return found[0]
        try:
            made = convert(tex.strip(), display="block" if found["block"] else "inline")
        except Exception:                                    # the converter raises kinds of its own, and plain IndexErrors
            return found[0]
        return re.sub(r">[^<]+<", lambda part: part[0].translate(_LITERAL), made)
    return _PARTS.sub(formula, text)


def offline(page_config, **_):
    """Point the page's script for formulas at nothing: it would ask the net for one, and the formulas are drawn already."""
    return {**page_config, "fullMathjaxUrl": "data:text/javascript,//"}


def before_page(handler, notebook, cwd):
    """Prepare a notebook for its page: the cookie that lets a closed page end its kernel, formulas, a title. Answers have no page."""
    if cwd:
        raise tornado.web.HTTPError(404, "Only the lessons themselves have pages.")
    handler.xsrf_token                                       # reading it sets the cookie
    notebook.metadata["parted"] = PARTED.pattern             # for the page's script
    for cell in notebook.cells:
        if cell.cell_type == "markdown":
            if "title" not in notebook.metadata and (heading := re.search(r"^# +(.+?)\s*$", cell.source, re.MULTILINE)):
                notebook.metadata["title"] = heading[1]
            cell.source = mathml(cell.source)
    return notebook
