"""Checks for every screen: axe rules, touch target size, layout with large text, localized text.

Rules of axe: axe-core, "Rule descriptions" (deque.com), with the success criterion of each rule;
`target-size` is enabled in addition.
Touch targets of 48 px: a rule of this project; WCAG 2.2 SC 2.5.8 requires 24 px.
No horizontal scrolling at 320 px, in landscape, with text at 200 %, and with wider spacing of
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

# Violations only, because axe otherwise describes each element that passed as well.
ONLY_VIOLATIONS = {"resultTypes": ["violations"]}
ALL_RULES = {"rules": {"target-size": {"enabled": True}}, **ONLY_VIOLATIONS}
COLOURS = {
    "runOnly": {"type": "rule", "values": ["color-contrast", "link-in-text-block"]},
    **ONLY_VIOLATIONS,
}
AXE = Axe()

# Links inside a sentence are exempt (SC 2.5.8, exception "inline"). The ::after box belongs to the
# target. The label is the target of a hidden file input.
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
# Only the outermost overflowing elements, and only if the page or the dialog can scroll.
SIDEWAYS = """() => {
  const out = (one) => one.getBoundingClientRect().right > innerWidth + 0.5;
  return [document.documentElement, ...document.querySelectorAll('dialog[open]')]
    .filter((one) => one.scrollWidth > one.clientWidth)
    .flatMap((one) => [one, ...one.querySelectorAll('*')])
    .filter((one) => one.checkVisibility() && out(one))
    .filter((one) => !out(one.parentElement ?? document.body))
    .map((one) => one.outerHTML.slice(0, 160));
}"""
# The spacing of SC 1.4.12. Constructed style sheets are not blocked by the CSP.
SPACED = """() => {
  const spaced = new CSSStyleSheet();
  spaced.replaceSync(`* {
    line-height: 1.5 !important; letter-spacing: 0.12em !important; word-spacing: 0.16em !important;
  }
  p { margin-bottom: 2em !important; }`);
  document.adoptedStyleSheets = [spaced];
}"""
# Text may be cut only with an ellipsis or by a line clamp. A flex or grid box draws no ellipsis.
CUT_OFF = """() => [...document.querySelectorAll('#app *, dialog[open] *')].filter((one) => {
  const { display, overflowX, overflowY, textOverflow, webkitLineClamp } = getComputedStyle(one);
  const cuts = (way) => way === 'hidden' || way === 'clip';
  const isMeant = webkitLineClamp !== 'none'
    || textOverflow === 'ellipsis' && !/flex|grid/.test(display);
  return one.checkVisibility() && !isMeant && !one.closest('.unseen, svg') && one.textContent.trim()
    && (cuts(overflowY) && one.scrollHeight > one.clientHeight + 2
      || cuts(overflowX) && one.scrollWidth > one.clientWidth + 2);
}).map((one) => one.outerHTML.slice(0, 160))"""
# Buttons with a frame, which a thumb must not confuse.
TOUCHING = """() => {
  const modal = document.querySelector('dialog[open]') ?? document;
  const boxes = [...modal.querySelectorAll('.button:not(.plain)')]
    .filter((one) => one.checkVisibility() && !one.closest('.at-thumb'))
    .map((one) => [one, one.getBoundingClientRect()]);
  const gap = (a, b) => Math.max(
    a.left - b.right, b.left - a.right, a.top - b.bottom, b.top - a.bottom);
  return boxes.flatMap(([one, box], at) => boxes.slice(at + 1)
    .filter(([, other]) => gap(box, other) < 7.5)
    .map(([other]) => `${one.textContent.trim()} | ${other.textContent.trim()}`));
}"""
# Words of headings, labels and buttons that are divided between two lines.
DIVIDED = """() => {
  const range = document.createRange();
  return [...document.querySelectorAll('th, h1, h2, h3, .label, button')].flatMap((one) => {
    if (!one.checkVisibility()) return [];
    const texts = document.createTreeWalker(one, NodeFilter.SHOW_TEXT);
    const found = [];
    while (texts.nextNode()) {
      for (const word of texts.currentNode.data.matchAll(/[\\p{L}\\p{M}\\p{N}]+/gu)) {
        range.setStart(texts.currentNode, word.index);
        range.setEnd(texts.currentNode, word.index + word[0].length);
        if (new Set([...range.getClientRects()].map((box) => box.top)).size > 1) {
          found.push(word[0]);
        }
      }
    }
    return found;
  });
}"""
# Texts of two blocks that touch on one line; text behind a layer, or cut by its box, is not seen.
MEETING = """() => {
  const range = document.createRange();
  const blockOf = (one) => getComputedStyle(one).display.startsWith('inline')
    ? blockOf(one.parentElement) : one;
  const seen = ({ left, right, top, bottom }, one) => {
    for (let at = one; at && at !== document.body; at = at.parentElement) {
      if (getComputedStyle(at).overflowX === 'visible') continue;
      const edge = at.getBoundingClientRect();
      [left, right] = [Math.max(left, edge.left), Math.min(right, edge.right)];
      [top, bottom] = [Math.max(top, edge.top), Math.min(bottom, edge.bottom)];
    }
    return { left, right, top, bottom };
  };
  const isCovered = ({ left, right, top, bottom, block }) => {
    const at = document.elementFromPoint((left + right) / 2, (top + bottom) / 2);
    return at !== null && !block.contains(at) && !at.contains(block);
  };
  const isShown = (one) => !one.closest('.unseen, svg, option, textarea')
    && one.checkVisibility({ visibilityProperty: true, opacityProperty: true });
  const root = document.querySelector('dialog[open]') ?? document.querySelector('#app');
  const texts = document.createTreeWalker(root, NodeFilter.SHOW_TEXT);
  const boxes = [];
  while (texts.nextNode()) {
    const { data, parentElement: one } = texts.currentNode;
    if (!data.trim() || !isShown(one)) continue;
    range.selectNodeContents(texts.currentNode);
    const shown = [...range.getClientRects()].map((box) => seen(box, one))
      .filter(({ left, right, top, bottom }) => right - left > 1 && bottom - top > 1);
    boxes.push(...shown.map((box) => ({ ...box, block: blockOf(one), text: data.trim() })));
  }
  const height = ({ top, bottom }) => bottom - top;
  const meet = (a, b) => a.block !== b.block && a.left < b.right + 2 && b.left < a.right + 2
    && Math.min(a.bottom, b.bottom) - Math.max(a.top, b.top)
      > Math.min(height(a), height(b)) / 3;
  return boxes.flatMap((a, at) => boxes.slice(at + 1)
    .filter((b) => meet(a, b) && !isCovered(a) && !isCovered(b))
    .map((b) => `${a.text} | ${b.text}`));
}"""
NARROWEST = {"width": 320, "height": 640}
ON_ITS_SIDE = {"width": 780, "height": 360}
# Tall enough that the fixed footer covers no content.
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


# The page behind an open dialog is inert, and other visits check it.
RUN_AXE = """async (options) => {
  const dialogs = [...document.querySelectorAll('dialog[open]')];
  return (await axe.run(dialogs.length ? dialogs : document, options)).violations;
}"""


def axe(page: Page, options: dict[str, Any]) -> list[str]:
    """Return the violations that axe finds; inject its script once per document."""
    if not page.evaluate("() => 'axe' in globalThis"):
        page.evaluate(AXE.axe_script)
    violations = page.evaluate(RUN_AXE, options)
    return [
        f"{rule['id']}: {rule['help']}: {node['html'][:160]} {node['failureSummary'][:300]}"
        for rule in violations
        for node in rule["nodes"]
    ]


def found_by_axe(visitor: Visitor, is_leaf: bool, *, by_night: bool = True) -> Findings:
    """Run all axe rules in the light theme, and the colour rules in the dark theme."""
    page = visitor.page
    if not is_leaf:
        page.set_viewport_size(TALL)
        visitor.settle()
    found = {"axe by day": axe(page, ALL_RULES)}
    if by_night:
        page.emulate_media(color_scheme="dark")
        visitor.settle()
        found["axe by night"] = axe(page, COLOURS)
        page.emulate_media(color_scheme="light")
    page.set_viewport_size(UPRIGHT)
    visitor.settle()
    return found


def found_in_layout(visitor: Visitor) -> Findings:
    """Check the layout in portrait, at 320 px, in landscape, and with wider text spacing."""
    page = visitor.page
    found = {
        "too small": page.evaluate(SMALL),
        "sideways": page.evaluate(SIDEWAYS),
        "touching": page.evaluate(TOUCHING),
        "divided": page.evaluate(DIVIDED),
        "cut off": page.evaluate(CUT_OFF),
        "meeting": page.evaluate(MEETING),
    }
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
    """Find unmarked text on a pseudo-localized page, with all details elements open."""
    if visitor.page.evaluate(UNFOLD):
        visitor.settle()
    found = {"words": unmarked(visitor.page, own)}
    visitor.page.evaluate(FOLD)
    return found


def only(found: Findings) -> Findings:
    """Return the checks with findings."""
    return {check: lines for check, lines in found.items() if lines}
