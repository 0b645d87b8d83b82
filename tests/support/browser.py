"""A real browser for the tests: which one, what it must never do, and is a page accessible."""

import os
import re
import shutil
from dataclasses import dataclass, field
from pathlib import Path
from typing import TYPE_CHECKING, Any
from urllib.parse import urlsplit

if TYPE_CHECKING:
    from playwright.sync_api import BrowserContext, ConsoleMessage, Page, Request, WebError

AXE = Path(__file__).parents[1] / "vendor" / "axe.min.js"
AXE_TAGS = ("wcag2a", "wcag2aa", "wcag21aa", "wcag22aa")

FLAGS = (
    "--no-sandbox",  # a build machine runs as root, where Chromium's sandbox does not start
    "--disable-gpu",
    "--disable-quic",
    "--no-first-run",
    "--disable-background-networking",
    "--disable-component-update",
    "--disable-sync",
    # Whatever a page may ask for elsewhere is not even looked up.
    "--host-resolver-rules=MAP * ~NOTFOUND, EXCLUDE 127.0.0.1",
)

# Chromium reports a broken policy to the page, not always to the console: make it an error there.
_REPORT_POLICY = """
document.addEventListener("securitypolicyviolation", (event) => {
  console.error(`content security policy: ${event.violatedDirective} refused ${event.blockedURI}`);
});
"""


def executable() -> str:
    """Find the Chromium of this machine, as `tools/chromium` does."""
    for name in (os.environ.get("CHROMIUM"), "chromium", "chromium-browser", "google-chrome"):
        found = shutil.which(name) if name else None
        if found:
            return found
    message = "no Chromium: run tools/chromium, or leave out these tests with -m 'not browser'"
    raise FileNotFoundError(message)


@dataclass(slots=True)
class Watch:
    """What went wrong in a browser context, and what the test said would."""

    troubles: list[str] = field(default_factory=list)
    expected: list[re.Pattern[str]] = field(default_factory=list)

    def expect(self, pattern: str) -> None:
        """Announce trouble that this test causes on purpose, as a regular expression.

        A refused form, say, makes Chromium write "status of 422" to the console. It must then
        come: an announcement that nothing answers to fails the test too.
        """
        self.expected.append(re.compile(pattern))

    def attach(self, context: "BrowserContext", *, host: str) -> None:
        """Watch every page of the context; `host` is the one place it may ask."""

        def request(asked: "Request") -> None:
            address = urlsplit(asked.url)
            if address.scheme not in {"data", "blob", "about"} and address.netloc != host:
                self.troubles.append(f"asked another machine: {asked.method} {asked.url}")

        def console(said: "ConsoleMessage") -> None:
            if said.type == "error":
                self.troubles.append(f"console error: {said.text} ({said.location.get('url')})")

        def error(thrown: "WebError") -> None:
            self.troubles.append(f"thrown in the page: {thrown.error}")

        context.add_init_script(_REPORT_POLICY)
        context.on("request", request)
        context.on("console", console)
        context.on("weberror", error)

    def check(self) -> None:
        """Fail on every trouble not announced and on every announcement that did not come."""
        surprises = [t for t in self.troubles if not any(e.search(t) for e in self.expected)]
        missed = [
            f"announced, but did not come: {e.pattern}"
            for e in self.expected
            if not any(e.search(t) for t in self.troubles)
        ]
        assert not surprises + missed, "\n".join(surprises + missed)


def assert_axe_clean(page: "Page", tags: tuple[str, ...] = AXE_TAGS) -> None:
    """Fail with one readable line for each element that breaks one of the tagged axe rules."""
    # evaluate() runs outside the page's policy, which rightly refuses a foreign script element.
    page.evaluate(AXE.read_text(encoding="utf-8"))
    result: dict[str, Any] = page.evaluate(
        "tags => axe.run(document, {runOnly: {type: 'tag', values: tags}})", list(tags)
    )
    assert result["passes"], f"axe found nothing to check on {page.url}: is the page empty?"
    problems = [
        f"{rule['id']}: {rule['help']}: {node['target']} {node['html'][:160]}"
        for rule in result["violations"]
        for node in rule["nodes"]
    ]
    assert not problems, f"{page.url}\n" + "\n".join(problems)


def small_targets(page: "Page", least: int = 44) -> list[str]:
    """List the visible controls less than `least` CSS pixels wide or high, links in text apart.

    axe does not test this size (its rule, from WCAG 2.2 SC 2.5.8, is 24); ours is larger.
    """
    found: list[str] = page.evaluate(
        """least => [...document.querySelectorAll(
             'button, summary, select, input:not([type=hidden]), textarea, a[href], [role=button]')]
           .filter(e => e.checkVisibility({visibilityProperty: true}))
           .filter(e => !(e.matches('a') && getComputedStyle(e).display === 'inline'))
           .map(e => [e, (e.matches('input[type=checkbox], input[type=radio]')
                          && e.closest('label') || e).getBoundingClientRect()])
           .filter(([e, box]) => box.width < least - 0.5 || box.height < least - 0.5)
           .map(([e, box]) => `${e.outerHTML.slice(0, 120)} `
                              + `${Math.round(box.width)} x ${Math.round(box.height)}`)""",
        least,
    )
    return found
