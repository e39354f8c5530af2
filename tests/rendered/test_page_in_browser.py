"""The HTML page in a browser: it says nothing, asks for nothing, is accessible, and prints whole on both papers."""

import re
from importlib import resources
from pathlib import Path

import pytest

from bomtui.export.html.page import package_html
from tests.rendered.browser import browser, is_there
from tests.services.package.sample import gathered

pytestmark = [pytest.mark.slow, pytest.mark.skipif(not is_there(), reason="no browser is installed")]

SAMPLES = [("sweeper", "zone", "distributed"), ("bench", "bench", "")]
PAPERS = {"A4": (8.27, 11.69), "Letter": (8.5, 11.0)}
"""Width and height in inches, upright (ISO 216; ANSI/ASME Y14.1)."""
POINTS = 72
RULES = ["wcag2a", "wcag2aa", "wcag21a", "wcag21aa", "best-practice"]

# Width of the paper less the margins of the page, in the pixels of a style sheet (96 an inch): the narrower paper.
PRINTABLE_PX = round((11.0 - 20 / 25.4) * 96)


@pytest.mark.parametrize("sample", SAMPLES)
def test_the_page_is_silent_accessible_and_prints(sample: tuple[str, str, str], tmp_path: Path) -> None:
    """No console message, no request beside the file, no broken rule of accessibility, nothing cut on paper."""
    path = tmp_path / "package.html"
    path.write_bytes(package_html(list(gathered(*sample).values())))
    with browser(tmp_path / "profile") as page:
        page.open(path.as_uri())
        rules = (resources.files("axe_core_python") / "axe.min.js").read_text(encoding="utf-8")
        page.evaluate(rules)
        options = f"{{runOnly: {RULES}, resultTypes: ['violations']}}"
        found = page.evaluate(f"axe.run(document, {options})")
        broken = [(own["id"], own["nodes"][0]["target"], len(own["nodes"])) for own in found["violations"]]
        assert broken == []
        assert page.of("Runtime.consoleAPICalled", "Runtime.exceptionThrown", "Log.entryAdded") == []
        asked = [own["request"]["url"] for own in page.of("Network.requestWillBeSent")]
        assert asked == [path.as_uri()]
        # What is wider than the paper would be cut at its edge, or would shrink the whole page.
        page.call("Emulation.setEmulatedMedia", media="print")
        page.call(
            "Emulation.setDeviceMetricsOverride", width=PRINTABLE_PX, height=700, deviceScaleFactor=1, mobile=False
        )
        wide = page.evaluate(
            "[...document.querySelectorAll('table, svg, p, dl')].filter(own => own.getBoundingClientRect().right >"
            f" {PRINTABLE_PX} + 1).map(own => own.querySelector('caption')?.textContent ?? own.tagName)"
        )
        assert wide == []
        page.call("Emulation.setEmulatedMedia", media="")
        page.call("Emulation.clearDeviceMetricsOverride")
        for width, height in PAPERS.values():
            pdf = page.printed(width, height)
            sizes = {tuple(map(float, size)) for size in re.findall(rb"/MediaBox \[0 0 ([\d.]+) ([\d.]+)\]", pdf)}
            assert len(sizes) == 1
            (size,) = sizes
            # The page turns the paper; a point is 1/72 inch.
            assert size == pytest.approx((height * POINTS, width * POINTS), abs=1.0)
            pages = len(re.findall(rb"/Type /Page\b", pdf))
            assert len(gathered(*sample)) < pages < 90
