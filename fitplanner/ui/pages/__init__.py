"""The pages that show a plan; they compute nothing.

`options` and `unknown` are imported when they are first looked at.
"""

from fitplanner.ui.pages.checks import ChecksPage
from fitplanner.ui.pages.curves import CurvesPage
from fitplanner.ui.pages.headline import Headline
from fitplanner.ui.pages.heights import HeightsPage
from fitplanner.ui.pages.page import Page
from fitplanner.ui.pages.springs import SpringsPage
from fitplanner.ui.pages.why import WhyPage
from fitplanner.ui.pages.work import WorkPage

__all__ = [
    "ChecksPage",
    "CurvesPage",
    "Headline",
    "HeightsPage",
    "Page",
    "SpringsPage",
    "WhyPage",
    "WorkPage",
]
