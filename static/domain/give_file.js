// Hands a file to the browser's share function; without one, downloads it.
import { showToast } from '../components/layout/toast.js';

const URL_KEPT_MS = 60_000;

/** @param {File} file @param {string} saved what to say after a download */
export async function giveFile(file, saved) {
  const what = { files: [file] };
  if (navigator.canShare?.(what)) {
    await navigator.share(what).catch(() => undefined);
    return;
  }
  const link = document.createElement('a');
  link.href = URL.createObjectURL(file);
  link.download = file.name;
  link.click();
  setTimeout(() => URL.revokeObjectURL(link.href), URL_KEPT_MS);
  showToast(saved);
}
