"""JSON Schema of the job file, from the same declarations as everything else."""

from typing import Any

from calc.job.model import Job


def job_schema() -> dict[str, Any]:
    """JSON Schema (2020-12) of a job file: titles, help, units, limits and choices."""
    schema = Job.model_json_schema()
    return {
        "$schema": "https://json-schema.org/draft/2020-12/schema",
        **_told(schema),
        "title": "Studbay job file",
        "description": "One house, as its job file says it.",
    }


def _told(node: Any) -> Any:
    """The schema without what only serves the program: references of names, and null for a key left out.

    Limits of a length written in feet and inches come through under their short names.
    """
    if isinstance(node, list):
        return [_told(n) for n in node]
    if not isinstance(node, dict):
        return node
    if isinstance(node.get("default"), dict):
        node = {k: v for k, v in node.items() if k != "default"}  # a table left out has the defaults of its own keys
    named = {"ge": "minimum", "le": "maximum"}
    node = {named.get(k, k): _told(v) for k, v in node.items() if k not in ("refers_to", "also", "only_for")}
    options = [o for o in node.get("anyOf", []) if o != {"type": "null"}]
    if len(options) < len(node.get("anyOf", [])):
        rest = {k: v for k, v in node.items() if k != "anyOf" and not (k == "default" and v is None)}
        node = {**(options[0] if len(options) == 1 else {"anyOf": options}), **rest}
    return node
