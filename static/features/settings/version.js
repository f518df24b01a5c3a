// Version of this client and the packages that it contains. Tests compare them with pyproject.toml
// and vendor/vendored.json, which the client does not load.
export const version = '0.1.0';

export const credits = [
  { name: '@fontsource/vollkorn', licence: 'OFL-1.1' },
  { name: '@noble/hashes', licence: 'MIT' },
  { name: '@preact/signals', licence: 'MIT' },
  { name: '@preact/signals-core', licence: 'MIT' },
  { name: '@tesseract.js-data/fra', licence: 'MIT' },
  { name: 'dexie', licence: 'Apache-2.0' },
  { name: 'fflate', licence: 'MIT' },
  { name: 'htm', licence: 'Apache-2.0' },
  { name: 'preact', licence: 'MIT' },
  { name: 'qr', licence: '(MIT OR Apache-2.0)' },
  { name: 'tesseract-wasm', licence: 'BSD-2-Clause' },
  { name: 'workbox', licence: 'MIT' },
  { name: 'zxing-wasm', licence: 'MIT' },
];
