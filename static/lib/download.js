// Time for the browser to start the download before the object URL is revoked.
const REVOKE_AFTER_MS = 60_000;

/** Save a file to the browser's downloads. @param {{ name: string, file: Blob }} what */
export function download({ name, file }) {
  const href = URL.createObjectURL(file);
  Object.assign(document.createElement('a'), { href, download: name }).click();
  setTimeout(() => URL.revokeObjectURL(href), REVOKE_AFTER_MS);
}
