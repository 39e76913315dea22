"""The live answer box: a field with its name and a button, or one button a word; verdict, worked steps, all in words."""
import weakref
from pathlib import Path

import anywidget
import traitlets

from . import answers

HERE = Path(__file__).parent
_boxes = weakref.WeakSet()


class AnswerView(anywidget.AnyWidget):
    _esm, _css = HERE / "answer_box.js", HERE / "answer_box.css"
    title = traitlets.Unicode().tag(sync=True)
    question = traitlets.Unicode().tag(sync=True)            # with this student's numbers; empty where the lesson's text has them
    label = traitlets.Unicode().tag(sync=True)
    words = traitlets.List().tag(sync=True)                  # a button each; empty for a typed answer
    sent = traitlets.Dict().tag(sync=True)                   # {"turn": n, "text": what was typed}, from the page
    heard = traitlets.Int().tag(sync=True)                   # the turn answered last
    typed = traitlets.Unicode().tag(sync=True)               # what was judged last
    verdict = traitlets.List().tag(sync=True)                # [word, hint], or empty
    steps = traitlets.List().tag(sync=True)
    note = traitlets.Unicode().tag(sync=True)
    asks_who = traitlets.Bool().tag(sync=True)               # on the kitchen network
    who = traitlets.List().tag(sync=True)                    # [student, class] once they are known
    said = traitlets.Dict().tag(sync=True)                   # {"turn": n, "who": [student, class]}, from the page
    who_trouble = traitlets.Unicode().tag(sync=True)
    renew = staticmethod(lambda: None)                       # shows question and verdict of who answers now

    def __init__(self, **more):
        super().__init__(asks_who=answers.by_visitors(), who=_who(), **more)
        _boxes.add(self)

    @traitlets.observe("sent")
    def _hear(self, change):
        self.heard = int(change["new"].get("turn") or 0)

    @traitlets.observe("said")
    def _meet(self, change):
        """A visitor says who they are: all boxes of the page follow."""
        try:
            answers.visit(*(str(part) for part in change["new"]["who"]))
        except (ValueError, TypeError) as error:
            self.who_trouble = str(error)
            return
        for box in list(_boxes):
            with box.hold_sync():
                box.who_trouble = ""
                if box.who != _who():
                    box.who = _who()
                    box.renew()


def _who():
    return [part for part in answers.who() if part]
