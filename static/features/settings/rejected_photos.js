// Photos that the server rejected, each with the reason. They stay on this phone.
import { html, useMemo } from '../../lib/ui.js';
import { photoQueue } from '../../photos/photos.js';
import { liveSignal, record } from '../../store/queries.js';
import { localDateTime } from '../../lib/datetime.js';
import { date } from '../../lib/format.js';
import { hasMessage, t } from '../../i18n.js';

/** @typedef {{ id: string, code: string, takenOn: string, place: string }} RejectedPhoto */

export function RejectedPhotos() {
  const rejected = useMemo(() => liveSignal(loadRejected, /** @type {RejectedPhoto[]} */ ([])), []).value;
  if (!rejected.length) return null;
  return html`<h3 class="warm">${t('settings.photos_refused')}</h3>
    <p class="soft small">${t('settings.photos_refused_note')}</p>
    <ul class="ruled refused" aria-label=${t('settings.photos_refused')}>${rejected.map(
      ({ id, code, takenOn, place }) => html`<li key=${id}>
      <span class="name">${takenOn}</span>
      <p class="field-error">
        ${t(hasMessage(`settings.photo_${code}`) ? `settings.photo_${code}` : 'settings.photo_not_taken')}
      </p>
      <div class="buttons"><a class="button" href=${place}>${t('settings.photo_show')}</a></div>
    </li>`,
    )}</ul>`;
}

/** @returns {Promise<RejectedPhoto[]>} */
async function loadRejected() {
  const { refused: rejected } = await photoQueue();
  return Promise.all(
    rejected.map(async ({ id, errors }) => {
      const { taken_at, tasting, bottle } = (await record('photo', id))?.fields ?? {};
      return {
        id,
        code: Object.values(errors)[0]?.[0]?.code ?? '',
        takenOn: taken_at ? date(localDateTime(taken_at)) : '',
        place: tasting ? `#/book/${tasting}` : `#/book/bottle/${bottle}`,
      };
    }),
  );
}
