"""Papers in words: bench sheet, specialist's order, parts list, fit sheet, proof."""

from fitplanner.report.papers.bench import bench_sheet
from fitplanner.report.papers.fit import fit_sheet
from fitplanner.report.papers.order import specialist_order
from fitplanner.report.papers.paper import Paper
from fitplanner.report.papers.parts import parts_list
from fitplanner.report.papers.proof import Proved, proof_paper
from fitplanner.report.papers.write import Writer

__all__ = [
    "Paper",
    "Proved",
    "Writer",
    "bench_sheet",
    "fit_sheet",
    "parts_list",
    "proof_paper",
    "specialist_order",
]
