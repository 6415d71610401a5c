"""What only a module's curve can tell: the light at which charging starts, and what unlike strings lose when joined."""

from functools import lru_cache

from calc.derive.coefficients import coefficient, given_coefficient
from calc.derive.parts import Strings
from calc.derive.temperature import standard
from calc.derive.trace import Trace
from calc.model.assessment import Quantity, Unknown, Value
from calc.model.method import Method
from calc.model.units import convert, rounded
from calc.physics.curve import Curve, FitError, ModuleModel, fit
from calc.physics.field import joint_mpp

WAKE_HOT = Method("wake_irradiance_hot", how="curve-wake", cites=("Single-diode model",))
WAKE_COLD = Method("wake_irradiance_cold", how="curve-wake", cites=("Single-diode model",))
JOINED = Method("power_joined", how="curve-joined", cites=("Single-diode model",))
JOINED_VOLTAGE = Method("joined_voltage", how="curve-joined", cites=("Single-diode model",))
APART = Method("power_apart", how="curve-apart", cites=("Single-diode model",))
REVERSE_OPEN = Method("reverse_open", how="curve-reverse-open", cites=("Single-diode model",))
UNLIKE_LOSS = Method("unlike_loss", "(power_apart - power_joined) / power_apart")

METHODS = (WAKE_HOT, WAKE_COLD, JOINED, JOINED_VOLTAGE, APART, REVERSE_OPEN, UNLIKE_LOSS)

FOUR = ("voc", "isc", "vmp", "imp")
COEFFICIENTS = ("voc_coefficient", "isc_coefficient", "pmax_coefficient")

_model = lru_cache(maxsize=512)(fit)


def module_model(trace: Trace, group: Strings) -> ModuleModel:
    """The module of one group of strings, fitted from its datasheet's values and coefficients.

    The Pmax coefficient is the datasheet's, else what its Vmp coefficient makes it. It has no default: a curve has one
    of its own, and only a datasheet knows better.

    Refuses (FitError) values that no curve can have; a missing one is a fault of ours (TypeError).
    """
    four = [_known(trace.given(group.module(name))).number for name in FOUR]
    beta, alpha = (_share(_known(coefficient(trace, group, name))) for name in ("voc", "isc"))
    of_power, of_vmp, of_imp = (given_coefficient(trace, group, name) for name in ("pmax", "vmp", "imp"))
    gamma = None
    if isinstance(of_power, Value):
        gamma = _share(of_power)
    elif isinstance(of_vmp, Value):
        own = _model(*four, beta_voc=beta, alpha_isc=alpha)
        gamma = _share(of_vmp) + (_share(of_imp) if isinstance(of_imp, Value) else own.imp_coefficient())
    return _model(*four, beta_voc=beta, alpha_isc=alpha, gamma_pmax=gamma)


def _fitted(trace: Trace, group: Strings) -> ModuleModel | None:
    four = (trace.given(group.module(name)) for name in FOUR)
    if any(isinstance(value, Unknown) for value in four):
        return None
    try:
        return module_model(trace, group)
    except FitError:
        return None


def doubtful(trace: Trace, groups: tuple[Strings, ...]) -> tuple[str, ...]:
    """The values, by path, to look at again because no curve of any module has them; none where every module has one."""
    found: dict[str, None] = {}
    for group in groups:
        try:
            module_model(trace, group)
        except FitError as error:
            coefficient_named = error.reason.replace("-", "_")
            names = (coefficient_named,) if coefficient_named in COEFFICIENTS else FOUR
            found |= dict.fromkeys(group.module(name) for name in names)
    return tuple(found)


def _known(quantity: Quantity) -> Value:
    if isinstance(quantity, Unknown):
        raise TypeError(f"not known without {', '.join(quantity.paths)}")
    return quantity


def _share(value: Value) -> float:
    """A coefficient in %/K as a share per kelvin."""
    return convert(value.number, value.unit, "1/K")


def wake_hot(trace: Trace, groups: tuple[Strings, ...]) -> None:
    """The light in the heat at which every string's open-circuit voltage reaches what the controller asks to start, W/m2.

    Left out, as all that needs a curve, where no curve fits the datasheet's values.

    Cites:
        Single-diode model (De Soto's translation; the fit and its limits are described in calc.physics)
    """
    _wake(
        trace, WAKE_HOT, "cell_hot", [(group, trace.find(group.part + "cell_hot_degC")) for group in groups]
    )


def wake_cold(trace: Trace, groups: tuple[Strings, ...]) -> None:
    """The same in the cold, W/m2.

    Cites:
        Single-diode model
    """
    cold = trace.find("cell_cold_degC")
    _wake(trace, WAKE_COLD, "cell_cold", [(group, cold) for group in groups])


def _wake(trace: Trace, method: Method, name: str, cells: list[tuple[Strings, Quantity]]) -> None:
    """The light that suffices for every string, each with its cells at a temperature.

    Every module is fitted first, whether the light is asked for or not: what a fit assumes is told in any case.
    """
    needed, models = trace.find("wake_needed_V"), [_fitted(trace, group) for group, _ in cells]
    lights: list[float | None] = []
    for model, (group, cell) in zip(models, cells, strict=True):
        series = trace.given(group.series)
        if (
            model is None
            or isinstance(needed, Unknown)
            or isinstance(series, Unknown)
            or isinstance(cell, Unknown)
        ):
            return
        lights.append(model.irradiance_for_voc(needed.number / series.number, cell.number))
    _note_wake(trace, method, lights, {"wake_needed": needed, name: cells[-1][1]})


def _note_wake(trace: Trace, method: Method, lights: list[float | None], values: dict[str, Quantity]) -> None:
    """Note the light that suffices for every string; nothing when one never reaches the voltage."""
    enough = [light for light in lights if light is not None]
    if len(enough) == len(lights):
        trace.note(method, rounded(max(enough)), values)


def unlike(trace: Trace, groups: tuple[Strings, ...]) -> None:
    """What unlike strings give together and apart at standard test conditions, W, and what flows back open.

    Cites:
        Single-diode model
    """
    if len(groups) == 1:
        return
    irradiance, cell = standard(trace, "irradiance"), standard(trace, "cell temperature")
    strings: list[Curve] = []
    for group in groups:
        model, series = _fitted(trace, group), trace.given(group.series)
        if model is None or isinstance(series, Unknown):
            return
        curve = model.at(irradiance.number, cell.number)
        strings.append(curve.in_series(series.number).in_parallel(group.count))
    joint = joint_mpp(strings)
    conditions: dict[str, Quantity] = {"stc_irradiance": irradiance, "stc_cell": cell}
    joined = trace.note(JOINED, rounded(joint.power_W), conditions)
    apart = trace.note(APART, rounded(joint.power_alone_W), conditions)
    trace.note(JOINED_VOLTAGE, rounded(joint.voltage_V), conditions)
    shares = zip(joint.open_circuit_currents_A, groups, strict=True)
    trace.note(
        REVERSE_OPEN, rounded(max(0.0, *(-current / group.count for current, group in shares))), conditions
    )
    trace.step(UNLIKE_LOSS, power_apart=apart, power_joined=joined)
