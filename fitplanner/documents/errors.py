"""What a refused document says: which field, what is wrong with it, and the mend.

Owns the one exception of the documents room and the translation of the validation library's
findings into a mechanic's words. Refuses to decide what is acceptable: the documents do that.
"""

import json
from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from typing import Any, get_args

from pydantic import ValidationError
from pydantic_core import ErrorDetails

from fitplanner.documents.base import Document
from fitplanner.documents.plain_text import seen

Address = tuple[str | int, ...]

_SHOWN_PROBLEMS = 5
_SHOWN_CHARACTERS = 40


@dataclass(frozen=True)
class Problem:
    """One thing that is wrong: where, under which label, and the sentence with its mend."""

    path: Address
    label: str
    text: str

    def __str__(self) -> str:
        place = dotted(self.path)
        if not self.label:
            return self.text
        return f"{self.label} ({place}): {self.text}" if place else f"{self.label}: {self.text}"


class DocumentError(ValueError):
    """A document or a change of one was refused; `problems` holds every finding."""

    def __init__(self, *problems: Problem) -> None:
        self.problems = problems
        lines = [str(problem) for problem in problems[:_SHOWN_PROBLEMS]]
        if len(problems) > _SHOWN_PROBLEMS:
            lines.append(f"and {len(problems) - _SHOWN_PROBLEMS} more")
        super().__init__("\n".join(lines))


def refusal(text: str, *, label: str = "", path: Address = ()) -> DocumentError:
    """A `DocumentError` with a single problem."""
    return DocumentError(Problem(path=path, label=label, text=text))


def dotted(path: Address) -> str:
    """The address as written in a message: ``machine.rear.travel_mm``, rows counted from 1."""
    return ".".join(str(part + 1) if isinstance(part, int) else _cut(part) for part in path)


def from_validation(
    model: type[Document], error: ValidationError, *, prefix: Address = ()
) -> DocumentError:
    """Translate a validation error of `model`; `prefix` is where that document itself stands."""
    details = error.errors(include_url=False)
    return DocumentError(*(_problem(model, one, prefix) for one in details))


def _problem(model: type[Document], detail: ErrorDetails, prefix: Address) -> Problem:
    path, label = _place(model, detail["loc"])
    text = _sentence(detail)
    return Problem(path=prefix + path, label=label, text=text)


def _place(model: type[Document], location: Sequence[str | int]) -> tuple[Address, str]:
    """The address without the tags of alternatives, and the label of its last field."""
    path: list[str | int] = []
    labels: list[str] = []
    models = [model]
    for part in location:
        if isinstance(part, int):
            path.append(part)
            labels.append(f"row {part + 1}")
            continue
        owner = next((one for one in models if part in one.model_fields), None)
        if owner is None and len(models) > 1:
            continue
        path.append(part)
        field = owner.model_fields[part] if owner else None
        label = (field.title if field else None) or _cut(part.replace("_", " ").capitalize())
        # A row, and the value or spread of a figure, mean nothing without what they belong to.
        labels = [*labels[-1:], label.lower()] if _belongs_to_figure(owner, labels) else [label]
        if field is not None:
            models = list(_documents_in(field.annotation))
    if labels[-1:] == ["value"] and len(labels) > 1:
        labels.pop()
    return tuple(path), ", ".join(labels)


def _belongs_to_figure(owner: type[Document] | None, labels: list[str]) -> bool:
    return owner is not None and owner.__name__ in {"Figure", "Window"} and bool(labels)


def _documents_in(annotation: Any) -> Iterator[type[Document]]:
    if isinstance(annotation, type) and not get_args(annotation):
        if issubclass(annotation, Document):
            yield annotation
        return
    for inner in get_args(annotation):
        yield from _documents_in(inner)


_SENTENCES = {
    "missing": "is missing; add it",
    "extra_forbidden": "is not known here; check the spelling or take it out",
    "finite_number": "must be a finite number; enter the figure again",
    "float_type": "must be a number, not {found}; enter a number without unit or quotes",
    "int_type": "must be a whole number, not {found}; enter a whole number",
    "int_from_float": "must be a whole number, not {found}; enter a whole number",
    "string_type": "must be text, not {found}; put it in quotes",
    "json_invalid": "a text in the file holds half a character; restore it from a backup",
    "string_unicode": "holds half a character; delete it and type it again",
    "string_too_long": "is too long; at most {max_length} characters fit, so shorten it",
    "string_too_short": "is empty; enter at least {min_length} character",
    "string_pattern_mismatch": "{found} has the wrong form; use small letters, digits and hyphens",
    "bool_type": "must be true or false, not {found}",
    "list_type": "must be a list in square brackets, not {found}",
    "too_short": "has too few rows ({actual_length}); give at least {min_length}",
    "too_long": "has too many rows ({actual_length}); give at most {max_length}",
    "greater_than_equal": "{found} is too small; enter {ge:g} or more",
    "greater_than": "{found} is too small; enter more than {gt:g}",
    "less_than_equal": "{found} is too large; enter {le:g} or less",
    "less_than": "{found} is too large; enter less than {lt:g}",
    "enum": "{found} is not a choice here; choose {expected}",
    "is_instance_of": "{found} is not a choice here; choose one of those offered",
    "literal_error": "{found} is not a choice here; choose {expected}",
    "union_tag_invalid": "{found} is not a layout; choose {expected_tags}",
    "union_tag_not_found": "does not say its layout; add {discriminator}",
    "model_type": "must be a group of fields in braces, not {found}",
    "dict_type": "must be a group of fields in braces, not {found}",
    "model_attributes_type": "must be a group of fields in braces, not {found}",
}


def _sentence(detail: ErrorDetails) -> str:
    context = detail.get("ctx", {})
    if detail["type"] == "value_error":
        return str(context["error"])
    template = _SENTENCES.get(detail["type"])
    if template is None:
        return f"{detail['msg']}; correct it"
    found = context.get("tag", detail["input"])
    return template.format(found=_short(found), **context)


def _short(value: object) -> str:
    if isinstance(value, dict):
        return "a group of fields"
    if isinstance(value, list | tuple):
        return "a list"
    if value is None:
        return "nothing"
    try:
        text = json.dumps(value, ensure_ascii=False, default=str)
    except ValueError:
        return "this number"
    return _cut(text)


def _cut(text: str) -> str:
    """A part of a file as a message may quote it: not too long, and all of it seen."""
    quoted = seen(text[:_SHOWN_CHARACTERS])
    return quoted if len(text) <= _SHOWN_CHARACTERS else quoted[: _SHOWN_CHARACTERS - 1] + "…"
