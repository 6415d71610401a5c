"""Pages whose design can be changed; the calculation is kept on the device after the first, so others start fast."""

import pytest

from tests.browser.desk import WATCH


@pytest.fixture(scope="module")
def reader(browser):
    """One reader's browser profile for the tests of a file."""
    context = browser.new_context(
        viewport={"width": 1280, "height": 900},
        reduced_motion="reduce",
        accept_downloads=True,
    )
    context.add_init_script(WATCH)
    yield context
    context.close()


@pytest.fixture
def page(reader):
    """A page of that reader's; a test fails when the page meets a fault or asks a question in a dialog."""
    page = reader.new_page()
    faults = []
    page.on("pageerror", lambda error: faults.append(str(error)))
    page.on("dialog", lambda dialog: (faults.append(f"dialog: {dialog.message}"), dialog.dismiss()))
    yield page
    page.close()
    assert not faults
