"""What the browser's door loads for its first answers, and what only while nobody waits."""

import subprocess
import sys

from floor import ROOT

FIRST = """
import json, sys
from calc import bridge
bridge.start()
base = open("scenarios/examples/high-tunnel.toml").read()
asked = {"base": base, "set": {"array.strings_in_parallel": "3"}, "parts": ["verdict", "findings", "state", "form"]}
assert json.loads(bridge.answer(json.dumps(asked)))["ok"]
late = ("calc.sections", "calc.physics.day", "pint")
print([name for name in late if name in sys.modules])
bridge.ahead()
print([name for name in late if name in sys.modules])
"""


def test_first_answers_do_not_wait_for_sections_or_units():
    """The makers of the slower sections and the units library come when they are called ahead, not with the first answers."""
    run = subprocess.run([sys.executable, "-c", FIRST], cwd=ROOT, capture_output=True, text=True, check=True)
    assert run.stdout.splitlines() == ["[]", "['calc.sections', 'calc.physics.day', 'pint']"]
