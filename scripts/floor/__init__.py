"""What the scripts share. It needs the standard library only, because it runs before anything is installed.

__init__     say what happens, run commands, stop with advice
environment  the project's own Python environment, from requirements.lock
quickest     the Python that it is made from
debian       packages of the operating system, where the script may install them
browser      a browser for the tests
npm          tools that only npm has, run by the Node in the environment
build        the site, built strictly
server       the site, served on this machine as a static host would
"""

import subprocess
import sys

if sys.version_info < (3, 11):  # noqa: UP036 -- the scripts are started by whatever Python a machine has
    found = ".".join(str(part) for part in sys.version_info[:2])
    sys.exit(
        "Arraybook needs Python 3.11 or newer, and this is Python "
        + found
        + ". Run the script with a newer one,\n"
        "for example: python3.12 scripts/serve"
    )

from collections.abc import Callable, Iterator, Mapping, Sequence
from contextlib import contextmanager, suppress
from pathlib import Path

ROOT = Path(__file__).resolve().parents[2]
TOOLS = ROOT / ".tools"

# How package clients word it when they cannot reach what they fetch from.
UNREACHABLE = (
    "connection",
    "max retries",
    "name resolution",
    "no matching distribution found",
    "getaddrinfo",
    "enotfound",
    "econnrefused",
    "etimedout",
    "temporary failure resolving",
    "could not resolve",
    "unable to connect",
    "network",
    "proxy",
)
ADVICE = "could not reach the package registry; check the network and any proxy setting; then run again"


class Stop(Exception):
    """End the script with this message."""


def say(line: str) -> None:
    """Print one progress line at once, also when the output is a pipe."""
    print(line, flush=True)


def run(
    command: Sequence[str | Path],
    failure: str,
    *,
    env: Mapping[str, str] | None = None,
    cwd: Path = ROOT,
    watch: Callable[[str], object] = len,
) -> str:
    """Run a command quietly and return what it printed; stop with its last lines, and advice, when it fails.

    Every line goes to `watch` as it comes, so that a long command can show how far it is; nothing else is done
    with what that returns.
    """
    lines: list[str] = []
    try:
        process = subprocess.Popen(
            command,
            cwd=cwd,
            env=env,
            stdin=subprocess.DEVNULL,
            stdout=subprocess.PIPE,
            stderr=subprocess.STDOUT,
            text=True,
            encoding="utf-8",
            errors="replace",
        )
    except OSError as error:
        raise Stop(f"{failure}: {error}") from error
    with process:
        for line in process.stdout or ():
            lines.append(line)
            watch(line)
    output = "".join(lines)
    if process.returncode:
        hint = f"\n{ADVICE}" if any(sign in output.lower() for sign in UNREACHABLE) else ""
        raise Stop(f"{output[-3000:].rstrip()}\n\n{failure}{hint}")
    return output


@contextmanager
def alone(name: str) -> Iterator[None]:
    """Let one script at a time into a part that writes what all share; the others wait."""
    TOOLS.mkdir(exist_ok=True)
    with (TOOLS / f"{name}.lock").open("w") as handle:
        with suppress(
            ImportError
        ):  # where the system has no such lock, two scripts at once are the user's care
            import fcntl

            try:
                fcntl.flock(handle, fcntl.LOCK_EX | fcntl.LOCK_NB)
            except BlockingIOError:
                say(f"Another script is busy with the {name}; waiting for it")
                fcntl.flock(handle, fcntl.LOCK_EX)
        yield


def stopping(main: Callable[[], int]) -> int:
    """Run a script's main function; a stop or Ctrl-C becomes a message and an exit code instead of a traceback."""
    try:
        return main()
    except Stop as stop:
        print(f"\n{stop}", file=sys.stderr)
        return 1
    except KeyboardInterrupt:
        print("\nStopped.", file=sys.stderr)
        return 130
