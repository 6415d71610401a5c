"""Questions: may it be so? One function each, in one explicit tuple, in the order of the report."""

from collections.abc import Callable

from calc.derive.trace import Trace
from calc.model.assessment import Finding
from calc.rules import conductor, controller, joining, protection, voltage

Rule = Callable[[Trace], tuple[Finding, ...]]

RULES: tuple[Rule, ...] = (
    voltage.cold_controller,
    voltage.cold_module,
    voltage.cold_site,
    voltage.cold_parts,
    voltage.hot_charging,
    voltage.wake,
    controller.input_current,
    controller.output_current,
    voltage.given_away,
    protection.needed,
    protection.size,
    protection.reverse,
    conductor.ampacity,
    conductor.terminals,
    conductor.drop,
    conductor.small_conductor,
    joining.coupler,
    joining.circuits,
    joining.bar,
    joining.breaker,
    joining.disconnect,
    joining.unlike,
    joining.ground,
    controller.battery_device,
)
