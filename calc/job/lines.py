"""Which line of a TOML text each key and table stands on.

The text is known to be valid TOML when it comes here, so this only has to find its way, not to judge.
"""

import re
from bisect import bisect_right

from calc.job.places import Loc

_BARE_KEY = re.compile(r"[A-Za-z0-9_-]+")
_BLANK = re.compile(r"(?:[ \t\r\n]+|#[^\n]*)*")
_SPACE = re.compile(r"[ \t]*")
_PLAIN_VALUE = re.compile(r"[^,\]}\n#]*")
_STRING = re.compile(
    r'"""(?:\\.|[^\\])*?"""{1,3}(?!")|\'\'\'.*?\'\'\'{1,3}(?!\')|"(?:\\.|[^"\\])*"|\'[^\']*\'', re.DOTALL
)
_ESCAPE = re.compile(r'\\(?:u([0-9a-fA-F]{4})|U([0-9a-fA-F]{8})|(["\\btnfre]))')
_SHORT = {"b": "\b", "t": "\t", "n": "\n", "f": "\f", "r": "\r", "e": "\x1b", '"': '"', "\\": "\\"}


def key_lines(text: str) -> dict[Loc, int]:
    """Line, from 1, of each key, table and list entry: ('loads', 2, 'load_va') -> 31."""
    return _Scanner(text).scan()


class _Scanner:
    def __init__(self, text: str) -> None:
        self.text = text
        self.at = 0
        self.found: dict[Loc, int] = {}
        self.tables: dict[Loc, int] = {}
        self.starts = [0, *(m.end() for m in re.finditer("\n", text))]

    def scan(self) -> dict[Loc, int]:
        table: Loc = ()
        while self.skip(_BLANK) and self.at < len(self.text):
            if self.text[self.at] == "[":
                table = self.header()
            else:
                self.pair(table)
        return self.found

    def skip(self, pattern: re.Pattern[str]) -> bool:
        match = pattern.match(self.text, self.at)
        self.at = match.end() if match else self.at
        return match is not None

    def note(self, loc: Loc) -> None:
        self.found.setdefault(loc, bisect_right(self.starts, self.at))

    def header(self) -> Loc:
        many = self.text.startswith("[[", self.at)
        start, self.at = self.at, self.at + 1 + many
        keys = self.keys()
        end, self.at = self.at + 1 + many, start
        loc: Loc = ()
        for number, key in enumerate(keys, 1):
            loc += (key,)
            self.note(loc)
            if many and number == len(keys):
                self.tables[loc] = self.tables.get(loc, -1) + 1
            if loc in self.tables:
                loc += (self.tables[loc],)
                self.note(loc)
        self.at = end
        return loc

    def keys(self) -> list[str]:
        keys = []
        while True:
            self.skip(_SPACE)
            start = self.at
            if self.skip(_BARE_KEY):
                keys.append(self.text[start : self.at])
            else:
                self.skip(_STRING)
                keys.append(_unquoted(self.text[start : self.at]))
            self.skip(_SPACE)
            if self.text[self.at] != ".":
                return keys
            self.at += 1

    def pair(self, table: Loc) -> None:
        start = self.at
        keys = self.keys()
        end, self.at = self.at + 1, start
        loc = table
        for key in keys:
            loc += (key,)
            self.note(loc)
        self.at = end
        self.skip(_SPACE)
        self.value(loc)

    def value(self, loc: Loc) -> None:
        self.note(loc)
        opening = self.text[self.at]
        if opening == "[":
            self.inside(loc, "]")
        elif opening == "{":
            self.inside(loc, "}")
        elif opening in "\"'":
            self.skip(_STRING)
        else:
            self.skip(_PLAIN_VALUE)

    def inside(self, loc: Loc, closing: str) -> None:
        self.at += 1
        number = 0
        while True:
            self.skip(_BLANK)
            if self.text[self.at] == closing:
                self.at += 1
                return
            if closing == "]":
                self.value((*loc, number))
            else:
                self.pair(loc)
            number += 1
            self.skip(_BLANK)
            self.at += self.text[self.at] == ","


def _unquoted(key: str) -> str:
    inner = key[1:-1]
    if key.startswith("'"):
        return inner
    return _ESCAPE.sub(lambda m: _SHORT[m[3]] if m[3] else chr(int(m[1] or m[2], 16)), inner)
