"""The command line: the same plan without a window. No Qt is imported here.

`plan JOB [--json]`, `schema job|machine|rules`, `check-profile FILE`, `rules [FILE]`. Exit codes: 0
a plan (or a clean profile, or usable rules), 1 the plan has a stop check (or the profile a finding,
or a shop's rule cannot be used), 2 bad input, told on standard error with the field and the mend.
"""

import argparse
import json
import os
import sys
from collections.abc import Iterator, Sequence
from pathlib import Path

from fitplanner import paths
from fitplanner.documents.base import Document, Figure
from fitplanner.documents.codec import load_machine
from fitplanner.documents.errors import DocumentError
from fitplanner.documents.job import Job
from fitplanner.documents.machine import MachineProfile
from fitplanner.library.rules import load_rules, published_error
from fitplanner.library.rules.document import RuleFile
from fitplanner.library.slips.finding import Finding
from fitplanner.planning.evaluate import IncompleteError, UnsolvableError, evaluate
from fitplanner.planning.profile_check import check_profile
from fitplanner.quantities import UnitSystem, fill
from fitplanner.report.plan_json import plan_text_json
from fitplanner.report.rules import rules_text
from fitplanner.report.text import plan_text
from fitplanner.store.files import StoreError, open_job, read_text

_DONE, _STOPPED, _BAD_INPUT = 0, 1, 2
_CODES = "Exit codes: 0 {fine}, 1 {found}, 2 bad input, 3 packages are missing."


def main(arguments: Sequence[str] | None = None) -> int:
    """Run one verb and return the exit code."""
    options = _parser().parse_args(arguments)
    text: str
    code: int
    try:
        text, code = options.run(options)
    except StoreError as refused:
        print(f"fitplanner: {refused}", file=sys.stderr)
        return _BAD_INPUT
    except (DocumentError, IncompleteError, UnsolvableError) as refused:
        print(f"fitplanner: {options.file}: {refused}", file=sys.stderr)
        return _BAD_INPUT
    try:
        print(text.removesuffix("\n"), flush=True)
    except BrokenPipeError:
        # Whoever read has enough, as `head` has. What is still buffered must go somewhere, or
        # Python complains at its end.
        os.dup2(os.open(os.devnull, os.O_WRONLY), sys.stdout.fileno())
    return code


def _parser() -> argparse.ArgumentParser:
    parser = argparse.ArgumentParser(
        prog="fitplanner", description="Plan how a motorcycle is lowered to fit its rider."
    )
    verbs = parser.add_subparsers(required=True, metavar="VERB")
    plan = verbs.add_parser(
        "plan",
        help="work out a job file",
        description="Work out a job and print its plan.",
        epilog=_CODES.format(fine="a plan", found="a plan with a stop check"),
    )
    plan.add_argument(
        "file", type=Path, metavar="JOB", help="job file, for example resources/demo.fit.json"
    )
    plan.add_argument("--json", action="store_true", help="print the plan as JSON")
    _add_units(plan, "units of the printed text (JSON is always in mm, kg, N)")
    plan.set_defaults(run=_plan)
    schema = verbs.add_parser(
        "schema",
        help="print the JSON Schema of a file format",
        description="Print the JSON Schema of a file format.",
    )
    schema.add_argument("document", choices=tuple(_SCHEMAS), help="which format")
    schema.set_defaults(run=_schema)
    check = verbs.add_parser(
        "check-profile",
        help="look for slips in a machine profile",
        description="Look for slips in a machine profile: units, sums, sags, springs, stand.",
        epilog=_CODES.format(fine="no slip", found="findings"),
    )
    check.add_argument(
        "file", type=Path, metavar="PROFILE", help="profile, such as those in resources/profiles"
    )
    check.set_defaults(run=_check_profile)
    rules = verbs.add_parser(
        "rules",
        help="print the rules that fill in unknown figures",
        description="Print the rules that fill in a machine's unknown figures: statement, value, "
        "spread, source, and how far the literature is off.",
        epilog=_CODES.format(fine="rules", found="a rule of the file cannot be used"),
    )
    rules.add_argument(
        "file",
        type=Path,
        nargs="?",
        metavar="FILE",
        help="a shop's own rules (default: rules.json among the user's data, where there is one)",
    )
    _add_units(rules, "units in which the literature's figures are shown")
    rules.set_defaults(run=_rules)
    return parser


def _add_units(parser: argparse.ArgumentParser, help: str) -> None:
    parser.add_argument(
        "--units",
        type=UnitSystem,
        choices=list(UnitSystem),
        default=UnitSystem.METRIC,
        help=help,
    )


_SCHEMAS: dict[str, type[Document]] = {"job": Job, "machine": MachineProfile, "rules": RuleFile}


def _plan(options: argparse.Namespace) -> tuple[str, int]:
    job = open_job(options.file)
    plan = evaluate(job)
    text = plan_text_json(plan, job) if options.json else plan_text(plan, job, options.units)
    return text, _STOPPED if plan.stopped_by else _DONE


def _schema(options: argparse.Namespace) -> tuple[str, int]:
    return json.dumps(_SCHEMAS[options.document].model_json_schema(), indent=2), _DONE


def _rules(options: argparse.Namespace) -> tuple[str, int]:
    if options.file is not None:
        read_text(options.file)  # refuses a file that is not there, as the other verbs do
    rules = load_rules(options.file or paths.rules_file())
    for message in rules.broken:
        print(f"fitplanner: {message}", file=sys.stderr)
    rows = [(rule, published_error(rule)) for rule in rules.rules]
    return rules_text(rows, options.units), _STOPPED if rules.broken else _DONE


def _check_profile(options: argparse.Namespace) -> tuple[str, int]:
    findings = check_profile(load_machine(read_text(options.file)))
    if not findings:
        return "No slip found.", _DONE
    lines = (line for finding in findings for line in _said(finding))
    return fill("\n".join(lines), UnitSystem.METRIC), _STOPPED


def _said(finding: Finding) -> Iterator[str]:
    """A finding in lines; of its likely mend, what to write where in the file."""
    yield f"{finding.severity}: {finding.text} {finding.mend}"
    for change in finding.changes:
        value = change.value
        if isinstance(value, Figure):
            value = value.value
        elif isinstance(value, Document):
            value = value.model_dump(mode="json")
        yield f"    likely mend: {'.'.join(change.address)} = {json.dumps(value)}"
