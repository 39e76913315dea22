"""The live answer box: a field with its name and a button, or one button a word; verdict, worked steps, all in words."""
from pathlib import Path

import anywidget
import traitlets

HERE = Path(__file__).parent


class AnswerView(anywidget.AnyWidget):
    _esm, _css = HERE / "answer_box.js", HERE / "answer_box.css"
    title = traitlets.Unicode().tag(sync=True)
    question = traitlets.Unicode().tag(sync=True)            # with this student's numbers; empty where the lesson's text has them
    label = traitlets.Unicode().tag(sync=True)
    words = traitlets.List().tag(sync=True)                  # a button each; empty for a typed answer
    sent = traitlets.Dict().tag(sync=True)                   # {"turn": n, "text": what was typed}, from the page
    typed = traitlets.Unicode().tag(sync=True)               # what was judged last
    verdict = traitlets.List().tag(sync=True)                # [word, hint], or empty
    steps = traitlets.List().tag(sync=True)
    note = traitlets.Unicode().tag(sync=True)
