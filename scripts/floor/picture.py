"""Photographs the report that the README shows; run in the environment, since it drives a browser."""

from playwright.sync_api import ViewportSize, sync_playwright

from floor import ROOT, browser
from floor.build import SITE
from floor.server import serving

DESIGN = "designs/weather-mast/"
TARGET = ROOT / "site_src" / "picture" / "report.png"
VIEW: ViewportSize = {"width": 1240, "height": 1000}


def take() -> None:
    """Photograph the top of one worked design, light, at a desktop's width."""
    TARGET.parent.mkdir(exist_ok=True)
    with serving(SITE) as address, sync_playwright() as tool:
        chromium = tool.chromium.launch(executable_path=browser.ensure(), args=list(browser.FLAGS))
        page = chromium.new_page(viewport=VIEW, color_scheme="light", reduced_motion="reduce")
        page.goto(address + DESIGN, wait_until="networkidle")
        page.screenshot(path=TARGET)
        chromium.close()


if __name__ == "__main__":
    take()
