// Creates the mutants of a source text: small changes that a test should detect.
import { createRequire } from 'node:module';

const tools = createRequire(new URL('../../.tools/package.json', import.meta.url));
const { parse } = tools('acorn');

/**
 * @typedef {{ start: number, end: number, text: string }} Change
 * @typedef {Change & { line: number, code: string, before: string }} Mutant `code`: the source
 *   line, trimmed
 */

const OTHERS = {
  '<': ['<=', '>='],
  '<=': ['<', '>'],
  '>': ['>=', '<='],
  '>=': ['>', '<'],
  '===': ['!=='],
  '!==': ['==='],
  '+': ['-'],
  '-': ['+'],
  '*': ['/'],
  '/': ['*'],
  '%': ['*'],
  '**': ['*'],
  '&': ['|'],
  '|': ['&'],
  '>>': ['<<'],
};
const ASSIGNMENTS = { '+=': '-=', '-=': '+=', '*=': '/=', '??=': '=' };
const MATH = { min: 'max', max: 'min', floor: 'ceil', round: 'floor', trunc: 'ceil' };
const CALLS = new Map([
  ['some', 'every'],
  ['every', 'some'],
  ['above', 'aboveOrEqual'],
]);
const DROPPED = new Set([
  'filter',
  'map',
  'flatMap',
  'slice',
  'sort',
  'reverse',
  'catch',
  'finally',
  'padStart',
  'limit',
]);

/**
 * @param {string} source
 * @returns {Mutant[]} in order of position
 */
export function mutantsOf(source) {
  const tree = parse(source, { ecmaVersion: 'latest', sourceType: 'module', locations: true });
  const lines = source.split('\n');
  /** @type {Map<string, Mutant>} */
  const found = new Map();
  walk(tree, null, (node, parent) => {
    const changes = operators[node.type]?.(node, source, parent) ?? [];
    for (const { start, end, text } of [...changes, ...conditions(node)]) {
      const before = source.slice(start, end);
      const line = source.slice(0, start).split('\n').length;
      const code = String(lines[line - 1]).trim();
      if (before !== text) found.set(`${start} ${end} ${text}`, { start, end, text, line, code, before });
    }
  });
  return [...found.values()].sort((one, other) => one.start - other.start || one.end - other.end);
}

/** @param {any} node @param {any} parent @param {(node: any, parent: any) => void} visit */
function walk(node, parent, visit) {
  if (node.type === 'ImportDeclaration') return;
  visit(node, parent);
  for (const value of Object.values(node)) {
    for (const each of Array.isArray(value) ? value : [value]) {
      if (each && typeof each.type === 'string') walk(each, node, visit);
    }
  }
}

/** @param {any} node @param {string} text @returns {Change} */
const instead = (node, text) => ({ start: node.start, end: node.end, text });

/** @param {any} node @returns {Change[]} */
function conditions(node) {
  if (node.type === 'IfStatement' || node.type === 'ConditionalExpression') {
    return [instead(node.test, 'true'), instead(node.test, 'false')];
  }
  return node.type === 'WhileStatement' ? [instead(node.test, 'false')] : [];
}

/**
 * Return the range of a list element with the comma after or before it.
 * @param {any[]} list
 * @param {number} place
 * @param {boolean} only
 */
function withoutElement(list, place, only) {
  const next = list[place + 1];
  const before = list[place - 1];
  if (next) return [{ start: list[place].start, end: next.start, text: '' }];
  if (before) return [{ start: before.end, end: list[place].end, text: '' }];
  return only ? [instead(list[place], '')] : [];
}

/** @param {any} node @param {string} source */
const textOf = (node, source) => source.slice(node.start, node.end);
const isText = (node) => node.type === 'TemplateLiteral' || (node.type === 'Literal' && typeof node.value === 'string');
const dropped = (node) => [instead(node, ';')];

/**
 * @param {any} value the returned expression
 * @param {string} source
 * @returns {Change[]}
 */
function insteadOfValue(value, source) {
  const text = textOf(value, source);
  return value.type === 'Literal' || text === 'undefined' ? [] : [instead(value, 'null')];
}

/** @type {Record<string, (node: any, source: string, parent: any) => Change[]>} */
const operators = {
  BinaryExpression({ left, right, operator }, source) {
    if (operator === '+' && (isText(left) || isText(right))) return [];
    const gap = source.slice(left.end, right.start);
    return (OTHERS[operator] ?? []).map((other) => ({
      start: left.end,
      end: right.start,
      text: gap.replace(operator, other),
    }));
  },
  LogicalExpression(node, source) {
    const { left, right, operator } = node;
    const swapped = { '&&': '||', '||': '&&' }[operator];
    const gap = source.slice(left.end, right.start);
    const sides = [instead(node, textOf(left, source)), instead(node, textOf(right, source))];
    if (!swapped || /&&|\|\|/.test(textOf(node, source).replace(gap, ''))) return sides;
    return [{ start: left.end, end: right.start, text: gap.replace(operator, swapped) }, ...sides];
  },
  UnaryExpression(node, source) {
    return node.operator === '!' || node.operator === '-' ? [instead(node, textOf(node.argument, source))] : [];
  },
  AssignmentExpression({ left, right, operator }, source) {
    const other = ASSIGNMENTS[operator];
    return other
      ? [{ start: left.end, end: right.start, text: source.slice(left.end, right.start).replace(operator, other) }]
      : [];
  },
  Literal(node) {
    if (typeof node.value === 'boolean') return [instead(node, String(!node.value))];
    return typeof node.value === 'number' ? [instead(node, String(node.value + 1))] : [];
  },
  ExpressionStatement: dropped,
  BreakStatement: dropped,
  ContinueStatement: dropped,
  ThrowStatement: dropped,
  ReturnStatement(node, source) {
    return node.argument ? insteadOfValue(node.argument, source) : dropped(node);
  },
  ArrowFunctionExpression(node, source) {
    return node.expression ? insteadOfValue(node.body, source).map((change) => ({ ...change, text: 'undefined' })) : [];
  },
  ArrayExpression({ elements }) {
    return elements.flatMap((_, place) => withoutElement(elements, place, true));
  },
  ObjectExpression({ properties }) {
    return properties.flatMap((_, place) => withoutElement(properties, place, true));
  },
  MemberExpression(node, source) {
    return node.optional
      ? [instead(node, textOf(node, source).replace(/\?\.(?=[^?]*$)/, node.computed ? '' : '.'))]
      : [];
  },
  CallExpression(node, source) {
    const { callee } = node;
    if (callee.type !== 'MemberExpression' || callee.computed) return [];
    const name = callee.property.name;
    if (callee.object.name === 'Math') return insteadOfMath(node, name, source);
    if (CALLS.has(name)) return [instead(callee.property, CALLS.get(name))];
    return DROPPED.has(name) && node.arguments.length < 3 ? [instead(node, textOf(callee.object, source))] : [];
  },
};

/** @param {any} node @param {string} name @param {string} source @returns {Change[]} */
function insteadOfMath(node, name, source) {
  const other = MATH[name] ? [instead(node.callee.property, MATH[name])] : [];
  return name === 'abs' ? [instead(node, textOf(node.arguments[0], source))] : other;
}
