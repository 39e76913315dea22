"""A small form in a page: fields with names, one button, one line of answer, a table underneath. Native inputs, so that all have names."""
import html
from pathlib import Path

import anywidget
import traitlets

from . import answers

HERE = Path(__file__).parent


class FormView(anywidget.AnyWidget):
    _esm, _css = HERE / "form.js", HERE / "form.css"
    fields = traitlets.List().tag(sync=True)             # dicts: name, label, hint, options (a list makes it a choice), value; or grid, a table
    #                                                      for each word of the choice `by`: {word: {heading, rows}}, so many rows `empty`
    button = traitlets.Unicode().tag(sync=True)
    sent = traitlets.Dict().tag(sync=True)               # {"turn": n, "values": {name: text, a grid: rows of text}}, from the page
    heard = traitlets.Int().tag(sync=True)               # the turn answered last
    message = traitlets.Unicode().tag(sync=True)
    trouble = traitlets.Unicode().tag(sync=True)
    table = traitlets.List().tag(sync=True)              # rows of text, the heading first


class Form:
    """fields: () -> list of dicts; keep: {name: text} -> message, raising ValueError or OSError with the mend; table: () -> rows."""
    def __init__(self, title, fields, keep, table, button):
        self.title, self.fields, self.keep, self.table, self.button = title, fields, keep, table, button

    def view(self):
        if answers.by_visitors():
            return FormView(message=f"{self.title}: on the kitchen network this is set on the machine that serves the pages.")
        made = FormView(fields=self.fields(), button=self.button, table=self.table())

        def take(change):
            try:
                message, trouble = self.keep(dict(change["new"]["values"])), ""
            except OSError as error:
                what, why = Path(error.filename or "the file").name, error.strerror or error
                message, trouble = "", f"Not kept: {what} cannot be written ({why}). Close it elsewhere, or free its folder; then press again."
            except Exception as error:                   # shown, never swallowed; what was typed stays in the fields
                message, trouble = "", str(error)
            with made.hold_sync():
                made.message, made.trouble, made.table = message, trouble, self.table()
                made.heard = int(change["new"].get("turn") or 0)
        made.observe(take, "sent")
        return made

    def _repr_mimebundle_(self, include=None, exclude=None):
        self.live = self.view()
        words = f"{self.title}: run this cell, and a form stands here."
        return {"text/plain": words, "text/html": f"<p>{html.escape(words)}</p>",
                "application/vnd.jupyter.widget-view+json": {"version_major": 2, "version_minor": 0, "model_id": self.live.model_id}}
