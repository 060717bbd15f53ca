"""The command line: the same plan without a window. No Qt is imported here.

`plan JOB [--json]`, `schema job|machine|rules`, `check-profile PATH...`, `migrate-profile FILE...`,
`rules [FILE]`. Exit codes: 0 a plan (or clean profiles, or usable rules), 1 the plan has a stop
check (or a profile has a finding, or a shop's rule cannot be used), 2 bad input, told with the
field and the mend; of several profiles the others are still checked.
"""

import argparse
import json
import os
import sys
from collections.abc import Iterator, Sequence
from pathlib import Path

from fitplanner import paths
from fitplanner.documents import codec
from fitplanner.documents.base import Document
from fitplanner.documents.errors import DocumentError, Problem
from fitplanner.documents.job import Job
from fitplanner.documents.machine import MachineProfile
from fitplanner.documents.plain_text import seen
from fitplanner.library.rules import load_rules, published_error
from fitplanner.library.rules.document import RuleFile
from fitplanner.planning.evaluate import IncompleteError, UnsolvableError, evaluate
from fitplanner.planning.profile_check import check_profile
from fitplanner.quantities import UnitSystem
from fitplanner.report.plan_json import plan_text_json
from fitplanner.report.profile_check import (
    CheckedProfile,
    check_json,
    check_text,
    with_twins,
)
from fitplanner.report.rules import rules_text
from fitplanner.report.text import plan_text
from fitplanner.store.files import StoreError, open_job, read_text, write_text
from fitplanner.store.profile_files import profile_files, read_profile

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
        if text:
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
        help="look for slips in machine profiles",
        description="Look for slips in machine profiles: units, sums, sags, springs, stand. Each "
        "finding is a line with its file; the last line sums up.",
        epilog=_CODES.format(fine="no slip", found="findings"),
    )
    check.add_argument(
        "files",
        type=Path,
        nargs="+",
        metavar="PATH",
        help="profile, or a folder of profiles, such as resources/profiles",
    )
    check.add_argument("--json", action="store_true", help="print what was found as JSON")
    _add_units(check, "units of the printed text (JSON is always in mm, kg, N)")
    check.set_defaults(run=_check_profiles)
    migrate = verbs.add_parser(
        "migrate-profile",
        help="write a machine profile in the present version of its format",
        description="Write a machine profile in the present version of its format.",
        epilog=_CODES.format(fine="done", found="is not used"),
    )
    migrate.add_argument("files", type=Path, nargs="+", metavar="FILE", help="profile")
    migrate.add_argument(
        "--in-place",
        action="store_true",
        help="write each file over itself, whole or not at all; without it, one to standard output",
    )
    migrate.set_defaults(run=_migrate_profiles)
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


def _check_profiles(options: argparse.Namespace) -> tuple[str, int]:
    checked = with_twins([one for path in options.files for one in _checked(path)])
    text = check_json(checked) if options.json else check_text(checked, options.units)
    if any(one.problems for one in checked):
        return text, _BAD_INPUT
    return text, _STOPPED if any(one.findings for one in checked) else _DONE


def _checked(path: Path) -> Iterator[CheckedProfile]:
    """Check a file, or every profile of a folder; what cannot be read is a result too."""
    try:
        files = profile_files(path)
    except StoreError as refused:
        yield _refused(path, refused)
        return
    for file in files:
        try:
            profile = read_profile(file)
        except (StoreError, DocumentError) as refused:
            yield _refused(file, refused)
        else:
            yield CheckedProfile(seen(str(file)), profile, check_profile(profile))


def _refused(path: Path, refused: StoreError | DocumentError) -> CheckedProfile:
    if isinstance(refused, DocumentError):
        problems = refused.problems
    else:
        problems = (Problem((), "", f"{refused.what}. {refused.mend}"),)
    return CheckedProfile(seen(str(path)), problems=problems)


def _migrate_profiles(options: argparse.Namespace) -> tuple[str, int]:
    if not options.in_place and len(options.files) > 1:
        raise StoreError("One profile goes to standard output", "", "Add --in-place for several.")
    said, code = [], _DONE
    for path in options.files:
        try:
            text = codec.dump(read_profile(path))
            if not options.in_place:
                return text, _DONE
            write_text(path, text)
            said.append(f"Written: {seen(str(path))}")
        except (StoreError, DocumentError) as refused:
            print(f"fitplanner: {seen(str(path))}: {refused}", file=sys.stderr)
            code = _BAD_INPUT
    return "\n".join(said), code
