import assert from 'node:assert/strict';
import test from 'node:test';
import { inEnglish, loadEnglish, loadMessages, setLanguage, t } from '../../static/i18n.js';
import { stylesById } from '../../static/domain/style_names.js';
import { styleItems } from '../../static/domain/bottle/style_search.js';

const [id] = stylesById.keys();
const WORDS = {
  en: { 'app.menu': 'Main menu', [`style.${id}`]: 'A white' },
  fr: { 'app.menu': 'Menu principal', [`style.${id}`]: 'Un blanc' },
};
Object.defineProperty(navigator, 'languages', { value: [] });
Object.defineProperty(globalThis, 'document', { value: { documentElement: {} } });

/** Answer only for these languages. @param {(keyof typeof WORDS)[]} languages */
function reachable(...languages) {
  globalThis.fetch = async (address) => {
    const found = languages.find((tag) => address === `/words/${tag}.json`);
    return found ? Response.json(WORDS[found]) : new Response(null, { status: 404 });
  };
}

test('a start without any messages fails', async () => {
  reachable();
  setLanguage('fr');
  await assert.rejects(loadMessages, /no words in en/);
});

test('messages are shown before the English ones are there', async () => {
  reachable('fr');
  setLanguage('fr');
  await loadMessages();
  assert.deepEqual([t('app.menu'), inEnglish('app.menu')], ['Menu principal', '']);
  const found = () => styleItems()[0]?.find.split(' ').slice(0, 4).join(' ');
  assert.match(String(found()), /^un blanc (?!a white)/);
  reachable('en');
  await loadEnglish();
  assert.deepEqual([t('app.menu'), inEnglish('app.menu')], ['Menu principal', 'Main menu']);
  assert.match(String(found()), /^un blanc a white/);
  assert.equal(styleItems(), styleItems());
});

test('English stands in for a language that fails', async () => {
  setLanguage('it');
  await loadMessages();
  assert.equal(t('app.menu'), 'Main menu');
});
