"""A contract for the import linter: each part of a package imports only the parts it is allowed, never the rest.

The linter's own kinds of contract need every named module to exist and say what is forbidden. This one says what
is allowed, so a new part is refused until its place is decided.
"""

import sys

from grimp import ImportGraph
from importlinter import Contract, ContractCheck, fields, output

ANYTHING = "*"


class PartsContract(Contract):
    """Hold every module of `package` to the line of its part in `may_import` and of each library in `libraries`."""

    package = fields.StringField()
    may_import = fields.ListField(subfield=fields.StringField())
    libraries = fields.ListField(subfield=fields.StringField())

    def check(self, graph: ImportGraph, verbose: bool) -> ContractCheck:  # noqa: ARG002 -- the linter's own signature
        """Collect each import that no line allows."""
        allowed = _table(self.may_import)  # type: ignore[arg-type]  # a field holds its value once the linter made it
        libraries = _table(self.libraries)  # type: ignore[arg-type]
        broken = []
        for importer in sorted(graph.modules):
            part = _part(importer, str(self.package))
            if part is None:
                continue
            if part not in allowed:
                broken.append(f"{importer} belongs to no part in the table; give the part a line")
                continue
            for imported in sorted(graph.find_modules_directly_imported_by(importer)):
                target = _part(imported, str(self.package))
                users = libraries.get(imported.partition(".")[0], set()) if target is None else {ANYTHING}
                if imported.partition(".")[0] in sys.stdlib_module_names:
                    continue
                inside = target in {None, part} or {target, ANYTHING} & allowed[part]
                if not inside or not users & {part, ANYTHING}:
                    broken.append(f"{importer} imports {imported}")
        return ContractCheck(kept=not broken, metadata={"broken": broken})

    def render_broken_contract(self, check: ContractCheck) -> None:
        """Print each import that is not allowed."""
        for line in check.metadata["broken"]:
            output.print_error(line)


def _part(module: str, package: str) -> str | None:
    """Return the part of the package that a module belongs to: its folder or file, or the package's own front."""
    if module == package:
        return "__init__"
    return module.split(".")[1] if module.startswith(f"{package}.") else None


def _table(lines: list[str]) -> dict[str, set[str]]:
    """Read lines of the form "name: other, other"."""
    split = [line.partition(":") for line in lines]
    return {
        name.strip(): {word.strip() for word in words.split(",") if word.strip()} for name, _, words in split
    }
