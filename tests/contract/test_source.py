"""The source itself: numbers in tables, layers one way, small modules, docstrings in one shape."""

import ast
import inspect
import re
import subprocess
import sys
import textwrap
from functools import cache

import pytest

from calc.derive import derive
from calc.rules import RULES
from calc.tables import load_book
from tests.contract.scenes import CALC, NAMES, ROOT, design, modules

LARGEST, LONGEST = 12 * 1024, 40
IDS = {"ids": lambda path: path.relative_to(CALC).as_posix()}


def parsed(path):
    return ast.parse(path.read_text(encoding="utf-8"))


# Numbers.


@pytest.mark.parametrize("path", modules("derive", "rules"), **IDS)
def test_no_number_but_0_1_2_stands_in_derivations_and_rules(path):
    """Every other one is a table's or the author's; the size of a cache is no quantity."""
    tree = parsed(path)
    caches = {
        id(keyword.value)
        for node in ast.walk(tree)
        if isinstance(node, ast.Call)
        for keyword in node.keywords
        if keyword.arg == "maxsize"
    }
    found = [
        (node.lineno, node.value)
        for node in ast.walk(tree)
        if isinstance(node, ast.Constant)
        and isinstance(node.value, int | float)
        and not isinstance(node.value, bool)
        and node.value not in (0, 1, 2)
        and id(node) not in caches
    ]

    assert found == []


# Layers.


MAY_IMPORT = {
    "model": (),
    "tables": ("model",),
    "physics": ("model",),
    "read": ("tables", "model"),
    "derive": ("physics", "tables", "model"),
    "rules": ("derive", "tables", "model"),
    "assess": ("rules", "derive", "tables", "model"),
    "plan": ("assess", "rules", "derive", "physics", "tables", "model"),
    "make": ("assess", "derive", "tables", "model"),
    "meter": ("plan", "make", "assess", "derive", "physics", "tables", "model"),
    "render": ("model",),
}
LIBRARIES = {"read": {"pint"}, "render": {"jinja2", "markupsafe"}}


def layer_of(path):
    """The folder below calc, or the name of a module that stands there itself."""
    part = path.relative_to(CALC).parts[0]
    return part.removesuffix(".py")


def imported(path):
    """Every module that a file imports, wherever in it, except for types only."""
    tree = parsed(path)
    for_types = {
        id(inner)
        for node in ast.walk(tree)
        if isinstance(node, ast.If) and "TYPE_CHECKING" in ast.unparse(node.test)
        for inner in ast.walk(node)
    }
    for node in ast.walk(tree):
        if id(node) in for_types:
            continue
        if isinstance(node, ast.Import):
            yield from (alias.name for alias in node.names)
        elif isinstance(node, ast.ImportFrom):
            assert node.level == 0, f"{path}: names are imported from where they stand"
            yield node.module


@pytest.mark.parametrize("path", [path for path in modules() if layer_of(path) in MAY_IMPORT], **IDS)
def test_imports_go_one_way(path):
    """A layer imports itself and those below it; outside calc only the standard library and its own libraries."""
    layer = layer_of(path)
    for name in imported(path):
        top, _, rest = name.partition(".")
        if top == "calc":
            assert rest.partition(".")[0] in (layer, *MAY_IMPORT[layer]), name
        else:
            assert top in sys.stdlib_module_names or top in LIBRARIES.get(layer, ()), name


def test_the_calculation_needs_no_library():
    """Model, tables, derivations, rules and physics import and work with the standard library alone."""
    script = """
        import sys
        sys.path[:] = [entry for entry in sys.path if "site-packages" not in entry]
        sys.path.insert(0, ".")
        from types import MappingProxyType
        from calc.assess import assess
        from calc.model.design import Design, Given
        from calc.tables import load_book
        values = {"module.voc": 22.4, "module.isc": 6.3, "module.vmp": 18.2, "module.imp": 6.04}
        given = {path: Given(value, "V" if "v" in path[7:] else "A", str(value)) for path, value in values.items()}
        counts = {f"array.{name}": Given(1, "", "1") for name in ("modules_in_series", "strings_in_parallel")}
        found = assess(Design(MappingProxyType(given | counts)), load_book())
        print(found.verdict, [name for name in ("pint", "jinja2", "numpy") if name in sys.modules])
    """
    command = [sys.executable, "-I", "-c", f"import os; os.chdir({str(ROOT)!r})\n" + textwrap.dedent(script)]
    result = subprocess.run(command, capture_output=True, text=True, check=False)

    assert (result.stdout, result.stderr) == ("needs input []\n", "")


# Size.


@pytest.mark.parametrize("path", modules(), **IDS)
def test_modules_are_small(path):
    """No module over about 12 kB, no function over 40 lines (its docstring counted apart)."""
    assert path.stat().st_size <= LARGEST
    long = []
    for node in ast.walk(parsed(path)):
        if isinstance(node, ast.FunctionDef):
            said = ast.get_docstring(node, clean=False)
            lines = node.end_lineno - node.lineno + 1 - (said.count("\n") + 1 if said else 0)
            if lines > LONGEST:
                long.append((node.name, lines))

    assert long == []


# Docstrings.


def public(path):
    """Public functions, methods and classes of a module, with their names."""
    tree = parsed(path)
    for node in tree.body:
        if isinstance(node, ast.FunctionDef | ast.ClassDef) and not node.name.startswith("_"):
            yield node.name, node
            if isinstance(node, ast.ClassDef):
                for inner in node.body:
                    if isinstance(inner, ast.FunctionDef) and not inner.name.startswith("_"):
                        yield f"{node.name}.{inner.name}", inner


@pytest.mark.parametrize("path", modules(), **IDS)
def test_everything_public_says_what_it_is(path):
    """A module, its public functions, methods and classes have a docstring that ends its first sentence."""
    assert ast.get_docstring(parsed(path)) or path.stat().st_size == 0, "the module"
    for name, node in public(path):
        said = ast.get_docstring(node)
        assert said, name
        assert re.search(r"[.?:]", said.partition("\n\n")[0]), name


@pytest.mark.parametrize("path", modules(), **IDS)
def test_arguments_are_told_as_they_are(path):
    """Where a docstring lists arguments, they are those of the signature, each of them, and no other."""
    for name, node in public(path):
        if not isinstance(node, ast.FunctionDef):
            continue
        said = ast.get_docstring(node) or ""
        listed = re.search(r"^Args:\n((?:[ ]{4}.*\n?)+)", said, re.MULTILINE)
        if listed:
            lines = re.findall(r"^[ ]{4}([\w*, ]+):", listed[1], re.MULTILINE)
            told = [one.strip(" *") for line in lines for one in line.split(",")]
            arguments = [one.arg for one in (*node.args.posonlyargs, *node.args.args, *node.args.kwonlyargs)]
            arguments += [one.arg for one in (node.args.vararg, node.args.kwarg) if one]
            assert sorted(told) == sorted(one for one in arguments if one != "self"), name


@cache
def traces():
    return [derive(design(name), load_book()) for name in NAMES]


@pytest.mark.parametrize("rule", RULES, ids=lambda rule: f"{rule.__module__}.{rule.__name__}")
def test_a_rule_asks_says_how_it_decides_and_cites(rule):
    """First its question, then how it is decided, then the clauses that its findings cite, and no other."""
    said = inspect.getdoc(rule)
    question, *rest = said.split("\n\n")
    body = "\n\n".join(rest)
    cites = re.search(r"^Cites:\n((?:[ ]{4}.*\n?)+)", body, re.MULTILINE)

    assert question.endswith("?")
    assert "\n" not in question
    assert body.startswith("Decides")
    assert cites
    clauses = {clause.clause for clause in load_book().coverage}
    told, cited = " ".join(cites[1].split()), set()
    for clause in sorted(clauses, key=len, reverse=True):
        if clause in told:
            cited.add(clause)
            told = told.replace(clause, "")
    assert re.sub(r"[ ,;]", "", told) == ""
    assert cited == {clause for trace in traces() for finding in rule(trace) for clause in finding.cites}


@pytest.mark.parametrize("rule", RULES, ids=lambda rule: f"{rule.__module__}.{rule.__name__}")
def test_a_rule_takes_the_working_and_nothing_else(rule):
    """A function of the trace that gives findings; no edition, no global."""
    assert list(inspect.signature(rule).parameters) == ["trace"]


# Browser code.


@pytest.mark.parametrize(
    "path", sorted((ROOT / "site_src" / "live").rglob("*.*js")), ids=lambda path: path.name
)
def test_browser_code_asks_for_its_types_to_be_checked(path):
    """An editor checks each file as scripts/check does, and no line is kept from it."""
    text = path.read_text(encoding="utf-8")

    assert text.startswith("// @ts-check\n")
    assert not re.search(r"@ts-(ignore|nocheck|expect-error)", text)
