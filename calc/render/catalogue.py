"""The word catalogue: every sentence that is not in a template, by key; a second language is a folder.

The TOML files of ``words/<language>/`` are merged; a key is the dotted path of its table, such as
``finding.run-ampacity.fails``.
"""

import json
import tomllib
from collections.abc import Mapping
from dataclasses import dataclass
from functools import cache
from pathlib import Path

FOLDER = Path(__file__).parent / "words"


@dataclass(frozen=True, slots=True, eq=False)
class Words:
    """Sentences of one language by dotted key; each catalogue is itself, so that it can key a cache."""

    language: str
    entries: Mapping[str, str]

    def __call__(self, key: str, **values: object) -> str:
        """The sentence at ``key`` with ``values`` set in; an unknown key is a fault of ours (KeyError)."""
        sentence = self.entries[key]
        return sentence.format(**values) if values else sentence

    def find(self, key: str) -> str | None:
        """The raw sentence at ``key``, or None."""
        return self.entries.get(key)


def _flatten(table: Mapping[str, object], prefix: str, into: dict[str, str], file: str) -> None:
    for key, value in table.items():
        path = f"{prefix}{key}"
        if isinstance(value, dict):
            _flatten(value, path + ".", into, file)
        elif path in into:
            raise ValueError(f"{file}: the words of {path} stand twice; keep one")
        else:
            into[path] = str(value)


def load_words(language: str = "en") -> Words:
    """The catalogue of ``language``, read once; refuses (ValueError) a key that stands twice."""
    return _once(language)


@cache
def _once(language: str) -> Words:
    read = FOLDER / f"{language}.json"  # where a script has read them already, for browsers
    if read.is_file():
        return Words(language, json.loads(read.read_text("utf-8")))
    entries: dict[str, str] = {}
    for file in sorted((FOLDER / language).glob("*.toml")):
        _flatten(tomllib.loads(file.read_text("utf-8")), "", entries, file.name)
    return Words(language, entries)
