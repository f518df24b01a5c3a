// The way from the shelf to the bottles at home.
import { html } from '../../../lib/ui.js';
import { t } from '../../../i18n.js';
import { ArrowRow } from '../../../components/layout/row.js';
import { bottlesAtHome, homeCounts } from './home_state.js';

export function HomeLink() {
  const { all, soon } = homeCounts(bottlesAtHome());
  if (!all) return null;
  const line = soon ? t('shelf.home_drink_soon', { count: soon }) : null;
  return html`<${ArrowRow} className="home-link" href="#/shelf/home" name=${t('shelf.at_home', { count: all })}
    line=${line} />`;
}
