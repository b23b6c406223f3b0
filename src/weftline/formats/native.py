"""The project file, version 1: JSON to a project and back.

Reading refuses, in one sentence with the path inside the file: what is not JSON, keys given twice,
unknown keys (with a suggestion for a likely slip), NaN and infinities, wrong types and absurd
values, lines that do not fit their sheds, yarns that are not there. Writing is canonical and
stable: keys in the order of the schema, only those that the weaver wrote, lines as written.
"""

from __future__ import annotations

import difflib
import json
from typing import TYPE_CHECKING, Any, NoReturn

from pydantic import BaseModel, ValidationError

from weftline.core.piece.reading import check_project
from weftline.core.piece.values import FORMAT_VERSION, PLAIN, SPELT, Project
from weftline.errors import PieceError, PieceTooLargeError

if TYPE_CHECKING:
    from collections.abc import Sequence

    from pydantic_core import ErrorDetails

MAX_BYTES = 4_000_000
MAX_KEYS = 1000


def loads(data: str | bytes) -> Project:
    """Read a project file.

    Parameters
    ----------
    data : str or bytes
        JSON text; bytes are UTF-8.

    Raises
    ------
    PieceError
        In one sentence with the path inside the file.
    PieceTooLargeError
        Over 4 MB, 4,000 ends, 200,000 picks or 12 strips.
    """
    refuse_size(len(data))
    found = _json(data)
    if not isinstance(found, dict):
        raise PieceError("", f"a project file holds one object, this one {_kind(found)}")
    if found.get("weftline") != FORMAT_VERSION or isinstance(found.get("weftline"), bool):
        raise PieceError("weftline", _version_trouble(found))
    try:
        project = Project.model_validate(found)
    except ValidationError as cause:
        raise _refusal(_worth_telling(cause.errors(include_url=False))) from None
    check_project(project)
    return project


def refuse_size(size: int) -> None:
    """Refuse a file of too many bytes.

    Raises
    ------
    PieceTooLargeError
    """
    if size > MAX_BYTES:
        raise PieceTooLargeError("", f"a project file has at most 4 MB, this one {size / 1e6:.1f} MB")


def dumps(project: Project) -> str:
    """Write a project file: canonical, ending in a newline; reading and writing it again changes no byte."""
    return json.dumps(project.model_dump(mode="json", exclude_unset=True), ensure_ascii=False, indent=1) + "\n"


def schema() -> dict[str, Any]:
    """Return the JSON Schema (2020-12) of the project file."""
    found = Project.model_json_schema()
    return {
        "$schema": "https://json-schema.org/draft/2020-12/schema",
        **found,
        "title": "Weftline project file, version 1",
    }


def _version_trouble(found: dict[str, Any]) -> str:
    if "weftline" not in found:
        return 'the version is missing; a project file begins with "weftline": 1'
    version = found["weftline"]
    if isinstance(version, int) and not isinstance(version, bool) and version > FORMAT_VERSION:
        return f"this file is of version {_short(version)}, this program reads version 1; a newer Weftline may open it"
    return f"the version must be 1 but is {_short(version)}"


def _json(data: str | bytes) -> Any:
    try:
        text = data.decode("utf-8-sig") if isinstance(data, bytes) else data
    except UnicodeDecodeError as cause:
        raise PieceError("", f"byte {cause.start} is not UTF-8 text; save the file as UTF-8") from None
    try:
        return json.loads(text, object_pairs_hook=_object, parse_constant=_no_constant, parse_int=_whole)
    except json.JSONDecodeError as cause:
        what = cause.msg[0].lower() + cause.msg[1:]
        raise PieceError("", f"line {cause.lineno}, column {cause.colno} is not JSON: {what}") from None
    except RecursionError:
        raise PieceError("", "it nests too deep; a project file needs fewer than ten levels") from None


def _object(pairs: list[tuple[str, Any]]) -> dict[str, Any]:
    if len(pairs) > MAX_KEYS:
        raise PieceTooLargeError("", f"an object has at most {MAX_KEYS:,} keys, one here has {len(pairs):,}")
    for key, _ in pairs:
        if not key.isprintable():
            raise PieceError("", f"the key {_short(key)} has characters that no key has; write it plainly")
    found = dict(pairs)
    if len(found) != len(pairs):
        seen: set[str] = set()
        for key, _ in pairs:
            if key in seen:
                raise PieceError("", f"the key {_short(key)} is given twice in one object; keep one of them")
            seen.add(key)
    return found


def _no_constant(word: str) -> NoReturn:
    raise PieceError("", f"{word} is not a number that a piece can have")


def _whole(digits: str) -> int:
    if len(digits) > 30:
        raise PieceError("", f"{digits[:12]}... is not a number that a piece can have")
    return int(digits)


def _short(value: object) -> str:
    text = json.dumps(value, ensure_ascii=True, default=str) if not isinstance(value, (dict, list)) else _kind(value)
    return text if len(text) <= 40 else f"{text[:36]}..."


def _kind(value: object) -> str:
    kinds = {dict: "an object", list: "a list", str: "a text", bool: "true or false", type(None): "nothing (null)"}
    return kinds.get(type(value), "a number")


def path_words(loc: Sequence[str | int]) -> str:
    """Return a path inside the file as people write it: ``sections[0].strips[0].ends``.

    Examples
    --------
    >>> path_words(("sections", 0, "strips", 1, "ends"))
    'sections[0].strips[1].ends'
    """
    words = ""
    for part in loc:
        if isinstance(part, int):
            words += f"[{part}]"
        elif part not in (PLAIN, SPELT, "int", "float"):
            words += f".{part[:40]}" if words else part[:40]
    return words


def _worth_telling(errors: list[ErrorDetails]) -> ErrorDetails:
    """Return the first error, or an unknown key if there is one: a slip in a key also makes a key missing."""
    return next((error for error in errors if error["type"] == "extra_forbidden"), errors[0])


def _refusal(error: ErrorDetails) -> PieceError:
    loc, kind, context = error["loc"], error["type"], error.get("ctx", {})
    value = error["input"]
    if loc[-1:] in (("int",), ("float",)) and kind in ("int_type", "float_type", "int_from_float"):
        kind = "finite_number" if isinstance(value, float) else "float_type"
    if kind == "extra_forbidden":
        return PieceError(path_words(loc[:-1]), _unknown_key(str(loc[-1]), loc[:-1]))
    if kind == "missing":
        return PieceError(path_words(loc[:-1]), f"{_short(loc[-1])} is missing; add it")
    if kind == "too_short":
        return PieceError(path_words(loc), f"is empty; it needs at least {context['min_length']}")
    if kind == "too_long":
        return PieceTooLargeError(path_words(loc), f"has at most {context['max_length']:,} entries; this is more")
    says = _RULES.get(kind)
    rule = says.format(**context) if says else error["msg"][0].lower() + error["msg"][1:]
    return PieceError(path_words(loc), f"{rule}, but it is {_short(value)}")


_RULES = {
    "greater_than": "must be more than {gt:,}",
    "greater_than_equal": "must be {ge:,} or more",
    "less_than_equal": "must be {le:,} or less",
    "int_type": "must be a whole number",
    "float_type": "must be a number",
    "finite_number": "must be a number that a piece can have",
    "string_type": "must be a text",
    "string_unicode": "must be a text of whole characters",
    "bool_type": "must be true or false",
    "tuple_type": "must be a list",
    "dict_type": "must be an object",
    "model_type": "must be an object",
    "model_attributes_type": "must be an object",
    "literal_error": "must be {expected}",
    "string_too_long": "must have at most {max_length} characters",
    "string_too_short": "must not be empty",
    "string_pattern_mismatch": "must be a colour as #rrggbb",
}


def _unknown_key(key: str, loc: Sequence[str | int]) -> str:
    known = _keys_at(loc)
    close = difflib.get_close_matches(key[:60], known, n=1, cutoff=0.6)
    meant = f"did you mean {close[0]!r}?" if close else f"it may hold {', '.join(known)}"
    return f"the key {_short(key)} is not known; {meant}"


def _keys_at(loc: Sequence[str | int]) -> list[str]:
    """Return the keys of the object at a path, found by following the model's fields."""
    model: Any = Project
    for part in loc:
        if isinstance(part, int) or part == PLAIN:
            continue
        fields = getattr(model, "model_fields", {})
        if part in fields:
            model = _model_in(fields[part].annotation) or model
    return list(model.model_fields)


def _model_in(annotation: Any) -> type[BaseModel] | None:
    """Return the first model inside an annotation such as ``tuple[Strip, ...]`` or ``str | Edge``."""
    if isinstance(annotation, type) and issubclass(annotation, BaseModel):
        return annotation
    for inner in getattr(annotation, "__args__", ()):
        model = _model_in(inner)
        if model is not None:
            return model
    return None
