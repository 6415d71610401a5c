"""Which modules the calculation uses, and two archives: the standard library cut to them, the core with its libraries.

Runs inside the browser runtime, started by pack.mjs. Both archives are zip files that store compiled modules as they
are, compressed as a whole with gzip: smaller than compressing each module, and opened faster. Same input, same bytes.
"""

import _imp
import ast
import gzip
import importlib
import importlib._bootstrap_external as bootstrap
import importlib.metadata
import io
import json
import re
import shutil
import sys
import tomllib
import zipfile
from pathlib import Path

LIBRARY = f"/lib/python{sys.version_info.major}{sys.version_info.minor}.zip"
NAME = re.compile(r"[A-Za-z0-9._-]+")
NOT_CODE = shutil.ignore_patterns("testsuite", "__pycache__", "*.so", "*.pyd", "*.txt")
LONG_AGO = (1980, 1, 1, 0, 0, 0)
NO_DOCSTRINGS = 2
SMALLEST = """
[module]
voc = "22.4 V"
isc = "6.3 A"
vmp = "18.2 V"
imp = "6.04 A"

[array]
modules_in_series = 1
strings_in_parallel = 4
"""
BROKEN = '[module]\nvoc = "22,4 V"\nvmp = 3\n[aray]\n'


def pack(plan_text: str) -> None:
    """Trace, compile and write what the plan asks for."""
    plan = json.loads(plan_text)
    core, out, packages = Path(plan["core"]), Path(plan["out"]), Path("/libraries")
    for name in needed(plan["needs"], plan["packages"]):
        copy(Path(plan["packages"]) / name, packages / name)
    sys.path[:0] = [str(core.parent), str(packages)]
    use_everything(core)
    used = set(loaded(LIBRARY)) | set(plan["kept"])
    (out / "python.pack").write_bytes(archive(standard_library(used)))
    (out / "core.pack").write_bytes(
        archive(our_own(core) | prepared(core) | libraries(packages, plan["kept"]))
    )
    (out / "modules.json").write_text(json.dumps(sorted(used & available())), encoding="utf-8")


def needed(names: list[str], place: str) -> list[str]:
    """The packages and modules of these libraries and of those that they need, as they lie in the environment.

    Nothing else of the environment may be found: some libraries try whether others happen to be there.
    """
    found: dict[str, list[str]] = {}
    while names:
        name, names = names[0], names[1:]
        if name in found:
            continue
        library = next(iter(importlib.metadata.distributions(name=name, path=[place])))
        found[name] = sorted({file.parts[0] for file in library.files or [] if file.suffix == ".py"})
        names += [NAME.match(line)[0] for line in library.requires or [] if "extra ==" not in line]
    return sorted({part for parts in found.values() for part in parts})


def copy(source: Path, target: Path) -> None:
    """Put a package or a single module where this interpreter finds it."""
    if source.is_dir():
        shutil.copytree(source, target, ignore=NOT_CODE)
    else:
        target.parent.mkdir(exist_ok=True)
        shutil.copyfile(source, target)


def use_everything(core: Path) -> None:
    """Import what the core names of the standard library, and do what a page asks for, with a good and a bad design."""
    for name in sorted(named_by(core) & available()):
        importlib.import_module(name)
    from calc import Refused, as_html, as_json, as_text, bridge, check, load_book, read_design

    bridge.ahead()  # all that is loaded only when it is asked for
    read = [read_design(text) for text in (SMALLEST, BROKEN)]
    if [isinstance(one, Refused) for one in read] != [False, True]:
        raise TypeError("the smallest design should be read and the broken one refused")
    assessment = check(read[0], load_book())
    for print_it in (as_html, as_text, as_json):
        print_it(assessment)


def module_name(file: Path) -> str:
    """The name under which a file is imported."""
    parts = file.with_suffix("").parts
    return ".".join(parts[:-1] if parts[-1] == "__init__" else parts)


def loaded(place: str) -> list[str]:
    """The modules that are loaded from files below a place; those frozen into the interpreter need no file."""
    return [
        name
        for name, module in sorted(sys.modules.items())
        if str(getattr(getattr(module, "__spec__", None), "origin", "")).startswith(place + "/")
    ]


def named_by(core: Path) -> set[str]:
    """Every module that the core names in an import, also where the import was not reached."""
    names = set()
    for file in core.rglob("*.py"):
        for node in ast.walk(ast.parse(file.read_text(encoding="utf-8"))):
            if isinstance(node, ast.Import):
                names |= {alias.name for alias in node.names}
            elif isinstance(node, ast.ImportFrom) and not node.level and node.module:
                names |= {node.module} | {f"{node.module}.{alias.name}" for alias in node.names}
    return names


def available() -> set[str]:
    """Every module that the whole standard library has as a file."""
    with zipfile.ZipFile(LIBRARY) as whole:
        return {module_name(Path(name)) for name in whole.namelist() if name.endswith(".py")}


def standard_library(wanted: set[str]) -> dict[str, bytes]:
    """The wanted modules of the standard library, with the packages they lie in."""
    wanted |= {name.rpartition(".")[0] for name in wanted if "." in name}
    with zipfile.ZipFile(LIBRARY) as whole:
        return {
            name + "c": compiled(whole.read(name), name)
            for name in whole.namelist()
            if name.endswith(".py") and module_name(Path(name)) in wanted
        }


def our_own(core: Path) -> dict[str, bytes]:
    """The core: its modules compiled, its tables, templates and words as they are."""
    files = {}
    for file in core.rglob("*"):
        name = file.relative_to(core.parent).as_posix()
        if file.is_file() and "__pycache__" not in name:
            content = file.read_bytes()
            files |= {name + "c": compiled(content, name)} if file.suffix == ".py" else {name: content}
    return files


def prepared(core: Path) -> dict[str, bytes]:
    """What each first start would make anew of those: templates compiled, words and tables read."""
    from calc.render.as_html import TEMPLATES, Compiled, environment
    from calc.render.catalogue import FOLDER, load_words
    from calc.tables.load import READ

    files = {}
    for name in environment().list_templates(extensions=["html"]):
        source, place, _ = environment().loader.get_source(environment(), name)
        bucket = Compiled().get_bucket(environment(), name, place, source)
        bucket.code = environment().compile(source, name, name)
        written = io.BytesIO()
        bucket.write_bytecode(written)
        files[TEMPLATES / (name + Compiled.ENDING)] = written.getvalue()
    for language in FOLDER.iterdir():
        entries = load_words(language.name).entries
        files[language.with_suffix(".json")] = json.dumps(entries, ensure_ascii=False).encode()
    tables = core / "tables"
    read = {file.name: tomllib.loads(file.read_text("utf-8")) for file in sorted(tables.glob("*.toml"))}
    files[tables / READ] = json.dumps(read, ensure_ascii=False).encode()
    return {file.relative_to(core.parent).as_posix(): content for file, content in files.items()}


def libraries(packages: Path, kept: list[str]) -> dict[str, bytes]:
    """The modules of other people's libraries that are used, and those that are kept to be safe."""
    files = {}
    for name in {*loaded(str(packages)), *kept}:
        stem = packages / name.replace(".", "/")
        file = next((one for one in (stem.with_suffix(".py"), stem / "__init__.py") if one.is_file()), None)
        if file:
            place = file.relative_to(packages).as_posix()
            files[place + "c"] = compiled(file.read_bytes(), place)
    return files


def compiled(source: bytes, name: str) -> bytes:
    """A module as the interpreter keeps it, found good without a look at a source file, and without its docstrings."""
    code = compile(source, name, "exec", dont_inherit=True, optimize=NO_DOCSTRINGS)
    mark = _imp.source_hash(_imp.pyc_magic_number_token, source)
    return bytes(bootstrap._code_to_hash_pyc(code, mark, False))  # noqa: SLF001  # py_compile has it from there too


def archive(files: dict[str, bytes]) -> bytes:
    """A zip file of these files in the order of their names, as old as zip files can be, compressed as a whole."""
    whole = io.BytesIO()
    with zipfile.ZipFile(whole, "w", zipfile.ZIP_STORED) as target:
        for name, content in sorted(files.items()):
            target.writestr(zipfile.ZipInfo(name, LONG_AGO), content)
    return gzip.compress(whole.getvalue(), 9, mtime=0)
