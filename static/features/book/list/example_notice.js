// Notice that the notebook contains the example, and the page of an empty notebook.
import { html, useEffect, useState } from '../../../lib/ui.js';
import { navigate, route } from '../../../router.js';
import { t } from '../../../i18n.js';
import { showToast } from '../../../components/layout/toast.js';
import { loadExample, removeExample } from '../../../store/example.js';
import { searchFacts, searchIndex } from '../../../domain/search_index.js';

export function ExampleNotice() {
  const [busy, setBusy] = useState(false);
  const { examples } = searchFacts.value;
  if (!examples) return null;
  const start = async () => {
    setBusy(true);
    const { undo } = await removeExample();
    setBusy(false);
    showToast(t('book.example_gone'), undo);
  };
  return html`<div class="notice">
  <span>${t(searchIndex.value?.length === examples ? 'app.example_notice' : 'app.example_among')}
  </span>
  <button type="button" class="button plain" disabled=${busy} onClick=${start}>${t('app.start_own')}
  </button>
  </div>`;
}

export function EmptyBook() {
  const [state, setState] = useState(/** @type {'idle' | 'busy' | string} */ ('idle'));
  const look = async () => {
    setState('busy');
    try {
      await loadExample(document.documentElement.lang);
      setState('idle');
    } catch (error) {
      setState(/** @type {{ code?: string }} */ (error).code ?? 'no_example');
    }
  };
  // The pour screen of a new notebook links here with `?example` to load the example.
  useEffect(() => {
    if (!route.peek().query.has('example')) return;
    navigate('/book', { replace: true });
    look();
  }, []);
  return html`<div class="empty"><p class="voice">${t('book.empty')}</p><p>${t('book.empty_how')}</p>
    <div class="buttons empty-buttons">
    <a class="button primary" href="#/pour">${t('book.first_pour')}
    </a>
    <button type="button" class="button plain" disabled=${state === 'busy'} onClick=${look}>${t('book.try_example')}
    </button>
    </div>
    ${
      state !== 'idle' &&
      state !== 'busy' &&
      html`<p class="field-error" role="alert">${t(`book.example_${state}`)}
    </p>`
    }
    </div>`;
}
