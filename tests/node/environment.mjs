// Browser APIs that the client's modules need: `node --import ./tests/node/environment.mjs FILE`.
import { createRequire, register } from 'node:module';
import { afterEach } from 'node:test';
import { pathToFileURL } from 'node:url';
import process from 'node:process';

register('./hooks.mjs', import.meta.url);

// One failed test tells that a mutant is noticed; the others would only take time.
if (process.env.MUTANT_FILE) {
  afterEach((context) => {
    if (/** @type {any} */ (context).passed === false) process.exit(1);
  });
}

const tools = createRequire(new URL('../../.tools/package.json', import.meta.url));
const fake = await import(pathToFileURL(found('fake-indexeddb')).href);
for (const name of Object.keys(fake)) if (/^IDB/.test(name)) define(name, fake[name]);
define('indexedDB', fake.indexedDB);

/** localStorage with its keys as own properties. It throws a quota error while `full` is set. */
class Storage {
  getItem(key) {
    return Object.hasOwn(this, key) ? this[key] : null;
  }

  setItem(key, text) {
    if (control.full) throw new DOMException('no room', 'QuotaExceededError');
    this[key] = String(text);
  }

  removeItem(key) {
    delete this[key];
  }
}

/** Failures that a test can switch on: localStorage full, or no localStorage. */
export const control = { full: false, blocked: false };
const storage = new Storage();
Object.defineProperty(globalThis, 'localStorage', {
  configurable: true,
  get() {
    if (control.blocked) throw new DOMException('blocked', 'SecurityError');
    return storage;
  },
});

const page = new EventTarget();
const leaf = new EventTarget();
for (const name of ['addEventListener', 'removeEventListener', 'dispatchEvent']) {
  define(name, (...args) => page[name](...args));
}
define('document', Object.assign(leaf, { visibilityState: 'visible' }));

/** Web Locks: one holder of a lock at a time. */
class Locks {
  ends = new Map();

  request(name, work) {
    const held = (this.ends.get(name) ?? Promise.resolve()).then(() => work({ name }));
    this.ends.set(
      name,
      held.catch(() => {}),
    );
    return held;
  }
}
// Dexie's BroadcastChannel would keep the process alive.
define(
  'BroadcastChannel',
  class extends BroadcastChannel {
    constructor(name) {
      super(name);
      this.unref();
    }
  },
);
define('navigator', { locks: new Locks() });

/** @param {string} name @returns {string} */
function found(name) {
  try {
    return tools.resolve(name);
  } catch (cause) {
    throw new Error(`no ${name} in .tools: make .tools/node_modules/.package-lock.json`, { cause });
  }
}

/** @param {string} name @param {unknown} value */
function define(name, value) {
  Object.defineProperty(globalThis, name, { value, configurable: true, writable: true });
}
