// Loads the English messages, as the app does when it starts.
import { readdirSync, readFileSync } from 'node:fs';
import { loadMessages } from '../../static/i18n.js';

const WORDS = new URL('../../static/words/en/', import.meta.url);
const read = (/** @type {string} */ name) => JSON.parse(readFileSync(new URL(name, WORDS), 'utf8'));
globalThis.fetch = async () => Response.json(Object.assign({}, ...readdirSync(WORDS).map(read)));
Object.defineProperty(navigator, 'languages', { value: ['en-GB'] });
await loadMessages();
