"""The self-check: what was published, and what the build printed, compared on the reader's own device."""

import json
from collections.abc import Mapping
from hashlib import sha256
from typing import Any

from calc.model.assessment import Assessment
from calc.model.problems import Refused
from calc.plan.fixes import check
from calc.proof import ProofRow, prove
from calc.read.scenario import read_design
from calc.render.as_html import as_html
from calc.render.as_json import as_plain
from calc.render.catalogue import Words, load_words
from calc.tables import load_book

Plain = dict[str, Any]
HOME = "../../"
"""The way from a published report to the start of the site; some of its links depend on it."""


def proved(asked: Mapping[str, str]) -> Plain:
    """Answer one part of the self-check.

    Args:
        asked: ``cases``, the text of a file of published cases, or ``design``, the text of a design file.

    Returns:
        For cases ``rows``, in the order of the file, each with ``ours``, the ``result`` in a word and whether it is
        ``good``; for a design its ``digest``.
    """
    words = load_words()
    if "cases" in asked:
        rows = prove(asked["cases"], load_book())
        return {
            "rows": [{"ours": row.ours, "result": result(row, words), "good": row.agrees} for row in rows]
        }
    return {"digest": digest(asked["design"])}


def result(row: ProofRow, words: Words) -> str:
    """What came of one comparison, in a word."""
    expected = "differ" if row.must_differ else "agree"
    return words(f"proof.{expected}.{'good' if row.agrees else 'bad'}")


def digest(text: str) -> str:
    """The digest of a design's report, made as the build makes it.

    Args:
        text: a design file that can be read; another one is refused (ValueError).
    """
    design = read_design(text)
    if isinstance(design, Refused):
        raise ValueError("; ".join(problem.line() for problem in design.problems))  # noqa: TRY004
    assessment = check(design, load_book(design.text("site.rules") or "us-2023"))
    return digest_of(assessment, as_html(assessment, home=HOME))


def digest_of(assessment: Assessment, fragments: Mapping[str, str]) -> str:
    """A design's whole assessment, report and fixes, in one short word that changes with any character of them.

    Args:
        assessment: the design's assessment with its fixes.
        fragments: its report as ``as_html`` prints it for a page that is ``HOME`` away from the start of the site.
    """
    whole = sha256(json.dumps(as_plain(assessment)).encode())
    for name, fragment in fragments.items():
        whole.update(f"\n{name}\n{fragment}".encode())
    return whole.hexdigest()[:12]
