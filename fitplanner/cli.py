"""The command line: the same plan without a window. No Qt is imported here.

`plan JOB [--json]`, `schema job|machine`, `check-profile FILE`. Exit codes: 0 a plan (or a clean
profile), 1 the plan has a stop check (or the profile has a finding), 2 bad input, told on
standard error with the field and the mend.
"""

import argparse
import json
import sys
from collections.abc import Sequence
from pathlib import Path

from fitplanner.documents.codec import load_machine
from fitplanner.documents.errors import DocumentError
from fitplanner.documents.job import Job
from fitplanner.documents.machine import MachineProfile
from fitplanner.planning.evaluate import IncompleteError, UnsolvableError, evaluate
from fitplanner.planning.profile_check import check_profile
from fitplanner.quantities import UnitSystem, fill
from fitplanner.report.plan_json import plan_text_json
from fitplanner.report.text import plan_text
from fitplanner.store.files import StoreError, open_job, read_text

VERBS = ("plan", "schema", "check-profile")

_DONE, _STOPPED, _BAD_INPUT = 0, 1, 2


def main(arguments: Sequence[str] | None = None) -> int:
    """Run one verb and return the exit code."""
    options = _parser().parse_args(arguments)
    try:
        code: int = options.run(options)
    except StoreError as refused:
        print(f"fitplanner: {refused}", file=sys.stderr)
        return _BAD_INPUT
    except (DocumentError, IncompleteError, UnsolvableError) as refused:
        print(f"fitplanner: {options.file}: {refused}", file=sys.stderr)
        return _BAD_INPUT
    return code


def _parser() -> argparse.ArgumentParser:
    parser = argparse.ArgumentParser(
        prog="fitplanner", description="Plan how a motorcycle is lowered to fit its rider."
    )
    verbs = parser.add_subparsers(required=True, metavar="VERB")
    plan = verbs.add_parser("plan", help="work out a job file")
    plan.add_argument("file", type=Path, metavar="JOB")
    plan.add_argument("--json", action="store_true", help="print the plan as JSON")
    plan.add_argument(
        "--units",
        type=UnitSystem,
        choices=list(UnitSystem),
        default=UnitSystem.METRIC,
        help="units of the printed text (JSON is always in mm, kg, N)",
    )
    plan.set_defaults(run=_plan)
    schema = verbs.add_parser("schema", help="print the JSON Schema of a file format")
    schema.add_argument("document", choices=("job", "machine"))
    schema.set_defaults(run=_schema)
    check = verbs.add_parser("check-profile", help="look for slips in a machine profile")
    check.add_argument("file", type=Path)
    check.set_defaults(run=_check_profile)
    return parser


def _plan(options: argparse.Namespace) -> int:
    job = open_job(options.file)
    plan = evaluate(job)
    if options.json:
        print(plan_text_json(plan, job))
    else:
        print(plan_text(plan, job, options.units), end="")
    return _STOPPED if plan.stopped_by else _DONE


def _schema(options: argparse.Namespace) -> int:
    document = Job if options.document == "job" else MachineProfile
    print(json.dumps(document.model_json_schema(), indent=2))
    return _DONE


def _check_profile(options: argparse.Namespace) -> int:
    findings = check_profile(load_machine(read_text(options.file)))
    for finding in findings:
        words = fill(f"{finding.text} {finding.mend}", UnitSystem.METRIC)
        print(f"{finding.severity}: {words}")
    if not findings:
        print("No slip found.")
    return _STOPPED if findings else _DONE
