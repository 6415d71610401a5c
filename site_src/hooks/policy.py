"""A content-security policy in every page: nothing from another origin, no script but the site's own files and lines.

It is worked out from the finished page, so that a script or style that stands in it is allowed by its hash, and one
that gets into it later is not.
"""

import base64
import hashlib
import re
from collections.abc import Iterator

from mkdocs.config.defaults import MkDocsConfig
from mkdocs.plugins import event_priority
from mkdocs.structure.pages import Page

LAST = -100
CHARSET = re.compile(r"<meta charset=[^>]*>", re.IGNORECASE)
# A block of data is not run, so the policy does not ask for it. All ours is in small letters; what is not may not run.
SCRIPT = re.compile(r"<script(?![^>]*\b(?:src=|type=\"?application/))[^>]*>(.*?)</script>", re.DOTALL)
STYLE = re.compile(r"<style[^>]*>(.*?)</style>", re.DOTALL)


@event_priority(LAST)
def on_post_page(output: str, page: Page, config: MkDocsConfig) -> str:
    """Set the policy into a finished page."""
    return guarded(output)


@event_priority(LAST)
def on_post_template(output_content: str, template_name: str, config: MkDocsConfig) -> str:
    """Set the policy into a page that no Markdown stands behind."""
    return guarded(output_content) if template_name.endswith(".html") else output_content


def guarded(html: str) -> str:
    """The page with its policy right after its encoding, before anything that could run."""
    charset = CHARSET.search(html)
    if not charset:
        return html
    policy = f'<meta http-equiv="Content-Security-Policy" content="{policy_of(html)}">'
    return f"{html[: charset.end()]}\n  {policy}{html[charset.end() :]}"


def policy_of(html: str) -> str:
    """What a page may load and run: the site's own files, the lines that stand in it, and compiled calculation."""
    rules = {
        "default-src": ["'none'"],
        "script-src": ["'self'", "'wasm-unsafe-eval'", *hashes(SCRIPT, html)],
        "style-src": ["'self'", *hashes(STYLE, html)],
        "img-src": ["'self'", "data:"],
        "connect-src": ["'self'"],
        "worker-src": ["'self'"],
        "manifest-src": ["'self'"],
        "base-uri": ["'none'"],
        "form-action": ["'none'"],
    }
    return "; ".join(f"{name} {' '.join(sources)}" for name, sources in rules.items())


def _standing(kind: re.Pattern[str], html: str) -> Iterator[str]:
    """What stands in each script or style; a plain search for where one begins is much quicker in a long page."""
    begins = "<script" if kind is SCRIPT else "<style"
    place = html.find(begins)
    while place >= 0:
        found = kind.match(html, place)
        if found:
            yield found[1]
        place = html.find(begins, found.end() if found else place + 1)


def hashes(kind: re.Pattern[str], html: str) -> list[str]:
    """The hash of each script or style that stands in the page, once."""
    contents = dict.fromkeys(_standing(kind, html))
    return [
        f"'sha256-{base64.b64encode(hashlib.sha256(one.encode()).digest()).decode()}'" for one in contents
    ]
