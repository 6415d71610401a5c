"""What a report page costs a reader who comes for the first time: the page and all it needs, as sent."""

from playwright.sync_api import Browser, sync_playwright

from benches import AT_MOST, Figure
from benches.pages import report_pages
from floor import browser
from floor.build import SITE
from floor.server import serving

KILOBYTE = 1000


def measure_weight() -> dict[str, Figure]:
    """Weigh every published report page on the wire; the heaviest counts."""
    with serving(SITE) as address, sync_playwright() as tool:
        chromium = tool.chromium.launch(executable_path=browser.ensure(), args=list(browser.FLAGS))
        heaviest = max(bytes_on_the_wire(chromium, address + path) for path in report_pages())
        chromium.close()
    return {"report_page_kb": Figure(round(heaviest / KILOBYTE, 1), 180, AT_MOST, "kB")}


def bytes_on_the_wire(chromium: Browser, url: str) -> float:
    """Add up what the browser received, headers and all, with nothing kept from an earlier visit."""
    context = chromium.new_context()
    page = context.new_page()
    wire = context.new_cdp_session(page)
    received: list[float] = []
    wire.on("Network.loadingFinished", lambda event: received.append(event["encodedDataLength"]))
    wire.send("Network.enable")
    page.goto(url, wait_until="networkidle")
    context.close()
    return sum(received)
