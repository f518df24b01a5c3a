// Adds a copy of a notebook to this one. What will happen is shown before anything is sent.
import { html, useLayoutEffect, useRef, useState } from '../../lib/ui.js';
import { importArchive } from '../../account/api.js';
import { ExpandableList } from '../../components/layout/expandable_list.js';
import { NameAndLine } from '../../components/layout/row.js';
import { UNNAMED } from '../../store/owner.js';
import { bottleName } from '../../domain/bottle_names.js';
import { hasMessage, t } from '../../i18n.js';
import { localDateTime } from '../../lib/datetime.js';
import { untilLoaded } from '../../lib/until_loaded.js';
import { date } from '../../lib/format.js';
import { syncNow } from '../../sync/index.js';
import { doneText, importErrorText } from './import_text.js';
import { SkippedRecords } from './skipped_records.js';
import { StatusRow } from './storage_status.js';

/** @typedef {import('../../archive/read_archive.js').Preview} Preview */
/** @typedef {import('../../archive/read_archive.js').Note} Note */
/** @typedef {import('../../account/api.js').SkippedRecord} SkippedRecord */

const SHOWN = 3;
const TABLE = /\.(?:csv|tsv|xlsx?|ods|numbers)$/i;
const NOTHING_DONE = { text: '', skipped: /** @type {SkippedRecord[]} */ ([]) };
/** Faults of the file: adding it again cannot help. */
const FINAL = new Set(['damaged_book', 'too_large']);

export function Import() {
  const [file, setFile] = useState(/** @type {File | null} */ (null));
  const [preview, setPreview] = useState(/** @type {Preview | null} */ (null));
  const [error, setError] = useState('');
  const [done, setDone] = useState(NOTHING_DONE);
  const box = useRef(/** @type {HTMLElement | null} */ (null));
  // The preview above is gone, so the page would show what comes below.
  useLayoutEffect(() => {
    if (done !== NOTHING_DONE) box.current?.scrollIntoView({ block: 'center' });
  }, [done]);
  const [busy, setBusy] = useState(false);
  const choose = async (/** @type {Event} */ event) => {
    const input = /** @type {HTMLInputElement} */ (event.target);
    const [chosen] = input.files ?? [];
    if (!chosen) return;
    setBusy(true);
    setError('');
    setDone(NOTHING_DONE);
    setPreview(null);
    setFile(chosen);
    const { previewArchive } = await untilLoaded(() => import('../../archive/read_archive.js'));
    await previewArchive(chosen).then(setPreview, (problem) => {
      const key = `settings.import_${TABLE.test(chosen.name) ? 'table' : problem.code}`;
      setError(t(hasMessage(key) ? key : 'settings.import_not_archive'));
    });
    input.value = '';
    setBusy(false);
  };
  const add = async () => {
    if (!file) return;
    setBusy(true);
    setError('');
    await importArchive(file).then(
      async (result) => {
        await syncNow();
        setDone({ text: doneText(preview, result), skipped: result.skipped ?? [] });
        setPreview(null);
      },
      (problem) => {
        setError(importErrorText(problem));
        if (FINAL.has(problem.code)) setPreview(null);
      },
    );
    setBusy(false);
  };
  return html`<div class="import-archive" ref=${box}>
    <p class="soft">${t('settings.import_note')}</p>
    <label class="button file-button" aria-disabled=${busy}>
      ${t('settings.import_choose')}
      <input class="unseen" type="file" accept=".zip,application/zip" disabled=${busy} onChange=${choose} />
    </label>
    ${preview && html`<${WhatWillHappen} preview=${preview} name=${file?.name ?? ''} />`}
    <p role="status">${done.text}</p>
    <${SkippedRecords} records=${done.skipped} />
    ${error && html`<p class="warm" role="alert">${error}</p>`}
    ${preview && html`<${AddOrStop} busy=${busy} onAdd=${add} onStop=${() => setPreview(null)} />`}
  </div>`;
}

/** @param {{ busy: boolean, onAdd: () => void, onStop: () => void }} props */
function AddOrStop({ busy, onAdd, onStop }) {
  return html`<div class="buttons">
    <button type="button" class="button primary" disabled=${busy} onClick=${onAdd}>
      ${t(busy ? 'settings.import_busy' : 'settings.import_add')}
    </button>
    <button type="button" class="button plain" disabled=${busy} onClick=${onStop}>${t('settings.import_stop')}</button>
  </div>`;
}

/** @param {{ preview: Preview, name: string }} props */
function WhatWillHappen({ preview: { owner, made_at, added, known, removed, photos }, name }) {
  const from = [owner !== UNNAMED && owner, made_at && date(made_at)].filter(Boolean).join(', ');
  return html`<section class="import-preview" aria-labelledby="import-preview" role="status">
    <h3 id="import-preview">${t('settings.import_what')}</h3>
    <p class="soft small">${[name, from].filter(Boolean).join(' \u00b7 ')}</p>
    <dl class="status-list">
      <${StatusRow} name=${t('settings.import_new')} figure=${t('settings.on_phone_figure', { count: added.length })} />
      <${StatusRow} name=${t('settings.import_known')}
          figure=${t('settings.on_phone_figure', { count: known.length })} />
      ${
        removed.length > 0 &&
        html`<${StatusRow} name=${t('settings.import_removed')}
          figure=${t('settings.on_phone_figure', { count: removed.length })} />`
      }
      <${StatusRow} name=${t('settings.import_photos')} figure=${String(photos)} />
    </dl>
    <${Notes} title=${t('settings.import_show_new')} notes=${added} />
    <${Notes} title=${t('settings.import_show_known')} notes=${known} />
    <p class="soft small">${t('settings.import_merge')}</p>
  </section>`;
}

/** @param {{ title: string, notes: Note[] }} props */
function Notes({ title, notes }) {
  const newest = [...notes].sort((one, other) => ((one.at ?? '') < (other.at ?? '') ? 1 : -1));
  return (
    notes.length > 0 &&
    html`<details><summary>${title}</summary>
      <${ExpandableList} items=${newest} initialCount=${SHOWN} more=${t('settings.import_more')}
          lessText=${t('settings.import_less')}
          row=${(/** @type {Note} */ { id, bottle, at }) =>
            html`<li key=${id} class="row">
              <span class="grow"
                ><${NameAndLine} name=${bottleName(/** @type {any} */ ({ fields: bottle }))}
                  line=${at ? date(localDateTime(at)) : t('book.no_day')}
              /></span>
            </li>`} />
    </details>`
  );
}
