// Rollup plugins: remove comments and unused fields from data files, and compile templates to calls.
import { join } from 'node:path';
import { STATIC, isOurs, name, tools } from './client_tree.mjs';

const babel = tools('@babel/core');
const htm = tools('babel-plugin-htm');

/** Keys of data files that no screen uses: documentation, and lists for the server. */
const DOCUMENTATION = new Set(['about', 'comment', 'from_files', 'made', 'source', 'sources', 'status']);

/** Fields of a style that screens do not use (palate, label law); as `ServerOnlyKey` in domain/style_names.js. */
const SERVER_ONLY =
  /^(legal_\w+|abv_\w+|\w+_sd|intensity|acidity|tannin|body|group|world|note|ageing_colour|core_set|countries)$/;

/** @param {Record<string, unknown>} row @param {(key: string) => boolean} isWanted */
const narrowed = (row, isWanted) => Object.fromEntries(Object.entries(row).filter(([key]) => isWanted(key)));

/**
 * @param {string} text of a data file
 * @returns {string} a call of JSON.parse, which engines evaluate faster than an object literal
 */
function dataCall(text) {
  const data = narrowed(JSON.parse(text), (key) => !DOCUMENTATION.has(key));
  // The families of a group stand together, so only the first one of each names it.
  if (Array.isArray(data.families)) {
    delete data.groups;
    data.families = data.families.map((row, at, all) =>
      narrowed(row, (key) => key !== 'group' || row.group !== all[at - 1]?.group),
    );
  }
  if (Array.isArray(data.styles))
    data.styles = data.styles.map((row) => narrowed(row, (key) => !SERVER_ONLY.test(key)));
  return `JSON.parse(${JSON.stringify(JSON.stringify(data))})`;
}

const dataFiles = {
  name: 'data-files',
  transform: (/** @type {string} */ code, /** @type {string} */ id) =>
    id.endsWith('.json') ? { code: `export default ${dataCall(code)};`, map: null } : null,
};

/** Decode escapes such as `\u00b7` in templates, because the plugin after this one uses the raw text. */
const asRead = () => ({
  visitor: {
    TaggedTemplateExpression({ node }) {
      for (const { value } of node.quasi.quasis) value.raw = value.cooked;
    },
  },
});

/** Compile templates to calls, because parsing them would delay the first screen. */
const templates = {
  name: 'templates',
  transform: (/** @type {string} */ code, /** @type {string} */ id) => {
    if (!isOurs(id) || !code.includes('html`')) return null;
    const made = babel.transformSync(code, {
      babelrc: false,
      configFile: false,
      compact: false,
      plugins: [
        asRead,
        [
          htm,
          { pragma: 'element_', import: { module: join(STATIC, 'lib/ui.js'), export: 'h' }, useNativeSpread: true },
        ],
      ],
    });
    return { code: withoutParser(String(made?.code)), map: null };
  },
};

/** Remove the import of the template parser from a module without templates. @param {string} code */
const withoutParser = (code) =>
  code.replace(
    /import \{([^}]*)\} from (["'][^"']*\bui\.js["'])/g,
    (_all, names, from) =>
      `import {${names
        .split(',')
        .filter((/** @type {string} */ one) => one.trim() !== 'html')
        .join(',')}} from ${from}`,
  );

/** Remove the template parser from `lib/ui.js` too, because it would be part of the first screen. */
const templateParser = {
  name: 'template-parser',
  transform: (/** @type {string} */ code, /** @type {string} */ id) => {
    if (name(id) !== 'lib/ui.js') return null;
    const without = code.replace(/^import htm from .*$/m, '').replace(/^export const html = .*$/m, '');
    if (/htm/.test(without.replace(/\/\*[^]*?\*\//g, ''))) throw new Error('lib/ui.js still imports htm');
    return { code: without, map: null };
  },
};

export const plugins = [dataFiles, templates, templateParser];
