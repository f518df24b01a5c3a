// The edition of this client and the works it is built on. Tests hold both to pyproject.toml and to
// vendor/vendored.json, which phones do not load.
export const version = '0.1.0';

export const credits = [
  { name: '@fontsource/vollkorn', licence: 'OFL-1.1' },
  { name: '@preact/signals', licence: 'MIT' },
  { name: '@preact/signals-core', licence: 'MIT' },
  { name: 'dexie', licence: 'Apache-2.0' },
  { name: 'htm', licence: 'Apache-2.0' },
  { name: 'preact', licence: 'MIT' },
  { name: 'workbox', licence: 'MIT' },
  { name: 'zxing-wasm', licence: 'MIT' },
];
