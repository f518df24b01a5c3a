"""Pseudo-localization: marks all text of the message files and of Intl, to find hard-coded text.

A variation selector follows each Latin letter of a message, and each letter that Intl adds to a
number, a date or a country name. Letters without a mark come from the code, from user data, or from
a message key without a message, which the page shows as it is.

The selector has no width and never starts a line, so marks do not change the layout, and one visit
can check both words and layout.
"""

from __future__ import annotations

import re
from collections.abc import Iterable, Iterator
from functools import cache
from typing import Any

from playwright.sync_api import BrowserContext, Page

from tests.browser.seed_server import demo_records
from webapp import spec

MARK = "\ufe00"
MARKED = re.compile(rf"[A-Za-z\u00c0-\u024f]{MARK}")
WORD = re.compile(r"[A-Za-z\u00c0-\u00d6\u00d8-\u00f6\u00f8-\u024f][A-Za-z\u00c0-\u024f\u2019'.-]*")
# Letters that name the glasses of a flight and the wines of a comparison.
GLASS = re.compile(r"(?<![\w'\u2019])[A-G](?![\w'\u2019])")
# A word behind the first of a grape's name, which English writes with a capital.
AFTER_FIRST = re.compile(r" (?!de |of |à |d['\u2019])\w")
KINDS = (
    *("bottle", "tasting", "visit", "pick", "stock"),
    *("group_tasting", "guest", "person", "sheet"),
)

# Leaves placeholders such as {count} unchanged.
MARK_WORDS = r"""() => {
  const marked = (text) => text.replace(/\{\w+\}|[A-Za-z\u00c0-\u024f]/g,
    (part) => part.startsWith('{') ? part : `${part}\ufe00`);
  const { fetch: plain } = globalThis;
  globalThis.fetch = async (...asked) => {
    const answer = await plain(...asked);
    if (!new URL(answer.url).pathname.startsWith('/words/') || !answer.ok) return answer;
    const messages = Object.entries(await answer.json());
    return Response.json(Object.fromEntries(messages.map(([key, text]) => [key, marked(text)])));
  };
  const numbers = Intl.NumberFormat.prototype, dates = Intl.DateTimeFormat.prototype;
  for (const kind of [numbers, dates]) {
    const { get } = Object.getOwnPropertyDescriptor(kind, 'format');
    Object.defineProperty(kind, 'format', { configurable: true, get() {
      const format = get.call(this);
      return (value) => marked(format(value));
    } });
  }
  const named = Intl.DisplayNames.prototype.of;
  Intl.DisplayNames.prototype.of = function (code) {
    const name = named.call(this, code);
    return name === undefined || name === code ? name : marked(name);
  };
  Intl.ListFormat.prototype.format = function (items) {
    return this.formatToParts(items)
      .map(({ type, value }) => type === 'literal' ? marked(value) : value).join('');
  };
}"""

# Collects visible text and text attributes, without the values of inputs.
SAID = """() => {
  const texts = [['title', document.title]];
  const walker = document.createTreeWalker(document.body, NodeFilter.SHOW_TEXT);
  while (walker.nextNode()) {
    const { parentElement: parent, data } = walker.currentNode;
    if (data.trim() && !parent.closest('script, style, noscript, textarea')) {
      texts.push([parent.tagName.toLowerCase(), data]);
    }
  }
  for (const name of ['aria-label', 'aria-description', 'aria-valuetext', 'aria-roledescription',
    'title', 'placeholder', 'alt', 'label']) {
    for (const element of document.querySelectorAll(`body [${name}]`)) {
      texts.push([name, element.getAttribute(name)]);
    }
  }
  return texts;
}"""


def mark_words(context: BrowserContext) -> None:
    """Mark all messages and Intl texts in the pages that the context opens from now on."""
    context.add_init_script(f"({MARK_WORDS})()")


def unmarked(page: Page, own: Iterable[str] = ()) -> list[str]:
    """Return the unmarked texts of the page as "where: text", without duplicates."""
    known = [*own, *own_texts(), *proper_names()]
    theirs = re.compile("|".join(re.escape(text) for text in known))
    found: list[list[str]] = page.evaluate(SAID)
    return sorted(
        {
            f"{where}: {text.strip()[:80]}"
            for where, text in found
            if WORD.search(GLASS.sub("", theirs.sub("", MARKED.sub("_", text))))
        }
    )


@cache
def proper_names() -> list[str]:
    """Return the app name, names and licences of its dependencies, and currency codes."""
    edition = (spec.static_root() / "features" / "settings" / "version.js").read_text("utf-8")
    built_on: list[str] = re.findall(r"(?:name|licence): '([^']+)'", edition)
    money = {str(record["fields"].get("currency")) for record in demo_records("settings")}
    return sorted({"Second Nose", *built_on, *money}, key=len, reverse=True)


def _texts(value: Any) -> Iterator[str]:
    if isinstance(value, str):
        yield value
    elif isinstance(value, list):
        for each in value:
            yield from _texts(each)


@cache
def own_texts() -> list[str]:
    """Return the texts of the example data and the grape names, of which only capitals differ.

    Longest first, so that no text is matched inside another.
    """
    fields = spec.kinds()
    written = {
        line.strip("~ ")
        for kind in KINDS
        for record in demo_records(kind)
        for name, value in record["fields"].items()
        if fields[kind].get(name, {}).get("type") in ("text", "aromas")
        for text in _texts(value)
        if fields[kind][name]["type"] == "text" or text.startswith("~")
        for line in [*text.splitlines(), *re.split(r"[,;/&+]| and ", text)]
    }
    grapes = {grape for style in spec.load("styles")["styles"] for grape in style["grapes"]}
    # As English writes them.
    grapes |= {AFTER_FIRST.sub(lambda start: start[0].upper(), grape) for grape in grapes}
    return sorted((text for text in written | grapes if len(text) > 2), key=len, reverse=True)
