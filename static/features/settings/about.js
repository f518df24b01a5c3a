// Last settings pages: export, cautions, credits.
import { html } from '../../lib/ui.js';
import { hasDeletedNotes } from '../../domain/search_index.js';
import { syncStatus } from '../../sync/status.js';
import { t } from '../../i18n.js';
import { unsentText } from '../shell/page.js';
import { version, credits } from './version.js';
import { Export, PhoneCopy } from './export.js';
import { Import } from './import.js';
import { StatusRow } from './storage_status.js';

export function ExportSection() {
  const { onlyHere } = syncStatus.value;
  return html`<section class="settings-part" aria-labelledby="settings-leave">
    <h2 id="settings-leave">${t('settings.leave')}</h2>
    <p class="soft">${t('settings.leave_note')}</p>
    ${
      onlyHere.notes + onlyHere.changes > 0 &&
      html`<p class="warm">${t('settings.export_unsent', { what: unsentText(onlyHere) })}</p>`
    }
    <${Export} />
    <${PhoneCopy} />
    <${Import} />
    <${DeletedLink} />
  </section>`;
}

/** Offer the deleted notes, only when there is one to restore. */
function DeletedLink() {
  return (
    hasDeletedNotes.value &&
    html`<p><a class="button plain" href="#/book/deleted">${t('settings.deleted_notes')}</a></p>`
  );
}

export function Cautions() {
  return html`<section class="settings-part" aria-labelledby="settings-care">
    <h2 id="settings-care">${t('settings.care')}</h2>
    <ul class="care">
      ${['drive', 'never', 'spit', 'help'].map((name) => html`<li key=${name}>${t(`settings.care_${name}`)}</li>`)}
    </ul>
    <p class="soft small">${t('settings.care_us')}</p>
    <blockquote class="soft small" lang="en">${t('settings.care_us_text')}</blockquote>
  </section>`;
}

export function About() {
  return html`<section class="settings-part" aria-labelledby="settings-about">
    <h2 id="settings-about">${t('settings.about')}</h2>
    <p>${t('settings.own_licence')}</p>
    <dl class="status-list"><${StatusRow} name=${t('settings.edition')} figure=${version} /></dl>
    <details><summary>${t('settings.built_on')}</summary>
      <dl class="status-list">
        ${credits.map(({ name, licence }) => html`<${StatusRow} key=${name} name=${name} figure=${licence} />`)}
      </dl>
    </details>
  </section>`;
}
