"""Which pages of the built site are measured."""

from floor import Stop
from floor.build import SITE

REPORTS = "designs/*/index.html"


def report_pages() -> list[str]:
    """List the published report pages as paths below the site's address, the one with most to read first."""
    files = list(SITE.glob(REPORTS))
    if not files:
        raise Stop("The built site has no report page to measure.")
    files.sort(key=lambda file: file.stat().st_size, reverse=True)
    return [f"{file.parent.relative_to(SITE).as_posix()}/" for file in files]
