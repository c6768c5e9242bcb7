"""Trouble spots: what the log tells of a passage, when to return to it and how to drill it.

Pure functions over the log's values and songs; the time and the day are passed in. Rules, figures
and their sources stand at the head of each module: how much trouble a passage gives in `formula`,
which bars belong together in `stretches`, the days in `returning`, the drill in `beginning` and
`drill`, the plan in `plan`.
"""

from chartwalk.trouble.drill import Because, Drill, Elapsed, Event, Marked, Passed, Reason, follow
from chartwalk.trouble.formula import State
from chartwalk.trouble.fullness import Fullness
from chartwalk.trouble.glance import MONTH, WEEK, Glance, History, glance_back, history
from chartwalk.trouble.looped import Drilled
from chartwalk.trouble.plan import Item, Part, make_plan
from chartwalk.trouble.report import Lesson, lesson, page
from chartwalk.trouble.returning import Return
from chartwalk.trouble.review import Records, Review
from chartwalk.trouble.reviewer import Reviewer
from chartwalk.trouble.spots import Spot
from chartwalk.trouble.underway import Underway, Wish
from chartwalk.trouble.words import place_words, return_words, spot_words

__all__ = [
    "MONTH",
    "WEEK",
    "Because",
    "Drill",
    "Drilled",
    "Elapsed",
    "Event",
    "Fullness",
    "Glance",
    "History",
    "Item",
    "Lesson",
    "Marked",
    "Part",
    "Passed",
    "Reason",
    "Records",
    "Return",
    "Review",
    "Reviewer",
    "Spot",
    "State",
    "Underway",
    "Wish",
    "follow",
    "glance_back",
    "history",
    "lesson",
    "make_plan",
    "page",
    "place_words",
    "return_words",
    "spot_words",
]
