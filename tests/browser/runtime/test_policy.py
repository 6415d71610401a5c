"""The content-security policy: the site's own pages work under it, and what does not belong to a page does not run."""

import pytest

from benches.engines import until

# In a turn of its own: what the test itself runs may do more than what runs in the page.
INJECTED = """() => new Promise(done => setTimeout(async () => {
  const blocked = [];
  document.addEventListener("securitypolicyviolation", event => blocked.push(event.effectiveDirective));
  const script = document.createElement("script");
  script.textContent = "window.ran = 'a script'";
  const picture = document.createElement("img");
  picture.setAttribute("onerror", "window.ran = 'a handler'");
  picture.src = "data:,";
  const link = document.createElement("a");
  link.href = "javascript:window.ran = 'a link'";
  document.body.append(script, picture, link);
  link.click();
  try { window.eval("window.ran = 'a string'") } catch {}
  const far = await fetch("https://elsewhere.example/").then(() => "asked", () => "not asked");
  setTimeout(() => done({ ran: window.ran ?? null, far, blocked }), 300);
}))"""


@pytest.mark.parametrize("path", ["", "designs/weather-mast/", "how/tables/", "404.html"])
def test_injected_script_does_not_run(open_page, address, path):
    """Script that gets into a page, as an element, a handler, a link or a string, does not run."""
    page = open_page()
    page.goto(address + path)

    seen = page.evaluate(INJECTED)

    assert (seen["ran"], seen["far"]) == (None, "not asked")
    assert {"script-src-elem", "script-src-attr", "connect-src"} <= set(seen["blocked"])


def test_every_page_has_a_policy(site):
    """Every page names its policy before anything in it could run, and none allows scripts or other places at large."""
    for file in site.rglob("*.html"):
        head = file.read_text("utf-8")[:2000]
        policy = head[head.index("Content-Security-Policy") :].partition(">")[0]

        assert "<script" not in head[: head.index("Content-Security-Policy")], file
        assert "default-src 'none'" in policy
        for loose in ("unsafe-inline", "'unsafe-eval'", "http:", "https:", " *"):
            assert loose not in policy, (file, loose)


def test_calculation_runs_under_the_policy(everywhere):
    """In each engine the policy of the site's pages lets the calculation start."""
    everywhere.start()

    assert until(everywhere.engine, "return document.querySelector('meta[http-equiv]') !== null")
    assert everywhere.verdict() == "needs input"
