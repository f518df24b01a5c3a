// Passphrase field with a button to show the text.
import { html, useState } from '../../lib/ui.js';
import { TextField } from '../../components/form/field.js';
import { t } from '../../i18n.js';

/**
 * @param {{ label: string, value: string, onChange: (value: string) => void, autocomplete: string, error: string |
 *   null }} props
 */
export function PasswordField({ label, value, onChange, autocomplete, error }) {
  const [seen, setSeen] = useState(false);
  const write = (/** @type {string | null} */ typed) => onChange(typed ?? '');
  return html`<${TextField} label=${label} type=${seen ? 'text' : 'password'} value=${value} onChange=${write}
      autocomplete=${autocomplete} autocapitalize="none" error=${error} />
    <div class="buttons">
    <button type="button" class="button plain" aria-pressed=${seen} onClick=${() => setSeen(!seen)}>
      ${t('settings.passphrase_show')}
    </button>
    </div>`;
}
