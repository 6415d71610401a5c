"""Lines of the list of parts from the disconnect to the battery."""

from collections.abc import Iterable

from calc.derive.parts import runs_carrying
from calc.make.lines_wires import run_line
from calc.make.look import Look
from calc.model.assessment import Remark
from calc.model.parts import Length, Net, PartLine

COLD = "voc_cold_string_V"


def battery_lines(look: Look, net: Net) -> Iterable[PartLine]:
    """Disconnect, controller, battery cables, the device in them, and the battery."""
    if look.disconnect:
        yield _disconnect(look)
    yield _controller(look)
    runs = runs_carrying(look.design, "battery")
    for name in runs:
        yield run_line(look, net, name, "battery")
    if not runs:
        yield _cable(look, net)
    yield PartLine(
        "battery",
        "battery-device",
        1,
        marks=("battery device",),
        ratings=look.rating("current", "battery.device", "battery_device_least_A")
        + look.rating("voltage", "battery.equalise", "absorption_V"),
        follows=look.follows("battery-side-device", "battery_device_least_A"),
        needs=look.missing("battery.device"),
        notes=(Remark("near-battery"),),
    )
    yield PartLine(
        "battery",
        "battery-link",
        1,
        marks=("BD+",),
        length=Length(None, None),
        follows=look.follows("battery-side-device"),
    )
    yield PartLine(
        "battery",
        "battery",
        1,
        marks=("battery",),
        ratings=(*look.known("nominal", "battery.nominal"), *look.known("chemistry", "battery.chemistry")),
        follows=look.follows("hot-voltage-charging", "absorption_V"),
        needs=look.missing("battery.nominal", "battery.chemistry"),
    )


def _cable(look: Look, net: Net) -> PartLine:
    """Battery cables of a design that describes none."""
    return PartLine(
        "battery",
        "battery-cable",
        len(net.of_code("battery-cable")),
        marks=tuple(part.mark for part in net.of_code("battery-cable")),
        ratings=look.rating("current", "battery.device", "battery_device_least_A"),
        length=Length(None, None),
        follows=look.follows("battery-side-device", "battery_device_needed_A"),
        notes=(Remark("describe-battery-run"),),
    )


def _disconnect(look: Look) -> PartLine:
    return PartLine(
        "battery",
        "disconnect",
        1,
        marks=("disconnect",),
        ratings=look.rating("current", "disconnect.rating", "current_max_array_A")
        + look.rating("voltage", "disconnect.voltage_rating", COLD),
        follows=look.follows("disconnect-rating", "cold-voltage-parts", "current_max_array_A"),
        needs=look.missing("disconnect.rating", "disconnect.voltage_rating"),
        notes=(Remark("both-poles-open"),),
    )


def _controller(look: Look) -> PartLine:
    label = look.given("controller.label")
    return PartLine(
        "battery",
        "controller",
        1,
        called="" if label is None else str(label.value),
        marks=("controller",),
        ratings=(
            *look.known("kind", "controller.kind"),
            *look.rating("max-voltage", "controller.max_voltage", COLD),
            *look.rating("input", "controller.max_input_current", "current_max_array_A"),
            *look.known("output", "controller.rated_output_current"),
        ),
        follows=look.follows(
            "cold-voltage-controller", "controller-input-current", "controller-output-current", COLD
        ),
        needs=look.missing("controller.kind", "controller.max_voltage", "controller.rated_output_current"),
    )
