// The page of a note that is not on this phone. The Book's page of a deleted one offers to restore it.
import { html, useEffect, useState } from '../../lib/ui.js';
import { t } from '../../i18n.js';
import { navigate, route } from '../../router.js';
import { isEmptied } from '../../store/record.js';
import { tasting } from '../../store/queries.js';
import { Page } from '../shell/page.js';

/** @param {{ id: string }} props of the tasting */
export function MissingPage({ id }) {
  const [asked, setAsked] = useState(false);
  useEffect(() => {
    tasting(id).then((row) => {
      // Somebody who undoes the opening of a bottle is on the way to another screen.
      if (row && !isEmptied(row) && route.peek().path[0] === id) navigate(`/book/${id}`, { replace: true });
      else setAsked(true);
    });
  }, [id]);
  return html`<${Page} title=${t('app.room_pour')} back="/pour">
    ${
      asked &&
      html`<div class="empty"><p class="voice">${t('pour.missing')}</p>
      <a class="button" href="#/pour">${t('pour.to_open_pour')}</a></div>`
    }<//>`;
}
