"""The survey's raw table, where it is at hand.

Source: C. C. Gordon et al., 2012 Anthropometric Survey of U.S. Army Personnel, Natick TR-15/007,
2014 (public domain). It lies in a folder beside the project, or where FITPLANNER_SURVEY says.
"""

import csv
import os
from pathlib import Path

import pytest

_BESIDE = Path(__file__).resolve().parents[3] / "shared" / "data" / "ansur2_subset.csv"


@pytest.fixture(scope="module")
def survey() -> list[dict[str, str]]:
    """Its rows; the test is skipped with a reason where the table is absent."""
    path = Path(os.environ.get("FITPLANNER_SURVEY", _BESIDE))
    if not path.is_file():
        pytest.skip("the survey's raw table is not beside the project")
    with path.open(newline="", encoding="utf-8") as file:
        return list(csv.DictReader(file))
