// On the first page of a new book: an example to look around in, one tap away.
import { html, useMemo, useState } from '../../ui.js';
import { t } from '../../words.js';
import { go } from '../../router.js';
import { live, tastingsNewest } from '../../book/read.js';
import { say } from '../../parts/said.js';
import { inHand } from './in_hand.js';

const OWN_AND_ONE_MORE = 2;

export function FirstLook() {
  const newest = useMemo(() => live(() => tastingsNewest(OWN_AND_ONE_MORE), null), []).value;
  const [busy, setBusy] = useState(false);
  const own = inHand.value?.tasting;
  if (!newest || newest.some((row) => row.id !== own)) return null;
  const look = async () => {
    setBusy(true);
    await openExample();
    setBusy(false);
  };
  return html`<button type="button" class="button" disabled=${busy} onClick=${look}>${t('pour.example')}</button>`;
}

async function openExample() {
  const { loadExample, ExampleError } = await import('../../book/example.js');
  try {
    await loadExample();
    go('/book');
  } catch (error) {
    if (!(error instanceof ExampleError)) throw error;
    say(t('pour.example_failed'));
  }
}
