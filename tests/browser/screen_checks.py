"""What every screen must fulfil: axe's rules, room for a thumb and for large text, known words.

Source of axe's rules: axe-core, "Rule descriptions" (deque.com), which names the success criterion
of each; `target-size` is switched on besides.
48 px: the project's own measure (issue of looks and access); WCAG 2.2 SC 2.5.8 asks for 24.
No sideways scrolling at 320 px, on its side, with text at 200 %, and with wider spaces between
letters, words and lines: WCAG 2.2 SC 1.4.10, 1.3.4, 1.4.4 and 1.4.12.
"""

from __future__ import annotations

from collections.abc import Iterable
from typing import Any

from axe_playwright_python.sync_playwright import Axe
from playwright.sync_api import Page

from tests.browser.pseudo_localization import unmarked
from tests.browser.visitor import UPRIGHT, Visitor

Findings = dict[str, list[str]]

# Only the violations are wanted; without this, axe describes each element that passed as well.
ONLY_VIOLATIONS = {"resultTypes": ["violations"]}
ALL_RULES = {"rules": {"target-size": {"enabled": True}}, **ONLY_VIOLATIONS}
COLOURS = {
    "runOnly": {"type": "rule", "values": ["color-contrast", "link-in-text-block"]},
    **ONLY_VIOLATIONS,
}
AXE = Axe()

# A link inside a sentence is as high as its line (SC 2.5.8, exception "inline"); what is drawn
# around an element by ::after can be pressed too; a hidden file input is pressed by its label.
SMALL = """() => [...document.querySelectorAll(
  'a[href], button, input, select, textarea, summary, [role=slider], [tabindex="0"]'
)].map((one) => (one.matches('input.unseen') ? one.labels[0] ?? one : one)).filter((one) => {
  const shown = one.checkVisibility({ visibilityProperty: true });
  const modal = document.querySelector('dialog[open]');
  if (!shown || one.closest('.skip') || (modal && !modal.contains(one))) return false;
  const inSentence = one.localName === 'a' && getComputedStyle(one).display === 'inline'
    && one.parentElement.textContent.trim() !== one.textContent.trim();
  if (inSentence) return false;
  const { width, height } = one.getBoundingClientRect();
  const after = getComputedStyle(one, '::after');
  const drawn = after.position === 'absolute' && after.content !== 'none';
  const beyond = (...sides) => drawn
    ? sides.reduce((sum, side) => sum - Math.min(0, parseFloat(after[side]) || 0), 0) : 0;
  return height + beyond('top', 'bottom') < 47.5 || width + beyond('left', 'right') < 47.5;
}).map((one) => {
  const { width, height } = one.getBoundingClientRect();
  return `${Math.round(width)}x${Math.round(height)} ${one.outerHTML.slice(0, 120)}`;
})"""
# Of what sticks out, only the outermost, and only where the page or the leaf would scroll for it.
SIDEWAYS = """() => {
  const out = (one) => one.getBoundingClientRect().right > innerWidth + 0.5;
  return [document.documentElement, ...document.querySelectorAll('dialog[open]')]
    .filter((one) => one.scrollWidth > one.clientWidth)
    .flatMap((one) => [one, ...one.querySelectorAll('*')])
    .filter((one) => one.checkVisibility() && out(one))
    .filter((one) => !out(one.parentElement ?? document.body))
    .map((one) => one.outerHTML.slice(0, 160));
}"""
# The measures of SC 1.4.12. A sheet made by the page itself is not held up by its policy.
SPACED = """() => {
  const spaced = new CSSStyleSheet();
  spaced.replaceSync(`* {
    line-height: 1.5 !important; letter-spacing: 0.12em !important; word-spacing: 0.16em !important;
  }
  p { margin-bottom: 2em !important; }`);
  document.adoptedStyleSheets = [spaced];
}"""
# Only a line that ends in dots on purpose may be cut, and a name in the list after two lines.
CUT_OFF = """() => [...document.querySelectorAll('#app *, dialog[open] *')].filter((one) => {
  const { overflowX, overflowY, textOverflow, webkitLineClamp } = getComputedStyle(one);
  const cuts = (way) => way === 'hidden' || way === 'clip';
  const isMeant = textOverflow === 'ellipsis' || webkitLineClamp !== 'none';
  return one.checkVisibility() && !isMeant && !one.closest('.unseen, svg') && one.textContent.trim()
    && (cuts(overflowY) && one.scrollHeight > one.clientHeight + 2
      || cuts(overflowX) && one.scrollWidth > one.clientWidth + 2);
}).map((one) => one.outerHTML.slice(0, 160))"""
NARROWEST = {"width": 320, "height": 640}
ON_ITS_SIDE = {"width": 780, "height": 360}
# What scrolls behind the foot of the page just now is not covered for good.
TALL = {"width": 360, "height": 5000}
UNFOLD = """() => {
  const folded = [...document.querySelectorAll('details:not([open])')];
  for (const fold of folded) { fold.open = true; fold.dataset.unfolded = ''; }
  return folded.length;
}"""
FOLD = """() => {
  for (const fold of document.querySelectorAll('details[data-unfolded]')) {
    fold.open = false;
    delete fold.dataset.unfolded;
  }
}"""


def axe(page: Page, options: dict[str, Any]) -> list[str]:
    """What axe finds; its script is given to each document once."""
    if not page.evaluate("() => 'axe' in globalThis"):
        page.evaluate(AXE.axe_script)
    violations = page.evaluate("async (options) => (await axe.run(options)).violations", options)
    return [
        f"{rule['id']}: {rule['help']}: {node['html'][:160]} {node['failureSummary'][:300]}"
        for rule in violations
        for node in rule["nodes"]
    ]


def found_by_axe(visitor: Visitor, is_leaf: bool) -> Findings:
    """By day every rule, by night those of colours."""
    page = visitor.page
    if not is_leaf:
        page.set_viewport_size(TALL)
        visitor.settle()
    found = {"axe by day": axe(page, ALL_RULES)}
    page.emulate_media(color_scheme="dark")
    visitor.settle()
    found["axe by night"] = axe(page, COLOURS)
    page.emulate_media(color_scheme="light")
    page.set_viewport_size(UPRIGHT)
    visitor.settle()
    return found


def found_in_layout(visitor: Visitor) -> Findings:
    """Upright, narrowest, on its side, and with wider spaces in the text."""
    page = visitor.page
    found = {"too small": page.evaluate(SMALL), "sideways": page.evaluate(SIDEWAYS)}
    page.evaluate(SPACED)
    found["sideways when spaced"] = page.evaluate(SIDEWAYS)
    found["cut off when spaced"] = page.evaluate(CUT_OFF)
    page.evaluate("() => { document.adoptedStyleSheets = []; }")
    page.set_viewport_size(NARROWEST)
    visitor.settle()
    found["sideways at 320 px"] = page.evaluate(SIDEWAYS)
    page.set_viewport_size(ON_ITS_SIDE)
    visitor.settle()
    found["sideways on its side"] = page.evaluate(SIDEWAYS)
    found["too small on its side"] = page.evaluate(SMALL)
    page.set_viewport_size(UPRIGHT)
    visitor.settle()
    return found


def found_in_words(visitor: Visitor, own: Iterable[str] = ()) -> Findings:
    """Words of no message file on a page whose messages are marked, with every fold open."""
    if visitor.page.evaluate(UNFOLD):
        visitor.settle()
    found = {"words": unmarked(visitor.page, own)}
    visitor.page.evaluate(FOLD)
    return found


def only(found: Findings) -> Findings:
    """The checks that found something."""
    return {check: lines for check, lines in found.items() if lines}
