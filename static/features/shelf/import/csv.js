// Parses a pasted or imported list: tab, semicolon, bar or comma as delimiter, quotes as in RFC
// 4180.

const DELIMITERS = ['\t', ';', '|', ','];

/** @typedef {{ line: number, cells: string[] }} Line `line`: line number in the text, from 1 */

/**
 * @param {string} text
 * @param {string} [delimiter]
 * @returns {Line[]} without blank lines
 */
export function parseCsv(text, delimiter = detectDelimiter(text)) {
  /** @type {Line[]} */
  const lines = [];
  let cells = [''];
  let quoted = false;
  let line = 1;
  let firstLine = 1;
  const end = () => {
    if (cells.some((cell) => cell.trim() !== ''))
      lines.push({ line: firstLine, cells: cells.map((cell) => cell.trim()) });
    cells = [''];
  };
  const source = text.replace(/^\uFEFF/, '').replace(/\r\n?/g, '\n');
  for (let at = 0; at < source.length; at += 1) {
    const char = /** @type {string} */ (source[at]);
    const last = cells.length - 1;
    if (char === '"' && quoted && source[at + 1] === '"') {
      cells[last] += '"';
      at += 1;
    }
    // A quote inside an unquoted cell is literal.
    else if (char === '"' && (quoted || cells[last]?.trim() === '')) {
      quoted = !quoted;
      if (quoted) cells[last] = '';
    } else if (char === delimiter && !quoted) cells.push('');
    else if (char === '\n' && !quoted) {
      end();
      line += 1;
      firstLine = line;
    } else {
      cells[last] += char;
      if (char === '\n') line += 1;
    }
  }
  end();
  return lines;
}

/**
 * Return the delimiter that splits most lines into the same number of cells, at least two.
 * @param {string} text
 */
export function detectDelimiter(text) {
  const lines = text
    .split(/\r\n?|\n/)
    .filter((line) => line.trim())
    .slice(0, 50);
  const scored = DELIMITERS.map((delimiter) => {
    const counts = lines.map((line) => cutOutsideQuotes(line, delimiter));
    const usual = mostCommon(counts.filter((count) => count > 0));
    return { delimiter, even: usual === 0 ? 0 : counts.filter((count) => count === usual).length };
  });
  return scored.reduce((best, each) => (each.even > best.even ? each : best)).delimiter;
}

/** @param {string} line @param {string} delimiter */
function cutOutsideQuotes(line, delimiter) {
  return line.replace(/"[^"]*"/g, '').split(delimiter).length - 1;
}

/** @param {number[]} counts */
function mostCommon(counts) {
  const times = new Map();
  for (const count of counts) times.set(count, (times.get(count) ?? 0) + 1);
  return [...times].sort((a, b) => b[1] - a[1])[0]?.[0] ?? 0;
}

/**
 * Add a list to the text of another one. Of equal headings, as of the pages of one list, the first ones stay.
 * @param {string} text
 * @param {string} added with headings
 */
export function appendList(text, added) {
  if (!text.trim()) return added;
  const [heading = ''] = added.split('\n');
  const isSame = text.split('\n')[0] === heading;
  return `${text.trimEnd()}\n${isSame ? added.slice(heading.length + 1) : added}`;
}
