"""The comment of a function of the client begins with what the function does."""

from __future__ import annotations

import re

from webapp import spec

ROOT = spec.static_root()
OTHERS = ("packed", "vendor")
# The first word of a comment right above a function.
COMMENT = re.compile(
    r"^/\*\*[\s*]*(?P<first>[\w`']+)(?:(?!\*/).)*\*/\n"
    r"(?:export )?(?:async )?function\*? (?P<name>\w+)",
    re.MULTILINE | re.DOTALL,
)
# Articles, pronouns and others that begin a noun phrase or a statement, but no order.
NO_ORDER = re.compile(
    r"(?:The|A|An|This|That|These|Those|It|Its|What|Who|Whose|Which|Whether|How|When|Where|Why|Only"
    r"|Once|Every|Each|All|Both|Some|Several|Such|No|None|As|On|In|Of|For|From|With|Without|Newest"
    r"|Shown|Offered|Deleted|Data|Names|Looks|Settings|Comparison|Warmth|Within|`.*|.*'s)$"
)


def noun_phrases(source: str) -> list[str]:
    found = COMMENT.finditer(source)
    return [one["name"] for one in found if NO_ORDER.match(one["first"])]


def test_comments_of_functions_begin_with_an_order() -> None:
    wrong = {
        path.relative_to(ROOT).as_posix(): names
        for path in ROOT.rglob("*.js")
        if path.relative_to(ROOT).parts[0] not in OTHERS
        and (names := noun_phrases(path.read_text("utf-8")))
    }
    assert wrong == {}
