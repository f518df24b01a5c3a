// Row on the quick note that leads to the tools.
import { html } from '../../lib/ui.js';
import { t } from '../../i18n.js';
import { ArrowRow } from '../../components/layout/row.js';

export function ToolsRow() {
  return html`<${ArrowRow} className="ruled-row" href="#/pour/evening" name=${t('evening.title')}
      line=${t('evening.row')} />`;
}
