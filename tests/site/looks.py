"""What the accessibility checker finds on a page as it stands, in each way in which its reader may see it.

The page is opened and brought into its state once; then the window and the reader's wishes change about it. In the looks
that differ in colours only, text that has the same colours on the same grounds as other text that was found good in
that look is not tried again; nor, in the light look, where a page is in one of several states.
"""

from collections.abc import Iterable
from typing import Any

from playwright.sync_api import Page

WIDE, NARROW = 1280, 320
HEIGHTS = {WIDE: 900, NARROW: 256}
"""A wide screen, and the same screen at 400 percent, on which a page is as narrow as on a small phone."""
WCAG_2_2_AA = ("wcag2a", "wcag2aa", "wcag21a", "wcag21aa", "wcag22aa")
COLOURS = ("color-contrast", "link-in-text-block")
ENOUGH, MORE = (
    {"normal": {"expected": 4.5}, "large": {"expected": 3}},
    {"normal": {"expected": 7}, "large": {"expected": 4.5}},
)
"""The least contrast of text, and the one that a reader gets who asks for more (WCAG 2.2, criteria 1.4.3 and 1.4.6)."""
PLAIN = {"color_scheme": "light", "contrast": "no-preference", "forced_colors": "none"}
LOOKS: dict[str, tuple[dict[str, str], tuple[str, ...]]] = {
    "light": (PLAIN, ()),
    "dark": (PLAIN | {"color_scheme": "dark"}, COLOURS),
    "light, more contrast": (PLAIN | {"contrast": "more"}, COLOURS),
    "dark, more contrast": (PLAIN | {"color_scheme": "dark", "contrast": "more"}, COLOURS),
    "forced colours": (PLAIN | {"color_scheme": "dark", "forced_colors": "active"}, COLOURS),
}
"""The ways to see a page, each with the rules that can come out otherwise in it; none means all rules."""
RUN_AXE = """async ([within, rules, tags, leftOut, contrastRatio]) => {
  const found = await axe.run(within.length ? { include: within } : document, {
    runOnly: rules.length ? { type: "rule", values: rules } : { type: "tag", values: tags },
    rules: Object.fromEntries(leftOut.map(rule => [rule, { enabled: false }])),
    checks: { "color-contrast": { options: { contrastRatio } } },
    resultTypes: ["violations"],
    preload: false,
  });
  return found.violations.flatMap(rule => rule.nodes.map(node => rule.id + " at " + node.target.join(" ")));
}"""
SEEN_GOOD: dict[str, set[str]] = {}
"""By look: what text was found good in it, told by all that its contrast depends on."""
NEW_COLOURS = """async ([within, rules, contrastRatio, seen]) => {
  const ON = ["backgroundColor", "backgroundImage", "opacity", "filter", "backdropFilter", "mixBlendMode", "backgroundClip"];
  const NOTHING = "rgba(0, 0, 0, 0);none;1;none;none;normal;border-box", OPAQUE = /^rgb\\(.*;1;none;none;normal;border-box$/;
  const TEXT = ["color", "webkitTextFillColor", "textShadow", "textTransform"];
  const LINK = ["fontWeight", "fontStyle", "fontFamily", "display", "textDecoration", "borderBottom", "outline"];
  const read = (style, names) => names.map(name => style[name]).join(";");
  const size = ({ fontSize, fontWeight }) => // in points, as the checker and WCAG 2.2 have it
    Math.ceil(parseFloat(fontSize) * 72) / 96 >= (fontWeight >= 700 ? 14 : 18) ? "large" : "normal";
  const known = new Set(seen), grounds = new Map(), keys = new Map();
  let painted = null;
  const alone = one => { // whether a part that is moved out of its place lies over nothing that has a colour of its own
    painted ??= [...document.body.querySelectorAll("*")]
      .filter(other => read(getComputedStyle(other), ON) !== NOTHING)
      .map(other => [other, other.getBoundingClientRect()]);
    const at = one.getBoundingClientRect();
    return !painted.some(([other, place]) => !other.contains(one) && !one.contains(other) &&
      place.left < at.right && at.left < place.right && place.top < at.bottom && at.top < place.bottom);
  };
  const ground = one => { // the colours below the text of an element; none where they are not of those around it
    if (!one) return "";
    if (grounds.has(one)) return grounds.get(one);
    const style = getComputedStyle(one), own = read(style, ON), around = ground(one.parentElement);
    const moved = ["absolute", "fixed", "sticky"].includes(style.position) || style.transform !== "none";
    let below = around === null || (moved && !OPAQUE.test(own) && !alone(one)) ? null : around;
    if (OPAQUE.test(own)) below = own;
    else if (below !== null && own !== NOTHING) below += " / " + own;
    grounds.set(one, below);
    return below;
  };
  const written = one => one.matches("a[href]") ||
    (one.localName === "input" ? one.value && !["range", "radio", "checkbox"].includes(one.type) :
      [...one.childNodes].some(node => node.nodeType === Node.TEXT_NODE && node.data.trim().length > 1));
  const places = within.length ? document.querySelectorAll(within.join()) : [document.body];
  for (const one of new Set([...places].flatMap(place => [place, ...place.querySelectorAll("*:not(svg, svg *)")]))) {
    if (!written(one) || !one.checkVisibility({ visibilityProperty: true }) || one.closest(".sr, :disabled")) continue;
    const below = ground(one), link = one.closest("a[href]");
    const [linked, around] = link ? [link, link.parentElement].map(it => getComputedStyle(it)) : [];
    const near = link ? [read(linked, LINK), read(around, [...TEXT, ...LINK]), linked.fontSize === around.fontSize] : [];
    const own = getComputedStyle(one), key = below === null ? null : [below, size(own), read(own, TEXT), ...near].join(" | ");
    if (!known.has(key) && one.getBoundingClientRect().bottom + scrollY > 0) keys.set(one, key);
  }
  const good = new Set(), bad = new Set(), unknowable = new Set(), tried = new Set();
  let faults = 0;
  const tryOn = async found => {
    if (!found.length) return;
    found.forEach(one => tried.add(one));
    const { violations, passes, incomplete } = await axe.run(
      found.length < 300 ? { include: found } : within.length ? { include: within } : document, {
        runOnly: { type: "rule", values: rules },
        checks: { "color-contrast": { options: { contrastRatio } } },
        resultTypes: ["violations", "passes", "incomplete"],
        selectors: false,
        elementRef: true,
        preload: false,
      });
    const note = (rules, keep, which = () => true) => rules.forEach(rule =>
      rule.nodes.filter(which).map(node => keys.get(node.element)).filter(Boolean).forEach(key => keep.add(key)));
    note(violations, bad);
    note(passes, good);
    note(incomplete, unknowable, node => node.any.some(check => check.data?.messageKey === "bgGradient"));
    faults += violations.length;
  };
  const firsts = new Map([...keys].reverse().map(([one, key]) => [key ?? one, one])); // what has no like is one of its own
  await tryOn([...firsts.values()]);
  const told = key => good.has(key) || bad.has(key) || unknowable.has(key);
  await tryOn([...keys].filter(([one, key]) => !tried.has(one) && !told(key)).map(([one]) => one));
  return [[...good, ...unknowable].filter(key => !bad.has(key)), faults];
}"""
WIDTHS = "[document.documentElement.scrollWidth, document.body.scrollWidth]"
OPEN_ALL = "for (const box of document.querySelectorAll('details')) box.open = true"
OPEN_AS_BUILT = "addEventListener('toggle', event => event.stopPropagation(), { capture: true });" + OPEN_ALL
"""The same without the page hearing of it, so that it stays as it was built and the calculation is not begun."""


def ran(
    page: Page,
    *,
    rules: Iterable[str] = (),
    within: Iterable[str] = (),
    left_out: Iterable[str] = (),
    contrast: dict[str, Any] = ENOUGH,
) -> list[str]:
    """What the checker finds by the named rules, or by all of WCAG 2.2 AA but for those left out."""
    asked: list[Any] = [list(within), list(rules), list(WCAG_2_2_AA), list(left_out), contrast]
    return page.evaluate(RUN_AXE, asked)


def ran_on_new_colours(
    page: Page, look: str, *, rules: Iterable[str], within: Iterable[str], contrast: dict[str, Any]
) -> list[str]:
    """What the checker finds by rules on colours, where only text is tried whose like was not found good in this look.

    Alike are texts of the same colours, size and weight on the same grounds; for links also what tells them from the text
    around. Text that may lie over something that is not around it, as a line that sticks to the window does, has no like.
    Of alike texts one is tried, and where the checker cannot tell (something lies over it), all; over a gradient it never
    can.
    """
    seen = SEEN_GOOD.setdefault(look, set())
    good, faults = page.evaluate(NEW_COLOURS, [list(within), list(rules), contrast, sorted(seen)])
    seen.update(good)
    return ran(page, rules=rules, within=within, contrast=contrast) if faults else []


def too_wide(page: Page) -> list[str]:
    """Whether the page is wider than the window; wide tables scroll inside themselves."""
    measured = page.evaluate(WIDTHS)
    return [f"{measured} wide"] * (max(measured) > page.viewport_size["width"])


def found_on(page: Page, axe_source: str, left_out: Iterable[str] = ()) -> list[str]:
    """What is wrong with a page as it stands: what the checker finds, and being wider than the window."""
    page.evaluate(axe_source)
    return ran(page, left_out=left_out) + too_wide(page)


def found_in_every_look(
    page: Page,
    axe_source: str,
    *,
    within: Iterable[str] = (),
    looks: Iterable[str] = LOOKS,
    alike: bool = False,
) -> list[str]:
    """What is wrong with a page as it stands, narrow and wide, in light, dark, with more contrast and in forced colours.

    At each width all of it is tried by all rules once, but at the narrow one alike texts only once for their colours; then,
    in the other looks, the rules on colours. Those may be kept
    ``within`` the parts that the state is about, or to some ``looks``, where another state has tried the rest. With
    ``alike``, text whose like was found good is not tried again in the light look either: for a state of a page that is
    also tried with all its text in sight.
    """
    page.evaluate(axe_source)
    size, found = page.viewport_size, []
    for width, height in HEIGHTS.items():
        page.set_viewport_size({"width": width, "height": height})
        for look in looks:
            media, rules = LOOKS[look]
            page.emulate_media(**media)
            contrast = MORE if media["contrast"] == "more" else ENOUGH
            again = alike or width != WIDE
            told = [] if rules else ran(page, left_out=COLOURS if again else ()) + too_wide(page)
            if rules or again:
                told += ran_on_new_colours(
                    page, look, rules=rules or COLOURS, within=within if rules else (), contrast=contrast
                )
            found += [f"{look}, {width} px: {one}" for one in told]
    page.emulate_media(**PLAIN)
    page.set_viewport_size(size)
    return found
