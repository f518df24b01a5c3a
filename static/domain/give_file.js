// Hands files to the browser's share function; without one, downloads them.
import { download } from '../lib/download.js';
import { showToast } from '../components/layout/toast.js';

/** @param {File[]} files @param {string} saved what to say after a download */
export async function giveFiles(files, saved) {
  if (navigator.canShare?.({ files })) {
    await navigator.share({ files }).catch(() => undefined);
    return;
  }
  for (const file of files) download({ name: file.name, file });
  showToast(saved);
}
