"""Assumption rules: what stands in a profile for a figure that nobody knows yet."""

from fitplanner.library.rules.document import Address, Rule
from fitplanner.library.rules.files import load_rules
from fitplanner.library.rules.published import PublishedError, published_error
from fitplanner.library.rules.rules import Rules

__all__ = ["Address", "PublishedError", "Rule", "Rules", "load_rules", "published_error"]
