"""Random designs that are valid: sensible ones and ones at the edges of a field, whole or with parts missing.

Every value is drawn as text in steps of a last digit, so that a failing case shrinks to one that can be read.
"""

import tomli_w
from hypothesis import strategies as st

AWG = ("14", "12", "10", "8", "6", "4", "3", "2", "1", "1/0", "2/0", "3/0", "4/0")
MM2 = ("1.5", "2.5", "4", "6", "10", "16", "25", "35", "50", "70")
NAMES = ("home run", "shed, north", "run 2.5", "<b>&\"'", "to the battery", "x" * 60)


def stepped(unit, low, high, digits=2):
    """A quantity from ``low`` to ``high`` (both possible) in steps of the last of ``digits`` decimals, as text."""
    scale = 10**digits
    return st.integers(round(low * scale), round(high * scale)).map(
        lambda number: f"{number / scale:.{digits}f} {unit}"
    )


def amount(unit, usual, possible, digits=2):
    """Mostly a usual quantity, now and then anything that is possible."""
    return st.one_of(
        stepped(unit, *usual, digits), stepped(unit, *usual, digits), stepped(unit, *possible, digits)
    )


def count(usual, possible):
    return st.one_of(st.integers(*usual), st.integers(*usual), st.integers(*possible))


def table(required, optional):
    """A table with its required lines and any of the optional ones."""
    return st.fixed_dictionaries(required, optional=optional)


@st.composite
def modules(draw):
    """Four values that go together, and any of the others; a coefficient in either way of writing."""
    voc = draw(st.one_of(st.integers(1800, 6000), st.integers(10, 100_000)))  # hundredths of a volt
    isc = draw(st.one_of(st.integers(200, 1500), st.integers(10, 200_000)))  # hundredths of an ampere
    vmp = draw(st.one_of(st.integers(voc * 7 // 10, voc - 1), st.integers(1, voc - 1)))
    imp = draw(st.one_of(st.integers(isc * 7 // 10, isc - 1), st.integers(1, isc - 1)))
    module = {
        "voc": f"{voc / 100} V",
        "isc": f"{isc / 100} A",
        "vmp": f"{max(vmp, 1) / 100} V",
        "imp": f"{max(imp, 1) / 100} A",
    }
    module |= draw(
        table(
            {},
            {
                "label": st.sampled_from(("110 W, 36 cells", '<b>bold</b> & "quoted"')),
                "pmax": st.just(f"{min(max(vmp * imp / 10_000, 0.01), 2000):.2f} W"),
                "isc_coefficient": stepped("%/degC", 0, 0.15),
                "imp_coefficient": stepped("%/degC", -0.15, 0.15),
                "vmp_coefficient": amount("%/degC", (-0.6, -0.2), (-2, 0)),
                "pmax_coefficient": amount("%/degC", (-0.6, -0.2), (-2, 0)),
                "noct": amount("degC", (40, 50), (20, 90), 1),
                "max_series_fuse": st.one_of(
                    st.sampled_from(("10 A", "15 A", "20 A", "25 A")), stepped("A", 0.01, 2000)
                ),
                "max_system_voltage": st.one_of(
                    st.sampled_from(("600 V", "1000 V", "1500 V")), stepped("V", 0.01, 3000)
                ),
                "rear_gain": stepped("%", 0, 60, 1),
                "tolerance": stepped("%", 0, 50, 1),
            },
        )
    )
    millivolts = draw(st.none() | st.integers(0, voc * 20 // 100))  # up to 2 % of Voc for each degree
    relative = draw(st.none() | amount("%/degC", (-0.4, -0.25), (-2, 0)))
    if millivolts is not None:
        module["voc_coefficient"] = f"{-millivolts} mV/degC"
    elif relative is not None:
        module["voc_coefficient"] = relative
    return module


def sites():
    cold = st.one_of(
        table({"coldest": amount("degC", (-40, 5), (-90, 10), 1)}, {}),
        table({"hardiness_zone": st.sampled_from(("1a", "4b", "6a", "9b", "13b"))}, {}),
        st.just({}),
    )
    rest = table(
        {},
        {
            "hottest": amount("degC", (25, 48), (10, 70), 1),
            "building": st.sampled_from(("none", "dwelling", "other")),
            "latitude": st.just("44 deg"),
        },
    )
    return st.tuples(cold, rest).map(lambda both: both[0] | both[1])


def runs(carries):
    return table(
        {"carries": st.just(carries)},
        {
            "length": st.one_of(
                amount("ft", (3, 300), (0.01, 30_000)), amount("m", (1, 100), (0.01, 10_000))
            ),
            "size": st.one_of(
                st.sampled_from(AWG).map(lambda size: f"{size} AWG"),
                st.sampled_from(MM2).map(lambda size: f"{size} mm2"),
            ),
            "material": st.sampled_from(("copper", "aluminium")),
            "insulation": st.sampled_from(("60 degC", "75 degC", "90 degC")),
            "routing": st.sampled_from(("free air", "conduit", "buried", "roof conduit")),
            "ambient": amount("degC", (20, 60), (-60, 90), 1),
            "conductors_in_conduit": count((2, 8), (2, 200)),
            "terminals": st.sampled_from(("60 degC", "75 degC")),
            "conductor_temperature": amount("degC", (40, 75), (-40, 120), 1),
            "voltage_rating": st.sampled_from(("600 V", "1000 V", "2000 V")),
            "max_drop": amount("%", (1, 5), (0.01, 50)),
        },
    )


@st.composite
def all_runs(draw):
    found = [
        draw(runs(carries)) for carries in ("string", "array", "array", "battery") if draw(st.booleans())
    ]
    names = draw(st.lists(st.sampled_from(NAMES), min_size=len(found), max_size=len(found), unique=True))
    return [{"name": name} | run for name, run in zip(names, found, strict=True)]


def controllers():
    return table(
        {},
        {
            "kind": st.sampled_from(("mppt", "pwm")),
            "max_voltage": st.one_of(
                st.sampled_from(("50 V", "100 V", "150 V", "250 V")), stepped("V", 0.01, 3000)
            ),
            "start_margin": amount("V", (0, 6), (0, 100)),
            "run_margin": amount("V", (0, 2), (0, 100)),
            "own_drop": amount("V", (0, 1), (0, 20)),
            "max_input_current": amount("A", (10, 60), (0.01, 2000)),
            "rated_output_current": amount("A", (10, 60), (0.01, 2000)),
            "clipping_accepted": stepped("%", 0, 100, 1),
            "blocks_reverse": st.booleans(),
        },
    )


@st.composite
def batteries(draw):
    nominal = draw(st.sampled_from((12, 24, 48)))
    battery = draw(
        table(
            {"nominal": st.just(f"{nominal} V")},
            {
                "chemistry": st.sampled_from(("lead-acid flooded", "lead-acid sealed", "lifepo4", "other")),
                "device": amount("A", (10, 100), (0.01, 2000)),
            },
        )
    )
    if draw(st.booleans()):
        absorption = draw(st.integers(nominal * 100, nominal * 150))
        battery["absorption"] = f"{absorption / 100:.2f} V"
        if draw(st.booleans()):
            battery["lowest"] = f"{draw(st.integers(1, absorption)) / 100:.2f} V"
        if draw(st.booleans()):
            battery["equalise"] = f"{draw(st.integers(absorption, 2 * absorption)) / 100:.2f} V"
    return battery


def arrays(layout):
    return table(
        layout,
        {
            "mounting": st.sampled_from(("pole", "open rack", "roof stand-off", "roof flush")),
            "joining": st.sampled_from(("couplers", "combiner")),
            "string_fuse": st.one_of(st.just("none"), amount("A", (6, 20), (0.01, 2000))),
            "string_fuse_voltage": amount("V", (50, 600), (0.01, 3000)),
        },
    )


def couplers():
    return st.lists(
        table(
            {},
            {
                "inputs": count((2, 4), (2, 12)),
                "rating": st.sampled_from(("20 A", "30 A", "50 A", "0.5 A", "2000 A")),
                "voltage_rating": st.sampled_from(("30 V", "600 V", "1000 V")),
            },
        ),
        min_size=1,
        max_size=3,
    )


def combiners():
    return table(
        {},
        {
            "circuits": count((2, 8), (1, 200)),
            "bar_rating": amount("A", (20, 120), (0.01, 2000)),
            "breaker": amount("A", (15, 80), (0.01, 2000)),
            "voltage_rating": amount("V", (60, 600), (0.01, 3000)),
        },
    )


def sizes():
    return st.one_of(
        st.sampled_from(AWG).map(lambda size: f"{size} AWG"),
        st.sampled_from(MM2).map(lambda size: f"{size} mm2"),
    )


def margins():
    return table(
        {},
        {
            "voltage_max": stepped("%", 0, 50, 1),
            "voltage_min": stepped("%", 0, 50, 1),
            "current": stepped("%", 0, 50, 1),
            "drop": stepped("%", 0, 100, 1),
        },
    )


@st.composite
def strings(draw):
    """One to four kinds of string, all with the common module or each with its own."""
    own = draw(st.booleans())
    found = []
    for _ in range(draw(st.integers(1, 4))):
        string = draw(
            table(
                {"modules_in_series": count((1, 6), (1, 200))},
                {"strings_in_parallel": count((1, 4), (1, 200))},
            )
        )
        if own:
            string["module"] = draw(modules())
        found.append(string)
    return own, found


@st.composite
def documents(draw, most_strings=200):
    """A design file as nested tables."""
    document = {}
    if draw(st.booleans()):
        document["title"] = draw(
            st.text(
                st.characters(codec="utf-8", categories=("L", "N", "P", "S", "Zs")), min_size=1, max_size=120
            )
            .map(lambda text: " ".join(text.split()))
            .filter(bool)
        )
    if draw(st.integers(0, 3)):
        layout = {
            "modules_in_series": count((1, 8), (1, 200)),
            "strings_in_parallel": count((1, min(6, most_strings)), (1, most_strings)),
        }
        document |= {"module": draw(modules()), "array": draw(arrays(layout))}
    else:
        own, found = draw(strings())
        document |= {"string": found, "array": draw(arrays({}))}
        if not own:
            document["module"] = draw(modules())
    parts = {
        "site": sites(),
        "run": all_runs(),
        "controller": controllers(),
        "battery": batteries(),
        "coupler": couplers(),
        "combiner": combiners(),
        "disconnect": table(
            {},
            {
                "rating": amount("A", (10, 80), (0.01, 2000)),
                "voltage_rating": amount("V", (50, 600), (0.01, 3000)),
            },
        ),
        "grounding": table({}, {"conductor": sizes()}),
        "margins": margins(),
    }
    return document | draw(table({}, parts))


def written(document):
    """The document as the text of a design file."""
    return tomli_w.dumps(document)
