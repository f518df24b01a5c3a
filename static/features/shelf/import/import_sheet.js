// Imports a shop's list by paste or file: assign the columns, check the rows, add them. Invalid
// rows stay for correction.
import { html, useState } from '../../../lib/ui.js';
import { abv, number, price } from '../../../lib/format.js';
import { hasMessage, t } from '../../../i18n.js';
import { Sheet } from '../../../components/layout/sheet.js';
import { showToast } from '../../../components/layout/toast.js';
import { StylePicker } from '../../../domain/bottle/style_picker.js';
import { wineName } from '../../../domain/bottle_names.js';
import { removeRows } from './add_rows.js';
import { fileText } from './file_text.js';
import { columns } from './import_rows.js';
import { ListPhoto, RowPiece } from './list_photo.js';
import { addPasted, addPhotoList, chooseColumn, correctStyle, pasted, pastedRows, setText } from './pasted_list.js';

/** @typedef {import('./import_rows.js').Column} Column */
/** @typedef {import('./import_rows.js').ParsedRow} ParsedRow */
/** @typedef {import('./list_photo.js').ReadList} ReadList */
/** @typedef {ReturnType<typeof import('./read_list.js').readList>} ReadRows */

const PREVIEW_COUNT = 6;
const MORE = 30;
const MAX_BYTES = 2_000_000;

/** @param {{ open: boolean, onClose: () => void }} props */
export function ImportSheet({ open, onClose }) {
  return html`<${Sheet} title=${t('shelf.import')} open=${open} onClose=${onClose}>
    ${open && html`<${Import} onClose=${onClose} />`}
  <//>`;
}

/** @param {{ onClose: () => void }} props */
function Import({ onClose }) {
  const [problem, setProblem] = useState(/** @type {string | null} */ (null));
  const { text, lists } = pasted.value;
  const read = pastedRows.value;
  const write = (/** @type {string} */ next) => {
    setText(next);
    setProblem(null);
  };
  const load = async (/** @type {File} */ file) => {
    if (file.size > MAX_BYTES) setProblem(t('shelf.import_too_big'));
    else write(await fileText(file));
  };
  const addList = (/** @type {ReadList} */ list) => {
    addPhotoList(list);
    setProblem(null);
  };
  const importRows = async () => {
    const count = read.valid.length;
    const added = await addPasted();
    if (!added) return;
    showToast(t('shelf.imported', { count }), () => {
      removeRows(added);
    });
    if (!pasted.peek().text) onClose();
  };
  return html`<p class="soft">${t('shelf.import_how')}</p>
    <label class="field">
    <span class="unseen">${t('shelf.import_paste')}
    </span>
    <textarea rows="4" class="paste" placeholder=${t('shelf.import_paste')} value=${text}
        onInput=${(/** @type {Event} */ event) => write(/** @type {HTMLTextAreaElement} */ (event.target).value)}>
    </textarea>
    </label>
    <${Sources} lists=${lists} onFile=${load} onPhoto=${addList} />
    ${problem && html`<p class="field-error" role="alert">${problem}</p>`}
    ${
      read.columns.length > 0 &&
      html`${read.isTable && html`<${Columns} read=${read} />`}
      <${Preview} read=${read} lists=${lists} />
      <div class="buttons sheet-buttons">
      <button type="button" class="button primary" disabled=${read.valid.length === 0} onClick=${importRows}>
        ${t('shelf.import_take', { count: read.valid.length })}
      </button>
      </div>`
    }`;
}

/**
 * @param {{ lists: ReadList[], onFile: (file: File) => void, onPhoto: (list: ReadList) => void }} props
 */
function Sources({ lists, onFile, onPhoto }) {
  const choose = (/** @type {Event} */ event) => {
    const input = /** @type {HTMLInputElement} */ (event.target);
    const file = input.files?.[0];
    // The same file may be chosen again, once it was corrected.
    input.value = '';
    if (file) onFile(file);
  };
  return html`<div class="import-sources">
    <label class="button file-button">
      ${t('shelf.import_file')}
      <input class="unseen" type="file" accept=".csv,.tsv,.txt,text/csv,text/plain" onChange=${choose} />
    </label>
    <${ListPhoto} lists=${lists} onRead=${onPhoto} />
  </div>`;
}

/** @param {{ read: ReadRows }} props */
function Columns({ read }) {
  const example = read.lines[read.heading ? 1 : 0]?.cells ?? [];
  return html`<fieldset class="import-columns"><legend class="label">${t('shelf.import_columns')}</legend>
    ${read.columns.map(
      (
        column,
        at,
      ) => html`<label class="import-column" key=${at}><span class="soft small">${example[at] || '\u2013'}</span>
      <select value=${column}
          onChange=${(/** @type {Event} */ event) =>
            chooseColumn(at, /** @type {Column} */ (/** @type {HTMLSelectElement} */ (event.target).value))}>
        ${columns.map(
          (each) => html`<option
          value=${each} selected=${each === column}>
        ${t(`shelf.column_${each}`)}
      </option>`,
        )}</select>
      </label>`,
    )}
  </fieldset>`;
}

/** @param {{ row: ParsedRow, lists: ReadList[] }} props */
function ValidRow({ row, lists }) {
  const { style } = row.bottle;
  return html`<li class="import-row">
    <div class="version"><span class="name">${wineName(row.bottle)}</span>
      <span class="figure small">${figuresText(row)}</span></div>
    <${RowPiece} lists=${lists} row=${row} />
    <${StylePicker} label=${t('field.style')} hideLabel value=${style} placeholder=${t('shelf.import_no_style')}
      likely=${() => [...new Set([style, ...row.candidates])].filter(Boolean)}
      onChange=${(/** @type {string | null} */ id) => correctStyle(row.line, id)} />
    ${
      row.pick['words'] &&
      html`<p class="soft small">
      ${t('shelf.import_kept', { words: row.pick['words'].replaceAll('\n', ' \u00b7 ') })}
    </p>`
    }
    </li>`;
}

/** @param {{ read: ReadRows, lists: ReadList[] }} props */
function Preview({ read: { valid: good, invalid: bad }, lists }) {
  const [count, setCount] = useState(PREVIEW_COUNT);
  return html`<h3>${t('shelf.import_good', { count: good.length })}</h3>
    ${good.length > 0 && html`<p class="soft small">${t('shelf.import_guessed')}</p>`}
    <ul class="ruled" aria-label=${t('shelf.import_good', { count: good.length })}>
      ${good.slice(0, count).map(
        (row) => html`<${ValidRow}
        key=${row.line} row=${row} lists=${lists} />`,
      )}
    </ul>
    ${
      good.length > count &&
      html`<button type="button" class="button plain" onClick=${() => setCount(count + MORE)}>
      ${t('shelf.import_and_more', { count: good.length - count })}</button>`
    }
    ${
      bad.length > 0 &&
      html`<h3>${t('shelf.import_bad', { count: bad.length })}</h3>
      <ul class="ruled">
      ${bad.slice(0, PREVIEW_COUNT).map(
        (row) => html`<li key=${row.line}>
      <p>${t('shelf.import_line', { line: row.line, name: row.bottle['name'] ?? '' })}
      </p>
      ${row.errors.map(
        ({ column, code, bound }) => html`<p class="field-error">
      ${t('book.share_line', { name: t(`shelf.column_${column}`), value: errorText(code, bound) })}
      </p>`,
      )}
      </li>`,
      )}
      </ul>`
    }`;
}

/** @param {ParsedRow} row */
function figuresText({ bottle, pick }) {
  return [
    typeof bottle['label_abv'] === 'number' ? abv(bottle['label_abv']) : '',
    typeof pick['price'] === 'number' ? price(pick['price'], pick['currency']) : '',
  ]
    .filter(Boolean)
    .join(' \u00b7 ');
}

/** @param {string} code @param {number | undefined} bound */
function errorText(code, bound) {
  return hasMessage(`error.${code}`)
    ? t(`error.${code}`, { bound: bound === undefined ? '' : number(bound) })
    : t('shelf.import_missing');
}
