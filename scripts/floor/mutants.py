"""The calculation changed on purpose, one place at a time, to see whether a test notices.

Runs in the project's own environment, as ``python -m floor.mutants [part …]``. The changes come from mutmut, with the
settings in pyproject.toml. It also brings a runner, but one that starts the test tool for each change; here the tests are
collected once, and each change is tried in a copy of the process. How long a copy may take is counted in its own
processor time, so that a busy or halted machine makes no time-outs.
"""

import gc
import io
import os
import resource
import sys
import warnings
from collections import Counter, defaultdict
from collections.abc import Iterator
from contextlib import chdir, redirect_stdout
from math import ceil
from mmap import mmap
from pathlib import Path
from time import process_time
from types import ModuleType
from typing import cast

import pytest
from mutmut.__main__ import create_mutants
from mutmut.configuration import config
from mutmut.mutation.data import SourceFileMutationData
from mutmut.mutation.trampoline import set_mutant_under_test
from mutmut.state import state
from mutmut.utils.file_utils import (
    copy_also_copy_files,
    copy_src_dir,
    setup_source_paths,
    walk_mutatable_files,
)
from mutmut.utils.format_utils import mangled_name_from_mutant_name

from floor import ROOT, say
from floor.survivors import KILLED, NOBODY, SURVIVED, TREE, all_answers, is_answered, report, survivor_of

PARTS = ("rules", "derive", "physics")
PATIENCE = 5
"""How many times the processor time of the unchanged tests a change may take, and seconds on top."""
MEMORY = 4 * 2**30
SHOWN_EVERY = 200
RECENT = 12
CONTROL = "no.change"


class Judge:
    """A plugin of the test tool that, instead of running the tests once, runs them against every change."""

    def __init__(self, parts: list[str]) -> None:
        """Judge the changes of these parts: a package of calc (``rules``), or one module of it (``physics.day``)."""
        self.parts = parts
        self.failed = False
        self.seconds: dict[pytest.Item, float] = {}
        self.touching: dict[str, dict[pytest.Item, None]] = defaultdict(dict)
        self.made_by: dict[str, set[ModuleType]] = defaultdict(set)
        self.noticed_last: list[pytest.Item] = []
        self.noticed_in: Counter[Path] = Counter()
        self.which = mmap(-1, 8)

    def pytest_collection(self) -> None:
        """Have drawn examples always the same ones, and not made smaller when one fails: that takes long."""
        from hypothesis import Phase, settings  # the test tool wants to be there first

        phases = (Phase.explicit, Phase.generate)
        usual = settings.get_profile("arraybook")
        settings.register_profile("mutants", usual, derandomize=True, database=None, phases=phases)
        settings.load_profile("mutants")

    def pytest_runtest_logreport(self, report: pytest.TestReport) -> None:
        """Note that a test failed."""
        self.failed = self.failed or report.failed

    def pytest_runtestloop(self, session: pytest.Session) -> bool:
        """Note which tests touch which function, then try every change on those."""
        set_mutant_under_test("stats")
        for module in dict.fromkeys(map(module_of, session.items)):
            begin_afresh({module})
            for function in self._touched():
                self.made_by[function].add(module)
        for item in session.items:
            start = process_time()
            self._run(item)
            self.seconds[item] = process_time() - start
            if self.failed:
                say(f"{item.nodeid} fails without any change; mend that first")
                return True
            for function in self._touched():
                self.touching[function][item] = None
        for function, modules in self.made_by.items():
            self.touching[function] |= dict.fromkeys(i for i in session.items if module_of(i) in modules)
        gc.freeze()
        if self._try(CONTROL, "", session.items) == SURVIVED:
            self._judge_all()
        else:
            say("A test fails in a copy of the process without any change; mend that first")
            self.failed = True
        return True

    def _touched(self) -> set[str]:
        """The functions that ran since this was asked last."""
        kept = state()._stats  # noqa: SLF001 - the changed functions write their names there
        touched = set(kept)
        kept.clear()
        return touched

    def _run(self, item: pytest.Item) -> None:
        """Run one test, with everything that is made once for all of them kept."""
        item.config.hook.pytest_runtest_protocol(item=item, nextitem=item.session)

    def _judge_all(self) -> None:
        """Try every change not known to be noticed nor answered, and write down at once what became of it."""
        tried, answers = 0, all_answers()
        for path in wanted_files(self.parts):
            data = SourceFileMutationData(path=path)
            with chdir(ROOT):
                data.load()
                codes = data.exit_code_by_key.items()
                stands = {
                    name
                    for name, code in codes
                    if code == SURVIVED and is_answered(survivor_of(path, name), answers)
                }
            for name, code in codes:
                if code == KILLED or name in stands:
                    continue
                data.exit_code_by_key[name] = self._judge(name)
                with chdir(ROOT):
                    data.save()
                tried += 1
                if tried % SHOWN_EVERY == 0:
                    say(f"  {tried} tried, now in {path}")

    def _judge(self, name: str) -> int:
        """Try one change on the tests that touch its function."""
        function = mangled_name_from_mutant_name(name)
        tests = self._in_order(function)
        if not tests:
            return NOBODY
        code = self._try(name, function, tests)
        if code == KILLED:
            item = tests[int.from_bytes(self.which[:], "big")]
            self.noticed_last = [item, *(i for i in self.noticed_last if i is not item)][:RECENT]
            self.noticed_in[item.path] += 1
        return code

    def _try(self, name: str, function: str, tests: list[pytest.Item]) -> int:
        """Run tests in a copy of this process: 1 when one fails, 0 when none does, below 0 when it was ended."""
        process = os.fork()
        if not process:
            os._exit(self._notices(name, function, tests))
        return os.waitstatus_to_exitcode(os.waitpid(process, 0)[1])

    def _in_order(self, function: str) -> list[pytest.Item]:
        """The tests that touch a function: first those that noticed changes lately, then by their files' luck."""
        touching = self.touching.get(function, {})
        recent = [item for item in self.noticed_last if item in touching]
        others = touching.keys() - set(recent)
        return [*recent, *sorted(others, key=lambda item: (-self.noticed_in[item.path], self.seconds[item]))]

    def _notices(self, name: str, function: str, tests: list[pytest.Item]) -> int:
        """In the copy: whether a test fails with a change."""
        limit = ceil(PATIENCE * (1 + sum(self.seconds[item] for item in tests)))
        resource.setrlimit(resource.RLIMIT_CPU, (limit, limit + 1))
        resource.setrlimit(resource.RLIMIT_AS, (MEMORY, MEMORY))
        nowhere = os.open(os.devnull, os.O_WRONLY)
        os.dup2(nowhere, 1)
        os.dup2(nowhere, 2)
        set_mutant_under_test(name)
        self.which[:] = bytes(8)
        try:
            begin_afresh(self.made_by.get(function, set()))
            for place, item in enumerate(tests):
                self._run(item)
                if self.failed:
                    self.which[:] = place.to_bytes(8, "big")
                    return KILLED
        except BaseException:  # noqa: BLE001 - whatever a change brings about, it was noticed
            return KILLED
        return SURVIVED


def module_of(item: pytest.Item) -> ModuleType:
    """The test file of a test, as Python has it."""
    parent = item.getparent(pytest.Module)
    if parent is None:
        raise TypeError(f"{item.nodeid} is in no file")
    return cast("ModuleType", parent.obj)


def begin_afresh(modules: set[ModuleType]) -> None:
    """Forget what was worked out before the change: kept results of calc, and values that test files made for all tests."""
    for name, module in list(sys.modules.items()):
        if name.startswith(tuple(f"calc.{part}" for part in PARTS)):
            for value in list(vars(module).values()):
                getattr(value, "cache_clear", int)()
    for module in modules:
        if module.__spec__ and module.__spec__.loader:
            module.__spec__.loader.exec_module(module)


def wanted_files(parts: list[str]) -> Iterator[Path]:
    """The files of calc that are changed, in the order of the parts."""
    files = sorted(walk_mutatable_files())
    for part in parts:
        yield from (path for path in files if f"calc.{part}." in ".".join((*path.with_suffix("").parts, "")))


def make() -> None:
    """Make the changed copies; what was found out about functions that are as they were is kept."""
    for path in Path(TREE, "calc").rglob("*.toml") if Path(TREE).is_dir() else ():
        path.unlink()  # else tables would be copied only once
    with redirect_stdout(io.StringIO()):
        copy_src_dir()
        copy_also_copy_files()
        setup_source_paths()
        create_mutants(1)


def main(parts: list[str]) -> int:
    """Make, judge and report."""
    os.chdir(ROOT)
    Path(TREE).mkdir(exist_ok=True)
    set_mutant_under_test("mutant_generation")
    say("Making the changes")
    make()
    say("Trying them")
    sys.path.insert(0, str(ROOT / TREE / "scripts"))
    judge = Judge(parts)
    arguments = ["--rootdir=.", "-p", "no:terminal", "-p", "no:xdist", "-p", "no:cacheprovider"]
    arguments += ["-p", "no:pytest_cov", *config().pytest_add_cli_args]
    with chdir(TREE):
        done = pytest.main([*arguments, *config().pytest_add_cli_args_test_selection], plugins=[judge])
    if done != pytest.ExitCode.OK or judge.failed:
        say(f"The tests could not be run ({done})")
        return 1
    return report(list(wanted_files(parts)))


if __name__ == "__main__":
    warnings.simplefilter("ignore")
    sys.exit(main(sys.argv[1:] or list(PARTS)))
