"""Writing a job file: only what changed, comments kept, the whole file or nothing."""

import contextlib
import os
import tempfile
from collections.abc import Iterator
from pathlib import Path
from typing import Any

import tomlkit
from tomlkit.items import AoT, InlineTable, Table, Whitespace

from calc.job.model import Job
from calc.job.problems import Problem, SaveConflict, file_error, printable
from calc.job.read import fingerprint, parse_job, parse_toml, read_bytes, read_job

PREVIOUS = ".previous"
"""Added to a job file's name for the version before the last save."""


def save_job(job: Job, path: str | Path | None = None, seen: str | None = None) -> Job:
    """Write a job over the file that it was read from, and read it back.

    Keys that did not change keep their notation, comments and order. The version before is kept beside it as
    NAME.toml.previous. Raises SaveConflict when the file is not the one of fingerprint `seen` (by default the one
    that the job was read with), JobError when it can't be written; the old file is then as it was.
    """
    where = _target(job, path)
    raw = read_bytes(where)
    if not os.access(where, os.W_OK):
        raise file_error(where, "may not be written; nothing was changed", "ask its owner for permission to write it")
    if fingerprint(raw) != (job.fingerprint if seen is None else seen):
        raise SaveConflict(
            [
                Problem(
                    printable(where),
                    None,
                    "",
                    "was changed since it was read; nothing was written",
                    "",
                    "read it again",
                )
            ]
        )
    new = rewritten(raw, job, where)
    if new != raw:
        with _writing(where):
            _replace(where.with_name(where.name + PREVIOUS), raw, where)
            _replace(where, new, where)
    return read_job(where)


def rewritten(raw: bytes, job: Job, file: str | Path) -> bytes:
    """The bytes of a job file made to say this job: what did not change keeps its notation, comments and order."""
    text, data = parse_toml(raw, file)
    document = tomlkit.parse(text)
    _update(document, data, job.data)
    mark = b"\xef\xbb\xbf" if raw.startswith(b"\xef\xbb\xbf") else b""
    new = mark + tomlkit.dumps(document).encode("utf-8")
    if parse_job(new, file).model_dump() != job.model_dump():
        raise file_error(file, "would not read back as it was meant; nothing was written", "this is a fault of ours")
    return new


def create_job(path: str | Path, text: str) -> Job:
    """Write a new job file and read it back. JobError when a file of that name is there already."""
    where, raw = Path(path), text.encode("utf-8")
    parse_job(raw, where)
    write_new(where, raw)
    return read_job(where)


def write_new(where: Path, raw: bytes) -> None:
    """Write a new file, whole or not at all. JobError when one of that name is there already."""
    with _writing(where):
        where.parent.mkdir(parents=True, exist_ok=True)
        temporary = _temporary(where, raw)
        try:
            os.link(temporary, where)
        except FileExistsError:
            raise file_error(where, "exists already; nothing was written", "choose another name") from None
        finally:
            os.unlink(temporary)
        _sync_folder(where)


def _target(job: Job, path: str | Path | None) -> Path:
    if path is None and job.path is None:
        raise file_error("job", "was not read from a file", "say where to save it")
    named = Path(path if path is not None else job.path or "")
    return named.resolve() if named.is_symlink() else named


@contextlib.contextmanager
def _writing(where: Path) -> Iterator[None]:
    try:
        yield
    except OSError as error:
        raise file_error(where, f"can't be written: {error.strerror}; nothing was changed") from None


def _temporary(where: Path, raw: bytes, like: Path | None = None) -> str:
    handle, temporary = tempfile.mkstemp(prefix=f".{where.name[:40]}.", dir=where.parent)
    try:
        with os.fdopen(handle, "wb") as file:
            os.fchmod(file.fileno(), like.stat().st_mode & 0o7777 if like else 0o666 & ~_umask())
            file.write(raw)
            file.flush()
            os.fsync(file.fileno())
    except BaseException:
        os.unlink(temporary)
        raise
    return temporary


def _umask() -> int:
    now = os.umask(0)
    os.umask(now)
    return now


def _replace(where: Path, raw: bytes, like: Path) -> None:
    """Put the bytes in place of a file in one step, with the mode of the file `like`."""
    temporary = _temporary(where, raw, like)
    try:
        os.replace(temporary, where)
    except BaseException:
        os.unlink(temporary)
        raise
    _sync_folder(where)


def _sync_folder(where: Path) -> None:
    if os.name != "posix":  # a folder can't be opened for syncing elsewhere
        return
    folder = os.open(where.parent, os.O_RDONLY)
    try:
        os.fsync(folder)
    finally:
        os.close(folder)


def _update(node: Any, old: dict[str, Any], new: dict[str, Any]) -> None:
    """Make a tomlkit table say what `new` says, touching only what differs from `old`."""
    for key in [k for k in old if k not in new]:
        del node[key]
    for key, value in new.items():
        if key not in old:
            _add(node, key, _item(value, inside=isinstance(node, InlineTable), within=isinstance(node, Table)))
        elif _differs(old[key], value):
            if isinstance(value, dict) and isinstance(old[key], dict):
                _update(node[key], old[key], value)
            elif _is_tables(value) and isinstance(node[key], AoT):
                _update_tables(node[key], old[key], value)
            else:
                node[key] = _item(value, inside=not isinstance(node[key], AoT | Table))


def _add(node: Any, key: str, item: Any) -> None:
    """Add a key after the last one, ahead of the comment that introduces what follows the table."""
    body = node.value.body if isinstance(node, Table) else []
    last = max((n for n, (k, _) in enumerate(body) if k is not None), default=-1)
    blank = next((n for n in range(last + 1, len(body)) if isinstance(body[n][1], Whitespace)), len(body))
    tail, body[blank:] = body[blank:], []
    node[key] = item
    body.extend(tail)


def _update_tables(node: AoT, old: list[dict[str, Any]], new: list[dict[str, Any]]) -> None:
    """Make an array of tables say what `new` says: each entry made from the old one that it was."""
    left = dict(enumerate(old))
    sources = []
    for number, item in enumerate(new):
        sources.append(source := _source(item, number, left, new))
        if source is not None:
            _update(node[source], left.pop(source), item)
    order = list(range(len(old)))
    for gone in sorted(left, reverse=True):
        del node[gone], order[gone]
    for number, (item, source) in enumerate(zip(new, sources, strict=True)):
        if source is None:
            if number and not isinstance(node[number - 1].value.body[-1][1], Whitespace):
                node[number - 1].add(tomlkit.nl())
            node.insert(number, _item(item))
            order.insert(number, -1)
        elif order[number] != source:
            node.insert(number, node.pop(order.index(source)))
            order.insert(number, order.pop(order.index(source)))


def _source(
    item: dict[str, Any], number: int, left: dict[int, dict[str, Any]], new: list[dict[str, Any]]
) -> int | None:
    """The old entry that this one was: of its name, or equal to it, or (renamed, changed) of its number."""
    names = {i.get("name") for i in new} - {None}
    for n, entry in left.items():
        if entry == item or ("name" in item and entry.get("name") == item["name"]):
            return n
    same_number = left.get(number)
    taken = same_number is None or same_number in new or same_number.get("name") in names
    return None if taken else number


def _is_tables(value: Any) -> bool:
    return isinstance(value, list) and bool(value) and all(isinstance(v, dict) for v in value)


def _is_plain(table: dict[str, Any]) -> bool:
    return not any(isinstance(value, dict) or _is_tables(value) for value in table.values())


def _differs(old: Any, new: Any) -> bool:
    return type(old) is not type(new) or old != new


def _item(value: Any, inside: bool = False, within: bool = False) -> Any:
    """A value as a tomlkit item: tables as tables, unless it stands inside a line; plain ones within a table a line each."""
    if isinstance(value, dict):
        table = tomlkit.inline_table() if inside else tomlkit.table()
        for key, inner in value.items():
            table.append(key, _item(inner, inside, within=True))
        return table
    if _is_tables(value) and within and not inside and all(map(_is_plain, value)):
        lines = tomlkit.array()
        for inner in value:
            lines.append(_item(inner, inside=True))
        return lines.multiline(len(value) > 1)
    if _is_tables(value) and not inside:
        tables = tomlkit.aot()
        for inner in value:
            tables.append(_item(inner))
        return tables
    if isinstance(value, list | tuple):
        array = tomlkit.array()
        array.extend(_item(v, inside=True) for v in value)
        return array
    return tomlkit.item(value)
