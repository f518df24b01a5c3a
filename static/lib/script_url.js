// The page's only Trusted Types policy: the addresses of its workers.

const WORKERS = ['/sw.js', '/label_photo/worker.js'];

/** @type {{ createScriptURL: (address: string) => any } | undefined} */
let policy;

/**
 * Return the address of a worker as the security policy of the page asks for it.
 * @param {string} address
 * @returns {string} or a TrustedScriptURL, which TypeScript does not know
 */
export function scriptUrl(address) {
  if (!WORKERS.includes(address)) throw new TypeError(`no worker: ${address}`);
  const policies = /** @type {any} */ (globalThis).trustedTypes;
  if (!policies) return address;
  policy ??= policies.createPolicy('secondnose', { createScriptURL: (/** @type {string} */ asked) => asked });
  return policy?.createScriptURL(address);
}
