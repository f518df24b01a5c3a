// Writes a text as a cell of CSV.

// As in webapp/archive/csv.py: the characters are those of the OWASP page on CSV injection, and some
// spreadsheets split cells at a semicolon or a tab, and rows at a line break within quotes.
const FORMULA = /^[=+\-@\t\r\n\uff1d\uff0b\uff0d\uff20]/;
const INNER_FORMULA = /([;\t\r\n]["' ]*)(?=[=+@\uff1d\uff0b\uff0d\uff20-])/g;

/** Quote a text (RFC 4180); one that would run as a formula gets an apostrophe. @param {string} text */
export function csvText(text) {
  const inner = text.replace(INNER_FORMULA, "$1'");
  const safe = FORMULA.test(inner) ? `'${inner}` : inner;
  return /[",\r\n]/.test(safe) ? `"${safe.replaceAll('"', '""')}"` : safe;
}
